//! Pieces, straps and mats.

use super::clauses::Clauses;
use super::design::{
    Body, Crease, Cut, Cutout, CutoutForm, CutoutWord, EdgeReading, FaceOf, FaceWord, Feature, Line, Mark,
    Mat, Mirror, PanelPoint, PanelRow, PathSegment, Piece, PieceIndex, Quantity, RangeReading, Shape, Strap,
    Tab,
};
use super::places::{On, direction_word};
use super::resolve::Entity;
use super::world::{MemberKind, Pending, PendingKey, PieceDecl, ScopeId, World};
use crate::findings::catalogue::{
    FileNotRead, IncludeOutside, MeasureMissing, NotPositive, PieceWithoutSize, SaidTwice,
    SlotOfAnotherPiece, WrongKind,
};
use crate::quantity::{Dimension, Exact};
use crate::source::Span;
use crate::syntax::tree::{
    self, Clause, ClauseKind, CreaseWord, Expr, FaceSide, Item, ItemKind, MeasureWord, MirrorLine, Name, Path,
};

impl<'t> World<'t> {
    /// The design's index of a declared piece, understood now if it was not before. `None` when it is missing.
    pub fn piece_index(&mut self, decl: PieceDecl) -> Option<PieceIndex> {
        if let Some(index) = self.built.get(&decl) {
            return *index;
        }
        let (name, span) = self.pieces.get(decl).map(|p| (p.name.clone(), p.span))?;
        let entry = Pending { key: PendingKey::Build(decl), name: name.clone(), span };
        let hint = self.hint.take();
        let piece = self.guarded(entry, |world| world.understand_piece(decl));
        self.hint = hint;
        let index = piece.map(|piece| {
            self.design.pieces.push(piece);
            self.design.pieces.len() - 1
        });
        if index.is_none() {
            self.missing(&name);
        }
        self.built.insert(decl, index);
        index
    }

    /// Index for a reference from within the piece itself: while a piece is being understood it has none yet, and
    /// readings on itself are given the index it will get.
    pub fn piece_reference(&mut self, decl: PieceDecl) -> Option<PieceIndex> {
        if self.pending.last().is_some_and(|p| p.key == PendingKey::Build(decl)) {
            return Some(SELF);
        }
        self.piece_index(decl)
    }

    fn understand_piece(&mut self, decl: PieceDecl) -> Option<Piece> {
        let declared = self.pieces.get(decl)?;
        let (name, span, scope, item) = (declared.name.clone(), declared.span, declared.scope, declared.item);
        let (paper, body) = match &item.kind {
            ItemKind::Piece { paper, .. } => {
                let body = self.cut(decl);
                (self.paper(scope, paper), body.map(|c| Body::Cut(Box::new(c))))
            }
            ItemKind::Strap { paper, around, between, clauses, .. } => {
                let body = self.strap(scope, item, around, between.as_ref(), clauses);
                (self.paper(scope, paper), body.map(Body::Strap))
            }
            ItemKind::Mat { paper, on, clauses, .. } => {
                let body = self.mat(scope, on, clauses);
                (self.paper(scope, paper), body.map(Body::Mat))
            }
            _ => return None,
        };
        let open = self.pieces.get(decl).is_some_and(|p| p.open);
        let piece = Piece { name, span, paper: paper?, body: body? };
        if open { None } else { Some(own_index(piece, self.design.pieces.len())) }
    }

