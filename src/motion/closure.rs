//! The equations that close loops of joints: residual, Jacobian, second-order terms, Newton corrections.
//!
//! A system is a set of loops that share unknown joint values; the drivers' values are a straight line in one
//! parameter `s`. Unknowns and `s` together form the vector `x`, in radians and scaled lengths. Knows nothing of
//! stops and branches.

use nalgebra::{DMatrix, DVector, Vector6};

use super::graph::{Graph, LENGTH_SCALE_MM, unit};
use super::iso::{Iso, Vec3};
use super::linkage::Linkage;
use super::matrix::Spectrum;

/// A Newton correction has converged when its step is below this (radians or scaled lengths).
const STEP_DONE: f64 = 1e-13;
/// Corrections tried before the point is given up.
const ROUNDS: usize = 40;

pub(crate) struct System<'a> {
    pub(crate) linkage: &'a Linkage,
    pub(crate) graph: &'a Graph,
    /// Indices into the graph's loops.
    pub(crate) loops: Vec<usize>,
    /// Joints whose values are sought.
    pub(crate) unknown: Vec<usize>,
    /// Driven joints with the change of their value (degrees, mm) per unit of `s`.
    pub(crate) rates: Vec<(usize, f64)>,
    /// Value of every joint at `s = 0`; unknown ones are overwritten.
    pub(crate) base: Vec<f64>,
}

/// What a Newton correction holds on to while it closes the loops.
pub(crate) enum Pin<'p> {
    /// The parameter `s` keeps its value.
    Parameter,
    /// The point stays in the plane through `through` square to `normal`.
    Plane { normal: &'p DVector<f64>, through: &'p DVector<f64> },
}

/// Values of the joints at a point, and where the groups are.
struct Groups {
    values: Vec<f64>,
    groups: Vec<Iso>,
}

/// A corrected point, and how far its loops are from closed (norm of the scaled residual).
pub(crate) struct Corrected {
    pub(crate) x: DVector<f64>,
    pub(crate) residual: f64,
}

