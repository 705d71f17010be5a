//! Positions of a whole linkage for given drivers, and what the parts that search for them share.
//!
//! Loops that share no unknown joint are solved apart, so that a fault names the loop it belongs to.

use nalgebra::DVector;

use super::closure::{Pin, System};
use super::graph::{Graph, LENGTH_SCALE_MM, unit};
use super::iso::{Iso, Vec3};
use super::kept::Kept;
use super::linkage::{BodyId, JointId, Link, Linkage};
use super::track::{Run, Stop, follow};
use crate::quantity::tolerance::CLOSURE_MM;

/// Scaled residual of a loop that closes exactly.
pub(super) const EXACT: f64 = 1e-9;
/// Joint values may be this far outside their range in a given state.
pub(super) const STATE_SLACK: f64 = 1e-3;

/// One value per joint: degrees for folds and pins, mm for slides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    pub values: Vec<f64>,
}

/// Where everything is.
#[derive(Clone, Debug, PartialEq)]
pub struct Pose {
    /// Transform of every body from its flat frame to space.
    pub bodies: Vec<Iso>,
    /// Value of every joint, degrees or mm.
    pub values: Vec<f64>,
    /// Largest gap left at any joint that closes a loop, in mm.
    pub gap_mm: f64,
}

impl Pose {
    pub fn state(&self) -> State {
        State { values: self.values.clone() }
    }

    pub fn body(&self, id: BodyId) -> Iso {
        self.bodies.get(id.0).copied().unwrap_or(Iso::identity())
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FaultKind {
    /// A loop whose joints all have values, or that no values close, stays open.
    Open,
    /// Nothing moves away from the start. `certain` is false when that rests on a numeric search.
    Locked { certain: bool },
    /// The motion ends before the wanted values.
    Stopped(Stop),
    /// A joint or state does not fit the linkage.
    Malformed,
}

/// Why there is no pose.
#[derive(Clone, Debug, PartialEq)]
pub struct PoseFault {
    pub kind: FaultKind,
    /// Widest gap, in mm, when the drivers are forced to their wanted values.
    pub gap_mm: f64,
    /// The joint where the widest gap is.
    pub joint: JointId,
    /// Joint values where the motion ended.
    pub reached: State,
    /// Joint values that come nearest when the drivers are forced to their wanted values, whatever the ranges of the
    /// joints; where the loops stay open that is what was reached.
    pub forced: Option<State>,
}

/// How a joint is off its place in some state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    /// At the joint's own line or point, mm.
    pub apart_mm: f64,
    pub turned_deg: f64,
}

/// Loops that share unknown joints.
pub(super) struct Component {
    pub(super) loops: Vec<usize>,
    pub(super) unknown: Vec<usize>,
}

impl Linkage {
    /// Every joint at its rest value.
    pub fn rest(&self) -> State {
        State { values: self.joints.iter().map(|j| j.rest).collect() }
    }

    /// Bodies for joint values taken as they are; gaps of closed loops are measured, not mended.
    pub fn place(&self, state: &State) -> Result<Pose, PoseFault> {
        let graph = self.sound(state)?;
        Ok(self.at(&graph, state.values.clone()))
    }

    /// The widest gap of a state, in mm, and the joint where it is (joint 0 when there are no loops).
    pub fn widest_gap(&self, state: &State) -> (f64, JointId) {
        self.sound(state).map_or((f64::INFINITY, JointId(0)), |graph| self.gap_on(&graph, state))
    }

    pub(super) fn gap_on(&self, graph: &Graph, state: &State) -> (f64, JointId) {
        let (gap_mm, joint) = graph.widest_gap(self, &state.values);
        (gap_mm, JointId(joint))
    }

    /// How far a joint's two bodies are from where its value in a state wants them.
    pub fn misfit(&self, state: &State, joint: JointId) -> Option<Misfit> {
        let graph = self.sound(state).ok()?;
        let link = self.joints.get(joint.0)?;
        let groups = graph.place(self, &state.values);
        let error = graph.mismatch(self, &groups, &state.values, joint.0);
        let back = error.inverse();
        let apart = |p: &[f64; 2]| {
            let wanted = Vec3::from(graph.body(&groups, link.a.0).place(*p));
            (wanted - back.point(wanted)).norm()
        };
        Some(Misfit {
            apart_mm: link.anchor.iter().map(apart).fold(0.0, f64::max),
            turned_deg: error.rotation_vector().norm().to_degrees(),
        })
    }

    /// The joint that is farthest outside its range in a state, and by how much: degrees or mm, negative below.
    pub fn farthest_outside(&self, state: &State) -> Option<(JointId, f64)> {
        let excess = |(index, (link, value)): (usize, (&Link, &f64))| {
            let by = if *value < link.range.low { value - link.range.low } else { value - link.range.high };
            (link.range.excess(*value) > STATE_SLACK).then_some((JointId(index), by))
        };
        let outside = self.joints.iter().zip(&state.values).enumerate().filter_map(excess);
        outside.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
    }

