//! Pictures of the finished card: a pose from the front, from behind or from a three-quarter view, papers in their
//! colours, prints on their faces, hidden parts hidden, the size of the whole beside it.

use kurbo::{BezPath, Shape};

use super::clearance::Clearance;
use super::dimension::{self, Reading, Side, Style};
use super::lettering::{Lettering, lines};
use super::picture::{Cells, moved};
use super::{Colour, Figure, LineKind, Mark, Operation, Typeface, curve, spatial};
use crate::assembly::{Assembly, Face, JointKind, PanelId, Print, PrintContent};
use crate::geometry::{Contour, Point, Polygon, Region, Segment, intersection, pt};
use crate::layers::Card;
use crate::layers::hidden::{Camera, Leaf, Projected, seen, seen_segment};
use crate::motion::{Iso, PoseState, Vec3};
use crate::quantity::tolerance;

/// What a picture needs to know besides the assembly.
#[derive(Clone, Copy)]
pub struct Staging<'a> {
    pub state: &'a PoseState,
    pub card: &'a Card,
    pub lettering: Lettering<'a>,
    /// The cells of a picture file, `None` when it cannot be read.
    pub picture: &'a dyn Fn(&[u8]) -> Option<Cells>,
    pub typeface: &'a Typeface,
}

/// In a picture of a card this large, figures have the size they have on a net, mm.
const USUAL_SIZE_MM: f64 = 110.0;

/// Height of the letters on a picture, as a share of its longer side.
const LETTER_SHARE: f64 = 0.026;

/// The head of a brad: its colour, how far it reaches beyond the hole, and how far it lies off the paper, mm.
const BRASS: Colour = Colour { red: 190, green: 156, blue: 82 };
const HEAD_RIM_MM: f64 = 1.5;
const HEAD_LIFT_MM: f64 = 0.1;

/// A pose ready to be looked at from anywhere.
pub struct Stage<'a> {
    assembly: &'a Assembly,
    /// By leaf drawn: its number in the card and its panel; `None` for the head of a brad.
    origin: Vec<Option<(usize, PanelId)>>,
    leaves: Vec<Leaf>,
    staging: Staging<'a>,
}

impl<'a> Stage<'a> {
    pub fn new(assembly: &'a Assembly, staging: Staging<'a>) -> Self {
        let mut origin = Vec::new();
        let mut leaves = Vec::new();
        for (number, leaf) in staging.card.leaves.iter().enumerate() {
            let Some(frame) = staging.state.frames.get(leaf.panel).copied().flatten() else { continue };
            // A flat card is drawn as thick as it is, so that what is glued over a raised part lies over it.
            let lift = match staging.card.heights.get(number) {
                Some(height) => height - frame.shift.z,
                None => 0.0,
            };
            origin.push(Some((number, leaf.panel)));
            leaves.push(Leaf {
                frame: Iso::translation(Vec3::new(0.0, 0.0, lift)) * frame,
                polygon: leaf.polygon.clone(),
            });
        }
        let heads = heads(assembly, &staging, &leaves, &origin);
        origin.resize(origin.len() + heads.len(), None);
        leaves.extend(heads);
        Self { assembly, origin, leaves, staging }
    }

    /// Extent of everything on the drawing of a camera: left, top, right, bottom in mm.
    fn bounds(&self, camera: &Camera) -> Option<kurbo::Rect> {
        let paper = self.leaves.iter().zip(&self.origin).filter(|(_, origin)| origin.is_some());
        let points = paper.flat_map(|(leaf, _)| {
            leaf.polygon.outer.iter().map(|p| camera.project(leaf.frame.point(Vec3::new(p.x, -p.y, 0.0))).0)
        });
        let rect = crate::geometry::Rect::of_points(points)?;
        Some(kurbo::Rect::new(rect.min.x, rect.min.y, rect.max.x, rect.max.y))
    }

