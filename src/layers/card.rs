//! The layers of a card in a pose: which leaf lies over which, how thick the stack is, what is seen of every panel.
//!
//! A *leaf* is a panel, or a part of one where it is woven through slots. Leaves are grouped by the plane they lie in
//! (a flat pose is one group, whatever foam lifts), each group is one layer problem for [`super::FlatState`], and the
//! facts come from the joints: folds, stuck faces, straps before and behind their bar, pins, slides.

use std::collections::BTreeMap;

use super::flat::{FlatFace, FlatJoint, FlatState, JointFold};
use super::order::{Fact, Order};
use super::stack::Side as From;
use crate::assembly::{Assembly, Face, Fold, JointId, JointKind, PanelId, PieceKind, SlideHow};
use crate::geometry::{
    Point, Polygon, Rect, Region, Segment, difference, interiors_intersect, intersection, pt, region_area,
    region_centroid,
};
use crate::motion::{self, Iso, PoseState, Vec3};
use crate::quantity::tolerance::{AREA_MM2, COINCIDENT_MM, PARALLEL_DEG, SAME_PLANE_MM};
use rayon::prelude::*;

/// Joints are looked at up to this far from their line when leaves are woven through slots, mm.
const FAR_MM: f64 = 10_000.0;

/// A panel, or the part of one on one side of a slot it is woven through.
#[derive(Debug, Clone)]
pub struct CardLeaf {
    pub panel: PanelId,
    /// In the piece's frame.
    pub polygon: Polygon,
}

/// A place where the closed card is thick, and what lies there.
#[derive(Debug, Clone)]
pub struct Thickest {
    pub mm: f64,
    /// On the drawing of the front view: x right, y down.
    pub at: Point,
    /// From the lowest to the highest.
    pub panels: Vec<PanelId>,
}

/// What is seen of a leaf from one side, in the world's plane (x right, y up).
#[derive(Debug, Clone)]
pub struct CardSeen {
    pub leaf: usize,
    /// Whether the leaf's printed side is seen.
    pub front: bool,
    pub region: Region,
}

/// Facts that contradict one another: no order of the layers satisfies them.
#[derive(Debug, Clone)]
pub struct Contradiction {
    pub joints: Vec<JointId>,
}

/// The layers of one pose.
#[derive(Debug, Clone, Default)]
pub struct Card {
    pub leaves: Vec<CardLeaf>,
    /// All leaves lie parallel: the card is flat.
    pub flat: bool,
    /// For leaves `(i, j)` that cover each other in one plane, both ways round: whether `j` lies on the front of `i`.
    on_front: BTreeMap<(usize, usize), bool>,
    /// Of a flat card: height of each leaf above the lowest, mm, along the viewer's axis.
    pub heights: Vec<f64>,
    /// Of a flat card.
    pub thickest: Option<Thickest>,
    /// Of a flat card: seen from the front and from the back.
    pub seen: [Vec<CardSeen>; 2],
    pub contradiction: Option<Contradiction>,
}

/// The leaves of one plane, laid out in that plane.
pub(super) struct Group {
    /// Leaf numbers.
    pub(super) leaves: Vec<usize>,
    pub(super) state: FlatState,
    pub(super) facts: Vec<Fact>,
    /// The joint each fact comes from.
    because: Vec<JointId>,
    /// By panel, the faces that belong to it.
    by_panel: BTreeMap<PanelId, Vec<usize>>,
    /// By face.
    boxes: Vec<Rect>,
}

/// Layouts that agree to this, mm, are one: the grid on which they are laid over each other is no finer.
const SAME_PLACE_MM: f64 = 1e-6;

/// A corner in steps of [`SAME_PLACE_MM`].
type Corner = (i64, i64);

/// The faces of a joint, its line, which way it is folded over, and what it passes through.
type LaidJoint = (usize, usize, [Corner; 2], Option<motion::Fold>, Vec<usize>);

/// What makes two layer problems the same.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Problem {
    /// Rings of corners, and whether the front is up.
    faces: Vec<(Vec<Vec<Corner>>, bool)>,
    joints: Vec<LaidJoint>,
    facts: Vec<Fact>,
    because: Vec<JointId>,
}