    /// The pose with the given drivers, reached from `start` by a straight line in the drivers' values. Joints
    /// that close loops follow on their branch; every other joint keeps its value of `start`. Loops that
    /// are not closed in `start` are assembled at the wanted values within their ranges.
    ///
    /// # Errors
    /// Loops that stay open, are locked, or stop on the way, with the gap in mm and the joint that closes worst.
    pub fn pose(&self, drivers: &[(JointId, f64)], start: &State) -> Result<Pose, PoseFault> {
        self.pose_on(&self.sound(start)?, drivers, start, None)
    }

    /// [`Linkage::pose`] with the graph of the linkage at hand, for a state that fits it, and solutions from before.
    pub(super) fn pose_on(
        &self,
        graph: &Graph,
        drivers: &[(JointId, f64)],
        start: &State,
        kept: Option<&Kept>,
    ) -> Result<Pose, PoseFault> {
        self.known(drivers)?;
        let mut values = start.values.clone();
        for &(joint, value) in drivers {
            values[joint.0] = value;
        }
        // Where nothing can give, the values either close the loop or they do not.
        for component in self.components(graph, drivers).into_iter().filter(|c| !c.unknown.is_empty()) {
            let system = self.system(graph, &component, start, drivers);
            let length = travel_length(self, start, drivers);
            let reach = || {
                let reached = self.reach(&system, length)?;
                Ok(component.unknown.iter().map(|&joint| reached[joint]).collect())
            };
            let found: Vec<f64> = match kept {
                Some(kept) => kept.solved(&system, length, reach)?,
                None => reach()?,
            };
            component.unknown.iter().zip(found).for_each(|(joint, value)| values[*joint] = value);
        }
        let pose = self.at(graph, values);
        if pose.gap_mm > CLOSURE_MM {
            return Err(self.open(graph, pose.values));
        }
        Ok(pose)
    }

    /// Joint values near those of a state that come nearest to closing the loops when the drivers have theirs, whatever
    /// the ranges of the joints.
    pub(super) fn forced_on(&self, graph: &Graph, drivers: &[(JointId, f64)], near: &State) -> State {
        let mut state = near.clone();
        for &(joint, value) in drivers {
            state.values[joint.0] = value;
        }
        for component in self.components(graph, drivers).into_iter().filter(|c| !c.unknown.is_empty()) {
            let system = self.system(graph, &component, &state, &[]);
            if let Some(nearest) = system.correct(&system.start(), &Pin::Parameter) {
                state.values = system.values(&nearest.x);
            }
        }
        state
    }

    fn reach(&self, system: &System<'_>, length: f64) -> Result<Vec<f64>, PoseFault> {
        let fault = |kind, x: &DVector<f64>| {
            let mut goal = x.clone();
            system.set_parameter(&mut goal, length);
            let forced = system.correct(&goal, &Pin::Parameter).map_or(goal, |c| c.x);
            let (gap_mm, joint) = widest_gap(system, &system.values(&forced));
            let forced = Some(State { values: system.values(&forced) });
            PoseFault { kind, gap_mm, joint, reached: State { values: system.values(x) }, forced }
        };
        let start = system.start();
        let assembled_at_goal = || {
            let mut x = start.clone();
            system.set_parameter(&mut x, length);
            let at_goal = System {
                linkage: system.linkage,
                graph: system.graph,
                loops: system.loops.clone(),
                unknown: system.unknown.clone(),
                rates: Vec::new(),
                base: system.values(&x),
            };
            self.assemble_system(&at_goal, 0)
        };
        let Some((x, slack)) = self.closed(system, &start) else {
            return assembled_at_goal();
        };
        if length == 0.0 || system.rates.iter().all(|&(j, _)| !touches(system, j)) {
            return Ok(system.values(&x));
        }
        let run = follow_either(system, x, length, slack);
        match (run.stop, run.points.last()) {
            (Stop::Reached, Some(x)) => Ok(system.values(x)),
            (Stop::Locked { certain }, Some(x)) => Err(fault(FaultKind::Locked { certain }, x)),
            (stop, Some(x)) => Err(fault(FaultKind::Stopped(stop), x)),
            (_, None) => Err(fault(FaultKind::Stopped(Stop::Lost), &start)),
        }
    }

    /// Corrects a point at its parameter; gives it with the residual its loops may keep along a motion.
    pub(super) fn closed(&self, system: &System<'_>, x: &DVector<f64>) -> Option<(DVector<f64>, f64)> {
        let corrected = system.correct(x, &Pin::Parameter)?;
        let values = system.values(&corrected.x);
        let inside = |&j: &usize| self.joints[j].range.excess(values[j]) <= STATE_SLACK;
        if !system.unknown.iter().all(inside) {
            return None;
        }
        if corrected.residual <= EXACT {
            return Some((corrected.x, EXACT));
        }
        let (gap, _) = widest_gap(system, &values);
        (gap <= CLOSURE_MM)
            .then_some((corrected.x, (CLOSURE_MM / LENGTH_SCALE_MM).max(2.0 * corrected.residual)))
    }

