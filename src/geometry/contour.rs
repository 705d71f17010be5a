//! Closed contours of lines, arcs and Bézier curves, and the outlines of pieces made of them. Curves are kept for
//! output; [`Contour::flatten`] and [`Outline::flatten`] give the chords that the computations use.
//!
//! The signed area of a contour is positive when it runs clockwise as seen (y down).

use super::curve::Curve;
use super::exact::first_self_crossing;
use super::point::{Point, Rect, Segment, pt};
use super::polygon::Polygon;
use super::transform::Isometry;

/// A contour that ends where it starts: [`Contour::gap`] measures by how much it fails to.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    pub start: Point,
    pub segments: Vec<Curve>,
}

impl Contour {
    pub fn new(start: Point, segments: Vec<Curve>) -> Contour {
        Contour { start, segments }
    }

    /// The contour through some corners, closed by a last line to the first one.
    pub fn polygon(corners: &[Point]) -> Contour {
        let start = corners.first().copied().unwrap_or_default();
        let rest = corners.iter().skip(1).copied().chain((!corners.is_empty()).then_some(start));
        Contour { start, segments: rest.map(Curve::line).collect() }
    }

    /// From the top left corner, clockwise as seen.
    pub fn rectangle(rect: Rect) -> Contour {
        Contour::polygon(&rect.corners())
    }

    /// Two half circles from the leftmost point, clockwise as seen.
    pub fn circle(centre: Point, radius: f64) -> Contour {
        let (left, right) = (centre - pt(radius, 0.0), centre + pt(radius, 0.0));
        Contour {
            start: left,
            segments: vec![Curve::Arc { to: right, bulge: 1.0 }, Curve::Arc { to: left, bulge: 1.0 }],
        }
    }

    /// A rectangle with its corners rounded; each radius (top left, top right, bottom right, bottom left) is held to
    /// half of the shorter side.
    pub fn rounded_rectangle(rect: Rect, radii: [f64; 4]) -> Contour {
        let limit = rect.width().min(rect.height()) / 2.0;
        let [tl, tr, br, bl] = radii.map(|radius| radius.clamp(0.0, limit));
        let Rect { min, max } = rect;
        // Each side as the point where it starts, the point where it ends and the corner arc after it.
        let sides = [
            (pt(min.x + tl, min.y), pt(max.x - tr, min.y), pt(max.x, min.y + tr)),
            (pt(max.x, min.y + tr), pt(max.x, max.y - br), pt(max.x - br, max.y)),
            (pt(max.x - br, max.y), pt(min.x + bl, max.y), pt(min.x, max.y - bl)),
            (pt(min.x, max.y - bl), pt(min.x, min.y + tl), pt(min.x + tl, min.y)),
        ];
        let quarter = std::f64::consts::SQRT_2 - 1.0;
        let mut segments = Vec::new();
        for (from, to, after) in sides {
            if from != to {
                segments.push(Curve::line(to));
            }
            if to != after {
                segments.push(Curve::Arc { to: after, bulge: quarter });
            }
        }
        Contour { start: pt(min.x + tl, min.y), segments }
    }

    /// Every segment with the point it comes from.
    pub fn curves(&self) -> impl Iterator<Item = (Point, &Curve)> {
        let starts = std::iter::once(self.start).chain(self.segments.iter().map(Curve::end));
        starts.zip(&self.segments)
    }

    pub fn end(&self) -> Point {
        self.segments.last().map_or(self.start, Curve::end)
    }

    /// Distance between the end and the start.
    pub fn gap(&self) -> f64 {
        self.start.distance(self.end())
    }

    pub fn is_closed(&self, tolerance: f64) -> bool {
        self.gap() <= tolerance
    }

    /// The contour with its last segment led back to the start exactly: a gap within `tolerance` is taken up by moving
    /// the last end, a wider one by a further line.
    pub fn closed(mut self, tolerance: f64) -> Contour {
        let start = self.start;
        let gap = self.gap();
        match self.segments.last_mut() {
            Some(Curve::Line { to } | Curve::Arc { to, .. } | Curve::Cubic { to, .. })
                if gap <= tolerance =>
            {
                *to = start
            }
            Some(_) => self.segments.push(Curve::line(start)),
            None => {}
        }
        self
    }