/// Works out the layers of the card in a pose.
pub fn card(assembly: &Assembly, pose: &PoseState) -> Card {
    let leaves = leaves(assembly, pose);
    let mut card = Card { flat: is_flat(pose), leaves, ..Card::default() };
    for group in groups(assembly, pose, &card.leaves, card.flat) {
        let layering = group.state.layering();
        match layering.solve(&group.facts) {
            Ok(order) => card.take(assembly, &group, &layering, &order),
            Err(core) => {
                card.contradiction.get_or_insert(group.contradiction(&core));
                // The picture still needs some order: the folds and what is stuck, as far as they go together.
                let kept: Vec<Fact> = group
                    .facts
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| !core.contains(i))
                    .map(|(_, f)| *f)
                    .collect();
                if let Ok(order) = layering.solve(&kept) {
                    card.take(assembly, &group, &layering, &order);
                }
            }
        }
    }
    card
}

/// [`Card::contradiction`] alone for every pose, without what is seen and how thick the card is. While a card opens,
/// what lies on one page is the same layer problem at every station; it is solved once.
pub fn contradictions(assembly: &Assembly, poses: &[PoseState]) -> Vec<Option<Contradiction>> {
    let groups: Vec<Vec<Group>> =
        poses.par_iter().map(|pose| groups(assembly, pose, &leaves(assembly, pose), is_flat(pose))).collect();
    let mut first_with: BTreeMap<Problem, &Group> = BTreeMap::new();
    let problems: Vec<Vec<Problem>> =
        groups.iter().map(|of_pose| of_pose.iter().map(Group::problem).collect()).collect();
    for (group, problem) in groups.iter().flatten().zip(problems.iter().flatten()) {
        first_with.entry(problem.clone()).or_insert(group);
    }
    let solved: BTreeMap<Problem, Option<Contradiction>> = first_with
        .into_par_iter()
        .map(|(problem, group)| {
            let core = group.state.layering().solve(&group.facts).err();
            (problem, core.map(|core| group.contradiction(&core)))
        })
        .collect();
    let found = |problem| solved.get(problem).cloned().flatten();
    problems.iter().map(|of_pose| of_pose.iter().find_map(found)).collect()
}

/// [`contradictions`] of one pose.
pub fn contradiction(assembly: &Assembly, pose: &PoseState) -> Option<Contradiction> {
    contradictions(assembly, std::slice::from_ref(pose)).pop().flatten()
}

fn groups(assembly: &Assembly, pose: &PoseState, leaves: &[CardLeaf], flat: bool) -> Vec<Group> {
    let placed: Vec<usize> = (0..leaves.len()).filter(|l| frame(pose, leaves[*l].panel).is_some()).collect();
    let groups = if flat { vec![placed] } else { planes(leaves, pose, &placed) };
    groups.into_iter().filter_map(|members| Group::new(assembly, pose, leaves, members, flat)).collect()
}

/// A point of a piece's frame (y down) in the plane of a group (y up).
fn in_plane(here: &Iso, p: Point) -> Point {
    let q = here.point(Vec3::new(p.x, -p.y, 0.0));
    pt(q.x, q.y)
}

pub(super) fn frame(pose: &PoseState, panel: PanelId) -> Option<Iso> {
    pose.frames.get(panel).copied().flatten()
}

pub(super) fn is_flat(pose: &PoseState) -> bool {
    let sin = PARALLEL_DEG.to_radians();
    pose.frames.iter().flatten().all(|f| libm::hypot(f.front().x, f.front().y) < sin)
}

