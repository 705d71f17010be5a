//! A leg of a motion, or any straight way of some joints: what hinders it.
//!
//! Panels in space are followed with a safe search for contact (see [`crate::motion`]). Between panels that lie in one
//! plane distances say nothing: there the order of the layers is worked out at [`STATIONS`] places of every leg.

use super::stuck::panel_name;
use crate::assembly::{Assembly, JointId, JointKind, Move, PanelId, SlideHow};
use crate::findings::Named;
use crate::geometry::{Point, Segment, pt};
use crate::layers::{self, Contradiction};
use crate::motion::{
    BodyId, Clash, FaultKind, Iso, Lowered, Pose, PoseFault, PoseState, State, stand_lowered,
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
    /// No way was found.
    NotFound,
}

/// The first thing that hinders a leg that begins with the joints at `start`.
pub fn hindrance(
    assembly: &Assembly,
    lowered: &Lowered,
    leg: &[Move],
    start: &[(JointId, f64)],
) -> Option<Hindrance> {
    let at = |s: f64| on_the_way(assembly, lowered, leg, start, s);
    let stations: Vec<f64> = (0..STATIONS).map(|k| k as f64 / (STATIONS - 1) as f64).collect();
    let states: Vec<PoseState> = stations.par_iter().map(|&s| at(s)).collect();
    if let Some((s, fault)) = stations.iter().zip(&states).find_map(|(s, p)| Some((s, p.fault.as_ref()?))) {
        return Some(Hindrance::Opens { at: *s, joint: fault.joint });
    }
    let orders: Vec<Option<Contradiction>> =
        states.par_iter().map(|state| layers::contradiction(assembly, state)).collect();
    let contradicts = stations.iter().zip(orders).find_map(|(s, found)| Some((*s, found?)));
    if let Some((at, contradiction)) = contradicts {
        return Some(Hindrance::Layers { at, joints: contradiction.joints });
    }
    if states.iter().all(is_flat) { None } else { in_space(assembly, lowered, &at, &states) }
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
            }),
            None => lowered.linkage.place(&State { values }),
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
    // Two panels that lie in one plane at an end of the leg come together there whatever the rest of the card does.
    let meet = |state: Option<&PoseState>, c: &Clash| state.is_some_and(|s| in_one_plane(s, c.a.0, c.b.0));
    let within = |c: &Clash, share: f64| {
        (c.from.max(c.to) <= share && meet(states.first(), c))
            || (c.from.min(c.to) >= 1.0 - share && meet(states.last(), c))
    };
    let pair = |c: &Clash| [c.a, c.b].map(|b| panel_name(assembly, b.0));
    if let Some(clash) = report.clashes.iter().filter(held).find(|c| !within(c, NEAR_FLAT)) {
        return Some(Hindrance::Meet { at: clash.from, parts: pair(clash) });
    }
    let near = report.grazing.iter().filter(held).find(|c| !within(c, CLOSING))?;
    Some(Hindrance::Near { at: near.from, parts: pair(near) })
}

/// Pairs that need not be looked at. Panels that lie in one plane all the way are a matter of layers. A strap goes
/// through the slots of the panel it goes around. A panel that is hinged to one that lies in the plane of another all
/// the way turns about a line of that plane: folds end at 180 degrees, so it cannot pass through it. Nor can what is
/// fast to either side of a fold pass through what is fast to the other, when one of the two ends at the fold's line.
fn passing(assembly: &Assembly, states: &[PoseState]) -> Vec<(BodyId, BodyId)> {
    let mut pairs = Vec::new();
    let always = |a: PanelId, b: PanelId| states.iter().all(|s| in_one_plane(s, a, b));
    for a in 0..assembly.panels.len() {
        pairs.extend((0..a).filter(|&b| always(a, b)).map(|b| (BodyId(a), BodyId(b))));
    }
    for joint in &assembly.joints {
        match &joint.kind {
            JointKind::Slide { how: SlideHow::Strap { .. } | SlideHow::Through { .. }, .. } => {
                let piece = assembly.panels.get(joint.b).and_then(|p| assembly.pieces.get(p.piece));
                let panels = piece.map(|p| p.panels.clone()).unwrap_or_default();
                pairs.extend(panels.into_iter().map(|panel| (BodyId(joint.a), BodyId(panel))));
            }
            JointKind::Fold { from, to, .. } => {
                for (hinged, neighbour) in [(joint.a, joint.b), (joint.b, joint.a)] {
                    let beside = (0..assembly.panels.len()).filter(|&p| p != hinged && always(neighbour, p));
                    pairs.extend(beside.map(|p| (BodyId(hinged), BodyId(p))));
                }
                let fast = |panel: PanelId| {
                    let with = (0..assembly.panels.len()).filter(move |&p| is_fast(states, panel, p));
                    with.map(move |p| (p, ends_at(assembly, states, (panel, *from, *to), p)))
                };
                for (p, p_ends) in fast(joint.a) {
                    let others = fast(joint.b).filter(|(_, q_ends)| p_ends || *q_ends);
                    pairs.extend(others.map(|(q, _)| (BodyId(p), BodyId(q))));
                }
            }
            _ => {}
        }
    }
    pairs
}

/// The two lie in one plane and keep their places in it.
fn is_fast(states: &[PoseState], a: PanelId, b: PanelId) -> bool {
    let relative = |state: &PoseState| {
        let (f, g) = (state.frames.get(a).copied().flatten()?, state.frames.get(b).copied().flatten()?);
        Some(f.inverse() * g)
    };
    let Some(first) = states.first().and_then(relative) else { return false };
    states.iter().all(|state| {
        let same = |r: Iso| {
            (r.shift - first.shift).norm() <= COINCIDENT_MM
                && (r.rotation - first.rotation).norm() < PARALLEL_DEG.to_radians()
        };
        in_one_plane(state, a, b) && relative(state).is_some_and(same)
    })
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
