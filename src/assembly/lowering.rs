//! The state of lowering: pieces are built one by one, numbered in order of declaration, and joined.

use super::built::{Built, Located};
use super::model::*;
use super::{mats, papers, piece, straps};
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Isometry, Polygon, Rect};
use crate::meaning::design::{self, Body, Design, FaceOf, FaceWord, Feature};
use crate::quantity::Units;
use std::collections::BTreeMap;

pub(super) struct Lowering<'a> {
    pub design: &'a Design,
    pub sink: &'a mut Findings,
    pub assembly: Assembly,
    /// Number of every piece of the design; `None` for one that could not be made.
    pub ids: Vec<Option<PieceId>>,
    /// By piece number.
    pub built: Vec<Built>,
    /// Number of the first panel of every piece.
    pub first_panel: Vec<PanelId>,
    pub loops: BTreeMap<PieceId, Loop>,
    /// Joints on which poses and claims can act: by joint of the design, and by strap.
    pub moving: BTreeMap<usize, JointId>,
    pub straps: BTreeMap<PieceId, JointId>,
    /// By print of the design.
    pub prints: Vec<Option<usize>>,
    /// Pieces that hold together so far.
    pub held: Held,
    /// Stops that slides were asked for and do not have: one fault of each slide, told when all are known.
    pub without_stop: Vec<(JointId, found::NoSuchStop)>,
}

/// What a strap's joints need.
pub(super) struct Loop {
    pub around: PieceId,
    pub looped: straps::Looped,
}

/// Groups of pieces (disjoint sets).
#[derive(Default)]
pub(super) struct Held {
    parent: Vec<usize>,
}

impl Held {
    pub fn new(count: usize) -> Self {
        Self { parent: (0..count).collect() }
    }

    fn root(&self, mut piece: usize) -> usize {
        while let Some(&up) = self.parent.get(piece)
            && up != piece
        {
            piece = up;
        }
        piece
    }

    pub fn together(&self, a: PieceId, b: PieceId) -> bool {
        self.root(a) == self.root(b)
    }

    pub fn join(&mut self, a: PieceId, b: PieceId) {
        let (a, b) = (self.root(a), self.root(b));
        if let Some(slot) = self.parent.get_mut(a.max(b)) {
            *slot = a.min(b);
        }
    }
}

/// One panel's face as clauses speak of it.
pub(super) struct Plane {
    pub piece: PieceId,
    /// Within the piece.
    pub local: usize,
    pub panel: PanelId,
    pub face: Face,
    /// What readings are taken on, in the piece's frame, and its box.
    pub region: Polygon,
    pub bounds: Rect,
    /// From the plane of the readings to the panel's own.
    pub own: Isometry,
}

impl<'a> Lowering<'a> {
    pub fn new(design: &'a Design, sink: &'a mut Findings) -> Self {
        let mut assembly = Assembly {
            title: design.title.clone(),
            units: design.units,
            missing: design.missing.clone(),
            ..Assembly::default()
        };
        if let Some(grid) = design.grid {
            match design.units {
                Units::Inch => assembly.grid.inch = grid.value(),
                Units::Mm => assembly.grid.metric = grid.value(),
            }
        }
        assembly.papers = design.papers.iter().enumerate().map(|(i, p)| papers::lower(p, i)).collect();
        assembly.envelope = design.envelope.as_ref().map(|e| Envelope {
            name: e.name.clone(),
            width: e.width.to_f64(),
            height: e.height.to_f64(),
            depth: e.depth.map(|d| d.to_f64()),
            span: e.span,
        });
        assembly.post = design.post.as_ref().map(|p| PostChoice {
            post: p.post.clone(),
            class: p.class.clone(),
            span: p.span,
        });
        assembly.steps = design
            .steps
            .iter()
            .map(|s| Step { text: s.text.clone(), before: s.before, part: s.part.clone(), span: s.span })
            .collect();
        Self {
            design,
            sink,
            assembly,
            ids: vec![None; design.pieces.len()],
            built: Vec::new(),
            first_panel: Vec::new(),
            loops: BTreeMap::new(),
            moving: BTreeMap::new(),
            straps: BTreeMap::new(),
            prints: Vec::new(),
            held: Held::default(),
            without_stop: Vec::new(),
        }
    }

