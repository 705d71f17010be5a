//! The names a text declares, with their places.

use crate::source::Span;
use crate::syntax::tree::{CutoutWord, Item, ItemKind, Name, Tree};

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SymbolKind {
    Paper,
    /// `let` and `adjust`.
    Value,
    Variant,
    Piece,
    Strap,
    Mat,
    Pin,
    Pose,
    Motion,
    Mechanism,
    /// A mechanism in use.
    Instance,
    Score,
    Panel,
    /// Slot, slit or window.
    Cutout,
    Hole,
    Tab,
    Mark,
    Print,
}

/// One declared name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    pub name: String,
    pub kind: SymbolKind,
    pub name_span: Span,
    /// The whole statement.
    pub whole: Span,
    /// Name of the piece or mechanism it is declared in.
    pub inside: Option<String>,
}

/// Every name of a tree in file order.
pub fn of(tree: &Tree) -> Vec<Symbol> {
    let mut out = Vec::new();
    gather(&tree.items, None, &mut out);
    out
}

fn gather(items: &[Item], inside: Option<&str>, out: &mut Vec<Symbol>) {
    for item in items {
        for (name, kind) in declared(&item.kind) {
            out.push(Symbol {
                name: name.text.clone(),
                kind,
                name_span: name.span,
                whole: item.span,
                inside: inside.map(String::from),
            });
        }
        match &item.kind {
            ItemKind::Piece { name, items, .. } | ItemKind::Mechanism { name, items, .. } => {
                gather(items, Some(&name.text), out);
            }
            ItemKind::Repeat { items, .. } => gather(items, inside, out),
            // What a variant holds gives other values to names declared elsewhere.
            _ => {}
        }
    }
}

fn declared(kind: &ItemKind) -> Vec<(&Name, SymbolKind)> {
    let (name, kind) = match kind {
        ItemKind::Paper { name, .. } => (name, SymbolKind::Paper),
        ItemKind::Let { name, .. } | ItemKind::Adjust { name, .. } => (name, SymbolKind::Value),
        ItemKind::Variant { name, .. } => (name, SymbolKind::Variant),
        ItemKind::Piece { name, .. } => (name, SymbolKind::Piece),
        ItemKind::Strap { name, .. } => (name, SymbolKind::Strap),
        ItemKind::Mat { name, .. } => (name, SymbolKind::Mat),
        ItemKind::Brad { name, .. } => (name, SymbolKind::Pin),
        ItemKind::Pose { name, .. } => (name, SymbolKind::Pose),
        ItemKind::Motion { name, .. } => (name, SymbolKind::Motion),
        ItemKind::Mechanism { name, .. } => (name, SymbolKind::Mechanism),
        ItemKind::Use { name, .. } => (name, SymbolKind::Instance),
        ItemKind::Repeat { index, .. } => (index, SymbolKind::Value),
        ItemKind::PanelAt { name, .. } => (name, SymbolKind::Panel),
        ItemKind::Cutout { kind: CutoutWord::Hole, name, .. } => (name, SymbolKind::Hole),
        ItemKind::Cutout { name, .. } => (name, SymbolKind::Cutout),
        ItemKind::Tab { name, .. } => (name, SymbolKind::Tab),
        ItemKind::Mark { name, .. } => (name, SymbolKind::Mark),
        ItemKind::Print { name, .. } => (name, SymbolKind::Print),
        ItemKind::Crease { names, .. } => return names.iter().map(|n| (n, SymbolKind::Score)).collect(),
        ItemKind::Panels { names, .. } => return names.iter().map(|n| (n, SymbolKind::Panel)).collect(),
        _ => return Vec::new(),
    };
    vec![(name, kind)]
}
