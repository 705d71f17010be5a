//! A lower bound on the number of sheets.
//!
//! Dual feasible functions, applied to both sides of the pieces (S.P. Fekete, J. Schepers, "New classes of fast lower
//! bounds for bin packing problems", Math. Programming 91 (2001); J. Carlier, F. Clautiaux, A. Moukrim, "New reduction
//! procedures and lower bounds for the two-dimensional bin packing problem with fixed orientation", Computers & OR 34
//! (2007)). With dual feasible `f` and `g`, pieces that share a sheet have `sum f(w) g(h) <= f(W) g(H)`; of a piece that
//! may turn, the lesser product counts. The bound holds for every layout, with or without edge-to-edge cuts.

use super::order::Length;
use super::problem::Problem;
use super::tighten::tightened;

/// Most parameters tried for each family of functions and each side of the sheet.
const MOST_PARAMETERS: usize = 64;

/// A dual feasible function, by its values on the sides of pieces and on the side of the sheet.
#[derive(Clone, Copy, Debug)]
enum Dual {
    /// `f(x) = x`.
    Identity,
    /// Sides over `C - k` count whole, those under `k` not at all.
    Threshold(Length),
    /// Rounding to multiples of `k`, from below for small sides and from above for large ones.
    Rounding(Length),
}

impl Dual {
    /// Value for `x` in `0..=c`.
    fn of(self, x: Length, c: Length) -> i128 {
        let value = match self {
            Self::Identity => x,
            Self::Threshold(k) if x > c - k => c,
            Self::Threshold(k) if x < k => 0,
            Self::Threshold(_) => x,
            Self::Rounding(k) if x == c || 2 * x < c => 2 * (x / k),
            Self::Rounding(k) if 2 * x == c => c / k,
            Self::Rounding(k) => 2 * (c / k - (c - x) / k),
        };
        i128::from(value)
    }

    fn of_sheet(self, c: Length) -> i128 {
        match self {
            Self::Rounding(k) => i128::from(2 * (c / k)),
            _ => i128::from(c),
        }
    }
}

/// Fewest sheets any layout needs.
pub(super) fn fewest(problem: &Problem) -> usize {
    if problem.pieces.is_empty() { 0 } else { by_duals(problem).max(by_duals(&tightened(problem))) }
}

fn by_duals(problem: &Problem) -> usize {
    let duals = [0, 1].map(|axis| duals(problem, axis));
    let mut bound = 1;
    // Values of both sides in both ways of lying, computed once per function: the pairs then only multiply.
    let columns =
        [0, 1].map(|axis| duals[axis].iter().map(|&dual| column(problem, axis, dual)).collect::<Vec<_>>());
    for (sheet_w, across) in &columns[0] {
        for (sheet_h, up) in &columns[1] {
            let sheet = sheet_w * sheet_h;
            if sheet > 0 {
                let sum: i128 = across
                    .iter()
                    .zip(up)
                    .map(|(w, h)| (0..2).filter_map(|way| Some(w[way]? * h[way]?)).min().unwrap_or(0))
                    .sum();
                bound = bound.max((sum + sheet - 1) / sheet);
            }
        }
    }
    usize::try_from(bound).unwrap_or(1)
}

type Column = (i128, Vec<[Option<i128>; 2]>);

fn column(problem: &Problem, axis: usize, dual: Dual) -> Column {
    let side = problem.sheet[axis];
    let values = problem
        .pieces
        .iter()
        .map(|piece| [0, 1].map(|way| piece.ways.get(way).map(|way| dual.of(way.size[axis], side))))
        .collect();
    (dual.of_sheet(side), values)
}

fn duals(problem: &Problem, axis: usize) -> Vec<Dual> {
    let side = problem.sheet[axis];
    let mut marks: Vec<Length> = problem
        .pieces
        .iter()
        .flat_map(|piece| piece.ways.iter().map(|way| way.size[axis]))
        .flat_map(|x| [x, side - x, side - x + 1])
        .filter(|&x| x > 0 && 2 * x <= side)
        .collect();
    marks.sort_unstable();
    marks.dedup();
    let step = marks.len().div_ceil(MOST_PARAMETERS).max(1);
    let mut duals = vec![Dual::Identity];
    for &mark in marks.iter().step_by(step) {
        duals.push(Dual::Threshold(mark));
        duals.push(Dual::Rounding(mark));
    }
    duals
}
