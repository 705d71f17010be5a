//! What a hand can still reach: what a joint covers, where mechanisms run, what lies inside a closed loop.
//!
//! Everything is worked out from placements, part upon part, so it does not depend on any pose.

use std::collections::{BTreeMap, VecDeque};

use super::Spot;
use super::pinned::HEAD_PER_HOLE;
use super::works::piece_of;
use crate::assembly::{
    Assembly, Face, Fold, Joint, JointId, JointKind, PanelId, PieceId, Placement, SlideHow,
};
use crate::geometry::{
    Contour, Isometry, Point, Polygon, Rect, Region, convex_hull, difference, intersection, region_area,
    swept_region,
};
use crate::quantity::tolerance::{CHORD_MM, SHARED_MM2};

/// Part upon part no deeper than this.
const DEEPEST: usize = 16;

pub fn placement_of(joint: &Joint) -> Option<&Placement> {
    match &joint.kind {
        JointKind::Fixed { placement, .. }
        | JointKind::Slide { placement, .. }
        | JointKind::Pin { placement, .. } => Some(placement),
        JointKind::Fold { .. } | JointKind::Tuck { .. } => None,
    }
}

pub fn shares(a: &[Polygon], b: &[Polygon]) -> bool {
    near(a, b) && region_area(&intersection(a, b)) > SHARED_MM2
}

/// Whether any two boxes touch: most regions of a card lie nowhere near each other, and an overlay is dear.
fn near(a: &[Polygon], b: &[Polygon]) -> bool {
    let boxes: Vec<Rect> = b.iter().map(Polygon::bounds).collect();
    a.iter().map(Polygon::bounds).any(|one| boxes.iter().any(|other| one.touches(other, 0.0)))
}

/// Something that a joint puts out of reach, and by which panel.
#[derive(Debug, Clone)]
pub struct Cover {
    pub panel: PanelId,
    pub face: Face,
    pub by: PanelId,
    /// In the frame of `panel`.
    pub region: Region,
    /// The other joints that lay the one over the other; it is covered when the last of all of them is made.
    pub also: Vec<JointId>,
}

/// What a joint covers: the target beneath the part, what lies beneath the target and is not covered by it already,
/// and the part's own face.
pub fn covers(assembly: &Assembly, id: JointId) -> Vec<Cover> {
    let mut found = Vec::new();
    let Some(joint) = assembly.joints.get(id) else { return found };
    let Some(placement) = placement_of(joint) else { return found };
    let Some(part) = assembly.panels.get(joint.b) else { return found };
    let inward = facing(placement);
    let mut here = Ground { panel: joint.a, face: placement.side, to: placement.isometry() };
    let mut also = Vec::new();
    // The part without what nearer grounds cover, in its own frame.
    let mut open: Region = vec![part.polygon.clone()];
    for _ in 0..DEEPEST {
        let Some(ground) = assembly.panels.get(here.panel) else { break };
        let region = open.iter().map(|p| p.transformed(&here.to)).collect();
        found.push(Cover { panel: here.panel, face: here.face, by: joint.b, region, also: also.clone() });
        let own = ground.polygon.transformed(&here.to.inverse());
        let region = intersection(&open, std::slice::from_ref(&own));
        found.push(Cover { panel: joint.b, face: inward, by: here.panel, region, also: also.clone() });
        open = difference(&open, &[own]);
        match beneath(assembly, &here) {
            // Two sheets that a joint of their own lays on each other lie as it says: strips in a ring may each lie on
            // the next.
            Some((_, next)) if next.panel == joint.b || lies_on(assembly, id, next.panel) => break,
            Some((laid_by, next)) if !open.is_empty() => {
                also.push(laid_by);
                here = next;
            }
            _ => break,
        }
    }
    found
}

/// Whether another joint lays the part of `id` and a panel on each other.
fn lies_on(assembly: &Assembly, id: JointId, panel: PanelId) -> bool {
    let Some(part) = assembly.joints.get(id).map(|j| j.b) else { return false };
    assembly.joints.iter().enumerate().any(|(other, j)| {
        other != id && placement_of(j).is_some() && [(j.a, j.b), (j.b, j.a)].contains(&(part, panel))
    })
}

