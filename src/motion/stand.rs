//! The card in a pose: where every panel is.
//!
//! Lowers the assembly to a [`Linkage`] (panel = body, y turned up), places it with every joint at the value that the
//! pose gives or its rest, and measures what folds bring together. When that leaves a loop open and some fold on it
//! has neither a value nor a rest, the loop is solved for those folds.

use super::graph::{Graph, Loop};
use super::iso::{Iso, Vec3};
use super::kept::Kept;
use super::linkage::{Body, BodyId, JointId as LinkId, Link, Linkage, Panel};
use super::pose::{FaultKind, Misfit, Pose as LinkPose, PoseFault, State};
use crate::assembly::{Assembly, Face, Fold, JointId, JointKind, PanelId, Placement, Pose};
use crate::geometry::{Point, Polygon};
use crate::quantity::tolerance::CLOSURE_MM;
use nalgebra::Matrix3;
use std::sync::Arc;

/// A pose with a fold beyond this many degrees is reached from a half open one.
const NEARLY_SHUT_DEG: f64 = 170.0;

/// Where everything is in one pose.
#[derive(Debug, Clone)]
pub struct PoseState {
    pub name: String,
    /// From each panel's flat frame (x, -y, 0) to the world; `None` for a panel that nothing holds to the card.
    pub frames: Vec<Option<Iso>>,
    /// Value of every joint of the assembly: signed degrees (valley positive) or mm; 0 for what does not move.
    pub values: Vec<f64>,
    /// Widest gap at a joint that folds bring together, mm.
    pub gap_mm: f64,
    pub gap_at: Option<JointId>,
    /// Loops were solved for folds that the pose does not set.
    pub solved: bool,
    /// Why the pose cannot be reached.
    pub fault: Option<StandFault>,
}

#[derive(Debug, Clone)]
pub struct StandFault {
    pub kind: FaultKind,
    /// The widest distance of a corner from where the worst joint wants it, mm.
    pub gap_mm: f64,
    pub joint: Option<JointId>,
    /// How the worst joint itself is off its place.
    pub misfit: Option<Misfit>,
    /// A joint that would have to go beyond its range for the loop to close.
    pub beyond: Option<Beyond>,
}

/// A joint outside its range.
#[derive(Debug, Clone, Copy)]
pub struct Beyond {
    pub joint: JointId,
    /// Degrees or mm.
    pub by: f64,
    /// Below its lowest value, rather than above its highest.
    pub low: bool,
    /// A fold that would have to fold the other way, rather than past closed.
    pub other_way: bool,
}

/// Width, height and depth of a card in a pose, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extent {
    pub width: f64,
    pub height: f64,
    pub depth: f64,
}

/// The assembly as a linkage, and which joint is which.
pub struct Lowered {
    pub linkage: Linkage,
    /// By joint of the assembly; tucks have none.
    pub links: Vec<Option<LinkId>>,
    /// Panels that joints hold to the root panel.
    pub held: Vec<bool>,
    /// Of the linkage as it was lowered; `None` when that is malformed.
    graph: Option<Graph>,
    kept: Arc<Kept>,
}

impl Lowered {
    /// Every body where a state has it.
    pub fn place(&self, state: &State) -> Result<LinkPose, PoseFault> {
        let Some(graph) = &self.graph else { return self.linkage.place(state) };
        self.linkage.fits(state)?;
        Ok(self.linkage.at(graph, state.values.clone()))
    }

    fn pose(&self, drivers: &[(LinkId, f64)], start: &State) -> Result<LinkPose, PoseFault> {
        let Some(graph) = &self.graph else { return self.linkage.pose(drivers, start) };
        self.linkage.fits(start)?;
        self.linkage.pose_on(graph, drivers, start, Some(&self.kept))
    }

    /// The state in which joints have the values that a pose gives, all others at rest; and these as drivers.
    fn set(&self, assembly: &Assembly, set: &[(JointId, f64)]) -> (State, Vec<(LinkId, f64)>) {
        let mut start = self.linkage.rest();
        let mut drivers = Vec::new();
        for (joint, value) in set {
            let (Some(Some(link)), Some(kind)) =
                (self.links.get(*joint), assembly.joints.get(*joint).map(|j| &j.kind))
            else {
                continue;
            };
            let value = value * sign(kind);
            if let Some(slot) = start.values.get_mut(link.0) {
                *slot = value;
            }
            drivers.retain(|(l, _)| l != link);
            drivers.push((*link, value));
        }
        (start, drivers)
    }

