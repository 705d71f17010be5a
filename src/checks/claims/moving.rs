//! Whether a motion can be made: its loops close all the way, its panels do not pass through each other, and while the
//! card is flat its layers have an order.

use super::{Found, LAYERS_BLOCK};
use crate::assembly::claims::{MotionId, Part};
use crate::assembly::{JointId, Move};
use crate::checks::Subject;
use crate::checks::stuck::open_sides;
use crate::checks::way::{Hindrance, hindrance, set};
use crate::findings::{COMES_OUT, Label, Named};

pub fn moves(subject: &Subject, id: MotionId) -> Found {
    let assembly = subject.assembly;
    let Some(motion) = assembly.motions.get(id) else {
        return Found::Unknown("the motion is not known".into());
    };
    let contradicts = subject.cards.iter().any(|c| c.contradiction.is_some());
    if motion.partial
        || !assembly.missing.is_empty()
        || contradicts
        || subject.states.iter().any(|s| s.fault.is_some())
    {
        return Found::Told;
    }
    let mut values = assembly.beginning(motion);
    for leg in &motion.legs {
        let start = values.clone();
        let found = match leg_moves(subject, leg, &start) {
            Found::Truth { holds: true, .. } => None,
            other => Some(other),
        };
        if let Some(found) = found {
            return found;
        }
        for step in leg {
            set(&mut values, step.joint, step.to);
        }
    }
    Found::truth(true, "")
}

fn leg_moves(subject: &Subject, leg: &[Move], start: &[(JointId, f64)]) -> Found {
    let names = |parts: &[Named; 2]| format!("`{}` and `{}`", parts[0].name, parts[1].name);
    let no = |because: String, others: Vec<Label>| Found::Truth { holds: false, because, others };
    let assembly = subject.assembly;
    match hindrance(subject, leg, start) {
        None => Found::truth(true, ""),
        Some(Hindrance::Opens { at, joint }) => {
            let joint = joint.and_then(|j| assembly.joints.get(j));
            let label = |j: &crate::assembly::Joint| Label { span: j.span, text: "does not close".into() };
            no(
                format!("{} of the way, a loop of folds does not close", part_of_way(at)),
                joint.map(label).into_iter().collect(),
            )
        }
        Some(Hindrance::OpensOnTheWay) => no("a loop of folds does not close on the way".into(), Vec::new()),
        Some(Hindrance::Layers { at, joints }) => {
            let label = |&j: &JointId| {
                let joint = assembly.joints.get(j)?;
                Some(Label { span: joint.span, text: format!("`{}`", joint.name) })
            };
            no(
                format!("{} of the way, {LAYERS_BLOCK}", part_of_way(at)),
                joints.iter().filter_map(label).collect(),
            )
        }
        Some(Hindrance::Meet { at, parts }) => {
            let label = |n: &Named| Label { span: n.span, text: format!("`{}`", n.name) };
            no(
                format!("{} of the way, {} run into each other", part_of_way(at), names(&parts)),
                parts.iter().map(label).collect(),
            )
        }
        Some(Hindrance::Near { at, parts }) => Found::Unknown(format!(
            "{} of the way, {} come so near each other that it stays open whether they touch",
            part_of_way(at),
            names(&parts)
        )),
        Some(Hindrance::Free { part }) => Found::Unknown(format!(
            "nothing holds `{}` on the way, and the motion does not say how it goes",
            part.name
        )),
        Some(Hindrance::NotFound) => Found::Unknown("the motion was not found".into()),
    }
}

fn part_of_way(s: f64) -> String {
    format!("{} %", (s * 100.0).round())
}

/// The part cannot come out: every slide of the motion has a stop at either end.
pub fn captive(subject: &Subject, part: &Part, id: MotionId) -> Found {
    let assembly = subject.assembly;
    let Some(motion) = assembly.motions.get(id) else {
        return Found::Unknown("the motion is not known".into());
    };
    if motion.partial || !assembly.missing.is_empty() {
        return Found::Told;
    }
    for step in motion.legs.iter().flatten() {
        let Some(joint) = assembly.joints.get(step.joint) else { continue };
        let Some(open) = open_sides(joint) else { continue };
        if assembly.without_stop.contains(&step.joint) {
            return Found::Told;
        }
        return Found::Truth {
            holds: false,
            because: format!("nothing stops `{}` towards the {}", joint.name, open),
            others: vec![
                Label { span: joint.span, text: COMES_OUT.into() },
                Label { span: part.span, text: "and this with it".into() },
            ],
        };
    }
    Found::truth(true, "")
}
