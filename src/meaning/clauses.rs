//! Picking the clauses of a statement; what nobody picked does not belong there.

use super::world::World;
use crate::findings::catalogue::{ClauseNotHere, MisspeltWord};
use crate::source::nearest;
use crate::syntax::tree::{Clause, ClauseKind, CreaseWord, Expr, ExprKind, Name};

pub struct Clauses<'t> {
    list: &'t [Clause],
    used: Vec<bool>,
    /// By clause, the clause that a misspelt word was probably meant to be.
    meant: Vec<Option<&'static Alone>>,
    /// The statement in words: "a glue joint".
    statement: &'static str,
}

/// A word that is a clause by itself.
struct Alone {
    word: &'static str,
    kind: ClauseKind,
}

static ALONE: [Alone; 3] = [
    Alone { word: "centred", kind: ClauseKind::Centred(None) },
    Alone { word: "mountain", kind: ClauseKind::Fold(CreaseWord::Mountain) },
    Alone { word: "valley", kind: ClauseKind::Fold(CreaseWord::Valley) },
];

impl<'t> Clauses<'t> {
    pub fn new(world: &World<'_>, list: &'t [Clause], statement: &'static str) -> Self {
        let meant = list.iter().map(|c| misspelt(world, &c.kind)).collect();
        Self { list, used: vec![false; list.len()], meant, statement }
    }

    /// Every clause that `pick` wants, in order.
    pub fn all<T>(&mut self, mut pick: impl FnMut(&'t ClauseKind) -> Option<T>) -> Vec<(&'t Clause, T)> {
        let mut found = Vec::new();
        for ((clause, used), meant) in self.list.iter().zip(&mut self.used).zip(&self.meant) {
            let kind = meant.map_or(&clause.kind, |alone| &alone.kind);
            if !*used && let Some(value) = pick(kind) {
                *used = true;
                found.push((clause, value));
            }
        }
        found
    }

    /// The first clause that `pick` wants. A second one stays unpicked and is reported.
    pub fn one<T>(&mut self, mut pick: impl FnMut(&'t ClauseKind) -> Option<T>) -> Option<(&'t Clause, T)> {
        for ((clause, used), meant) in self.list.iter().zip(&mut self.used).zip(&self.meant) {
            let kind = meant.map_or(&clause.kind, |alone| &alone.kind);
            if !*used && let Some(value) = pick(kind) {
                *used = true;
                return Some((clause, value));
            }
        }
        None
    }

    /// Reports what was misspelt, and what nobody picked.
    pub fn finish(self, world: &mut World<'t>) {
        for ((clause, used), meant) in self.list.iter().zip(&self.used).zip(&self.meant) {
            if let Some(Alone { word: near, .. }) = meant {
                let word = bare_word(&clause.kind).unwrap_or_default().to_string();
                world.report(MisspeltWord { place: clause.span, word, near: (*near).to_string() });
            } else if !used {
                let what = spoken(&clause.kind);
                world.report(ClauseNotHere { place: clause.span, what, statement: self.statement });
            }
        }
    }
}

/// A clause of a single word.
fn bare_word(kind: &ClauseKind) -> Option<&str> {
    let ClauseKind::Bare(Expr { kind: ExprKind::Path(path), .. }) = kind else { return None };
    let [Name { text, index: None, .. }] = path.segments.as_slice() else { return None };
    Some(text)
}

/// What a word alone was probably meant to be, when nothing bears its name.
fn misspelt(world: &World<'_>, kind: &ClauseKind) -> Option<&'static Alone> {
    let word = bare_word(kind)?;
    let named =
        world.scopes.iter().any(|s| s.names.contains_key(word)) || world.broken.iter().any(|b| b == word);
    let near = nearest(word, ALONE.iter().map(|a| a.word)).filter(|_| !named)?;
    ALONE.iter().find(|a| a.word == near)
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
