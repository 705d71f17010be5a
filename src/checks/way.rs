//! A leg of a motion, or any straight way of some joints: what hinders it.
//!
//! Panels in space are followed with a safe search for contact (see [`crate::motion`]). Between panels that lie in one
//! plane distances say nothing: there the order of the layers is worked out at [`STATIONS`] places of every leg.

use super::Subject;
use super::motion::held_in;
use super::stuck::panel_name;
use crate::assembly::{Assembly, JointId, JointKind, Move, PanelId, SlideHow};
use crate::findings::Named;
use crate::geometry::{Point, Segment, pt};
use crate::layers;
use crate::motion::{
    BodyId, Clash, FaultKind, Iso, Lowered, Pairs, Pose, PoseFault, PoseState, State, stand_lowered,
};
use crate::quantity::tolerance::{CLOSURE_MM, COINCIDENT_MM, FLAT_DEG, PARALLEL_DEG};
use rayon::prelude::*;

/// Places of a leg at which a flat card's layers are looked at.
const STATIONS: usize = 9;
/// Contact is located to this share of a leg.
const RESOLUTION: f64 = 2e-3;
/// Nearer than this share of a leg to an end where the card lies flat, panels lie on each other, and the order of the
/// layers speaks for them.
const NEAR_FLAT: f64 = 0.02;
/// So near to a flat end, panels that only come close to each other are about to lie on each other.
const CLOSING: f64 = 0.1;

/// What hinders a leg; `at` is the share of it that is done by then.
pub enum Hindrance {
    /// A loop of folds does not close.
    Opens { at: f64, joint: Option<JointId> },
    /// A loop of folds opens between the places looked at.
    OpensOnTheWay,
    /// The layers have no order.
    Layers { at: f64, joints: Vec<JointId> },
    /// Two panels pass through each other.
    Meet { at: f64, parts: [Named; 2] },
    /// Two panels come so near each other that it stays open whether they touch.
    Near { at: f64, parts: [Named; 2] },
    /// Nothing holds this part on the way, so that it may go in one way or another.
    Free { part: Named },
    /// No way was found.
    NotFound,
}

/// The first thing that hinders a leg that begins with the joints at `start`.
pub fn hindrance(subject: &Subject, leg: &[Move], start: &[(JointId, f64)]) -> Option<Hindrance> {
    let (assembly, lowered) = (subject.assembly, subject.lowered);
    let at = |s: f64| on_the_way(assembly, lowered, leg, start, s);
    let stations: Vec<f64> = (0..STATIONS).map(|k| k as f64 / (STATIONS - 1) as f64).collect();
    let states: Vec<PoseState> = stations.par_iter().map(|&s| at(s)).collect();
    if let Some((s, fault)) = stations.iter().zip(&states).find_map(|(s, p)| Some((s, p.fault.as_ref()?))) {
        let opens = Hindrance::Opens { at: *s, joint: fault.joint };
        return Some(left_free(subject, leg, start, &states).unwrap_or(opens));
    }
    let orders = layers::contradictions(assembly, &states, subject.kept);
    let contradicts = stations.iter().zip(orders).find_map(|(s, found)| Some((*s, found?)));
    if let Some((at, contradiction)) = contradicts {
        return Some(Hindrance::Layers { at, joints: contradiction.joints });
    }
    if states.iter().all(is_flat) {
        return None;
    }
    match in_space(assembly, lowered, &at, &states) {
        Some(Hindrance::OpensOnTheWay) => {
            Some(left_free(subject, leg, start, &states).unwrap_or(Hindrance::OpensOnTheWay))
        }
        other => other,
    }
}

