//! What already lies on the paper, so that a label can ask whether a place is free.
//!
//! Everything is kept as small convex shapes (a segment is a convex shape of two points); two of them are apart when some
//! edge normal separates their projections (the separating axis theorem).

use super::curve;
use super::display::{Ink, Mark, bounding_box};
use super::text::Typeface;
use kurbo::{BezPath, Point, Rect, Vec2};

/// Curves are flattened to this for label placing: a quarter of a narrow line.
const FLAT_MM: f64 = 0.05;

/// The occupied places of a drawing.
#[derive(Debug, Clone, Default)]
pub struct Clearance {
    shapes: Vec<Convex>,
}

#[derive(Debug, Clone)]
struct Convex {
    points: Vec<Point>,
    bounds: Rect,
}

impl Convex {
    fn new(points: Vec<Point>) -> Convex {
        let bounds = bounding_box(&points);
        Convex { points, bounds }
    }

    fn overlaps(&self, other: &Convex) -> bool {
        self.bounds.x0 < other.bounds.x1
            && other.bounds.x0 < self.bounds.x1
            && self.bounds.y0 < other.bounds.y1
            && other.bounds.y0 < self.bounds.y1
            && !separated(&self.points, &other.points)
            && !separated(&other.points, &self.points)
    }
}

/// Whether an edge normal (or, for a segment, its direction) of `shape` separates the two.
fn separated(shape: &[Point], other: &[Point]) -> bool {
    (0..shape.len()).any(|index| {
        let along = shape[(index + 1) % shape.len()] - shape[index];
        let axis = Vec2::new(-along.y, along.x);
        let (low, high) = project(shape, axis);
        let (other_low, other_high) = project(other, axis);
        axis != Vec2::ZERO && (high <= other_low || other_high <= low)
    })
}

fn project(points: &[Point], axis: Vec2) -> (f64, f64) {
    points
        .iter()
        .map(|point| point.to_vec2().dot(axis))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

impl Clearance {
    /// Notes every line, and the box of every text. Fills are ground, not obstacles, unless they are small (arrowheads).
    pub fn of(marks: &[Mark], typeface: &Typeface) -> Clearance {
        let mut clearance = Clearance::default();
        for mark in marks {
            clearance.add_mark(mark, typeface);
        }
        clearance
    }

    pub fn add_mark(&mut self, mark: &Mark, typeface: &Typeface) {
        match &mark.ink {
            Ink::Line { path, .. } => self.add_path(path),
            Ink::Fill { .. } | Ink::Image(_) => {}
            Ink::Text(text) => self.add_box(&text.corners(typeface)),
        }
    }

    pub fn add_path(&mut self, path: &BezPath) {
        for (from, to) in curve::edges(path, FLAT_MM) {
            self.add_segment(from, to);
        }
    }

    pub fn add_segment(&mut self, from: Point, to: Point) {
        // A hair of width keeps the bounding boxes of upright lines from being empty.
        self.shapes
            .push(Convex { points: vec![from, to], bounds: Rect::from_points(from, to).inflate(1e-6, 1e-6) });
    }

    /// A convex shape, corners in turn.
    pub fn add_box(&mut self, corners: &[Point]) {
        self.shapes.push(Convex::new(corners.to_vec()));
    }

    /// Whether a convex shape meets nothing noted so far.
    pub fn is_free(&self, corners: &[Point]) -> bool {
        let wanted = Convex::new(corners.to_vec());
        self.shapes.iter().all(|shape| !shape.overlaps(&wanted))
    }

    /// Whether a segment strikes through no text noted so far; lines it may cross.
    pub fn is_clear_of_texts(&self, from: Point, to: Point) -> bool {
        let wanted =
            Convex { points: vec![from, to], bounds: Rect::from_points(from, to).inflate(1e-6, 1e-6) };
        self.shapes.iter().filter(|shape| shape.points.len() > 2).all(|shape| !shape.overlaps(&wanted))
    }

    /// Whether a segment meets nothing noted so far.
    pub fn is_segment_free(&self, from: Point, to: Point) -> bool {
        let wanted =
            Convex { points: vec![from, to], bounds: Rect::from_points(from, to).inflate(1e-6, 1e-6) };
        self.shapes.iter().all(|shape| !shape.overlaps(&wanted))
    }
}

/// A convex shape grown by `margin` on every side of its bounding parallelogram: corners in turn, sides at right angles.
pub fn grown(corners: [Point; 4], margin: f64) -> [Point; 4] {
    let unit = |from: Point, to: Point| {
        let along = to - from;
        let length = along.hypot();
        if length > 0.0 { along / length } else { Vec2::ZERO }
    };
    let [a, b, c, d] = corners;
    let (x, y) = (unit(a, b) * margin, unit(a, d) * margin);
    [a - x - y, b + x - y, c + x + y, d - x + y]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_box_is_met_and_one_beside_it_is_not() {
        let mut clearance = Clearance::default();
        clearance.add_segment(Point::new(0.0, 0.0), Point::new(10.0, 10.0));
        assert!(!clearance.is_free(&curve::corners(Rect::new(4.0, 4.0, 6.0, 5.0))));
        assert!(clearance.is_free(&curve::corners(Rect::new(6.0, 0.0, 9.0, 5.0))));
    }

    #[test]
    fn boxes_that_only_touch_do_not_overlap() {
        let mut clearance = Clearance::default();
        clearance.add_box(&curve::corners(Rect::new(0.0, 0.0, 5.0, 5.0)));
        assert!(clearance.is_free(&curve::corners(Rect::new(5.0, 0.0, 9.0, 5.0))));
        assert!(!clearance.is_free(&curve::corners(Rect::new(4.9, 0.0, 9.0, 5.0))));
    }
}
