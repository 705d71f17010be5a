//! Positions of a whole linkage: poses for given drivers, assembly from nothing, and the travel of one driver.
//!
//! Loops that share no unknown joint are solved apart, so that a fault names the loop it belongs to.

use nalgebra::DVector;

use super::branch::{Noise, branches};
use super::closure::{Pin, System};
use super::graph::{Graph, LENGTH_SCALE_MM, unit};
use super::iso::Iso;
use super::linkage::{BodyId, JointId, JointKind, Linkage};
use super::track::{Run, Stop, follow, point_at};
use crate::quantity::tolerance::CLOSURE_MM;

/// Scaled residual of a loop that closes exactly.
const EXACT: f64 = 1e-9;
/// Random starts when a linkage is put together from nothing.
const ASSEMBLY_STARTS: usize = 64;
/// A joint with a declared direction is unfolded below this many degrees.
const FOLDED_DEG: f64 = 1e-3;
/// Joint values may be this far outside their range in a given state.
const STATE_SLACK: f64 = 1e-3;

/// Ways out of a state that are listed.
const MOST_DEPARTURES: usize = 4;
/// How far, in degrees or mm, a driver is moved to see whether it moves.
const NUDGE: f64 = 1.0;

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
}

/// The range one driver can sweep, and the states on the way, driver rising.
#[derive(Clone, Debug, PartialEq)]
pub struct Travel {
    pub driver: JointId,
    pub low: TravelEnd,
    pub high: TravelEnd,
    pub states: Vec<State>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TravelEnd {
    /// Driver value, degrees or mm.
    pub value: f64,
    pub stop: Stop,
}

impl Travel {
    /// The recorded state whose driver is nearest to `value`; the two ends, which may be singular, only for their own
    /// values.
    pub fn nearest(&self, value: f64) -> State {
        let driver = |s: &State| s.values.get(self.driver.0).copied().unwrap_or(0.0);
        let nearest = |states: &[State]| {
            let distance = |s: &&State| (driver(s) - value).abs();
            states.iter().min_by(|s, t| distance(s).total_cmp(&distance(t))).cloned()
        };
        let mut ends = [self.states.first(), self.states.last()].into_iter().flatten();
        let inner = self.states.get(1..self.states.len().saturating_sub(1)).unwrap_or_default();
        let at_end = ends.rfind(|s| driver(s) == value).cloned();
        at_end.or_else(|| nearest(inner)).or_else(|| nearest(&self.states)).unwrap_or_default()
    }

    /// The pose with the driver at `value`, on the branch of this travel.
    pub fn pose(&self, linkage: &Linkage, value: f64) -> Result<Pose, PoseFault> {
        linkage.pose(&[(self.driver, value)], &self.nearest(value))
    }
}

/// Loops that share unknown joints.
struct Component {
    loops: Vec<usize>,
    unknown: Vec<usize>,
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
        let Ok(graph) = self.sound(state) else { return (f64::INFINITY, JointId(0)) };
        let (gap_mm, joint) = graph.widest_gap(self, &state.values);
        (gap_mm, JointId(joint))
    }

    /// The pose with the given drivers, reached from `start` by a straight line in the drivers' values. Joints
    /// that close loops follow on their branch; every other joint keeps its value of `start`. When `start` is not
    /// closed, or cannot be left, the loops are assembled at the wanted values within their ranges.
    ///
    /// # Errors
    /// Loops that stay open, are locked, or stop on the way, with the gap in mm and the joint that closes worst.
    pub fn pose(&self, drivers: &[(JointId, f64)], start: &State) -> Result<Pose, PoseFault> {
        let graph = self.sound(start)?;
        self.known(drivers)?;
        let mut values = start.values.clone();
        for &(joint, value) in drivers {
            values[joint.0] = value;
        }
        for component in self.components(&graph, drivers) {
            let system = self.system(&graph, &component, start, drivers);
            let reached = self.reach(&system, travel_length(self, start, drivers))?;
            for &joint in &component.unknown {
                values[joint] = reached[joint];
            }
        }
        let pose = self.at(&graph, values);
        if pose.gap_mm > CLOSURE_MM {
            return Err(self.open(&graph, pose.values));
        }
        Ok(pose)
    }

    /// A closed state within all ranges, found from nothing but the drivers' values; joints outside loops rest.
    ///
    /// # Errors
    /// The smallest gap seen when no start closes.
    pub fn assemble(&self, drivers: &[(JointId, f64)]) -> Result<Pose, PoseFault> {
        self.assemble_seeded(drivers, 0)
    }

