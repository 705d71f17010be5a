//! The few dense matrix questions the solver asks, answered by singular values.
//!
//! Knows no linkage. Shapes may be anything, empty ones too.

use nalgebra::{DMatrix, DVector};

/// Singular values below this fraction of the largest count as zero in a Newton step.
const STEP_RANK: f64 = 1e-9;
/// Iterations the singular value decomposition may take before it is given up.
const SVD_ROUNDS: usize = 2000;

/// A singular value decomposition, values falling, with a complete right basis.
pub(crate) struct Spectrum {
    left: DMatrix<f64>,
    right: DMatrix<f64>,
    pub(crate) values: Vec<f64>,
    rows: usize,
}

impl Spectrum {
    /// `None` when the iteration does not settle or a value is not finite.
    pub(crate) fn of(matrix: &DMatrix<f64>) -> Option<Self> {
        if matrix.iter().any(|x| !x.is_finite()) {
            return None;
        }
        let (rows, columns) = matrix.shape();
        if columns == 0 {
            let left = DMatrix::zeros(rows, 0);
            return Some(Self { left, right: DMatrix::zeros(0, 0), values: Vec::new(), rows });
        }
        // Zero rows below make the right basis square.
        let tall = matrix.clone().resize(rows.max(columns), columns, 0.0);
        let svd = nalgebra::SVD::try_new(tall, true, true, f64::EPSILON, SVD_ROUNDS)?;
        let (left, right) = (svd.u?, svd.v_t?.transpose());
        Some(Self { left, right, values: svd.singular_values.iter().copied().collect(), rows })
    }

    pub(crate) fn largest(&self) -> f64 {
        self.values.first().copied().unwrap_or(0.0)
    }

    /// Number of singular values above `cut` times the largest.
    pub(crate) fn rank(&self, cut: f64) -> usize {
        let floor = cut * self.largest();
        self.values.iter().filter(|&&v| v > floor && v > 0.0).count()
    }

    /// Columns span `{ v : matrix v = 0 }`.
    pub(crate) fn kernel(&self, cut: f64) -> DMatrix<f64> {
        let rank = self.rank(cut);
        self.right.columns(rank, self.right.ncols() - rank).into_owned()
    }

    /// The direction that the matrix stretches least.
    pub(crate) fn slackest(&self) -> DMatrix<f64> {
        self.right.columns(self.right.ncols().saturating_sub(1), 1.min(self.right.ncols())).into_owned()
    }

    /// Rows `s_k v_k'` of the singular directions above `cut`: the same kernel with no redundant row.
    pub(crate) fn row_space(&self, cut: f64) -> DMatrix<f64> {
        let rank = self.rank(cut);
        let mut rows = self.right.columns(0, rank).transpose();
        for (k, mut row) in rows.row_iter_mut().enumerate() {
            row *= self.values[k];
        }
        rows
    }

    /// The damped least-squares solution of `matrix x = rhs`: each singular direction is scaled by
    /// `s / (s² + damping)`.
    pub(crate) fn solve(&self, rhs: &DVector<f64>, damping: f64) -> DVector<f64> {
        let floor = STEP_RANK * self.largest();
        let mut x = DVector::zeros(self.right.nrows());
        for (k, &s) in self.values.iter().enumerate() {
            if s <= floor || s == 0.0 {
                break;
            }
            let amount = self.left.view((0, k), (self.rows, 1)).dot(rhs) * s / (s * s + damping);
            x += self.right.column(k) * amount;
        }
        x
    }
}

/// Roots of `a t² + b t + c`, rising, without cancellation. A vanishing polynomial has none.
pub(crate) fn quadratic_roots(a: f64, b: f64, c: f64) -> Vec<f64> {
    let scale = a.abs().max(b.abs()).max(c.abs());
    if scale == 0.0 {
        return Vec::new();
    }
    if a.abs() <= 1e-13 * scale {
        return if b.abs() <= 1e-13 * scale { Vec::new() } else { vec![-c / b] };
    }
    let discriminant = b * b - 4.0 * a * c;
    if discriminant < -1e-14 * scale * scale {
        return Vec::new();
    }
    let q = -0.5 * (b + discriminant.max(0.0).sqrt().copysign(b));
    let mut roots = vec![q / a];
    if q != 0.0 {
        roots.push(c / q);
    }
    roots.sort_by(f64::total_cmp);
    roots
}

/// Levenberg-Marquardt on `f`, which gives residual and Jacobian; returns the best point and its residual norm.
pub(crate) fn least_squares(
    f: &dyn Fn(&DVector<f64>) -> (DVector<f64>, DMatrix<f64>),
    start: DVector<f64>,
    rounds: usize,
) -> (DVector<f64>, f64) {
    let mut x = start;
    let (mut residual, mut jacobian) = f(&x);
    let mut norm = residual.norm();
    let mut damping = 1e-3 * jacobian.norm_squared().max(1e-12);
    for _ in 0..rounds {
        if norm < 1e-14 {
            break;
        }
        let Some(spectrum) = Spectrum::of(&jacobian) else { break };
        let step = spectrum.solve(&-&residual, damping);
        let trial = &x + &step;
        let (next_residual, next_jacobian) = f(&trial);
        let next = next_residual.norm();
        if next.is_finite() && next < norm {
            // The damping never outlasts the residual, or convergence would stay linear.
            damping = (damping * 0.2).min(next * next);
            (x, residual, jacobian, norm) = (trial, next_residual, next_jacobian, next);
        } else {
            damping = (damping * 5.0).max(1e-12);
        }
        if step.amax() < 1e-15 {
            break;
        }
    }
    (x, norm)
}