/// The part's face that looks at its target.
pub fn facing(placement: &Placement) -> Face {
    if placement.flipped { placement.side } else { placement.side.opposite() }
}

/// A panel under a part, and the motion that carries the part's plane onto it.
struct Ground {
    panel: PanelId,
    face: Face,
    to: Isometry,
}

/// What the ground itself lies on, when it lies with its other face down, and the joint that lays it there.
fn beneath(assembly: &Assembly, here: &Ground) -> Option<(JointId, Ground)> {
    let carried = |j: &Joint| j.b == here.panel && !matches!(j.kind, JointKind::Fixed { closing: true, .. });
    let mut laying = assembly.joints.iter().enumerate().filter(|(_, j)| carried(j));
    let (id, joint, placement) = laying.find_map(|(id, j)| Some((id, j, placement_of(j)?)))?;
    (facing(placement) != here.face).then(|| {
        let to = here.to.then(&placement.isometry());
        (id, Ground { panel: joint.a, face: placement.side, to })
    })
}

/// Where a joint's mechanism can be seen and reached: its openings, its way, its pin.
pub fn mechanism(assembly: &Assembly, id: JointId) -> Vec<Spot> {
    let Some(joint) = assembly.joints.get(id) else { return Vec::new() };
    match &joint.kind {
        JointKind::Slide { how: SlideHow::Strap { piece, rails, .. }, .. } => {
            both(joint.a, hull(assembly, *piece, &[rails.0, rails.1]))
        }
        JointKind::Slide { how: SlideHow::Through { piece, cutouts }, .. } => {
            both(joint.a, hull(assembly, *piece, cutouts))
        }
        JointKind::Slide { how: SlideHow::On { .. }, placement, .. } => {
            vec![Spot { panel: joint.a, face: placement.side, region: swept(assembly, joint) }]
        }
        JointKind::Pin { centre, part_centre, holes, .. } => {
            let mut spots = head(joint.a, *centre, holes.0);
            spots.extend(head(joint.b, *part_centre, holes.1));
            spots
        }
        _ => Vec::new(),
    }
}

/// The same place on both faces of a panel.
fn both(panel: PanelId, region: Region) -> Vec<Spot> {
    [Face::Front, Face::Back].map(|face| Spot { panel, face, region: region.clone() }).to_vec()
}

/// Where the head of a brad or its legs lie.
pub fn head(panel: PanelId, at: Point, hole: f64) -> Vec<Spot> {
    let radius = hole.max(2.0) / 2.0 * HEAD_PER_HOLE;
    both(panel, vec![Polygon::simple(Contour::circle(at, radius).flatten(CHORD_MM * 10.0))])
}

fn hull(assembly: &Assembly, piece: PieceId, cutouts: &[usize]) -> Region {
    let Some(piece) = assembly.pieces.get(piece) else { return Region::new() };
    let corners = cutouts.iter().filter_map(|i| piece.cutouts.get(*i)).flat_map(|c| match &c.contour {
        Some(contour) => contour.flatten(CHORD_MM * 10.0),
        None => vec![c.from, c.to],
    });
    let ring = convex_hull(corners);
    if ring.len() < 3 {
        // One slit has no area; a strip along it stands for the reach of a finger.
        let corners = cutouts.iter().filter_map(|i| piece.cutouts.get(*i)).flat_map(|c| [c.from, c.to]);
        return match Rect::of_points(corners) {
            Some(rect) => vec![Polygon::rectangle(rect.expanded(1.0))],
            None => Region::new(),
        };
    }
    vec![Polygon::simple(ring)]
}

/// What a sliding part passes over, in the frame of its target.
fn swept(assembly: &Assembly, joint: &Joint) -> Region {
    let JointKind::Slide { placement, direction, range, .. } = &joint.kind else { return Region::new() };
    let Some(part) = assembly.panels.get(joint.b) else { return Region::new() };
    let start = part.polygon.transformed(&placement.isometry());
    let (low, high) = *range;
    if !(low.is_finite() && high.is_finite()) {
        return vec![start];
    }
    swept_region(&start.translated(*direction * low), *direction * (high - low))
}

