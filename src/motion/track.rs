//! Following a linkage along its drivers: pseudo-arclength continuation that stays on its branch, notices ends of
//! ranges and limit points, and can come to rest exactly in a singular state.
//!
//! Method: Allgower and Georg, *Introduction to Numerical Continuation Methods*, chapters 2 and 6. Works on one
//! system at a time and knows nothing of whole linkages.

use nalgebra::DVector;

use super::branch::{Branches, KERNEL_CUT, branches};
use super::closure::{Pin, System};
use super::graph::unit;
use super::linkage::JointId;
use super::matrix::Spectrum;
use super::pose::widest_gap;
use crate::quantity::tolerance::CLOSURE_MM;

/// Branches tried before a state counts as locked.
const MOST_BRANCHES: usize = 4;
/// Longest, first and shortest step, in radians of the `x` space.
const LONGEST: f64 = 0.09;
const FIRST: f64 = 0.0175;
const SHORTEST: f64 = 1e-8;
/// A corrected point may differ from the predicted one by this fraction of the step.
const TRUST: f64 = 0.2;
/// Consecutive tangents may turn by at most this cosine.
const BEND: f64 = 0.8;
/// Joint values may leave their range by this much (degrees or mm) before it is an event.
const RANGE_SLACK: f64 = 1e-6;
/// In the singular state at the very end rounding is magnified: there this much is allowed.
const END_SLACK: f64 = 1e-3;
/// Joints this near (degrees or mm) to such a place are put there, and what the loops may then be open.
const SNAP: f64 = 1e-4;
const SNAP_RESIDUAL: f64 = 1e-10;
/// An event this near (radians) to the wanted end of the drive is the end.
const NEAR_END: f64 = 3e-4;
/// Beside a flat state the play of a loop is magnified to about the square root of it: an event this near (radians) to
/// the end of the drive may be that play alone.
const FLAT_PLAY: f64 = 0.1;
/// Halvings when an event is located.
const HALVINGS: usize = 60;
/// Steps after which a run is given up.
const MOST_STEPS: usize = 4000;

/// Why a motion ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stop {
    /// The drivers have their wanted values.
    Reached,
    /// A joint came to an end of its range.
    JointEnd { joint: JointId, value: f64 },
    /// The drive itself turns back: something is pulled straight.
    Taut,
    /// No motion leaves the state at all. `certain` is false when that rests on a numeric search.
    Locked { certain: bool },
    /// The solver could not follow any further.
    Lost,
}

/// Points passed, the first the start, and the reason for the last.
pub(crate) struct Run {
    pub(crate) points: Vec<DVector<f64>>,
    pub(crate) stop: Stop,
}

/// Follows the system from the closed point `x` until the parameter is `goal` (> 0). `slack` bounds the scaled
/// residual of accepted points.
pub(crate) fn follow(system: &System<'_>, x: DVector<f64>, goal: f64, slack: f64, relaxed: bool) -> Run {
    let tracker = Tracker { system, goal, slack };
    // Most first branches hold; only when one does not are others worth a search.
    for enough in [1, MOST_BRANCHES] {
        let Branches { directions, exact } = branches(system, &x, relaxed, enough);
        let untried = if enough == 1 { 0 } else { 1.min(directions.len()) };
        if let Some(run) = directions[untried..].iter().find_map(|direction| tracker.run(&x, direction)) {
            return run;
        }
        if directions.len() < enough || exact {
            let certain = exact && directions.is_empty();
            return Run { points: vec![x], stop: Stop::Locked { certain } };
        }
    }
    Run { points: vec![x], stop: Stop::Locked { certain: false } }
}

/// The point of a run where the parameter is `s`, corrected from its neighbours.
pub(crate) fn point_at(
    system: &System<'_>,
    run: &[DVector<f64>],
    s: f64,
    slack: f64,
) -> Option<DVector<f64>> {
    let place = |x: &DVector<f64>| system.parameter(x);
    let after = run.iter().position(|x| place(x) >= s).unwrap_or(run.len().checked_sub(1)?);
    let (before, after) = (run.get(after.saturating_sub(1))?, run.get(after)?);
    let span = place(after) - place(before);
    if place(after) == s {
        return Some(after.clone());
    }
    let fraction = if span > 0.0 { ((s - place(before)) / span).clamp(0.0, 1.0) } else { 1.0 };
    let mut guess = before + (after - before) * fraction;
    system.set_parameter(&mut guess, s);
    let corrected = system.correct(&guess, &Pin::Parameter)?;
    (corrected.residual <= slack).then_some(corrected.x)
}

