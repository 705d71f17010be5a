//! Placement clauses: which feature each reading speaks of.

use super::clauses::Clauses;
use super::design::{
    AxisWord, DirectionWord, EdgeReading, Feature, FeatureKind, Line, Place, PlaceKind, Point, RangeReading,
};
use super::resolve::{Entity, side_word};
use super::world::{PieceDecl, ScopeId, World};
use crate::findings::catalogue::{NotASide, WrongKind};
use crate::source::{Span, Spanned};
use crate::syntax::tree::{self, Axis, ClauseKind, Direction, Path};

/// A piece, or one panel of it, that a bare side word speaks of.
#[derive(Debug, Clone)]
pub struct On {
    pub decl: PieceDecl,
    pub panel: Option<String>,
}

impl<'t> World<'t> {
    /// All placement clauses. `part` is what is placed (absent for openings, marks and prints), `target` what it is
    /// placed on. `None` when one of them is missing.
    pub fn places(
        &mut self,
        scope: ScopeId,
        clauses: &mut Clauses<'t>,
        part: Option<&On>,
        target: &On,
    ) -> Option<Vec<Place>> {
        let first = clauses.one(|k| match k {
            ClauseKind::EndFirst(path) => Some(path),
            _ => None,
        });
        let picked = clauses.all(|k| {
            use ClauseKind::*;
            matches!(
                k,
                Centred(_)
                    | At(_)
                    | Reading { .. }
                    | Range { .. }
                    | Beside { .. }
                    | EdgeToEdge { .. }
                    | Along { .. }
                    | Turned(_)
                    | UpsideDown
            )
            .then_some(k)
        });
        let mut places = Vec::new();
        let mut whole = true;
        for (clause, kind) in picked {
            match self.place(scope, kind, part, target, first.map(|(_, path)| path)) {
                Some(kind) => places.push(Place { kind, span: clause.span }),
                None => whole = false,
            }
        }
        whole.then_some(places)
    }

    fn place(
        &mut self,
        scope: ScopeId,
        kind: &'t ClauseKind,
        part: Option<&On>,
        target: &On,
        first: Option<&'t Path>,
    ) -> Option<PlaceKind> {
        Some(match kind {
            ClauseKind::Centred(axis) => PlaceKind::Centred(axis.as_ref().map(|a| match a.value {
                Axis::Across => AxisWord::Across,
                Axis::Down => AxisWord::Down,
            })),
            ClauseKind::At(side) => PlaceKind::At(self.side(side)?),
            ClauseKind::Reading { centre, value, from } => {
                let value = self.length(scope, value);
                let from = self.edge(scope, from, target)?;
                PlaceKind::Reading { centre: *centre, at: EdgeReading { value: value?, from } }
            }
            ClauseKind::Range { from, to, edge } => {
                PlaceKind::Range(self.range(scope, from, to, edge, target)?)
            }
            ClauseKind::Beside { subject, value, direction, of } => {
                let value = self.length(scope, value);
                let subject = match subject {
                    None => None,
                    Some(path) => Some(self.own_feature(scope, path, part.unwrap_or(target), target)?),
                };
                let of = self.place_feature(scope, of, target, part)?;
                PlaceKind::Beside { subject, value: value?, direction: direction_word(direction.value), of }
            }
            ClauseKind::EdgeToEdge { own, other } => {
                let own = self.own_feature(scope, own, part.unwrap_or(target), target)?;
                let other = self.edge(scope, other, target)?;
                // Said the other way round it means the same.
                let swapped = part
                    .is_some_and(|p| self.built_as(other.piece, p.decl) && !self.built_as(own.piece, p.decl));
                let (own, other) = if swapped { (other, own) } else { (own, other) };
                PlaceKind::EdgeToEdge { own, other }
            }
            ClauseKind::Along { own, start, through } => {
                let start = self.point(scope, start);
                let through = self.point(scope, through);
                let own = self.own_feature(scope, own, part.unwrap_or(target), target)?;
                let first = match first {
                    None => None,
                    Some(path) => Some(self.own_feature(scope, path, part.unwrap_or(target), target)?),
                };
                PlaceKind::Along { own, start: start?, through: through?, first }
            }
            ClauseKind::Turned(angle) => PlaceKind::Turned(self.angle(scope, angle)?),
            ClauseKind::UpsideDown => PlaceKind::UpsideDown,
            _ => return None,
        })
    }

    fn built_as(&self, piece: super::design::PieceIndex, decl: PieceDecl) -> bool {
        self.built.get(&decl).copied().flatten() == Some(piece)
    }

    pub fn range(
        &mut self,
        scope: ScopeId,
        from: &'t tree::Expr,
        to: &'t tree::Expr,
        edge: &'t Path,
        target: &On,
    ) -> Option<RangeReading> {
        let (start, end) = (self.length(scope, from), self.length(scope, to));
        let from = self.edge(scope, edge, target)?;
        Some(RangeReading { start: start?, end: end?, from })
    }

