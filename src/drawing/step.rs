//! The small drawing of a step of the making order: what is there so far in grey, what is new in strong lines, glue
//! hatched, what must stay free of it crossed out, an arrow for the move.
//!
//! Everything lies flat, in the plane of the piece that is worked on and with the face up that the step works on: a
//! drawing of the back is the mirror image of the net, as the piece looks when it is turned over. Folded pieces are
//! drawn unfolded.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use super::hatch::hatch;
use super::{Colour, Figure, Ink, LineKind, Mark, Operation, Text, Typeface, curve, symbol};
use crate::assembly::{
    Assembly, CutoutKind, Face, Fold, Joint, JointId, JointKind, Piece, PieceId, Placement, SlideHow,
};
use crate::geometry::{Isometry, Polygon};
use crate::making::words::{Label, Words};
use crate::making::{Making, ScoreSide, Spot, Step, Work};

/// Longer side of what is drawn, mm: every step is drawn about as large as every other.
const LONGEST_MM: f64 = 80.0;
const TEXT_MM: f64 = 3.2;
/// Between pieces that lie beside each other on a drawing, mm of the drawing.
const GAP_MM: f64 = 5.0;
const HATCH_MM: f64 = 1.6;
const GLUE_DEG: f64 = 45.0;
const ARROW_MM: f64 = 11.0;
const ARROW_WIDE_MM: f64 = 5.0;
const MARGIN_MM: f64 = 1.5;
/// Paper of parts that are there already, and of the part that a step is about.
const BEFORE: Colour = Colour::grey(228);
const NEW: Colour = Colour::WHITE;

/// The drawing of a step; `None` for one that shows nothing new (the author's own words, the finished card).
pub fn step(
    assembly: &Assembly,
    making: &Making,
    number: usize,
    words: &dyn Words,
    typeface: &Typeface,
) -> Option<Figure> {
    let step = making.steps.get(number.checked_sub(1)?)?;
    let made: Vec<JointId> =
        making.steps.iter().take(number - 1).flat_map(|s| s.joints.iter().copied()).collect();
    let artist = Artist { assembly, words, typeface };
    let marks = match &step.work {
        Work::Cut { pieces, .. } => {
            artist.side_by_side(pieces, Face::Front, &|sheet, piece| sheet.cut_out(piece))
        }
        Work::Open { piece } => {
            artist.side_by_side(&[*piece], Face::Front, &|sheet, piece| sheet.opened(piece))
        }
        Work::Score { pieces } => artist.scored(pieces, &step.scores),
        Work::Fold { piece } => {
            artist.side_by_side(&[*piece], Face::Front, &|sheet, piece| sheet.folded(piece))
        }
        Work::Print { print } => artist.lettered(*print),
        Work::Try { joints, .. } => artist.below_each_other(joints.iter().map(|j| artist.moved(*j, &made))),
        Work::Close { joint } => artist.closed(*joint, step),
        Work::Tuck { joint } => artist.tucked(*joint),
        Work::Finish | Work::Own { .. } => Vec::new(),
        _ => step.joints.first().map(|j| artist.joined(*j, step, &made)).unwrap_or_default(),
    };
    (!marks.is_empty()).then(|| {
        let title = format!("{} {}", number, words.heading(&step.work));
        Figure::around(&title, marks, MARGIN_MM, typeface)
    })
}

struct Artist<'a> {
    assembly: &'a Assembly,
    words: &'a dyn Words,
    typeface: &'a Typeface,
}

/// A piece in the plane of a drawing, in mm of the card.
struct Laid {
    piece: PieceId,
    to: Isometry,
}

/// Marks of a drawing whose scale and place are settled.
struct Sheet<'a> {
    artist: &'a Artist<'a>,
    /// From the plane of the piece to the drawing.
    to: Affine,
    marks: Vec<Mark>,
}

