//! How far a hand may be off, on designs whose rooms are worked out by hand.

use plica::compile::{Compiled, PRECISION_MM, WIDEST_MM, compile_text, hand};
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
    let found = hand(&compile(text), 0.5).rooms.into_iter().find(|r| r.span.start as usize == at);
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
    let told: Vec<_> = hand(&compile(KITE), 0.5).rooms.iter().map(|r| r.span.start).collect();
    assert!(told.contains(&(KITE.find("20mm, 60mm").unwrap() as u32)), "{told:?}");
    assert!(!told.iter().any(|at| (closing..closing + 12).contains(at)), "{told:?}");
}

/// Two posts that may be 1 mm too high together: each by itself 1 mm, both at once half of that each.
const POSTS: &str = r#"card "Posts"
paper thin: 120gsm, 0.15mm thick
piece page of thin { size 100mm by 140mm }
piece near of thin { size 20mm by 50mm }
piece far of thin { size 20mm by 50mm }
glue back of near to front of page: 20mm from left, 20mm from top
glue back of far to front of page: 60mm from left, 20mm from top
expect height(near) + height(far) <= 101mm
"#;

#[test]
fn what_each_may_be_off_by_itself_is_too_much_for_all_at_once() {
    let compiled = compile(POSTS);
    let asked = hand(&compiled, 2.0);
    let near = POSTS.find("20mm by 50mm").expect("it is written") as u32 + 8;
    let of_near = asked.rooms.iter().find(|r| r.span.start == near).expect("it is measured");
    // A claim with `<=` holds to half of what is reported, 0.05 mm.
    assert!((of_near.more - 1.05).abs() <= PRECISION_MM, "{of_near:?}");
    let together = asked.together.expect("every one of them has room");
    assert!((together.up_to - 0.525).abs() <= PRECISION_MM, "{together:?}");
    assert!(together.then.is_some() && together.ways > asked.rooms.len());
    // A hand that is off by less makes no difference, and nothing is said to happen beyond it.
    let together = hand(&compiled, 0.3).together.expect("every one of them has room");
    assert_eq!((together.up_to, together.then), (0.3, None));
}
