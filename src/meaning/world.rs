//! What is known while a design is being understood: scopes, declarations, caches, and the design so far.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::design::{Blank, Design, PieceIndex, Quantity};
use super::frames::Frame;
use crate::findings::{Fault, Findings};
use crate::quantity::{Dimension, Exact};
use crate::source::{Library, Span, Spanned};
use crate::syntax::tree::{Clause, Expr, Item, ItemKind, Name};

pub type ScopeId = usize;
/// Index into [`World::pieces`], the pieces as declared (complete or not).
pub type PieceDecl = usize;

/// The design's outermost names.
pub const ROOT: ScopeId = 0;

pub struct World<'t> {
    pub library: &'t dyn Library,
    pub folder: PathBuf,
    pub sink: &'t mut Findings,
    pub scopes: Vec<Scope<'t>>,
    pub pieces: Vec<DeclaredPiece<'t>>,
    /// Statements that are neither values nor pieces, in order, with the scope they stand in.
    pub statements: Vec<(ScopeId, &'t Item)>,
    pub values: BTreeMap<(ScopeId, String), Value>,
    pub frames: BTreeMap<PieceDecl, Option<Frame>>,
    /// What is being worked out right now, outermost first: a second visit is a ring.
    pub pending: Vec<Pending>,
    pub built: BTreeMap<PieceDecl, Option<PieceIndex>>,
    pub blanks: BTreeMap<Span, Blank>,
    /// Values to be read in place of blanks.
    pub filled: BTreeMap<Span, (Exact, Dimension)>,
    /// The hint of the statement being understood.
    pub hint: Option<String>,
    pub broken: Vec<String>,
    /// Where a size or a shape stands that could not be read.
    pub broken_shapes: Vec<Span>,
    pub design: Design,
    /// Statement index → joint index of brads and slides, by name.
    pub joint_names: BTreeMap<String, usize>,
    /// Scopes of mechanisms in use: the mechanism's span and the scope it is used in.
    pub instances: BTreeMap<ScopeId, (Span, ScopeId)>,
    /// Arguments whose kind a mechanism declares.
    pub expected_kinds: Vec<(ScopeId, &'t Expr, Spanned<String>)>,
    /// Repeats inside pieces that are not yet written out.
    pub later_inside: Vec<LaterInside<'t>>,
}

/// A repeat inside a piece: piece, scope, index, bounds, statements.
pub type LaterInside<'t> = (PieceDecl, ScopeId, &'t Name, &'t Expr, &'t Expr, &'t [Item]);

pub struct Scope<'t> {
    pub parent: Option<ScopeId>,
    /// Put before the full names of what is declared here: `shelf.`
    pub prefix: String,
    pub names: BTreeMap<String, Named<'t>>,
    /// The piece whose statements stand in this scope.
    pub piece: Option<PieceDecl>,
    /// Names declared in a repeat belong to the scope around it.
    pub transparent: bool,
}

/// What a name of a scope stands for.
#[derive(Clone, Copy)]
pub struct Named<'t> {
    pub what: What<'t>,
    pub span: Span,
}

#[derive(Clone, Copy)]
pub enum What<'t> {
    /// A `let`, an `adjust`, or an argument: an expression and the scope it is read in.
    Value {
        expr: &'t Expr,
        scope: ScopeId,
    },
    Index(i64),
    Paper(&'t Item, ScopeId),
    Piece(PieceDecl),
    /// Brads and slides by name.
    Joint,
    Pose,
    Motion,
    Print,
    Variant,
    Mechanism(&'t Item, ScopeId),
    Instance(ScopeId),
    /// A statement that could not be read whole: its uses say nothing.
    Broken,
}

impl What<'_> {
    pub fn spoken(&self) -> &'static str {
        match self {
            What::Value { .. } | What::Index(_) => "a value",
            What::Paper(..) => "a paper",
            What::Piece(_) => "a piece",
            What::Joint => "a brad or slide",
            What::Pose => "a pose",
            What::Motion => "a motion",
            What::Print => "a print",
            What::Variant => "a variant",
            What::Mechanism(..) => "a mechanism",
            What::Instance(_) => "a mechanism in use",
            What::Broken => "a name",
        }
    }
}

