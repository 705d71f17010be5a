//! Plans for cutting rectangles out of sheets on a trimmer: edge-to-edge cuts only, in any number of stages.
//!
//! ```text
//! Stock, Items -> Problem -> cut trees (greedy, ruin and recreate; a lower bound stops it) -> fewest settings
//!                                   -> layout with every choice decided -> numbered steps -> checked Plan
//! ```
//!
//! The aim, in this order: fewest sheets, fewest distinct settings of the trimmer, largest useful offcut, fewest cuts.
//! The same order gives the same plan on every machine: effort is counted in looked-at places, never in time.
//! No plan leaves this module unchecked.
//!
//! This module knows rectangles and whole numbers only: nothing of the language, of pieces' outlines or of paper. Only
//! [`nest`], which is for a knife and not for a trimmer, works on true outlines.

mod assemble;
mod bound;
mod layout;
pub mod nest;
mod order;
mod polish;
mod problem;
mod random;
mod replay;
mod search;
mod sites;
mod steps;
mod tighten;
mod tree;
mod verify;

use std::collections::BTreeSet;

pub use layout::{Axis, Part, Placement, Rect, SheetPlan};
pub use order::{Effort, Fault, Item, LONGEST, Length, MOST_PIECES, Margin, Stock, Turn, nanometres};
pub use replay::replay;
pub use steps::{Fate, Made, PartId, Step};
pub use verify::{Violation, verify};

use problem::Problem;

/// A checked plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub sheets: Vec<SheetPlan>,
    /// No plan whatever has fewer sheets than this.
    pub lower_bound: usize,
    /// The number of sheets equals the lower bound.
    pub proven: bool,
    /// The cuts in order, over all sheets.
    pub steps: Vec<Step>,
    /// The distinct settings, rounded to the step of the scale, ascending; trims of margins not counted.
    pub settings: Vec<Length>,
    /// The largest useful offcut and its sheet.
    pub largest_offcut: Option<(usize, Rect)>,
    /// Places looked at, in the measure of [`Effort`].
    pub looked: u64,
}

impl Plan {
    /// Number of cuts, those that trim margins included.
    pub fn cuts(&self) -> usize {
        self.steps.len()
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The order cannot be cut; every fault found.
    Order(Vec<Fault>),
    /// The planner's own mistake: its plan did not pass the checker.
    Internal(Violation),
}

/// Plans the sheets for `items`.
pub fn plan(stock: &Stock, items: &[Item], effort: &Effort) -> Result<Plan, Refusal> {
    let problem = Problem::new(stock, items).map_err(Refusal::Order)?;
    let lower_bound = bound::fewest(&problem);
    let (state, searched) = search::fewest_sheets(&problem, lower_bound, effort.sheets);
    let (roots, polished) = polish::polish(stock, items, &problem, state, effort.polish);
    let mut sheets: Vec<SheetPlan> = roots.into_iter().map(|root| layout::lay(stock, root)).collect();
    sheets
        .sort_by_key(|sheet| std::cmp::Reverse(sheet.placements.iter().map(|p| p.rect.area()).sum::<i128>()));
    let steps = steps::steps(stock, &sheets);
    check(stock, items, &sheets, &steps).map_err(Refusal::Internal)?;
    Ok(Plan {
        proven: sheets.len() <= lower_bound,
        lower_bound,
        settings: settings(stock, &sheets),
        largest_offcut: largest_offcut(stock, &sheets),
        steps,
        sheets,
        looked: searched + polished,
    })
}

fn check(stock: &Stock, items: &[Item], sheets: &[SheetPlan], steps: &[Step]) -> Result<(), Violation> {
    let placements: Vec<Vec<Placement>> = sheets.iter().map(|sheet| sheet.placements.clone()).collect();
    verify(stock, items, &placements)?;
    replay(stock, items, sheets.len(), steps)
}

fn settings(stock: &Stock, sheets: &[SheetPlan]) -> Vec<Length> {
    let mut marks = BTreeSet::new();
    for sheet in sheets {
        sheet.root.visit(&mut |part| {
            if let Part::Strip { axis, parts, .. } = part {
                let measured = parts.iter().take(parts.len().saturating_sub(1));
                marks.extend(measured.map(|part| layout::mark(part.rect().side(*axis), stock.scale_step)));
            }
        });
    }
    marks.into_iter().collect()
}

fn largest_offcut(stock: &Stock, sheets: &[SheetPlan]) -> Option<(usize, Rect)> {
    let mut offcuts = Vec::new();
    for (index, sheet) in sheets.iter().enumerate() {
        sheet.root.visit(&mut |part| {
            if let Part::Offcut(rect) = part {
                offcuts.push((index, *rect));
            }
        });
    }
    let useful = offcuts.into_iter().filter(|(_, rect)| rect.is_useful(stock.useful_offcut));
    useful.max_by_key(|(index, rect)| (rect.area(), std::cmp::Reverse(*index)))
}