    fn missing(&mut self, name: &str) {
        self.assembly.missing.push(name.into());
    }

    /// Builds every piece: cut pieces first, then straps and mats as soon as what they go on is there.
    pub fn pieces(&mut self) {
        let design = self.design;
        let count = design.pieces.len();
        let mut done: Vec<Option<Made>> = (0..count).map(|_| None).collect();
        let mut tried = vec![false; count];
        for _ in 0..=count {
            let mut progress = false;
            for (index, piece) in design.pieces.iter().enumerate() {
                if tried[index] || !self.is_ready(&piece.body, &done) {
                    continue;
                }
                tried[index] = true;
                progress = true;
                done[index] = self.make(piece, &done);
                if done[index].is_none() {
                    self.missing(&piece.name);
                }
            }
            if !progress {
                break;
            }
        }
        for (index, piece) in design.pieces.iter().enumerate() {
            if !tried[index] {
                self.missing(&piece.name);
            }
        }
        let mut order: Vec<usize> = (0..count).collect();
        // What is cut from measurements comes before what is worked out from it.
        let rank = |body: &Body| match body {
            Body::Cut(_) => 0,
            Body::Strap(_) => 1,
            Body::Mat(_) => 2,
        };
        order.sort_by_key(|&i| design.pieces.get(i).map(|p| (rank(&p.body), p.span.start)));
        for index in order {
            if let Some(made) = done.get_mut(index).and_then(Option::take) {
                self.install(index, made);
            }
        }
        self.held = Held::new(self.assembly.pieces.len());
        self.take_root();
    }

    fn is_ready(&self, body: &Body, done: &[Option<Made>]) -> bool {
        let there = |piece: usize| done.get(piece).is_some_and(Option::is_some);
        match body {
            Body::Cut(_) => true,
            Body::Strap(strap) => there(strap.around),
            Body::Mat(mat) => there(mat.on.piece),
        }
    }

    fn make(&mut self, piece: &design::Piece, done: &[Option<Made>]) -> Option<Made> {
        let of = |index: usize| done.get(index).and_then(Option::as_ref).map(|made| &made.built);
        match &piece.body {
            Body::Cut(cut) => {
                let outcome = piece::build(piece, cut, piece.paper, self.sink)?;
                if !outcome.whole {
                    self.missing(&piece.name);
                }
                Some(Made { built: outcome.built, fit: Fit::None })
            }
            Body::Strap(strap) => {
                let around = of(strap.around)?;
                let looped = straps::build(piece, strap, around, &self.assembly.papers, self.sink)?;
                let built = looped.built.clone();
                Some(Made { built, fit: Fit::Strap(strap.around, Box::new(looped)) })
            }
            Body::Mat(mat) => {
                let target = of(mat.on.piece)?;
                let Some(panel) = target.panel_or_only(mat.on.panel.as_deref()) else {
                    self.which_panel(
                        &mat.on,
                        &target.name,
                        target.panels.iter().map(|p| p.name.clone()).collect(),
                    );
                    return None;
                };
                let fitted = mats::build(piece, mat, piece.paper, target, panel, self.sink)?;
                Some(Made { built: fitted.built, fit: Fit::Mat })
            }
        }
    }

    /// Reports a piece of several panels where one panel is meant; silent when the panel is missing for a reason of
    /// its own.
    fn which_panel(&mut self, face: &FaceOf, piece: &str, panels: Vec<String>) {
        if face.panel.is_none() {
            self.sink.report(found::PanelNotSaid { place: face.span, piece: piece.into(), panels });
        }
    }

