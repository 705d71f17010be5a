//! The travel of one driver: how far it goes, past which states, and in which ways it can leave one.

use nalgebra::DVector;

use super::branch::branches;
use super::closure::System;
use super::graph::unit;
use super::linkage::{JointId, Linkage};
use super::pose::{Pose, PoseFault, State, follow_either, touches, travel_length};
use super::track::{Stop, follow, point_at};

/// Ways out of a state that are listed.
const MOST_DEPARTURES: usize = 4;
/// How far, in degrees or mm, a driver is moved to see whether it moves.
const NUDGE: f64 = 1.0;
/// How far beside a state, in degrees or mm, one is looked for in which loops close exactly, and the gap in mm that
/// counts as such.
const BESIDE: [f64; 3] = [0.5, 2.0, 8.0];
const EXACT_MM: f64 = 1e-7;
/// How far a driver without an end is swept.
const FULL_TURN: f64 = 360.0;

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

impl Linkage {
    /// How far `driver` can go both ways within its range (360 degrees or mm where it has no end),
    /// from a closed state (assembled when `start` is none or
    /// not closed).
    ///
    /// # Errors
    /// No closed state exists for any tried value of the driver.
    pub fn travel(&self, driver: JointId, start: Option<&State>) -> Result<Travel, PoseFault> {
        self.known(&[(driver, 0.0)])?;
        let begin = match start.map(|s| self.pose(&[], s)) {
            Some(Ok(pose)) => pose.state(),
            _ => self.assemble_somewhere(driver)?,
        };
        let begin = self.exactly_closed(driver, begin);
        let range = self.joints[driver.0].range;
        let from = begin.values[driver.0];
        let goal = |end: f64, turn: f64| if end.is_finite() { end } else { from + turn };
        let (mut states, low) = self.sweep(driver, &begin, goal(range.low, -FULL_TURN))?;
        states.reverse();
        let (onward, high) = self.sweep(driver, &begin, goal(range.high, FULL_TURN))?;
        states.extend(onward.into_iter().skip(1));
        Ok(Travel { driver, low, high, states })
    }

    /// A state beside `state` in which the loops close exactly, where they only do within their tolerance: such a state
    /// may lie a little beyond the end of the travel. Loops that never close exactly keep their state.
    fn exactly_closed(&self, driver: JointId, state: State) -> State {
        let exact = |state: &State| self.widest_gap(state).0 <= EXACT_MM;
        if exact(&state) {
            return state;
        }
        let (range, value) = (&self.joints[driver.0].range, state.values[driver.0]);
        let beside = BESIDE.iter().flat_map(|by| [value - by, value + by]);
        let mut reached = beside
            .filter(|v| range.excess(*v) == 0.0)
            .filter_map(|v| self.pose(&[(driver, v)], &state).ok().map(|pose| pose.state()));
        reached.find(exact).unwrap_or(state)
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
