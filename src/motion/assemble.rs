//! Putting a linkage together from nothing but its drivers' values: loops closed from starts spread over the ranges of
//! their joints, always the same ones.

use nalgebra::DVector;

use super::branch::Noise;
use super::closure::{Pin, System};
use super::graph::{Graph, unit};
use super::linkage::{JointId, JointKind, Linkage};
use super::pose::{EXACT, FaultKind, Pose, PoseFault, STATE_SLACK, State, widest_gap};
use crate::quantity::tolerance::CLOSURE_MM;

/// Starts for one set of loops.
const STARTS: usize = 64;
/// Starts where only what closes soon is of use.
const FEW_STARTS: usize = 6;
/// A joint with a declared direction is unfolded below this many degrees.
const FOLDED_DEG: f64 = 1e-3;

/// A start that did not close within all ranges, or left a declared fold unfolded.
struct Attempt {
    outside: bool,
    closed: bool,
    gap_mm: f64,
    joint: JointId,
    values: Vec<f64>,
}

impl Linkage {
    /// A closed state within all ranges, found from nothing but the drivers' values; joints outside loops rest.
    ///
    /// # Errors
    /// The smallest gap seen when no start closes.
    pub fn assemble(&self, drivers: &[(JointId, f64)]) -> Result<Pose, PoseFault> {
        self.assemble_seeded(drivers, 0)
    }

    /// Whether a few starts find a closed state within all ranges, loop by loop; where they do not there may still be one.
    pub(super) fn closes_soon(&self, graph: &Graph, drivers: &[(JointId, f64)]) -> bool {
        let mut state = self.rest();
        for &(joint, value) in drivers {
            state.values[joint.0] = value;
        }
        self.components(graph, drivers).into_iter().filter(|c| !c.unknown.is_empty()).all(|component| {
            let system = self.system(graph, &component, &state, &[]);
            let mut noise = Noise(7);
            (0..FEW_STARTS).any(|attempt| {
                let x = self.spread_start(&system, &mut noise, attempt == 0);
                system.correct(&x, &Pin::Parameter).is_some_and(|corrected| {
                    let values = self.wrapped(&system, &corrected.x);
                    corrected.residual <= EXACT
                        && system.unknown.iter().all(|&j| self.is_within(j, values[j]))
                })
            })
        })
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

    /// A closed state for some value of a driver: the middle of its range first, then ever finer fractions.
    pub(super) fn assemble_somewhere(&self, driver: JointId) -> Result<State, PoseFault> {
        let range = self.joints[driver.0].range;
        let (low, high) = if range.low.is_finite() && range.high.is_finite() {
            (range.low, range.high)
        } else {
            (-180.0, 180.0)
        };
        let mut best: Option<PoseFault> = None;
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
    pub(super) fn assemble_system(&self, system: &System<'_>, seed: u64) -> Result<Vec<f64>, PoseFault> {
        let mut noise = Noise(7 + seed);
        let mut best: Option<Attempt> = None;
        for attempt in 0..STARTS {
            let middle = attempt == 0 && seed == 0;
            let x = self.spread_start(system, &mut noise, middle);
            let Some(corrected) = system.correct(&x, &Pin::Parameter) else { continue };
            let values = self.wrapped(system, &corrected.x);
            let (gap_mm, joint) = widest_gap(system, &values);
            let outside = !system.unknown.iter().all(|&j| self.is_within(j, values[j]));
            let folded = system.unknown.iter().all(|&j| self.is_folded(j, values[j]));
            let closed = corrected.residual <= EXACT && !outside;
            if closed && folded {
                return Ok(values);
            }
            let found = Attempt { outside: outside || !(folded || closed), closed, gap_mm, joint, values };
            // Where every closed state leaves some fold unfolded, as over pages that lie open, the first of them is it.
            let rank = |a: &Attempt| (!a.closed, a.outside, if a.closed { 0.0 } else { a.gap_mm });
            if best.as_ref().is_none_or(|b| rank(&found) < rank(b)) {
                best = Some(found);
            }
        }
        match best {
            Some(best) if !best.outside && best.gap_mm <= CLOSURE_MM => Ok(best.values),
            Some(Attempt { gap_mm, joint, values, .. }) => Err(PoseFault {
                kind: FaultKind::Open,
                gap_mm,
                joint,
                reached: State { values },
                forced: None,
            }),
            None => Err(self.malformed(JointId(system.unknown.first().copied().unwrap_or(0)))),
        }
    }

    /// The middle of every declared fold, or a place spread over the ranges.
    fn spread_start(&self, system: &System<'_>, noise: &mut Noise, middle: bool) -> DVector<f64> {
        let mut x = system.start();
        for (k, &joint) in system.unknown.iter().enumerate() {
            let link = &self.joints[joint];
            let (low, high) = (link.range.low.max(-180.0), link.range.high.min(180.0));
            let spread = if middle && link.must_leave { 0.0 } else { noise.next() };
            x[k] = (0.5 * (low + high) + 0.48 * (high - low) * spread) * unit(&link.kind);
        }
        x
    }

    fn is_within(&self, joint: usize, value: f64) -> bool {
        self.joints[joint].range.excess(value) <= STATE_SLACK
    }

    /// Folded, if it is a declared fold.
    fn is_folded(&self, joint: usize, value: f64) -> bool {
        !self.joints[joint].must_leave || value.abs() > FOLDED_DEG
    }

    /// Joint values with angles in -180..180.
    fn wrapped(&self, system: &System<'_>, x: &DVector<f64>) -> Vec<f64> {
        let mut values = system.values(x);
        for &joint in &system.unknown {
            if matches!(self.joints[joint].kind, JointKind::Hinge { .. } | JointKind::Pin { .. }) {
                let turns = ((values[joint] - STATE_SLACK) / 360.0).round();
                values[joint] -= 360.0 * turns;
                // Folded flat either way is the same place.
                let range = &self.joints[joint].range;
                let other_way = values[joint] - 360.0 * values[joint].signum();
                if range.excess(values[joint]) > STATE_SLACK && range.excess(other_way) <= STATE_SLACK {
                    values[joint] = other_way;
                }
            }
        }
        values
    }
}
