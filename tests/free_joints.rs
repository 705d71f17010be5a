//! Tiers worked in any order: the proof that one order of the layers holds everywhere, against places looked at one by
//! one.

use plica::assembly::{Assembly, JointId, JointKind};
use plica::compile::{Compiled, compile_text};
use plica::layers::{Kept, Play, card, contradiction, holds_everywhere};
use plica::meaning::Request;
use plica::motion::{PoseState, lower, stand_lowered};
use plica::source::Memory;

const LIGHTHOUSE: &str = include_str!("../lang-examples/lighthouse.plica");
const BEANSTALK: &str = include_str!("../lang-examples/beanstalk.plica");

/// A letter under a pocket that is glued along one side; it slides aside on a carrier that slides out of the pocket.
fn pocket(glued: &str) -> String {
    format!(
        "card \"Pigeon post\"\npaper wall: 250gsm, 0.30mm thick\n\
         piece page of wall {{ size 140mm by 180mm }}\npiece pocket of wall {{ size 90mm by 60mm }}\n\
         glue back of pocket to front of page: 25mm from left, 10mm from bottom, along {glued} 10mm\n\
         piece carrier of wall {{ size 30mm by 40mm }}\n\
         slide carrier on front of page: 55mm from left, 115mm from top, towards top, under pocket, from 0mm to 70mm\n\
         piece letter of wall {{ size 24mm by 30mm }}\n\
         slide letter on front of carrier: 3mm from left, 5mm from top, towards right, under pocket, from 0mm to 30mm\n\
         pose shut {{ carrier at bottom  letter at left }}\n"
    )
}

fn compiled(text: &str) -> Compiled {
    let request = Request { path: "tiers.plica".into(), ..Request::default() };
    compile_text(text, &Memory::default(), &request).expect("a design in memory is read")
}

/// The slides of a design with their ranges.
fn slides(assembly: &Assembly) -> Vec<(JointId, f64, f64)> {
    let range = |(id, joint): (JointId, &plica::assembly::Joint)| match &joint.kind {
        JointKind::Slide { range, .. } => Some((id, range.0, range.1)),
        _ => None,
    };
    assembly.joints.iter().enumerate().filter_map(range).collect()
}

/// Panels that hold together with the part of a joint when the joint is taken away.
fn moved_with(assembly: &Assembly, id: JointId) -> Vec<bool> {
    let mut with = vec![false; assembly.panels.len()];
    with[assembly.joints[id].b] = true;
    for _ in 0..assembly.joints.len() {
        for (_, joint) in assembly.joints.iter().enumerate().filter(|(other, _)| *other != id) {
            let either = with[joint.a] || with[joint.b];
            with[joint.a] = either;
            with[joint.b] = either;
        }
    }
    with
}

fn at(assembly: &Assembly, values: &[(JointId, f64)]) -> PoseState {
    stand_lowered(assembly, &lower(assembly), "here", values)
}

fn is_proven(assembly: &Assembly) -> bool {
    let start = assembly.poses[0].values.clone();
    let stands = |id: JointId| start.iter().find(|(j, _)| *j == id).map_or(0.0, |(_, v)| *v);
    let play = |(id, low, high): (JointId, f64, f64)| Play {
        joint: id,
        with: moved_with(assembly, id),
        low: low - stands(id),
        high: high - stands(id),
    };
    let plays: Vec<Play> = slides(assembly).into_iter().map(play).collect();
    let state = at(assembly, &start);
    let kept = Kept::default();
    let here = card(assembly, &state, &kept);
    holds_everywhere(assembly, &state, &[&here], &plays, &kept)
}

/// Places of a grid over the slides' ranges at which the layers have no order.
fn places_without_order(assembly: &Assembly, steps: usize) -> usize {
    let slides = slides(assembly);
    let count = (steps + 1).pow(slides.len() as u32);
    let kept = Kept::default();
    let without = (0..count).filter(|number| {
        let mut values = assembly.poses[0].values.clone();
        let mut rest = *number;
        for (id, low, high) in &slides {
            let share = (rest % (steps + 1)) as f64 / steps as f64;
            rest /= steps + 1;
            values.retain(|(j, _)| j != id);
            values.push((*id, low + (high - low) * share));
        }
        contradiction(assembly, &at(assembly, &values), &kept).is_some()
    });
    without.count()
}

#[test]
fn tiers_that_are_proven_have_an_order_wherever_they_are_looked_at() {
    for (text, steps) in [(LIGHTHOUSE.to_string(), 6), (BEANSTALK.to_string(), 3), (pocket("left"), 8)] {
        let assembly = compiled(&text).assembly;
        assert!(slides(&assembly).len() >= 2);
        assert!(is_proven(&assembly), "{}", assembly.title);
        assert_eq!(places_without_order(&assembly, steps), 0, "{}", assembly.title);
    }
}

#[test]
fn tiers_without_an_order_in_some_place_are_not_proven() {
    let assembly = compiled(&pocket("right")).assembly;
    let without = places_without_order(&assembly, 8);
    // Aside by more than 23 mm (2 of 8 steps on), and not yet out of the pocket.
    assert!(without > 0 && without < 81, "{without}");
    assert!(!is_proven(&assembly));
}

#[test]
fn every_order_of_the_examples_tiers_is_free() {
    for text in [LIGHTHOUSE, BEANSTALK] {
        let found = compiled(text).findings;
        assert!(found.list().iter().all(|f| f.name() != "blocked-in-other-order"));
    }
}

#[test]
fn a_latch_is_told_with_the_places_of_both() {
    let found = compiled(&pocket("right")).findings;
    let told: Vec<_> = found.list().iter().filter(|f| f.name() == "blocked-in-other-order").collect();
    assert!(told.is_empty(), "nothing moves them in a motion, and there is one pose only");
    let text = pocket("right") + "motion send { carrier bottom to top then letter left to right }\n";
    let found = compiled(&text).findings;
    let told: Vec<_> = found.list().iter().filter(|f| f.name() == "blocked-in-other-order").collect();
    assert_eq!(told.len(), 1);
    let value = |name: &str| told[0].telling.measured.iter().find(|m| m.name == name).map(|m| m.value);
    // The letter is 58 mm to 82 mm from the left, the glue begins at 105 mm.
    let stopped = value("stopped_at").expect("it says where it stops");
    assert!((stopped - 23.0).abs() < 0.1, "{stopped}");
    assert_eq!(value("wanted"), Some(30.0));
}
