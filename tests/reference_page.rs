//! The language reference: every snippet compiles, and every word of the language is shown.

use plica::compile::compile_text;
use plica::findings::Severity;
use plica::meaning::Request;
use plica::source::Memory;
use plica::syntax::words::STATEMENTS;

const REFERENCE: &str = include_str!("../grammar/reference.md");

/// Snippets with their info string and the line they begin on.
fn snippets() -> Vec<(usize, &'static str, String)> {
    let mut all = Vec::new();
    let mut open: Option<(usize, &str, String)> = None;
    for (number, line) in REFERENCE.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (Some(_), Some(_)) => all.extend(open.take()),
            (Some((_, _, text)), None) => *text += &format!("{line}\n"),
            (None, Some(info)) => open = Some((number + 1, info, String::new())),
            (None, None) => {}
        }
    }
    all
}

/// Fragments marked `top` stand among the statements of a small design.
fn whole(info: &str, text: &str) -> String {
    match info {
        "plica top" => format!(
            "card \"Frame\"\npaper board: 200gsm\npiece sheet of board {{ size 60mm by 80mm }}\n{text}"
        ),
        _ => text.to_string(),
    }
}

#[test]
fn every_snippet_compiles() {
    let mut faults = String::new();
    let snippets = snippets();
    assert!(snippets.len() >= 10, "the page has snippets");
    for (line, info, text) in snippets {
        assert!(info.starts_with("plica"), "line {line}: a snippet says that it is Plica");
        let request = Request { path: "snippet.plica".into(), ..Request::default() };
        let compiled = compile_text(&whole(info, &text), &Memory::default(), &request).expect("in memory");
        for finding in compiled.findings.list().iter().filter(|f| f.severity() == Severity::Error) {
            let place = compiled.sources.text(finding.place());
            faults += &format!("line {line}: {} at `{place}`: {}\n", finding.name(), finding.telling.message);
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn every_word_is_shown() {
    let measures = [
        "width",
        "height",
        "depth",
        "thickness",
        "mass",
        "travel",
        "rise",
        "lean",
        "angle",
        "visible",
        "gap",
        "fits",
        "moves",
        "stands",
        "folds_flat",
        "hidden",
        "clear",
        "captive",
        "min",
        "max",
        "abs",
        "round_up",
        "round_down",
    ];
    let words = STATEMENTS.iter().map(|s| s.word).chain(measures);
    let shown = |word: &str| REFERENCE.split(|c: char| !c.is_alphanumeric() && c != '_').any(|w| w == word);
    let missing: Vec<&str> = words.filter(|w| !shown(w)).collect();
    assert!(missing.is_empty(), "the reference does not show {missing:?}");
}