/// A part that may still move while all that the leg sets stands, between its ends.
fn left_free(
    subject: &Subject,
    leg: &[Move],
    start: &[(JointId, f64)],
    states: &[PoseState],
) -> Option<Hindrance> {
    let mut set_joints = start.to_vec();
    leg.iter().for_each(|step| set(&mut set_joints, step.joint, step.to));
    let between = states.iter().skip(1).take(STATIONS - 2).filter(|s| s.fault.is_none());
    let moved = between.filter(|s| !is_within(s, FLAT_DEG)).find_map(|state| {
        let (state, held) = held_in(subject, state, &set_joints);
        let left = subject.lowered.linkage.left_over(&state, &held)?;
        left.moved.into_iter().find(|b| subject.lowered.held.get(b.0).copied().unwrap_or(false))
    })?;
    Some(Hindrance::Free { part: panel_name(subject.assembly, moved.0) })
}

/// The card when a share of a leg is done.
pub fn on_the_way(
    assembly: &Assembly,
    lowered: &Lowered,
    leg: &[Move],
    start: &[(JointId, f64)],
    share: f64,
) -> PoseState {
    let mut values = start.to_vec();
    for step in leg {
        set(&mut values, step.joint, step.from + (step.to - step.from) * share);
    }
    stand_lowered(assembly, lowered, "on the way", &values)
}

pub fn set(values: &mut Vec<(JointId, f64)>, joint: JointId, value: f64) {
    values.retain(|(j, _)| *j != joint);
    values.push((joint, value));
}

fn is_flat(state: &PoseState) -> bool {
    is_within(state, PARALLEL_DEG)
}

/// Every panel lies within some degrees of the first one's plane.
fn is_within(state: &PoseState, degrees: f64) -> bool {
    let sin = libm::sin(degrees.to_radians());
    state.frames.iter().flatten().all(|f| libm::hypot(f.front().x, f.front().y) < sin)
}

/// Panels that pass through each other between the ends of a leg.
fn in_space(
    assembly: &Assembly,
    lowered: &Lowered,
    at: &dyn Fn(f64) -> PoseState,
    states: &[PoseState],
) -> Option<Hindrance> {
    let pose_at = |s: f64| -> Result<Pose, PoseFault> {
        let state = at(s);
        let mut values = lowered.linkage.rest().values;
        for (value, link) in state.values.iter().zip(&lowered.links) {
            if let Some(slot) = link.and_then(|l| values.get_mut(l.0)) {
                *slot = *value;
            }
        }
        match state.fault {
            Some(fault) => Err(PoseFault {
                kind: fault.kind,
                gap_mm: fault.gap_mm,
                joint: crate::motion::JointId(0),
                reached: State { values },
                forced: None,
            }),
            None => lowered.place(&State { values }),
        }
    };
    let flat = |state: Option<&PoseState>| state.is_some_and(|s| is_within(s, FLAT_DEG));
    let from = if flat(states.first()) { NEAR_FLAT } else { 0.0 };
    let to = if flat(states.last()) { 1.0 - NEAR_FLAT } else { 1.0 };
    let report = match lowered.linkage.contacts(&pose_at, (from, to), RESOLUTION, &passing(assembly, states))
    {
        Ok(report) => report,
        Err(PoseFault { kind: FaultKind::Locked { certain: false }, .. }) => {
            return Some(Hindrance::NotFound);
        }
        Err(_) => return Some(Hindrance::OpensOnTheWay),
    };
    let held = |c: &&Clash| [c.a, c.b].iter().all(|b| lowered.held.get(b.0).copied().unwrap_or(false));
    // Whether a clash lies wholly within a share of the leg from its beginning, or from its end.
    let at_ends = |c: &Clash, share: f64| [c.from.max(c.to) <= share, c.from.min(c.to) >= 1.0 - share];
    let ending = |c: &Clash, share: f64, so: &dyn Fn(&PoseState) -> bool| {
        let ends = [states.first(), states.last()];
        at_ends(c, share).into_iter().zip(ends).any(|(near, state)| near && state.is_some_and(so))
    };
    // Two panels that lie in one plane at an end of the leg come together there whatever the rest of the card does.
    let within = |c: &Clash, share: f64| ending(c, share, &|s| in_one_plane(s, c.a.0, c.b.0));
    // What hangs by a fold on a panel that comes to lie on another comes to the other with its fold, and no further: its
    // fold ends before it could go through what it hangs on.
    let carried = |c: &Clash, share: f64| ending(c, share, &|s| hangs_in_plane(assembly, s, c.a.0, c.b.0));
    let pair = |c: &Clash| [c.a, c.b].map(|b| panel_name(assembly, b.0));
    let pressed = |c: &Clash| is_pressed(assembly, at, states, c);
    // Where the leg ends, two may come to touch: their loops close to within a tolerance, and no deeper do they reach.
    let touches = |c: &Clash| {
        let end = at_ends(c, RESOLUTION).into_iter().zip([0.0, 1.0]).find(|(near, _)| *near);
        let end = end.and_then(|(_, s)| pose_at(s).ok());
        end.is_some_and(|pose| !lowered.linkage.cross_deeper((c.a, c.b), &pose, CLOSURE_MM))
    };
    // Sheets that stand face to face pass between two poses. At an end of the leg they may as well rest on each other.
    let run = report
        .clashes
        .iter()
        .filter(held)
        .find(|c| !within(c, NEAR_FLAT) && !carried(c, RESOLUTION) && !pressed(c) && !touches(c));
    let past = report.passing.iter().filter(held).find(|c| !within(c, CLOSING) && !pressed(c));
    if let Some(clash) = run.into_iter().chain(past).min_by(|c, d| c.from.total_cmp(&d.from)) {
        return Some(Hindrance::Meet { at: clash.from, parts: pair(clash) });
    }
    // Where foam begins to be pressed, the two come near each other before.
    let before_pressed = |near: &Clash| {
        let (low, high) = (near.from.min(near.to) - RESOLUTION, near.from.max(near.to) + RESOLUTION);
        report.clashes.iter().any(|c| {
            (c.a, c.b) == (near.a, near.b)
                && c.from.min(c.to) <= high
                && c.from.max(c.to) >= low
                && pressed(c)
        })
    };
    let mut grazing = report.grazing.iter().filter(held);
    let near =
        grazing.find(|c| !within(c, CLOSING) && !carried(c, CLOSING) && !before_pressed(c) && !touches(c))?;
    Some(Hindrance::Near { at: near.from, parts: pair(near) })
}

