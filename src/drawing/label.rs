//! Names inside panels: as large as fits, clear of folds, slots and other names, near the panel's visual centre.
//!
//! The centre is the pole of inaccessibility ([`label_pole`]), the inner point farthest from every edge; the panel is first
//! squeezed along the text, so that "farthest" is measured for a box of the text's shape and not for a circle.

use super::clearance::{Clearance, grown};
use super::curve;
use super::display::{Mark, bounding_box};
use super::line::LineKind;
use super::operation::Operation;
use super::text::{Text, Typeface};
use crate::geometry::{self, Polygon, label_pole, pt};
use kurbo::{Point, Rect, Vec2};

/// A name and the area it belongs to, slots and windows taken out as holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    pub text: String,
    pub area: Polygon,
}

/// Text sizes tried, largest first: ems in mm. 2.5 mm is the least that reads at arm's length.
pub const SIZES_MM: [f64; 6] = [5.0, 4.5, 4.0, 3.5, 3.0, 2.5];
/// Free room about a name.
const MARGIN_MM: f64 = 1.5;
/// The search for a centre stops at this precision.
const POLE_PRECISION_MM: f64 = 0.25;
/// Where a name led out of its panel is tried: distances from the panel's edge.
const LEADER_MM: [f64; 8] = [4.0, 7.0, 10.0, 14.0, 18.0, 24.0, 32.0, 44.0];

/// Places every name, inside its area when it fits at one of [`SIZES_MM`], else beside the area on a leader. Notes in
/// `taken` what it drew.
pub fn place_names(names: &[Name], taken: &mut Clearance, typeface: &Typeface) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut outside = Vec::new();
    for name in names.iter().filter(|name| !name.text.trim().is_empty()) {
        match inside(name, taken, typeface) {
            Some(text) => {
                taken.add_box(&text.corners(typeface));
                marks.push(Mark::text(Operation::Legend, text));
            }
            None => outside.push(name),
        }
    }
    // Leaders come last, when every name that fits has its place.
    for name in outside {
        marks.extend(beside(name, taken, typeface));
    }
    marks
}

/// The largest free place inside the area at one of [`SIZES_MM`], level or reading upward.
pub fn inside(name: &Name, taken: &Clearance, typeface: &Typeface) -> Option<Text> {
    inside_at(name, &SIZES_MM, taken, typeface)
}

/// The same at the first of `sizes` that fits.
pub fn inside_at(name: &Name, sizes: &[f64], taken: &Clearance, typeface: &Typeface) -> Option<Text> {
    let mut border = Clearance::default();
    border.add_path(&curve::region(&name.area));
    for size in sizes.iter().copied() {
        for rotation in [0.0, -90.0] {
            let width = typeface.width(&name.text, size) + 2.0 * MARGIN_MM;
            let height = typeface.cap_height * size + 2.0 * MARGIN_MM;
            let squeeze =
                if rotation == 0.0 { Vec2::new(height / width, 1.0) } else { Vec2::new(1.0, height / width) };
            for centre in centres(&name.area, squeeze) {
                let text = Text::centred(&name.text, centre, size, rotation, typeface);
                let corners = grown(text.corners(typeface), MARGIN_MM);
                if is_inside(&corners, &name.area, &border) && taken.is_free(&corners) {
                    return Some(text);
                }
            }
        }
    }
    None
}

/// The name beside its area, with a leader to a point inside; nothing when no place is free.
pub fn beside(name: &Name, taken: &mut Clearance, typeface: &Typeface) -> Vec<Mark> {
    let size = SIZES_MM[SIZES_MM.len() - 1].max(3.0);
    let middle = pole(&name.area, Vec2::new(1.0, 1.0));
    // Another foot is tried where a name stands on the middle.
    let feet = middle.into_iter().chain(centres(&name.area, Vec2::new(1.0, 1.0)));
    for foot in feet {
        if let Some(marks) = led_to(foot, name, size, taken, typeface) {
            return marks;
        }
    }
    Vec::new()
}

