//! Which way a linkage can leave a state: tangents at regular states, and at singular ones (flat, closed) the
//! branches allowed by the second-order closure condition and by the declared fold directions.
//!
//! Knows one point of a system and returns unit directions in its `x` space, the parameter rising.

use nalgebra::{DMatrix, DVector};

use super::closure::{SecondOrder, System};
use super::matrix::{Spectrum, least_squares, quadratic_roots};

/// Singular values below this fraction of the largest are zero at a state that is not near a singular one.
pub(crate) const KERNEL_CUT: f64 = 1e-8;
/// Second-order terms below this vanish (radians and scaled lengths, unit rates).
const FORM_ZERO: f64 = 1e-8;
/// A rate below this fraction of the fastest joint's is rest.
const REST_RATIO: f64 = 1e-5;
/// A joint this near (degrees or mm) to an end of its range is at it.
const AT_END: f64 = 1e-4;
/// Second-order residual, relative to the squared fastest rate, of a true branch.
const BRANCH_RESIDUAL: f64 = 1e-10;
/// Starts of the numeric search.
const STARTS: usize = 40;
/// Natural logarithm of how far the rates of a start may lie from one another on either side.
const SPREAD: f64 = 3.0;

/// What the declared directions ask of one rate.
#[derive(Clone, Copy, PartialEq)]
enum Sense {
    /// Must move this way.
    Leaves(f64),
    /// May not move against this.
    MayLeave(f64),
    Free,
}

/// Directions out of a state, best first, and why there are none.
pub(crate) struct Branches {
    pub(crate) directions: Vec<DVector<f64>>,
    /// False when an empty answer rests on a numeric search.
    pub(crate) exact: bool,
}

impl Branches {
    fn none(exact: bool) -> Self {
        Self { directions: Vec::new(), exact }
    }

    fn one(direction: DVector<f64>) -> Self {
        Self { directions: vec![direction], exact: true }
    }
}

/// `relaxed` lets joints that must leave their end stay at it. A numeric search stops after `enough` branches; exact
/// answers hold all there are.
pub(crate) fn branches(system: &System<'_>, x: &DVector<f64>, relaxed: bool, enough: usize) -> Branches {
    let jacobian = system.jacobian(x);
    let (Some(spectrum), Some(dual)) = (Spectrum::of(&jacobian), Spectrum::of(&jacobian.transpose())) else {
        return Branches::none(false);
    };
    let kernel = spectrum.kernel(KERNEL_CUT);
    let last = x.len() - 1;
    let drive = kernel.row(last).transpose();
    let senses = senses(system, x, relaxed);
    let cokernel = dual.kernel(KERNEL_CUT);
    let second = system.second_order(x);
    if drive.norm() < REST_RATIO {
        return dead_centre(&spectrum, &kernel, &cokernel, &second, &senses);
    }
    let forms = project(&second, &kernel, &cokernel);
    let flat = forms.iter().map(DMatrix::amax).fold(0.0, f64::max) < FORM_ZERO;
    if flat {
        let direction = (&kernel * &drive).normalize();
        if kernel.ncols() == 1 || agrees(&direction, &senses) {
            return Branches::one(direction);
        }
    } else if kernel.ncols() == 1 {
        return Branches::none(true);
    } else if kernel.ncols() == 2 {
        return plane_branches(&kernel, &forms, &senses);
    }
    let forms = project(&second, &DMatrix::identity(x.len(), x.len()), &cokernel);
    search(&spectrum.row_space(KERNEL_CUT), &forms, &senses, enough)
}

fn senses(system: &System<'_>, x: &DVector<f64>, relaxed: bool) -> Vec<Sense> {
    let values = system.values(x);
    let sense = |&joint: &usize| {
        let link = &system.linkage.joints[joint];
        let sign = if (values[joint] - link.range.low).abs() < AT_END {
            1.0
        } else if (values[joint] - link.range.high).abs() < AT_END {
            -1.0
        } else {
            return Sense::Free;
        };
        if link.must_leave && !relaxed { Sense::Leaves(sign) } else { Sense::MayLeave(sign) }
    };
    system.unknown.iter().map(sense).collect()
}

fn agrees(v: &DVector<f64>, senses: &[Sense]) -> bool {
    let rest = REST_RATIO * v.amax();
    senses.iter().enumerate().all(|(k, sense)| match *sense {
        Sense::Leaves(sign) => v[k] * sign > rest,
        Sense::MayLeave(sign) => v[k] * sign > -rest,
        Sense::Free => true,
    })
}