/// Whether one of two panels is hinged to a panel that lies in the plane of the other.
fn hangs_in_plane(assembly: &Assembly, state: &PoseState, a: PanelId, b: PanelId) -> bool {
    assembly.joints.iter().filter(|j| matches!(j.kind, JointKind::Fold { .. })).any(|joint| {
        [(a, b), (b, a)].into_iter().any(|(own, other)| {
            let neighbour = match (joint.a, joint.b) {
                (p, n) if p == own => n,
                (n, p) if p == own => n,
                _ => return false,
            };
            neighbour != other && in_one_plane(state, neighbour, other)
        })
    })
}

/// Places between a clash and the end of its leg that are looked at.
const LOOKS: usize = 5;

/// Whether two panels only run into each other because foam holds one of them off: they lie on each other at an end of
/// the leg, the foam's height apart, and from the clash to that end they are never deeper in each other than that height.
/// There the foam is pressed, and the card lies that much thicker, which is no matter of the motion.
fn is_pressed(
    assembly: &Assembly,
    at: &dyn Fn(f64) -> PoseState,
    states: &[PoseState],
    clash: &Clash,
) -> bool {
    let (a, b) = (clash.a.0, clash.b.0);
    let height = foam_under(assembly, a) + foam_under(assembly, b);
    let (low, high) = (clash.from.min(clash.to), clash.from.max(clash.to));
    // How far the corners of one lie beyond the other's plane.
    let beyond = |state: &PoseState, own: PanelId, other: PanelId| -> Option<Vec<f64>> {
        let (frame, panel) = (state.frames.get(other).copied().flatten()?, assembly.panels.get(own)?);
        Some(state.corners(own, &panel.polygon).map(|p| frame.inverse().point(p).z).collect())
    };
    let towards = |end: Option<&PoseState>, (from, to): (f64, f64)| {
        let Some(end) = end else { return false };
        let looks = (0..LOOKS).map(|k| from + (to - from) * k as f64 / (LOOKS - 1) as f64);
        let on_the_way: Vec<PoseState> = looks.map(at).collect();
        [(a, b), (b, a)].into_iter().all(|(own, other)| {
            let Some(last) = beyond(end, own, other) else { return false };
            let far = last.iter().copied().max_by(|p, q| p.abs().total_cmp(&q.abs())).unwrap_or(0.0);
            let parallel = last.iter().all(|d| (d - far).abs() <= CLOSURE_MM);
            let pressed = |depths: Vec<f64>| depths.iter().all(|d| d * far.signum() <= height + CLOSURE_MM);
            parallel && on_the_way.iter().chain([end]).all(|s| beyond(s, own, other).is_some_and(pressed))
        })
    };
    height > 0.0 && (towards(states.last(), (low, 1.0)) || towards(states.first(), (high, 0.0)))
}