    fn cut(&mut self, decl: PieceDecl) -> Option<Cut> {
        let (inside, span, item) = self.pieces.get(decl).map(|p| (p.inside.clone(), p.span, p.item))?;
        let on = On { decl, panel: None };
        let mut shape: Option<(Shape, Span, Option<Mirror>)> = None;
        let mut sized: Option<Span> = None;
        let mut sound = true;
        let mut cut = Cut {
            shape: Shape::Polygon(Vec::new()),
            shape_span: span,
            mirror: None,
            creases: Vec::new(),
            panel_rows: Vec::new(),
            panel_points: Vec::new(),
            cutouts: Vec::new(),
            tabs: Vec::new(),
            marks: Vec::new(),
        };
        for (scope, item) in inside {
            self.hint = item.hint.as_ref().map(|h| h.value.clone());
            let understood = match &item.kind {
                ItemKind::Size { .. } | ItemKind::Shape { .. } => {
                    if let Some(before) = sized {
                        self.report(SaidTwice { place: item.word, what: "shape of the piece", before });
                    }
                    sized = sized.or(Some(item.word));
                    self.shape_statement(scope, item).map(|s| {
                        shape.get_or_insert(s);
                    })
                }
                ItemKind::Crease { kind, names, clauses } => {
                    self.creases(scope, item, *kind, names, clauses, &on).map(|c| cut.creases.extend(c))
                }
                ItemKind::Panels { names, from } => {
                    self.panel_row(scope, item, names, from).map(|r| cut.panel_rows.push(r))
                }
                ItemKind::PanelAt { name, at } => {
                    let point = self.point(scope, at);
                    let key = self.key(scope, name);
                    point.zip(key).map(|(at, key)| {
                        cut.panel_points.push(PanelPoint { name: key, name_span: name.span, at });
                    })
                }
                ItemKind::Cutout { kind, name, on: panel, clauses } => self
                    .cutout(scope, *kind, name, panel.as_ref(), clauses, decl)
                    .map(|c| cut.cutouts.push(c)),
                ItemKind::Tab { name, depth, off, clauses } => {
                    self.tab(scope, name, depth, off, clauses, &on).map(|t| cut.tabs.push(t))
                }
                ItemKind::Mark { name, on: panel, clauses } => {
                    self.mark(scope, name, panel.as_ref(), clauses, decl).map(|m| cut.marks.push(m))
                }
                _ => Some(()),
            };
            sound &= understood.is_some();
        }
        self.hint = None;
        match shape {
            Some((shape, span, mirror)) => {
                cut.shape = shape;
                cut.shape_span = span;
                cut.mirror = mirror;
            }
            None if sized.is_none() => {
                let inside = |s: &Span| item.span.start <= s.start && s.end <= item.span.end;
                let broken = self.broken_shapes.iter().any(inside);
                if !broken {
                    let name = self.pieces.get(decl).map(|p| p.name.clone()).unwrap_or_default();
                    self.report(PieceWithoutSize { place: span, name, statement: item.span });
                }
                sound = false;
            }
            None => sound = false,
        }
        sound.then_some(cut)
    }

    fn shape_statement(&mut self, scope: ScopeId, item: &'t Item) -> Option<(Shape, Span, Option<Mirror>)> {
        match &item.kind {
            ItemKind::Size { width, height } => {
                let (width, height) = (self.positive(scope, width), self.positive(scope, height));
                Some((Shape::Rectangle { width: width?, height: height? }, item.span, None))
            }
            ItemKind::Shape { shape, mirror } => {
                let shape = self.shape(scope, shape);
                let mirror = match mirror {
                    None => None,
                    Some(line) => Some(self.mirror(scope, line)?),
                };
                Some((shape?, item.span, mirror))
            }
            _ => None,
        }
    }

    fn shape(&mut self, scope: ScopeId, shape: &'t tree::Shape) -> Option<Shape> {
        Some(match shape {
            tree::Shape::Circle(diameter) => Shape::Circle { diameter: self.positive(scope, diameter)? },
            tree::Shape::Rectangle { width, height } => {
                let (width, height) = (self.positive(scope, width), self.positive(scope, height));
                Shape::Rectangle { width: width?, height: height? }
            }
            tree::Shape::Rounded { width, height, corner } => {
                let (width, height) = (self.positive(scope, width), self.positive(scope, height));
                let corner = self.positive(scope, corner);
                Shape::Rounded { width: width?, height: height?, corner: corner? }
            }
            tree::Shape::Polygon(points) => Shape::Polygon(self.points(scope, points)?),
            tree::Shape::Path { start, segments } => {
                let start = self.point(scope, start);
                let mut all = Vec::new();
                let mut whole = true;
                for segment in segments {
                    let understood = match segment {
                        tree::PathSegment::Line(to) => self.point(scope, to).map(PathSegment::Line),
                        tree::PathSegment::Arc { through, to } => {
                            let (through, to) = (self.point(scope, through), self.point(scope, to));
                            through.zip(to).map(|(through, to)| PathSegment::Arc { through, to })
                        }
                        tree::PathSegment::Curve { first, second, to } => {
                            let (first, second) = (self.point(scope, first), self.point(scope, second));
                            let to = self.point(scope, to);
                            first.zip(second).zip(to).map(|((first, second), to)| PathSegment::Curve {
                                first,
                                second,
                                to,
                            })
                        }
                    };
                    match understood {
                        Some(segment) => all.push(segment),
                        None => whole = false,
                    }
                }
                if !whole {
                    return None;
                }
                Shape::Path { start: start?, segments: all }
            }
            tree::Shape::File(file) => {
                let bytes = self.read_file(&file.value, file.span)?;
                Shape::Svg { file: file.value.clone(), bytes, span: file.span }
            }
        })
    }

