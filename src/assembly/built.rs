//! A piece on its own, before it gets its number in the assembly: panels and creases are counted within the piece.
//! Also how a reading or a placement finds the features of a piece.

use super::model::{Crease, Cutout, CutoutKind, Mark, PaperId, PieceKind, Side, Written};
use crate::geometry::{Contour, Isometry, Point, Polygon, Rect, Segment, pt, ring_edges};
use crate::meaning::design::{Feature, FeatureKind, SideWord};
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::source::Span;

/// A side that leans by less than this from the level (or the upright) counts as the bottom (or the left) of a panel
/// whose box it does not lie on.
const LEANING_SIDE_DEG: f64 = 60.0;

#[derive(Debug, Clone)]
pub(super) struct Built {
    pub name: String,
    pub kind: PieceKind,
    pub paper: PaperId,
    pub contour: Contour,
    pub polygon: Polygon,
    pub body: Rect,
    pub size: Option<(Written, Written)>,
    pub creases: Vec<Crease>,
    pub cutouts: Vec<Cutout>,
    pub marks: Vec<Mark>,
    pub panels: Vec<BuiltPanel>,
    pub hinges: Vec<Hinge>,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub(super) struct BuiltPanel {
    pub name: String,
    pub polygon: Polygon,
    pub span: Span,
}

/// A stretch of a crease between two panels; panel `a` lies on the left hand of its direction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hinge {
    pub crease: usize,
    pub a: usize,
    pub b: usize,
    pub line: Segment,
}

/// Where a feature lies in its piece's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Located {
    /// A side of a box: the line, and the direction into the box.
    Edge {
        line: Segment,
        inward: Point,
    },
    Line(Segment),
    Box(Rect),
    Point(Point),
}

impl Located {
    pub fn side(rect: &Rect, side: Side) -> Self {
        let [tl, tr, br, bl] = rect.corners();
        let (line, inward) = match side {
            Side::Left => (Segment::new(tl, bl), pt(1.0, 0.0)),
            Side::Right => (Segment::new(tr, br), pt(-1.0, 0.0)),
            Side::Top => (Segment::new(tl, tr), pt(0.0, 1.0)),
            Side::Bottom => (Segment::new(bl, br), pt(0.0, -1.0)),
        };
        Self::Edge { line, inward }
    }

    pub fn line(&self) -> Option<Segment> {
        match self {
            Self::Edge { line, .. } | Self::Line(line) => Some(*line),
            Self::Box(_) | Self::Point(_) => None,
        }
    }

    pub fn points(&self) -> Vec<Point> {
        match self {
            Self::Edge { line, .. } | Self::Line(line) => vec![line.start, line.end],
            Self::Box(rect) => rect.corners().to_vec(),
            Self::Point(point) => vec![*point],
        }
    }

    pub fn transformed(&self, motion: &Isometry) -> Self {
        match self {
            Self::Edge { line, inward } => {
                Self::Edge { line: motion.apply_segment(*line), inward: motion.apply_vector(*inward) }
            }
            Self::Line(line) => Self::Line(motion.apply_segment(*line)),
            Self::Box(rect) => {
                let corners = rect.corners().map(|corner| motion.apply(corner));
                Self::Box(Rect::of_points(corners).unwrap_or(*rect))
            }
            Self::Point(point) => Self::Point(motion.apply(*point)),
        }
    }

    /// Distance of a point from the feature.
    pub fn distance(&self, point: Point) -> f64 {
        match self {
            Self::Edge { line, .. } | Self::Line(line) => line.distance(point),
            Self::Box(rect) => rect.centre().distance(point),
            Self::Point(at) => at.distance(point),
        }
    }
}

pub(super) fn side(word: SideWord) -> Side {
    match word {
        SideWord::Left => Side::Left,
        SideWord::Right => Side::Right,
        SideWord::Top => Side::Top,
        SideWord::Bottom => Side::Bottom,
    }
}

impl Built {
    pub fn panel(&self, name: &str) -> Option<usize> {
        self.panels.iter().position(|panel| panel.name == name)
    }

    pub fn panel_box(&self, index: usize) -> Rect {
        match self.panels.get(index) {
            // The contour's box is exact; that of the chords may lack a hair at a curve.
            Some(panel) if self.panels.len() > 1 => panel.polygon.bounds(),
            _ => self.body,
        }
    }

    pub fn crease(&self, name: &str) -> Option<usize> {
        self.creases.iter().position(|crease| crease.name == name)
    }

    pub fn cutout(&self, name: &str) -> Option<usize> {
        self.cutouts.iter().position(|cutout| cutout.name == name)
    }