    fn install(&mut self, index: usize, made: Made) {
        let id = self.assembly.pieces.len();
        let first = self.assembly.panels.len();
        let Made { built, fit } = made;
        self.assembly.panels.extend(built.panels.iter().enumerate().map(|(i, p)| Panel {
            name: p.name.clone(),
            piece: id,
            polygon: p.polygon.clone(),
            bounds: built.panel_box(i),
            span: p.span,
        }));
        let mut creases = built.creases.clone();
        let mut count = vec![0usize; creases.len()];
        for hinge in &built.hinges {
            let Some(crease) = creases.get_mut(hinge.crease) else { continue };
            count[hinge.crease] += 1;
            let number = count[hinge.crease];
            let suffix = if number > 1 { format!(" ({number})") } else { String::new() };
            crease.hinges.push(self.assembly.joints.len());
            self.assembly.joints.push(Joint {
                name: format!("{}.{}{suffix}", built.name, crease.name),
                a: first + hinge.a,
                b: first + hinge.b,
                kind: JointKind::Fold {
                    piece: id,
                    crease: hinge.crease,
                    from: hinge.line.start,
                    to: hinge.line.end,
                    fold: crease.fold,
                    rest: crease.rest.unwrap_or(0.0),
                },
                span: crease.span,
            });
        }
        let cutouts = built.cutouts.iter().cloned().map(|c| Cutout { panel: first + c.panel, ..c });
        self.assembly.pieces.push(Piece {
            name: built.name.clone(),
            letter: letter(id),
            kind: built.kind,
            paper: built.paper,
            contour: built.contour.clone(),
            polygon: built.polygon.clone(),
            bounds: built.contour.bounds(),
            body: built.body,
            size: built.size,
            creases,
            cutouts: cutouts.collect(),
            marks: built.marks.clone(),
            panels: (first..first + built.panels.len()).collect(),
            span: built.span,
        });
        self.ids[index] = Some(id);
        self.first_panel.push(first);
        self.built.push(built);
        if let Fit::Strap(around, looped) = fit
            && let Some(around) = self.ids.get(around).copied().flatten()
        {
            self.loops.insert(id, Loop { around, looped: *looped });
        }
    }

    pub fn id(&self, piece: design::PieceIndex) -> Option<PieceId> {
        self.ids.get(piece).copied().flatten()
    }

    pub fn built_of(&self, id: PieceId) -> Option<&Built> {
        self.built.get(id)
    }

    /// Number of a panel given within its piece.
    pub fn panel_id(&self, piece: PieceId, local: usize) -> Option<PanelId> {
        Some(self.first_panel.get(piece)? + local)
    }

    /// The panel and face that a face speaks of. The front of a strap is the front of its band, its back the outer side
    /// of its tails: the second tail, which is stuck over the first.
    pub fn plane(&mut self, face: &FaceOf) -> Option<Plane> {
        let piece = self.id(face.piece)?;
        let built = self.built.get(piece)?;
        let Some(local) = built.panel_or_only(face.panel.as_deref()) else {
            let (name, panels) = (built.name.clone(), built.panels.iter().map(|p| p.name.clone()).collect());
            self.which_panel(face, &name, panels);
            return None;
        };
        let region = built.panels.get(local)?.polygon.clone();
        let bounds = built.panel_box(local);
        let side = match face.side {
            FaceWord::Front => Face::Front,
            FaceWord::Back => Face::Back,
        };
        if built.kind == PieceKind::Strap && face.panel.is_none() && side == Face::Back {
            let own = straps::band_to_outer_tail(built)?;
            let panel = self.panel_id(piece, straps::TAIL_2)?;
            return Some(Plane { piece, local, panel, face: Face::Front, region, bounds, own });
        }
        let panel = self.panel_id(piece, local)?;
        Some(Plane { piece, local, panel, face: side, region, bounds, own: Isometry::IDENTITY })
    }

