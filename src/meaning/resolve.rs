//! Paths to what they name.

use super::design::{Feature, FeatureKind, Quantity, SideWord};
use super::world::{Member, MemberKind, Named, PieceDecl, ScopeId, Value, What, World};
use crate::findings::catalogue::{NoSuchMember, UnknownName};
use crate::quantity::Dimension;
use crate::source::{Span, nearest};
use crate::syntax::tree::{ExprKind, Item, Name, Path};

/// Something a path can name.
#[derive(Debug, Clone)]
pub enum Entity<'t> {
    Value(Value),
    Paper {
        key: String,
        scope: ScopeId,
        item: &'t Item,
    },
    Piece(PieceDecl),
    Member {
        piece: PieceDecl,
        name: String,
        member: Member,
    },
    Edge {
        piece: PieceDecl,
        panel: Option<String>,
        side: SideWord,
    },
    /// Brads and slides, by full name.
    Joint(String),
    Pose(String),
    Motion(String),
    Print(String),
    Instance(ScopeId),
    Other(&'static str),
}

impl Entity<'_> {
    pub fn spoken(&self) -> &'static str {
        match self {
            Entity::Value(Value::Quantity(q)) => q.dimension.spoken(),
            Entity::Value(Value::Text(..)) => "words",
            Entity::Value(_) => "a value",
            Entity::Paper { .. } => "a paper",
            Entity::Piece(_) => "a piece",
            Entity::Member { member, .. } => member.kind.spoken(),
            Entity::Edge { .. } => "an edge",
            Entity::Joint(_) => "a brad or slide",
            Entity::Pose(_) => "a pose",
            Entity::Motion(_) => "a motion",
            Entity::Print(_) => "a print",
            Entity::Instance(_) => "a mechanism in use",
            Entity::Other(what) => what,
        }
    }

    pub fn is_kind(&self, kind: &str) -> bool {
        match self {
            Entity::Paper { .. } => kind == "paper",
            Entity::Piece(_) => kind == "piece" || kind == "panel",
            Entity::Member { member, .. } => kind == "panel" && member.kind.is_panel(),
            _ => false,
        }
    }
}

const PROPERTIES: [&str; 2] = ["width", "height"];
const PAPER_PROPERTIES: [&str; 2] = ["thickness", "weight"];

/// True when the last word of a path asks for a number.
pub fn is_property(path: &Path) -> bool {
    path.segments.len() > 1
        && path.segments.last().is_some_and(|s| {
            let word = s.text.as_str();
            s.index.is_none()
                && (PROPERTIES.contains(&word)
                    || PAPER_PROPERTIES.contains(&word)
                    || side_word(word).is_some())
        })
}

pub fn side_word(word: &str) -> Option<SideWord> {
    Some(match word {
        "left" => SideWord::Left,
        "right" => SideWord::Right,
        "top" => SideWord::Top,
        "bottom" => SideWord::Bottom,
        _ => return None,
    })
}

impl<'t> World<'t> {
    /// A name in this scope or one around it.
    pub fn find(&self, scope: ScopeId, name: &str) -> Option<(ScopeId, Named<'t>)> {
        let mut at = Some(scope);
        while let Some(id) = at {
            let here = self.scopes.get(id)?;
            if let Some(named) = here.names.get(name) {
                return Some((id, *named));
            }
            at = here.parent;
        }
        None
    }

    /// A member of the piece whose statements this scope holds.
    pub fn find_member(&self, scope: ScopeId, name: &str) -> Option<(PieceDecl, Member)> {
        let piece = self.piece_of(scope)?;
        let member = self.pieces.get(piece)?.members.get(name)?;
        Some((piece, *member))
    }

    pub fn piece_of(&self, scope: ScopeId) -> Option<PieceDecl> {
        let mut at = Some(scope);
        while let Some(id) = at {
            let here = self.scopes.get(id)?;
            if here.piece.is_some() {
                return here.piece;
            }
            at = here.parent;
        }
        None
    }