    /// The picture; with `sizes`, the width and the height of the whole are written beside it.
    pub fn picture(&self, title: &str, camera: &Camera, sizes: Option<&dyn Fn(f64) -> String>) -> Figure {
        let nearer = |i: usize, j: usize| self.is_nearer(camera, i, j);
        let all = seen(&self.leaves, camera, nearer);
        let mut marks = Vec::new();
        for (i, (leaf, region)) in all.iter().enumerate() {
            let Some((_, panel)) = self.origin.get(i).copied().flatten() else {
                let head = shaded(BRASS, shade(leaf), 0.0);
                marks.extend(
                    (!region.is_empty()).then(|| Mark::fill(Operation::Artwork, path_of(region), head)),
                );
                continue;
            };
            marks.extend(self.fill(panel, leaf, region));
            marks.extend(self.prints(i, panel, leaf, region, camera));
        }
        for i in 0..all.len() {
            marks.extend(self.edges(i, &all, camera, &nearer));
        }
        if let (Some(say), Some(bounds)) = (sizes, self.bounds(camera)) {
            marks.extend(self.sizes(bounds, say));
        }
        Figure::around(title, marks, 4.0, self.staging.typeface)
    }

    /// The picture from a camera that looks at an angle, its sizes in the plane of the paper.
    pub fn sized_picture(&self, title: &str, camera: &Camera, say: &dyn Fn(f64) -> String) -> Figure {
        let mut figure = self.picture(title, camera, None);
        let scale = self.bounds(camera).map_or(1.0, figures_scale);
        let paper: Vec<Leaf> = self
            .leaves
            .iter()
            .zip(&self.origin)
            .filter(|(_, origin)| origin.is_some())
            .map(|(leaf, _)| leaf.clone())
            .collect();
        figure.marks.extend(spatial::sizes(&paper, camera, scale, say, self.staging.typeface));
        Figure::around(title, figure.marks, 4.0, self.staging.typeface)
    }

    /// The letters of the cut list, each on the largest part that is seen of its piece.
    pub fn piece_letters(&self, camera: &Camera) -> Vec<Mark> {
        let nearer = |i: usize, j: usize| self.is_nearer(camera, i, j);
        let all = seen(&self.leaves, camera, nearer);
        let Some(bounds) = self.bounds(camera) else { return Vec::new() };
        let size = LETTER_SHARE * bounds.width().max(bounds.height());
        let mut marks = Vec::new();
        for (id, piece) in self.assembly.pieces.iter().enumerate() {
            let is_own = |i: usize| {
                let panel = self.origin.get(i).copied().flatten().map(|(_, panel)| panel);
                panel.and_then(|p| self.assembly.panels.get(p)).is_some_and(|p| p.piece == id)
            };
            let own = all.iter().enumerate().filter(|(i, _)| is_own(*i)).flat_map(|(_, (_, region))| region);
            let Some(largest) = own.max_by(|a, b| a.area().total_cmp(&b.area())) else { continue };
            let at = curve::point(inner_point(largest));
            let disc = curve::circle(at, size * 0.8);
            marks.push(Mark::fill(Operation::Legend, disc.clone(), Colour::WHITE));
            marks.push(Mark {
                operation: Operation::Legend,
                ink: super::Ink::Line { path: disc, kind: LineKind::Extension },
            });
            let text = super::Text::centred(&piece.letter, at, size, 0.0, self.staging.typeface);
            marks.push(Mark::text(Operation::Legend, text));
        }
        marks
    }

    /// How much of areas of the card a camera sees. An area is a panel's, on one face, in the frame of its piece; for
    /// each the share of it that is seen, by area on the drawing, and whether its top is up.
    pub fn shares(&self, camera: &Camera, areas: &[(PanelId, Face, Polygon)]) -> Vec<(f64, bool)> {
        let nearer = |i: usize, j: usize| self.is_nearer(camera, i, j);
        let all = seen(&self.leaves, camera, nearer);
        let share = |(panel, face, area): &(PanelId, Face, Polygon)| {
            let (mut whole, mut free, mut up) = (0.0, 0.0, true);
            for (i, (leaf, region)) in all.iter().enumerate() {
                let is_panel = self.origin.get(i).copied().flatten().is_some_and(|(_, p)| p == *panel);
                let Some(frame) = self.leaves.get(i).map(|l| l.frame).filter(|_| is_panel) else { continue };
                let place = |p: Point| camera.project(frame.point(Vec3::new(p.x, -p.y, 0.0))).0;
                let here = moved(std::slice::from_ref(area), place);
                whole +=
                    crate::geometry::region_area(&intersection(&here, std::slice::from_ref(&leaf.polygon)));
                if (*face == Face::Front) == leaf.front {
                    free += crate::geometry::region_area(&intersection(&here, region));
                    up = camera.direction(frame.direction(Vec3::y())).y >= 0.0;
                }
            }
            (if whole > 0.0 { (free / whole).clamp(0.0, 1.0) } else { 0.0 }, up)
        };
        areas.iter().map(share).collect()
    }

