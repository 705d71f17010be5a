//! Which way a card falls, and by how much, against centres of mass worked out by hand.

use plica::compile::{Compiled, compile_text, try_mends};
use plica::meaning::Request;
use plica::source::Memory;

/// A back of 80 mm, upright, with a roof of 30 mm that reaches behind it and a foot of `foot` mm in front, all 60 mm wide.
/// `behind` looks at it from the other side.
fn easel(foot: f64, behind: bool, rest: &str) -> String {
    let side = if behind { "back" } else { "front" };
    format!(
        "card \"Notice board\"\npaper board: 250gsm, 0.3mm thick\nview {side} of easel.back\npiece easel of board {{\n  \
         size 60mm by {}mm\n  mountain top: 30mm from top, folded 90deg\n  valley knee: 110mm from top, folded 90deg\n  \
         panels roof, back, foot from top\n}}\npose up {{ }}\n{rest}",
        110.0 + foot
    )
}

/// An upright of 20 mm on a foot of 12 mm, with an arm of 30 mm that reaches 80 mm to the left.
fn signpost(side: &str) -> String {
    format!(
        "card \"Signpost\"\npaper board: 250gsm, 0.3mm thick\nview {side} of pole.arm\npiece pole of board {{\n  \
         shape polygon (0mm, 0mm) (100mm, 0mm) (100mm, 92mm) (80mm, 92mm) (80mm, 30mm) (0mm, 30mm)\n  \
         valley knee: 80mm from top, 80mm to 100mm from left, folded 90deg\n  panels arm, foot from top\n}}\n\
         pose up {{ }}\nexpect stands(up)\n"
    )
}

fn compile(text: &str) -> Compiled {
    compile_text(text, &Memory::default(), &Request::default()).expect("the text is at hand")
}

/// Name and message of what is found, notes left out.
fn told(text: &str) -> Vec<(&'static str, String)> {
    let list = compile(text).findings.list().to_vec();
    list.iter().map(|f| (f.name(), f.telling.message.clone())).collect()
}

/// Moment about the back, per width: the roof's area times half its depth against the foot's.
fn beyond(foot: f64) -> f64 {
    (30.0 * 15.0 - foot * foot / 2.0) / (110.0 + foot)
}

fn tilt(foot: f64) -> f64 {
    let height = (30.0 * 80.0 + 80.0 * 40.0) / (110.0 + foot);
    libm::atan(-beyond(foot) / height).to_degrees()
}

#[test]
fn a_claim_to_stand_that_fails_says_which_way_and_by_how_much() {
    for (behind, way) in [(false, "backwards"), (true, "forwards")] {
        let by = beyond(12.0);
        let expected =
            format!("in `up` the card tips over {way}: its weight lies {by:.1} mm beyond its feet");
        assert_eq!(told(&easel(12.0, behind, "expect stands(up)\n")), [("tips-over", expected)]);
    }
}

#[test]
fn an_arm_pulls_a_card_over_to_its_side() {
    let middle = (3000.0 * 50.0 + 1000.0 * 90.0 + 240.0 * 90.0) / 4240.0;
    for (side, way) in [("front", "to the left"), ("back", "to the right")] {
        let by = 80.0 - middle;
        let expected =
            format!("in `up` the card tips over {way}: its weight lies {by:.1} mm beyond its feet");
        assert_eq!(told(&signpost(side)), [("tips-over", expected)]);
    }
}

#[test]
fn a_card_that_stands_unsteadily_says_how_far_it_can_be_tilted() {
    for foot in [32.0, 40.0] {
        let (inside, tilt) = (-beyond(foot), tilt(foot));
        let expected = format!(
            "in `up` the card tips over backwards when it is tilted by {tilt:.1}°: its weight lies {inside:.1} mm inside \
             its feet"
        );
        assert_eq!(told(&easel(foot, false, "expect stands(up)\n")), [("unsteady", expected)]);
    }
    assert!(tilt(44.0) > 5.0);
    assert_eq!(told(&easel(44.0, false, "expect stands(up)\n")), []);
}

#[test]
fn a_foot_on_the_ground_is_looked_at_without_a_claim() {
    let by = beyond(12.0);
    let expected =
        format!("in `up` the card tips over backwards: its weight lies {by:.1} mm beyond its feet");
    assert_eq!(told(&easel(12.0, false, "")), [("unsteady", expected)]);
    assert_eq!(told(&easel(12.0, false, "expect not stands(up)\n")), [], "the claim says that it falls");
}

#[test]
fn the_mend_is_the_least_foot_that_stands_steadily() {
    let mut compiled = compile(&easel(12.0, false, "expect stands(up)\n"));
    try_mends(&mut compiled, &Memory::default(), &Request::default());
    let mend = compiled.findings.list()[0].mend.clone().expect("there is a mend").edits[0].text.clone();
    let foot = mend.trim_end_matches("mm").parse::<f64>().expect("a length") - 110.0;
    assert!(tilt(foot) >= 5.0 && tilt(foot - 0.2) < 5.0, "{foot}");
}

/// A picture of 150 mm stands on its lower edge and on a strut that leaves it by 25° at 120 mm above the ground: it reaches
/// the ground when its leg is 120 / cos 25° = 132.4 mm long.
fn picture(leg: f64) -> String {
    format!(
        "card \"Postcard easel\"\npaper board: 400gsm, 0.5mm thick\nview front of face\npiece face of board {{ size 100mm by \
         150mm }}\npiece strut of board {{\n  size 40mm by {}mm\n  valley bend: 20mm from top\n  panels root, leg from top\n\
         }}\nglue back of strut.root to back of face: centred across, 10mm from top\npose stood {{ strut.bend 25deg }}\n\
         expect stands(stood)\n",
        20.0 + leg
    )
}

#[test]
fn a_card_finds_its_own_level_where_a_hand_is_off() {
    // 131.9 mm end 0.5 mm above the ground, 55.7 mm behind the picture: it leans back by half a degree.
    for leg in [131.9, 132.4, 132.9] {
        assert_eq!(told(&picture(leg)), [], "{leg}");
    }
}

#[test]
fn a_card_that_rests_beyond_its_pose_says_how_far_it_leans() {
    let (above, behind) =
        (120.0 - 128.0 * libm::cos(25f64.to_radians()), 128.0 * libm::sin(25f64.to_radians()));
    let lean = libm::atan(above / behind).to_degrees();
    let compiled = compile(&picture(128.0));
    let telling = &compiled.findings.list()[0].telling;
    assert_eq!(telling.message, "in `stood` the card falls over: it touches the ground along a line only");
    let rests = format!("let go, it leans {lean:.1}° backwards and comes to rest there");
    assert_eq!(telling.why.as_deref(), Some(rests.as_str()));
}
