//! The order of making: on the examples, and where there is none. What must come before what follows from the paper
//! itself and is worked out by hand beside each check.

mod assembly_support;

use assembly_support::{lower, sound};
use plica::assembly::{Assembly, Face, Fold};
use plica::findings::Findings;
use plica::making::words::{English, Words};
use plica::making::{self, Making, ScoreSide, Step, Work, WorkKind};
use plica::quantity::Units;

fn example(name: &str) -> (Assembly, Making) {
    let assembly = assembly_support::example(name);
    let making = making::making(&assembly, &English);
    (assembly, making)
}

fn all_examples() -> Vec<(String, Assembly, Making)> {
    let folder = format!("{}/lang-examples", env!("CARGO_MANIFEST_DIR"));
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("the examples")
        .filter_map(|entry| entry.expect("an entry").file_name().to_str().map(String::from))
        .filter_map(|name| name.strip_suffix(".plica").map(String::from))
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|name| {
            let (assembly, making) = example(&name);
            (name, assembly, making)
        })
        .collect()
}

/// Number of the step that makes a joint.
fn joining(assembly: &Assembly, making: &Making, joint: &str) -> usize {
    let id =
        assembly.joints.iter().position(|j| j.name == joint).unwrap_or_else(|| panic!("no joint {joint}"));
    making
        .steps
        .iter()
        .find(|s| s.joints.contains(&id))
        .unwrap_or_else(|| panic!("{joint} is not made"))
        .number
}

fn step(making: &Making, wanted: impl Fn(&Step) -> bool) -> usize {
    making.steps.iter().find(|s| wanted(s)).expect("such a step").number
}

/// The steps named, in the order in which they are to come.
fn in_order(steps: &[(&str, usize)]) {
    for pair in steps.windows(2) {
        assert!(pair[0].1 < pair[1].1, "{} ({}) before {} ({})", pair[0].0, pair[0].1, pair[1].0, pair[1].1);
    }
}

#[test]
fn straps_are_threaded_before_anything_hides_their_slots() {
    let (assembly, making) = example("lighthouse");
    let at = |joint: &str| joining(&assembly, &making, joint);
    let run = step(&making, |s| s.kind() == WorkKind::Try);
    // The tower hides the front of the shell's rails and its own back; the flap closes the tube that all of it is in;
    // the liner hides the straps behind and lies over the flap.
    in_order(&[("winch", at("winch")), ("tower", at("tower on winch")), ("run", run)]);
    in_order(&[("hoist", at("hoist")), ("tower", at("tower on winch"))]);
    in_order(&[("hoist", at("hoist")), ("lamp", at("lamp on hoist")), ("run", run)]);
    in_order(&[("grip", at("grip on lamp")), ("run", run)]);
    in_order(&[("run", run), ("flap", at("shell.flap on shell.track")), ("liner", at("liner on shell"))]);
}

#[test]
fn the_dry_run_comes_before_the_step_that_seals() {
    let (assembly, making) = example("lantern");
    // The brad's legs open behind the boss, which is then stuck to the page.
    in_order(&[
        ("hook", joining(&assembly, &making, "hook")),
        ("swing", step(&making, |s| s.kind() == WorkKind::Try)),
        ("boss", joining(&assembly, &making, "boss on page")),
    ]);
    let swing = making.steps.iter().find(|s| s.kind() == WorkKind::Try).expect("a dry run");
    let said = swing.words.say(Units::Mm);
    assert!(said.contains("60°"), "{said}");
    let reason = swing.reason.as_ref().expect("a reason").say(Units::Mm);
    assert!(reason.contains(&format!("step {}", joining(&assembly, &making, "boss on page"))), "{reason}");
}

#[test]
fn three_tiers_are_built_from_the_strap_outwards() {
    let (assembly, making) = example("beanstalk");
    let at = |joint: &str| joining(&assembly, &making, joint);
    in_order(&[("root", at("root")), ("stem", at("stem on root"))]);
    in_order(&[("vine", at("vine")), ("stem", at("stem on root"))]);
    in_order(&[("tendril", at("tendril")), ("leaves", at("leaves on vine"))]);
    let run = step(&making, |s| s.kind() == WorkKind::Try);
    for rider in ["stem on root", "leaves on vine", "giant on tendril", "grip on giant"] {
        in_order(&[(rider, at(rider)), ("run", run)]);
    }
    in_order(&[("run", run), ("flap", at("shell.flap on shell.track"))]);
    in_order(&[("run", run), ("liner", at("liner on shell"))]);
}