pub struct DeclaredPiece<'t> {
    pub name: String,
    pub span: Span,
    pub scope: ScopeId,
    pub item: &'t Item,
    /// The statements inside, repeats written out.
    pub inside: Vec<(ScopeId, &'t Item)>,
    pub members: BTreeMap<String, Member>,
    /// Some name inside could not be worked out (an index that waits for a blank, say).
    pub open: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Member {
    pub kind: MemberKind,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MemberKind {
    Panel,
    /// A tab is a panel and its fold a crease of the same name.
    Tab,
    Crease,
    Cutout,
    Mark,
}

impl MemberKind {
    pub fn is_panel(self) -> bool {
        matches!(self, Self::Panel | Self::Tab)
    }

    pub fn is_crease(self) -> bool {
        matches!(self, Self::Crease | Self::Tab)
    }

    pub fn spoken(self) -> &'static str {
        match self {
            Self::Panel => "a panel",
            Self::Tab => "a tab",
            Self::Crease => "a score",
            Self::Cutout => "an opening",
            Self::Mark => "a mark",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pending {
    pub key: PendingKey,
    pub name: String,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PendingKey {
    Value(ScopeId, String),
    Frame(PieceDecl),
    Build(PieceDecl),
}

/// The value of an expression.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Quantity(Quantity),
    Text(String, Span),
    Yes(bool, Span),
    /// Waits for a blank, or had a finding: say no more about it.
    Missing,
}

impl<'t> World<'t> {
    pub fn new(library: &'t dyn Library, folder: PathBuf, sink: &'t mut Findings) -> Self {
        let units = sink.say.units;
        Self {
            library,
            folder,
            sink,
            scopes: vec![Scope {
                parent: None,
                prefix: String::new(),
                names: BTreeMap::new(),
                piece: None,
                transparent: false,
            }],
            pieces: Vec::new(),
            statements: Vec::new(),
            values: BTreeMap::new(),
            frames: BTreeMap::new(),
            pending: Vec::new(),
            built: BTreeMap::new(),
            blanks: BTreeMap::new(),
            filled: BTreeMap::new(),
            hint: None,
            broken: Vec::new(),
            broken_shapes: Vec::new(),
            design: Design { units, ..Design::default() },
            joint_names: BTreeMap::new(),
            instances: BTreeMap::new(),
            expected_kinds: Vec::new(),
            later_inside: Vec::new(),
        }
    }

    pub fn report(&mut self, fault: impl Fault) {
        self.sink.report(fault);
    }

    /// Notes a blank; the first kind that is expected of it stands.
    /// What is read where a blank stands: nothing yet, unless it is filled for a trial.
    pub fn blank(&mut self, span: Span, expected: Option<Dimension>) -> Value {
        match self.filled.get(&span) {
            Some(&(exact, dimension)) => {
                Value::Quantity(Quantity { exact, dimension, span, literal: Some(span) })
            }
            None => {
                self.note_blank(span, expected);
                Value::Missing
            }
        }
    }

    pub fn note_blank(&mut self, span: Span, expected: Option<Dimension>) {
        if self.filled.contains_key(&span) {
            return;
        }
        let hint = self.hint.clone();
        let blank = self.blanks.entry(span).or_insert(Blank { span, expected, hint });
        blank.expected = blank.expected.or(expected);
    }

    /// Runs `work` unless it is already being done further out: then the ring of names is reported and `None` given.
    pub fn guarded<T>(&mut self, entry: Pending, work: impl FnOnce(&mut Self) -> Option<T>) -> Option<T> {
        if let Some(start) = self.pending.iter().position(|p| p.key == entry.key) {
            let ring: Vec<(String, Span)> =
                self.pending.iter().skip(start).map(|p| (p.name.clone(), p.span)).collect();
            self.report(crate::findings::catalogue::RingOfNames { ring });
            return None;
        }
        if self.pending.len() >= 200 {
            self.report(crate::findings::catalogue::TooDeep { place: entry.span });
            return None;
        }
        self.pending.push(entry);
        let result = work(self);
        self.pending.pop();
        result
    }

    /// Leaves out a part: later mentions of it are passed over in silence.
    pub fn missing(&mut self, name: &str) {
        if !self.design.missing.iter().any(|m| m == name) {
            self.design.missing.push(name.to_string());
        }
    }

    pub fn understand_all(&mut self) {
        super::collect::write_out_inside(self);
        self.understand_values();
        for (scope, item) in self.statements.clone() {
            self.hint = item.hint.as_ref().map(|h| h.value.clone());
            match &item.kind {
                ItemKind::Card(title) => self.title(title),
                ItemKind::Envelope(size) => self.envelope(scope, size),
                ItemKind::Post(words) => self.post(words),
                ItemKind::Grid(expr) => self.grid(scope, expr),
                _ => {}
            }
        }
        for scope in 0..self.scopes.len() {
            let names: Vec<String> =
                self.scopes.get(scope).map(|s| s.names.keys().cloned().collect()).unwrap_or_default();
            for name in names {
                if let Some(Named { what: What::Paper(..), .. }) = self.scopes[scope].names.get(&name) {
                    self.paper_index(scope, &name);
                }
            }
        }
        for piece in 0..self.pieces.len() {
            self.piece_index(piece);
        }
        for (scope, item) in self.statements.clone() {
            if let ItemKind::View(face) = &item.kind {
                self.design.view = self.face(scope, face);
            }
        }
        let rounds: [fn(&mut Self, ScopeId, &'t Item); 4] =
            [Self::joint_statement, Self::print_statement, Self::pose_statement, Self::claim_statement];
        for round in rounds {
            for (scope, item) in self.statements.clone() {
                self.hint = item.hint.as_ref().map(|h| h.value.clone());
                round(self, scope, item);
            }
        }
    }

    pub fn finish(mut self) -> Design {
        for blank in self.blanks.values() {
            self.sink.report(crate::findings::catalogue::BlankToFill {
                place: blank.span,
                expected: blank.expected,
                hint: blank.hint.clone(),
            });
        }
        self.design.blanks = self.blanks.into_values().collect();
        self.design
    }

    /// The clauses of a statement, for picking.
    pub fn clauses_of(&self, clauses: &'t [Clause], statement: &'static str) -> super::clauses::Clauses<'t> {
        super::clauses::Clauses::new(self, clauses, statement)
    }
}
