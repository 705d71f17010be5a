//! Glue, foam, slides, brads, tucks and prints.

use super::clauses::Clauses;
use super::design::{
    CutoutOf, FaceOf, FaceWord, Glue, GlueArea, Joint, JointKind, PartOf, Print, PrintContent, PrintGround,
    Quantity, SideWord,
};
use super::places::On;
use super::resolve::Entity;
use super::world::{MemberKind, PieceDecl, ScopeId, World};
use crate::findings::catalogue::{MeasureMissing, StuckToItself, WrongKind};
use crate::quantity::Dimension;
use crate::syntax::tree::{self, Clause, ClauseKind, Expr, Face, Item, ItemKind, MeasureWord, Path};

impl<'t> World<'t> {
    pub fn joint_statement(&mut self, scope: ScopeId, item: &'t Item) {
        let kind = match &item.kind {
            ItemKind::Glue { part, to, clauses } => self.glue(scope, item, None, part, to, clauses),
            ItemKind::Foam { height, part, to, clauses } => {
                self.glue(scope, item, Some(height), part, to, clauses)
            }
            ItemKind::SlideThrough { part, slots, clauses } => {
                self.slide_through(scope, part, slots, clauses)
            }
            ItemKind::SlideOn { part, on, between, clauses } => {
                self.slide_on(scope, item, part, on, between.as_ref(), clauses)
            }
            ItemKind::Brad { name, through, clauses } => {
                let kind = self.brad(scope, item, through, clauses);
                let key = self.key(scope, name).map(|k| self.full_name(scope, &k));
                match (kind, key) {
                    (Some(kind), Some(full)) => {
                        self.joint_names.insert(full.clone(), self.design.joints.len());
                        self.design.joints.push(Joint { name: full, span: item.span, kind });
                    }
                    (_, Some(full)) => self.missing(&full),
                    _ => {}
                }
                return;
            }
            ItemKind::Tuck { part, into, clauses } => self.tuck(scope, part, into, clauses),
            _ => return,
        };
        match kind {
            Some(kind) => {
                let name = self.joint_title(&kind);
                self.design.joints.push(Joint { name, span: item.span, kind });
            }
            None => self.missing("a joint"),
        }
    }

    /// `heron on runner`, `tongue in page`.
    fn joint_title(&self, kind: &JointKind) -> String {
        let piece = |i: usize| self.design.pieces.get(i).map_or("?", |p| p.name.as_str());
        match kind {
            JointKind::Glue(glue) => format!("{} on {}", piece(glue.part.piece), piece(glue.to.piece)),
            JointKind::SlideThrough { part, .. } | JointKind::SlideOn { part, .. } => {
                piece(part.piece).to_string()
            }
            JointKind::Tuck { part, into, .. } => format!("{} in {}", piece(part.piece), piece(into.piece)),
            JointKind::Strap { strap } => piece(*strap).to_string(),
            JointKind::Brad { .. } => String::new(),
        }
    }

    fn on(&mut self, scope: ScopeId, path: &'t Path) -> Option<On> {
        let (decl, panel) = self.part_decl(scope, path)?;
        Some(On { decl, panel })
    }

