//! The display list: marks on paper in millimetres, y downward. Everything is resolved before it comes here (curves are
//! paths, hatching is lines, arrows are fills), so that a back end is a small match over three inks.

use super::curve;
use super::line::LineKind;
use super::operation::Operation;
use super::printed::Image;
use super::text::{Text, Typeface, rotate};
use kurbo::{Affine, BezPath, Point, Rect, Shape, Size, Vec2};

/// A page or a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub title: String,
    /// Width and height in mm; the origin is the top left corner.
    pub size: Size,
    pub parts: Vec<Part>,
}

/// Marks that share a clip, in drawing order within each operation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Part {
    pub clip: Option<Rect>,
    pub marks: Vec<Mark>,
}

/// One thing drawn, and the operation it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    pub operation: Operation,
    pub ink: Ink,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Ink {
    Line {
        path: BezPath,
        kind: LineKind,
    },
    /// Filled by the even-odd rule.
    Fill {
        path: BezPath,
        paint: Paint,
    },
    Text(Text),
    Image(Image),
}

/// A colour, each channel 0 to 255 in sRGB.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Colour {
    pub red: u8,
    pub green: u8,
    pub blue: u8,
}

impl Colour {
    pub const BLACK: Colour = Colour::grey(0);
    pub const WHITE: Colour = Colour::grey(255);

    pub const fn grey(level: u8) -> Colour {
        Colour { red: level, green: level, blue: level }
    }
}

/// A colour laid on with an opacity in per cent (100 hides what lies beneath).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Paint {
    pub colour: Colour,
    pub opacity: u8,
}

impl From<Colour> for Paint {
    fn from(colour: Colour) -> Paint {
        Paint { colour, opacity: 100 }
    }
}

/// A named group of marks with its bounds, not yet on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub title: String,
    pub marks: Vec<Mark>,
    /// Marks on the back of the paper, in the frame of the front.
    pub back: Vec<Mark>,
    pub bounds: Rect,
}

impl Mark {
    /// A line in the operation that its kind usually belongs to.
    pub fn line(kind: LineKind, path: BezPath) -> Mark {
        Mark { operation: usual_operation(kind), ink: Ink::Line { path, kind } }
    }

    pub fn fill(operation: Operation, path: BezPath, paint: impl Into<Paint>) -> Mark {
        Mark { operation, ink: Ink::Fill { path, paint: paint.into() } }
    }

    pub fn text(operation: Operation, text: Text) -> Mark {
        Mark { operation, ink: Ink::Text(text) }
    }

    /// The smallest upright rectangle about the mark, line width included.
    pub fn bounds(&self, typeface: &Typeface) -> Rect {
        match &self.ink {
            Ink::Line { path, kind } => {
                let half = kind.stroke().width / 2.0;
                path.bounding_box().inflate(half, half)
            }
            Ink::Fill { path, .. } => path.bounding_box(),
            Ink::Image(image) => image.clip.bounding_box(),
            Ink::Text(text) => bounding_box(&text.corners(typeface)),
        }
    }

    pub fn moved(&self, by: Vec2) -> Mark {
        self.placed(0.0, by)
    }

    /// Turned about the origin (degrees, clockwise on paper), then moved.
    pub fn placed(&self, degrees: f64, by: Vec2) -> Mark {
        let (x, y) = (rotate(Vec2::new(1.0, 0.0), degrees), rotate(Vec2::new(0.0, 1.0), degrees));
        let affine = Affine::new([x.x, x.y, y.x, y.y, by.x, by.y]);
        self.carried(affine, |text| {
            let mut text = text.clone();
            text.at = affine * text.at;
            text.rotation += degrees;
            text
        })
    }

    /// Mirrored, as it must lie on the back of a page. Text keeps its place and can still be read.
    pub fn mirrored(&self, mirror: Affine, typeface: &Typeface) -> Mark {
        self.carried(mirror, |text| {
            let mut turned = text.clone().rotated(-text.rotation);
            let middle = |text: &Text| bounding_box(&text.corners(typeface)).center();
            turned.at += mirror * middle(text) - middle(&turned);
            turned
        })
    }