    /// Whether leaf `j` lies nearer to the viewer than leaf `i`, both in one plane.
    fn is_nearer(&self, camera: &Camera, i: usize, j: usize) -> bool {
        let (Some(Some((a, _))), Some(Some((b, _)))) = (self.origin.get(i), self.origin.get(j)) else {
            // The head of a brad lies on the paper.
            return self.origin.get(j) == Some(&None);
        };
        let Some(leaf) = self.leaves.get(i) else { return false };
        let front_seen = camera.direction(leaf.frame.front()).z > 0.0;
        self.staging.card.is_nearer(*a, *b, front_seen)
    }

    fn paper_colour(&self, panel: PanelId) -> Colour {
        let paper =
            self.assembly.panels.get(panel).and_then(|p| self.assembly.pieces.get(p.piece)).map(|p| p.paper);
        match paper.and_then(|p| self.assembly.papers.get(p)) {
            Some(paper) => {
                Colour { red: paper.colour.red, green: paper.colour.green, blue: paper.colour.blue }
            }
            None => Colour::WHITE,
        }
    }

    fn fill(&self, panel: PanelId, leaf: &Projected, region: &Region) -> Option<Mark> {
        if region.is_empty() {
            return None;
        }
        // Backs are a little lighter than fronts.
        let colour = shaded(self.paper_colour(panel), shade(leaf), if leaf.front { 0.0 } else { 0.10 });
        Some(Mark::fill(Operation::Artwork, path_of(region), colour))
    }

    fn prints(
        &self,
        i: usize,
        panel: PanelId,
        leaf: &Projected,
        region: &Region,
        camera: &Camera,
    ) -> Vec<Mark> {
        let (Some(frame), false) = (self.leaves.get(i).map(|l| l.frame), region.is_empty()) else {
            return Vec::new();
        };
        let shown = |p: &&Print| p.panel == panel && (p.face == Face::Front) == leaf.front;
        let place = |p: Point| camera.project(frame.point(Vec3::new(p.x, -p.y, 0.0))).0;
        let mut marks = Vec::new();
        for print in self.assembly.prints_laid_on().filter(shown) {
            let room = moved(&print.region(self.assembly), place);
            let whole = crate::geometry::difference(&room, region).is_empty();
            for (colour, area) in self.ink(print, panel, leaf) {
                let on_drawing = moved(&area, place);
                let visible = if whole { on_drawing } else { intersection(&on_drawing, region) };
                if !visible.is_empty() {
                    let path = if whole { each(&visible) } else { vec![path_of(&visible)] };
                    marks.extend(path.into_iter().map(|p| Mark::fill(Operation::Artwork, p, colour)));
                }
            }
        }
        marks
    }

    /// A print as areas of one colour each, in its piece's frame.
    fn ink(&self, print: &Print, panel: PanelId, leaf: &Projected) -> Vec<(Colour, Region)> {
        if let PrintContent::Picture { bytes, .. } = &print.content
            && let Some(cells) = (self.staging.picture)(bytes)
        {
            let shade = shade(leaf);
            let Some(laid) = print.laid() else { return Vec::new() };
            let region = print.region(self.assembly);
            let on_panel = |area: Region| {
                let placed: Region = area.iter().map(|p| p.transformed(&laid.place)).collect();
                if print.spread.is_some() { intersection(&placed, &region) } else { placed }
            };
            let areas = cells.areas(laid.whole).into_iter();
            return areas.map(|(colour, area)| (shaded(colour, shade, 0.0), on_panel(area))).collect();
        }
        let paper = self.paper_colour(panel);
        let light =
            299 * u32::from(paper.red) + 587 * u32::from(paper.green) + 114 * u32::from(paper.blue) > 130_000;
        let ink = if light { Colour::grey(25) } else { Colour::grey(245) };
        vec![(ink, self.letters(print))]
    }

