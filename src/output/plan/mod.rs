//! The sheet plan: which piece comes out of which sheet, cut by cut, for a trimmer.
//!
//! Pieces are planned as the boxes round them; shaped ones are cut out of their box by hand. A piece that folds lies with
//! its folds along the grain wherever the sheet allows it.

mod figure;
mod text;

pub use text::{notes, refusal, said_step, summary};

use crate::assembly::{Assembly, Grain, PaperId, Piece, PieceId, PieceKind, Sheet};
use crate::drawing::Figure;
use crate::making::Phrase;
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::stock::plan::{Effort, Fault, Item, Length, Plan, Refusal, Stock, Turn, nanometres, plan};

/// An offcut is worth keeping from this size on, both ways, mm (a third of a card's width).
const USEFUL_OFFCUT_MM: f64 = 50.0;
/// How hard to look. A kit has to be quick; an order of many copies may look longer.
const EFFORT: Effort = Effort { sheets: 400_000, polish: 100_000 };
const MOST_EFFORT: u64 = 25;
/// Most copies in one plan.
pub const MOST_COPIES: u32 = 200;

/// How the pieces of one paper are cut.
#[derive(Debug, Clone)]
pub struct PaperPlan {
    pub paper: PaperId,
    pub name: String,
    pub pieces: Vec<PieceId>,
    pub outcome: Outcome,
}

#[derive(Debug, Clone)]
pub enum Outcome {
    Planned(Box<Planned>),
    /// The design does not say how large its sheets are.
    NoSheet,
    /// Why the pieces cannot be cut from such sheets.
    Refused(Fault),
}

#[derive(Debug, Clone)]
pub struct Planned {
    pub sheet: Sheet,
    /// The fibres run along the sheet's height (`true`), its width (`false`), or nobody says.
    pub grain: Option<bool>,
    pub copies: u32,
    pub plan: Plan,
    /// Pieces that fit only with their folds across the grain.
    pub across_grain: Vec<PieceId>,
    /// For all copies, when the paper has a price.
    pub cost: Option<f64>,
}

/// Plans every paper of a design that is rounded to the ruler it is cut by. `step` is that ruler's, mm.
pub fn plans(assembly: &Assembly, step: f64, copies: u32) -> Vec<PaperPlan> {
    let copies = copies.clamp(1, MOST_COPIES);
    let mut all: Vec<PaperPlan> = Vec::new();
    for (id, piece) in assembly.pieces.iter().enumerate() {
        match all.iter_mut().find(|p| p.paper == piece.paper) {
            Some(plan) => plan.pieces.push(id),
            None => {
                let name = assembly.papers.get(piece.paper).map(|p| p.name.clone()).unwrap_or_default();
                all.push(PaperPlan { paper: piece.paper, name, pieces: vec![id], outcome: Outcome::NoSheet });
            }
        }
    }
    for paper in &mut all {
        paper.outcome = outcome(assembly, paper, step, copies);
    }
    all
}

fn outcome(assembly: &Assembly, paper: &PaperPlan, step: f64, copies: u32) -> Outcome {
    let Some(stated) = assembly.papers.get(paper.paper) else { return Outcome::NoSheet };
    let Some(sheet) = &stated.sheet else { return Outcome::NoSheet };
    let (w, h) = (nanometres(sheet.width), nanometres(sheet.height));
    let stock = Stock {
        useful_offcut: nanometres(USEFUL_OFFCUT_MM),
        scale_step: nanometres(step),
        ..Stock::new(w, h)
    };
    let grain = stated.grain.map(|g| (g == Grain::Long) == (h >= w));
    let pieces: Vec<&Piece> = paper.pieces.iter().filter_map(|p| assembly.pieces.get(*p)).collect();
    let mut items: Vec<Item> = pieces.iter().map(|p| item(p, step, copies, grain)).collect();
    let effort = Effort {
        sheets: EFFORT.sheets * u64::from(copies).min(MOST_EFFORT),
        polish: EFFORT.polish * u64::from(copies).min(MOST_EFFORT),
    };
    let mut across = Vec::new();
    for _ in 0..2 {
        match plan(&stock, &items, &effort) {
            Ok(plan) => {
                let cost = stated.price.map(|price| price * plan.sheets.len() as f64);
                let (sheet, across_grain) = (sheet.clone(), across);
                return Outcome::Planned(Box::new(Planned {
                    sheet,
                    grain,
                    copies,
                    plan,
                    across_grain,
                    cost,
                }));
            }
            Err(Refusal::Order(faults)) => {
                // What does not fit along the grain may lie across it.
                let turned: Vec<usize> =
                    faults.iter().filter_map(too_large).filter(|i| is_bound(&items, *i)).collect();
                if turned.is_empty() {
                    return Outcome::Refused(faults.into_iter().next().unwrap_or(Fault::Sheet));
                }
                for index in turned {
                    if let Some(item) = items.get_mut(index) {
                        item.turn = Turn::Either;
                    }
                    across.extend(paper.pieces.get(index));
                }
            }
            Err(Refusal::Internal(_)) => return Outcome::Refused(Fault::Sheet),
        }
    }
    Outcome::Refused(Fault::Sheet)
}