struct Tracker<'s, 'a> {
    system: &'s System<'a>,
    goal: f64,
    slack: f64,
}

struct Place {
    x: DVector<f64>,
    tangent: DVector<f64>,
}

impl Tracker<'_, '_> {
    /// `None` when not even the first step holds.
    fn run(&self, start: &DVector<f64>, direction: &DVector<f64>) -> Option<Run> {
        let mut points = vec![start.clone()];
        let mut here = Place { x: start.clone(), tangent: direction.clone() };
        let mut step = FIRST / direction.amax().max(0.1);
        for _ in 0..MOST_STEPS {
            let toward_goal = here.tangent[here.x.len() - 1];
            let left = self.goal - self.parameter(&here.x);
            if toward_goal * step >= left {
                let end = self.finish(&here, left / toward_goal);
                if let Some(end) = end.filter(|end| self.outside(end, END_SLACK).is_empty()) {
                    points.push(self.snapped(end));
                    return Some(self.done(points, Stop::Reached));
                }
                // The end lies behind an event, or the step is too bold.
                step = (step * 0.5).min(0.5 * left / toward_goal);
            }
            // The goal is only ever met exactly: steps past it are too bold.
            let next = self.advance(&here, step).filter(|next| self.parameter(&next.x) <= self.goal);
            let Some(next) = next else {
                step *= 0.5;
                if step < SHORTEST {
                    return (points.len() > 1).then(|| self.done(points, Stop::Lost));
                }
                continue;
            };
            if let Some((point, stop)) = self.event(&here, &next, step) {
                return Some(self.settle(points, point, stop));
            }
            let deviation = (&next.x - &here.x - &here.tangent * step).norm();
            if deviation < 0.1 * TRUST * step {
                step = (step * 1.5).min(LONGEST);
            }
            points.push(next.x.clone());
            here = next;
        }
        Some(self.done(points, Stop::Lost))
    }

    fn parameter(&self, x: &DVector<f64>) -> f64 {
        self.system.parameter(x)
    }

    fn done(&self, points: Vec<DVector<f64>>, stop: Stop) -> Run {
        Run { points, stop }
    }

    /// Ends at an event, unless the goal is so near that rounding alone has kept the two apart.
    fn settle(&self, mut points: Vec<DVector<f64>>, point: DVector<f64>, stop: Stop) -> Run {
        if self.goal - self.parameter(&point) < NEAR_END {
            let mut guess = point.clone();
            self.system.set_parameter(&mut guess, self.goal);
            if let Some(end) = self.system.correct(&guess, &Pin::Parameter)
                && end.residual <= self.slack
                && self.outside(&end.x, END_SLACK).is_empty()
            {
                points.push(self.snapped(end.x));
                return self.done(points, Stop::Reached);
            }
        }
        if self.goal - self.parameter(&point) < FLAT_PLAY
            && let Some(end) = self.flat_end(&point)
        {
            points.push(end);
            return self.done(points, Stop::Reached);
        }
        points.push(point);
        self.done(points, stop)
    }

    /// The state at the goal with every joint near an end of its range, or unfolded, put there, where the loops then
    /// close within their tolerance. Loops that do so lie flat there although an exact one would stop just before it.
    fn flat_end(&self, near: &DVector<f64>) -> Option<DVector<f64>> {
        let mut end = near.clone();
        self.system.set_parameter(&mut end, self.goal);
        for (k, &joint) in self.system.unknown.iter().enumerate() {
            let link = &self.system.linkage.joints[joint];
            let unit = unit(&link.kind);
            let nearest = |place: &f64| (place * unit - end[k]).abs() < 2.0 * FLAT_PLAY;
            if let Some(place) = [0.0, link.range.low, link.range.high].into_iter().find(nearest) {
                end[k] = place * unit;
            }
        }
        let (gap, _) = widest_gap(self.system, &self.system.values(&end));
        (gap <= CLOSURE_MM && self.outside(&end, END_SLACK).is_empty()).then_some(end)
    }

