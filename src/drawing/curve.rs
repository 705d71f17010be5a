//! Circles, arcs and polygons as paths, and the outlines of [`geometry`] as paths. Sines come from `libm`, so that the same curve is the same bytes on any machine.

use crate::geometry::{self, Contour, Curve, Outline};
use kurbo::{BezPath, ParamCurve, PathSeg, Point, Rect};

/// A circle, counted from its rightmost point.
pub fn circle(centre: Point, radius: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((centre.x + radius, centre.y));
    arc_to(&mut path, centre, radius, 0.0, 360.0);
    path.close_path();
    path
}

/// Adds an arc about `centre`, from `start` through `sweep` degrees (positive turns from x towards y: clockwise on paper).
/// The path must already stand at the start of the arc, give or take rounding. Each cubic spans at most 90° and follows
/// the usual handle length 4/3·tan(θ/4), which leaves the circle by less than 0.03 % of its radius.
pub fn arc_to(path: &mut BezPath, centre: Point, radius: f64, start: f64, sweep: f64) {
    let count = (sweep.abs() / 90.0).ceil().max(1.0);
    let step = (sweep / count).to_radians();
    let handle = 4.0 / 3.0 * libm::tan(step / 4.0);
    for index in 0..count as usize {
        let from = start.to_radians() + step * index as f64;
        let to = from + step;
        let (sin_from, cos_from, sin_to, cos_to) =
            (libm::sin(from), libm::cos(from), libm::sin(to), libm::cos(to));
        let at = |x: f64, y: f64| Point::new(centre.x + radius * x, centre.y + radius * y);
        path.curve_to(
            at(cos_from - handle * sin_from, sin_from + handle * cos_from),
            at(cos_to + handle * sin_to, sin_to - handle * cos_to),
            at(cos_to, sin_to),
        );
    }
}

pub fn point(point: geometry::Point) -> Point {
    Point::new(point.x, point.y)
}

/// A piece's outline and holes as one path, for the even-odd rule; curves stay curves.
pub fn outline(outline: &Outline) -> BezPath {
    let mut path = BezPath::new();
    outline.contours().for_each(|ring| add_contour(&mut path, ring));
    path
}

pub fn contour(ring: &Contour) -> BezPath {
    let mut path = BezPath::new();
    add_contour(&mut path, ring);
    path
}

/// A polygon and its holes as one path, for the even-odd rule.
pub fn region(area: &geometry::Polygon) -> BezPath {
    let mut path = BezPath::new();
    for ring in area.rings() {
        let corners: Vec<Point> = ring.iter().map(|corner| point(*corner)).collect();
        path.extend(polygon(&corners));
    }
    path
}

fn add_contour(path: &mut BezPath, ring: &Contour) {
    path.move_to(point(ring.start));
    for (from, curve) in ring.curves() {
        match *curve {
            Curve::Line { to } => path.line_to(point(to)),
            Curve::Cubic { control1, control2, to } => {
                path.curve_to(point(control1), point(control2), point(to))
            }
            Curve::Arc { to, .. } => match curve.arc_form(from) {
                Some(arc) => {
                    let (start, sweep) = (arc.start_angle.to_degrees(), arc.sweep.to_degrees());
                    arc_to(path, point(arc.centre), arc.radius, start, sweep);
                }
                None => path.line_to(point(to)),
            },
        }
    }
    path.close_path();
}

pub fn segment(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    path
}

/// A closed polygon; an empty path for no points.
pub fn polygon(points: &[Point]) -> BezPath {
    let mut path = polyline(points);
    if !points.is_empty() {
        path.close_path();
    }
    path
}

pub fn polyline(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (index, point) in points.iter().enumerate() {
        if index == 0 {
            path.move_to(*point);
        } else {
            path.line_to(*point);
        }
    }
    path
}

pub fn rectangle(rect: Rect) -> BezPath {
    polygon(&corners(rect))
}

pub fn corners(rect: Rect) -> [Point; 4] {
    [
        Point::new(rect.x0, rect.y0),
        Point::new(rect.x1, rect.y0),
        Point::new(rect.x1, rect.y1),
        Point::new(rect.x0, rect.y1),
    ]
}

/// The straight edges of a path, curves replaced by chords within `tolerance` mm; open ends are not joined.
pub fn edges(path: &BezPath, tolerance: f64) -> Vec<(Point, Point)> {
    path.segments().flat_map(|segment| chords(segment, tolerance)).collect()
}

/// Chords of one segment at even steps of its parameter; their number follows Wang's bound (1984) on the distance
/// between a Bézier curve and its chords, 1/8 · max |B″| / n².
fn chords(segment: PathSeg, tolerance: f64) -> Vec<(Point, Point)> {
    let bend = match segment {
        PathSeg::Line(_) => 0.0,
        PathSeg::Quad(quad) => 2.0 * second_difference(quad.p0, quad.p1, quad.p2),
        PathSeg::Cubic(cubic) => {
            6.0 * second_difference(cubic.p0, cubic.p1, cubic.p2)
                .max(second_difference(cubic.p1, cubic.p2, cubic.p3))
        }
    };
    let count = (bend / (8.0 * tolerance)).sqrt().ceil().clamp(1.0, MOST_CHORDS) as usize;
    let at =
        |index: usize| if index == count { segment.end() } else { segment.eval(index as f64 / count as f64) };
    (0..count).map(|index| (at(index), at(index + 1))).collect()
}

fn second_difference(a: Point, b: Point, c: Point) -> f64 {
    (a.to_vec2() - 2.0 * b.to_vec2() + c.to_vec2()).hypot()
}

/// Of one segment, however large it is drawn.
const MOST_CHORDS: f64 = 2000.0;

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    /// Area and circumference of a rounded rectangle by Euclid and Archimedes.
    #[test]
    fn an_outline_keeps_its_measures() {
        let rect = geometry::Rect::new(0.0, 0.0, 60.0, 40.0);
        let mut shape = Outline::from(Contour::rounded_rectangle(rect, [10.0; 4]));
        shape.holes.push(Contour::circle(geometry::pt(30.0, 20.0), 5.0));
        let path = outline(&shape);
        let length = 2.0 * (40.0 + 20.0) + std::f64::consts::TAU * (10.0 + 5.0);
        assert!((path.perimeter(1e-6) - length).abs() < 0.03, "{}", path.perimeter(1e-6));
        let bounds = path.bounding_box();
        assert!((bounds.width() - 60.0).abs() < 0.01 && (bounds.height() - 40.0).abs() < 0.01, "{bounds:?}");
    }

    #[test]
    fn a_circle_has_the_area_and_length_of_a_circle() {
        let path = circle(Point::new(3.0, 4.0), 10.0);
        assert!((path.area().abs() - std::f64::consts::PI * 100.0).abs() < 0.1, "{}", path.area());
        assert!((path.perimeter(1e-6) - std::f64::consts::TAU * 10.0).abs() < 0.02);
    }
}