fn too_large(fault: &Fault) -> Option<usize> {
    match fault {
        Fault::TooLarge { item } => Some(*item),
        _ => None,
    }
}

fn is_bound(items: &[Item], index: usize) -> bool {
    items.get(index).is_some_and(|i| i.turn != Turn::Either)
}

fn item(piece: &Piece, step: f64, copies: u32, sheet_grain: Option<bool>) -> Item {
    let side = |mm: f64| -> Length {
        // A strip worked out from a calculation, or a box round a curve, is cut no smaller than it is.
        let steps = ((mm - COINCIDENT_MM) / step).ceil();
        nanometres(if steps.is_finite() && step > 0.0 { steps * step } else { mm })
    };
    Item {
        w: side(piece.bounds.width()),
        h: side(piece.bounds.height()),
        qty: copies,
        turn: Turn::for_grain(fold_direction(piece), sheet_grain),
    }
}

/// Whether most of a piece's folds run along its height (`true`) or its width; `None` when it has none that matter:
/// a strap folds easily either way.
fn fold_direction(piece: &Piece) -> Option<bool> {
    if piece.kind != PieceKind::Cut {
        return None;
    }
    let (mut up, mut across) = (0.0, 0.0);
    for crease in &piece.creases {
        let run = crease.to - crease.from;
        let (x, y) = (run.x.abs(), run.y.abs());
        // Slanting folds lie across the grain whichever way the piece is turned.
        if y > 2.0 * x {
            up += y;
        } else if x > 2.0 * y {
            across += x;
        }
    }
    (up != across).then_some(up > across)
}

impl PaperPlan {
    pub fn planned(&self) -> Option<&Planned> {
        match &self.outcome {
            Outcome::Planned(planned) => Some(planned),
            _ => None,
        }
    }

    /// One figure for each sheet.
    pub fn figures(&self, assembly: &Assembly) -> Vec<Figure> {
        let count = self.planned().map_or(0, |p| p.plan.sheets.len());
        (0..count).filter_map(|sheet| figure::sheet(assembly, self, sheet)).collect()
    }

    /// The steps of one sheet, in the words that are printed; each with its number.
    pub fn steps(&self, assembly: &Assembly, sheet: usize) -> Vec<(usize, Phrase)> {
        let Some(planned) = self.planned() else { return Vec::new() };
        let steps = planned.plan.steps.iter().filter(|s| s.sheet == sheet);
        let mut names = text::Names::default();
        steps.map(|s| (s.number, said_step(assembly, self, s, &mut names))).collect()
    }
}

/// Of all papers together for one card, when every one has a price.
pub fn cost_per_card(plans: &[PaperPlan]) -> Option<f64> {
    let costs: Option<Vec<f64>> =
        plans.iter().map(|p| p.planned().and_then(|p| Some(p.cost? / f64::from(p.copies)))).collect();
    costs.filter(|c| !c.is_empty()).map(|c| c.iter().sum())
}

/// `sheet-plan.md`.
pub fn markdown(assembly: &Assembly, plans: &[PaperPlan]) -> String {
    text::markdown(assembly, plans)
}

/// The drawings of a paper's sheets, with their file names without ending.
pub fn sheets(assembly: &Assembly, paper: &PaperPlan) -> Vec<(String, Figure)> {
    let name = |(index, figure)| (sheet_file(paper, index), figure);
    paper.figures(assembly).into_iter().enumerate().map(name).collect()
}

/// The name of a sheet's drawing, without its ending.
pub fn sheet_file(paper: &PaperPlan, sheet: usize) -> String {
    format!("sheets/{}-{}", super::kit::file_word(&paper.name), sheet + 1)
}