impl System<'_> {
    /// The point at `s = 0` for the base values.
    pub(crate) fn start(&self) -> DVector<f64> {
        let known = self.unknown.iter().map(|&j| self.base[j] * unit(&self.linkage.joints[j].kind));
        DVector::from_iterator(self.unknown.len() + 1, known.chain(std::iter::once(0.0)))
    }

    pub(crate) fn parameter(&self, x: &DVector<f64>) -> f64 {
        x[self.unknown.len()]
    }

    pub(crate) fn set_parameter(&self, x: &mut DVector<f64>, s: f64) {
        x[self.unknown.len()] = s;
    }

    /// All joint values, in degrees and mm, at a point.
    pub(crate) fn values(&self, x: &DVector<f64>) -> Vec<f64> {
        let mut values = self.base.clone();
        let s = self.parameter(x);
        for &(joint, rate) in &self.rates {
            values[joint] += s * rate;
        }
        for (k, &joint) in self.unknown.iter().enumerate() {
            values[joint] = x[k] / unit(&self.linkage.joints[joint].kind);
        }
        values
    }

    /// Turn and shift by which every loop fails to close.
    pub(crate) fn residual(&self, x: &DVector<f64>) -> DVector<f64> {
        self.residual_of(&self.placed(x))
    }

    /// Where the groups on the loops are at a point.
    fn placed(&self, x: &DVector<f64>) -> Groups {
        let values = self.values(x);
        let groups = self.graph.place_loops(self.linkage, &values, &self.loops);
        Groups { values, groups }
    }

    fn residual_of(&self, Groups { values, groups }: &Groups) -> DVector<f64> {
        let mut residual = DVector::zeros(6 * self.loops.len());
        for (row, &index) in self.loops.iter().enumerate() {
            let closing = self.graph.loops[index].closing;
            let error = self.graph.mismatch(self.linkage, groups, values, closing);
            let centre = self.centre(groups, index);
            residual.fixed_rows_mut::<3>(6 * row).copy_from(&error.rotation_vector());
            let shift = (error.point(centre) - centre) / LENGTH_SCALE_MM;
            residual.fixed_rows_mut::<3>(6 * row + 3).copy_from(&shift);
        }
        residual
    }

    /// Derivative of the residual by the unknowns and, in the last column, by `s`; exact on closed loops.
    pub(crate) fn jacobian(&self, x: &DVector<f64>) -> DMatrix<f64> {
        self.jacobian_of(&self.placed(x).groups, x.len())
    }

    fn jacobian_of(&self, groups: &[Iso], columns: usize) -> DMatrix<f64> {
        let mut matrix = DMatrix::zeros(6 * self.loops.len(), columns);
        for (row, &index) in self.loops.iter().enumerate() {
            let centre = self.centre(groups, index);
            for &(joint, sign) in &self.graph.loops[index].round {
                let screw = self.screw(groups, joint, centre) * sign;
                let mut add = |column: usize, amount: f64| {
                    let mut part = matrix.fixed_view_mut::<6, 1>(6 * row, column);
                    part += screw * amount;
                };
                if let Some(column) = self.unknown.iter().position(|&j| j == joint) {
                    add(column, 1.0);
                } else if let Some(&(_, rate)) = self.rates.iter().find(|r| r.0 == joint) {
                    add(columns - 1, rate * unit(&self.linkage.joints[joint].kind));
                }
            }
        }
        matrix
    }

    /// Second-order part of the closure equations for rates `v` at a closed point: for every loop the sum over
    /// `i < j` of `v_i v_j [S_i, S_j]`, the Lie bracket of the joints' screws in the order of the loop. At a
    /// singular state rates belong to a motion only if this lies in the image of the Jacobian (for a flat vertex
    /// this is the condition of Demaine, Gutierrez, Hull and Tachi, "Zero-area reciprocal diagram of origami", 2016).
    pub(crate) fn second_order(&self, x: &DVector<f64>) -> SecondOrder {
        let groups = self.graph.place_loops(self.linkage, &self.values(x), &self.loops);
        let loops = self.loops.iter().map(|&index| {
            let centre = self.centre(&groups, index);
            let round = &self.graph.loops[index].round;
            let entry = |&(joint, sign): &(usize, f64)| {
                let screw = self.screw(&groups, joint, centre) * sign;
                if let Some(column) = self.unknown.iter().position(|&j| j == joint) {
                    return (column, screw);
                }
                let rate = self.rates.iter().find(|r| r.0 == joint).map_or(0.0, |r| r.1);
                (x.len() - 1, screw * (rate * unit(&self.linkage.joints[joint].kind)))
            };
            round.iter().map(entry).collect()
        });
        SecondOrder { loops: loops.collect() }
    }

    fn centre(&self, groups: &[Iso], index: usize) -> Vec3 {
        let joint = &self.linkage.joints[self.graph.loops[index].closing];
        let held = self.graph.body(groups, joint.b.0) * joint.zero.inverse();
        held.place(joint.anchor[0]).into()
    }

    /// Turn and velocity of the point `centre` when the joint moves at unit speed.
    fn screw(&self, groups: &[Iso], joint: usize, centre: Vec3) -> Vector6<f64> {
        let (point, axis, turns) = self.graph.axis(self.linkage, groups, joint);
        let (turn, slide) = if turns {
            (axis, axis.cross(&(centre - point)) / LENGTH_SCALE_MM)
        } else {
            (Vec3::zeros(), axis)
        };
        Vector6::new(turn.x, turn.y, turn.z, slide.x, slide.y, slide.z)
    }

    /// Damped Gauss-Newton from `x`; the damping falls with the square of the residual, so that it still
    /// converges where the Jacobian loses rank (Yamashita and Fukushima, "On the rate of convergence of the
    /// Levenberg-Marquardt method", 2001).
    pub(crate) fn correct(&self, x: &DVector<f64>, pin: &Pin<'_>) -> Option<Corrected> {
        let mut x = x.clone();
        let mut best: Option<Corrected> = None;
        for _ in 0..ROUNDS {
            let (matrix, mut rhs) = self.pinned(&x, pin);
            let loops = rhs.rows(0, 6 * self.loops.len()).norm();
            if best.as_ref().is_none_or(|b| loops <= b.residual) {
                best = Some(Corrected { x: x.clone(), residual: loops });
            }
            let damping = loops * loops;
            rhs.neg_mut();
            let mut step = Spectrum::of(&matrix)?.solve(&rhs, damping);
            // A fold never needs to jump by more than a radian to close a loop.
            let longest = step.amax();
            if !longest.is_finite() {
                break;
            }
            if longest > 1.0 {
                step /= longest;
            }
            if step.len() < x.len() {
                step = step.push(0.0);
            }
            x += &step;
            if longest < STEP_DONE {
                break;
            }
        }
        best
    }

    fn pinned(&self, x: &DVector<f64>, pin: &Pin<'_>) -> (DMatrix<f64>, DVector<f64>) {
        let placed = self.placed(x);
        let (matrix, residual) = (self.jacobian_of(&placed.groups, x.len()), self.residual_of(&placed));
        match pin {
            Pin::Parameter => {
                let unknowns = self.unknown.len();
                (matrix.columns(0, unknowns).into_owned(), residual)
            }
            Pin::Plane { normal, through } => {
                let last = matrix.nrows();
                let mut matrix = matrix.insert_row(last, 0.0);
                matrix.row_mut(last).copy_from(&normal.transpose());
                (matrix, residual.push(normal.dot(&(x - *through))))
            }
        }
    }
}

/// Screws of every loop in order, each with its column in `x`.
pub(crate) struct SecondOrder {
    loops: Vec<Vec<(usize, Vector6<f64>)>>,
}

impl SecondOrder {
    /// The symmetric bilinear form belonging to `second_order`, 6 rows per loop.
    pub(crate) fn form(&self, v: &DVector<f64>, w: &DVector<f64>) -> DVector<f64> {
        let mut all = DVector::zeros(6 * self.loops.len());
        for (row, round) in self.loops.iter().enumerate() {
            let mut sum = Vector6::zeros();
            let (mut before_v, mut before_w) = (Vector6::zeros(), Vector6::zeros());
            for &(column, screw) in round {
                sum += bracket(&before_v, &(screw * w[column])) + bracket(&before_w, &(screw * v[column]));
                before_v += screw * v[column];
                before_w += screw * w[column];
            }
            all.fixed_rows_mut::<6>(6 * row).copy_from(&(sum / 2.0));
        }
        all
    }
}

fn bracket(s: &Vector6<f64>, t: &Vector6<f64>) -> Vector6<f64> {
    let (ws, vs) = (Vec3::new(s[0], s[1], s[2]), Vec3::new(s[3], s[4], s[5]));
    let (wt, vt) = (Vec3::new(t[0], t[1], t[2]), Vec3::new(t[3], t[4], t[5]));
    let (w, v) = (ws.cross(&wt), ws.cross(&vt) - wt.cross(&vs));
    Vector6::new(w.x, w.y, w.z, v.x, v.y, v.z)
}
