//! The leaves of one plane as a layer problem: where they lie, and what the joints say of their order.

use std::collections::BTreeMap;

use super::card::Contradiction;
use super::flat::{FlatFace, FlatJoint, FlatState, JointFold};
use super::island::Island;
use super::kept::Kept;
use super::leaves::{CardLeaf, frame, planes};
use super::order::Fact;
use super::rules::{shared_place, sides};
use super::tucked::{Tuck, opening_line, part_at_opening, tucks};
use crate::assembly::{Assembly, Face, Fold, Joint, JointId, JointKind, PanelId, PieceKind, SlideHow};
use crate::geometry::{Point, Polygon, Rect, Segment, clip_segment, pt, region_area};
use crate::motion::{self, Iso, PoseState, Vec3};
use crate::quantity::tolerance::{AREA_MM2, CLOSURE_MM, COINCIDENT_MM, PARALLEL_DEG};

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

/// What the joints say of layers in every pose, worked out once for all of them.
pub(super) struct Seams<'a> {
    assembly: &'a Assembly,
    kept: &'a Kept,
    /// By joint: whether glue holds all that its two panels share.
    all_over: Vec<bool>,
    /// By panel: those it is stuck to.
    stuck_to: Vec<Vec<PanelId>>,
    /// By piece: the panels that it goes around as a strap.
    bars: Vec<Vec<PanelId>>,
    pub(super) tucks: Vec<Tuck>,
}

impl<'a> Seams<'a> {
    pub(super) fn of(assembly: &'a Assembly, kept: &'a Kept) -> Self {
        let mut stuck_to = vec![Vec::new(); assembly.panels.len()];
        let mut bars = vec![Vec::new(); assembly.pieces.len()];
        let mut all_over = vec![false; assembly.joints.len()];
        for (joint, all_over) in assembly.joints.iter().zip(&mut all_over) {
            let (a, b) = (assembly.panels.get(joint.a), assembly.panels.get(joint.b));
            match &joint.kind {
                JointKind::Fixed { placement, area, .. } => {
                    for (one, other) in [(joint.a, joint.b), (joint.b, joint.a)] {
                        stuck_to.get_mut(one).into_iter().for_each(|list| list.push(other));
                    }
                    if let (Some(a), Some(b)) = (a, b) {
                        let part = b.polygon.transformed(&placement.isometry());
                        *all_over = is_stuck_all_over(&a.polygon, &part, area, kept);
                    }
                }
                JointKind::Slide { how: SlideHow::Strap { .. }, .. } => {
                    let bars = b.and_then(|strap| bars.get_mut(strap.piece));
                    bars.into_iter().for_each(|list| list.push(joint.a));
                }
                _ => {}
            }
        }
        Self { assembly, kept, all_over, stuck_to, bars, tucks: tucks(assembly) }
    }

    fn are_stuck(&self, one: PanelId, other: PanelId) -> bool {
        self.stuck_to.get(one).is_some_and(|list| list.contains(&other))
    }
}

/// Glue over the whole of what two leaves share, all in one plane.
fn is_stuck_all_over(a: &Polygon, b: &Polygon, area: &[Polygon], kept: &Kept) -> bool {
    let shared = kept.common(a, b).area_mm2;
    shared > AREA_MM2 && region_area(area) >= shared * 0.98
}

/// The leaves of one pose, and what joints say of them.
#[derive(Clone, Copy)]
pub(super) struct Lying<'a> {
    pub(super) seams: &'a Seams<'a>,
    pub(super) pose: &'a PoseState,
    pub(super) leaves: &'a [CardLeaf],
    /// In the world's own plane.
    pub(super) flat: bool,
}

impl Lying<'_> {
    /// The planes in which several leaves lie; a flat pose is one, whatever foam lifts.
    pub(super) fn groups(self) -> Vec<Group> {
        let placed =
            |leaf: &usize| self.leaves.get(*leaf).is_some_and(|l| frame(self.pose, l.panel).is_some());
        let placed: Vec<usize> = (0..self.leaves.len()).filter(placed).collect();
        let groups = if self.flat { vec![placed] } else { planes(self.leaves, self.pose, &placed) };
        groups.into_iter().filter_map(|members| Group::new(self, members)).collect()
    }

    fn panel(&self, leaf: usize) -> Option<PanelId> {
        self.leaves.get(leaf).map(|l| l.panel)
    }
}