    /// The one panel of the piece when no panel is named; of a strap its front band.
    pub fn only_panel(&self) -> Option<usize> {
        match (self.kind, self.panels.len()) {
            (_, 1) | (PieceKind::Strap, 2..) => Some(0),
            _ => None,
        }
    }

    /// The panel a part speaks of, when it is one.
    pub fn panel_or_only(&self, name: Option<&str>) -> Option<usize> {
        name.map_or_else(|| self.only_panel(), |name| self.panel(name))
    }

    /// The box of a named panel, or of the whole piece without its tabs.
    pub fn box_of(&self, panel: Option<&str>) -> Option<Rect> {
        match panel {
            Some(name) => self.panel(name).map(|index| self.panel_box(index)),
            None => Some(self.body),
        }
    }

    /// Where a feature lies; `panel` is the glued panel, for "the crease" of a part.
    pub fn locate(&self, feature: &FeatureKind, panel: Option<usize>) -> Option<Located> {
        Some(match feature {
            FeatureKind::Whole => Located::Box(self.body),
            FeatureKind::Panel(name) => Located::Box(self.panel_box(self.panel(name)?)),
            FeatureKind::Edge(name, word) => Located::side(&self.box_of(name.as_deref())?, side(*word)),
            FeatureKind::Crease(name) => {
                let crease = self.creases.get(self.crease(name)?)?;
                Located::Line(Segment::new(crease.from, crease.to))
            }
            FeatureKind::OwnCrease => Located::Line(self.own_crease(panel?)?),
            FeatureKind::Cutout(name) => located_cutout(self.cutouts.get(self.cutout(name)?)?),
            FeatureKind::Mark(name) => Located::Point(self.marks.iter().find(|mark| mark.name == *name)?.at),
        })
    }

    /// The straight edge of the paper that a named side stands for, where it is not just the side of the box: a slanted
    /// side when the panel has no edge on its box there.
    pub fn real_edge(&self, feature: &Feature) -> Option<Segment> {
        let FeatureKind::Edge(name, word) = &feature.what else { return None };
        let polygon = match name {
            Some(name) => &self.panels.get(self.panel(name)?)?.polygon,
            None => &self.polygon,
        };
        edge_on_side(polygon, side(*word))
    }

    fn own_crease(&self, panel: usize) -> Option<Segment> {
        let mut around = self.hinges.iter().filter(|h| h.a == panel || h.b == panel).map(|h| h.crease);
        let first = around.next()?;
        if around.any(|other| other != first) {
            return None;
        }
        let crease = self.creases.get(first)?;
        Some(Segment::new(crease.from, crease.to))
    }
}

fn located_cutout(cutout: &Cutout) -> Located {
    match cutout.kind {
        CutoutKind::Slot | CutoutKind::Slit => Located::Line(Segment::new(cutout.from, cutout.to)),
        CutoutKind::Hole => Located::Point(cutout.centre),
        CutoutKind::Window => {
            cutout.contour.as_ref().map_or(Located::Point(cutout.centre), |c| Located::Box(c.bounds()))
        }
    }
}

/// The longest straight edge of a polygon on a side of its box; failing that, the longest one that looks that way.
pub(super) fn edge_on_side(polygon: &Polygon, side: Side) -> Option<Segment> {
    let bounds = polygon.bounds();
    let at = side.of(&bounds);
    let coordinate = |p: Point| if side.is_across() { p.x } else { p.y };
    let on_box = |e: &Segment| {
        (coordinate(e.start) - at).abs() <= COINCIDENT_MM && (coordinate(e.end) - at).abs() <= COINCIDENT_MM
    };
    let outward = match side {
        Side::Left => pt(-1.0, 0.0),
        Side::Right => pt(1.0, 0.0),
        Side::Top => pt(0.0, -1.0),
        Side::Bottom => pt(0.0, 1.0),
    };
    let least = libm::cos(LEANING_SIDE_DEG.to_radians());
    let looks = |e: &Segment| e.vector().unit().is_some_and(|u| u.turned_left().dot(outward) >= least);
    let longest = |list: Vec<Segment>| {
        list.into_iter().max_by(|a, b| a.length().total_cmp(&b.length())).map(in_reading_order)
    };
    longest(ring_edges(&polygon.outer).filter(on_box).collect())
        .or_else(|| longest(ring_edges(&polygon.outer).filter(looks).collect()))
}

/// From left to right; an upright segment from top to bottom.
pub(super) fn in_reading_order(segment: Segment) -> Segment {
    let (dx, dy) = (segment.end.x - segment.start.x, segment.end.y - segment.start.y);
    let forward = if dx.abs() > COINCIDENT_MM { dx > 0.0 } else { dy > 0.0 };
    if forward { segment } else { segment.reversed() }
}