    /// Assembles from other random starts for every seed.
    pub(crate) fn assemble_seeded(&self, drivers: &[(JointId, f64)], seed: u64) -> Result<Pose, PoseFault> {
        let mut state = self.rest();
        let graph = self.sound(&state)?;
        self.known(drivers)?;
        for &(joint, value) in drivers {
            state.values[joint.0] = value;
        }
        for component in self.components(&graph, drivers) {
            let system = self.system(&graph, &component, &state, &[]);
            state.values = self.assemble_system(&system, seed)?;
        }
        let pose = self.at(&graph, state.values);
        if pose.gap_mm > CLOSURE_MM {
            return Err(self.open(&graph, pose.values));
        }
        Ok(pose)
    }

    /// How far `driver` can go both ways within its range, from a closed state (assembled when `start` is none or
    /// not closed).
    ///
    /// # Errors
    /// No closed state exists for any tried value of the driver.
    pub fn travel(&self, driver: JointId, start: Option<&State>) -> Result<Travel, PoseFault> {
        self.known(&[(driver, 0.0)])?;
        let range = self.joints[driver.0].range;
        let begin = match start.map(|s| self.pose(&[], s)) {
            Some(Ok(pose)) => pose.state(),
            _ => self.assemble_somewhere(driver)?,
        };
        let (mut states, low) = self.sweep(driver, &begin, range.low)?;
        states.reverse();
        let (onward, high) = self.sweep(driver, &begin, range.high)?;
        states.extend(onward.into_iter().skip(1));
        Ok(Travel { driver, low, high, states })
    }

    /// The states passed from the closed state `start` while `driver` goes towards `goal`, and where it ends.
    ///
    /// # Errors
    /// A state that does not fit the linkage or is not closed.
    pub fn sweep(
        &self,
        driver: JointId,
        start: &State,
        goal: f64,
    ) -> Result<(Vec<State>, TravelEnd), PoseFault> {
        let graph = self.sound(start)?;
        let drivers = [(driver, goal)];
        self.known(&drivers)?;
        let length = travel_length(self, start, &drivers);
        if length == 0.0 {
            return Ok((vec![start.clone()], TravelEnd { value: goal, stop: Stop::Reached }));
        }
        let mut end = (length, Stop::Reached);
        let mut runs = Vec::new();
        for component in self.components(&graph, &drivers) {
            let system = self.system(&graph, &component, start, &drivers);
            if system.rates.iter().all(|&(j, _)| !touches(&system, j)) {
                continue;
            }
            let Some((x, slack)) = self.closed(&system, &system.start()) else {
                return Err(self.open(&graph, start.values.clone()));
            };
            let run = follow_either(&system, x, length, slack);
            let last = run.points.last().map_or(0.0, |x| system.parameter(x));
            if run.stop != Stop::Reached && last < end.0 {
                end = (last, run.stop);
            }
            runs.push((system, run, slack));
        }
        let from = start.values[driver.0];
        let value = |s: f64| if s == length { goal } else { from + (goal - from) * s / length };
        let mut stations: Vec<f64> = runs
            .iter()
            .flat_map(|(system, run, _)| run.points.iter().map(|x| system.parameter(x)))
            .filter(|&s| s < end.0)
            .chain([0.0, end.0])
            .collect();
        stations.sort_by(f64::total_cmp);
        stations.dedup();
        let states = stations.iter().filter_map(|&s| {
            let mut values = start.values.clone();
            values[driver.0] = value(s);
            for (system, run, slack) in &runs {
                let x = point_at(system, &run.points, s, *slack)
                    .or_else(|| run.points.last().filter(|x| system.parameter(x) <= s).cloned())?;
                let all = system.values(&x);
                system.unknown.iter().for_each(|&j| values[j] = all[j]);
            }
            Some(State { values })
        });
        Ok((states.collect(), TravelEnd { value: value(end.0), stop: end.1 }))
    }

    /// Whether `driver` can leave a closed state in the given direction (by sign) with every declared fold of its
    /// loops moving: false in a state that is locked, or that is not closed.
    pub fn leaves(&self, driver: JointId, direction: f64, start: &State) -> bool {
        let Ok(graph) = self.sound(start) else { return false };
        let drivers =
            [(driver, start.values.get(driver.0).copied().unwrap_or(0.0) + direction.signum() * NUDGE)];
        if self.known(&drivers).is_err() {
            return false;
        }
        let length = travel_length(self, start, &drivers);
        self.components(&graph, &drivers).iter().all(|component| {
            let system = self.system(&graph, component, start, &drivers);
            if !touches(&system, driver.0) {
                return true;
            }
            let Some((x, slack)) = self.closed(&system, &system.start()) else { return false };
            follow(&system, x, length, slack, false).stop == Stop::Reached
        })
    }

