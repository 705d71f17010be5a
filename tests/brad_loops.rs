//! Rings of brads: what nobody sets follows from the ring, and what keeps a pose from being taken is told by its kind.
//! The four arms of the swing are a parallelogram, so every angle is known beforehand.

use plica::compile::{Compiled, compile_text};
use plica::making::words::English;
use plica::making::{WorkKind, making};
use plica::meaning::Request;
use plica::source::Memory;

const SWING: &str = r#"card "Swing"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 160mm by 160mm
  hole l: 3mm, 50mm from left, 40mm from top
  hole r: 3mm, 110mm from left, 40mm from top
}
piece arm_l of board {
  size 16mm by 66mm
  hole up: 3mm, centred across, 8mm from top
  hole low: 3mm, centred across, 58mm from top
}
piece arm_r of board {
  size 16mm by 66mm
  hole up: 3mm, centred across, 8mm from top
  hole low: 3mm, centred across, 58mm from top
}
piece seat of board {
  size 76mm by 16mm
  hole l: 3mm, 8mm from left, centred down
  hole r: 3mm, 68mm from left, centred down
}
brad a through arm_l.up, page.l
brad b through arm_r.up, page.r
brad c through seat.l, arm_l.low
brad d through seat.r, arm_r.low
"#;

fn compile(poses: &str) -> Compiled {
    let text = format!("{SWING}{poses}");
    compile_text(&text, &Memory::default(), &Request::default()).expect("the text is at hand")
}

/// What is said of the poses.
fn told(poses: &str) -> Vec<String> {
    let compiled = compile(poses);
    let list = compiled.findings.list().iter();
    list.filter(|f| f.name() == "pose-does-not-close").map(|f| f.telling.message.clone()).collect()
}

#[test]
fn brads_that_nobody_sets_follow_from_the_ring() {
    for angle in [-40.0, -5.0, 25.0, 40.0, 80.0] {
        let compiled = compile(&format!("pose swung {{ a {angle}deg }}\n"));
        let state = &compiled.states[0];
        assert!(state.fault.is_none() && state.gap_mm < 1e-6, "{angle}: {:?}", state.fault);
        let value = |name: &str| {
            let joint = compiled.assembly.joints.iter().position(|j| j.name == name).expect("the brad");
            state.values[joint]
        };
        // The seat stays level: it turns back in its brads by what the arms turn.
        assert!((value("b") - value("a")).abs() < 1e-6, "{angle}");
        assert!((value("c") + value("a")).abs() < 1e-6, "{angle}");
        assert!((value("d") + value("a")).abs() < 1e-6, "{angle}");
    }
}

#[test]
fn holes_that_do_not_meet_are_told_with_their_distance() {
    // The end of a seat of 60 mm that is turned by 20 degrees too little.
    let apart = 2.0 * 60.0 * libm::sin(10f64.to_radians());
    let told = told("pose skew { a 40deg  b 40deg  c -20deg  d -40deg }\n");
    assert_eq!(told, [format!("pose `skew` cannot be taken: the holes of `d` stay {apart:.1} mm apart")]);
}

#[test]
fn holes_that_nothing_brings_together_are_told_with_what_is_left_at_the_best() {
    // The arms swing apart by 40 degrees each: their ends are 60 + 2 * 50 sin 40 degrees apart, and the seat lies straight
    // between them with its 60 mm.
    let apart = 2.0 * 50.0 * libm::sin(40f64.to_radians());
    let told = told("pose split { a 40deg  b -40deg }\n");
    assert_eq!(told, [format!("pose `split` cannot be taken: the holes of `d` stay {apart:.1} mm apart")]);
}

#[test]
fn a_misfit_that_is_a_turn_is_told_in_degrees() {
    let told = told("pose skew { a 40deg  b 40deg  c -40deg  d -30deg }\n");
    assert_eq!(told, ["pose `skew` cannot be taken: the two sides of `d` stay turned by 10°"]);
}

#[test]
fn a_fold_that_would_have_to_fold_the_other_way_is_named() {
    let terrace = |ridge: &str| {
        format!(
            "card \"Stage\"\npaper board: 250gsm, 0.3mm thick\n\
             piece page of board {{ size 200mm by 120mm valley spine: 100mm from left panels left, right from left }}\n\
             piece terrace of board {{\n  size 100mm by 30mm\n  mountain 10mm, 90mm from left\n  \
             {ridge} ridge: 60mm from left\n  panels foot_l, side, top, foot_r from left\n}}\n\
             glue back of terrace.foot_l to front of page.left: crease 30mm left of spine, 40mm from top\n\
             glue back of terrace.foot_r to front of page.right: crease 50mm right of spine, 40mm from top\n\
             pose stage {{ page.spine 90deg }}\n"
        )
    };
    let text = terrace("mountain");
    let compiled = compile_text(&text, &Memory::default(), &Request::default()).expect("the text is at hand");
    let told: Vec<_> = compiled.findings.list().iter().map(|f| f.telling.message.as_str()).collect();
    assert!(told[0].contains("would have to fold the other way, by"), "{told:?}");
    assert!(!told[0].contains("0 mm"), "{told:?}");
}