    fn glue(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        foam: Option<&'t Expr>,
        part: &'t Face,
        to: &'t Face,
        clauses: &'t [Clause],
    ) -> Option<JointKind> {
        let statement = if foam.is_some() { "a foam joint" } else { "a glue joint" };
        let mut sound = true;
        let foam = foam.and_then(|height| {
            let q = self.positive(scope, height);
            sound &= q.is_some();
            q
        });
        let (part_on, to_on) = (self.on(scope, &part.path), self.on(scope, &to.path));
        let (part_face, to_face) = (self.stuck_face(scope, part), self.stuck_face(scope, to));
        let (part_on, to_on) = (part_on?, to_on?);
        let mut clauses = Clauses::new(self, clauses, statement);
        let along = clauses.one(|k| match k {
            ClauseKind::GlueAlong { edges, width } => Some((edges, width.as_ref())),
            _ => None,
        });
        let area = match along {
            None => GlueArea::Full,
            Some((clause, (edges, width))) => {
                let mut sides: Vec<SideWord> = Vec::new();
                for edge in edges.iter().filter(|e| e.value != "edges") {
                    sides.extend(self.side(edge));
                }
                let width = width.and_then(|w| {
                    let q = self.positive(scope, w);
                    sound &= q.is_some();
                    q
                });
                GlueArea::Along { sides, width, span: clause.span }
            }
        };
        let place = self.places(scope, &mut clauses, Some(&part_on), &to_on);
        clauses.finish(self);
        let (part, to, place) = (part_face?, to_face?, place?);
        if part.piece == to.piece && (part.panel == to.panel || part.panel.is_none() || to.panel.is_none()) {
            let piece = self.design.pieces.get(part.piece).map(|p| p.name.clone()).unwrap_or_default();
            self.report(StuckToItself { place: part.span.to(to.span), piece });
            return None;
        }
        let _ = item;
        sound.then_some(JointKind::Glue(Glue { part, to, foam, place, area }))
    }

    /// Faces of a joint must be named: which side meets which decides how the part lies.
    fn stuck_face(&mut self, scope: ScopeId, face: &'t Face) -> Option<FaceOf> {
        if face.side.is_none() {
            let (what, example) = ("which face is stuck", "`back of …` or `front of …`");
            self.report(MeasureMissing { place: face.span, statement: "a glue joint", what, example });
            return None;
        }
        self.face(scope, face)
    }

    fn part_of(&mut self, scope: ScopeId, path: &'t Path) -> Option<(PartOf, On)> {
        let (decl, panel) = self.part_decl(scope, path)?;
        let piece = self.piece_index(decl)?;
        Some((PartOf { piece, panel: panel.clone(), span: path.span }, On { decl, panel }))
    }