/// Of the ground under a stuck part, where glue must not go because something runs there.
pub fn keep_clear(assembly: &Assembly, id: JointId) -> Vec<Spot> {
    let Some(joint) = assembly.joints.get(id) else { return Vec::new() };
    let JointKind::Fixed { placement, .. } = &joint.kind else { return Vec::new() };
    let Some(part) = assembly.panels.get(joint.b) else { return Vec::new() };
    let to_target = placement.isometry();
    let back = to_target.inverse();
    let mut spots = Vec::new();
    for other in (0..assembly.joints.len()).filter(|other| *other != id) {
        // A strap's front carries its part; glue goes there.
        for spot in mechanism(assembly, other) {
            let region = if spot.panel == joint.a && spot.face == placement.side {
                spot.region.iter().map(|p| p.transformed(&back)).collect()
            } else if spot.panel == joint.b && spot.face == facing(placement) {
                spot.region
            } else {
                continue;
            };
            let region = intersection(&region, std::slice::from_ref(&part.polygon));
            if region_area(&region) > SHARED_MM2 {
                spots.push(Spot { panel: joint.b, face: facing(placement), region });
            }
        }
    }
    spots
}

/// Of two parts stuck to one face at one place: which lies under the other, as far as their glue says. A part that is
/// stuck all over lies beneath one that is not, which can have it underneath; between two alike, the glue in the place
/// they share decides in the same way.
pub fn lies_beneath(a: &Stuck, b: &Stuck) -> bool {
    if a.joint == b.joint || a.panel != b.panel || a.face != b.face || !near(&a.part, &b.part) {
        return false;
    }
    let shared = intersection(&a.part, &b.part);
    if region_area(&shared) <= SHARED_MM2 {
        return false;
    }
    match (a.is_full(&a.part), b.is_full(&b.part)) {
        (true, false) => true,
        (false, true) => false,
        _ => a.is_full(&shared) && !b.is_full(&shared),
    }
}

/// A stuck part on its target, in the target's frame.
pub struct Stuck {
    joint: JointId,
    panel: PanelId,
    face: Face,
    /// The part of it that lies on the target.
    part: Region,
    glue: Region,
}

impl Stuck {
    /// Whether there is glue wherever it lies on its target.
    pub fn is_all_over(&self) -> bool {
        self.is_full(&self.part)
    }

    fn is_full(&self, place: &Region) -> bool {
        region_area(&intersection(&self.glue, place)) >= region_area(place) * 0.98
    }
}

/// The part that a joint sticks down; `None` for a joint of another kind.
pub fn stuck(assembly: &Assembly, id: JointId) -> Option<Stuck> {
    let joint = assembly.joints.get(id)?;
    let JointKind::Fixed { placement, area, .. } = &joint.kind else { return None };
    let part = assembly.panels.get(joint.b)?.polygon.transformed(&placement.isometry());
    let target = &assembly.panels.get(joint.a)?.polygon;
    let part = intersection(&[part], std::slice::from_ref(target));
    Some(Stuck { joint: id, panel: joint.a, face: placement.side, part, glue: area.clone() })
}

/// The faces that lie inside once a closing joint of one piece is stuck: the folds between its two panels all turn
/// toward them.
pub fn inside(assembly: &Assembly, closing: JointId) -> Vec<(PanelId, Face)> {
    let Some(joint) = assembly.joints.get(closing) else { return Vec::new() };
    let Some(path) = fold_path(assembly, joint.a, joint.b) else { return Vec::new() };
    let turning: f64 = path.iter().map(|(_, angle)| angle).sum();
    let face = if turning > 0.0 { Face::Front } else { Face::Back };
    let panels = path.iter().map(|(panel, _)| *panel).chain([joint.a]);
    panels.map(|panel| (panel, face)).collect()
}

