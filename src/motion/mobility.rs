//! Free motions of a linkage: the nullity of the constraint Jacobian, and the counting rules kept for comparison.

use nalgebra::DMatrix;

use super::closure::System;
use super::graph::Graph;
use super::linkage::Linkage;
use super::matrix::Spectrum;
use super::pose::State;

/// Singular values below this fraction of the largest belong to free motions.
const FREE_CUT: f64 = 1e-7;

/// States looked at for the generic count.
const REGULAR_STATES: u64 = 3;

/// Free motions at one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Freedom {
    /// Independent infinitesimal motions: joints less the rank of the loop constraints. Counts finite motions only
    /// at a regular state (neither flat nor closed).
    pub nullity: usize,
    pub rank: usize,
    /// Last singular value counted over the first one not counted; infinite when none is left over. Below 1000 the
    /// count is uncertain.
    pub contrast: f64,
}

impl Linkage {
    /// Free motions at a state of this linkage; joints outside loops count one each. `None` for a state that does
    /// not fit.
    pub fn freedom(&self, state: &State) -> Option<Freedom> {
        self.check().ok()?;
        if state.values.len() != self.joints.len() {
            return None;
        }
        let graph = Graph::of(self);
        let moving: Vec<usize> = (0..self.joints.len()).filter(|&j| !self.joints[j].is_fixed()).collect();
        let system = System {
            linkage: self,
            graph: &graph,
            loops: (0..graph.loops.len()).collect(),
            unknown: moving.clone(),
            rates: Vec::new(),
            base: state.values.clone(),
        };
        let jacobian: DMatrix<f64> = system.jacobian(&system.start()).columns(0, moving.len()).into_owned();
        let spectrum = Spectrum::of(&jacobian)?;
        let rank = spectrum.rank(FREE_CUT);
        let contrast =
            match (rank.checked_sub(1).and_then(|r| spectrum.values.get(r)), spectrum.values.get(rank)) {
                (Some(last), Some(&next)) if next > 0.0 => last / next,
                _ => f64::INFINITY,
            };
        Some(Freedom { nullity: moving.len() - rank, rank, contrast })
    }

    /// Free motions at regular states: the fewest over a few states assembled within the joints' ranges, since only
    /// singular states have more. `None` when nothing closes.
    pub fn free_motions(&self) -> Option<Freedom> {
        let states = (0..REGULAR_STATES).filter_map(|seed| self.assemble_seeded(&[], seed).ok());
        states.filter_map(|pose| self.freedom(&pose.state())).min_by_key(|f| f.nullity)
    }

    fn counted(&self) -> (i64, i64) {
        let moving = self.joints.iter().filter(|j| !j.is_fixed()).count() as i64;
        let glued = self.joints.len() as i64 - moving;
        (self.bodies.len() as i64 - glued, moving)
    }
}

/// Kutzbach's count in space, `6 (n - 1) - 5 j`: wrong for most paper, because its axes meet or are parallel.
pub fn gruebler_spatial(linkage: &Linkage) -> i64 {
    let (bodies, joints) = linkage.counted();
    6 * (bodies - 1) - 5 * joints
}

/// Gruebler's count in a plane, `3 (n - 1) - 2 j`: right for parallel axes.
pub fn gruebler_planar(linkage: &Linkage) -> i64 {
    let (bodies, joints) = linkage.counted();
    3 * (bodies - 1) - 2 * joints
}

/// The same count on a sphere: right for axes through one point.
pub fn gruebler_spherical(linkage: &Linkage) -> i64 {
    gruebler_planar(linkage)
}