    /// A picture or outline beside the design; only from its folder or below.
    pub fn read_file(&mut self, file: &str, place: Span) -> Option<Vec<u8>> {
        let path = super::gather::plain(&self.folder.join(file));
        let outside = super::gather::lies_outside(&self.folder, file, &path)
            || self.library.escapes(&self.folder, &path);
        if outside {
            self.report(IncludeOutside { place, file: file.to_string() });
            return None;
        }
        match self.library.bytes(&path) {
            Ok(bytes) => Some(bytes),
            Err(why) => {
                self.report(FileNotRead { place, file: file.to_string(), why: why.to_string() });
                None
            }
        }
    }

    fn mirror(&mut self, scope: ScopeId, line: &'t MirrorLine) -> Option<Mirror> {
        match line {
            MirrorLine::Reading { value, from } => {
                let value = self.length(scope, value);
                let from = self.side(from)?;
                Some(Mirror::Reading { value: value?, from })
            }
            MirrorLine::Points(a, b) => {
                let (a, b) = (self.point(scope, a), self.point(scope, b));
                Some(Mirror::Points(a?, b?))
            }
        }
    }

    /// A length greater than zero.
    pub fn positive(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Quantity> {
        let q = self.length(scope, expr)?;
        if q.exact.is_positive() {
            return Some(q);
        }
        self.report(NotPositive { place: expr.span, value: q.value() });
        None
    }

    /// One score statement may hold several readings, each a score.
    fn creases(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        kind: CreaseWord,
        names: &'t [Name],
        clauses: &'t [Clause],
        on: &On,
    ) -> Option<Vec<Crease>> {
        let mut clauses = Clauses::new(self, clauses, "a score");
        let folded = clauses.one(|k| match k {
            ClauseKind::Folded(angle) => Some(angle.as_ref()),
            _ => None,
        });
        let mut sound = true;
        let rest = match folded {
            None => None,
            Some((clause, None)) => Some(Quantity {
                exact: Exact::whole(180),
                dimension: Dimension::Angle,
                span: clause.span,
                literal: None,
            }),
            Some((_, Some(angle))) => {
                let angle = self.angle(scope, angle);
                sound &= angle.is_some();
                angle
            }
        };
        let bare = clauses.all(|k| match k {
            ClauseKind::Bare(value) => Some(value),
            _ => None,
        });
        let segment = self.line_of_points(scope, &mut clauses);
        let reading = clauses.one(|k| match k {
            ClauseKind::Reading { value, from, centre: false } => Some((value, from)),
            _ => None,
        });
        let beside = clauses.one(|k| match k {
            ClauseKind::Beside { subject: None, value, direction, of } => Some((value, direction, of)),
            _ => None,
        });
        let range = clauses.one(|k| match k {
            ClauseKind::Range { from, to, edge } => Some((from, to, edge)),
            _ => None,
        });
        let extent = match range {
            None => None,
            Some((_, (from, to, edge))) => {
                let extent = self.range(scope, from, to, edge, on);
                sound &= extent.is_some();
                extent
            }
        };
        clauses.finish(self);
        let mut lines: Vec<(Line, Span)> = Vec::new();
        // Read from an edge or a line, or beside it.
        let read = match (reading, beside) {
            (Some((first, _)), Some((second, _))) => {
                let (before, place) = if first.span.start <= second.span.start {
                    (first.span, second.span)
                } else {
                    (second.span, first.span)
                };
                self.report(SaidTwice { place, what: "place of the score", before });
                return None;
            }
            (Some((clause, (value, from))), None) => Some((clause, value, from, None)),
            (None, Some((clause, (value, direction, of)))) => {
                Some((clause, value, of, Some((direction_word(direction.value), direction.span))))
            }
            (None, None) => None,
        };
        match (segment, read) {
            (Some(None), _) => sound = false,
            (Some(Some(line)), _) => lines.push((line, item.span)),
            (None, Some((clause, value, path, toward))) => {
                let from = self.edge(scope, path, on);
                if from.as_ref().is_some_and(|f| f.piece != SELF) {
                    let wanted = "an edge or a score of this piece";
                    self.report(WrongKind::of(path.span, wanted, "a part of another piece", None));
                    return None;
                }
                let values = bare.iter().map(|(c, v)| (c.span, *v)).chain([(clause.span, value)]);
                for (span, value) in values.collect::<Vec<_>>() {
                    match (self.length(scope, value), from.clone()) {
                        (Some(value), Some(from)) => {
                            let at = EdgeReading { value, from };
                            lines.push((Line::Reading { at, toward, extent: extent.clone() }, span));
                        }
                        _ => sound = false,
                    }
                }
            }
            _ => {
                let (what, example) = ("where the score lies", "`40mm from left`");
                self.report(MeasureMissing { place: item.word, statement: "a score", what, example });
                return None;
            }
        }
        let mut keys = Vec::new();
        for name in names {
            keys.push((self.key(scope, name), name.span));
        }
        if keys.len() > 1 && sound && keys.len() != lines.len() {
            let found = format!("{} names for {} readings", keys.len(), lines.len());
            self.report(WrongKind::of(item.word, "one name for each reading", found, None));
            return None;
        }
        let single = keys.len() == 1 && lines.len() > 1;
        let creases = lines.into_iter().enumerate().map(|(i, (line, span))| {
            let named = if single { None } else { keys.get(i) };
            let name = named.and_then(|(k, _)| k.clone());
            let span = named.map_or(span, |(_, s)| s.to(span));
            Crease { name, valley: kind == CreaseWord::Valley, line, rest, span }
        });
        let creases: Vec<Crease> = creases.collect();
        if single && sound {
            let found = format!("1 name for {} readings", creases.len());
            self.report(WrongKind::of(item.word, "one name for each reading", found, None));
            return None;
        }
        sound.then_some(creases)
    }

    /// `Some(None)` when there is a line between points that could not be understood.
    fn line_of_points(&mut self, scope: ScopeId, clauses: &mut Clauses<'t>) -> Option<Option<Line>> {
        let (_, (from, to)) = clauses.one(|k| match k {
            ClauseKind::Segment { from, to } => Some((from, to)),
            _ => None,
        })?;
        let (from, to) = (self.point(scope, from), self.point(scope, to));
        Some(from.zip(to).map(|(from, to)| Line::Segment { from, to }))
    }

    fn panel_row(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        names: &'t [Name],
        from: &'t crate::source::Spanned<String>,
    ) -> Option<PanelRow> {
        let from = self.side(from)?;
        let mut keys = Vec::new();
        for name in names {
            keys.push((self.key(scope, name)?, name.span));
        }
        Some(PanelRow { names: keys, from, span: item.span })
    }

    /// The panel named in `on …` inside a piece.
    fn own_panel(
        &mut self,
        scope: ScopeId,
        path: Option<&'t Path>,
        decl: PieceDecl,
    ) -> Option<Option<String>> {
        let Some(path) = path else { return Some(None) };
        match self.resolve(scope, path, &[decl])? {
            Entity::Piece(other) if other == decl => Some(None),
            Entity::Member { piece, name, member } if piece == decl && member.kind.is_panel() => {
                Some(Some(name))
            }
            Entity::Member { piece, member, .. } if piece != decl => {
                self.report(WrongKind::of(
                    path.span,
                    "a panel of this piece",
                    "a part of another piece",
                    Some(member.span),
                ));
                None
            }
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(path.span, "a panel of this piece", other.spoken(), defined));
                None
            }
        }
    }

    fn cutout(
        &mut self,
        scope: ScopeId,
        kind: CreaseOrCut,
        name: &'t Name,
        panel: Option<&'t Path>,
        clauses: &'t [Clause],
        decl: PieceDecl,
    ) -> Option<Cutout> {
        let key = self.key(scope, name);
        let panel = self.own_panel(scope, panel, decl)?;
        let on = On { decl, panel: panel.clone() };
        let (word, statement) = match kind {
            tree::CutoutWord::Slot => (CutoutWord::Slot, "a slot"),
            tree::CutoutWord::Slit => (CutoutWord::Slit, "a slit"),
            tree::CutoutWord::Window => (CutoutWord::Window, "a window"),
            tree::CutoutWord::Hole => (CutoutWord::Hole, "a hole"),
        };
        let mut clauses = Clauses::new(self, clauses, statement);
        let form = match word {
            CutoutWord::Slot | CutoutWord::Slit => {
                let width = self.measure(scope, &mut clauses, MeasureWord::Wide);
                let length = self.measure(scope, &mut clauses, MeasureWord::Long);
                let line = self.line(scope, &mut clauses, &on).ok();
                let (width, length, line) = (width.ok()?, length.ok()?, line?);
                if word == CutoutWord::Slot && width.is_none() {
                    let (what, example) = ("its width", "`2mm wide`");
                    self.report(MeasureMissing { place: name.span, statement, what, example });
                    return None;
                }
                if line.is_none() && length.is_none() {
                    let (what, example) = ("its two ends", "`35mm from left, 12mm to 78mm from top`");
                    self.report(MeasureMissing { place: name.span, statement, what, example });
                    return None;
                }
                CutoutForm::Line { width, line, length }
            }
            CutoutWord::Hole => {
                let bare = clauses.one(|k| match k {
                    ClauseKind::Bare(value) | ClauseKind::Circle(value) => Some(value),
                    _ => None,
                });
                match bare {
                    Some((_, value)) => CutoutForm::Circle { diameter: self.positive(scope, value)? },
                    None => {
                        let (what, example) = ("its diameter", "`3mm`");
                        self.report(MeasureMissing { place: name.span, statement, what, example });
                        return None;
                    }
                }
            }
            CutoutWord::Window => self.window_form(scope, name, &mut clauses)?,
        };
        let place = self.places(scope, &mut clauses, None, &on);
        clauses.finish(self);
        Some(Cutout { name: key?, span: name.span, kind: word, panel, form, place: place? })
    }

    fn window_form(
        &mut self,
        scope: ScopeId,
        name: &'t Name,
        clauses: &mut Clauses<'t>,
    ) -> Option<CutoutForm> {
        let shape = clauses.one(|k| {
            matches!(
                k,
                ClauseKind::Circle(_)
                    | ClauseKind::Rectangle { .. }
                    | ClauseKind::Rounded { .. }
                    | ClauseKind::Polygon(_)
            )
            .then_some(k)
        });
        Some(match shape {
            Some((_, ClauseKind::Circle(d))) => CutoutForm::Circle { diameter: self.positive(scope, d)? },
            Some((_, ClauseKind::Rectangle { width, height })) => {
                let (width, height) = (self.positive(scope, width), self.positive(scope, height));
                CutoutForm::Rectangle { width: width?, height: height? }
            }
            Some((_, ClauseKind::Rounded { width, height, corner })) => {
                let (width, height) = (self.positive(scope, width), self.positive(scope, height));
                let corner = self.positive(scope, corner);
                CutoutForm::Rounded { width: width?, height: height?, corner: corner? }
            }
            Some((_, ClauseKind::Polygon(points))) => CutoutForm::Polygon(self.points(scope, points)?),
            _ => {
                let (what, example) = ("its shape", "`circle 25mm` or `rectangle 30mm by 20mm`");
                self.report(MeasureMissing { place: name.span, statement: "a window", what, example });
                return None;
            }
        })
    }

    /// `6mm wide` and the like. `Ok(None)` when the clause is absent.
    pub fn measure(
        &mut self,
        scope: ScopeId,
        clauses: &mut Clauses<'t>,
        wanted: MeasureWord,
    ) -> Result<Option<Quantity>, ()> {
        let found = clauses.one(|k| match k {
            ClauseKind::Measure { value, word } if word.value == wanted => Some(value),
            _ => None,
        });
        match found {
            None => Ok(None),
            Some((_, value)) => match self.length(scope, value) {
                Some(q) if q.exact.is_negative() => {
                    self.report(NotPositive { place: value.span, value: q.value() });
                    Err(())
                }
                Some(q) => Ok(Some(q)),
                None => Err(()),
            },
        }
    }

    fn tab(
        &mut self,
        scope: ScopeId,
        name: &'t Name,
        depth: &'t Expr,
        off: &'t Path,
        clauses: &'t [Clause],
        on: &On,
    ) -> Option<Tab> {
        let key = self.key(scope, name);
        let depth = self.positive(scope, depth);
        let off = self.edge(scope, off, on);
        let mut clauses = Clauses::new(self, clauses, "a tab");
        let range = clauses.one(|k| match k {
            ClauseKind::Range { from, to, edge } => Some((from, to, edge)),
            _ => None,
        });
        let mut sound = true;
        let extent: Option<RangeReading> = range.and_then(|(_, (from, to, edge))| {
            let extent = self.range(scope, from, to, edge, on);
            sound &= extent.is_some();
            extent
        });
        let square = clauses.one(|k| matches!(k, ClauseKind::SquareEnds).then_some(())).is_some();
        let tapered = clauses.one(|k| match k {
            ClauseKind::Tapered(angle) => Some(angle.as_ref()),
            _ => None,
        });
        // Tabs taper by 45 degrees unless the design says otherwise: square ends show at the corners of a fold.
        let usual =
            Quantity { exact: Exact::whole(45), dimension: Dimension::Angle, span: name.span, literal: None };
        let taper = match tapered {
            Some((_, Some(angle))) => {
                let angle = self.angle(scope, angle);
                sound &= angle.is_some();
                angle
            }
            Some((_, None)) => Some(usual),
            None => (!square).then_some(usual),
        };
        let fold = clauses.one(|k| match k {
            ClauseKind::Fold(word) => Some(*word),
            _ => None,
        });
        let folded = clauses.one(|k| match k {
            ClauseKind::Folded(angle) => Some(angle.as_ref()),
            _ => None,
        });
        let rest = match folded {
            None => None,
            Some((clause, None)) => Some(Quantity { exact: Exact::whole(180), span: clause.span, ..usual }),
            Some((_, Some(angle))) => {
                let angle = self.angle(scope, angle);
                sound &= angle.is_some();
                angle
            }
        };
        clauses.finish(self);
        let valley = fold.is_none_or(|(_, word)| word == CreaseWord::Valley);
        let tab = Tab { name: key?, span: name.span, depth: depth?, off: off?, extent, taper, valley, rest };
        sound.then_some(tab)
    }

    fn mark(
        &mut self,
        scope: ScopeId,
        name: &'t Name,
        panel: Option<&'t Path>,
        clauses: &'t [Clause],
        decl: PieceDecl,
    ) -> Option<Mark> {
        let key = self.key(scope, name);
        let panel = self.own_panel(scope, panel, decl)?;
        let on = On { decl, panel: panel.clone() };
        let mut clauses = Clauses::new(self, clauses, "a mark");
        let place = self.places(scope, &mut clauses, None, &on);
        clauses.finish(self);
        Some(Mark { name: key?, span: name.span, panel, place: place? })
    }

    fn strap(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        around: &'t Path,
        between: Option<&'t (Path, Path)>,
        clauses: &'t [Clause],
    ) -> Option<Strap> {
        let (decl, panel) = self.part_decl(scope, around)?;
        let index = self.piece_index(decl);
        let mut sound = true;
        let rails = match between {
            None => None,
            Some((a, b)) => {
                let (a, b) = (self.own_cutout(scope, a, decl), self.own_cutout(scope, b, decl));
                sound &= a.is_some() && b.is_some();
                a.zip(b)
            }
        };
        let mut clauses = Clauses::new(self, clauses, "a strap");
        let wide = self.measure(scope, &mut clauses, MeasureWord::Wide);
        let overlap = self.measure(scope, &mut clauses, MeasureWord::Overlap);
        let loose = self.measure(scope, &mut clauses, MeasureWord::Loose);
        clauses.finish(self);
        let (wide, overlap, loose) = (wide.ok()?, overlap.ok()?, loose.ok()?);
        let need = |world: &mut Self, q: Option<Quantity>, what, example| {
            if q.is_none() {
                world.report(MeasureMissing { place: item.word, statement: "a strap", what, example });
            }
            q
        };
        let wide = need(self, wide, "its width", "`6mm wide`");
        let overlap = need(self, overlap, "the overlap where it is stuck to itself", "`12mm overlap`");
        let rails_span = between.map_or(around.span, |(a, b)| a.span.to(b.span));
        let strap = Strap {
            around: index?,
            around_panel: panel,
            around_span: around.span,
            rails,
            rails_span,
            wide: wide?,
            overlap: overlap?,
            loose,
            span: item.span,
        };
        sound.then_some(strap)
    }

    /// An opening of one piece, named directly or through the piece.
    fn own_cutout(&mut self, scope: ScopeId, path: &'t Path, decl: PieceDecl) -> Option<String> {
        match self.resolve(scope, path, &[decl])? {
            Entity::Member { piece, name, member } if member.kind == MemberKind::Cutout => {
                if piece == decl {
                    return Some(name);
                }
                let wanted = self.pieces.get(decl).map(|p| p.name.clone()).unwrap_or_default();
                let owner = self.pieces.get(piece).map(|p| p.name.clone()).unwrap_or_default();
                self.report(SlotOfAnotherPiece {
                    place: path.span,
                    slot: name,
                    owner,
                    wanted,
                    defined: member.span,
                });
                None
            }
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(path.span, "a slot or another opening", other.spoken(), defined));
                None
            }
        }
    }

    fn mat(&mut self, scope: ScopeId, on: &'t tree::Face, clauses: &'t [Clause]) -> Option<Mat> {
        let face = self.face(scope, on);
        let mut clauses = Clauses::new(self, clauses, "a mat");
        let border = self.measure(scope, &mut clauses, MeasureWord::Border);
        clauses.finish(self);
        let border = border.ok()?;
        if border.is_none() {
            let (what, example) = ("the border it leaves", "`3mm border`");
            self.report(MeasureMissing { place: on.span, statement: "a mat", what, example });
        }
        Some(Mat { on: face?, border: border? })
    }

    /// A piece, or a panel of one.
    pub fn part_decl(&mut self, scope: ScopeId, path: &'t Path) -> Option<(PieceDecl, Option<String>)> {
        match self.resolve(scope, path, &[])? {
            Entity::Piece(decl) => Some((decl, None)),
            Entity::Member { piece, name, member } if member.kind.is_panel() => Some((piece, Some(name))),
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(
                    path.span,
                    "a piece or one of its panels",
                    other.spoken(),
                    defined,
                ));
                None
            }
        }
    }

    /// `front of shell.face`; front when no side is said.
    pub fn face(&mut self, scope: ScopeId, face: &'t tree::Face) -> Option<FaceOf> {
        let (decl, panel) = self.part_decl(scope, &face.path)?;
        let piece = self.piece_reference(decl)?;
        let side = match face.side.as_ref().map(|s| s.value) {
            Some(FaceSide::Back) => FaceWord::Back,
            _ => FaceWord::Front,
        };
        Some(FaceOf { side, piece, panel, span: face.span, side_span: face.side.as_ref().map(|s| s.span) })
    }
}

