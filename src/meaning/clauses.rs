//! Picking the clauses of a statement; what nobody picked does not belong there.

use super::world::World;
use crate::findings::catalogue::ClauseNotHere;
use crate::syntax::tree::{Clause, ClauseKind};

pub struct Clauses<'t> {
    list: &'t [Clause],
    used: Vec<bool>,
    /// The statement in words: "a glue joint".
    statement: &'static str,
}

impl<'t> Clauses<'t> {
    pub fn new(list: &'t [Clause], statement: &'static str) -> Self {
        Self { list, used: vec![false; list.len()], statement }
    }

    /// Every clause that `pick` wants, in order.
    pub fn all<T>(&mut self, mut pick: impl FnMut(&'t ClauseKind) -> Option<T>) -> Vec<(&'t Clause, T)> {
        let mut found = Vec::new();
        for (clause, used) in self.list.iter().zip(&mut self.used) {
            if !*used && let Some(value) = pick(&clause.kind) {
                *used = true;
                found.push((clause, value));
            }
        }
        found
    }

    /// The first clause that `pick` wants. A second one stays unpicked and is reported.
    pub fn one<T>(&mut self, mut pick: impl FnMut(&'t ClauseKind) -> Option<T>) -> Option<(&'t Clause, T)> {
        for (clause, used) in self.list.iter().zip(&mut self.used) {
            if !*used && let Some(value) = pick(&clause.kind) {
                *used = true;
                return Some((clause, value));
            }
        }
        None
    }

    /// Reports what nobody picked.
    pub fn finish(self, world: &mut World<'t>) {
        for (clause, used) in self.list.iter().zip(&self.used) {
            if !used {
                let what = spoken(&clause.kind);
                world.report(ClauseNotHere { place: clause.span, what, statement: self.statement });
            }
        }
    }
}

/// A clause in words.
fn spoken(kind: &ClauseKind) -> &'static str {
    match kind {
        ClauseKind::Bare(_) => "a value alone",
        ClauseKind::Measure { .. } => "a measure",
        ClauseKind::Reading { .. } => "a reading",
        ClauseKind::Range { .. } => "a reading from one place to another",
        ClauseKind::Beside { .. } => "a distance beside something",
        ClauseKind::EdgeToEdge { .. } => "an edge on an edge",
        ClauseKind::Centred(_) => "`centred`",
        ClauseKind::At(_) => "`at` a side",
        ClauseKind::Turned(_) => "`turned`",
        ClauseKind::UpsideDown => "`upside down`",
        ClauseKind::Along { .. } => "a line to lie along",
        ClauseKind::EndFirst(_) => "`end first`",
        ClauseKind::GlueAlong { .. } => "where the glue goes",
        ClauseKind::Segment { .. } => "a line between two points",
        ClauseKind::Stops { .. } => "a pair of stops",
        ClauseKind::Folded(_) => "`folded`",
        ClauseKind::Circle(_)
        | ClauseKind::Rectangle { .. }
        | ClauseKind::Rounded { .. }
        | ClauseKind::Polygon(_) => "a shape",
        ClauseKind::Tapered(_) | ClauseKind::SquareEnds => "how a tab ends",
        ClauseKind::Fold(_) => "which way a tab folds",
        ClauseKind::Order { .. } => "`behind` or `in front`",
        ClauseKind::Under(_) => "`under`",
        ClauseKind::Around(_) => "`around`",
        ClauseKind::Towards(_) => "`towards`",
        ClauseKind::Sheet(_) => "a sheet",
        ClauseKind::Grain(_) => "a grain",
        ClauseKind::Colour(_) => "a colour",
        ClauseKind::Price(_) => "a price",
    }
}