    /// Folds with a stated rest keep it; the others, and what turns or runs, follow from the loop. Whether there are any.
    fn rest_too(&self, assembly: &Assembly, start: &State, drivers: &mut Vec<(LinkId, f64)>) -> bool {
        let mut free = false;
        for (joint, link) in assembly.joints.iter().zip(&self.links) {
            let Some(link) = link.as_ref().filter(|link| !drivers.iter().any(|(l, _)| l == *link)) else {
                continue;
            };
            let rest = match &joint.kind {
                JointKind::Fold { piece, crease, .. } => {
                    assembly.pieces.get(*piece).and_then(|p| p.creases.get(*crease)).and_then(|c| c.rest)
                }
                JointKind::Pin { .. } | JointKind::Slide { .. } => None,
                JointKind::Fixed { .. } | JointKind::Tuck { .. } => continue,
            };
            match rest {
                Some(_) => drivers.push((*link, start.values.get(link.0).copied().unwrap_or(0.0))),
                None => free = true,
            }
        }
        free
    }

    /// Whether a few starts find a state that closes with the values of a pose; where they do not there may still be one.
    /// A pose that is shut is looked at half open: shut, its loops have no direction to go.
    pub fn closes_soon(&self, assembly: &Assembly, set: &[(JointId, f64)]) -> bool {
        let (start, mut drivers) = self.set(assembly, set);
        self.rest_too(assembly, &start, &mut drivers);
        if drivers.iter().any(|(_, value)| value.abs() > NEARLY_SHUT_DEG) {
            drivers = self.shared(&drivers, 0.5);
        }
        self.graph.as_ref().is_some_and(|graph| self.linkage.closes_soon(graph, &drivers))
    }

    /// Of the states in which attempts at a pose ended, led to its own values whatever the ranges of the joints: the one
    /// that closes best, and of those that close the one that leaves the ranges least.
    fn nearest(&self, drivers: &[(LinkId, f64)], ended: Vec<PoseFault>) -> Option<PoseFault> {
        let graph = self.graph.as_ref()?;
        let (kind, reached) = ended.first().map(|first| (first.kind, first.reached.clone()))?;
        self.linkage.fits(&reached).ok()?;
        let ends = ended.into_iter().flat_map(|fault| [Some(fault.reached), fault.forced]).flatten();
        let near = ends.chain([self.linkage.rest()]).filter(|state| self.linkage.fits(state).is_ok());
        let forced = near.map(|state| {
            let forced = self.linkage.forced_on(graph, drivers, &state);
            let (gap, joint) = self.linkage.gap_on(graph, &forced);
            let beyond = self.linkage.farthest_outside(&forced).map_or(0.0, |(_, by)| by.abs());
            (
                gap.max(CLOSURE_MM),
                beyond,
                PoseFault { kind, gap_mm: gap, joint, reached: reached.clone(), forced: Some(forced) },
            )
        });
        forced.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))).map(|(.., fault)| fault)
    }

    fn widest_gap(&self, state: &State) -> (f64, LinkId) {
        match &self.graph {
            Some(graph) if self.linkage.fits(state).is_ok() => self.linkage.gap_on(graph, state),
            _ => self.linkage.widest_gap(state),
        }
    }

    /// A share of every driver's value. A ring in which nothing is free, such as that of a strap, closes at its own
    /// values alone and keeps them.
    fn shared(&self, drivers: &[(LinkId, f64)], share: f64) -> Vec<(LinkId, f64)> {
        let driven = |joint: usize| drivers.iter().any(|(l, _)| l.0 == joint);
        let rings = self.graph.iter().flat_map(|graph| &graph.loops);
        let set: Vec<&Loop> =
            rings.filter(|ring| ring.round.iter().all(|passage| driven(passage.0))).collect();
        let in_set =
            |link: LinkId| set.iter().any(|ring| ring.round.iter().any(|passage| passage.0 == link.0));
        let part = |&(link, value): &(LinkId, f64)| (link, if in_set(link) { value } else { value * share });
        drivers.iter().map(part).collect()
    }

    /// By joint of the linkage, the joint of the assembly.
    pub fn joint_of(&self, link: LinkId) -> Option<JointId> {
        self.links.iter().position(|l| *l == Some(link))
    }
}

fn up(p: Point) -> [f64; 2] {
    [p.x, -p.y]
}

pub fn lower(assembly: &Assembly) -> Lowered {
    lower_keeping(assembly, Arc::default())
}

/// As [`lower`]; loops that were solved before are not solved again.
pub fn lower_keeping(assembly: &Assembly, kept: Arc<Kept>) -> Lowered {
    let mut linkage = Linkage { root: assembly.root, ..Linkage::default() };
    for panel in &assembly.panels {
        let ring = |ring: &Vec<Point>| ring.iter().map(|p| up(*p)).collect();
        let outline = ring(&panel.polygon.outer);
        let holes = panel.polygon.holes.iter().map(ring).collect();
        linkage.add_body(Body { panels: vec![Panel { outline, holes }] });
    }
    let links: Vec<Option<LinkId>> = assembly
        .joints
        .iter()
        .map(|joint| link(joint.a, joint.b, &joint.kind).map(|link| linkage.add_joint(link)))
        .collect();
    let held = held(assembly, &links);
    let graph = linkage.graph().ok();
    Lowered { linkage, links, held, graph, kept }
}