type CreaseOrCut = tree::CutoutWord;

/// Stands for "this very piece" while the piece is being understood.
const SELF: PieceIndex = PieceIndex::MAX;

/// Writes a piece's own index into the readings it takes on itself.
fn own_index(mut piece: Piece, index: PieceIndex) -> Piece {
    let fix = |feature: &mut Feature| {
        if feature.piece == SELF {
            feature.piece = index;
        }
    };
    if let Body::Cut(cut) = &mut piece.body {
        for crease in &mut cut.creases {
            line_features(&mut crease.line, &fix);
        }
        for tab in &mut cut.tabs {
            fix(&mut tab.off);
            if let Some(extent) = &mut tab.extent {
                fix(&mut extent.from);
            }
        }
        for cutout in &mut cut.cutouts {
            if let CutoutForm::Line { line: Some(line), .. } = &mut cutout.form {
                line_features(line, &fix);
            }
        }
        let places =
            cut.cutouts.iter_mut().map(|c| &mut c.place).chain(cut.marks.iter_mut().map(|m| &mut m.place));
        for place in places.flatten() {
            use super::design::PlaceKind::*;
            match &mut place.kind {
                Reading { at, .. } => fix(&mut at.from),
                Range(range) => fix(&mut range.from),
                Beside { subject, of, .. } => {
                    subject.iter_mut().for_each(&fix);
                    fix(of);
                }
                EdgeToEdge { own, other } => {
                    fix(own);
                    fix(other);
                }
                Along { own, first, .. } => {
                    fix(own);
                    first.iter_mut().for_each(&fix);
                }
                Centred(_) | At(_) | Turned(_) | UpsideDown => {}
            }
        }
    }
    piece
}

fn line_features(line: &mut Line, fix: &impl Fn(&mut Feature)) {
    if let Line::Reading { at, extent, .. } = line {
        fix(&mut at.from);
        if let Some(extent) = extent {
            fix(&mut extent.from);
        }
    }
}