    /// Carried by an affine map; `text` says what becomes of text, which is not to be mirrored.
    fn carried(&self, affine: Affine, text: impl FnOnce(&Text) -> Text) -> Mark {
        let ink = match &self.ink {
            Ink::Line { path, kind } => Ink::Line { path: affine * path.clone(), kind: *kind },
            Ink::Fill { path, paint } => Ink::Fill { path: affine * path.clone(), paint: *paint },
            Ink::Text(words) => Ink::Text(text(words)),
            Ink::Image(image) => {
                let (place, clip) = (affine * image.place, affine * image.clip.clone());
                Ink::Image(Image { place, clip, ..image.clone() })
            }
        };
        Mark { operation: self.operation, ink }
    }

    /// Whether any ink falls inside the rectangle (its edges flattened to chords).
    pub fn touches(&self, rect: Rect, typeface: &Typeface) -> bool {
        let bounds = self.bounds(typeface);
        if bounds.x1 < rect.x0 || bounds.x0 > rect.x1 || bounds.y1 < rect.y0 || bounds.y0 > rect.y1 {
            return false;
        }
        match &self.ink {
            Ink::Line { path, .. } => curve::edges(path, crate::quantity::tolerance::CHORD_MM)
                .iter()
                .any(|(from, to)| segment_touches(*from, *to, rect)),
            Ink::Fill { .. } | Ink::Text(_) | Ink::Image(_) => true,
        }
    }
}

fn usual_operation(kind: LineKind) -> Operation {
    match kind {
        LineKind::Outline | LineKind::Cut => Operation::Cutting,
        LineKind::PartialCut => Operation::PartialCutting,
        LineKind::Perforation => Operation::Perforating,
        LineKind::Valley => Operation::Creasing,
        LineKind::Mountain => Operation::ReverseCreasing,
        LineKind::Dimension | LineKind::Extension => Operation::Dimensions,
        LineKind::Glue | LineKind::GlueBehind => Operation::Gluing,
        LineKind::Leader
        | LineKind::Position
        | LineKind::Centre
        | LineKind::Registration
        | LineKind::TestBar => Operation::Legend,
        LineKind::Edge | LineKind::ThinEdge => Operation::Artwork,
    }
}

impl Figure {
    /// A figure whose bounds are those of its marks, widened by `margin` mm.
    pub fn around(title: &str, marks: Vec<Mark>, margin: f64, typeface: &Typeface) -> Figure {
        let bounds =
            marks.iter().map(|mark| mark.bounds(typeface)).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let (title, bounds) = (title.to_owned(), bounds.inflate(margin, margin));
        Figure { title, marks, back: Vec::new(), bounds }
    }

    pub fn with_back(mut self, marks: Vec<Mark>, typeface: &Typeface) -> Figure {
        self.bounds = marks.iter().map(|mark| mark.bounds(typeface)).fold(self.bounds, |a, b| a.union(b));
        self.back = marks;
        self
    }

    /// The figure alone on a sheet of its own size.
    pub fn alone(&self) -> Drawing {
        let offset = -self.bounds.origin().to_vec2();
        let marks = self.marks.iter().map(|mark| mark.moved(offset)).collect();
        Drawing {
            title: self.title.clone(),
            size: self.bounds.size(),
            parts: vec![Part { clip: None, marks }],
        }
    }
}

impl Drawing {
    /// The operations that have marks, in drawing order.
    pub fn operations(&self) -> Vec<Operation> {
        let used = |operation: &Operation| {
            self.parts.iter().flat_map(|part| &part.marks).any(|mark| mark.operation == *operation)
        };
        Operation::ALL.into_iter().filter(used).collect()
    }
}

pub fn bounding_box(points: &[Point]) -> Rect {
    let mut points = points.iter();
    let Some(first) = points.next() else { return Rect::ZERO };
    points.fold(Rect::from_points(*first, *first), |rect, point| rect.union_pt(*point))
}

/// Whether a segment has a point inside the rectangle (Liang and Barsky's clip, 1984).
fn segment_touches(from: Point, to: Point, rect: Rect) -> bool {
    let along = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (step, room_before, room_after) in
        [(along.x, from.x - rect.x0, rect.x1 - from.x), (along.y, from.y - rect.y0, rect.y1 - from.y)]
    {
        if step == 0.0 {
            if room_before < 0.0 || room_after < 0.0 {
                return false;
            }
            continue;
        }
        let (a, b) = (-room_before / step, room_after / step);
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    enter <= leave
}