    pub(super) fn at(&self, graph: &Graph, values: Vec<f64>) -> Pose {
        let groups = graph.place(self, &values);
        let bodies = (0..self.bodies.len()).map(|b| graph.body(&groups, b)).collect();
        let (gap_mm, _) = graph.widest_gap(self, &values);
        Pose { bodies, values, gap_mm }
    }

    pub(super) fn open(&self, graph: &Graph, values: Vec<f64>) -> PoseFault {
        let (gap_mm, joint) = graph.widest_gap(self, &values);
        let reached = State { values };
        PoseFault { kind: FaultKind::Open, gap_mm, joint: JointId(joint), reached, forced: None }
    }

    pub(super) fn malformed(&self, joint: JointId) -> PoseFault {
        PoseFault {
            kind: FaultKind::Malformed,
            gap_mm: f64::INFINITY,
            joint,
            reached: self.rest(),
            forced: None,
        }
    }

    pub(super) fn sound(&self, state: &State) -> Result<Graph, PoseFault> {
        let graph = self.graph()?;
        self.fits(state)?;
        Ok(graph)
    }

    pub(super) fn graph(&self) -> Result<Graph, PoseFault> {
        match self.check() {
            Err(fault) => Err(self.malformed(fault.joint)),
            Ok(()) => Ok(Graph::of(self)),
        }
    }

    /// A finite value for every joint.
    pub(super) fn fits(&self, state: &State) -> Result<(), PoseFault> {
        let fits = state.values.len() == self.joints.len() && state.values.iter().all(|v| v.is_finite());
        if fits { Ok(()) } else { Err(self.malformed(JointId(0))) }
    }

    pub(super) fn known(&self, drivers: &[(JointId, f64)]) -> Result<(), PoseFault> {
        match drivers.iter().find(|(j, v)| j.0 >= self.joints.len() || !v.is_finite()) {
            Some(&(joint, _)) => Err(self.malformed(joint)),
            None => Ok(()),
        }
    }

    pub(super) fn components(&self, graph: &Graph, drivers: &[(JointId, f64)]) -> Vec<Component> {
        let driven = |j: usize| drivers.iter().any(|d| d.0.0 == j);
        let mut components: Vec<Component> = Vec::new();
        for (index, ring) in graph.loops.iter().enumerate() {
            let unknown = ring.round.iter().map(|p| p.0).filter(|&j| !driven(j));
            let mut merged = Component { loops: vec![index], unknown: unknown.collect() };
            let (joined, apart): (Vec<_>, Vec<_>) =
                components.into_iter().partition(|c| c.unknown.iter().any(|j| merged.unknown.contains(j)));
            for other in joined {
                merged.loops.extend(other.loops);
                merged.unknown.extend(other.unknown);
            }
            merged.loops.sort_unstable();
            merged.unknown.sort_unstable();
            merged.unknown.dedup();
            components = apart;
            components.push(merged);
        }
        components
    }

    /// The system of a component whose parameter runs from `start` (0) to the drivers' values (the travel length).
    pub(super) fn system<'a>(
        &'a self,
        graph: &'a Graph,
        component: &Component,
        start: &State,
        drivers: &[(JointId, f64)],
    ) -> System<'a> {
        let length = travel_length(self, start, drivers);
        let rate = |&(joint, goal): &(JointId, f64)| {
            let change = goal - start.values[joint.0];
            (joint.0, if length > 0.0 { change / length } else { 0.0 })
        };
        System {
            linkage: self,
            graph,
            loops: component.loops.clone(),
            unknown: component.unknown.clone(),
            rates: drivers.iter().map(rate).collect(),
            base: start.values.clone(),
        }
    }
}

/// Longest drive in radians or scaled lengths: the goal of the parameter.
pub(super) fn travel_length(linkage: &Linkage, start: &State, drivers: &[(JointId, f64)]) -> f64 {
    let drive = |&(joint, goal): &(JointId, f64)| {
        let link = &linkage.joints[joint.0];
        (goal - start.values[joint.0]).abs() * unit(&link.kind)
    };
    drivers.iter().map(drive).fold(0.0, f64::max)
}

pub(super) fn touches(system: &System<'_>, joint: usize) -> bool {
    let moved = system.rates.iter().any(|r| r.0 == joint && r.1 != 0.0);
    moved && system.loops.iter().any(|&l| system.graph.loops[l].round.iter().any(|p| p.0 == joint))
}

/// First with every declared fold moving at once, then allowing some to rest.
pub(super) fn follow_either(system: &System<'_>, x: DVector<f64>, length: f64, slack: f64) -> Run {
    let strict = follow(system, x.clone(), length, slack, false);
    if !matches!(strict.stop, Stop::Locked { .. }) {
        return strict;
    }
    let relaxed = follow(system, x, length, slack, true);
    if matches!(relaxed.stop, Stop::Locked { .. }) { strict } else { relaxed }
}

pub(super) fn widest_gap(system: &System<'_>, values: &[f64]) -> (f64, JointId) {
    let groups = system.graph.place(system.linkage, values);
    let gap = |&index: &usize| {
        let closing = system.graph.loops[index].closing;
        (system.graph.gap(system.linkage, &groups, values, closing), JointId(closing))
    };
    system.loops.iter().map(gap).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, JointId(0)))
}