/// The joints, fewest first found, that hold the two panels of a joint to each other without it and without any glue that
/// closes.
pub fn ring(assembly: &Assembly, of: JointId) -> Vec<JointId> {
    let Some(joint) = assembly.joints.get(of) else { return Vec::new() };
    let mut beside: BTreeMap<PanelId, Vec<(PanelId, JointId)>> = BTreeMap::new();
    for (id, other) in assembly.joints.iter().enumerate() {
        if id != of && !matches!(other.kind, JointKind::Fixed { closing: true, .. } | JointKind::Tuck { .. })
        {
            beside.entry(other.a).or_default().push((other.b, id));
            beside.entry(other.b).or_default().push((other.a, id));
        }
    }
    let mut from: Vec<Option<(PanelId, JointId)>> = vec![None; assembly.panels.len()];
    let mut open = VecDeque::from([joint.a]);
    while let Some(panel) = open.pop_front() {
        for &(next, id) in beside.get(&panel).into_iter().flatten() {
            if next != joint.a && from.get(next).is_some_and(Option::is_none) {
                from[next] = Some((panel, id));
                open.push_back(next);
            }
        }
    }
    let mut ring = Vec::new();
    let mut at = joint.b;
    while let Some((before, id)) = from.get(at).copied().flatten().filter(|_| at != joint.a) {
        ring.push(id);
        at = before;
    }
    ring
}

/// The panels from `b` back to (not including) `a` over folds, each with its signed closed angle (valley positive).
fn fold_path(assembly: &Assembly, a: PanelId, b: PanelId) -> Option<Vec<(PanelId, f64)>> {
    let folds: Vec<(PanelId, PanelId, f64)> = assembly
        .joints
        .iter()
        .enumerate()
        .filter_map(|(id, j)| match &j.kind {
            JointKind::Fold { fold, rest, .. } => {
                let closed = closed_angle(assembly, id).unwrap_or(*rest);
                Some((j.a, j.b, if *fold == Fold::Valley { closed } else { -closed }))
            }
            _ => None,
        })
        .collect();
    let mut from: Vec<Option<(PanelId, f64)>> = vec![None; assembly.panels.len()];
    let mut open = vec![a];
    while let Some(panel) = open.pop() {
        for (p, q, angle) in folds.iter().flat_map(|(p, q, v)| [(*p, *q, *v), (*q, *p, *v)]) {
            if p == panel && q != a && from.get(q).is_some_and(|f| f.is_none()) {
                from[q] = Some((p, angle));
                open.push(q);
            }
        }
    }
    let mut path = Vec::new();
    let mut at = b;
    while at != a {
        let (before, angle) = from.get(at).copied().flatten()?;
        path.push((at, angle));
        at = before;
    }
    Some(path)
}

/// The largest angle of a fold in any pose, degrees without sign.
fn closed_angle(assembly: &Assembly, id: JointId) -> Option<f64> {
    let set = assembly.poses.iter().flat_map(|p| &p.values).filter(|(j, _)| *j == id).map(|(_, v)| v.abs());
    set.reduce(f64::max)
}

/// The joints that carry what rides on the part of `joint`, part upon part.
pub fn riders(assembly: &Assembly, joint: JointId) -> Vec<JointId> {
    let Some(first) = assembly.joints.get(joint).and_then(|j| piece_of(assembly, j.b)) else {
        return Vec::new();
    };
    let mut pieces = vec![first];
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(piece) = pieces.get(at).copied() {
        at += 1;
        for (id, j) in assembly.joints.iter().enumerate() {
            let rides = matches!(
                j.kind,
                JointKind::Fixed { closing: false, .. } | JointKind::Slide { .. } | JointKind::Pin { .. }
            );
            if rides && id != joint && piece_of(assembly, j.a) == Some(piece) && !found.contains(&id) {
                found.push(id);
                let Some(part) = piece_of(assembly, j.b) else { continue };
                if !pieces.contains(&part) {
                    pieces.push(part);
                }
            }
        }
    }
    found
}
