//! What layer problems came to, kept for as long as somebody asks the same again.

use std::sync::{Arc, OnceLock};

use super::island::Puzzle;
use super::order::Order;
use super::stack::{Side, Stack, hidden_by, seen_of};
use crate::geometry::{GRID_MM, Polygon, Region, intersection, region_area};
use crate::kept::Memo;
use crate::motion;

/// Islands of layers kept with all that is shown of them, and with their verdict alone.
const MOST_SHOWN: usize = 2_000;
const MOST_VERDICTS: usize = 10_000;
/// Pairs of outlines kept.
const MOST_PAIRS: usize = 20_000;

/// Answers about layers and poses, kept between poses, places of a motion and runs. An answer depends on its question alone, so
/// it makes no difference to any result whether something is kept.
#[derive(Debug)]
pub struct Kept {
    shown: Memo<Puzzle, Shown>,
    verdicts: Memo<Puzzle, Option<Vec<usize>>>,
    common: Memo<[Outline; 2], Common>,
    /// Of the poses.
    pub motion: Arc<motion::Kept>,
}

impl Default for Kept {
    fn default() -> Self {
        Self {
            shown: Memo::holding(MOST_SHOWN),
            verdicts: Memo::holding(MOST_VERDICTS),
            common: Memo::holding(MOST_PAIRS),
            motion: Arc::default(),
        }
    }
}

/// Rings of corners in steps of the grid of set operations.
type Outline = Vec<Vec<(i32, i32)>>;

/// What two polygons share.
#[derive(Debug, Clone, Copy)]
pub(super) struct Common {
    pub(super) area_mm2: f64,
    /// The [`Polygon::mean_thickness`] of the thickest patch.
    pub(super) thickest_mm: f64,
}

impl Kept {
    /// Forgets what was not asked since the last turn.
    pub fn turn(&self) {
        self.shown.turn();
        self.verdicts.turn();
        self.common.turn();
        self.motion.turn();
    }

    /// How many answers are kept.
    pub fn len(&self) -> usize {
        self.shown.len() + self.verdicts.len() + self.common.len() + self.motion.len()
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Facts of an island that cannot all hold, none of which can be spared; `None` when it has an order.
    pub(super) fn core(&self, puzzle: &Puzzle) -> Option<Vec<usize>> {
        if let Some(shown) = self.shown.known(puzzle) {
            return shown.core.clone();
        }
        let found = self.verdicts.answer(puzzle, || puzzle.state().layering().solve(puzzle.facts()).err());
        found.as_ref().clone()
    }

    /// An island with its layers in order.
    pub(super) fn shown(&self, puzzle: &Puzzle) -> Arc<Shown> {
        self.shown.answer(puzzle, || Shown::of(puzzle.clone()))
    }

    pub(super) fn common(&self, a: &Polygon, b: &Polygon) -> Common {
        if !a.bounds().touches(&b.bounds(), GRID_MM) {
            return Common { area_mm2: 0.0, thickest_mm: 0.0 };
        }
        let work = || {
            let shared = intersection(std::slice::from_ref(a), std::slice::from_ref(b));
            let thickest_mm = shared.iter().map(Polygon::mean_thickness).fold(0.0, f64::max);
            Common { area_mm2: region_area(&shared), thickest_mm }
        };
        *self.common.answer(&[outline(a), outline(b)], work)
    }
}

fn outline(polygon: &Polygon) -> Outline {
    let step = |mm: f64| (mm / GRID_MM).round() as i32;
    polygon.rings().map(|ring| ring.iter().map(|p| (step(p.x), step(p.y))).collect()).collect()
}

/// An island in order.
#[derive(Debug)]
pub(super) struct Shown {
    puzzle: Puzzle,
    /// Facts that cannot all hold.
    core: Option<Vec<usize>>,
    /// The order that is shown. With contradicting facts it is that of the others; `None` when there is none either.
    pub(super) order: Option<Order>,
    /// Places that several faces cover, in that order.
    pub(super) stacks: Vec<Stack>,
    /// A pair (upper, lower) that may lie the other way round, that with the largest overlap, and its area in mm².
    pub(super) open: Option<(usize, usize, f64)>,
    faces: Vec<Polygon>,
    /// From above and from below, by face.
    hidden: [Vec<OnceLock<Region>>; 2],
    seen: [Vec<OnceLock<Region>>; 2],
}

impl Shown {
    fn of(puzzle: Puzzle) -> Self {
        let state = puzzle.state();
        let layering = state.layering();
        let facts = puzzle.facts();
        let (core, order) = match layering.solve(facts) {
            Ok(order) => (None, Some(order)),
            Err(core) => {
                // The picture still needs some order: the folds and what is stuck, as far as they go together.
                let kept = facts.iter().enumerate().filter(|(i, _)| !core.contains(i)).map(|(_, f)| *f);
                let order = layering.solve(&kept.collect::<Vec<_>>()).ok();
                (Some(core), order)
            }
        };
        let faces: Vec<Polygon> = state.faces.iter().map(|f| f.polygon.clone()).collect();
        let open = match (&core, &order) {
            (None, Some(order)) => layering.other_than(facts, order).and_then(|other| {
                let pairs = order.pairs().filter(|(u, l)| other.is_above(*u, *l) == Some(false));
                let with_area = |(upper, lower): (usize, usize)| {
                    let polygon = |face: usize| faces.get(face).map(std::slice::from_ref);
                    Some((upper, lower, region_area(&intersection(polygon(upper)?, polygon(lower)?))))
                };
                pairs.filter_map(with_area).max_by(|a, b| a.2.total_cmp(&b.2))
            }),
            _ => None,
        };
        let stacks = order.as_ref().map(|order| layering.stacks(order)).unwrap_or_default();
        let stacks = stacks.into_iter().filter(|s| s.faces.len() > 1).collect();
        let lazy = || vec![OnceLock::new(); faces.len()];
        let (hidden, seen) = ([lazy(), lazy()], [lazy(), lazy()]);
        Self { puzzle, core, order, stacks, open, faces, hidden, seen }
    }

    pub(super) fn core(&self) -> Option<&[usize]> {
        self.core.as_deref()
    }

    /// The parts of a face that others of the island hide.
    pub(super) fn hidden(&self, face: usize, side: Side) -> &[Polygon] {
        let cell = self.hidden[side.index()].get(face);
        cell.map_or(&[], |cell| cell.get_or_init(|| hidden_by(&self.stacks, face, side)))
    }

    /// What is seen of a face when nothing outside the island hides it.
    pub(super) fn seen(&self, face: usize, side: Side) -> &[Polygon] {
        let (cell, polygon) = (self.seen[side.index()].get(face), self.faces.get(face));
        let (Some(cell), Some(polygon)) = (cell, polygon) else { return &[] };
        cell.get_or_init(|| seen_of(polygon, self.hidden(face, side)))
    }

    /// Every order of the island that the facts allow, as the parts of the faces that are hidden from above and from
    /// below in each; `None` when there are more than `limit`, or none.
    pub(super) fn all_hidden(&self, limit: usize) -> Option<Vec<[Vec<Region>; 2]>> {
        let state = self.puzzle.state();
        let layering = state.layering();
        let found = layering.orders(self.puzzle.facts(), limit);
        if !found.complete || found.orders.is_empty() {
            return None;
        }
        let hidden = |order: &Order| {
            let stacks = layering.stacks(order);
            Side::BOTH.map(|side| {
                (0..self.faces.len()).map(|face| hidden_by(&stacks, face, side)).collect::<Vec<Region>>()
            })
        };
        Some(found.orders.iter().map(hidden).collect())
    }
}