fn led_to(
    foot: Point,
    name: &Name,
    size: f64,
    taken: &mut Clearance,
    typeface: &Typeface,
) -> Option<Vec<Mark>> {
    let dot = Rect::from_center_size(foot, (DOT_MM * 3.0, DOT_MM * 3.0));
    if !taken.is_clear_of_texts(dot.origin(), Point::new(dot.x1, dot.y1)) {
        return None;
    }
    let bounds = name.area.bounds();
    let half = Vec2::new(typeface.width(&name.text, size) / 2.0, typeface.cap_height * size / 2.0);
    for distance in LEADER_MM {
        for direction in DIRECTIONS {
            let reach = Vec2::new(bounds.width() / 2.0 + half.x, bounds.height() / 2.0 + half.y)
                + Vec2::new(distance, distance);
            let centre = foot + Vec2::new(direction.x * reach.x, direction.y * reach.y);
            let text = Text::centred(&name.text, centre, size, 0.0, typeface);
            let corners = grown(text.corners(typeface), MARGIN_MM);
            let end = nearest_on_box(bounding_box(&corners), foot);
            if taken.is_free(&corners) && taken.is_clear_of_texts(foot, end) {
                taken.add_box(&text.corners(typeface));
                taken.add_segment(foot, end);
                let dot = Mark::fill(Operation::Legend, curve::circle(foot, DOT_MM), super::Colour::BLACK);
                let leader = Mark::line(LineKind::Leader, curve::segment(foot, end));
                return Some(vec![leader, dot, Mark::text(Operation::Legend, text)]);
            }
        }
    }
    None
}

/// Radius of the dot at a leader's foot.
const DOT_MM: f64 = 0.5;

const DIRECTIONS: [Vec2; 8] = [
    Vec2::new(1.0, 0.0),
    Vec2::new(0.0, -1.0),
    Vec2::new(0.0, 1.0),
    Vec2::new(-1.0, 0.0),
    Vec2::new(1.0, -1.0),
    Vec2::new(1.0, 1.0),
    Vec2::new(-1.0, -1.0),
    Vec2::new(-1.0, 1.0),
];

fn nearest_on_box(rect: Rect, point: Point) -> Point {
    Point::new(point.x.clamp(rect.x0, rect.x1), point.y.clamp(rect.y0, rect.y1))
}

/// The pole, the centroid and a grid over the area, best clearance first; of places about equally good, the one nearest
/// the centroid, so that a name stands in the middle of a long panel.
fn centres(area: &Polygon, squeeze: Vec2) -> Vec<Point> {
    const GRID: usize = 9;
    let (bounds, squeezed, centroid) = (area.bounds(), scaled(area, squeeze), area.centroid());
    let grid = (1..GRID).flat_map(|row| {
        (1..GRID).map(move |column| {
            let (x, y) = (column as f64 / GRID as f64, row as f64 / GRID as f64);
            bounds.min + pt(bounds.width() * x, bounds.height() * y)
        })
    });
    let best = pole(area, squeeze).map(|pole| pt(pole.x, pole.y));
    let precision = pole_precision(squeeze);
    let mut ranked: Vec<(f64, f64, Point)> = best
        .into_iter()
        .chain([centroid])
        .chain(grid)
        .filter(|at| area.contains_strictly(*at))
        .map(|at| {
            let clearance = squeezed.distance_to_boundary(scale(at, squeeze));
            ((clearance / precision).round(), at.distance(centroid), curve::point(at))
        })
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    ranked.into_iter().map(|(_, _, at)| at).collect()
}

fn pole_precision(squeeze: Vec2) -> f64 {
    POLE_PRECISION_MM * squeeze.x.min(squeeze.y)
}

/// The point of the area farthest from its border, distances measured after scaling by `squeeze`.
fn pole(area: &Polygon, squeeze: Vec2) -> Option<Point> {
    let pole = label_pole(&scaled(area, squeeze), pole_precision(squeeze))?;
    Some(Point::new(pole.point.x / squeeze.x, pole.point.y / squeeze.y))
}

fn scaled(area: &Polygon, factors: Vec2) -> Polygon {
    let ring = |ring: &geometry::Ring| ring.iter().map(|corner| scale(*corner, factors)).collect();
    Polygon { outer: ring(&area.outer), holes: area.holes.iter().map(ring).collect() }
}

fn scale(point: geometry::Point, factors: Vec2) -> geometry::Point {
    pt(point.x * factors.x, point.y * factors.y)
}

/// Whether a convex shape lies wholly inside: its corners inside, and no part of the border through it.
fn is_inside(corners: &[Point; 4], area: &Polygon, border: &Clearance) -> bool {
    border.is_free(corners) && corners.iter().all(|corner| area.contains_strictly(pt(corner.x, corner.y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Level text goes to the level arm of an L, upright text to the upright arm.
    #[test]
    fn text_goes_to_the_arm_it_fits() {
        let ring = [(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (10.0, 10.0), (10.0, 60.0), (0.0, 60.0)];
        let area = Polygon::simple(ring.iter().map(|corner| pt(corner.0, corner.1)).collect());
        let level = pole(&area, Vec2::new(0.2, 1.0)).unwrap();
        let upright = pole(&area, Vec2::new(1.0, 0.2)).unwrap();
        assert!(level.x > 12.0 && level.y < 10.0, "{level:?}");
        assert!(upright.y > 12.0 && upright.x < 10.0, "{upright:?}");
    }
}