/// Panels, those that are woven cut apart at their slots.
pub(super) fn leaves(assembly: &Assembly, pose: &PoseState) -> Vec<CardLeaf> {
    let mut all = Vec::new();
    for (id, panel) in assembly.panels.iter().enumerate() {
        let whole = CardLeaf { panel: id, polygon: panel.polygon.clone() };
        let cuts = slot_lines(assembly, pose, id);
        if cuts.is_empty() {
            all.push(whole);
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

/// The lines of a tongue's slots, in the tongue's own frame, from the first slot to the last.
fn slot_lines(assembly: &Assembly, pose: &PoseState, panel: PanelId) -> Vec<Segment> {
    for joint in assembly.joints.iter().filter(|j| j.b == panel) {
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

/// A rectangle that covers everything to the left of a line.
fn left_of(line: &Segment) -> Option<Polygon> {
    let along = line.vector().unit()?;
    let left = along.turned_left();
    let (a, b) = (line.midpoint() - along * FAR_MM, line.midpoint() + along * FAR_MM);
    Some(Polygon::simple(vec![a, b, b + left * FAR_MM, a + left * FAR_MM]))
}

/// Groups of leaves that lie in one plane.
fn planes(leaves: &[CardLeaf], pose: &PoseState, placed: &[usize]) -> Vec<Vec<usize>> {
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

impl Group {
    pub(super) fn new(
        assembly: &Assembly,
        pose: &PoseState,
        leaves: &[CardLeaf],
        members: Vec<usize>,
        flat: bool,
    ) -> Option<Self> {
        let first = frame(pose, leaves.get(*members.first()?)?.panel)?;
        // A flat card is laid out in the world's own plane, so that what is seen needs no turning.
        let world_to_plane = if flat { Iso::identity() } else { first.inverse() };
        let mut state = FlatState::default();
        for leaf in &members {
            let leaf = leaves.get(*leaf)?;
            let here = world_to_plane * frame(pose, leaf.panel)?;
            let place = |p: &Point| {
                let q = here.point(Vec3::new(p.x, -p.y, 0.0));
                pt(q.x, q.y)
            };
            let ring = |ring: &Vec<Point>| ring.iter().map(place).collect::<Vec<Point>>();
            let polygon =
                Polygon::new(ring(&leaf.polygon.outer), leaf.polygon.holes.iter().map(ring).collect());
            state.faces.push(FlatFace { polygon, up: here.front().z > 0.0 });
        }
        let mut by_panel: BTreeMap<PanelId, Vec<usize>> = BTreeMap::new();
        for (face, leaf) in members.iter().enumerate() {
            by_panel.entry(leaves.get(*leaf)?.panel).or_default().push(face);
        }
        let boxes = state.faces.iter().map(|f| f.polygon.bounds()).collect();
        let (facts, because) = (Vec::new(), Vec::new());
        let mut group = Self { leaves: members, state, facts, because, by_panel, boxes };
        for (id, joint) in assembly.joints.iter().enumerate() {
            group.joint(assembly, pose, leaves, id, joint, &world_to_plane);
        }
        group.weave(assembly);
        Some(group)
    }

    /// All that the order of the layers depends on.
    fn problem(&self) -> Problem {
        let step = |mm: f64| (mm / SAME_PLACE_MM).round() as i64;
        let place = |p: &Point| (step(p.x), step(p.y));
        let face = |f: &FlatFace| (f.polygon.rings().map(|r| r.iter().map(place).collect()).collect(), f.up);
        let joint = |j: &FlatJoint| {
            let folded = match j.fold {
                JointFold::Open => None,
                JointFold::Folded(fold) => Some(fold),
            };
            (j.a, j.b, [place(&j.line.start), place(&j.line.end)], folded, j.through.clone())
        };
        Problem {
            faces: self.state.faces.iter().map(face).collect(),
            joints: self.state.joints.iter().map(joint).collect(),
            facts: self.facts.clone(),
            because: self.because.clone(),
        }
    }

    /// The joints that facts which cannot all hold come from.
    fn contradiction(&self, core: &[usize]) -> Contradiction {
        let mut joints: Vec<JointId> = core.iter().filter_map(|f| self.because.get(*f).copied()).collect();
        joints.sort_unstable();
        joints.dedup();
        Contradiction { joints }
    }

    /// The group's faces that belong to a panel.
    fn faces(&self, panel: PanelId) -> Vec<usize> {
        self.by_panel.get(&panel).cloned().unwrap_or_default()
    }

    fn fact(&mut self, joint: JointId, fact: Fact) {
        self.facts.push(fact);
        self.because.push(joint);
    }

    /// Says that every leaf of `b` lies on one side of every leaf of `a`.
    fn side(&mut self, joint: JointId, a: &[usize], b: &[usize], side: Face) {
        for target in a {
            for part in b {
                let up = self.state.faces.get(*target).is_some_and(|f| f.up);
                let fact = if (side == Face::Front) == up {
                    Fact::Above { upper: *part, lower: *target }
                } else {
                    Fact::Above { upper: *target, lower: *part }
                };
                self.fact(joint, fact);
            }
        }
    }

    fn joint(
        &mut self,
        assembly: &Assembly,
        pose: &PoseState,
        leaves: &[CardLeaf],
        id: JointId,
        joint: &crate::assembly::Joint,
        world_to_plane: &Iso,
    ) {
        let (a, b) = (self.faces(joint.a), self.faces(joint.b));
        if a.is_empty() || b.is_empty() {
            return;
        }
        match &joint.kind {
            JointKind::Fold { from, to, fold, piece, .. } => {
                let value = pose.values.get(id).copied().unwrap_or(0.0);
                let folded = (value.abs() - 180.0).abs() <= PARALLEL_DEG;
                if !folded && value.abs() > PARALLEL_DEG {
                    return;
                }
                let Some(frame) = frame(pose, joint.a) else { return };
                let here = *world_to_plane * frame;
                let line = Segment::new(in_plane(&here, *from), in_plane(&here, *to));
                let near = |faces: &[usize], group: &Self| {
                    let off = |f: &usize| group.state.faces[*f].polygon.distance_to_point(line.midpoint());
                    faces.iter().copied().min_by(|f, g| off(f).total_cmp(&off(g)))
                };
                let (Some(fa), Some(fb)) = (near(&a, self), near(&b, self)) else { return };
                let fold = match (folded, fold) {
                    (false, _) => JointFold::Open,
                    (true, Fold::Valley) => JointFold::Folded(motion::Fold::Valley),
                    (true, Fold::Mountain) => JointFold::Folded(motion::Fold::Mountain),
                };
                let through = self.passed(assembly, *piece);
                let is_strap = assembly.pieces.get(*piece).is_some_and(|p| p.kind == PieceKind::Strap);
                let kept_out = if folded && is_strap {
                    self.outside_of_loop(assembly, leaves, *piece, &through, line.midpoint())
                } else {
                    Vec::new()
                };
                self.state.joints.push(FlatJoint { a: fa, b: fb, line, fold, through });
                if folded {
                    let joint = self.state.joints.len() - 1;
                    self.fact(id, Fact::Fold { joint });
                }
                for face in kept_out {
                    self.fact(id, Fact::Outside { a: fa, b: fb, face });
                }
            }
            JointKind::Fixed { placement, area, .. } => {
                self.side(id, &a, &b, placement.side);
                let lying = |(target, part): (usize, usize)| {
                    (target, part, self.is_stuck_all_over(target, part, area))
                };
                let lying: Vec<(usize, usize, bool)> =
                    a.iter().flat_map(|t| b.iter().map(move |p| (*t, *p))).map(lying).collect();
                // Where the glue is matters only to what could lie beside it.
                if lying.iter().all(|(.., all_over)| *all_over) {
                    for (a, b, _) in lying {
                        self.fact(id, Fact::Stuck { a, b });
                    }
                    return;
                }
                let Some(frame) = frame(pose, joint.a) else { return };
                let here = *world_to_plane * frame;
                let glued: Vec<Polygon> = area.iter().map(|p| p.mapped(|p| in_plane(&here, p))).collect();
                // A sheet may lie between parts that are stuck at their edges only, but not where the glue is, unless
                // it is stuck there itself: then the glue is on it.
                let spots: Vec<Rect> = glued.iter().map(Polygon::bounds).collect();
                let in_glue = |face: usize, f: &FlatFace| {
                    let near = |spot: &Rect| self.boxes.get(face).is_some_and(|b| b.touches(spot, 0.0));
                    let mut near = glued.iter().zip(&spots).filter(|(_, spot)| near(spot));
                    near.any(|(g, _)| interiors_intersect(&f.polygon, g, COINCIDENT_MM))
                };
                let also_stuck: Vec<usize> = assembly
                    .joints
                    .iter()
                    .filter(|j| matches!(j.kind, JointKind::Fixed { .. }))
                    .filter(|j| [j.a, j.b].iter().any(|p| [joint.a, joint.b].contains(p)))
                    .flat_map(|j| [j.a, j.b])
                    .flat_map(|panel| self.faces(panel))
                    .collect();
                let faces = self.state.faces.iter().enumerate();
                let held: Vec<usize> = faces
                    .filter(|(id, f)| !also_stuck.contains(id) && in_glue(*id, f))
                    .map(|(id, _)| id)
                    .collect();
                for (a, b, all_over) in lying {
                    if all_over {
                        self.fact(id, Fact::Stuck { a, b });
                        continue;
                    }
                    for &face in &held {
                        self.fact(id, Fact::Outside { a, b, face });
                    }
                }
            }
            JointKind::Slide { how: SlideHow::Strap { .. }, placement, .. } => {
                self.side(id, &a, &b, placement.side);
                // The rest of the strap runs behind the bar.
                let piece = assembly.panels.get(joint.b).map(|p| p.piece);
                let tails: Vec<usize> = (0..self.leaves.len())
                    .filter(|f| {
                        let panel = self.leaves.get(*f).and_then(|l| leaves.get(*l)).map(|l| l.panel);
                        panel != Some(joint.b)
                            && panel.and_then(|p| assembly.panels.get(p)).map(|p| p.piece) == piece
                    })
                    .collect();
                self.side(id, &a, &tails, placement.side.opposite());
            }
            JointKind::Slide { how: SlideHow::Through { .. }, .. } => {}
            JointKind::Slide { how: SlideHow::On { under, around }, placement, .. } => {
                self.side(id, &a, &b, placement.side);
                for piece in under {
                    let bridges: Vec<usize> = assembly
                        .pieces
                        .get(*piece)
                        .map(|p| p.panels.iter().flat_map(|panel| self.faces(*panel)).collect())
                        .unwrap_or_default();
                    self.side(id, &b, &bridges, relative(&self.state, &b, &a, placement.side));
                    if around.contains(piece) {
                        self.wrap(id, assembly, (joint.a, joint.b, placement.side), &bridges);
                    }
                }
            }
            JointKind::Pin { placement, centre, .. } => {
                self.side(id, &a, &b, placement.side);
                let Some(frame) = frame(pose, joint.a) else { return };
                let pin = in_plane(&(*world_to_plane * frame), *centre);
                // The pin's shank leaves no room for a sheet without a hole there.
                let covers = |f: &FlatFace| f.polygon.contains_strictly(pin);
                let pierced: Vec<usize> = self
                    .state
                    .faces
                    .iter()
                    .enumerate()
                    .filter(|(_, f)| covers(f))
                    .map(|(id, _)| id)
                    .collect();
                for (target, part) in a.iter().flat_map(|t| b.iter().map(move |p| (*t, *p))) {
                    for face in pierced.iter().filter(|f| **f != target && **f != part) {
                        self.fact(id, Fact::Outside { a: target, b: part, face: *face });
                    }
                }
            }
            JointKind::Tuck { .. } => {}
        }
    }

    /// A strip around a bar: where it faces as its sliding panel does it lies under the bar, where it is folded over, on it.
    fn wrap(
        &mut self,
        id: JointId,
        assembly: &Assembly,
        (target, part, side): (PanelId, PanelId, Face),
        bars: &[usize],
    ) {
        let (ground, sliding) = (self.faces(target), self.faces(part));
        let facing = |group: &Self, face: usize| group.state.faces.get(face).is_some_and(|f| f.up);
        let Some(up) = sliding.first().map(|f| facing(self, *f)) else { return };
        let piece = assembly.panels.get(part).and_then(|p| assembly.pieces.get(p.piece));
        for panel in piece.iter().flat_map(|p| p.panels.iter().copied()).filter(|p| *p != part) {
            for face in self.faces(panel) {
                let away = relative(&self.state, &[face], &ground, side);
                let to_bar = if facing(self, face) == up { away } else { away.opposite() };
                self.side(id, &[face], bars, to_bar);
            }
        }
    }

    /// Faces that reach across the fold of a strap and are neither its bar nor stuck to that: the strap goes round its bar
    /// alone, whatever slots of other parts lie in the same place.
    fn outside_of_loop(
        &self,
        assembly: &Assembly,
        leaves: &[CardLeaf],
        strap: usize,
        bar: &[usize],
        at: Point,
    ) -> Vec<usize> {
        let panel = |face: usize| self.leaves.get(face).and_then(|l| leaves.get(*l)).map(|l| l.panel);
        let of_bar: Vec<PanelId> = bar.iter().filter_map(|face| panel(*face)).collect();
        let stuck =
            |other: PanelId| {
                assembly.joints.iter().filter(|j| matches!(j.kind, JointKind::Fixed { .. })).any(|j| {
                    (of_bar.contains(&j.a) && j.b == other) || (of_bar.contains(&j.b) && j.a == other)
                })
            };
        let is_other = |face: usize, polygon: &Polygon| {
            let Some(own) = panel(face) else { return false };
            assembly.panels.get(own).is_some_and(|p| p.piece != strap)
                && !of_bar.contains(&own)
                && Polygon::simple(polygon.outer.clone()).contains_strictly(at)
                && !stuck(own)
        };
        let faces = self.state.faces.iter().enumerate();
        faces.filter(|(face, f)| is_other(*face, &f.polygon)).map(|(face, _)| face).collect()
    }

    /// Leaves whose slots a strap's folds pass through: those of the panel it goes around.
    fn passed(&self, assembly: &Assembly, piece: usize) -> Vec<usize> {
        assembly
            .joints
            .iter()
            .filter(|j| matches!(j.kind, JointKind::Slide { how: SlideHow::Strap { .. }, .. }))
            .filter(|j| assembly.panels.get(j.b).is_some_and(|p| p.piece == piece))
            .flat_map(|j| self.faces(j.a))
            .collect()
    }

    /// Glue over the whole of what two leaves share.
    fn is_stuck_all_over(&self, target: usize, part: usize, area: &[Polygon]) -> bool {
        let (Some(a), Some(b)) = (self.state.faces.get(target), self.state.faces.get(part)) else {
            return false;
        };
        let shared =
            region_area(&intersection(std::slice::from_ref(&a.polygon), std::slice::from_ref(&b.polygon)));
        let glued = region_area(area);
        shared > AREA_MM2 && glued >= shared * 0.98
    }

    /// A woven tongue: its parts lie in front and behind by turns, and go on through the slots.
    fn weave(&mut self, assembly: &Assembly) {
        for (id, joint) in assembly.joints.iter().enumerate() {
            let JointKind::Slide { how: SlideHow::Through { cutouts, .. }, placement, .. } = &joint.kind
            else {
                continue;
            };
            let (a, b) = (self.faces(joint.a), self.faces(joint.b));
            // Leaves were cut off slot by slot, so they come in the order of the slots.
            let mut side = placement.side;
            let last = b.len().min(cutouts.len() + 1);
            for (n, part) in b.iter().enumerate() {
                self.side(id, &a, &[*part], side);
                if n + 1 < last {
                    side = side.opposite();
                }
            }
        }
    }
}

impl Group {
    /// What is seen from the front and from the back.
    fn views(&self, layering: &super::order::Layering<'_>, order: &Order) -> [Vec<CardSeen>; 2] {
        [From::Above, From::Below].map(|side| {
            let seen = layering.seen(order, side).into_iter();
            seen.filter_map(|s| {
                Some(CardSeen { leaf: *self.leaves.get(s.face)?, front: s.front, region: s.region })
            })
            .collect()
        })
    }
}

/// What is seen of a flat card, from the front and from the back, in every order of its layers that the joints allow:
/// a claim about it holds when it holds in all of them. `None` when the card is not flat, no order is possible, or
/// there are more than `limit`.
pub fn views(assembly: &Assembly, pose: &PoseState, limit: usize) -> Option<Vec<[Vec<CardSeen>; 2]>> {
    if !is_flat(pose) {
        return None;
    }
    let leaves = leaves(assembly, pose);
    let placed = (0..leaves.len()).filter(|l| frame(pose, leaves[*l].panel).is_some()).collect();
    let group = Group::new(assembly, pose, &leaves, placed, true)?;
    let layering = group.state.layering();
    let found = layering.orders(&group.facts, limit);
    let known = found.complete && !found.orders.is_empty();
    known.then(|| found.orders.iter().map(|order| group.views(&layering, order)).collect())
}

/// Two parts of a flat card that may lie either way over each other: the joints decide neither, and the pictures show
/// one of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undecided {
    /// As the pictures show them.
    pub upper: PanelId,
    pub lower: PanelId,
    /// Where they overlap, mm².
    pub shared_mm2: f64,
}

/// The pair with the largest overlap that lies otherwise in another order of the layers; `None` when the joints leave one
/// order only, or the card does not lie flat.
pub fn undecided(assembly: &Assembly, pose: &PoseState) -> Option<Undecided> {
    if !is_flat(pose) {
        return None;
    }
    let leaves = leaves(assembly, pose);
    let placed = (0..leaves.len()).filter(|l| leaves.get(*l).is_some_and(|l| frame(pose, l.panel).is_some()));
    let group = Group::new(assembly, pose, &leaves, placed.collect(), true)?;
    let layering = group.state.layering();
    let shown = layering.solve(&group.facts).ok()?;
    let found = layering.orders(&group.facts, 2);
    let other = found.orders.iter().find(|order| **order != shown)?;
    let panel = |face: usize| leaves.get(*group.leaves.get(face)?).map(|l| l.panel);
    let polygon = |face: usize| group.state.faces.get(face).map(|f| std::slice::from_ref(&f.polygon));
    let pairs = shown.pairs().filter(|(upper, lower)| other.is_above(*upper, *lower) == Some(false));
    let told = pairs.filter_map(|(upper, lower)| {
        let shared_mm2 = region_area(&intersection(polygon(upper)?, polygon(lower)?));
        Some(Undecided { upper: panel(upper)?, lower: panel(lower)?, shared_mm2 })
    });
    told.filter(|u| u.upper != u.lower).max_by(|a, b| a.shared_mm2.total_cmp(&b.shared_mm2))
}

/// The side of `b` that looks away from `a`, when `b` lies on `side` of `a`.
fn relative(state: &FlatState, b: &[usize], a: &[usize], side: Face) -> Face {
    let up = |faces: &[usize]| faces.first().and_then(|f| state.faces.get(*f)).is_some_and(|f| f.up);
    if up(b) == up(a) { side } else { side.opposite() }
}

impl Card {
    /// Whether leaf `j` lies on the front of leaf `i`; `None` when they do not cover each other in one plane.
    pub fn on_front(&self, i: usize, j: usize) -> Option<bool> {
        self.on_front.get(&(i, j)).copied()
    }

    /// Whether leaf `j` lies nearer to a viewer than leaf `i`, both in one plane; `front_seen`: the viewer looks at the
    /// front of `i`.
    pub fn is_nearer(&self, i: usize, j: usize, front_seen: bool) -> bool {
        match self.on_front(i, j) {
            Some(on_front) => on_front == front_seen,
            // Neighbours in one sheet, or nothing is known: the later one is taken for the nearer.
            None => j > i,
        }
    }

    /// What is seen of a leaf's face: the regions in the world's plane, from the side that shows that face.
    pub fn seen_of(&self, panel: PanelId, face: Face) -> Region {
        let of_panel = |s: &&CardSeen| {
            self.leaves.get(s.leaf).is_some_and(|l| l.panel == panel) && s.front == (face == Face::Front)
        };
        self.seen.iter().flatten().filter(of_panel).flat_map(|s| s.region.clone()).collect()
    }

    fn take(
        &mut self,
        assembly: &Assembly,
        group: &Group,
        layering: &super::order::Layering<'_>,
        order: &Order,
    ) {
        for (upper, lower) in order.pairs() {
            let (Some(i), Some(j)) = (group.leaves.get(upper), group.leaves.get(lower)) else { continue };
            let (Some(up), Some(low)) = (group.state.faces.get(upper), group.state.faces.get(lower)) else {
                continue;
            };
            self.on_front.insert((*j, *i), low.up);
            self.on_front.insert((*i, *j), !up.up);
        }
        if !self.flat {
            return;
        }
        let panel_of =
            |face: usize| group.leaves.get(face).and_then(|l| self.leaves.get(*l)).map(|l| l.panel);
        let thick = |face: usize| {
            let piece = panel_of(face).and_then(|p| assembly.panels.get(p)).map(|p| p.piece);
            let paper = piece.and_then(|p| assembly.pieces.get(p)).and_then(|p| assembly.papers.get(p.paper));
            paper.map_or(0.0, |p| p.caliper)
        };
        // Where a leaf's underside lies: on the leaf below, and no nearer to a leaf it is foamed to than the foam is
        // high. `tops` are the upper sides of the leaves below, in order.
        let foams: Vec<(PanelId, PanelId, f64)> = assembly
            .joints
            .iter()
            .filter_map(|j| match &j.kind {
                JointKind::Fixed { placement, foam: true, .. } => Some((j.a, j.b, placement.raise)),
                _ => None,
            })
            .collect();
        let foot = |below: &[usize], tops: &[f64], face: usize| -> f64 {
            let panel = panel_of(face);
            let held_off = foams.iter().filter_map(|&(a, b, raise)| {
                let target = match (Some(a) == panel, Some(b) == panel) {
                    (false, true) => a,
                    (true, false) => b,
                    _ => return None,
                };
                let at = below.iter().position(|f| panel_of(*f) == Some(target))?;
                Some(tops.get(at)? + raise)
            });
            held_off.fold(tops.last().copied().unwrap_or(0.0), f64::max)
        };
        let mut heights = vec![0.0_f64; self.leaves.len()];
        let mut thickest: Option<Thickest> = None;
        let stacks = layering.stacks(order);
        // Heights settle from below: each pass can only raise, and no stack is higher than the leaves are many.
        for _ in 0..group.leaves.len() {
            let mut raised = false;
            for stack in &stacks {
                let mut tops: Vec<f64> = Vec::new();
                for (n, face) in stack.faces.iter().enumerate() {
                    let Some(height) = group.leaves.get(*face).and_then(|leaf| heights.get_mut(*leaf)) else {
                        continue;
                    };
                    let foot = foot(&stack.faces[..n], &tops, *face);
                    if *height + 1e-9 < foot {
                        *height = foot;
                        raised = true;
                    }
                    tops.push(*height + thick(*face));
                }
            }
            if !raised {
                break;
            }
        }
        for stack in &stacks {
            let mut tops: Vec<f64> = Vec::new();
            for (n, face) in stack.faces.iter().enumerate() {
                tops.push(foot(&stack.faces[..n], &tops, *face) + thick(*face));
            }
            let mm = tops.last().copied().unwrap_or(0.0);
            if thickest.as_ref().is_none_or(|t| mm > t.mm + 1e-9) {
                let at = region_centroid(std::slice::from_ref(&stack.polygon)).unwrap_or(Point::ORIGIN);
                let panels = stack.faces.iter().filter_map(|f| panel_of(*f)).collect();
                thickest = Some(Thickest { mm, at: pt(at.x, -at.y), panels });
            }
        }
        self.seen = group.views(layering, order);
        self.heights = heights;
        self.thickest = thickest;
    }
}