/// Whatever the design, the same things hold: cut before scored before folded before joined, every joint made once,
/// prints before their piece is joined, the author's steps where they were asked for, every prerequisite earlier.
#[test]
fn every_example_can_be_made() {
    for (name, assembly, making) in all_examples() {
        let mut findings = Findings::default();
        making::check(&assembly, &mut findings);
        assert!(findings.list().is_empty(), "{name}: {:?}", findings.list());
        for (n, step) in making.steps.iter().enumerate() {
            assert_eq!(step.number, n + 1, "{name}");
            assert!(step.after.iter().all(|before| *before < step.number), "{name}: step {}", step.number);
            assert!(
                !step.words.say(Units::Mm).trim().is_empty(),
                "{name}: step {} says nothing",
                step.number
            );
        }
        for (id, joint) in assembly.joints.iter().enumerate() {
            let made = making.steps.iter().filter(|s| s.joints.contains(&id)).count();
            let is_fold = matches!(joint.kind, plica::assembly::JointKind::Fold { .. });
            assert_eq!(made, usize::from(!is_fold), "{name}: {} is made {made} times", joint.name);
        }
        for (id, piece) in assembly.pieces.iter().enumerate() {
            let of = |kind: WorkKind| {
                let works_on = |s: &&Step| s.kind() == kind && s.parts.contains(&id) && s.joints.is_empty();
                making.steps.iter().filter(works_on).map(|s| s.number).collect::<Vec<_>>()
            };
            let joined = making
                .steps
                .iter()
                .filter(|s| s.joints.iter().any(|j| assembly.panels[assembly.joints[*j].b].piece == id))
                .map(|s| s.number)
                .min();
            let stages = [of(WorkKind::Cut), of(WorkKind::Score), of(WorkKind::Fold)].concat();
            assert!(stages.is_sorted(), "{name}: {} {stages:?}", piece.name);
            assert!(!stages.is_empty(), "{name}: {} is never cut", piece.name);
            if let Some(joined) = joined {
                assert!(stages.iter().all(|s| *s < joined), "{name}: {}", piece.name);
                assert!(of(WorkKind::Decorate).iter().all(|s| *s < joined), "{name}: {}", piece.name);
            }
        }
        assert_eq!(making.steps.iter().filter(|s| s.kind() == WorkKind::Own).count(), assembly.steps.len());
        assert_eq!(making.steps.last().map(|s| s.kind()), Some(WorkKind::Finish), "{name}");
    }
}

#[test]
fn the_order_is_the_same_every_time() {
    for (name, assembly, making) in all_examples() {
        let again = making::making(&assembly, &English);
        let said = |m: &Making| m.steps.iter().map(|s| s.words.say(Units::Inch)).collect::<Vec<_>>();
        assert_eq!(said(&making), said(&again), "{name}");
    }
}

#[test]
fn own_steps_stand_beside_their_part() {
    let (assembly, making) = example("lighthouse");
    let own = step(&making, |s| s.kind() == WorkKind::Own);
    assert_eq!(own + 1, joining(&assembly, &making, "lamp on hoist"));
    let design = "card \"Own\"\npaper c: 200gsm, 0.26mm thick\npiece page of c { size 80mm by 60mm }\n\
                  piece sun of c { shape circle 20mm }\nglue back of sun to front of page: centred\n\
                  step \"Dust it.\" after sun\nstep \"Then breathe on it.\" after sun\nstep \"Wash your hands.\"\n";
    let assembly = sound(design);
    let making = making::making(&assembly, &English);
    let said: Vec<String> = making.steps.iter().map(|s| s.words.say(Units::Mm)).collect();
    assert_eq!(said[0], "Wash your hands.");
    let sun = joining(&assembly, &making, "sun on page");
    assert_eq!(said[sun..sun + 2], ["Dust it.", "Then breathe on it."]);
}