    /// The ways `driver` can leave a closed state in the given direction (by sign): for each, the rate of every joint,
    /// in degrees or mm per degree or mm of the driver. Joints outside the driver's loops have rate 0.
    pub fn departures(&self, driver: JointId, direction: f64, start: &State) -> Vec<Vec<f64>> {
        let Ok(graph) = self.sound(start) else { return Vec::new() };
        let drivers = [(driver, start.values.get(driver.0).copied().unwrap_or(0.0) + direction.signum())];
        if self.known(&drivers).is_err() {
            return Vec::new();
        }
        let mut ways = vec![vec![0.0; self.joints.len()]];
        for component in self.components(&graph, &drivers) {
            let system = self.system(&graph, &component, start, &drivers);
            if !touches(&system, driver.0) {
                continue;
            }
            let Some((x, _)) = self.closed(&system, &system.start()) else { return Vec::new() };
            let found = branches(&system, &x, false, MOST_DEPARTURES).directions;
            let merged =
                ways.iter().flat_map(|way| found.iter().map(|d| with_rates(&system, driver, way, d)));
            ways = merged.collect();
        }
        for way in &mut ways {
            way[driver.0] = 1.0;
        }
        ways
    }

    fn reach(&self, system: &System<'_>, length: f64) -> Result<Vec<f64>, PoseFault> {
        let fault = |kind, x: &DVector<f64>| {
            let mut goal = x.clone();
            system.set_parameter(&mut goal, length);
            let forced = system.correct(&goal, &Pin::Parameter).map_or(goal, |c| c.x);
            let (gap_mm, joint) = widest_gap(system, &system.values(&forced));
            PoseFault { kind, gap_mm, joint, reached: State { values: system.values(x) } }
        };
        if system.unknown.is_empty() {
            // Nothing can give: the values either close the loop or they do not.
            let mut x = system.start();
            system.set_parameter(&mut x, length);
            return Ok(system.values(&x));
        }
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
    fn closed(&self, system: &System<'_>, x: &DVector<f64>) -> Option<(DVector<f64>, f64)> {
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

    fn assemble_somewhere(&self, driver: JointId) -> Result<State, PoseFault> {
        let range = self.joints[driver.0].range;
        let (low, high) = if range.low.is_finite() && range.high.is_finite() {
            (range.low, range.high)
        } else {
            (-180.0, 180.0)
        };
        let mut best: Option<PoseFault> = None;
        // Halves, quarters and so on, each level's odd fractions.
        let fractions = (1..6u32).flat_map(|level| {
            let parts = f64::from(1u32 << level);
            (0..1u32 << (level - 1)).map(move |k| f64::from(2 * k + 1) / parts)
        });
        for fraction in fractions {
            match self.assemble(&[(driver, low + (high - low) * fraction)]) {
                Ok(pose) => return Ok(pose.state()),
                Err(fault) => {
                    if best.as_ref().is_none_or(|b| fault.gap_mm < b.gap_mm) {
                        best = Some(fault);
                    }
                }
            }
        }
        Err(best.unwrap_or_else(|| self.malformed(driver)))
    }

    /// Closes a system at `s = 0` from starts spread over the ranges of its unknowns.
    fn assemble_system(&self, system: &System<'_>, seed: u64) -> Result<Vec<f64>, PoseFault> {
        let mut noise = Noise(7 + seed);
        let mut best: Option<(f64, JointId, Vec<f64>)> = None;
        for attempt in 0..ASSEMBLY_STARTS {
            let mut x = system.start();
            for (k, &joint) in system.unknown.iter().enumerate() {
                let link = &self.joints[joint];
                let (low, high) = (link.range.low.max(-180.0), link.range.high.min(180.0));
                // The first start is the middle of a declared fold; the others fill the range.
                let spread = if attempt == 0 && seed == 0 && link.must_leave { 0.0 } else { noise.next() };
                x[k] = (0.5 * (low + high) + 0.48 * (high - low) * spread) * unit(&link.kind);
            }
            let Some(corrected) = system.correct(&x, &Pin::Parameter) else { continue };
            let values = self.wrapped(system, &corrected.x);
            let (gap, joint) = widest_gap(system, &values);
            let inside = |&j: &usize| {
                let link = &self.joints[j];
                let folded = !link.must_leave || values[j].abs() > FOLDED_DEG;
                link.range.excess(values[j]) <= STATE_SLACK && folded
            };
            if corrected.residual <= EXACT && system.unknown.iter().all(inside) {
                return Ok(values);
            }
            let inside = system.unknown.iter().all(inside);
            let rank = if inside { gap } else { gap + 1e6 };
            if best.as_ref().is_none_or(|b| rank < b.0) {
                best = Some((rank, joint, values));
            }
        }
        match best {
            Some((gap, _, values)) if gap <= CLOSURE_MM => Ok(values),
            Some((rank, joint, values)) => {
                let gap_mm = if rank >= 1e6 { rank - 1e6 } else { rank };
                Err(PoseFault { kind: FaultKind::Open, gap_mm, joint, reached: State { values } })
            }
            None => Err(self.malformed(JointId(system.unknown.first().copied().unwrap_or(0)))),
        }
    }

    /// Joint values with angles in -180..180.
    fn wrapped(&self, system: &System<'_>, x: &DVector<f64>) -> Vec<f64> {
        let mut values = system.values(x);
        for &joint in &system.unknown {
            if matches!(self.joints[joint].kind, JointKind::Hinge { .. } | JointKind::Pin { .. }) {
                let turns = ((values[joint] - STATE_SLACK) / 360.0).round();
                values[joint] -= 360.0 * turns;
            }
        }
        values
    }

    fn at(&self, graph: &Graph, values: Vec<f64>) -> Pose {
        let groups = graph.place(self, &values);
        let bodies = (0..self.bodies.len()).map(|b| graph.body(&groups, b)).collect();
        let (gap_mm, _) = graph.widest_gap(self, &values);
        Pose { bodies, values, gap_mm }
    }

    fn open(&self, graph: &Graph, values: Vec<f64>) -> PoseFault {
        let (gap_mm, joint) = graph.widest_gap(self, &values);
        PoseFault { kind: FaultKind::Open, gap_mm, joint: JointId(joint), reached: State { values } }
    }

    fn malformed(&self, joint: JointId) -> PoseFault {
        PoseFault { kind: FaultKind::Malformed, gap_mm: f64::INFINITY, joint, reached: self.rest() }
    }

    fn sound(&self, state: &State) -> Result<Graph, PoseFault> {
        if let Err(fault) = self.check() {
            return Err(self.malformed(fault.joint));
        }
        if state.values.len() != self.joints.len() || state.values.iter().any(|v| !v.is_finite()) {
            return Err(self.malformed(JointId(0)));
        }
        Ok(Graph::of(self))
    }

    fn known(&self, drivers: &[(JointId, f64)]) -> Result<(), PoseFault> {
        match drivers.iter().find(|(j, v)| j.0 >= self.joints.len() || !v.is_finite()) {
            Some(&(joint, _)) => Err(self.malformed(joint)),
            None => Ok(()),
        }
    }

    fn components(&self, graph: &Graph, drivers: &[(JointId, f64)]) -> Vec<Component> {
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
    fn system<'a>(
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
fn travel_length(linkage: &Linkage, start: &State, drivers: &[(JointId, f64)]) -> f64 {
    let drive = |&(joint, goal): &(JointId, f64)| {
        let link = &linkage.joints[joint.0];
        (goal - start.values[joint.0]).abs() * unit(&link.kind)
    };
    drivers.iter().map(drive).fold(0.0, f64::max)
}

fn touches(system: &System<'_>, joint: usize) -> bool {
    let moved = system.rates.iter().any(|r| r.0 == joint && r.1 != 0.0);
    moved && system.loops.iter().any(|&l| system.graph.loops[l].round.iter().any(|p| p.0 == joint))
}

fn with_rates(system: &System<'_>, driver: JointId, way: &[f64], direction: &DVector<f64>) -> Vec<f64> {
    let mut way = way.to_vec();
    let drive =
        system.parameter(direction) * system.rates.iter().find(|r| r.0 == driver.0).map_or(1.0, |r| r.1);
    for (k, &joint) in system.unknown.iter().enumerate() {
        way[joint] = direction[k] / unit(&system.linkage.joints[joint].kind) / drive;
    }
    way
}

/// First with every declared fold moving at once, then allowing some to rest.
fn follow_either(system: &System<'_>, x: DVector<f64>, length: f64, slack: f64) -> Run {
    let strict = follow(system, x.clone(), length, slack, false);
    if !matches!(strict.stop, Stop::Locked { .. }) {
        return strict;
    }
    let relaxed = follow(system, x, length, slack, true);
    if matches!(relaxed.stop, Stop::Locked { .. }) { strict } else { relaxed }
}

fn widest_gap(system: &System<'_>, values: &[f64]) -> (f64, JointId) {
    let groups = system.graph.place(system.linkage, values);
    let gap = |&index: &usize| {
        let closing = system.graph.loops[index].closing;
        (system.graph.gap(system.linkage, &groups, values, closing), JointId(closing))
    };
    system.loops.iter().map(gap).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, JointId(0)))
}