    /// A state that ends flat or closed, freed from the rounding that such singular states magnify: joints next to an
    /// end of their range, or unfolded, are put there if the loops agree.
    fn snapped(&self, x: DVector<f64>) -> DVector<f64> {
        let mut snapped = x.clone();
        for (k, &joint) in self.system.unknown.iter().enumerate() {
            let link = &self.system.linkage.joints[joint];
            let unit = unit(&link.kind);
            let near = |end: &f64| (end * unit - x[k]).abs() < SNAP * unit;
            if let Some(end) = [0.0, link.range.low, link.range.high].into_iter().find(near) {
                snapped[k] = end * unit;
            }
        }
        let agree = self.system.residual(&snapped).norm() <= SNAP_RESIDUAL;
        if agree { snapped } else { x }
    }

    fn finish(&self, here: &Place, step: f64) -> Option<DVector<f64>> {
        let mut guess = &here.x + &here.tangent * step;
        self.system.set_parameter(&mut guess, self.goal);
        let end = self.system.correct(&guess, &Pin::Parameter)?;
        let near = (&end.x - &guess).norm() <= TRUST * step + 1e-6;
        (near && end.residual <= self.slack).then_some(end.x)
    }

    fn advance(&self, here: &Place, step: f64) -> Option<Place> {
        let guess = &here.x + &here.tangent * step;
        let pin = Pin::Plane { normal: &here.tangent, through: &guess };
        let corrected = self.system.correct(&guess, &pin)?;
        if corrected.residual > self.slack || (&corrected.x - &guess).norm() > TRUST * step {
            return None;
        }
        let tangent = self.tangent(&corrected.x, &here.tangent)?;
        (tangent.dot(&here.tangent) > BEND).then_some(Place { x: corrected.x, tangent })
    }

    /// The direction of the kernel nearest to the one before.
    fn tangent(&self, x: &DVector<f64>, before: &DVector<f64>) -> Option<DVector<f64>> {
        let jacobian = self.system.jacobian(x);
        let spectrum = Spectrum::of(&jacobian)?;
        let mut kernel = spectrum.kernel(KERNEL_CUT);
        if kernel.ncols() == 0 {
            // An overconstrained loop held open within its play: the slackest direction is the motion.
            kernel = spectrum.slackest();
        }
        (&kernel * (kernel.transpose() * before)).try_normalize(1e-6)
    }

    /// The first event between two places, located.
    fn event(&self, here: &Place, next: &Place, step: f64) -> Option<(DVector<f64>, Stop)> {
        let leaving = self.outside(&next.x, RANGE_SLACK);
        let turns = next.tangent[next.x.len() - 1] <= 0.0;
        if leaving.is_empty() && !turns {
            return None;
        }
        let past = |place: &Place| {
            let out = self.outside(&place.x, 0.0);
            out.iter().any(|j| leaving.contains(j)) || (turns && place.tangent[place.x.len() - 1] <= 0.0)
        };
        let (mut low, mut high) = (0.0, step);
        let mut before = here.x.clone();
        let mut after = Place { x: next.x.clone(), tangent: next.tangent.clone() };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            let Some(place) = self.advance(here, middle) else { break };
            if past(&place) {
                (high, after) = (middle, place);
            } else {
                (low, before) = (middle, place.x);
            }
        }
        let out = self.outside(&after.x, 0.0);
        let stop = match out.into_iter().find(|j| leaving.contains(j)) {
            Some(joint) => {
                let range = self.system.linkage.joints[joint].range;
                let value = self.system.values(&after.x)[joint];
                let value = if value > range.middle() { range.high } else { range.low };
                Stop::JointEnd { joint: JointId(joint), value }
            }
            None => Stop::Taut,
        };
        Some((before, stop))
    }

    /// The unknown joints outside their ranges by more than `slack`.
    fn outside(&self, x: &DVector<f64>, slack: f64) -> Vec<usize> {
        let values = self.system.values(x);
        let out = |&joint: &usize| self.system.linkage.joints[joint].range.excess(values[joint]) > slack;
        self.system.unknown.iter().copied().filter(out).collect()
    }
}
