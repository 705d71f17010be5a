//! The leaves of one plane as a layer problem: where they lie, and what the joints say of their order.

use std::collections::BTreeMap;

use super::card::Contradiction;
use super::flat::{FlatFace, FlatJoint, FlatState, JointFold};
use super::island::Island;
use super::kept::Kept;
use super::leaves::{CardLeaf, frame, planes};
use super::order::Fact;
use crate::assembly::{Assembly, Face, Fold, Joint, JointId, JointKind, PanelId, PieceKind, SlideHow};
use crate::geometry::{Point, Polygon, Rect, Segment, pt, region_area};
use crate::motion::{self, Iso, PoseState, Vec3};
use crate::quantity::tolerance::{AREA_MM2, COINCIDENT_MM, PARALLEL_DEG};

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

/// The planes of a pose in which several leaves lie; a flat pose is one, whatever foam lifts.
pub(super) fn groups(
    assembly: &Assembly,
    pose: &PoseState,
    leaves: &[CardLeaf],
    flat: bool,
    kept: &Kept,
) -> Vec<Group> {
    let placed: Vec<usize> = (0..leaves.len()).filter(|l| frame(pose, leaves[*l].panel).is_some()).collect();
    let groups = if flat { vec![placed] } else { planes(leaves, pose, &placed) };
    groups
        .into_iter()
        .filter_map(|members| Group::new(assembly, pose, leaves, members, (flat, kept)))
        .collect()
}

/// A point of a piece's frame (y down) in the plane of a group (y up).
fn in_plane(here: &Iso, p: Point) -> Point {
    let q = here.point(Vec3::new(p.x, -p.y, 0.0));
    pt(q.x, q.y)
}

impl Group {
    pub(super) fn new(
        assembly: &Assembly,
        pose: &PoseState,
        leaves: &[CardLeaf],
        members: Vec<usize>,
        (flat, kept): (bool, &Kept),
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
            group.joint(assembly, pose, leaves, (id, joint), &world_to_plane, kept);
        }
        group.weave(assembly);
        Some(group)
    }

    /// The joints that facts which cannot all hold come from.
    pub(super) fn contradiction(&self, island: &Island, core: &[usize]) -> Contradiction {
        let of_group = core.iter().filter_map(|f| island.facts.get(*f));
        let mut joints: Vec<JointId> = of_group.filter_map(|f| self.because.get(*f).copied()).collect();
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
        (id, joint): (JointId, &Joint),
        world_to_plane: &Iso,
        kept: &Kept,
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
                    (target, part, self.is_stuck_all_over(target, part, area, kept))
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
                    near.any(|(g, _)| kept.common(&f.polygon, g).thickest_mm > COINCIDENT_MM)
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
            self.boxes.get(face).is_some_and(|b| b.contains(at, 0.0))
                && assembly.panels.get(own).is_some_and(|p| p.piece != strap)
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
    fn is_stuck_all_over(&self, target: usize, part: usize, area: &[Polygon], kept: &Kept) -> bool {
        let (Some(a), Some(b)) = (self.state.faces.get(target), self.state.faces.get(part)) else {
            return false;
        };
        let shared = kept.common(&a.polygon, &b.polygon).area_mm2;
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

/// The side of `b` that looks away from `a`, when `b` lies on `side` of `a`.
fn relative(state: &FlatState, b: &[usize], a: &[usize], side: Face) -> Face {
    let up = |faces: &[usize]| faces.first().and_then(|f| state.faces.get(*f)).is_some_and(|f| f.up);
    if up(b) == up(a) { side } else { side.opposite() }
}