    fn cutout_of(
        &mut self,
        scope: ScopeId,
        path: &'t Path,
        near: Option<PieceDecl>,
    ) -> Option<(CutoutOf, On)> {
        let near: Vec<PieceDecl> = near.into_iter().collect();
        match self.resolve(scope, path, &near)? {
            Entity::Member { piece, name, member } if member.kind == MemberKind::Cutout => {
                let index = self.piece_index(piece)?;
                Some((CutoutOf { piece: index, name, span: path.span }, On { decl: piece, panel: None }))
            }
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(
                    path.span,
                    "a slot, a hole or another opening",
                    other.spoken(),
                    defined,
                ));
                None
            }
        }
    }

    fn stops(
        &mut self,
        scope: ScopeId,
        clauses: &mut Clauses<'t>,
        dimension: Dimension,
    ) -> Result<Option<(Quantity, Quantity)>, ()> {
        let found = clauses.one(|k| match k {
            ClauseKind::Stops { from, to } => Some((from, to)),
            _ => None,
        });
        let Some((_, (from, to))) = found else { return Ok(None) };
        let (from, to) = (self.quantity(scope, from, dimension), self.quantity(scope, to, dimension));
        from.zip(to).map(Some).ok_or(())
    }

    fn slide_through(
        &mut self,
        scope: ScopeId,
        part: &'t Path,
        slots: &'t [Path],
        clauses: &'t [Clause],
    ) -> Option<JointKind> {
        let part = self.part_of(scope, part);
        let mut all = Vec::new();
        let mut sound = true;
        let mut near = None;
        let mut target = None;
        for slot in slots {
            match self.cutout_of(scope, slot, near) {
                Some((slot, on)) => {
                    near = Some(on.decl);
                    target = target.or(Some(on));
                    all.push(slot);
                }
                None => sound = false,
            }
        }
        let (part, part_on) = part?;
        let target = target?;
        let mut clauses = Clauses::new(self, clauses, "a slide");
        let stops = self.stops(scope, &mut clauses, Dimension::Length);
        let place = self.places(scope, &mut clauses, Some(&part_on), &target);
        clauses.finish(self);
        let (stops, place) = (stops.ok()?, place?);
        sound.then_some(JointKind::SlideThrough { part, slots: all, place, stops })
    }

    fn slide_on(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        part: &'t Path,
        on: &'t Face,
        between: Option<&'t (Path, Path)>,
        clauses: &'t [Clause],
    ) -> Option<JointKind> {
        let part = self.part_of(scope, part);
        let target = self.on(scope, &on.path);
        let face = self.face(scope, on);
        let mut sound = true;
        let between = between.and_then(|(a, b)| {
            let (a, b) = (self.part_of(scope, a), self.part_of(scope, b));
            sound &= a.is_some() && b.is_some();
            a.zip(b).map(|((a, _), (b, _))| (a.piece, b.piece))
        });
        let mut clauses = Clauses::new(self, clauses, "a slide");
        let (mut under, mut around) = (Vec::new(), Vec::new());
        let passed = clauses.all(|k| match k {
            ClauseKind::Under(path) => Some((false, path)),
            ClauseKind::Around(path) => Some((true, path)),
            _ => None,
        });
        for (_, (goes_round, path)) in passed {
            match self.part_of(scope, path) {
                Some((part, _)) if goes_round => around.push(part.piece),
                Some((part, _)) => under.push(part.piece),
                None => sound = false,
            }
        }
        let towards = clauses.one(|k| match k {
            ClauseKind::Towards(side) => Some(side),
            _ => None,
        });
        let towards = towards.and_then(|(_, side)| self.side(side));
        let stops = self.stops(scope, &mut clauses, Dimension::Length);
        let (part, part_on) = part?;
        let target = target?;
        let place = self.places(scope, &mut clauses, Some(&part_on), &target);
        clauses.finish(self);
        if towards.is_none() && sound {
            let (what, example) = ("which way it moves", "`towards top`");
            self.report(MeasureMissing { place: item.word, statement: "a slide on a face", what, example });
            return None;
        }
        let (stops, place, on) = (stops.ok()?, place?, face?);
        sound.then_some(JointKind::SlideOn { part, on, between, under, around, towards, place, stops })
    }

    fn brad(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        through: &'t [Path],
        clauses: &'t [Clause],
    ) -> Option<JointKind> {
        let mut holes = Vec::new();
        let mut sound = true;
        for path in through {
            match self.cutout_of(scope, path, None) {
                Some((hole, _)) => holes.push(hole),
                None => sound = false,
            }
        }
        if sound && holes.len() < 2 {
            let (what, example) = ("the two holes it goes through", "`through wheel.hub, page.hub`");
            self.report(MeasureMissing { place: item.word, statement: "a brad", what, example });
            sound = false;
        }
        let mut clauses = Clauses::new(self, clauses, "a brad");
        let order = clauses.one(|k| match k {
            ClauseKind::Order { part, behind } => Some((part, *behind)),
            _ => None,
        });
        // `page in front` says the same as `wheel behind`: what counts is which of the two is named.
        let behind = match order {
            None => false,
            Some((_, (path, behind))) => match self.part_decl(scope, path) {
                Some((decl, _)) => {
                    let named = self.piece_index(decl);
                    let turning = holes.first().map(|h| h.piece);
                    behind == (named == turning)
                }
                None => {
                    sound = false;
                    false
                }
            },
        };
        let turned = clauses.one(|k| match k {
            ClauseKind::Turned(angle) => Some(angle),
            _ => None,
        });
        let turned = turned.and_then(|(_, angle)| {
            let q = self.angle(scope, angle);
            sound &= q.is_some();
            q
        });
        let stops = self.stops(scope, &mut clauses, Dimension::Angle);
        let apart = self.measure(scope, &mut clauses, MeasureWord::Apart);
        clauses.finish(self);
        let (stops, apart) = (stops.ok()?, apart.ok()?);
        sound.then_some(JointKind::Brad { holes, behind, turned, stops, apart })
    }

    fn tuck(
        &mut self,
        scope: ScopeId,
        part: &'t Path,
        into: &'t Path,
        clauses: &'t [Clause],
    ) -> Option<JointKind> {
        let part = self.part_of(scope, part);
        let into = self.cutout_of(scope, into, None);
        let ((part, part_on), (into, target)) = (part?, into?);
        let mut clauses = Clauses::new(self, clauses, "a tuck");
        let place = self.places(scope, &mut clauses, Some(&part_on), &target);
        clauses.finish(self);
        Some(JointKind::Tuck { part, into, place: place? })
    }

    /// Prints, at the top level or inside a piece.
    pub fn print_statement(&mut self, scope: ScopeId, item: &'t Item) {
        let ItemKind::Print { name, content, on, clauses } = &item.kind else { return };
        let key = self.key(scope, name).map(|k| self.full_name(scope, &k));
        let Some(key) = key else { return };
        if self.print(scope, name, key.clone(), content, on, clauses).is_none() {
            self.missing(&key);
        }
    }

    fn print(
        &mut self,
        scope: ScopeId,
        name: &'t tree::Name,
        key: String,
        content: &'t tree::PrintContent,
        on: &'t tree::PrintGround,
        clauses: &'t [Clause],
    ) -> Option<()> {
        let content = match content {
            tree::PrintContent::Text(text) => Some(PrintContent::Text(text.value.clone())),
            tree::PrintContent::Picture(file) => self
                .read_file(&file.value, file.span)
                .map(|bytes| PrintContent::Picture { file: file.value.clone(), bytes }),
        };
        let mut clauses = Clauses::new(self, clauses, "a print");
        let wide = self.measure(scope, &mut clauses, MeasureWord::Wide);
        let high = self.measure(scope, &mut clauses, MeasureWord::High);
        let (on, place) = match on {
            tree::PrintGround::Face(face) => {
                let (decl, panel) = self.part_decl(scope, &face.path)?;
                let side = match face.side.as_ref().map(|s| s.value) {
                    Some(tree::FaceSide::Back) => FaceWord::Back,
                    _ => FaceWord::Front,
                };
                let place = self.places(scope, &mut clauses, None, &On { decl, panel: panel.clone() });
                let piece = self.piece_index(decl);
                (
                    piece.map(|piece| {
                        PrintGround::Face(FaceOf {
                            side,
                            piece,
                            panel,
                            span: face.span,
                            side_span: face.side.as_ref().map(|s| s.span),
                        })
                    }),
                    place,
                )
            }
            // A picture over several parts fills them: it has a size, but no place of its own.
            tree::PrintGround::Spread { parts, pose, .. } => {
                (self.spread(scope, parts, pose), Some(Vec::new()))
            }
        };
        clauses.finish(self);
        let print = Print {
            name: key,
            span: name.span,
            on: on?,
            content: content?,
            place: place?,
            wide: wide.ok()?,
            high: high.ok()?,
        };
        self.design.prints.push(print);
        Some(())
    }

    fn spread(
        &mut self,
        scope: ScopeId,
        parts: &'t [tree::Path],
        pose: &'t tree::Path,
    ) -> Option<PrintGround> {
        let mut all = Vec::new();
        let mut whole = true;
        for path in parts {
            let part = self.part_decl(scope, path).and_then(|(decl, panel)| {
                Some(PartOf { piece: self.piece_index(decl)?, panel, span: path.span })
            });
            whole &= part.is_some();
            all.extend(part);
        }
        let name = match self.resolve(scope, pose, &[])? {
            Entity::Pose(name) => name,
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(pose.span, "a pose", other.spoken(), defined));
                return None;
            }
        };
        whole.then_some(PrintGround::Spread { parts: all, pose: name, pose_span: pose.span })
    }
}