    pub fn point(&mut self, scope: ScopeId, point: &'t tree::Point) -> Option<Point> {
        let (x, y) = (self.length(scope, &point.x), self.length(scope, &point.y));
        Some(Point { x: x?, y: y?, span: point.span })
    }

    pub fn points(&mut self, scope: ScopeId, points: &'t [tree::Point]) -> Option<Vec<Point>> {
        // All are evaluated before any is missed, so that every fault is found.
        let points: Vec<Option<Point>> = points.iter().map(|p| self.point(scope, p)).collect();
        points.into_iter().collect()
    }

    pub fn side(&mut self, word: &Spanned<String>) -> Option<super::design::SideWord> {
        let side = side_word(&word.value);
        if side.is_none() {
            self.report(NotASide { place: word.span, word: word.value.clone() });
        }
        side
    }

    /// What a reading is taken from: a bare side word is a side of `on`.
    pub fn edge(&mut self, scope: ScopeId, path: &'t Path, on: &On) -> Option<Feature> {
        let feature = self.place_feature(scope, path, on, None)?;
        match feature.what {
            FeatureKind::Whole | FeatureKind::Panel(_) | FeatureKind::OwnCrease => {
                self.report(WrongKind::of(
                    path.span,
                    "an edge such as left or shell.top, or a score",
                    "a part",
                    None,
                ));
                None
            }
            _ => Some(feature),
        }
    }

    fn own_feature(&mut self, scope: ScopeId, path: &'t Path, part: &On, target: &On) -> Option<Feature> {
        if let [single] = path.segments.as_slice()
            && single.text == "crease"
            && single.index.is_none()
        {
            let piece = self.piece_reference(part.decl)?;
            return Some(Feature { piece, what: FeatureKind::OwnCrease, span: path.span });
        }
        self.place_feature(scope, path, part, Some(target))
    }

    /// A feature named on `on` first, then on `other`, then anywhere.
    fn place_feature(
        &mut self,
        scope: ScopeId,
        path: &'t Path,
        on: &On,
        other: Option<&On>,
    ) -> Option<Feature> {
        if let [single] = path.segments.as_slice()
            && single.index.is_none()
            && let Some(side) = side_word(&single.text)
        {
            let piece = self.piece_reference(on.decl)?;
            return Some(Feature { piece, what: FeatureKind::Edge(on.panel.clone(), side), span: path.span });
        }
        let mut near = vec![on.decl];
        near.extend(other.map(|o| o.decl));
        let entity = self.resolve(scope, path, &near)?;
        self.feature_or_report(entity, path.span)
    }

    pub fn feature_or_report(&mut self, entity: Entity<'t>, span: Span) -> Option<Feature> {
        if matches!(entity, Entity::Piece(_) | Entity::Member { .. } | Entity::Edge { .. }) {
            return self.feature(&entity, span);
        }
        let found = entity.spoken();
        self.report(WrongKind::of(span, "an edge, a score or an opening", found, None));
        None
    }

    /// A straight line from a reading (with a range for its ends) or two points; `None` when neither is given.
    pub fn line(&mut self, scope: ScopeId, clauses: &mut Clauses<'t>, on: &On) -> Result<Option<Line>, ()> {
        let segment = clauses.one(|k| match k {
            ClauseKind::Segment { from, to } => Some((from, to)),
            _ => None,
        });
        if let Some((_, (from, to))) = segment {
            let (from, to) = (self.point(scope, from), self.point(scope, to));
            return match (from, to) {
                (Some(from), Some(to)) => Ok(Some(Line::Segment { from, to })),
                _ => Err(()),
            };
        }
        let range = clauses.one(|k| match k {
            ClauseKind::Range { from, to, edge } => Some((from, to, edge)),
            _ => None,
        });
        let Some((_, (from, to, edge))) = range else { return Ok(None) };
        let extent = self.range(scope, from, to, edge, on);
        let reading = clauses.one(|k| match k {
            ClauseKind::Reading { value, from, centre: _ } => Some((value, from)),
            _ => None,
        });
        let Some((_, (value, from))) = reading else { return Ok(None) };
        let value = self.length(scope, value);
        let from = self.edge(scope, from, on);
        match (extent, value, from) {
            (Some(extent), Some(value), Some(from)) => Ok(Some(Line::Reading {
                at: EdgeReading { value, from },
                toward: None,
                extent: Some(extent),
            })),
            _ => Err(()),
        }
    }
}

pub fn direction_word(direction: Direction) -> DirectionWord {
    match direction {
        Direction::LeftOf => DirectionWord::LeftOf,
        Direction::RightOf => DirectionWord::RightOf,
        Direction::Above => DirectionWord::Above,
        Direction::Below => DirectionWord::Below,
    }
}
