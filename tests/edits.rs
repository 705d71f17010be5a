//! A design compiled after an edit, with what is kept from before, against the same text compiled for the first time:
//! findings, mends, positions and layers have to be the same to the last digit.

use plica::compile::{Compiled, compile_after, compile_text, try_mends};
use plica::findings::catalogue::ENTRIES;
use plica::layers::Card;
use plica::meaning::Request;
use plica::source::Disk;
use proptest::prelude::Rng as _;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use regex::Regex;
use std::path::PathBuf;

#[path = "../benches/town/mod.rs"]
mod town;

/// Edits to every design, one after the other.
const EDITS: usize = 3;

fn request(name: &str) -> Request {
    Request { path: PathBuf::from("lang-examples").join(name), ..Request::default() }
}

/// What the maker is told and shown, in words.
fn told(compiled: &Compiled) -> String {
    let card = |card: &Card| {
        let (heights, thickest, seen) = (&card.heights, &card.thickest, &card.seen);
        format!("{heights:?} {thickest:?} {seen:?} {:?} {:?}", card.contradiction, card.undecided)
    };
    let cards: Vec<String> = compiled.cards.iter().map(card).collect();
    format!("{:#?}\n{:#?}\n{}", compiled.findings.list(), compiled.states, cards.join("\n"))
}

/// Compiles a text after another, compares it with the same text on its own, and gives it.
fn same(before: &Compiled, text: &str, request: &Request, what: &str) -> Compiled {
    let after = compile_after(before, text, &Disk, request).expect("a text in memory is read");
    let fresh = compile_text(text, &Disk, request).expect("a text in memory is read");
    assert!(
        told(&after) == told(&fresh),
        "{what}: compiled after an edit it differs from compiled anew\n{text}"
    );
    after
}

/// As [`same`], with mends tried.
fn same_with_mends(before: &Compiled, text: &str, request: &Request, what: &str) -> Compiled {
    let mut after = same(before, text, request, what);
    let mut fresh = compile_text(text, &Disk, request).expect("a text in memory is read");
    try_mends(&mut after, &Disk, request);
    try_mends(&mut fresh, &Disk, request);
    assert!(told(&after) == told(&fresh), "{what}: its mends differ\n{text}");
    after
}

/// The text with one of its measurements changed.
fn edited(text: &str, pick: usize, change: impl Fn(f64) -> f64) -> Option<String> {
    let measure = Regex::new(r"\b(\d+(?:\.\d+)?)(mm|deg)\b").expect("a pattern");
    let all: Vec<regex::Captures> = measure.captures_iter(text).collect();
    let found = all.get(pick.checked_rem(all.len())?)?;
    let (whole, value) = (found.get(0)?, found.get(1)?.as_str().parse::<f64>().ok()?);
    let unit = found.get(2)?.as_str();
    Some(format!("{}{:.1}{unit}{}", &text[..whole.start()], change(value).max(0.5), &text[whole.end()..]))
}

fn texts(folder: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".plica"))
        .map(|name| (std::fs::read_to_string(format!("{folder}/{name}")).expect("a design is read"), name))
        .map(|(text, name)| (name, text))
        .collect();
    found.sort();
    found
}

#[test]
fn an_edit_gives_what_the_text_gives_on_its_own() {
    let examples = texts("lang-examples");
    assert!(examples.len() > 10, "{}", examples.len());
    let chance = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), chance);
    let mut changed = 0;
    for (name, mut text) in examples {
        let request = request(&name);
        let mut before = compile_text(&text, &Disk, &request).expect("an example is read");
        let first = told(&before);
        for _ in 0..EDITS {
            let rng = runner.rng();
            let (pick, by) = (rng.next_u32() as usize, f64::from(rng.next_u32() % 41) / 10.0 - 2.0);
            let Some(next) = edited(&text, pick, |value| value + by) else { continue };
            let after = same_with_mends(&before, &next, &request, &name);
            changed += usize::from(told(&after) != first);
            // An edit that leaves a text of faults is taken back, as a hand would.
            if !after.findings.has_errors() {
                text = next;
            }
            before = after;
        }
    }
    assert!(changed > 20, "of the edits only {changed} changed anything");
}

#[test]
fn a_fault_written_and_mended_is_found_and_gone() {
    for entry in ENTRIES.iter().filter(|e| !e.wrong.is_empty()) {
        let request = request("entry.plica");
        let right = compile_text(entry.right, &Disk, &request).expect("a text in memory is read");
        let wrong = same(&right, entry.wrong, &request, entry.name);
        same(&wrong, entry.right, &request, entry.name);
    }
}

#[test]
fn wild_edits_of_faulty_designs_give_what_the_texts_give_on_their_own() {
    let chance = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), chance);
    for (name, text) in texts("tests/corpus") {
        let request = Request { path: PathBuf::from("tests/corpus").join(&name), ..Request::default() };
        let mut before = compile_text(&text, &Disk, &request).expect("a design is read");
        for _ in 0..EDITS {
            let rng = runner.rng();
            let (pick, share) = (rng.next_u32() as usize, 0.6 + f64::from(rng.next_u32() % 80) / 100.0);
            let Some(next) = edited(&text, pick, |value| value * share) else { continue };
            before = same(&before, &next, &request, &name);
        }
    }
}

#[test]
fn an_edit_of_one_piece_leaves_most_of_a_town_as_it_was() {
    let request = request("town.plica");
    let before = compile_text(&town::text(5, 0), &Disk, &request).expect("a text in memory is read");
    let all = before.kept.len();
    let after = same(&before, &town::text(5, 30), &request, "the town");
    assert!(after.findings.list().is_empty());
    // Whatever was asked again stands there still; what is new is of the one house and what lies on it.
    let new = after.kept.len().saturating_sub(all);
    assert!(new > 0 && new < all / 20, "{new} new answers beside {all}");
}
