//! Fewest sheets: greedy starts, then ruin and recreate towards one sheet fewer.
//!
//! The goal-driven scheme follows J. Gardeyn, T. Wauters, "A goal-driven ruin and recreate heuristic for the 2D
//! variable-sized bin packing problem with guillotine constraints", EJOR 301 (2022): pieces may be left out; the
//! measure to lower is their area. Acceptance is late acceptance (E.K. Burke, Y. Bykov, "The late acceptance
//! hill-climbing heuristic", EJOR 258 (2017)).

use super::problem::Problem;
use super::random::Random;
use super::sites::Seeker;
use super::tree::Tree;

/// Pieces on sheets, and those not yet placed.
#[derive(Debug)]
pub(super) struct State {
    pub(super) sheets: Vec<Tree>,
    pub(super) out: Vec<u16>,
}

impl Clone for State {
    fn clone(&self) -> Self {
        Self { sheets: self.sheets.clone(), out: self.out.clone() }
    }

    fn clone_from(&mut self, source: &Self) {
        self.sheets.clone_from(&source.sheets);
        self.out.clone_from(&source.out);
    }
}

impl State {
    pub(super) fn left_out(&self, problem: &Problem) -> f64 {
        self.out.iter().map(|&piece| problem.pieces[usize::from(piece)].area).sum()
    }
}

/// Length of the memory of late acceptance.
const MEMORY: usize = 200;
/// Share of places overlooked while recreating.
const BLINK: f64 = 0.02;
/// Most pieces taken out one by one.
const MOST_SINGLES: usize = 8;
/// Share by which sizes are distorted when pieces are sorted to be put back.
const NOISE: f64 = 0.5;
const GREEDY_STARTS: usize = 8;
const SEED: u64 = 0x5EED_0F5E_E7ED_5EED;

/// The fewest sheets found within `effort`, stopping at `bound`.
pub(super) fn fewest_sheets(problem: &Problem, bound: usize, effort: u64) -> (State, u64) {
    let mut random = Random::new(SEED);
    let mut seeker = Seeker::new(problem, BLINK);
    let mut best = greedy(problem, &mut random, &mut seeker, 0);
    for start in 1..GREEDY_STARTS {
        if best.sheets.len() <= bound || seeker.looked > effort {
            break;
        }
        let other = greedy(problem, &mut random, &mut seeker, start);
        if other.sheets.len() < best.sheets.len() {
            best = other;
        }
    }
    while best.sheets.len() > bound {
        let fewer = best.sheets.len() - 1;
        if let Some(sheets) = super::assemble::assemble(problem, fewer, &mut seeker.looked) {
            best = State { sheets, out: Vec::new() };
            continue;
        }
        match one_fewer(problem, &best, &mut random, &mut seeker, effort) {
            Some(better) => best = better,
            None => break,
        }
    }
    let looked = seeker.looked;
    (best, looked)
}

/// Every piece in turn at its cheapest place; a new sheet when there is none.
fn greedy(problem: &Problem, random: &mut Random, seeker: &mut Seeker, start: usize) -> State {
    let mut order: Vec<u16> = (0..problem.pieces.len() as u16).collect();
    sort_by_size(problem, &mut order, start, if start < 4 { 0.0 } else { 0.2 }, random);
    let mut sheets: Vec<Tree> = Vec::new();
    for piece in order {
        let mut place = seeker.best(&sheets, piece, random);
        if place.is_none() {
            sheets.push(Tree::new());
            let last = sheets.len() - 1;
            place =
                seeker.best(&sheets[last..], piece, random).map(|p| super::sites::Place { sheet: last, ..p });
        }
        if let Some(place) = place {
            sheets[place.sheet].insert(problem, place.site, piece, place.way);
        }
    }
    State { sheets, out: Vec::new() }
}

/// Larger pieces first, by one of four measures, each multiplied by up to `1 + noise`.
pub(super) fn sort_by_size(
    problem: &Problem,
    pieces: &mut [u16],
    measure: usize,
    noise: f64,
    random: &mut Random,
) {
    let size = |piece: u16| {
        let piece = &problem.pieces[usize::from(piece)];
        let [w, h] = piece.ways.first().map_or([0.0; 2], |way| way.size.map(|side| side as f64));
        match measure % 4 {
            0 => piece.area,
            1 => w.max(h),
            2 => w + h,
            _ => w.min(h),
        }
    };
    let mut keyed: Vec<(f64, u16)> =
        pieces.iter().map(|&piece| (size(piece) * (1.0 + noise * random.unit()), piece)).collect();
    keyed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    for (slot, (_, piece)) in pieces.iter_mut().zip(keyed) {
        *slot = piece;
    }
}

