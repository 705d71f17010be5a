//! Signs drawn as paths, so that they look the same in every back end and need no glyph.

use super::curve;
use super::text::rotate;
use kurbo::{BezPath, Point, Vec2};

/// A filled arrowhead with its tip at `tip`, pointing along `direction` (degrees, clockwise from the x axis). `length` in
/// mm; the angle between its sides is about 19°, within the 15° to 30° of ISO 129-1 [from memory].
pub fn arrowhead(tip: Point, direction: f64, length: f64) -> BezPath {
    let back = |side: f64| tip + rotate(Vec2::new(-length, side * length / 6.0), direction);
    curve::polygon(&[tip, back(1.0), back(-1.0)])
}

/// An oblique stroke across a dimension line, for spans too short for arrowheads.
pub fn oblique_stroke(at: Point, direction: f64, length: f64) -> BezPath {
    let half = rotate(Vec2::new(length / 2.0, 0.0), direction - 45.0);
    curve::segment(at - half, at + half)
}

/// An upright cross, for laying one page over another.
pub fn cross(at: Point, size: f64) -> BezPath {
    let mut path = curve::segment(at - Vec2::new(size / 2.0, 0.0), at + Vec2::new(size / 2.0, 0.0));
    path.extend(curve::segment(at - Vec2::new(0.0, size / 2.0), at + Vec2::new(0.0, size / 2.0)));
    path
}

/// A double-headed arrow through `centre`, for the grain of the paper: its line, then its two filled heads.
pub fn double_arrow(centre: Point, direction: f64, length: f64, head: f64) -> (BezPath, BezPath) {
    let half = rotate(Vec2::new(length / 2.0, 0.0), direction);
    let line = curve::segment(centre - half, centre + half);
    let mut heads = arrowhead(centre + half, direction, head);
    heads.extend(arrowhead(centre - half, direction + 180.0, head));
    (line, heads)
}

/// A solid arrow, shaft and head in one outline, with its tip at `tip`: for "this way up" and for movement.
pub fn block_arrow(tip: Point, direction: f64, length: f64, width: f64) -> BezPath {
    let head = (length / 2.0).min(width);
    let outline = [
        (0.0, 0.0),
        (-head, width / 2.0),
        (-head, width / 4.0),
        (-length, width / 4.0),
        (-length, -width / 4.0),
        (-head, -width / 4.0),
        (-head, -width / 2.0),
    ];
    let points: Vec<Point> =
        outline.iter().map(|(x, y)| tip + rotate(Vec2::new(*x, *y), direction)).collect();
    curve::polygon(&points)
}
