//! Free joints that can have nothing to do with each other: whatever one moves stays clear of whatever the other moves,
//! wherever both are worked to.

use super::{Free, Ties};
use crate::assembly::{JointKind, PanelId};
use crate::checks::Subject;
use crate::motion::{PoseState, Vec3};

/// What comes no nearer than this, mm, is clear of each other.
const CLEAR_MM: f64 = 1.0;

/// What one joint sweeps from where the card stands.
struct Swept {
    /// By panel: whether it goes along.
    moved: Vec<bool>,
    /// A box round each panel that goes along, over its whole way.
    boxes: Vec<(Vec3, Vec3)>,
}

/// Whether the order in which two joints are worked can make no difference: no panel goes along with both, and the ways
/// of those that go along with one keep clear of the ways of those that go along with the other.
pub fn are_apart(
    subject: &Subject,
    ties: &Ties,
    here: &PoseState,
    one: (&Free, f64),
    other: (&Free, f64),
) -> bool {
    let swept = |(free, at)| swept(subject, ties, here, free, at);
    let (Some(one), Some(other)) = (swept(one), swept(other)) else { return false };
    let both = one.moved.iter().zip(&other.moved).any(|(a, b)| *a && *b);
    let meet = |(low, high): &(Vec3, Vec3), (from, to): &(Vec3, Vec3)| {
        (0..3).all(|axis| low[axis] - CLEAR_MM <= to[axis] && from[axis] - CLEAR_MM <= high[axis])
    };
    !both && one.boxes.iter().all(|a| !other.boxes.iter().any(|b| meet(a, b)))
}

/// `at` is where the joint stands; `None` where it is not known what moves.
fn swept(subject: &Subject, ties: &Ties, here: &PoseState, free: &Free, at: f64) -> Option<Swept> {
    let assembly = subject.assembly;
    let joint = assembly.joints.get(free.id)?;
    let base = here.frames.get(joint.a).copied().flatten()?;
    let moved = ties.held_without(assembly, free.id, joint.b);
    let goes = |panel: &PanelId| moved.get(*panel).copied().unwrap_or(false);
    let mut boxes = Vec::new();
    for panel in (0..assembly.panels.len()).filter(goes) {
        let corners: Vec<Vec3> = here.corners(panel, &assembly.panels.get(panel)?.polygon).collect();
        let all = match &joint.kind {
            JointKind::Slide { direction, .. } => {
                let along = base.direction(Vec3::new(direction.x, -direction.y, 0.0));
                let ends = [free.low - at, free.high - at];
                bounds(corners.iter().flat_map(|c| ends.map(|by| c + along * by)))
            }
            JointKind::Pin { centre, .. } => {
                // However it is turned, a point keeps its distance from the pin.
                let pin = base.point(Vec3::new(centre.x, -centre.y, 0.0));
                let far = corners.iter().map(|c| (c - pin).norm()).fold(0.0, f64::max);
                bounds([pin.add_scalar(-far), pin.add_scalar(far)].into_iter())
            }
            _ => None,
        };
        boxes.push(all?);
    }
    Some(Swept { moved, boxes })
}

fn bounds(points: impl Iterator<Item = Vec3>) -> Option<(Vec3, Vec3)> {
    points.map(|p| (p, p)).reduce(|(low, high), (p, q)| (low.inf(&p), high.sup(&q)))
}