/// A joint of the assembly as a link; a tuck holds without placing.
fn link(a: PanelId, b: PanelId, kind: &JointKind) -> Option<Link> {
    let (a, b) = (BodyId(a), BodyId(b));
    Some(match kind {
        JointKind::Fold { from, to, fold, rest, .. } => {
            // The linkage wants `b` on the left of the line; here `a` is.
            let link = Link::crease(a, b, [up(*to), up(*from)]);
            match fold {
                Fold::Valley => link.valley().resting_at(*rest),
                Fold::Mountain => link.mountain().resting_at(-*rest),
            }
        }
        JointKind::Fixed { placement, .. } => Link::fixed(a, b, seat(placement)),
        JointKind::Slide { placement, direction, range, .. } => {
            Link::slide(a, b, up(*direction), seat(placement)).within(range.0, range.1)
        }
        JointKind::Pin { placement, centre, part_centre, range, .. } => {
            let mut link = Link::pin(a, up(*centre), b, up(*part_centre)).clockwise();
            link.zero = seat(placement);
            match range {
                Some((low, high)) => link.within(*low, *high),
                None => link,
            }
        }
        JointKind::Tuck { .. } => return None,
    })
}

/// A placement in the plane as a motion in space: the flat frame of the part to that of its target.
pub fn seat(placement: &Placement) -> Iso {
    let flat = placement.isometry();
    let (x, y, at) = (flat.x_axis(), flat.y_axis(), flat.origin());
    // y runs down in a piece and up in space.
    let x_axis = Vec3::new(x.x, -x.y, 0.0);
    let y_axis = Vec3::new(-y.x, y.y, 0.0);
    let z_axis = x_axis.cross(&y_axis);
    let height = if placement.side == Face::Front { placement.raise } else { -placement.raise };
    Iso { rotation: Matrix3::from_columns(&[x_axis, y_axis, z_axis]), shift: Vec3::new(at.x, -at.y, height) }
}

/// Which panels joints hold to the root panel.
fn held(assembly: &Assembly, links: &[Option<LinkId>]) -> Vec<bool> {
    let mut held = vec![false; assembly.panels.len()];
    let mut open = Vec::new();
    if let Some(root) = held.get_mut(assembly.root) {
        *root = true;
        open.push(assembly.root);
    }
    while let Some(panel) = open.pop() {
        for (joint, _) in assembly.joints.iter().zip(links).filter(|(_, l)| l.is_some()) {
            for (from, to) in [(joint.a, joint.b), (joint.b, joint.a)] {
                if from == panel && held.get(to) == Some(&false) {
                    held[to] = true;
                    open.push(to);
                }
            }
        }
    }
    held
}

/// The sign of a joint's values: assemblies count folds from 0 to 180 degrees whichever way they go.
fn sign(kind: &JointKind) -> f64 {
    match kind {
        JointKind::Fold { fold: Fold::Mountain, .. } => -1.0,
        _ => 1.0,
    }
}

/// Places the card in a pose.
pub fn stand(assembly: &Assembly, pose: &Pose) -> PoseState {
    stand_lowered(assembly, &lower(assembly), &pose.name, &pose.values)
}