impl<'a> Artist<'a> {
    fn piece(&self, id: PieceId) -> Option<&'a Piece> {
        self.assembly.pieces.get(id)
    }

    fn piece_of(&self, panel: usize) -> Option<PieceId> {
        self.assembly.panels.get(panel).map(|p| p.piece)
    }

    /// A sheet on which everything that is laid finds its place.
    fn sheet(&'a self, laid: &[Laid], face: Face) -> Option<Sheet<'a>> {
        let outlines = laid.iter().filter_map(|l| Some(self.piece(l.piece)?.polygon.transformed(&l.to)));
        let bounds = outlines.map(|p| p.bounds()).reduce(|a, b| a.union(&b))?;
        let longest = bounds.width().max(bounds.height()).max(f64::MIN_POSITIVE);
        let scale = LONGEST_MM / longest;
        let mirror = if face == Face::Back { -1.0 } else { 1.0 };
        let left = if face == Face::Back { bounds.max.x } else { bounds.min.x };
        let to =
            Affine::new([mirror * scale, 0.0, 0.0, scale, -mirror * scale * left, -scale * bounds.min.y]);
        Some(Sheet { artist: self, to, marks: Vec::new() })
    }

    /// Pieces in rows, all to one scale.
    fn side_by_side(&'a self, ids: &[PieceId], face: Face, draw: &dyn Fn(&mut Sheet, &Piece)) -> Vec<Mark> {
        let pieces: Vec<&Piece> = ids.iter().filter_map(|id| self.piece(*id)).collect();
        let area: f64 = pieces.iter().map(|p| p.bounds.width() * p.bounds.height()).sum();
        let widest = pieces.iter().map(|p| p.bounds.width()).fold(0.0, f64::max);
        let room = widest.max((area * 2.0).sqrt());
        // Letters stand between the pieces.
        let gap = room / LONGEST_MM * GAP_MM;
        let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
        let mut places = Vec::new();
        for piece in &pieces {
            let (w, h) = (piece.bounds.width(), piece.bounds.height());
            if x > 0.0 && x + w > room * 1.02 {
                (x, y, row) = (0.0, y + row + gap, 0.0);
            }
            places.push(Point::new(x, y));
            x += w + gap;
            row = row.max(h);
        }
        let whole = room.max(y + row).max(f64::MIN_POSITIVE);
        let scale = LONGEST_MM / whole;
        let mut marks = Vec::new();
        for (piece, at) in pieces.iter().zip(&places) {
            let mirror = if face == Face::Back { -1.0 } else { 1.0 };
            let left = if face == Face::Back { piece.bounds.max.x } else { piece.bounds.min.x };
            let to = Affine::new([
                mirror * scale,
                0.0,
                0.0,
                scale,
                scale * at.x - mirror * scale * left,
                scale * (at.y - piece.bounds.min.y),
            ]);
            let mut sheet = Sheet { artist: self, to, marks: Vec::new() };
            draw(&mut sheet, piece);
            marks.extend(sheet.marks);
        }
        marks
    }

    /// Each face that is scored, with the folds that are scored on it.
    fn scored(&'a self, pieces: &[PieceId], sides: &[ScoreSide]) -> Vec<Mark> {
        let mut marks: Vec<Mark> = Vec::new();
        for face in [Face::Back, Face::Front] {
            let on_face = |piece: &&PieceId| sides.iter().any(|s| s.piece == **piece && s.score_on == face);
            let here: Vec<PieceId> = pieces.iter().filter(on_face).copied().collect();
            if here.is_empty() {
                continue;
            }
            let drawn = self.side_by_side(&here, face, &|sheet, piece| {
                sheet.outline(piece, LineKind::ThinEdge, NEW);
                sheet.scores(piece, &|fold| ScoreSide::of(0, fold).score_on == face);
                sheet.name(piece);
            });
            let below = bottom(&marks, self.typeface).map_or(0.0, |y| y + GAP_MM);
            let drawn: Vec<Mark> = drawn.iter().map(|m| m.moved(Vec2::new(0.0, below))).collect();
            let at = Point::new(0.0, bottom(&drawn, self.typeface).unwrap_or(below) + TEXT_MM * 1.4);
            let up = if face == Face::Back { Label::BackUp } else { Label::FrontUp };
            marks.extend(drawn);
            marks.push(Mark::text(Operation::Legend, Text::new(self.words.label(up), at, TEXT_MM)));
        }
        marks
    }

    /// Drawings under one another.
    fn below_each_other(&self, drawings: impl Iterator<Item = Vec<Mark>>) -> Vec<Mark> {
        let mut marks: Vec<Mark> = Vec::new();
        for drawing in drawings {
            let top = drawing.iter().map(|m| m.bounds(self.typeface).y0).reduce(f64::min).unwrap_or_default();
            let down = bottom(&marks, self.typeface).map_or(0.0, |y| y + GAP_MM) - top;
            marks.extend(drawing.iter().map(|m| m.moved(Vec2::new(0.0, down))));
        }
        marks
    }

    fn lettered(&'a self, print: usize) -> Vec<Mark> {
        let Some(print) = self.assembly.prints.get(print) else { return Vec::new() };
        let Some(piece) = self.piece_of(print.panel) else { return Vec::new() };
        self.side_by_side(&[piece], print.face, &|sheet, piece| {
            sheet.outline(piece, LineKind::ThinEdge, NEW);
            for area in print.region(self.assembly) {
                sheet.line(LineKind::Outline, curve::region(&area));
                sheet.hatched(&area, LineKind::ThinEdge);
            }
            sheet.name(piece);
        })
    }

    /// Everything that earlier steps joined to a piece and that lies on its `face`, undermost first.
    fn before(&self, base: PieceId, face: Face, made: &[JointId], without: PieceId) -> Vec<Laid> {
        let mut laid = vec![Laid { piece: base, to: Isometry::IDENTITY }];
        let mut at = 0;
        while let Some((piece, to)) = laid.get(at).map(|l| (l.piece, l.to)) {
            at += 1;
            for joint in made.iter().filter_map(|j| self.assembly.joints.get(*j)) {
                let (Some(a), Some(b)) = (self.piece_of(joint.a), self.piece_of(joint.b)) else { continue };
                let Some((placement, value)) = placed(joint) else { continue };
                let known = |p: PieceId| laid.iter().any(|l| l.piece == p) || p == without;
                if a != piece || known(b) || (piece == base && placement.side != face) {
                    continue;
                }
                let on_piece = placement.isometry().then(&Isometry::translation(value));
                laid.push(Laid { piece: b, to: on_piece.then(&to) });
            }
        }
        laid
    }

    /// A part put in its place: glued, raised, threaded, pinned, laid or led round a bar.
    fn joined(&'a self, id: JointId, step: &Step, made: &[JointId]) -> Vec<Mark> {
        let Some(joint) = self.assembly.joints.get(id) else { return Vec::new() };
        let (Some(base), Some(part)) = (self.piece_of(joint.a), self.piece_of(joint.b)) else {
            return Vec::new();
        };
        let Some((placement, value)) = placed(joint) else { return Vec::new() };
        let face = placement.side;
        let mut laid = self.before(base, face, made, part);
        let to = placement.isometry().then(&Isometry::translation(value));
        laid.push(Laid { piece: part, to });
        let Some(mut sheet) = self.sheet(&laid, face) else { return Vec::new() };
        for (n, Laid { piece, to }) in laid.iter().enumerate() {
            let Some(piece) = self.piece(*piece) else { continue };
            let (kind, paper) =
                if n + 1 == laid.len() { (LineKind::Outline, NEW) } else { (LineKind::ThinEdge, BEFORE) };
            sheet.placed(&piece.polygon.transformed(to), kind, paper);
        }
        sheet.behind(joint);
        if let JointKind::Slide { how: SlideHow::On { under, .. }, .. } = &joint.kind {
            // What it runs under lies over it.
            for Laid { piece, to } in laid.iter().filter(|l| under.contains(&l.piece)) {
                let Some(piece) = self.piece(*piece) else { continue };
                sheet.placed(&piece.polygon.transformed(to), LineKind::ThinEdge, BEFORE);
            }
        }
        for spot in &step.glue {
            sheet.glue(spot, &to);
        }
        for spot in &step.no_glue {
            sheet.free(spot, &to);
        }
        if let JointKind::Pin { centre, holes, .. } = &joint.kind {
            let circle = crate::geometry::Contour::circle(*centre, holes.0.max(3.0) / 2.0 + 1.0);
            let disc = Polygon::simple(circle.flatten(crate::quantity::tolerance::CHORD_MM));
            sheet.fill(&disc, Colour::grey(90));
            sheet.line(LineKind::Outline, curve::region(&disc));
        }
        let area = self.piece(part).map(|p| p.polygon.transformed(&to)).unwrap_or_default();
        sheet.arrives(&area, &self.words.piece(self.assembly, part));
        sheet.face_up(face);
        sheet.marks
    }

    /// A part at both ends of its way.
    fn moved(&'a self, id: JointId, made: &[JointId]) -> Vec<Mark> {
        let Some(joint) = self.assembly.joints.get(id) else { return Vec::new() };
        let (Some(base), Some(part)) = (self.piece_of(joint.a), self.piece_of(joint.b)) else {
            return Vec::new();
        };
        let JointKind::Slide { placement, direction, range, .. } = &joint.kind else { return Vec::new() };
        if !(range.0.is_finite() && range.1.is_finite()) {
            return Vec::new();
        }
        let face = placement.side;
        let at = |value: f64| placement.isometry().then(&Isometry::translation(*direction * value));
        let mut laid = self.before(base, face, made, usize::MAX);
        laid.retain(|l| l.piece == base);
        // What rides on the part goes with it.
        let riders = self.before(part, Face::Front, made, base);
        let ends = [range.0, range.1].map(at);
        for end in &ends {
            laid.extend(riders.iter().map(|r| Laid { piece: r.piece, to: r.to.then(end) }));
        }
        let Some(mut sheet) = self.sheet(&laid, face) else { return Vec::new() };
        for Laid { piece, to } in laid.iter().filter(|l| l.piece == base) {
            let Some(piece) = self.piece(*piece) else { continue };
            sheet.placed(&piece.polygon.transformed(to), LineKind::ThinEdge, BEFORE);
        }
        for (end, kind) in ends.iter().zip([LineKind::Outline, LineKind::Position]) {
            for rider in &riders {
                let Some(piece) = self.piece(rider.piece) else { continue };
                let area = piece.polygon.transformed(&rider.to.then(end));
                if kind == LineKind::Outline {
                    sheet.placed(&area, kind, NEW);
                } else {
                    // The other end of the way: openings would only confuse it.
                    sheet.line(kind, curve::region(&Polygon::simple(area.outer)));
                }
            }
        }
        let area = self.piece(part).map(|p| p.polygon.clone()).unwrap_or_default();
        let [from, to] = ends.map(|end| sheet.to * curve::point(area.transformed(&end).bounds().centre()));
        sheet.arrow(from, to);
        sheet.face_up(face);
        sheet.marks
    }

    /// The two faces that a closing fold brings together: glue on one, an arrow to the other.
    fn closed(&'a self, id: JointId, step: &Step) -> Vec<Mark> {
        let Some(joint) = self.assembly.joints.get(id) else { return Vec::new() };
        let JointKind::Fixed { faces, area, .. } = &joint.kind else { return Vec::new() };
        let Some(part) = self.piece_of(joint.b) else { return Vec::new() };
        let face = faces.0;
        self.side_by_side(&[part], face, &|sheet, piece| {
            sheet.outline(piece, LineKind::Outline, NEW);
            sheet.scores(piece, &|_| true);
            for spot in &step.glue {
                sheet.glue(spot, &Isometry::IDENTITY);
            }
            if self.piece_of(joint.a) == Some(part) {
                for place in area {
                    sheet.line(LineKind::Position, curve::region(place));
                }
                let centre = |region: &[Polygon]| crate::geometry::region_centroid(region);
                let glue: Vec<Polygon> = step.glue.iter().flat_map(|s| s.region.clone()).collect();
                if let (Some(from), Some(to)) = (centre(&glue), centre(area)) {
                    let (from, to) = (sheet.to * curve::point(from), sheet.to * curve::point(to));
                    sheet.arrow(from, to);
                }
            }
            sheet.face_up(face);
        })
    }

    fn tucked(&'a self, id: JointId) -> Vec<Mark> {
        let Some(Joint { kind: JointKind::Tuck { cutout, piece }, .. }) = self.assembly.joints.get(id) else {
            return Vec::new();
        };
        self.side_by_side(&[*piece], Face::Front, &|sheet, piece| {
            sheet.outline(piece, LineKind::ThinEdge, BEFORE);
            if let Some(cutout) = piece.cutouts.get(*cutout) {
                sheet.cutout(cutout, LineKind::Outline);
                let tip = sheet.to * curve::point(cutout.centre);
                let arrow = symbol::block_arrow(tip, 90.0, ARROW_MM, ARROW_WIDE_MM);
                sheet.marks.push(Mark::fill(Operation::Legend, arrow, Colour::BLACK));
            }
            sheet.name(piece);
        })
    }
}