/// The raised bead of a score belongs inside the fold (print finishers' pages on creasing).
#[test]
fn scores_rise_inside_the_fold() {
    let valley = ScoreSide::of(0, Fold::Valley);
    assert_eq!((valley.score_on, valley.ridge_on), (Face::Back, Face::Front));
    let mountain = ScoreSide::of(0, Fold::Mountain);
    assert_eq!((mountain.score_on, mountain.ridge_on), (Face::Front, Face::Back));
    let (assembly, making) = example("stall");
    let scored = making.steps.iter().find(|s| s.kind() == WorkKind::Score).expect("a score");
    assert_eq!(scored.scores.len(), 2, "one valley and one mountain");
    assert!(!assembly.pieces[scored.scores[0].piece].creases.is_empty());
}

/// A disc 1 in across on foam, whose brad has its legs round a 1/8 in hole (twice as wide is kept clear):
/// the ring that is left is what may be stuck.
#[test]
fn glue_keeps_clear_of_what_moves() {
    let (_, making) = example("lantern");
    let boss =
        making.steps.iter().find(|s| !s.no_glue.is_empty()).expect("a step with a place to keep clear");
    let area = |spots: &[making::Spot]| {
        let all: Vec<_> = spots.iter().flat_map(|s| s.region.clone()).collect();
        plica::geometry::region_area(&all)
    };
    let disc = |across: f64| std::f64::consts::PI * across * across / 4.0;
    let (glue, clear) = (area(&boss.glue), area(&boss.no_glue));
    assert!((glue - (disc(25.4) - disc(6.35))).abs() < 1.0, "{glue}");
    assert!(clear > 0.0 && clear <= disc(6.35) - disc(3.175) + 0.1, "{clear}");
    // The tower stands on a strap 8 mm high and 40 mm wide; its own slots begin higher up.
    let (assembly, making) = example("lighthouse");
    let tower = &making.steps[joining(&assembly, &making, "tower on winch") - 1];
    assert!((area(&tower.glue) - 8.0 * 40.0).abs() < 8.0, "{}", area(&tower.glue));
    assert!(area(&tower.no_glue) > 0.0);
}

#[test]
fn steps_say_lengths_in_both_units() {
    let (_, making) = example("lighthouse");
    let run = making.steps.iter().find(|s| s.kind() == WorkKind::Try).expect("a dry run");
    assert!(run.words.say(Units::Mm).contains("60 mm"), "{:?}", run.words);
    assert!(run.words.say(Units::Inch).contains("2 23/64 in"), "{}", run.words.say(Units::Inch));
}

/// A flap stuck inside a tube, with a liner over it that must be in before the tube is closed.
#[test]
fn a_ring_of_steps_is_found_with_both_places() {
    let entry = plica::findings::catalogue::entry("no-order-of-making").expect("an entry");
    let found = |text: &str| {
        let lowered = lower(text);
        let mut findings = Findings::default();
        making::check(&lowered.assembly, &mut findings);
        findings
    };
    let findings = found(entry.wrong);
    let [finding] = findings.list() else { panic!("{:?}", findings.list()) };
    let telling = &finding.telling;
    let at = |span: plica::source::Span| &entry.wrong[span.start as usize..span.end as usize];
    let places = [at(telling.place), at(telling.others[0].span)];
    assert!(places.iter().any(|p| p.contains("liner")), "{places:?}");
    assert!(places.iter().any(|p| p.contains("flap")), "{places:?}");
    assert!(telling.why.as_ref().is_some_and(|why| why.contains("inside") && why.contains("lies over")));
    assert!(found(entry.right).list().is_empty());
    // Steps are given all the same, each once.
    let making = making::making(&lower(entry.wrong).assembly, &English);
    assert!(making.steps.iter().any(|s| matches!(s.work, Work::Close { .. })));
}

#[test]
fn shoulders_at_both_ends_are_found() {
    let entry = plica::findings::catalogue::entry("ends-too-wide-to-thread").expect("an entry");
    let mut findings = Findings::default();
    making::check(&lower(entry.wrong).assembly, &mut findings);
    let names: Vec<_> = findings.list().iter().map(|f| f.name()).collect();
    assert_eq!(names, ["ends-too-wide-to-thread"]);
    // The narrower of two ends of 40 mm, and a slot of 22 mm.
    let measured: Vec<f64> = findings.list()[0].telling.measured.iter().map(|m| m.value).collect();
    assert!((measured[0] - 40.0).abs() < 0.01 && (measured[1] - 22.0).abs() < 0.01, "{measured:?}");
}