/// A point of a piece's frame (y down) in the plane of a group (y up).
pub(super) fn in_plane(here: &Iso, p: Point) -> Point {
    let q = here.point(Vec3::new(p.x, -p.y, 0.0));
    pt(q.x, q.y)
}

impl Group {
    pub(super) fn new(lying: Lying, members: Vec<usize>) -> Option<Self> {
        let Lying { seams, pose, leaves, flat } = lying;
        let assembly = seams.assembly;
        let first = frame(pose, leaves.get(*members.first()?)?.panel)?;
        // A flat card is laid out in the world's own plane, so that what is seen needs no turning.
        let world_to_plane = if flat { Iso::identity() } else { first.inverse() };
        let mut state = FlatState::default();
        for leaf in &members {
            let leaf = leaves.get(*leaf)?;
            let here = world_to_plane * frame(pose, leaf.panel)?;
            let polygon = leaf.polygon.mapped(|p| in_plane(&here, p));
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
            group.joint(lying, (id, joint), &world_to_plane);
        }
        group.weave(assembly);
        for tuck in &seams.tucks {
            group.tuck(lying, tuck, &world_to_plane);
        }
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

    fn joint(&mut self, lying: Lying, (id, joint): (JointId, &Joint), world_to_plane: &Iso) {
        let Lying { seams, pose, leaves, .. } = lying;
        let (assembly, kept) = (seams.assembly, seams.kept);
        let (a, b) = (self.faces(joint.a), self.faces(joint.b));
        if a.is_empty() || b.is_empty() {
            self.leaves_plane(lying, (id, joint), world_to_plane);
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
                let bars = seams.bars.get(*piece).into_iter().flatten();
                let through: Vec<usize> = bars.flat_map(|panel| self.faces(*panel)).collect();
                let is_strap = assembly.pieces.get(*piece).is_some_and(|p| p.kind == PieceKind::Strap);
                let kept_out = if folded && is_strap {
                    self.outside_of_loop(lying, *piece, line.midpoint())
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
                let glued = |f: &FlatFace| {
                    let here = frame(pose, joint.a).map(|frame| *world_to_plane * frame);
                    let meets = |p: &Polygon, here: &Iso| {
                        kept.common(&f.polygon, &p.mapped(|p| in_plane(here, p))).area_mm2 > AREA_MM2
                    };
                    here.is_some_and(|here| area.iter().any(|p| meets(p, &here)))
                };
                let b = self.this_side(seams, joint.b, b, glued);
                self.side(id, &a, &b, placement.side);
                let polygon = |face: usize| self.state.faces.get(face).map(|f| &f.polygon);
                let held = |(target, part): (usize, usize)| {
                    // Parts that are woven come in several leaves, which differ from pose to pose.
                    let all_over = match (a.as_slice(), b.as_slice(), polygon(target), polygon(part)) {
                        ([_], [_], ..) => seams.all_over.get(id).copied().unwrap_or(false),
                        (.., Some(a), Some(b)) => is_stuck_all_over(a, b, area, kept),
                        _ => false,
                    };
                    (target, part, all_over)
                };
                // Of a woven part only the leaves that lie on each other are held together.
                let meet = |&(target, part): &(usize, usize)| {
                    let both = polygon(target).zip(polygon(part));
                    both.is_none_or(|(a, b)| kept.common(a, b).thickest_mm > COINCIDENT_MM)
                };
                let woven = a.len() > 1 || b.len() > 1;
                let pairs = a.iter().flat_map(|t| b.iter().map(move |p| (*t, *p)));
                let pairs: Vec<(usize, usize, bool)> =
                    pairs.filter(|pair| !woven || meet(pair)).map(held).collect();
                // Where the glue is matters only to what could lie beside it.
                if pairs.iter().all(|(.., all_over)| *all_over) {
                    for (a, b, _) in pairs {
                        self.fact(id, Fact::Stuck { a, b });
                    }
                    return;
                }
                let Some(frame) = frame(pose, joint.a) else { return };
                let here = *world_to_plane * frame;
                let glued: Vec<Polygon> = area.iter().map(|p| p.mapped(|p| in_plane(&here, p))).collect();
                let also_stuck = |face: usize| {
                    let panel = self.leaves.get(face).and_then(|leaf| lying.panel(*leaf));
                    panel.is_none_or(|p| {
                        [joint.a, joint.b].iter().any(|own| p == *own || seams.are_stuck(*own, p))
                    })
                };
                // A sheet may lie between parts that are stuck at their edges only, but not where the glue is, unless
                // it is stuck there itself: then the glue is on it.
                let spots: Vec<Rect> = glued.iter().map(Polygon::bounds).collect();
                let in_glue = |face: usize, f: &FlatFace| {
                    let near = |spot: &Rect| self.boxes.get(face).is_some_and(|b| b.touches(spot, 0.0));
                    let mut near = glued.iter().zip(&spots).filter(|(_, spot)| near(spot)).peekable();
                    near.peek().is_some()
                        && !also_stuck(face)
                        && near.any(|(g, _)| kept.common(&f.polygon, g).thickest_mm > COINCIDENT_MM)
                };
                let faces = self.state.faces.iter().enumerate();
                let held: Vec<usize> =
                    faces.filter(|(face, f)| in_glue(*face, f)).map(|(face, _)| face).collect();
                for (a, b, all_over) in pairs {
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
                // What runs on the face is taken for larger than what is tucked in.
                let all = || self.faces(joint.b).into_iter().filter_map(|f| self.state.faces.get(f));
                let is_largest = |f: &FlatFace| all().all(|g| g.polygon.area() <= f.polygon.area());
                let b = self.this_side(seams, joint.b, b, is_largest);
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
            JointKind::Pin { placement, centre, between, .. } => {
                let Some(home) = frame(pose, joint.a) else { return };
                let pin = in_plane(&(*world_to_plane * home), *centre);
                let round = |f: &FlatFace| Polygon::simple(f.polygon.outer.clone()).contains_strictly(pin);
                let b = self.this_side(seams, joint.b, b, round);
                self.side(id, &a, &b, placement.side);
                // What the design names between the two lies there in that order.
                let (mut below, mut side) = (a.clone(), placement.side);
                for (panel, _) in between.iter().rev() {
                    let sheet = self.faces(*panel);
                    if sheet.is_empty() {
                        continue;
                    }
                    self.side(id, &below, &sheet, side);
                    self.side(id, &sheet, &b, relative(&self.state, &sheet, &a, placement.side));
                    side = relative(&self.state, &sheet, &below, side);
                    below = sheet;
                }
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

    /// Of a part that is tucked in somewhere the leaves by which another joint holds it: what is beyond an opening may lie on
    /// the other side of what the rest is held to.
    fn this_side(
        &self,
        seams: &Seams,
        part: PanelId,
        leaves: Vec<usize>,
        holds: impl Fn(&FlatFace) -> bool,
    ) -> Vec<usize> {
        let is_tucked = |tuck: &Tuck| seams.assembly.joints.get(tuck.id).is_some_and(|j| j.b == part);
        if leaves.len() < 2 || !seams.tucks.iter().any(is_tucked) {
            return leaves;
        }
        let held = leaves.iter().copied().filter(|f| self.state.faces.get(*f).is_some_and(&holds));
        let held: Vec<usize> = held.collect();
        if held.is_empty() { leaves } else { held }
    }

    /// A tongue in its opening: the sheet lies between what is this side of the opening and what is beyond it, and the
    /// tongue goes on from the one to the other.
    fn tuck(&mut self, lying: Lying, tuck: &Tuck, world_to_plane: &Iso) {
        let Lying { seams, pose, .. } = lying;
        let assembly = seams.assembly;
        let Some(joint) = assembly.joints.get(tuck.id) else { return };
        let through = |part: PanelId| part_at_opening(assembly, pose, joint, part)?.through();
        let sheet = self.faces(joint.a);
        if sheet.is_empty() || through(joint.b).is_none() {
            return;
        }
        let parts = tuck.parts.iter().map(|part| (*part, self.faces(*part)));
        let parts: Vec<(PanelId, Vec<usize>)> =
            parts.filter(|(part, faces)| !faces.is_empty() && through(*part).is_some()).collect();
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        let (Some(line), Some(here)) = (opening_line(assembly, joint), frame(pose, joint.a)) else { return };
        let here = *world_to_plane * here;
        let line = Segment::new(in_plane(&here, line.start), in_plane(&here, line.end));
        for (_, faces) in &parts {
            // Where the tongue hangs on another panel at the line, that is what lies this side of it.
            for seam in &mut self.state.joints {
                let of_part = [seam.a, seam.b].map(|f| faces.contains(&f));
                let of_sheet = [seam.a, seam.b].iter().any(|f| sheet.contains(f));
                if of_part[0] != of_part[1] && !of_sheet && shared_place(line, seam.line).is_some() {
                    seam.through.extend(&sheet);
                    pairs.push((seam.a, seam.b));
                }
            }
        }
        for (a, b) in parts.iter().flat_map(|(_, faces)| two_of(faces)) {
            let Some(polygon) = self.state.faces.get(a).map(|f| &f.polygon) else { continue };
            let meets = |edge: &Segment| {
                let place = shared_place(line, *edge)?;
                let side = |face: usize| sides(&self.state, face, line, place);
                (side(a) == [true, false] && side(b) == [false, true]).then_some(*edge)
            };
            if let Some(line) = polygon.edges().find_map(|edge| meets(&edge)) {
                let fold = JointFold::Open;
                self.state.joints.push(FlatJoint { a, b, line, fold, through: sheet.clone() });
                pairs.push((a, b));
            }
        }
        let root = self.root(lying, tuck, world_to_plane);
        for (a, b) in pairs {
            for &face in &sheet {
                self.fact(tuck.id, Fact::Between { a, b, face });
            }
            let Some((hinge, from_above)) = root else { continue };
            let off = |face: &usize| {
                let face = self.state.faces.get(*face);
                face.map_or(f64::INFINITY, |f| f.polygon.distance_to_point(hinge))
            };
            // Tucked in to its root, the tongue itself lies beyond.
            let tongue = parts.first().map_or(&[][..], |(_, faces)| faces);
            let near = match (tongue.contains(&a), tongue.contains(&b)) {
                (true, false) => b,
                (false, true) => a,
                (false, false) => continue,
                _ if off(&a) <= off(&b) => a,
                _ => b,
            };
            for &face in &sheet {
                let (upper, lower) = if from_above { (face, near) } else { (near, face) };
                self.fact(tuck.id, Fact::Rather { upper, lower });
            }
        }
    }

    /// Where a tongue hangs on the rest of the card, and whether it folds over from above: it closes over what it is
    /// tucked into, and its end goes in.
    fn root(&self, lying: Lying, tuck: &Tuck, world_to_plane: &Iso) -> Option<(Point, bool)> {
        let Lying { seams, pose, .. } = lying;
        let assembly = seams.assembly;
        let joint = assembly.joints.get(tuck.id)?;
        let (mut own, mut hinge) = (joint.b, None);
        for &(id, next) in &tuck.way {
            let JointKind::Fold { from, to, fold, .. } = &assembly.joints.get(id)?.kind else { return None };
            let (here, there) = (frame(pose, own)?, frame(pose, next)?);
            let (here, there) = (*world_to_plane * here, *world_to_plane * there);
            let at = Segment::new(*from, *to).midpoint();
            let hinge = *hinge.get_or_insert(in_plane(&here, at));
            let value = pose.values.get(id).copied().unwrap_or(0.0).abs();
            // The panel with the opening itself: the fold says on which side the tongue lies.
            if next == joint.a {
                return None;
            }
            if value <= PARALLEL_DEG {
                own = next;
                continue;
            }
            if (value - 180.0).abs() <= PARALLEL_DEG {
                // A valley lays either panel on the front of the other.
                let front_up = there.front().z > 0.0;
                return Some((hinge, front_up != (*fold == Fold::Valley)));
            }
            let middle = assembly.panels.get(next)?.polygon.centroid();
            let height = there.point(Vec3::new(middle.x, -middle.y, 0.0)).z
                - here.point(Vec3::new(at.x, -at.y, 0.0)).z;
            return (height.abs() > CLOSURE_MM).then_some((hinge, height > 0.0));
        }
        None
    }

    /// A fold at which one panel leaves the plane of the other: to that side nothing may lie over its line.
    fn leaves_plane(&mut self, lying: Lying, (id, joint): (JointId, &Joint), world_to_plane: &Iso) {
        let Lying { seams, pose, .. } = lying;
        let assembly = seams.assembly;
        let JointKind::Fold { from, to, piece, .. } = &joint.kind else { return };
        let (own, away) = match (self.faces(joint.a), self.faces(joint.b)) {
            (own, none) if none.is_empty() && !own.is_empty() => (own, joint.b),
            (none, own) if none.is_empty() && !own.is_empty() => (own, joint.a),
            _ => return,
        };
        let (Some(here), Some(there)) = (frame(pose, joint.a), frame(pose, away)) else { return };
        let (here, there) = (*world_to_plane * here, *world_to_plane * there);
        let Some(panel) = assembly.panels.get(away) else { return };
        let middle = panel.polygon.centroid();
        let height = there.point(Vec3::new(middle.x, -middle.y, 0.0)).z
            - here.point(Vec3::new(from.x, -from.y, 0.0)).z;
        if height.abs() <= CLOSURE_MM {
            return;
        }
        let line = Segment::new(in_plane(&here, *from), in_plane(&here, *to));
        let Some(beside) = line.vector().unit().map(|along| along.turned_left() * CLOSURE_MM) else { return };
        let bars = seams.bars.get(*piece).map_or(&[][..], Vec::as_slice);
        let across = |face: usize, f: &FlatFace| {
            let of = self.leaves.get(face).and_then(|leaf| lying.panel(*leaf));
            let of =
                of.filter(|of| !bars.contains(of) && !slit_along(assembly, pose, *of, &line, world_to_plane));
            of.is_some()
                && clip_segment(&f.polygon, &line).iter().any(|span| {
                    let at = line.start + (line.vector() * (0.5 * (span.from + span.to) / line.length()));
                    [at + beside, at - beside].iter().all(|p| f.polygon.contains_strictly(*p))
                })
        };
        let faces = self.state.faces.iter().enumerate();
        let others: Vec<usize> =
            faces.filter(|(face, f)| !own.contains(face) && across(*face, f)).map(|(face, _)| face).collect();
        for (&own, other) in own.iter().flat_map(|own| others.iter().map(move |other| (own, *other))) {
            let (upper, lower) = if height > 0.0 { (own, other) } else { (other, own) };
            self.fact(id, Fact::Above { upper, lower });
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
    fn outside_of_loop(&self, lying: Lying, strap: usize, at: Point) -> Vec<usize> {
        let bars = lying.seams.bars.get(strap).map_or(&[][..], Vec::as_slice);
        let is_other = |face: usize, polygon: &Polygon| {
            let panel = self.leaves.get(face).and_then(|leaf| lying.panel(*leaf));
            panel.is_some_and(|own| {
                lying.seams.assembly.panels.get(own).is_some_and(|p| p.piece != strap)
                    && !bars.iter().any(|bar| *bar == own || lying.seams.are_stuck(*bar, own))
                    && Polygon::simple(polygon.outer.clone()).contains_strictly(at)
            })
        };
        let there = self.boxes.iter().zip(&self.state.faces).enumerate();
        let there = there.filter(|(_, (bounds, _))| bounds.contains(at, 0.0));
        there.filter(|(face, (_, f))| is_other(*face, &f.polygon)).map(|(face, _)| face).collect()
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

/// Every two of some faces, either one first.
fn two_of(faces: &[usize]) -> impl Iterator<Item = (usize, usize)> + '_ {
    faces.iter().flat_map(move |a| faces.iter().filter(move |b| *b != a).map(move |b| (*a, *b)))
}

/// Whether a panel has a slit where a line lies.
fn slit_along(
    assembly: &Assembly,
    pose: &PoseState,
    panel: PanelId,
    line: &Segment,
    world_to_plane: &Iso,
) -> bool {
    let Some(here) = frame(pose, panel).map(|frame| *world_to_plane * frame) else { return false };
    let piece = assembly.panels.get(panel).and_then(|p| assembly.pieces.get(p.piece));
    let slits =
        piece.into_iter().flat_map(|p| &p.cutouts).filter(|c| c.panel == panel && c.contour.is_none());
    slits.into_iter().any(|slit| {
        let slit = Segment::new(in_plane(&here, slit.from), in_plane(&here, slit.to));
        slit.nearest(line.midpoint()).distance(line.midpoint()) <= CLOSURE_MM
    })
}

/// The side of `b` that looks away from `a`, when `b` lies on `side` of `a`.
fn relative(state: &FlatState, b: &[usize], a: &[usize], side: Face) -> Face {
    let up = |faces: &[usize]| faces.first().and_then(|f| state.faces.get(*f)).is_some_and(|f| f.up);
    if up(b) == up(a) { side } else { side.opposite() }
}
