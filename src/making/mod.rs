//! The order of making: what is cut, scored, folded, decorated, threaded, stuck, tried and closed, and in which order.
//!
//! ```text
//! assembly -> works (what there is to do) -> rules (what must come before what, and why) -> order -> Making
//! ```
//!
//! An order that cannot be made is a finding. This room reads the assembly alone; it knows no page and no drawing, and
//! every word a maker reads is in [`words`].

mod order;
mod phrase;
mod pinned;
mod reach;
mod rules;
mod thread;
pub mod words;
mod works;

pub use phrase::{Bit, Phrase};
pub use rules::Why;
pub use works::{Work, WorkKind};

use crate::assembly::{Assembly, Face, Fold, JointId, JointKind, PanelId, PieceId};
use crate::findings::Findings;
use crate::geometry::{Region, difference};
use words::Words;

/// The steps of making a card, in an order in which they can be done.
#[derive(Debug, Clone, Default)]
pub struct Making {
    pub steps: Vec<Step>,
}

/// One thing to do.
#[derive(Debug, Clone)]
pub struct Step {
    /// From 1.
    pub number: usize,
    pub work: Work,
    /// Pieces that are worked on or put in place; what they go onto is not among them.
    pub parts: Vec<PieceId>,
    /// What the step joins.
    pub joints: Vec<JointId>,
    pub words: Phrase,
    /// Why it comes before a later step, when that is not plain.
    pub reason: Option<Phrase>,
    /// Where glue or foam goes.
    pub glue: Vec<Spot>,
    /// Where none may go: something runs there.
    pub no_glue: Vec<Spot>,
    /// The face to score on, by piece and kind of fold. The ridge rises on the other face and lies inside the fold.
    pub scores: Vec<ScoreSide>,
    /// Numbers of the steps that must be done before this one.
    pub after: Vec<usize>,
}

/// A region of one face of a panel, in the frame of the panel's piece.
#[derive(Debug, Clone)]
pub struct Spot {
    pub panel: PanelId,
    pub face: Face,
    pub region: Region,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoreSide {
    pub piece: PieceId,
    pub fold: Fold,
    pub score_on: Face,
    /// Where the ridge rises.
    pub ridge_on: Face,
}

impl ScoreSide {
    /// The ridge that a score raises belongs inside the fold: a valley fold closes over the printed side, so it is
    /// scored from behind (print finishers' common rule).
    pub fn of(piece: PieceId, fold: Fold) -> Self {
        let score_on = match fold {
            Fold::Valley => Face::Back,
            Fold::Mountain => Face::Front,
        };
        Self { piece, fold, score_on, ridge_on: score_on.opposite() }
    }
}

impl Step {
    pub fn kind(&self) -> WorkKind {
        self.work.kind()
    }
}

/// Works out the order. When no order satisfies every rule, the steps that contradict one another keep the order in
/// which the design states them; [`check`] reports it.
pub fn making(assembly: &Assembly, words: &dyn Words) -> Making {
    let plan = rules::Plan::of(assembly);
    let sequence = order::order(&plan).unwrap_or_else(|stuck| stuck.forced);
    let sequence = order::with_own_steps(assembly, &plan, &sequence);
    let number = |work: usize| sequence.iter().position(|s| *s == order::Slot::Work(work)).map(|n| n + 1);
    let steps = sequence
        .iter()
        .enumerate()
        .map(|(n, slot)| match slot {
            order::Slot::Own(index) => own_step(assembly, *index, n + 1),
            order::Slot::Work(id) => step(assembly, &plan, *id, n + 1, &number, words),
        })
        .collect();
    Making { steps }
}

/// Reports an order that cannot be made.
pub fn check(assembly: &Assembly, sink: &mut Findings) {
    let before = sink.list().len();
    thread::check(assembly, sink);
    if !assembly.missing.is_empty() || sink.list().len() > before {
        return;
    }
    let plan = rules::Plan::of(assembly);
    if let Err(stuck) = order::order(&plan) {
        order::report(assembly, &plan, &stuck.ring, sink);
    }
}

fn own_step(assembly: &Assembly, index: usize, number: usize) -> Step {
    let text = assembly.steps.get(index).map(|s| s.text.clone()).unwrap_or_default();
    Step {
        number,
        work: Work::Own { step: index },
        parts: Vec::new(),
        joints: Vec::new(),
        words: Phrase::text(&text),
        reason: None,
        glue: Vec::new(),
        no_glue: Vec::new(),
        scores: Vec::new(),
        after: Vec::new(),
    }
}

fn step(
    assembly: &Assembly,
    plan: &rules::Plan,
    id: usize,
    number: usize,
    number_of: &dyn Fn(usize) -> Option<usize>,
    words: &dyn Words,
) -> Step {
    let work = plan.works.get(id).cloned().unwrap_or(Work::Finish);
    let joints = work.joints();
    let mut after: Vec<usize> =
        plan.rules.iter().filter(|r| r.then == id).filter_map(|r| number_of(r.first)).collect();
    after.sort_unstable();
    after.dedup();
    let scores = match &work {
        Work::Score { pieces } => pieces.iter().flat_map(|p| score_sides(assembly, *p)).collect(),
        _ => Vec::new(),
    };
    let no_glue: Vec<Spot> = joints.iter().flat_map(|j| reach::keep_clear(assembly, *j)).collect();
    let mut glue: Vec<Spot> = joints.iter().flat_map(|j| glue_spots(assembly, *j)).collect();
    for spot in &mut glue {
        let clear = no_glue.iter().filter(|n| n.panel == spot.panel && n.face == spot.face);
        let clear: Region = clear.flat_map(|n| n.region.clone()).collect();
        spot.region = difference(&spot.region, &clear);
    }
    Step {
        number,
        parts: work.parts(assembly),
        words: words.step(assembly, &work),
        reason: reason(assembly, plan, id, number_of, words),
        glue,
        no_glue,
        scores,
        after,
        joints,
        work,
    }
}

/// The first later step that needs this one for a reason worth telling.
fn reason(
    assembly: &Assembly,
    plan: &rules::Plan,
    id: usize,
    number_of: &dyn Fn(usize) -> Option<usize>,
    words: &dyn Words,
) -> Option<Phrase> {
    plan.rules
        .iter()
        .filter(|r| r.first == id)
        .filter_map(|r| {
            let then = number_of(r.then)?;
            Some((r.why.weight(), then, words.reason(assembly, &r.why, then)?))
        })
        .min_by_key(|(weight, then, _)| (*weight, *then))
        .map(|(_, _, phrase)| phrase)
}

fn score_sides(assembly: &Assembly, piece: PieceId) -> Vec<ScoreSide> {
    let Some(creases) = assembly.pieces.get(piece).map(|p| &p.creases) else { return Vec::new() };
    [Fold::Valley, Fold::Mountain]
        .into_iter()
        .filter(|fold| creases.iter().any(|c| c.fold == *fold))
        .map(|fold| ScoreSide::of(piece, fold))
        .collect()
}

/// Where a joint's glue goes: on the part, which is where a hand lays it; of a closing joint too.
fn glue_spots(assembly: &Assembly, joint: JointId) -> Vec<Spot> {
    let Some(joint) = assembly.joints.get(joint) else { return Vec::new() };
    match &joint.kind {
        JointKind::Fixed { placement, faces, area, .. } => {
            let back = placement.isometry().inverse();
            let region = area.iter().map(|p| p.transformed(&back)).collect();
            vec![Spot { panel: joint.b, face: faces.0, region }]
        }
        _ => Vec::new(),
    }
}