/// Gives up the emptiest sheet and searches until its pieces are on the others.
fn one_fewer(
    problem: &Problem,
    from: &State,
    random: &mut Random,
    seeker: &mut Seeker,
    effort: u64,
) -> Option<State> {
    let mut current = from.clone();
    let emptiest = (0..current.sheets.len())
        .min_by(|&a, &b| current.sheets[a].filled.total_cmp(&current.sheets[b].filled))?;
    let dropped = current.sheets.swap_remove(emptiest);
    current.out.extend(dropped.leaves().map(|(_, piece)| piece));
    recreate(problem, &mut current, random, seeker);
    let mut cost = current.left_out(problem);
    let mut memory = vec![cost; MEMORY];
    let mut trial = current.clone();
    for turn in 0.. {
        if current.out.is_empty() {
            return Some(current);
        }
        if seeker.looked >= effort || current.sheets.is_empty() {
            return None;
        }
        seeker.looked += 20;
        trial.clone_from(&current);
        ruin(problem, &mut trial, random);
        recreate(problem, &mut trial, random, seeker);
        let new_cost = trial.left_out(problem);
        let slot = turn % MEMORY;
        if new_cost <= cost || new_cost < memory[slot] {
            std::mem::swap(&mut current, &mut trial);
            cost = new_cost;
        }
        memory[slot] = cost;
    }
    None
}

/// Takes some pieces out.
pub(super) fn ruin(problem: &Problem, state: &mut State, random: &mut Random) {
    match random.below(3) {
        1 => remove_subtree(problem, state, random),
        0 => {
            for _ in 0..1 + random.below(MOST_SINGLES) {
                remove_random(problem, state, random);
            }
        }
        _ => remove_share(problem, state, random),
    }
    for tree in &mut state.sheets {
        if !tree.settle(problem) {
            state.out.extend(tree.leaves().map(|(_, piece)| piece));
            tree.clear();
        }
    }
}

fn remove_random(problem: &Problem, state: &mut State, random: &mut Random) {
    let total: usize = state.sheets.iter().map(|tree| tree.count).sum();
    let mut skip = random.below(total);
    for tree in &mut state.sheets {
        if skip < tree.count {
            let leaf = tree.leaves().nth(skip);
            if let Some((id, _)) = leaf {
                state.out.extend(tree.remove(problem, id));
            }
            return;
        }
        skip -= tree.count;
    }
}

fn remove_subtree(problem: &Problem, state: &mut State, random: &mut Random) {
    let sheet = random.below(state.sheets.len());
    let Some(tree) = state.sheets.get_mut(sheet) else { return };
    let branches: Vec<_> =
        (0..tree.nodes.len() as u16).filter(|&id| tree.node(id).kind.axis().is_some()).collect();
    let Some(&branch) = branches.get(random.below(branches.len())) else { return };
    let mut leaves = Vec::new();
    gather(tree, branch, &mut leaves);
    for id in leaves {
        state.out.extend(tree.remove(problem, id));
    }
}

fn gather(tree: &Tree, id: u16, leaves: &mut Vec<u16>) {
    if tree.node(id).kind.axis().is_none() {
        leaves.push(id);
    }
    for child in tree.children(id) {
        gather(tree, child, leaves);
    }
}

fn remove_share(problem: &Problem, state: &mut State, random: &mut Random) {
    let sheet = random.below(state.sheets.len());
    let Some(tree) = state.sheets.get_mut(sheet) else { return };
    let share = 0.2 + 0.6 * random.unit();
    let leaves: Vec<_> = tree.leaves().map(|(id, _)| id).collect();
    for id in leaves {
        if random.unit() < share {
            state.out.extend(tree.remove(problem, id));
        }
    }
}

/// Puts left-out pieces back, larger first, each at its cheapest place; those without one stay out.
pub(super) fn recreate(problem: &Problem, state: &mut State, random: &mut Random, seeker: &mut Seeker) {
    let measure = random.below(4);
    let mut order = std::mem::take(&mut state.out);
    sort_by_size(problem, &mut order, measure, NOISE, random);
    for piece in order {
        match seeker.best(&state.sheets, piece, random) {
            Some(place) => state.sheets[place.sheet].insert(problem, place.site, piece, place.way),
            None => state.out.push(piece),
        }
    }
}