/// Height of all the foam that holds a panel off what carries it, mm.
pub fn foam_under(assembly: &Assembly, panel: PanelId) -> f64 {
    let (mut height, mut at) = (0.0, panel);
    // No part is stuck on more parts than there are.
    for _ in 0..assembly.joints.len() {
        let carrier = assembly.joints.iter().find_map(|joint| match &joint.kind {
            JointKind::Fixed { placement, closing: false, .. } if joint.b == at => {
                Some((joint.a, placement.raise))
            }
            _ => None,
        });
        let Some((below, raise)) = carrier else { break };
        height += raise;
        at = below;
    }
    height
}

/// Pairs that need not be looked at. Panels that lie in one plane all the way are a matter of layers. A strap goes
/// through the slots of the panel it goes around. A panel that is hinged to one that lies in the plane of another all
/// the way turns about a line of that plane: folds end at 180 degrees, so it cannot pass through it. Nor can what is
/// fast to either side of a fold pass through what is fast to the other, when one of the two ends at the fold's line.
pub fn passing(assembly: &Assembly, states: &[PoseState]) -> Pairs {
    let count = assembly.panels.len();
    let mut pairs = Pairs::among(count);
    let levels = Levels::of(states, count);
    let always = |a: PanelId, b: PanelId| levels.between(a, b) != Level::Apart;
    for a in 0..count {
        (0..a).filter(|&b| always(a, b)).for_each(|b| pairs.add(BodyId(a), BodyId(b)));
    }
    for joint in &assembly.joints {
        match &joint.kind {
            JointKind::Slide { how: SlideHow::Strap { .. } | SlideHow::Through { .. }, .. } => {
                let piece = assembly.panels.get(joint.b).and_then(|p| assembly.pieces.get(p.piece));
                let panels = piece.iter().flat_map(|p| p.panels.iter());
                panels.for_each(|panel| pairs.add(BodyId(joint.a), BodyId(*panel)));
            }
            // Across a fold that stays flat everything lies in one plane anyway.
            JointKind::Fold { from, to, .. } if !always(joint.a, joint.b) => {
                for (hinged, neighbour) in [(joint.a, joint.b), (joint.b, joint.a)] {
                    let beside = (0..count).filter(|&p| p != hinged && always(neighbour, p));
                    beside.for_each(|p| pairs.add(BodyId(hinged), BodyId(p)));
                }
                let fast = |panel: PanelId| -> Vec<(PanelId, bool)> {
                    let with = (0..count).filter(|&p| levels.between(panel, p) == Level::Fast);
                    with.map(|p| (p, ends_at(assembly, states, (panel, *from, *to), p))).collect()
                };
                let others = fast(joint.b);
                for (p, p_ends) in fast(joint.a) {
                    let others = others.iter().filter(|(_, q_ends)| p_ends || *q_ends);
                    others.for_each(|(q, _)| pairs.add(BodyId(p), BodyId(*q)));
                }
            }
            _ => {}
        }
    }
    pairs
}