/// A seat whose arms are still loose can be pinned to them from both sides; once the arms hang on the page, the page lies
/// behind those brads. Which of the two comes first is free.
#[test]
fn a_ring_of_brads_is_made_from_the_outermost_inwards() {
    let compiled = compile("pose swung { a 25deg }\n");
    let told: Vec<_> = compiled.findings.list().iter().map(|f| f.telling.message.as_str()).collect();
    assert!(told.is_empty(), "{told:?}");
    let making = making(&compiled.assembly, &English);
    let brads: Vec<&str> = making
        .steps
        .iter()
        .filter(|step| step.kind() == WorkKind::Pin)
        .flat_map(|step| step.joints.iter().map(|j| compiled.assembly.joints[*j].name.as_str()))
        .collect();
    assert_eq!(brads, ["c", "d", "a", "b"]);
    assert!(making.steps.iter().all(|step| step.after.iter().all(|before| *before < step.number)));
    // None of the four turns once round by itself: they are tried together, when all are in.
    let runs: Vec<_> = making.steps.iter().filter(|step| step.kind() == WorkKind::Try).collect();
    let [run] = runs.as_slice() else { panic!("{} dry runs", runs.len()) };
    assert!(
        run.number
            > making.steps.iter().filter(|s| s.kind() == WorkKind::Pin).map(|s| s.number).max().unwrap()
    );
    let said = run.words.say(plica::quantity::Units::Mm);
    assert!(said.contains("swing B arm_l, C arm_r and D seat to and fro"), "{said}");
}

/// The same ring with its motion stated is tried by that motion alone.
#[test]
fn a_motion_tries_the_ring_that_it_moves() {
    let compiled = compile("pose left { a -20deg }\nmotion swing { a -20deg to 20deg }\n");
    let making = making(&compiled.assembly, &English);
    let runs: Vec<_> = making.steps.iter().filter(|step| step.kind() == WorkKind::Try).collect();
    assert_eq!(runs.len(), 1);
    let last = making.steps.iter().filter(|s| s.kind() == WorkKind::Pin).map(|s| s.number).max();
    assert!(Some(runs[0].number) > last, "{last:?}");
}

/// Whichever of its two sheets a brad names first, and whether the ring hangs on a page or only on itself.
#[test]
fn every_sound_ring_of_brads_can_be_made() {
    let on_page = format!("{SWING}pose swung {{ a 25deg }}\n");
    let alone = "card \"Four strips\"\npaper board: 250gsm, 0.3mm thick\n\
         piece a of board { size 80mm by 16mm hole l: 3mm, 8mm from left, centred hole r: 3mm, 72mm from left, centred }\n\
         piece b of board { size 16mm by 60mm hole u: 3mm, 8mm from top, centred hole l: 3mm, 52mm from top, centred }\n\
         piece c of board { size 80mm by 16mm hole l: 3mm, 8mm from left, centred hole r: 3mm, 72mm from left, centred }\n\
         piece d of board { size 16mm by 60mm hole u: 3mm, 8mm from top, centred hole l: 3mm, 52mm from top, centred }\n\
         brad p through b.u, a.l\nbrad q through d.u, a.r\nbrad r through c.l, b.l\nbrad s through c.r, d.l\n\
         pose skew { p 20deg }\n";
    let turned = |text: &str, pairs: &[(&str, &str)]| {
        pairs.iter().fold(text.to_string(), |text, (one, other)| {
            text.replace(&format!("through {one}, {other}"), &format!("through {other}, {one}"))
        })
    };
    let behind = |hole: &str| (format!("{hole}\n"), format!("{hole}: seat behind\n"));
    let (l, r) = (behind("seat.l, arm_l.low"), behind("seat.r, arm_r.low"));
    for text in [
        on_page.replace(&l.0, &l.1).replace(&r.0, &r.1),
        turned(&on_page, &[("seat.r", "arm_r.low")]),
        turned(&on_page, &[("seat.l", "arm_l.low"), ("seat.r", "arm_r.low")]),
        alone.to_string(),
        turned(alone, &[("b.u", "a.l"), ("c.l", "b.l")]),
        turned(alone, &[("d.u", "a.r")]),
    ] {
        let compiled =
            compile_text(&text, &Memory::default(), &Request::default()).expect("the text is at hand");
        let told: Vec<_> = compiled.findings.list().iter().map(|f| f.telling.message.as_str()).collect();
        assert!(told.is_empty(), "{told:?}\n{text}");
        let steps = making(&compiled.assembly, &English).steps;
        let pins: Vec<_> = steps.iter().filter(|s| s.kind() == WorkKind::Pin).collect();
        assert_eq!(pins.len(), 4, "{text}");
        for pin in pins {
            let said = pin.words.say(plica::quantity::Units::Mm);
            assert!(said.contains("both holes"), "{said}");
        }
        assert!(steps.iter().all(|step| step.after.iter().all(|before| *before < step.number)), "{text}");
    }
}
