//! What a hand may do with the joints that are free: slides and pins on which nothing else depends.
//!
//! A motion says in which order they are worked; a hand may choose another. So each of them is looked at over its whole
//! range while the others stand anywhere in theirs: parts of one level that run into each other ([`levels`]), layers
//! that have no order and panels that pass through each other ([`order`]).

mod apart;
mod levels;
mod order;
mod shorter;

pub use shorter::shortened;

use super::Subject;
use super::way::set;
use crate::assembly::{Assembly, Joint, JointId, JointKind, PanelId};
use crate::findings::{Findings, Named, StandsAt};

/// A pin without stops is turned this far to either side, degrees.
const HALF_TURN: f64 = 180.0;

/// More free joints than these are not looked at two by two.
const MOST_FREE: usize = 64;

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
    let ties = Ties::of(assembly);
    let free = free_joints(assembly, &ties);
    if free.len() < 2 || free.len() > MOST_FREE {
        return;
    }
    let told = levels::check(assembly, &ties, &free, sink);
    order::check(subject, &ties, &free, &told, sink);
}

/// By panel, the joints that hold it.
struct Ties(Vec<Vec<JointId>>);

impl Ties {
    fn of(assembly: &Assembly) -> Ties {
        let mut ties = vec![Vec::new(); assembly.panels.len()];
        for (id, joint) in assembly.joints.iter().enumerate() {
            for panel in [joint.a, joint.b] {
                if let Some(held) = ties.get_mut(panel) {
                    held.push(id);
                }
            }
        }
        Ties(ties)
    }

    fn joints_of<'a>(
        &'a self,
        assembly: &'a Assembly,
        panel: PanelId,
    ) -> impl Iterator<Item = (JointId, &'a Joint)> {
        self.0.get(panel).into_iter().flatten().filter_map(|id| Some((*id, assembly.joints.get(*id)?)))
    }

    /// The panels that hold to one when a joint is taken away.
    fn held_without(&self, assembly: &Assembly, id: JointId, panel: PanelId) -> Vec<bool> {
        let mut reached = vec![false; assembly.panels.len()];
        let mut open = vec![panel];
        while let Some(panel) = open.pop() {
            match reached.get_mut(panel) {
                Some(seen) if !*seen => *seen = true,
                _ => continue,
            }
            let others = self.joints_of(assembly, panel);
            let others =
                others.filter(|(other, j)| *other != id && !matches!(j.kind, JointKind::Tuck { .. }));
            open.extend(others.map(|(_, j)| if j.a == panel { j.b } else { j.a }));
        }
        reached
    }
}

/// Slides that have both their stops, and pins, that are on no loop of joints.
fn free_joints(assembly: &Assembly, ties: &Ties) -> Vec<Free> {
    let found = assembly.joints.iter().enumerate().filter_map(|(id, joint)| {
        let (low, high) = match &joint.kind {
            JointKind::Slide { range, .. } => *range,
            JointKind::Pin { range, .. } => range.unwrap_or((-HALF_TURN, HALF_TURN)),
            _ => return None,
        };
        (low.is_finite() && high.is_finite() && low < high).then_some(Free { id, low, high })
    });
    let found: Vec<Free> = found.take(MOST_FREE + 1).collect();
    let on_a_loop = |f: &Free| {
        let Some(joint) = assembly.joints.get(f.id) else { return true };
        ties.held_without(assembly, f.id, joint.a).get(joint.b).copied().unwrap_or(true)
    };
    found.into_iter().filter(|f| !on_a_loop(f)).collect()
}

/// The value of a joint in a list of values; what is not set rests at zero.
fn value_of(values: &[(JointId, f64)], id: JointId) -> f64 {
    values.iter().find(|(joint, _)| *joint == id).map_or(0.0, |(_, value)| *value)
}

/// Values with the free joints held to their ranges.
fn within(values: &[(JointId, f64)], free: &[Free]) -> Vec<(JointId, f64)> {
    let held = |id: JointId, value: f64| {
        free.iter().find(|f| f.id == id).map_or(value, |f| value.clamp(f.low, f.high))
    };
    values.iter().map(|(id, value)| (*id, held(*id, *value))).collect()
}

fn with(values: &[(JointId, f64)], id: JointId, value: f64) -> Vec<(JointId, f64)> {
    let mut values = values.to_vec();
    set(&mut values, id, value);
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
