//! Tongues tucked into an opening: where one lies to it in a pose, and which side of it hangs on the card.
//!
//! A tongue that lies across its opening is two leaves there, parted at the opening's line (or, tucked in to its root, the
//! tongue and the panel that it hangs on): the sheet with the opening lies between them.

use std::collections::VecDeque;

use super::leaves::frame;
use crate::assembly::{Assembly, Joint, JointId, JointKind, PanelId};
use crate::geometry::{Point, Segment, clip_segment, pt};
use crate::motion::{PoseState, Vec3};
use crate::quantity::tolerance::CLOSURE_MM;

/// How a tongue lies to the line of an opening in a pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AtOpening {
    /// It does not come to the line: so far off, mm.
    Apart(f64),
    /// It lies across the line, from `low` to `high` mm along it from the opening's start.
    Across {
        /// The opening in the tongue's frame.
        line: Segment,
        low: f64,
        high: f64,
    },
}

impl AtOpening {
    /// The opening in the tongue's frame, when the tongue goes through it there.
    pub fn through(self) -> Option<Segment> {
        match self {
            Self::Across { line, low, high } if low >= -CLOSURE_MM && high <= line.length() + CLOSURE_MM => {
                Some(line)
            }
            _ => None,
        }
    }
}

/// The opening of a tuck as a line in the frame of its piece; `None` for other joints, and for a window or a hole, which is
/// no line that a tongue fills.
pub fn opening_line(assembly: &Assembly, joint: &Joint) -> Option<Segment> {
    let JointKind::Tuck { cutout, piece } = joint.kind else { return None };
    let opening = assembly.pieces.get(piece)?.cutouts.get(cutout)?;
    (!opening.from.is_near(opening.to, CLOSURE_MM)).then(|| Segment::new(opening.from, opening.to))
}

/// How the tongue of a tuck lies to its opening; `None` for a joint that is none, and where nothing holds one of the two.
pub fn at_opening(assembly: &Assembly, pose: &PoseState, joint: &Joint) -> Option<AtOpening> {
    part_at_opening(assembly, pose, joint, joint.b)
}

/// [`at_opening`] for a part of what goes through it.
pub(super) fn part_at_opening(
    assembly: &Assembly,
    pose: &PoseState,
    joint: &Joint,
    part: PanelId,
) -> Option<AtOpening> {
    let line = opening_line(assembly, joint)?;
    let to_tongue = frame(pose, part)?.inverse() * frame(pose, joint.a)?;
    let polygon = &assembly.panels.get(part)?.polygon;
    let place = |p: Point| {
        let q = to_tongue.point(Vec3::new(p.x, -p.y, 0.0));
        (pt(q.x, -q.y), q.z.abs())
    };
    let apart =
        |line: &Segment| polygon.edges().map(|edge| edge.distance_to(line)).fold(f64::INFINITY, f64::min);
    let ((from, off), (to, also_off)) = (place(line.start), place(line.end));
    let line = Segment::new(from, to);
    let off = off.max(also_off);
    if off > CLOSURE_MM {
        return Some(AtOpening::Apart(libm::hypot(off, apart(&line))));
    }
    let along = line.vector().unit()?;
    let reach =
        polygon.bounds().width() + polygon.bounds().height() + from.distance(polygon.bounds().centre());
    let start = from - along * reach;
    // Tucked in to its very root, the tongue ends at the line.
    let section = [0.0, CLOSURE_MM, -CLOSURE_MM].into_iter().find_map(|aside| {
        let start = start + along.turned_left() * aside;
        let whole = Segment::new(start, start + along * (2.0 * reach + line.length()));
        let spans = clip_segment(polygon, &whole);
        Some((spans.first()?.from - reach, spans.last()?.to - reach))
    });
    Some(match section {
        Some((low, high)) => AtOpening::Across { line, low, high },
        None => AtOpening::Apart(apart(&Segment::new(from - along * reach, to + along * reach))),
    })
}

/// A tuck, and the joints that lead from its tongue to the panel with the opening.
#[derive(Debug)]
pub(super) struct Tuck {
    pub(super) id: JointId,
    /// What goes through the opening: the tongue, and what is stuck on it.
    pub(super) parts: Vec<PanelId>,
    /// Each with the panel that it leads to, from the tongue on; empty when they do not hang together.
    pub(super) way: Vec<(JointId, PanelId)>,
}

/// The tucks of an assembly.
pub(super) fn tucks(assembly: &Assembly) -> Vec<Tuck> {
    let all = assembly.joints.iter().enumerate();
    let tucks = all.filter(|(_, joint)| opening_line(assembly, joint).is_some());
    tucks.map(|(id, joint)| Tuck { id, parts: parts(assembly, joint), way: way(assembly, joint) }).collect()
}

fn parts(assembly: &Assembly, tuck: &Joint) -> Vec<PanelId> {
    let stuck = stuck_to(assembly, tuck.b).filter(|panel| *panel != tuck.a);
    std::iter::once(tuck.b).chain(stuck).collect()
}

/// The panels that glue joins to a panel.
pub(super) fn stuck_to(assembly: &Assembly, panel: PanelId) -> impl Iterator<Item = PanelId> + '_ {
    let glued = assembly.joints.iter().filter(|j| matches!(j.kind, JointKind::Fixed { .. }));
    glued.filter_map(move |j| match (j.a == panel, j.b == panel) {
        (true, false) => Some(j.b),
        (false, true) => Some(j.a),
        _ => None,
    })
}

/// The fewest joints that lead from a tongue to the panel that it is tucked into; tucks lead nowhere.
fn way(assembly: &Assembly, &Joint { a: to, b: from, .. }: &Joint) -> Vec<(JointId, PanelId)> {
    // By panel, the joint by which it was come to from the end, and the panel before it.
    let mut onward: Vec<Option<(JointId, PanelId)>> = vec![None; assembly.panels.len()];
    let mut open = VecDeque::from([to]);
    while let Some(here) = open.pop_front().filter(|here| *here != from) {
        for (id, joint) in assembly.joints.iter().enumerate() {
            let next = match (joint.a == here, joint.b == here) {
                _ if matches!(joint.kind, JointKind::Tuck { .. }) => continue,
                (true, false) => joint.b,
                (false, true) => joint.a,
                _ => continue,
            };
            if let Some(place) = onward.get_mut(next).filter(|place| next != to && place.is_none()) {
                *place = Some((id, here));
                open.push_back(next);
            }
        }
    }
    let step = |&(_, panel): &(JointId, PanelId)| onward.get(panel).copied().flatten();
    std::iter::successors(onward.get(from).copied().flatten(), step).collect()
}
