//! An order with equivalent but larger pieces, for a stronger lower bound.
//!
//! In any packing pieces can be pushed left and down, so that what lies beside a piece along the width is a sum of
//! sides of other pieces. Sheet that no such sum can use is given to the piece; sheet that no sum of all can use is
//! taken off the sheet. One piece after another, each seeing the sizes already changed (the reduction of M.A.
//! Boschetti, A. Mingozzi, "The two-dimensional finite bin packing problem. Part I", 4OR 1 (2003)).

use super::order::Length;
use super::problem::{Piece, Problem};

/// Longest sheet side, in steps of the common divisor, for which sums are listed.
const MOST_STEPS: Length = 1 << 14;
/// Most pieces for which it is tried.
const MOST_PIECES: usize = 100;

/// The pieces and the sheet, tightened; unchanged when the sheet has too many steps.
pub(super) fn tightened(problem: &Problem) -> Problem {
    let mut tight = problem.clone();
    if problem.pieces.len() > MOST_PIECES {
        return tight;
    }
    let all = problem.pieces.iter().flat_map(|piece| piece.ways.iter().flat_map(|way| way.size));
    let step = all.chain(problem.sheet).fold(0, num_integer::gcd).max(1);
    if problem.sheet.iter().any(|side| side / step > MOST_STEPS) {
        return tight;
    }
    for axis in 0..2 {
        let whole = Sums::of(tight.pieces.iter(), axis, step, tight.sheet[axis]).largest(tight.sheet[axis]);
        tight.sheet[axis] = whole;
        for index in 0..tight.pieces.len() {
            let others =
                tight.pieces.iter().enumerate().filter(|&(other, _)| other != index).map(|(_, piece)| piece);
            let sums = Sums::of(others, axis, step, whole);
            for way in &mut tight.pieces[index].ways {
                let beside = whole - way.size[axis];
                way.size[axis] = whole - sums.largest(beside);
            }
        }
    }
    tight
}

/// The sums of sides that some of the pieces can make, as a set of multiples of a step.
struct Sums {
    step: Length,
    words: Vec<u64>,
}

impl Sums {
    fn of<'a>(pieces: impl Iterator<Item = &'a Piece>, axis: usize, step: Length, limit: Length) -> Self {
        let mut words = vec![0u64; (limit / step) as usize / 64 + 1];
        words[0] = 1;
        let mut sums = Self { step, words };
        for piece in pieces {
            let before = sums.words.clone();
            for way in &piece.ways {
                sums.add_shifted(&before, (way.size[axis] / step) as usize);
            }
        }
        sums
    }

    fn add_shifted(&mut self, from: &[u64], by: usize) {
        let (words, bits) = (by / 64, by % 64);
        for (to, &word) in from.iter().enumerate().map(|(index, word)| (index + words, word)) {
            if let Some(low) = self.words.get_mut(to) {
                *low |= word << bits;
            }
            if bits > 0
                && let Some(high) = self.words.get_mut(to + 1)
            {
                *high |= word >> (64 - bits);
            }
        }
    }

    /// The largest sum that is at most `limit`.
    fn largest(&self, limit: Length) -> Length {
        let has =
            |at: &Length| self.words.get((*at / 64) as usize).is_some_and(|word| word >> (at % 64) & 1 == 1);
        (0..=limit.max(0) / self.step).rev().find(has).unwrap_or(0) * self.step
    }
}