/// Panels sorted by the planes in which they lie all the way, and by the places that they keep in them. Each is compared
/// with the first of every group, so that thousands of panels in a few planes take no longer than they are many.
struct Levels {
    /// By panel: the first panel of its plane, and the first of those it keeps its place to.
    groups: Vec<(PanelId, PanelId)>,
}

impl Levels {
    fn of(states: &[PoseState], count: usize) -> Self {
        let mut groups: Vec<(PanelId, PanelId)> = Vec::with_capacity(count);
        // The first panels of the groups that keep their places, with the first panels of their planes.
        let mut firsts: Vec<(PanelId, PanelId)> = Vec::new();
        for panel in 0..count {
            let mut plane = None;
            let mut fast = None;
            for (of_plane, first) in &firsts {
                match level(states, *first, panel) {
                    Level::Fast => {
                        (plane, fast) = (Some(*of_plane), Some(*first));
                        break;
                    }
                    Level::Plane => plane = plane.or(Some(*of_plane)),
                    Level::Apart => {}
                }
            }
            let group = (plane.unwrap_or(panel), fast.unwrap_or(panel));
            if fast.is_none() {
                firsts.push(group);
            }
            groups.push(group);
        }
        Self { groups }
    }

    fn between(&self, a: PanelId, b: PanelId) -> Level {
        match (self.groups.get(a), self.groups.get(b)) {
            (Some((_, a)), Some((_, b))) if a == b => Level::Fast,
            (Some((a, _)), Some((b, _))) if a == b => Level::Plane,
            _ => Level::Apart,
        }
    }
}

/// How two panels lie to each other all the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    /// Not always in one plane.
    Apart,
    /// In one plane.
    Plane,
    /// In one plane, and in the same places in it.
    Fast,
}

fn level(states: &[PoseState], a: PanelId, b: PanelId) -> Level {
    if !states.iter().all(|s| in_one_plane(s, a, b)) {
        return Level::Apart;
    }
    let relative = |state: &PoseState| {
        let (f, g) = (state.frames.get(a).copied().flatten()?, state.frames.get(b).copied().flatten()?);
        Some(f.inverse() * g)
    };
    let Some(first) = states.first().and_then(relative) else { return Level::Plane };
    let same = |r: Iso| {
        (r.shift - first.shift).norm() <= COINCIDENT_MM
            && (r.rotation - first.rotation).norm() < PARALLEL_DEG.to_radians()
    };
    let keeps = |state: &PoseState| relative(state).is_some_and(same);
    if states.iter().all(keeps) { Level::Fast } else { Level::Plane }
}

/// Whether `part`, fast to the panel that holds the line, lies on one side of the line.
fn ends_at(assembly: &Assembly, states: &[PoseState], line: (PanelId, Point, Point), part: PanelId) -> bool {
    let (holder, from, to) = line;
    let (Some(state), Some(panel)) = (states.first(), assembly.panels.get(part)) else { return false };
    let Some(home) = state.frames.get(holder).copied().flatten() else { return false };
    let crease = Segment::new(from, to);
    let offs: Vec<f64> = state
        .corners(part, &panel.polygon)
        .map(|corner| {
            let p = home.inverse().point(corner);
            crease.offset_of(pt(p.x, -p.y))
        })
        .collect();
    offs.iter().all(|off| *off <= COINCIDENT_MM) || offs.iter().all(|off| *off >= -COINCIDENT_MM)
}

fn in_one_plane(state: &PoseState, a: PanelId, b: PanelId) -> bool {
    let frame = |p: PanelId| state.frames.get(p).copied().flatten();
    let (Some(f), Some(g)) = (frame(a), frame(b)) else { return false };
    let relative = f.inverse() * g;
    let normal = relative.front();
    libm::hypot(normal.x, normal.y) < PARALLEL_DEG.to_radians() && relative.shift.z.abs() <= CLOSURE_MM
}
