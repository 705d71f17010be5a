//! The few dense matrix questions the solver asks, answered by singular values.
//!
//! Knows no linkage. Shapes may be anything, empty ones too.

use nalgebra::{DMatrix, DVector};

/// Singular values below this fraction of the largest count as zero in a Newton step.
const STEP_RANK: f64 = 1e-9;
/// Sweeps a decomposition may take; a dozen are plenty for the sizes met here.
const SWEEPS: usize = 60;
/// Columns whose cosine is below this are square to each other.
const SQUARE: f64 = 1e-15;
/// A column below this fraction of the matrix is rounding and has no direction.
const NOTHING: f64 = 1e-17;
/// Least-squares rounds after which a tenth of the residual must have gone.
const STUCK_ROUNDS: usize = 20;

/// A singular value decomposition, values falling, with a complete right basis: one-sided Jacobi rotations (Hestenes
/// 1958), which keep small singular values to full relative accuracy (Demmel and Veselić, "Jacobi's method is more
/// accurate than QR", 1992). Limit points and branches are read off those small values.
pub(crate) struct Spectrum {
    pub(crate) values: Vec<f64>,
    /// Left singular vectors times their values.
    images: Vec<Vec<f64>>,
    right: Vec<Vec<f64>>,
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sum = 0.0;
    for (x, y) in a.iter().zip(b) {
        sum += x * y;
    }
    sum
}

fn rotate(a: &mut [f64], b: &mut [f64], cos: f64, sin: f64) {
    for (x, y) in a.iter_mut().zip(b) {
        (*x, *y) = (cos * *x - sin * *y, sin * *x + cos * *y);
    }
}

/// Makes the columns square to each other by turning pairs of them; the same turns are done to `basis`.
fn orthogonalise(columns: &mut [Vec<f64>], basis: &mut [Vec<f64>]) {
    let total: f64 = columns.iter().map(|c| dot(c, c)).sum();
    let nothing = total * NOTHING * NOTHING;
    for _ in 0..SWEEPS {
        let mut turned = false;
        for q in 1..columns.len() {
            let (left, right) = columns.split_at_mut(q);
            let (basis_left, basis_right) = basis.split_at_mut(q);
            let (second, second_basis) = (&mut right[0], &mut basis_right[0]);
            for (first, first_basis) in left.iter_mut().zip(basis_left) {
                let (a, b, c) = (dot(first, first), dot(second, second), dot(first, second));
                if a.min(b) <= nothing || c.abs() <= SQUARE * (a * b).sqrt() {
                    continue;
                }
                turned = true;
                let tau = (b - a) / (2.0 * c);
                let tan = 1.0f64.copysign(tau) / (tau.abs() + (1.0 + tau * tau).sqrt());
                let cos = 1.0 / (1.0 + tan * tan).sqrt();
                rotate(first, second, cos, cos * tan);
                rotate(first_basis, second_basis, cos, cos * tan);
            }
        }
        if !turned {
            break;
        }
    }
}

impl Spectrum {
    /// `None` for a matrix with a value that is not finite.
    pub(crate) fn of(matrix: &DMatrix<f64>) -> Option<Self> {
        if matrix.iter().any(|x| !x.is_finite()) {
            return None;
        }
        let count = matrix.ncols();
        let mut images: Vec<Vec<f64>> = matrix.column_iter().map(|c| c.iter().copied().collect()).collect();
        let unit = |k: usize| (0..count).map(|i| if i == k { 1.0 } else { 0.0 }).collect();
        let mut right: Vec<Vec<f64>> = (0..count).map(unit).collect();
        orthogonalise(&mut images, &mut right);
        let mut parts: Vec<(f64, Vec<f64>, Vec<f64>)> =
            images.into_iter().zip(right).map(|(u, v)| (dot(&u, &u).sqrt(), u, v)).collect();
        parts.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut spectrum = Self { values: Vec::new(), images: Vec::new(), right: Vec::new() };
        for (value, image, vector) in parts {
            spectrum.values.push(value);
            spectrum.images.push(image);
            spectrum.right.push(vector);
        }
        Some(spectrum)
    }

    pub(crate) fn largest(&self) -> f64 {
        self.values.first().copied().unwrap_or(0.0)
    }

    /// Number of singular values above `cut` times the largest.
    pub(crate) fn rank(&self, cut: f64) -> usize {
        let floor = cut * self.largest();
        self.values.iter().filter(|&&v| v > floor && v > 0.0).count()
    }

    fn right_columns(&self, range: std::ops::Range<usize>) -> DMatrix<f64> {
        let columns = self.right.get(range).unwrap_or_default();
        DMatrix::from_fn(self.right.len(), columns.len(), |i, k| columns[k][i])
    }

    /// Columns span `{ v : matrix v = 0 }`.
    pub(crate) fn kernel(&self, cut: f64) -> DMatrix<f64> {
        self.right_columns(self.rank(cut)..self.right.len())
    }

    /// All singular directions: of a symmetric matrix, its axes.
    pub(crate) fn axes(&self) -> Vec<DVector<f64>> {
        self.right.iter().map(|v| DVector::from_column_slice(v)).collect()
    }

    /// The direction that the matrix stretches least.
    pub(crate) fn slackest(&self) -> DMatrix<f64> {
        self.right_columns(self.right.len().saturating_sub(1)..self.right.len())
    }

    /// Rows `s_k v_k'` of the singular directions above `cut`: the same kernel with no redundant row.
    pub(crate) fn row_space(&self, cut: f64) -> DMatrix<f64> {
        DMatrix::from_fn(self.rank(cut), self.right.len(), |k, i| self.values[k] * self.right[k][i])
    }

    /// The damped least-squares solution of `matrix x = rhs`: each singular direction is scaled by
    /// `s / (s² + damping)`.
    pub(crate) fn solve(&self, rhs: &DVector<f64>, damping: f64) -> DVector<f64> {
        let floor = STEP_RANK * self.largest();
        let mut x = vec![0.0; self.right.len()];
        for ((&s, image), vector) in self.values.iter().zip(&self.images).zip(&self.right) {
            if s <= floor || s == 0.0 {
                break;
            }
            let amount = dot(image, rhs.as_slice()) / (s * s + damping);
            for (xi, vi) in x.iter_mut().zip(vector) {
                *xi += amount * vi;
            }
        }
        DVector::from_vec(x)
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

/// Residual and Jacobian at a point.
pub(crate) type Equations<'f> = dyn Fn(&DVector<f64>) -> (DVector<f64>, DMatrix<f64>) + 'f;

/// Levenberg-Marquardt on `f`; returns the best point and its residual norm.
pub(crate) fn least_squares(f: &Equations<'_>, start: DVector<f64>, rounds: usize) -> (DVector<f64>, f64) {
    let mut x = start;
    let (mut residual, mut jacobian) = f(&x);
    let mut norm = residual.norm();
    let mut damping = 1e-3 * jacobian.norm_squared().max(1e-12);
    let mut before = f64::INFINITY;
    for round in 0..rounds {
        if norm < 1e-14 {
            break;
        }
        // Stuck in a hollow that is no solution.
        if round % STUCK_ROUNDS == STUCK_ROUNDS - 1 {
            if norm > 0.9 * before {
                break;
            }
            before = norm;
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
