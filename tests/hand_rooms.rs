//! How far a hand may be off, on designs whose rooms are worked out by hand.

use plica::compile::{Compiled, PRECISION_MM, WIDEST_MM, compile_text, rooms};
use plica::meaning::Request;
use plica::source::Memory;

fn compile(text: &str) -> Compiled {
    let compiled = compile_text(text, &Memory::default(), &Request::default()).expect("the text is at hand");
    let told: Vec<_> = compiled.findings.list().iter().map(|f| &f.telling.message).collect();
    assert!(!compiled.findings.has_errors(), "{told:?}");
    compiled
}

/// The room of the measurement that is written so at its first place in the text.
fn room_of(text: &str, written: &str) -> Option<(f64, f64)> {
    let at = text.find(written).expect("it is written");
    let found = rooms(&compile(text)).into_iter().find(|r| r.span.start as usize == at);
    found.map(|r| (r.less, r.more))
}

/// A kite of 40 mm by 59 mm that must stay at most 62 mm high; the path begins at its lowest point.
const KITE: &str = r#"card "Kite"
paper thin: 120gsm, 0.15mm thick
piece kite of thin {
  shape path (20mm, 60mm)
    line to (0mm, 21mm)
    arc through (2mm, 10mm) to (8mm, 5mm)
    line to (22mm, 1mm)
    line to (40mm, 20mm)
    line to (20mm, 60mm)
}
expect height(kite) <= 62mm
"#;

#[test]
fn the_start_of_a_path_takes_its_closing_point_along() {
    let top = room_of(KITE, "60mm").expect("the start is measured");
    assert_eq!(top.0, WIDEST_MM, "{top:?}");
    assert!((top.1 - 3.0).abs() <= PRECISION_MM, "{top:?}");
    let across = room_of(KITE, "20mm").expect("the start is measured");
    assert_eq!(across, (WIDEST_MM, WIDEST_MM), "sideways nothing stops it");
}

#[test]
fn a_closing_point_is_told_once() {
    let closing = KITE.rfind("(20mm, 60mm)").expect("the last point") as u32;
    let told: Vec<_> = rooms(&compile(KITE)).iter().map(|r| r.span.start).collect();
    assert!(told.contains(&(KITE.find("20mm, 60mm").unwrap() as u32)), "{told:?}");
    assert!(!told.iter().any(|at| (closing..closing + 12).contains(at)), "{told:?}");
}