/// The second-order condition on the kernel: one symmetric matrix for every column of the cokernel.
fn project(second: &SecondOrder, kernel: &DMatrix<f64>, cokernel: &DMatrix<f64>) -> Vec<DMatrix<f64>> {
    let size = kernel.ncols();
    let mut forms = vec![DMatrix::zeros(size, size); cokernel.ncols()];
    for i in 0..size {
        for j in i..size {
            let value = second.form(&kernel.column(i).into_owned(), &kernel.column(j).into_owned());
            for (m, form) in forms.iter_mut().enumerate() {
                let entry = cokernel.column(m).dot(&value);
                form[(i, j)] = entry;
                form[(j, i)] = entry;
            }
        }
    }
    forms
}

/// The drive rests to first order: the joints move along a kernel direction `v` and the drive follows with their
/// square, as a crank leaves its dead centre. From the loop's closure differentiated twice, `J a = -Q(v, v)`, the
/// acceleration `a` whose last entry must be positive; both `v` and `-v` are ways out. Of several kernel directions
/// those count in which the drive follows fastest.
fn dead_centre(
    spectrum: &Spectrum,
    kernel: &DMatrix<f64>,
    cokernel: &DMatrix<f64>,
    second: &SecondOrder,
    senses: &[Sense],
) -> Branches {
    let size = kernel.ncols();
    let forms = project(second, kernel, cokernel);
    let mut drive = DMatrix::zeros(size, size);
    for i in 0..size {
        for j in 0..size {
            let pull = second.form(&kernel.column(i).into_owned(), &kernel.column(j).into_owned());
            let acceleration = spectrum.solve(&-pull, 0.0);
            drive[(i, j)] = acceleration[acceleration.len() - 1];
        }
    }
    let obstructed = forms.iter().any(|f| f.amax() > FORM_ZERO);
    let rates: Vec<DVector<f64>> = match size {
        0 => Vec::new(),
        1 if obstructed => Vec::new(),
        1 => vec![DVector::from_element(1, 1.0)],
        2 if obstructed => unobstructed(&forms),
        _ if obstructed => return Branches::none(false),
        _ => match Spectrum::of(&drive) {
            Some(axes) => axes.axes(),
            None => return Branches::none(false),
        },
    };
    let follows = |u: &DVector<f64>| u.dot(&(&drive * u));
    let mut ahead: Vec<&DVector<f64>> = rates.iter().filter(|u| follows(u) >= REST_RATIO).collect();
    ahead.sort_by(|u, w| follows(w).total_cmp(&follows(u)));
    let ways = ahead.iter().flat_map(|u| [kernel * *u, -(kernel * *u)]).map(|v| v.normalize());
    let directions: Vec<DVector<f64>> = ways.filter(|v| agrees(v, senses)).collect();
    // With one direction these are all there are; with more, only when none of them lets the drive follow at all.
    let exact = size <= 1 || (ahead.is_empty() && rates.iter().all(|u| follows(u) <= -REST_RATIO));
    Branches { directions, exact }
}

/// The directions of a plane in which all forms vanish.
fn unobstructed(forms: &[DMatrix<f64>]) -> Vec<DVector<f64>> {
    let Some(strongest) = forms.iter().max_by(|f, g| f.amax().total_cmp(&g.amax())) else {
        return Vec::new();
    };
    let (a, b, c) = (strongest[(0, 0)], 2.0 * strongest[(0, 1)], strongest[(1, 1)]);
    // The root at infinity, (1, 0), is no root of the quadratic in the other coordinate.
    let mut found: Vec<DVector<f64>> = quadratic_roots(a, b, c)
        .into_iter()
        .map(|t| DVector::from_column_slice(&[t, 1.0]).normalize())
        .collect();
    if a.abs() < FORM_ZERO {
        found.push(DVector::from_column_slice(&[1.0, 0.0]));
    }
    found.retain(|u| forms.iter().all(|f| u.dot(&(f * u)).abs() < FORM_ZERO));
    found
}