    /// The print as filled shapes in its piece's frame.
    fn letters(&self, print: &Print) -> Region {
        let area = print.area;
        let text = match &print.content {
            PrintContent::Text(text) => text.clone(),
            PrintContent::Picture { .. } => {
                // A picture that cannot be read is shown as the frame it fills.
                let inner = area.expanded(-0.4);
                return crate::geometry::difference(
                    &[Polygon::rectangle(area)],
                    &[Polygon::rectangle(inner)],
                );
            }
        };
        let lines = lines(print, &text, self.staging.lettering);
        let rings = lines.iter().flat_map(flattened);
        let rings = rings.map(|ring| ring.into_iter().map(|p| pt(p.x, p.y)).collect()).collect();
        even_odd(rings)
    }

    fn edges(
        &self,
        i: usize,
        all: &[(Projected, Region)],
        camera: &Camera,
        nearer: &impl Fn(usize, usize) -> bool,
    ) -> Vec<Mark> {
        let Some(leaf) = self.leaves.get(i) else { return Vec::new() };
        let folds = self.open_folds(i);
        let mut strong = BezPath::new();
        let mut thin = BezPath::new();
        for edge in leaf.polygon.edges() {
            let on_fold = folds.iter().any(|f| {
                let near = |p: Point| f.distance(p) < tolerance::COINCIDENT_MM * 5.0;
                near(edge.start) && near(edge.end)
            });
            let path = if on_fold { &mut thin } else { &mut strong };
            for shown in seen_segment(all, i, &self.leaves, camera, edge, nearer) {
                path.move_to((shown.start.x, shown.start.y));
                path.line_to((shown.end.x, shown.end.y));
            }
        }
        let mut marks = Vec::new();
        for (kind, path) in [(LineKind::Edge, strong), (LineKind::ThinEdge, thin)] {
            if !path.elements().is_empty() {
                let mut mark = Mark::line(kind, path);
                mark.operation = Operation::Artwork;
                marks.push(mark);
            }
        }
        marks
    }

    /// Fold lines of a leaf across which the paper lies flat: drawn thin, the sheet goes on behind them.
    fn open_folds(&self, i: usize) -> Vec<Segment> {
        let Some((_, panel)) = self.origin.get(i).copied().flatten() else { return Vec::new() };
        let front = |p: PanelId| self.staging.state.frames.get(p).copied().flatten().map(|f| f.front());
        self.assembly
            .joints
            .iter()
            .filter(|j| j.a == panel || j.b == panel)
            .filter_map(|j| match &j.kind {
                JointKind::Fold { from, to, .. } => {
                    let flat = front(j.a)?.dot(&front(j.b)?) > 0.999;
                    flat.then_some(Segment { start: *from, end: *to })
                }
                _ => None,
            })
            .collect()
    }

    fn sizes(&self, bounds: kurbo::Rect, say: &dyn Fn(f64) -> String) -> Vec<Mark> {
        let reading = |side, datum: (f64, f64), feature: (f64, f64), mm: f64| Reading {
            side,
            datum: datum.into(),
            feature: feature.into(),
            text: say(mm),
        };
        let (x0, y0, x1, y1) = (bounds.x0, bounds.y0, bounds.x1, bounds.y1);
        let readings = [
            reading(Side::Bottom, (x0, y1), (x1, y1), bounds.width()),
            reading(Side::Left, (x0, y1), (x0, y0), bounds.height()),
        ];
        let mut taken = Clearance::default();
        let usual = Style::default();
        let scale = figures_scale(bounds);
        let style = Style {
            text_size: usual.text_size * scale,
            first: usual.first * scale,
            pitch: usual.pitch * scale,
        };
        dimension::dimension(bounds, &readings, style, &mut taken, self.staging.typeface)
    }
}

/// Figures keep their share of a picture that is shown smaller or larger than the card.
fn figures_scale(bounds: kurbo::Rect) -> f64 {
    (bounds.width().max(bounds.height()) / USUAL_SIZE_MM).clamp(0.5, 4.0)
}