    /// Resolves a path. `near` are pieces whose members may be named directly, nearest first. `None` when it names
    /// nothing (reported) or something that is missing (silence).
    pub fn resolve(&mut self, scope: ScopeId, path: &'t Path, near: &[PieceDecl]) -> Option<Entity<'t>> {
        let (first, rest) = path.segments.split_first()?;
        let key = self.key(scope, first)?;
        let mut entity = self.first(scope, &key, first, near)?;
        for segment in rest {
            let key = self.key(scope, segment)?;
            entity = self.step(entity, &key, segment)?;
        }
        Some(entity)
    }

    fn first(
        &mut self,
        scope: ScopeId,
        key: &str,
        segment: &'t Name,
        near: &[PieceDecl],
    ) -> Option<Entity<'t>> {
        for piece in near.iter().copied().chain(self.piece_of(scope)) {
            if let Some(member) = self.pieces.get(piece).and_then(|p| p.members.get(key)).copied() {
                return Some(Entity::Member { piece, name: key.to_string(), member });
            }
        }
        if let Some((home, named)) = self.find(scope, key) {
            return self.entity(home, key, named);
        }
        if let Some(yes) = match key {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        } {
            return Some(Entity::Value(Value::Yes(yes, segment.span)));
        }
        if self.is_open(scope, near) {
            return None;
        }
        let mut names: Vec<String> = Vec::new();
        for piece in near.iter().copied().chain(self.piece_of(scope)) {
            names.extend(self.pieces.get(piece).into_iter().flat_map(|p| p.members.keys().cloned()));
        }
        self.report_unknown_among(scope, key, segment.span, names, |_| true);
        None
    }

    /// Names of broken statements, and of pieces whose inside is not known whole, are not reported as unknown.
    fn is_open(&self, scope: ScopeId, near: &[PieceDecl]) -> bool {
        near.iter().copied().chain(self.piece_of(scope)).any(|p| self.pieces.get(p).is_some_and(|d| d.open))
    }

    fn entity(&mut self, home: ScopeId, key: &str, named: Named<'t>) -> Option<Entity<'t>> {
        let full = self.full_name(home, key);
        Some(match named.what {
            What::Value { expr, scope } => {
                if let ExprKind::Path(inner) = &expr.kind
                    && !is_property(inner)
                {
                    let entry = super::world::Pending {
                        key: super::world::PendingKey::Value(home, key.to_string()),
                        name: key.to_string(),
                        span: named.span,
                    };
                    let known = (home, key.to_string());
                    match self.values.get(&known) {
                        Some(Value::Missing) => return None,
                        Some(value) => return Some(Entity::Value(value.clone())),
                        None => {}
                    }
                    let entity = self.guarded(entry, |world| world.resolve(scope, inner, &[]));
                    // A chain that leads nowhere is told once, at its first name.
                    match &entity {
                        None => self.values.insert(known, Value::Missing),
                        Some(Entity::Value(value)) => self.values.insert(known, value.clone()),
                        Some(_) => None,
                    };
                    return entity;
                }
                match self.value_of(home, key) {
                    Value::Missing => return None,
                    value => Entity::Value(value),
                }
            }
            What::Index(_) => Entity::Value(self.value_of(home, key)),
            What::Paper(item, scope) => Entity::Paper { key: key.to_string(), scope, item },
            What::Piece(decl) => Entity::Piece(decl),
            What::Joint => Entity::Joint(full),
            What::Pose => Entity::Pose(full),
            What::Motion => Entity::Motion(full),
            What::Print => Entity::Print(full),
            What::Instance(scope) => Entity::Instance(scope),
            What::Broken => return None,
            other @ (What::Variant | What::Mechanism(..)) => Entity::Other(other.spoken()),
        })
    }

    pub fn full_name(&self, scope: ScopeId, key: &str) -> String {
        format!("{}{key}", self.scopes.get(scope).map_or("", |s| s.prefix.as_str()))
    }

    fn step(&mut self, entity: Entity<'t>, key: &str, segment: &'t Name) -> Option<Entity<'t>> {
        let (owner, choices): (String, Vec<String>) = match &entity {
            Entity::Instance(scope) => {
                if let Some(named) = self.scopes.get(*scope).and_then(|s| s.names.get(key)).copied() {
                    return self.entity(*scope, key, named);
                }
                let names = self.scopes.get(*scope).map(|s| s.names.keys().cloned().collect());
                ("this mechanism".into(), names.unwrap_or_default())
            }
            Entity::Piece(piece) => {
                let piece = *piece;
                let declared = self.pieces.get(piece)?;
                if let Some(member) = declared.members.get(key).copied() {
                    return Some(Entity::Member { piece, name: key.to_string(), member });
                }
                if let Some(side) = side_word(key) {
                    return Some(Entity::Edge { piece, panel: None, side });
                }
                if PROPERTIES.contains(&key) {
                    return self.property(piece, None, key, segment.span).map(Entity::Value);
                }
                if declared.open {
                    return None;
                }
                let mut names: Vec<String> = declared.members.keys().cloned().collect();
                names.extend(PROPERTIES.map(String::from));
                (declared.name.clone(), names)
            }
            Entity::Member { piece, name, member } if member.kind.is_panel() => {
                let (piece, panel) = (*piece, name.clone());
                if let Some(side) = side_word(key) {
                    return Some(Entity::Edge { piece, panel: Some(panel), side });
                }
                if PROPERTIES.contains(&key) {
                    return self.property(piece, Some(&panel), key, segment.span).map(Entity::Value);
                }
                // An opening is named on its panel too: `page.front.hub`.
                let declared = self.pieces.get(piece)?;
                if let Some(inner) = declared.members.get(key).copied()
                    && inner.kind != MemberKind::Panel
                {
                    return Some(Entity::Member { piece, name: key.to_string(), member: inner });
                }
                if declared.open {
                    return None;
                }
                let mut names: Vec<String> = ["left", "right", "top", "bottom"].map(String::from).into();
                names.extend(PROPERTIES.map(String::from));
                (panel, names)
            }
            Entity::Paper { scope, item, key: paper } if PAPER_PROPERTIES.contains(&key) => {
                return self.paper_property(*scope, item, paper, key, segment.span).map(Entity::Value);
            }
            Entity::Edge { piece, panel, side } => {
                let _ = (piece, panel, side);
                ("an edge".into(), Vec::new())
            }
            Entity::Paper { key, .. } => (key.clone(), PAPER_PROPERTIES.map(String::from).into()),
            other => (other.spoken().to_string(), Vec::new()),
        };
        let near = nearest(key, choices.iter().map(String::as_str)).map(String::from);
        self.report(NoSuchMember { place: segment.span, name: key.to_string(), owner, near, known: choices });
        None
    }