    pub fn bounds(&self) -> Rect {
        let start = Rect::of_corners(self.start, self.start);
        self.curves().fold(start, |bounds, (from, curve)| bounds.union(&curve.bounds(from)))
    }

    pub fn length(&self) -> f64 {
        self.curves().map(|(from, curve)| curve.length(from)).sum()
    }

    /// Signed area by Green's theorem, exact for curves; positive when the contour runs clockwise as seen.
    pub fn signed_area(&self) -> f64 {
        let closing = self.end().cross(self.start) / 2.0;
        self.curves().map(|(from, curve)| curve.area_integral(from)).sum::<f64>() + closing
    }

    /// Chords within `tolerance` mm of the curves; the first point is not repeated at the end.
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        let mut points = vec![self.start];
        for (from, curve) in self.curves() {
            curve.flatten_into(from, tolerance, &mut points);
        }
        points.dedup();
        while points.len() > 1 && points.last() == points.first() {
            points.pop();
        }
        points
    }

    /// The first point along the contour at which it meets itself again, as chords within `tolerance`; `None` for a
    /// simple contour. A contour that only touches itself is not simple.
    pub fn self_crossing(&self, tolerance: f64) -> Option<Point> {
        first_self_crossing(&self.flatten(tolerance))
    }

    pub fn reversed(&self) -> Contour {
        let mut segments: Vec<Curve> = self.curves().map(|(from, curve)| curve.reversed(from)).collect();
        segments.reverse();
        Contour { start: self.end(), segments }
    }

    pub fn transformed(&self, motion: &Isometry) -> Contour {
        Contour {
            start: motion.apply(self.start),
            segments: self.segments.iter().map(|curve| curve.transformed(motion)).collect(),
        }
    }

    /// Mirrored about the line that carries `axis` (unchanged when `axis` has no length).
    pub fn mirrored(&self, axis: Segment) -> Contour {
        self.transformed(&Isometry::mirror(axis).unwrap_or_default())
    }

    /// Scaled about the origin.
    pub fn scaled(&self, factor: f64) -> Contour {
        Contour {
            start: self.start * factor,
            segments: self.segments.iter().map(|curve| curve.scaled(factor)).collect(),
        }
    }
}

/// The outline of a piece: one outer contour and the holes in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    pub outer: Contour,
    pub holes: Vec<Contour>,
}

impl From<Contour> for Outline {
    fn from(outer: Contour) -> Outline {
        Outline { outer, holes: Vec::new() }
    }
}

impl Outline {
    pub fn contours(&self) -> impl Iterator<Item = &Contour> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    pub fn bounds(&self) -> Rect {
        self.outer.bounds()
    }

    /// Area of the material, holes taken off (holes are taken to lie inside and apart).
    pub fn area(&self) -> f64 {
        let holes: f64 = self.holes.iter().map(|hole| hole.signed_area().abs()).sum();
        self.outer.signed_area().abs() - holes
    }

    /// Length of all contours together: how far a blade travels.
    pub fn length(&self) -> f64 {
        self.contours().map(Contour::length).sum()
    }

    /// The polygon of chords within `tolerance` mm, its rings wound as [`Polygon`] wants them.
    pub fn flatten(&self, tolerance: f64) -> Polygon {
        Polygon::new(
            self.outer.flatten(tolerance),
            self.holes.iter().map(|hole| hole.flatten(tolerance)).collect(),
        )
    }

    fn map(&self, image: impl Fn(&Contour) -> Contour) -> Outline {
        Outline { outer: image(&self.outer), holes: self.holes.iter().map(image).collect() }
    }

    pub fn transformed(&self, motion: &Isometry) -> Outline {
        self.map(|contour| contour.transformed(motion))
    }

    pub fn mirrored(&self, axis: Segment) -> Outline {
        self.map(|contour| contour.mirrored(axis))
    }

    pub fn scaled(&self, factor: f64) -> Outline {
        self.map(|contour| contour.scaled(factor))
    }
}
