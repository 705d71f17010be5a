//! Hatching: an area filled with parallel lines, cut to the area by the even-odd rule.

use super::curve;
use super::text::rotate;
use crate::quantity::tolerance::CHORD_MM;
use kurbo::{BezPath, Point, Vec2};

/// Parallel lines clipped to `area`, as one path of separate strokes. `angle` in degrees, clockwise from the x axis;
/// `spacing` in mm. Lines run on a grid fixed to the paper, so that neighbouring areas match.
pub fn hatch(area: &BezPath, angle: f64, spacing: f64) -> BezPath {
    let mut lines = BezPath::new();
    if spacing <= 0.0 {
        return lines;
    }
    let edges: Vec<(Point, Point)> = curve::edges(area, CHORD_MM)
        .into_iter()
        .map(|(from, to)| (turn(from, -angle), turn(to, -angle)))
        .collect();
    let heights = edges.iter().flat_map(|(from, to)| [from.y, to.y]);
    let (low, high) =
        heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
    if !(low.is_finite() && high.is_finite()) {
        return lines;
    }
    let mut row = (low / spacing).ceil();
    while row * spacing < high {
        let y = row * spacing;
        for span in crossings(&edges, y).chunks_exact(2) {
            if let [from, to] = span {
                lines.move_to(turn(Point::new(*from, y), angle));
                lines.line_to(turn(Point::new(*to, y), angle));
            }
        }
        row += 1.0;
    }
    lines
}

/// Where the edges cross the height `y`, from left to right; each edge owns its upper end only.
fn crossings(edges: &[(Point, Point)], y: f64) -> Vec<f64> {
    let mut found: Vec<f64> = edges
        .iter()
        .filter(|(from, to)| (from.y <= y) != (to.y <= y))
        .map(|(from, to)| from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y))
        .collect();
    found.sort_by(f64::total_cmp);
    found
}

fn turn(point: Point, degrees: f64) -> Point {
    let turned: Vec2 = rotate(point.to_vec2(), degrees);
    turned.to_point()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    /// Total hatch length times spacing approaches the area (Cavalieri).
    #[test]
    fn hatching_covers_the_area_and_leaves_the_hole() {
        let mut area = curve::rectangle(Rect::new(0.0, 0.0, 40.0, 20.0));
        area.extend(curve::circle(Point::new(20.0, 10.0), 5.0));
        let lines = hatch(&area, 45.0, 0.05);
        let length: f64 = curve::edges(&lines, 0.1).iter().map(|(a, b)| a.distance(*b)).sum();
        let expected = 800.0 - std::f64::consts::PI * 25.0;
        assert!((length * 0.05 - expected).abs() < 1.0, "{}", length * 0.05);
    }
}