    /// Where a feature lies in the frame of piece `home`: its own features, and those of pieces that lie flat on it.
    pub fn locate(&self, feature: &Feature, home: PieceId, panel: Option<usize>) -> Option<Located> {
        let piece = self.id(feature.piece)?;
        let located = self.built.get(piece)?.locate(&feature.what, panel.filter(|_| piece == home))?;
        Some(located.transformed(&self.flat_map(piece, home)?))
    }

    /// How piece `from` lies in the plane of piece `to`, through parts stuck flat on each other.
    pub fn flat_map(&self, from: PieceId, to: PieceId) -> Option<Isometry> {
        let mut maps: Vec<Option<Isometry>> = vec![None; self.assembly.pieces.len()];
        *maps.get_mut(to)? = Some(Isometry::IDENTITY);
        let mut queue = std::collections::VecDeque::from([to]);
        let piece_of = |panel: PanelId| self.assembly.panels.get(panel).map(|p| p.piece);
        while let Some(here) = queue.pop_front() {
            if here == from {
                break;
            }
            for joint in &self.assembly.joints {
                let JointKind::Fixed { placement, closing: false, .. } = &joint.kind else { continue };
                let (Some(a), Some(b)) = (piece_of(joint.a), piece_of(joint.b)) else { continue };
                let (there, step) = match here {
                    _ if a == here => (b, placement.isometry()),
                    _ if b == here => (a, placement.isometry().inverse()),
                    _ => continue,
                };
                let known = maps.get(here).copied().flatten();
                if let (Some(slot @ None), Some(known)) = (maps.get_mut(there), known) {
                    *slot = Some(step.then(&known));
                    queue.push_back(there);
                }
            }
        }
        maps.get(from).copied().flatten()
    }

    pub fn finish(self) -> Assembly {
        self.assembly
    }

    /// Settles which panel stays before the viewer, and which side of it is seen.
    fn take_root(&mut self) {
        let seen = self.viewed().or_else(|| Some((self.root()?, Face::Front)));
        (self.assembly.root, self.assembly.root_face) = seen.unwrap_or_default();
    }

    /// What the design says lies before the viewer.
    fn viewed(&self) -> Option<(PanelId, Face)> {
        let view = self.design.view.as_ref()?;
        let panels = &self.assembly.pieces.get((*self.ids.get(view.piece)?)?)?.panels;
        let named = |id: &&PanelId| {
            view.panel.as_ref().is_some_and(|n| self.assembly.panels.get(**id).is_some_and(|p| p.name == *n))
        };
        let face = if view.side == FaceWord::Front { Face::Front } else { Face::Back };
        Some((*panels.iter().find(named).or(panels.first())?, face))
    }

    /// The panel named first in the first piece.
    fn root(&self) -> Option<PanelId> {
        let panels = &self.assembly.pieces.first()?.panels;
        let source = self.ids.iter().position(|id| *id == Some(0)).and_then(|i| self.design.pieces.get(i))?;
        let first = match &source.body {
            Body::Cut(cut) => cut.panel_rows.first().and_then(|row| row.names.first()).map(|(name, _)| name),
            Body::Strap(_) | Body::Mat(_) => None,
        };
        let named = |id: &&PanelId| self.assembly.panels.get(**id).map(|p| &p.name) == first;
        panels.iter().find(named).or(panels.first()).copied()
    }
}

/// A piece that is built, with what ties it to another.
struct Made {
    built: Built,
    fit: Fit,
}

enum Fit {
    None,
    Strap(design::PieceIndex, Box<straps::Looped>),
    Mat,
}

/// A, B, … Z, AA, AB, …
fn letter(mut index: usize) -> String {
    let mut text = String::new();
    loop {
        text.insert(0, char::from(b'A' + (index % 26) as u8));
        if index < 26 {
            return text;
        }
        index = index / 26 - 1;
    }
}
