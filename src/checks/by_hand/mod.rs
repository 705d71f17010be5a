//! What a hand may do with the joints that are free: slides and pins on which nothing else depends.
//!
//! A motion says in which order they are worked; a hand may choose another. So each of them is looked at over its whole
//! range while the others stand anywhere in theirs: parts of one level that run into each other ([`levels`]), layers
//! that have no order and panels that pass through each other ([`order`]).

mod levels;
mod order;

use super::Subject;
use crate::assembly::{Assembly, JointId, JointKind, PanelId};
use crate::findings::{Findings, Named, StandsAt};

/// A pin without stops is turned this far to either side, degrees.
const HALF_TURN: f64 = 180.0;

/// A joint that a hand can work by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Free {
    id: JointId,
    /// mm, or degrees of a pin.
    low: f64,
    high: f64,
}

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    if !assembly.missing.is_empty() {
        return;
    }
    let free = free_joints(assembly);
    if free.len() < 2 {
        return;
    }
    let told = levels::check(assembly, &free, sink);
    order::check(subject, &free, &told, sink);
}

/// Slides that have both their stops, and pins, that are on no loop of joints.
fn free_joints(assembly: &Assembly) -> Vec<Free> {
    let found = assembly.joints.iter().enumerate().filter_map(|(id, joint)| {
        let (low, high) = match &joint.kind {
            JointKind::Slide { range, .. } => *range,
            JointKind::Pin { range, .. } => range.unwrap_or((-HALF_TURN, HALF_TURN)),
            _ => return None,
        };
        (low.is_finite() && high.is_finite() && low < high).then_some(Free { id, low, high })
    });
    found.filter(|f| !is_on_a_loop(assembly, f.id)).collect()
}

/// Whether other joints hold the two panels of a joint together as well.
fn is_on_a_loop(assembly: &Assembly, id: JointId) -> bool {
    let Some(joint) = assembly.joints.get(id) else { return true };
    held_without(assembly, id, joint.a).get(joint.b).copied().unwrap_or(true)
}

/// The panels that hold to one when a joint is taken away.
fn held_without(assembly: &Assembly, id: JointId, panel: PanelId) -> Vec<bool> {
    let mut reached = vec![false; assembly.panels.len()];
    let mut open = vec![panel];
    while let Some(panel) = open.pop() {
        if reached.get(panel).copied().unwrap_or(true) {
            continue;
        }
        reached[panel] = true;
        let others = assembly.joints.iter().enumerate();
        let others = others.filter(|(other, j)| *other != id && !matches!(j.kind, JointKind::Tuck { .. }));
        open.extend(others.filter_map(|(_, j)| match (j.a == panel, j.b == panel) {
            (true, false) => Some(j.b),
            (false, true) => Some(j.a),
            _ => None,
        }));
    }
    reached
}

/// The value of a joint in a list of values; what is not set rests at zero.
fn value_of(values: &[(JointId, f64)], id: JointId) -> f64 {
    values.iter().find(|(joint, _)| *joint == id).map_or(0.0, |(_, value)| *value)
}

fn with(values: &[(JointId, f64)], id: JointId, value: f64) -> Vec<(JointId, f64)> {
    let mut values: Vec<(JointId, f64)> = values.iter().copied().filter(|(joint, _)| *joint != id).collect();
    values.push((id, value));
    values
}

/// A joint and where it stands, for a finding.
fn stands_at(assembly: &Assembly, free: &Free, value: f64) -> Option<StandsAt> {
    let joint = assembly.joints.get(free.id)?;
    let end = match &joint.kind {
        JointKind::Slide { ends, .. } if value == free.low => Some(ends.0.word()),
        JointKind::Slide { ends, .. } if value == free.high => Some(ends.1.word()),
        _ => None,
    };
    let slides = matches!(joint.kind, JointKind::Slide { .. });
    Some(StandsAt { joint: Named { name: joint.name.clone(), span: joint.span }, value, end, slides })
}