/// A point well inside a polygon: its centroid, or else the middle of the widest run on the level of its centroid.
fn inner_point(polygon: &Polygon) -> Point {
    let centre = polygon.centroid();
    if polygon.contains_strictly(centre) {
        return centre;
    }
    let mut crossings: Vec<f64> = polygon
        .edges()
        .filter(|e| (e.start.y <= centre.y) != (e.end.y <= centre.y))
        .map(|e| e.start.x + (e.end.x - e.start.x) * (centre.y - e.start.y) / (e.end.y - e.start.y))
        .collect();
    crossings.sort_by(f64::total_cmp);
    let runs = crossings.chunks_exact(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?)));
    let widest = runs.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    widest.map_or(centre, |(from, to)| pt((from + to) / 2.0, centre.y))
}

/// The heads of the brads, before and behind what they hold together.
fn heads(
    assembly: &Assembly,
    staging: &Staging,
    leaves: &[Leaf],
    origin: &[Option<(usize, PanelId)>],
) -> Vec<Leaf> {
    let mut heads = Vec::new();
    for joint in &assembly.joints {
        let JointKind::Pin { centre, holes, .. } = &joint.kind else { continue };
        let Some(frame) = staging.state.frames.get(joint.a).copied().flatten() else { continue };
        let flat = crate::geometry::Outline::from(Contour::circle(
            *centre,
            holes.0.max(holes.1) / 2.0 + HEAD_RIM_MM,
        ))
        .flatten(tolerance::CHORD_MM);
        // How far the held leaves lie from the target's own plane, along its normal.
        let normal = frame.front();
        let heights = leaves.iter().zip(origin).filter_map(|(leaf, from)| {
            let (_, panel) = (*from)?;
            let held = panel == joint.a || panel == joint.b;
            held.then(|| normal.dot(&(leaf.frame.shift - frame.shift)))
        });
        let (low, high) =
            heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| (low.min(h), high.max(h)));
        if low > high {
            continue;
        }
        for height in [low - HEAD_LIFT_MM, high + HEAD_LIFT_MM] {
            heads.push(Leaf { frame: Iso::translation(normal * height) * frame, polygon: flat.clone() });
        }
    }
    heads
}

/// A leaf that is turned away from the viewer is a little darker.
fn shade(leaf: &Projected) -> f64 {
    0.72 + 0.28 * leaf.facing
}

fn shaded(colour: Colour, shade: f64, lift: f64) -> Colour {
    let channel = |c: u8| {
        let c = f64::from(c) * shade;
        (c + (255.0 - c) * lift).round().clamp(0.0, 255.0) as u8
    };
    Colour { red: channel(colour.red), green: channel(colour.green), blue: channel(colour.blue) }
}

/// A path for every polygon: cells overlap, and what overlaps must not cancel out.
fn each(region: &[Polygon]) -> Vec<BezPath> {
    region.iter().map(|polygon| path_of(std::slice::from_ref(polygon))).collect()
}

/// Polygons as one path for the even-odd rule.
fn path_of(region: &[Polygon]) -> BezPath {
    let mut path = BezPath::new();
    for ring in region.iter().flat_map(|p| p.rings()) {
        let points: Vec<kurbo::Point> = ring.iter().map(|p| kurbo::Point::new(p.x, p.y)).collect();
        path.extend(curve::polygon(&points).elements().iter().copied());
    }
    path
}

/// Rings of an outline given for an em of 1 mm and drawn at `em` mm.
fn flattened(outline: &BezPath) -> Vec<Vec<kurbo::Point>> {
    let mut rings: Vec<Vec<kurbo::Point>> = Vec::new();
    let fine = tolerance::CHORD_MM;
    kurbo::flatten(outline.path_elements(fine), fine, |el| match el {
        kurbo::PathEl::MoveTo(p) => rings.push(vec![p]),
        kurbo::PathEl::LineTo(p) => {
            if let Some(ring) = rings.last_mut() {
                ring.push(p);
            }
        }
        _ => {}
    });
    rings.retain(|r| r.len() >= 3);
    rings
}

/// Rings as polygons under the even-odd rule, which is how letters with counters are meant.
fn even_odd(rings: Vec<Vec<Point>>) -> Region {
    let mut region = Region::new();
    for ring in rings {
        region = crate::geometry::xor(&region, &[Polygon::simple(ring)]);
    }
    region
}