/// The same for an assembly that is already lowered, with values as a pose gives them.
pub fn stand_lowered(
    assembly: &Assembly,
    lowered: &Lowered,
    name: &str,
    set: &[(JointId, f64)],
) -> PoseState {
    let linkage = &lowered.linkage;
    let (start, mut drivers) = lowered.set(assembly, set);
    let (gap, worst) = lowered.widest_gap(&start);
    if gap <= CLOSURE_MM {
        return placed(assembly, lowered, name, start, gap, false, None);
    }
    let free = lowered.rest_too(assembly, &start, &mut drivers);
    if !free {
        let fault = PoseFault {
            kind: FaultKind::Open,
            gap_mm: gap,
            joint: worst,
            reached: start.clone(),
            forced: None,
        };
        return placed(assembly, lowered, name, start, gap, false, Some(fault));
    }
    // Folded shut, all folds of a loop lie on one line and the loop has no direction to go: such a pose is reached
    // from one that is half open, or less than half when the parts over a fold are too short for that.
    let shut = drivers.iter().any(|(_, value)| value.abs() > NEARLY_SHUT_DEG);
    let rest = linkage.rest();
    let mut ended = Vec::new();
    // Reached from the rest by way of some other values of the drivers, or straight away.
    let mut attempt = |way: Option<Vec<(LinkId, f64)>>| {
        let from = way.map_or(Ok(rest.clone()), |way| lowered.pose(&way, &rest).map(|pose| pose.state()));
        from.and_then(|from| lowered.pose(&drivers, &from)).map_err(|fault| ended.push(fault)).ok()
    };
    let share = |share: f64| lowered.shared(&drivers, share);
    let reached = if shut {
        // Folds set in one measure may lie flat on each other all the way; one of them ahead of the others does not.
        let staggered = || {
            let mut part = share(0.75);
            if let (Some(first), Some(half)) = (part.first_mut(), share(0.5).first().copied()) {
                *first = half;
            }
            part
        };
        let mut ways = [0.5, 0.75, 0.9].map(share).into_iter().chain([staggered()]);
        ways.find_map(|way| attempt(Some(way)))
    } else {
        attempt(None).or_else(|| attempt(Some(share(0.5))))
    };
    if let Some(pose) = reached {
        return placed(assembly, lowered, name, pose.state(), pose.gap_mm, true, None);
    }
    let fault = lowered.nearest(&drivers, ended).unwrap_or(PoseFault {
        kind: FaultKind::Open,
        gap_mm: gap,
        joint: worst,
        reached: start,
        forced: None,
    });
    placed(assembly, lowered, name, fault.reached.clone(), fault.gap_mm, true, Some(fault))
}

fn placed(
    assembly: &Assembly,
    lowered: &Lowered,
    name: &str,
    state: State,
    gap_mm: f64,
    solved: bool,
    fault: Option<PoseFault>,
) -> PoseState {
    // The root panel's flat frame is the world; a card seen from its back is turned round, tops up.
    let before_viewer = match assembly.root_face {
        Face::Front => Iso::identity(),
        Face::Back => Iso::turn(Vec3::zeros(), Vec3::y(), std::f64::consts::PI),
    };
    let frames = match lowered.place(&state) {
        Ok(pose) => (0..assembly.panels.len())
            .map(|panel| {
                let held = lowered.held.get(panel).copied().unwrap_or(false);
                held.then(|| before_viewer * pose.body(BodyId(panel)))
            })
            .collect(),
        Err(_) => vec![None; assembly.panels.len()],
    };
    let values =
        lowered.links.iter().map(|l| l.and_then(|l| state.values.get(l.0).copied()).unwrap_or(0.0)).collect();
    let worst = fault.as_ref().map_or_else(|| lowered.widest_gap(&state).1, |f| f.joint);
    let gap_at = if gap_mm > 0.0 { lowered.joint_of(worst) } else { None };
    let fault = fault.map(|f| stand_fault(lowered, f));
    PoseState { name: name.to_string(), frames, values, gap_mm, gap_at, solved, fault }
}

fn stand_fault(lowered: &Lowered, fault: PoseFault) -> StandFault {
    let linkage = &lowered.linkage;
    let nearest = fault.forced.as_ref().unwrap_or(&fault.reached);
    let beyond = linkage.farthest_outside(nearest).and_then(|(link, by)| {
        let range = linkage.joints.get(link.0)?.range;
        let other_way = if by < 0.0 { range.low == 0.0 } else { range.high == 0.0 };
        Some(Beyond { joint: lowered.joint_of(link)?, by: by.abs(), low: by < 0.0, other_way })
    });
    StandFault {
        kind: fault.kind,
        gap_mm: fault.gap_mm,
        joint: lowered.joint_of(fault.joint),
        misfit: linkage.misfit(nearest, fault.joint),
        beyond,
    }
}

impl PoseState {
    /// A point of a panel's piece (y down) in the world.
    pub fn point(&self, panel: PanelId, p: Point) -> Option<Vec3> {
        self.frames.get(panel).copied().flatten().map(|f| f.point(Vec3::new(p.x, -p.y, 0.0)))
    }

    /// The panel's polygon in the world, outline only.
    pub fn corners<'a>(&'a self, panel: PanelId, polygon: &'a Polygon) -> impl Iterator<Item = Vec3> + 'a {
        polygon.outer.iter().filter_map(move |p| self.point(panel, *p))
    }

    /// Size of the whole card as it stands before the viewer.
    pub fn extent(&self, assembly: &Assembly) -> Extent {
        let points =
            assembly.panels.iter().enumerate().flat_map(|(id, panel)| self.corners(id, &panel.polygon));
        let mut low = Vec3::repeat(f64::INFINITY);
        let mut high = Vec3::repeat(f64::NEG_INFINITY);
        for p in points {
            low = low.inf(&p);
            high = high.sup(&p);
        }
        let size = high - low;
        if !size.iter().all(|s| s.is_finite()) {
            return Extent::default();
        }
        Extent { width: size.x, height: size.y, depth: size.z }
    }
}