/// Another language needs no more than its words.
#[test]
fn words_can_be_changed() {
    struct Terse;
    impl Words for Terse {
        fn step(&self, _: &Assembly, work: &Work) -> making::Phrase {
            making::Phrase::text(self.heading(work))
        }
        fn because(&self, _: &Assembly, _: &making::Why) -> Option<making::Phrase> {
            None
        }
        fn reason(&self, _: &Assembly, _: &making::Why, _: usize) -> Option<making::Phrase> {
            None
        }
        fn heading(&self, work: &Work) -> &'static str {
            if work.kind() == WorkKind::Cut { "Schneiden" } else { "Weiter" }
        }
        fn piece(&self, _: &Assembly, piece: usize) -> String {
            piece.to_string()
        }
        fn label(&self, _: making::words::Label) -> &'static str {
            "Klebefrei"
        }
    }
    let (assembly, _) = example("gate");
    let making = making::making(&assembly, &Terse);
    assert_eq!(making.steps[0].words.say(Units::Mm), "Schneiden");
    // The drawing of the step that keeps a strap's way free of glue says it too.
    let (assembly, _) = example("lighthouse");
    let making = making::making(&assembly, &Terse);
    let kept = making.steps.iter().find(|s| !s.no_glue.is_empty()).expect("a step with a place without glue");
    let typeface = plica::output::font::typeface();
    let figure =
        plica::drawing::step::step(&assembly, &making, kept.number, &Terse, typeface).expect("a drawing");
    assert!(texts(&figure).contains(&"Klebefrei".to_string()), "{:?}", texts(&figure));
}

fn texts(figure: &plica::drawing::Figure) -> Vec<String> {
    let text = |mark: &plica::drawing::Mark| match &mark.ink {
        plica::drawing::Ink::Text(text) => Some(text.content().to_string()),
        _ => None,
    };
    figure.marks.iter().filter_map(text).collect()
}

/// Every step that does something to paper has its drawing, all about as large as each other, and no drawing depends on
/// where a piece lies in its own frame.
#[test]
fn every_step_is_drawn() {
    let typeface = plica::output::font::typeface();
    for (name, assembly, making) in all_examples() {
        for step in &making.steps {
            let figure = plica::drawing::step::step(&assembly, &making, step.number, &English, typeface);
            let shows_nothing = matches!(step.work, Work::Own { .. } | Work::Finish | Work::Try { .. });
            assert!(figure.is_some() || shows_nothing, "{name}: step {} has no drawing", step.number);
            let Some(figure) = figure else { continue };
            let longest = figure.bounds.width().max(figure.bounds.height());
            assert!((60.0..400.0).contains(&longest), "{name}: step {} is {longest} mm", step.number);
            // A part that is put in place is named.
            if step.kind() == WorkKind::Stick {
                let part = English.piece(&assembly, step.parts[0]);
                assert!(texts(&figure).contains(&part), "{name}: step {} does not name {part}", step.number);
            }
        }
    }
}

#[test]
fn a_ring_of_parts_is_closed_when_all_else_holds_it() {
    // The strip lies on the tower, and its foot finds its place on the meadow only when the tower stands on the sky.
    let (assembly, making) = example("windmill");
    let at = |joint: &str| joining(&assembly, &making, joint);
    in_order(&[("strip", at("strip")), ("gallery", at("gallery on tower")), ("tower", at("tower on page"))]);
    in_order(&[("axle", at("axle")), ("tower", at("tower on page")), ("foot", at("strip on page"))]);
    // A keeper on two blocks is placed by the first.
    let (assembly, making) = example("suitcase");
    let at = |joint: &str| joining(&assembly, &making, joint);
    in_order(&[
        ("belt", at("belt")),
        ("one end", at("keeper on stop_top")),
        ("other", at("keeper on stop_foot")),
    ]);
    let told = making.steps.iter().find(|s| s.number == at("keeper on stop_foot")).expect("a step");
    let said = told.words.say(Units::Mm);
    assert!(!said.contains("Fold") && said.ends_with("too."), "nothing is folded there: {said}");
}

/// A hand on a page, with a plate stuck to the page between them; all three have a hole for the brad.
fn dial(order: &str, plate: &str, brad: &str) -> String {
    let statement =
        [format!("brad axle through {brad}\n"), format!("glue {plate} of page: centred, along edges 6mm\n")];
    let [first, second] = if order == "brad first" { [0, 1] } else { [1, 0] };
    format!(
        "card \"Dial\"\npaper board: 250gsm, 0.3mm thick\n\
         piece page of board {{ size 100mm by 100mm hole pin: 3mm, centred }}\n\
         piece hand of board {{ size 16mm by 40mm hole pin: 3mm, centred }}\n\
         piece plate of board {{ size 60mm by 60mm hole pin: 3mm, centred }}\n{}{}\
         pose rest {{ axle 0deg }}\n",
        statement[first], statement[second]
    )
}

