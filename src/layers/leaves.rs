//! Leaves: panels, or the parts of one on either side of a slot that it is woven through or tucked into, by itself or with
//! what it is stuck on; and the planes they lie in.

use super::tucked::{Tuck, part_at_opening, stuck_to};
use crate::assembly::{Assembly, JointKind, PanelId, SlideHow};
use crate::geometry::{Point, Polygon, Region, Segment, clip_segment, difference, intersection, pt};
use crate::motion::{Iso, PoseState, Vec3};
use crate::quantity::tolerance::{CLOSURE_MM, PARALLEL_DEG, SAME_PLANE_MM};

/// Joints are looked at up to this far from their line when leaves are woven through slots, mm.
const FAR_MM: f64 = 10_000.0;

/// A panel, or the part of one on one side of a slot it is woven through or tucked into.
#[derive(Debug, Clone)]
pub struct CardLeaf {
    pub panel: PanelId,
    /// In the piece's frame.
    pub polygon: Polygon,
}

pub(super) fn frame(pose: &PoseState, panel: PanelId) -> Option<Iso> {
    pose.frames.get(panel).copied().flatten()
}

pub(super) fn is_flat(pose: &PoseState) -> bool {
    let sin = PARALLEL_DEG.to_radians();
    pose.frames.iter().flatten().all(|f| libm::hypot(f.front().x, f.front().y) < sin)
}

/// Panels, those that are woven or tucked in cut apart at their slots.
pub(super) fn leaves(assembly: &Assembly, tucks: &[Tuck], pose: &PoseState) -> Vec<CardLeaf> {
    let mut all = Vec::new();
    for (id, panel) in assembly.panels.iter().enumerate() {
        let whole = CardLeaf { panel: id, polygon: panel.polygon.clone() };
        let cuts = slot_lines(assembly, pose, id, id);
        if cuts.is_empty() {
            let mut lines = tuck_lines(assembly, tucks, pose, id);
            lines.extend(rider_lines(assembly, pose, id).into_iter().filter(|l| passes(&whole.polygon, l)));
            let parts = parted(whole.polygon, &lines);
            all.extend(parts.into_iter().map(|polygon| CardLeaf { panel: id, polygon }));
            continue;
        }
        let mut rest: Region = vec![whole.polygon];
        for line in &cuts {
            let Some(side) = left_of(line) else { continue };
            let here = intersection(&rest, std::slice::from_ref(&side));
            rest = difference(&rest, &[side]);
            all.extend(here.into_iter().map(|polygon| CardLeaf { panel: id, polygon }));
        }
        all.extend(rest.into_iter().map(|polygon| CardLeaf { panel: id, polygon }));
    }
    all
}

/// The lines of a tongue's slots, in the frame of a panel that lies in its plane, from the first slot to the last.
fn slot_lines(assembly: &Assembly, pose: &PoseState, tongue: PanelId, panel: PanelId) -> Vec<Segment> {
    for joint in assembly.joints.iter().filter(|j| j.b == tongue) {
        let JointKind::Slide { how: SlideHow::Through { piece, cutouts }, .. } = &joint.kind else {
            continue;
        };
        let (Some(target), Some(part)) = (frame(pose, joint.a), frame(pose, panel)) else { continue };
        let to_part = part.inverse() * target;
        let place = |p: Point| {
            let q = to_part.point(Vec3::new(p.x, -p.y, 0.0));
            pt(q.x, -q.y)
        };
        let openings = assembly.pieces.get(*piece).map(|p| p.cutouts.as_slice()).unwrap_or_default();
        return cutouts
            .iter()
            .filter_map(|c| openings.get(*c))
            .map(|c| Segment::new(place(c.from), place(c.to)))
            .collect();
    }
    Vec::new()
}

/// The lines of the slots that a panel goes through because it is stuck on a woven tongue.
fn rider_lines(assembly: &Assembly, pose: &PoseState, panel: PanelId) -> Vec<Segment> {
    stuck_to(assembly, panel).flat_map(|tongue| slot_lines(assembly, pose, tongue, panel)).collect()
}

/// Whether a part that lies across the line of a slot is no wider there than the slot is long.
fn passes(part: &Polygon, slot: &Segment) -> bool {
    let bounds = part.bounds();
    let reach = bounds.width() + bounds.height() + slot.midpoint().distance(bounds.centre());
    let Some(along) = slot.vector().unit() else { return false };
    let (start, half) = (slot.midpoint() - along * reach, 0.5 * slot.length() + CLOSURE_MM);
    let spans = clip_segment(part, &Segment::new(start, start + along * (2.0 * reach)));
    spans.iter().all(|span| span.from >= reach - half && span.to <= reach + half)
}

/// The lines of the openings that a tongue, or what is stuck on it, goes through where it is tucked in, in its own frame.
fn tuck_lines(assembly: &Assembly, tucks: &[Tuck], pose: &PoseState, panel: PanelId) -> Vec<Segment> {
    let own = tucks.iter().filter(|tuck| tuck.parts.contains(&panel));
    let own = own.filter_map(|tuck| assembly.joints.get(tuck.id));
    own.filter_map(|joint| part_at_opening(assembly, pose, joint, panel)?.through()).collect()
}

/// A tongue cut apart at lines that it lies across; not at one along its edge.
fn parted(tongue: Polygon, lines: &[Segment]) -> Region {
    let mut parts = vec![tongue];
    for side in lines.iter().filter_map(left_of) {
        let halves = |part: Polygon| {
            let (part, side) = ([part], [side.clone()]);
            let (left, right) = (intersection(&part, &side), difference(&part, &side));
            let is_wide = |half: &Region| half.iter().any(|p| p.mean_thickness() > CLOSURE_MM);
            if is_wide(&left) && is_wide(&right) { [left, right].concat() } else { part.to_vec() }
        };
        parts = parts.into_iter().flat_map(halves).collect();
    }
    parts
}

/// A rectangle that covers everything to the left of a line.
fn left_of(line: &Segment) -> Option<Polygon> {
    let along = line.vector().unit()?;
    let left = along.turned_left();
    let (a, b) = (line.midpoint() - along * FAR_MM, line.midpoint() + along * FAR_MM);
    Some(Polygon::simple(vec![a, b, b + left * FAR_MM, a + left * FAR_MM]))
}

/// Groups of leaves that lie in one plane.
pub(super) fn planes(leaves: &[CardLeaf], pose: &PoseState, placed: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: Vec<(Vec3, f64, Vec<usize>)> = Vec::new();
    let least = libm::cos(PARALLEL_DEG.to_radians());
    for leaf in placed {
        let Some(frame) = leaves.get(*leaf).and_then(|l| frame(pose, l.panel)) else { continue };
        let normal = frame.front();
        let at = leaves.get(*leaf).map(|l| l.polygon.centroid()).unwrap_or(Point::ORIGIN);
        let centre = frame.point(Vec3::new(at.x, -at.y, 0.0));
        let found = groups
            .iter_mut()
            .find(|(n, d, _)| n.dot(&normal).abs() >= least && (n.dot(&centre) - *d).abs() < SAME_PLANE_MM);
        match found {
            Some((_, _, members)) => members.push(*leaf),
            None => groups.push((normal, normal.dot(&centre), vec![*leaf])),
        }
    }
    groups.into_iter().map(|(_, _, members)| members).filter(|m| m.len() > 1).collect()
}
