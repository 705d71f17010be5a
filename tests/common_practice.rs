//! A three-part strap slider as it is commonly cut, measured through the whole compiler.
//!
//! Every number here is common practice, no source: it is a check value and nothing else.

use plica::assembly::JointKind;
use plica::compile::{Compiled, compile_text};
use plica::meaning::Request;
use plica::source::Memory;

const INCH: f64 = 25.4;

/// Sheath and sleeve, each with two slots and a strap; a card on top; each tier flush with the foot of the strap
/// below it.
const SLIDER: &str = r#"
card "Three parts"
paper board: 80lb cover, 0.010in thick, sheet 12in by 12in
piece sheath of board {
  size 10 1/2in by 5in
  valley 5in, 10in from left, folded flat
  panels face, rear, lap from left
  slot a on face: 1/16in wide, 1 1/2in from left, 1/2in to 3 1/4in from top
  slot b on face: 1/16in wide, 3 1/2in from left, 1/2in to 3 1/4in from top
}
strap low of board around sheath.face between a, b: 1/4in wide, 1/2in overlap
piece sleeve of board {
  size 4 1/2in by 4in
  slot a: 1/16in wide, 1 1/4in from left, 1/2in to 2 1/4in from top
  slot b: 1/16in wide, 3 1/4in from left, 1/2in to 2 1/4in from top
}
strap high of board around sleeve between sleeve.a, sleeve.b: 1/4in wide, 1/2in overlap
piece top_card of board { size 4in by 3in }
glue back of sleeve to front of low: bottom to bottom, centred
glue back of top_card to front of high: bottom to bottom, centred
GRIP
pose shut { low at bottom  high at bottom }
pose open { low at top  high at top }
"#;

const GRIP: &str = "piece grip of board { shape circle 1in }\n\
                    glue front of grip to back of top_card: grip.top 1/2in above top_card.top, centred\n";

fn compiled(text: &str) -> Compiled {
    let request = Request { path: "three.plica".into(), ..Request::default() };
    compile_text(text, &Memory::default(), &request).expect("a design in memory is read")
}

fn slider(grip: &str) -> Compiled {
    compiled(&SLIDER.replace("GRIP", grip))
}

fn height(compiled: &Compiled, pose: &str) -> f64 {
    let state = compiled.states.iter().find(|s| s.name == pose).expect("the pose is there");
    state.extent(&compiled.assembly).height / INCH
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found} in where {wanted} in is right");
}

#[test]
fn travels_follow_from_slots_and_straps() {
    let card = slider("");
    let travels: Vec<f64> = card
        .assembly
        .joints
        .iter()
        .filter_map(|j| match &j.kind {
            JointKind::Slide { range, .. } => Some((range.1 - range.0) / INCH),
            _ => None,
        })
        .collect();
    assert_eq!(travels.len(), 2);
    near(travels[0], 2.5);
    near(travels[1], 1.5);
}

#[test]
fn heights_shut_and_open() {
    near(height(&slider(""), "shut"), 6.5);
    near(height(&slider(GRIP), "shut"), 7.0);
    near(height(&slider(GRIP), "open"), 11.0);
}

/// 2 × a bar of 2 in + 1/2 in overlap, and what the paper's thickness takes on top.
#[test]
fn a_strap_is_twice_the_bar_and_the_overlap() {
    let card = slider("");
    let strap = card.assembly.pieces.iter().find(|p| p.name == "low").expect("the strap is a piece");
    let thickness = 0.010 * (2.0 + std::f64::consts::PI);
    near(strap.bounds.width() / INCH, 4.5 + thickness);
    near(strap.bounds.height() / INCH, 0.25);
}

#[test]
fn mats_are_a_quarter_inch_less_than_their_panel() {
    let card = slider("mat paint of board on front of top_card: 1/8in border");
    let mat = card.assembly.pieces.iter().find(|p| p.name == "paint").expect("the mat is a piece");
    near(mat.bounds.width() / INCH, 3.75);
    near(mat.bounds.height() / INCH, 2.75);
}

fn errors(compiled: &Compiled) -> Vec<&'static str> {
    use plica::findings::Severity;
    compiled.findings.list().iter().filter(|f| f.severity() == Severity::Error).map(|f| f.name()).collect()
}

/// A liner as tall as the sleeve lies on the strap that is stuck at its foot; half an inch shorter does not.
#[test]
fn a_full_liner_fouls_the_strap_at_its_foot() {
    let liner = |tall: &str| {
        slider(&format!(
            "piece liner of board {{ size 4in by {tall} }}\nglue front of liner to back of sleeve: top to top, centred, along edges 1/4in\n"
        ))
    };
    assert!(!errors(&liner("4in")).is_empty(), "the strap's place is taken");
    let shorter = liner("3 1/2in");
    assert_eq!(errors(&shorter), Vec::<&str>::new());
}

/// A tent foot 8 1/2 in × 4 in scored at 3, 6, 7 and 8 in, its 1/2 in end glued: it folds flat, because 3 + 1 on one
/// side meet 3 + 1 on the other.
#[test]
fn a_tent_foot_folds_flat() {
    let foot = compiled(
        r#"
card "Foot"
paper board: 80lb cover, 0.010in thick, sheet 12in by 12in
piece foot of board {
  size 8 1/2in by 4in
  valley apex: 3in from left
  valley heel: 6in from left
  mountain sole: 7in from left
  valley seam: 8in from left
  panels front, rear, floor_out, floor_in, lap from left
}
glue back of foot.lap to front of foot.front
pose shut { foot.apex folded flat  foot.heel folded flat  foot.sole folded flat  foot.seam folded flat }
"#,
    );
    let shut = foot.states.first().expect("one pose");
    assert!(shut.fault.is_none() && shut.gap_mm < 0.05, "gap {}", shut.gap_mm);
    near(shut.extent(&foot.assembly).width / INCH, 3.0);
}