    /// Where an entity was declared, for a second label.
    pub fn defined(&self, entity: &Entity<'t>) -> Option<Span> {
        match entity {
            Entity::Piece(piece) => self.pieces.get(*piece).map(|p| p.span),
            Entity::Member { member, .. } => Some(member.span),
            _ => None,
        }
    }

    /// The value of an edge in arithmetic: its reading from the piece's own left or top edge.
    pub fn edge_value(
        &mut self,
        piece: PieceDecl,
        panel: Option<&str>,
        side: SideWord,
        span: Span,
    ) -> Option<Value> {
        let word = match side {
            SideWord::Left => "left",
            SideWord::Right => "right",
            SideWord::Top => "top",
            SideWord::Bottom => "bottom",
        };
        self.property(piece, panel, word, span)
    }

    pub fn report_unknown(
        &mut self,
        scope: ScopeId,
        name: &str,
        place: Span,
        wanted: impl Fn(&What<'t>) -> bool,
    ) {
        self.report_unknown_among(scope, name, place, Vec::new(), wanted);
    }

    fn report_unknown_among(
        &mut self,
        scope: ScopeId,
        name: &str,
        place: Span,
        mut names: Vec<String>,
        wanted: impl Fn(&What<'t>) -> bool,
    ) {
        let plain = name.split('[').next().unwrap_or(name);
        if self.broken.iter().any(|b| b == plain || b == name) {
            return;
        }
        let mut at = Some(scope);
        while let Some(here) = at.and_then(|id| self.scopes.get(id)) {
            names.extend(here.names.iter().filter(|(_, n)| wanted(&n.what)).map(|(k, _)| k.clone()));
            at = here.parent;
        }
        let near = nearest(name, names.iter().map(String::as_str)).map(String::from);
        self.report(UnknownName { place, name: name.to_string(), near, what: "name" });
    }

    /// The typed feature of an entity, when it is one.
    pub fn feature(&mut self, entity: &Entity<'t>, span: Span) -> Option<Feature> {
        let (decl, what) = match entity {
            Entity::Piece(piece) => (*piece, FeatureKind::Whole),
            Entity::Edge { piece, panel, side } => (*piece, FeatureKind::Edge(panel.clone(), *side)),
            Entity::Member { piece, name, member } => {
                let name = name.clone();
                let kind = match member.kind {
                    MemberKind::Panel | MemberKind::Tab => FeatureKind::Panel(name),
                    MemberKind::Crease => FeatureKind::Crease(name),
                    MemberKind::Cutout => FeatureKind::Cutout(name),
                    MemberKind::Mark => FeatureKind::Mark(name),
                };
                (*piece, kind)
            }
            _ => return None,
        };
        let piece = self.piece_reference(decl)?;
        Some(Feature { piece, what, span })
    }

    /// A quantity that comes from other values.
    pub fn derived(exact: crate::quantity::Exact, span: Span) -> Value {
        Value::Quantity(Quantity { exact, dimension: Dimension::Length, span, literal: None })
    }
}