/// A kernel of dimension two: with the parameter's rate fixed the condition is a quadratic in one number.
fn plane_branches(kernel: &DMatrix<f64>, forms: &[DMatrix<f64>], senses: &[Sense]) -> Branches {
    let last = kernel.nrows() - 1;
    let (p, q) = (kernel[(last, 0)], kernel[(last, 1)]);
    let scale = 1.0 / (p * p + q * q);
    let moving = nalgebra::Vector2::new(p, q) * scale;
    let idle = nalgebra::Vector2::new(-q, p).normalize();
    let quadratic = |form: &DMatrix<f64>| {
        let at = |u: &nalgebra::Vector2<f64>, v: &nalgebra::Vector2<f64>| {
            (0..2)
                .flat_map(|i| (0..2).map(move |j| (i, j)))
                .map(|(i, j)| u[i] * form[(i, j)] * v[j])
                .sum::<f64>()
        };
        (at(&idle, &idle), 2.0 * at(&idle, &moving), at(&moving, &moving))
    };
    let weight = |form: &&DMatrix<f64>| form.amax();
    let Some(strongest) = forms.iter().max_by(|f, g| weight(f).total_cmp(&weight(g))) else {
        return Branches::none(true);
    };
    let (a, b, c) = quadratic(strongest);
    let mut directions = Vec::new();
    for t in quadratic_roots(a, b, c) {
        let v = kernel * DVector::from_column_slice((moving + idle * t).as_slice());
        let v = v.normalize();
        let rates = moving + idle * t;
        let worst = forms.iter().map(|f| {
            let (a, b, c) = quadratic(f);
            (a * t * t + b * t + c).abs() / rates.norm_squared()
        });
        let worst = worst.fold(0.0, f64::max);
        if worst < FORM_ZERO && agrees(&v, senses) {
            directions.push(v);
        }
    }
    Branches { directions, exact: true }
}

/// Larger kernels: least squares on rates whose signs are built in, from many starts. The rates are found up to a
/// common factor, so that a drive far slower than the joints it moves is found as easily as a fast one.
fn search(first: &DMatrix<f64>, forms: &[DMatrix<f64>], senses: &[Sense], enough: usize) -> Branches {
    // The drive rises.
    let senses: Vec<Sense> = senses.iter().copied().chain([Sense::Leaves(1.0)]).collect();
    let size = senses.len();
    let rates = |u: &DVector<f64>| {
        let mut v = DVector::zeros(size);
        let mut slope = DVector::zeros(size);
        for (k, sense) in senses.iter().enumerate() {
            (v[k], slope[k]) = match *sense {
                Sense::Leaves(sign) => (sign * libm::exp(u[k]), sign * libm::exp(u[k])),
                Sense::MayLeave(sign) => (sign * u[k] * u[k], 2.0 * sign * u[k]),
                Sense::Free => (u[k], 1.0),
            };
        }
        (v, slope)
    };
    let equations = |u: &DVector<f64>| {
        let (v, slope) = rates(u);
        let top = first.nrows();
        let rows = top + forms.len();
        let mut residual = DVector::zeros(rows + 1);
        let mut jacobian = DMatrix::zeros(rows + 1, size);
        residual.rows_mut(0, top).copy_from(&(first * &v));
        jacobian.view_mut((0, 0), (top, size)).copy_from(first);
        for (m, form) in forms.iter().enumerate() {
            let image = form * &v;
            residual[top + m] = v.dot(&image);
            jacobian.row_mut(top + m).copy_from(&(image * 2.0).transpose());
        }
        residual[rows] = v.norm_squared() - 1.0;
        jacobian.row_mut(rows).copy_from(&(&v * 2.0).transpose());
        for (k, mut column) in jacobian.column_iter_mut().enumerate() {
            column *= slope[k];
        }
        (residual, jacobian)
    };
    let mut found = Branches::none(false);
    let mut noise = Noise(1);
    // Rates of one size whose squares add up to 1.
    let even = 1.0 / (size as f64).sqrt();
    for start in 0..STARTS {
        let spread = if start == 0 { 0.0 } else { 1.0 };
        let seed = senses.iter().map(|sense| match sense {
            Sense::Leaves(_) => libm::log(even) + SPREAD * spread * noise.next(),
            Sense::MayLeave(_) => even.sqrt() * (1.0 + 0.9 * spread * noise.next()),
            Sense::Free => even * 1.5 * spread * noise.next(),
        });
        let (u, norm) = least_squares(&equations, DVector::from_iterator(size, seed), 200);
        let (v, _) = rates(&u);
        let relative = norm / v.amax().powi(2).max(1e-300);
        let direction = v.normalize();
        let fresh = found.directions.iter().all(|d| (d - &direction).amax() > 1e-4);
        if relative < BRANCH_RESIDUAL && agrees(&direction, &senses) && fresh {
            found.directions.push(direction);
            if found.directions.len() == enough {
                break;
            }
        }
    }
    found
}

/// A fixed sequence of numbers in -1..1 (Knuth's 64-bit linear congruence): the same starts every time.
pub(crate) struct Noise(pub(crate) u64);

impl Noise {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }
}
