//! Fewest settings, then the largest offcut, for a given number of sheets.
//!
//! The same ruin and recreate as for fewer sheets, with every piece back in place and another measure.

use super::layout::{Part, Score, Trims, arrange, draw};
use super::order::{Item, Stock};
use super::problem::Problem;
use super::random::Random;
use super::search::{State, recreate, ruin};
use super::sites::Seeker;
use super::tree::Tree;

/// Length of the memory of late acceptance.
const MEMORY: usize = 100;
/// Share of places overlooked while recreating: more than in the search for sheets, since ties abound.
const BLINK: f64 = 0.05;
const SEED: u64 = 0x0FF_C075;
/// What one cut weighs against one setting while searching.
const CUT_WEIGHT: f64 = 0.2;
/// What an offcut of a whole sheet weighs against one setting while searching.
const OFFCUT_WEIGHT: f64 = 2.0;

/// Draws the sheets of `state` and improves them within `effort`.
pub(super) fn polish(
    stock: &Stock,
    items: &[Item],
    problem: &Problem,
    state: State,
    effort: u64,
) -> (Vec<Part>, u64) {
    let mut random = Random::new(SEED);
    let mut seeker = Seeker::new(problem, BLINK);
    let judge = Judge { stock, items, problem };
    let mut current = state;
    let (mut score, _) = judge.score(&current.sheets);
    let mut cost = judge.cost(score);
    let (mut best, mut best_score) = (current.clone(), score);
    let mut memory = [cost; MEMORY];
    let mut trial = current.clone();
    let mut turn = 0;
    while seeker.looked < effort && problem.pieces.len() > 1 {
        seeker.looked += 50 + 10 * problem.pieces.len() as u64;
        trial.clone_from(&current);
        ruin(problem, &mut trial, &mut random);
        recreate(problem, &mut trial, &mut random, &mut seeker);
        let slot = turn % MEMORY;
        turn += 1;
        if trial.out.is_empty() {
            let (new_score, _) = judge.score(&trial.sheets);
            let new_cost = judge.cost(new_score);
            if new_cost <= cost || new_cost < memory[slot] {
                std::mem::swap(&mut current, &mut trial);
                (score, cost) = (new_score, new_cost);
            }
            if score < best_score {
                best.clone_from(&current);
                best_score = score;
            }
        }
        memory[slot] = cost;
    }
    (judge.with_best_trims(&best.sheets), seeker.looked)
}

struct Judge<'a> {
    stock: &'a Stock,
    items: &'a [Item],
    problem: &'a Problem,
}

impl Judge<'_> {
    fn score(&self, sheets: &[Tree]) -> (Score, Vec<Part>) {
        let mut roots: Vec<Part> =
            sheets.iter().map(|tree| draw(self.problem, self.items, tree, Trims::AcrossFirst)).collect();
        (arrange(self.stock, &mut roots), roots)
    }

    fn cost(&self, score: Score) -> f64 {
        let sheet = self.problem.sheet[0] as f64 * self.problem.sheet[1] as f64;
        score.settings as f64
            + CUT_WEIGHT * score.cuts as f64
            + OFFCUT_WEIGHT * score.used_of_largest as f64 / sheet
    }

    /// Turns the trims of one sheet after another when that is better.
    fn with_best_trims(&self, sheets: &[Tree]) -> Vec<Part> {
        let (mut best, mut roots) = self.score(sheets);
        for (index, tree) in sheets.iter().enumerate() {
            let mut trial = roots.clone();
            if let Some(root) = trial.get_mut(index) {
                *root = draw(self.problem, self.items, tree, Trims::AlongFirst);
            }
            let score = arrange(self.stock, &mut trial);
            if score < best {
                best = score;
                roots = trial;
            }
        }
        roots
    }
}
