//! Free motions of a linkage: the nullity of the constraint Jacobian, and the counting rules kept for comparison.

use nalgebra::{DMatrix, DVector};

use super::closure::{Pin, System};
use super::graph::Graph;
use super::iso::Vec3;
use super::linkage::{BodyId, JointId, Linkage};
use super::matrix::Spectrum;
use super::pose::{STATE_SLACK, State};

/// Singular values below this fraction of the largest belong to free motions.
const FREE_CUT: f64 = 1e-7;

/// States looked at for the generic count.
const REGULAR_STATES: u64 = 3;

/// How far a joint is moved to see whether a motion of the first order goes on, in radians or scaled lengths.
const NUDGE: f64 = 0.02;
/// What is left of that after the loops are closed again when it does; where loops only give to the first order, they
/// take the joints back.
const KEPT: f64 = 0.5;
/// A body that a nudge moves by less than this keeps still, mm.
const STILL_MM: f64 = 0.01;

/// What can still move while some joints are held.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOver {
    /// Independent ways in which something moves.
    pub ways: usize,
    /// The joint that turns most.
    pub joint: JointId,
    /// Its value where it stands, degrees or mm.
    pub value: f64,
    /// The bodies that move.
    pub moved: Vec<BodyId>,
}

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

    /// What the loops of a closed state leave free to move while the joints `held` keep their values; joints outside
    /// loops are left out. A motion counts when it goes on: each direction of the kernel of the constraint Jacobian is
    /// followed a little way. `None` when nothing moves.
    pub fn left_over(&self, state: &State, held: &[JointId]) -> Option<LeftOver> {
        let graph = self.sound(state).ok()?;
        let drivers: Vec<(JointId, f64)> =
            held.iter().filter_map(|j| Some((*j, *state.values.get(j.0)?))).collect();
        let before = self.place(state).ok()?;
        let mut found: Option<LeftOver> = None;
        for component in self.components(&graph, &drivers) {
            let system = self.system(&graph, &component, state, &drivers);
            let count = system.unknown.len();
            let Some((x, slack)) = self.closed(&system, &system.start()).filter(|_| count > 0) else {
                continue;
            };
            let jacobian: DMatrix<f64> = system.jacobian(&x).columns(0, count).into_owned();
            let Some(spectrum) = Spectrum::of(&jacobian) else { continue };
            for direction in spectrum.kernel(FREE_CUT).column_iter() {
                let along = |by: f64| {
                    let guess = DVector::from_fn(x.len(), |k, _| {
                        x.get(k).copied().unwrap_or(0.0) + by * direction.get(k).copied().unwrap_or(0.0)
                    });
                    let there = system.correct(&guess, &Pin::Parameter)?;
                    let values = system.values(&there.x);
                    let inside = |&j: &usize| self.joints[j].range.excess(values[j]) <= STATE_SLACK;
                    let goes = there.residual <= slack
                        && (&there.x - &x).norm() >= KEPT * NUDGE
                        && system.unknown.iter().all(inside);
                    goes.then_some((there.x, values))
                };
                let Some((there, values)) = along(NUDGE).or_else(|| along(-NUDGE)) else { continue };
                let moves = |k: &usize| (there[*k] - x[*k]).abs();
                let Some(most) = (0..count).max_by(|j, k| moves(j).total_cmp(&moves(k))) else { continue };
                let joint = JointId(system.unknown[most]);
                let now = LeftOver { ways: 0, joint, value: state.values[joint.0], moved: Vec::new() };
                let found = found.get_or_insert(now);
                found.ways += 1;
                let Ok(after) = self.place(&State { values }) else { continue };
                for (id, body) in self.bodies.iter().enumerate() {
                    let (a, b) = (before.body(BodyId(id)), after.body(BodyId(id)));
                    let apart = |p: [f64; 2]| (Vec3::from(a.place(p)) - Vec3::from(b.place(p))).norm();
                    if !found.moved.contains(&BodyId(id)) && body.corners().any(|p| apart(p) > STILL_MM) {
                        found.moved.push(BodyId(id));
                    }
                }
            }
        }
        found
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
