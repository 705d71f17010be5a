//! Sheet plans of designs: what lies on which sheet, along which grain, in which words.

mod assembly_support;

use assembly_support::{example, sound};
use plica::assembly::Assembly;
use plica::output::plan::{self, Outcome, PaperPlan};
use plica::quantity::Units;

const STEP: f64 = 0.5;

fn cards(pieces: &str, paper: &str) -> Assembly {
    sound(&format!("card \"Plan\"\npaper cover: 250gsm, 0.3mm thick, {paper}\n{pieces}"))
}

fn planned(plan: &PaperPlan) -> &plan::Planned {
    plan.planned().unwrap_or_else(|| panic!("{:?}", plan.outcome))
}

/// Every piece of every example is on some sheet once, no larger than it, within the sheet, and apart from the others.
#[test]
fn every_piece_lies_on_a_sheet() {
    let folder = format!("{}/lang-examples", env!("CARGO_MANIFEST_DIR"));
    for entry in std::fs::read_dir(folder).expect("the examples") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "plica") {
            continue;
        }
        let assembly = example(path.file_stem().and_then(|s| s.to_str()).expect("a name"));
        let plans = plan::plans(&assembly, STEP, 3);
        let all: usize = plans.iter().map(|p| p.pieces.len()).sum();
        assert_eq!(all, assembly.pieces.len(), "{}", path.display());
        for paper in &plans {
            let planned = planned(paper);
            let mut laid = vec![0; paper.pieces.len()];
            for sheet in &planned.plan.sheets {
                for (n, p) in sheet.placements.iter().enumerate() {
                    laid[p.item] += 1;
                    let piece = &assembly.pieces[paper.pieces[p.item]];
                    let (w, h) = (piece.bounds.width() * 1e6, piece.bounds.height() * 1e6);
                    let (w, h) = if p.turned { (h, w) } else { (w, h) };
                    let spare = [p.rect.w as f64 - w, p.rect.h as f64 - h];
                    let fits = spare.iter().all(|s| (-1e4..STEP * 1e6).contains(s));
                    assert!(fits, "{}: {} {spare:?}", path.display(), piece.name);
                    let apart = |q: &plica::stock::plan::Placement| {
                        let (a, b) = (p.rect, q.rect);
                        a.x + a.w <= b.x || b.x + b.w <= a.x || a.y + a.h <= b.y || b.y + b.h <= a.y
                    };
                    assert!(sheet.placements[..n].iter().all(apart), "{}", path.display());
                }
            }
            assert!(laid.iter().all(|count| *count == 3), "{}: {laid:?}", path.display());
        }
    }
}

/// ISO 216: two A5 (148 × 210) come out of one A4 (210 × 297), so that twenty A5 take ten sheets and no plan takes fewer.
#[test]
fn halves_of_a_sheet_need_no_more_than_their_area() {
    let assembly = cards("piece a of cover { size 148mm by 210mm }\n", "sheet A4");
    let [paper] = &plan::plans(&assembly, STEP, 20)[..] else { panic!("one paper") };
    let planned = planned(paper);
    assert_eq!((planned.plan.sheets.len(), planned.plan.proven), (10, true));
    let words = plan::markdown(&assembly, std::slice::from_ref(paper));
    assert!(words.contains("10 sheets of cover, A4") && words.contains("the fewest possible"), "{words}");
}

/// A piece of 200 × 90 mm folded across its width lies with the fold along the grain: upright on A4 long grain, so that
/// its 200 mm run across the sheet.
#[test]
fn folds_lie_along_the_grain() {
    let piece = "piece fold of cover {\n  size 200mm by 90mm\n  valley 100mm from left\n}\n";
    for (grain, turned) in [("grain long", false), ("grain short", true)] {
        let assembly = cards(piece, &format!("sheet A4, {grain}"));
        let plans = plan::plans(&assembly, STEP, 1);
        let placed = planned(&plans[0]).plan.sheets[0].placements[0];
        assert_eq!(placed.turned, turned, "{grain}");
        assert!(planned(&plans[0]).across_grain.is_empty());
    }
    // 280 mm only fit along the length of the sheet, which puts the fold across the grain of a long-grain sheet.
    let long = "piece fold of cover {\n  size 280mm by 90mm\n  valley 140mm from left\n}\n";
    let assembly = cards(long, "sheet A4, grain long");
    let plans = plan::plans(&assembly, STEP, 1);
    assert_eq!(planned(&plans[0]).across_grain, [0]);
    assert!(plan::markdown(&assembly, &plans).contains("across the grain"));
}

#[test]
fn papers_without_a_sheet_are_listed_by_size() {
    let assembly = cards("piece a of cover { size 80mm by 60mm }\n", "colour \"red\"");
    let plans = plan::plans(&assembly, STEP, 1);
    assert!(matches!(plans[0].outcome, Outcome::NoSheet));
    assert!(plan::markdown(&assembly, &plans).contains("A a: 80 mm × 60 mm"));
}

/// Two A5 cards of a paper at 0.40 a sheet cost 0.20 each when they come out of one A4.
#[test]
fn cost_is_shared_by_the_copies() {
    let assembly = cards("piece a of cover { size 148mm by 210mm }\n", "sheet A4, price 0.40");
    let cost = |copies| plan::cost_per_card(&plan::plans(&assembly, STEP, copies)).expect("a price");
    assert!((cost(1) - 0.40).abs() < 1e-9 && (cost(2) - 0.20).abs() < 1e-9);
    let unpriced = cards("piece a of cover { size 148mm by 210mm }\n", "sheet A4");
    assert_eq!(plan::cost_per_card(&plan::plans(&unpriced, STEP, 1)), None);
}

/// Following the words alone gives every piece: each is named once as what comes off a cut.
#[test]
fn the_steps_name_every_piece() {
    for name in ["lighthouse", "beanstalk", "snail"] {
        let assembly = example(name);
        for paper in plan::plans(&assembly, STEP, 1) {
            let mut said = String::new();
            let mut number = 0;
            for sheet in 0..planned(&paper).plan.sheets.len() {
                for (n, phrase) in paper.steps(&assembly, sheet) {
                    number += 1;
                    assert_eq!(n, number, "{name}");
                    said += &phrase.say(Units::Mm);
                }
            }
            for piece in paper.pieces.iter().map(|p| &assembly.pieces[*p]) {
                let found = said.matches(&format!(" is {} {}", piece.letter, piece.name)).count();
                assert_eq!(found, 1, "{name}: {} in {said}", piece.name);
            }
        }
    }
}

#[test]
fn plans_and_drawings_are_the_same_every_time() {
    let assembly = example("lighthouse");
    let draw = || {
        let plans = plan::plans(&assembly, STEP, 4);
        let sheets: Vec<_> = plans.iter().flat_map(|p| plan::sheets(&assembly, p)).collect();
        let svgs: Vec<String> = sheets.iter().map(|(_, f)| plica::output::svg::write(&f.alone())).collect();
        (plan::markdown(&assembly, &plans), sheets.iter().map(|(n, _)| n.clone()).collect::<Vec<_>>(), svgs)
    };
    assert_eq!(draw(), draw());
}