/// Where a joint puts its part: its placement, and how far along its way it begins.
fn placed(joint: &Joint) -> Option<(&Placement, crate::geometry::Point)> {
    match &joint.kind {
        JointKind::Fixed { placement, closing: false, .. } | JointKind::Pin { placement, .. } => {
            Some((placement, crate::geometry::Point::ORIGIN))
        }
        JointKind::Slide { placement, direction, range, .. } => {
            let value = if range.0.is_finite() { range.0 } else { 0.0 };
            Some((placement, *direction * value))
        }
        _ => None,
    }
}

impl Sheet<'_> {
    fn line(&mut self, kind: LineKind, path: BezPath) {
        let operation = Operation::Legend;
        self.marks.push(Mark { operation, ink: Ink::Line { path: self.to * path, kind } });
    }

    fn fill(&mut self, area: &Polygon, colour: Colour) {
        self.marks.push(Mark::fill(Operation::Legend, self.to * curve::region(area), colour));
    }

    fn hatched(&mut self, area: &Polygon, kind: LineKind) {
        let path = hatch(&(self.to * curve::region(area)), GLUE_DEG, HATCH_MM);
        self.marks.push(Mark { operation: Operation::Legend, ink: Ink::Line { path, kind } });
    }

    fn placed(&mut self, area: &Polygon, kind: LineKind, paper: Colour) {
        self.fill(area, paper);
        self.line(kind, curve::region(area));
    }

    fn outline(&mut self, piece: &Piece, kind: LineKind, paper: Colour) {
        self.placed(&piece.polygon, kind, paper);
    }

    fn cut_out(&mut self, piece: &Piece) {
        let solid = Polygon::simple(piece.polygon.outer.clone());
        self.placed(&solid, LineKind::Outline, NEW);
        let at = self.to * curve::point(piece.bounds.centre());
        let room = (self.to * curve::contour(&piece.contour)).bounding_box();
        if room.width().min(room.height()) > TEXT_MM * 1.6 {
            self.write(&piece.letter, at, 0.0);
        } else {
            self.name(piece);
        }
    }

    fn opened(&mut self, piece: &Piece) {
        let solid = Polygon::simple(piece.polygon.outer.clone());
        self.placed(&solid, LineKind::ThinEdge, NEW);
        for cutout in &piece.cutouts {
            self.cutout(cutout, LineKind::Outline);
        }
        self.name(piece);
    }

    fn cutout(&mut self, cutout: &crate::assembly::Cutout, kind: LineKind) {
        match (&cutout.contour, cutout.kind) {
            (Some(contour), kind_of) => {
                if kind_of != CutoutKind::Slit {
                    let path = self.to * curve::contour(contour);
                    self.marks.push(Mark::fill(Operation::Legend, path, Colour::grey(200)));
                }
                self.line(kind, curve::contour(contour));
            }
            (None, _) => self.line(kind, curve::segment(curve::point(cutout.from), curve::point(cutout.to))),
        }
    }

    fn scores(&mut self, piece: &Piece, wanted: &dyn Fn(Fold) -> bool) {
        for crease in piece.creases.iter().filter(|c| wanted(c.fold)) {
            let kind = if crease.fold == Fold::Valley { LineKind::Valley } else { LineKind::Mountain };
            self.line(kind, curve::segment(curve::point(crease.from), curve::point(crease.to)));
        }
    }

    fn folded(&mut self, piece: &Piece) {
        self.outline(piece, LineKind::ThinEdge, NEW);
        self.scores(piece, &|_| true);
        let words = self.artist.words;
        for crease in &piece.creases {
            let (from, to) = (self.to * curve::point(crease.from), self.to * curve::point(crease.to));
            let label = if crease.fold == Fold::Valley { Label::Valley } else { Label::Mountain };
            let run = to - from;
            let angle = libm::atan2(run.y, run.x).to_degrees();
            let angle = if (-90.0..90.0).contains(&angle) { angle } else { angle - 180.0 };
            // Words stand clear of the line, on its upper or left side.
            let aside = super::text::rotate(Vec2::new(0.0, -TEXT_MM * 0.8), angle);
            let word = words.label(label);
            if self.artist.typeface.width(word, TEXT_MM) < run.hypot() {
                self.write(word, from.midpoint(to) + aside, angle);
            }
        }
        self.name(piece);
    }

    /// The letter of a piece beside its upper left corner, where nothing else is drawn.
    fn name(&mut self, piece: &Piece) {
        let corners = piece.bounds.corners().map(|corner| self.to * curve::point(corner));
        let left = corners.iter().map(|c| c.x).fold(f64::INFINITY, f64::min);
        let top = corners.iter().map(|c| c.y).fold(f64::INFINITY, f64::min);
        let width = self.artist.typeface.width(&piece.letter, TEXT_MM);
        let at = Point::new(left - width - 1.2, top + TEXT_MM * 0.8);
        self.marks.push(Mark::text(Operation::Legend, Text::new(&piece.letter, at, TEXT_MM)));
    }

    /// Words on white, so that they read over lines.
    fn write(&mut self, words: &str, at: Point, angle: f64) {
        let text = Text::centred(words, at, TEXT_MM, angle, self.artist.typeface);
        let ground: Rect =
            super::display::bounding_box(&text.corners(self.artist.typeface)).inflate(0.5, 0.2);
        if angle == 0.0 {
            self.marks.push(Mark::fill(Operation::Legend, curve::rectangle(ground), Colour::WHITE));
        }
        self.marks.push(Mark::text(Operation::Legend, text));
    }

    /// The openings through which a strap or a tongue runs, over the part.
    fn behind(&mut self, joint: &Joint) {
        let JointKind::Slide { how, .. } = &joint.kind else { return };
        let (piece, openings): (PieceId, Vec<usize>) = match how {
            SlideHow::Strap { piece, rails, .. } => (*piece, vec![rails.0, rails.1]),
            SlideHow::Through { piece, cutouts } => (*piece, cutouts.clone()),
            SlideHow::On { .. } => return,
        };
        let Some(piece) = self.artist.piece(piece) else { return };
        for cutout in openings.iter().filter_map(|c| piece.cutouts.get(*c)) {
            let path = match &cutout.contour {
                Some(contour) => curve::contour(contour),
                None => curve::segment(curve::point(cutout.from), curve::point(cutout.to)),
            };
            self.line(LineKind::Cut, path);
        }
    }

    fn glue(&mut self, spot: &Spot, to: &Isometry) {
        for area in &spot.region {
            let area = area.transformed(to);
            self.line(LineKind::ThinEdge, curve::region(&area));
            self.hatched(&area, LineKind::Glue);
        }
    }

    /// What must stay free of glue: its edge, and a word in it.
    fn free(&mut self, spot: &Spot, to: &Isometry) {
        let region: Vec<Polygon> = spot.region.iter().map(|p| p.transformed(to)).collect();
        for area in &region {
            self.line(LineKind::Position, curve::region(area));
        }
        let word = self.artist.words.label(Label::NoGlue);
        let room =
            region.iter().map(|p| (self.to * curve::region(p)).bounding_box().width()).fold(0.0, f64::max);
        // In a small place the dashes must do: the word would hide it.
        if let Some(at) = crate::geometry::region_centroid(&region)
            && room > self.artist.typeface.width(word, TEXT_MM) + 1.0
        {
            self.write(word, self.to * curve::point(at), 0.0);
        }
    }

    /// A block arrow from the right to a part, with the part's name.
    fn arrives(&mut self, area: &Polygon, name: &str) {
        let all = self.marks.iter().map(|m| m.bounds(self.artist.typeface)).reduce(|a, b| a.union(b));
        let Some(all) = all else { return };
        let part = curve::region(area);
        let bounds = (self.to * part).bounding_box();
        let tip = Point::new(all.x1 + 1.5, bounds.center().y);
        let arrow = symbol::block_arrow(tip, 180.0, ARROW_MM, ARROW_WIDE_MM);
        self.marks.push(Mark::fill(Operation::Legend, arrow, Colour::BLACK));
        let at = Point::new(tip.x, tip.y + ARROW_WIDE_MM / 2.0 + TEXT_MM * 1.2);
        self.marks.push(Mark::text(Operation::Legend, Text::new(name, at, TEXT_MM)));
    }

    /// A line with a head, for a way.
    fn arrow(&mut self, from: Point, to: Point) {
        let run = to - from;
        if run.hypot() < 2.0 {
            return;
        }
        let angle = libm::atan2(run.y, run.x).to_degrees();
        let head = symbol::block_arrow(to, angle, run.hypot(), ARROW_WIDE_MM.min(run.hypot() / 2.0));
        self.marks.push(Mark::fill(Operation::Legend, head, Colour::BLACK));
    }

    /// Tells of a drawing that shows the back.
    fn face_up(&mut self, face: Face) {
        if face == Face::Front {
            return;
        }
        let Some(y) = bottom(&self.marks, self.artist.typeface) else { return };
        let word = self.artist.words.label(Label::BackUp);
        self.marks.push(Mark::text(
            Operation::Legend,
            Text::new(word, Point::new(0.0, y + TEXT_MM * 1.4), TEXT_MM),
        ));
    }
}

/// The lower edge of what is drawn.
fn bottom(marks: &[Mark], typeface: &Typeface) -> Option<f64> {
    marks.iter().map(|m| m.bounds(typeface).y1).reduce(f64::max)
}