fn said_of(assembly: &Assembly, making: &Making, joint: &str) -> String {
    making.steps[joining(assembly, making, joint) - 1].words.say(Units::Mm)
}

#[test]
fn a_brad_names_every_sheet_that_it_goes_through() {
    for order in ["brad first", "glue first"] {
        let assembly = sound(&dial(order, "back of plate to front", "hand.pin, page.pin"));
        let making = making::making(&assembly, &English);
        let at = |joint: &str| joining(&assembly, &making, joint);
        in_order(&[("plate", at("plate on page")), ("axle", at("axle"))]);
        let said = said_of(&assembly, &making, "axle");
        assert!(
            said.contains("through B hand, C plate and A page, and open its legs behind A page"),
            "{said}"
        );
        let reason = making.steps[at("plate on page") - 1].reason.as_ref().expect("a reason").say(Units::Mm);
        assert!(reason.contains("the brad of B hand goes through C plate too"), "{reason}");
    }
    // From behind, the page is the foremost and the hand takes the legs.
    let assembly = sound(&dial("brad first", "front of plate to back", "hand.pin, page.pin: hand behind"));
    let making = making::making(&assembly, &English);
    let said = said_of(&assembly, &making, "axle");
    assert!(said.contains("through A page, C plate and B hand, and open its legs behind B hand"), "{said}");
    // The plate on the far side of the page takes the legs.
    let assembly = sound(&dial("brad first", "front of plate to back", "hand.pin, page.pin"));
    let making = making::making(&assembly, &English);
    let at = |joint: &str| joining(&assembly, &making, joint);
    in_order(&[("plate", at("plate on page")), ("axle", at("axle"))]);
    let said = said_of(&assembly, &making, "axle");
    assert!(said.contains("through B hand, A page and C plate, and open its legs behind C plate"), "{said}");
}

#[test]
fn a_sheet_that_a_brad_does_not_hold_is_not_named() {
    // The plate has paper where the legs are, or lets the whole head through: as before, it comes after the brad.
    for hole in ["", "window eye: circle 12mm, centred"] {
        let text = dial("glue first", "front of plate to back", "hand.pin, page.pin");
        let text =
            text.replace("size 60mm by 60mm hole pin: 3mm, centred", &format!("size 60mm by 60mm {hole}"));
        let assembly = sound(&text);
        let making = making::making(&assembly, &English);
        let said = said_of(&assembly, &making, "axle");
        assert!(said.contains("through both holes") && !said.contains("plate"), "{said}");
    }
    // A plate that is stuck down all over lies under the hand, however wide its window is.
    let text = dial("brad first", "back of plate to front", "hand.pin, page.pin")
        .replace("size 60mm by 60mm hole pin: 3mm", "size 60mm by 60mm window eye: circle 12mm")
        .replace(", along edges 6mm", "");
    let assembly = sound(&text);
    let making = making::making(&assembly, &English);
    let at = |joint: &str| joining(&assembly, &making, joint);
    in_order(&[("plate", at("plate on page")), ("axle", at("axle"))]);
    assert!(said_of(&assembly, &making, "axle").contains("B hand, C plate and A page"));
}

#[test]
fn a_sheet_that_only_the_brad_holds_is_laid_with_the_part() {
    let text = dial("brad first", "back of plate to front", "hand.pin, plate.pin, page.pin");
    let text: String = text.lines().filter(|l| !l.starts_with("glue")).map(|l| format!("{l}\n")).collect();
    let assembly = lower(&text).assembly;
    let making = making::making(&assembly, &English);
    let said = said_of(&assembly, &making, "axle");
    assert!(said.starts_with("Lay C plate and B hand on the front of A page"), "{said}");
    assert!(said.contains("through B hand, C plate and A page"), "{said}");
    let cut = step(&making, |s| s.kind() == WorkKind::Cut && s.parts.contains(&2));
    in_order(&[("cut", cut), ("axle", joining(&assembly, &making, "axle"))]);
}
