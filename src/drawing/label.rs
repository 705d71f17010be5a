//! Names inside panels: as large as fits, clear of folds, slots and other names, near the panel's visual centre.
//!
//! The centre is the pole of inaccessibility, the inner point farthest from every edge, found by the quadtree search of
//! Garcia-Castellanos and Lombardo (2007) as refined with cell bounds; the panel is first squeezed along the text, so that
//! "farthest" is measured for a box of the text's shape and not for a circle.

use super::clearance::{Clearance, grown};
use super::curve;
use super::display::{Mark, bounding_box};
use super::line::LineKind;
use super::operation::Operation;
use super::text::{Text, Typeface};
use kurbo::{BezPath, Point, Rect, Shape, Vec2};

/// A name and the area it belongs to (outline and holes, even-odd).
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    pub text: String,
    pub area: BezPath,
}

/// Text sizes tried, largest first: ems in mm. 2.5 mm is the least that reads at arm's length.
pub const SIZES_MM: [f64; 6] = [5.0, 4.5, 4.0, 3.5, 3.0, 2.5];
/// Free room about a name.
const MARGIN_MM: f64 = 1.5;
/// The search for a centre stops at this precision.
const POLE_PRECISION_MM: f64 = 0.25;
const POLE_CELLS: usize = 2_000;
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

/// The largest free place inside the area, level or reading upward.
pub fn inside(name: &Name, taken: &Clearance, typeface: &Typeface) -> Option<Text> {
    let edges = curve::edges(&name.area, 0.1);
    let mut border = Clearance::default();
    border.add_path(&name.area);
    for size in SIZES_MM {
        for rotation in [0.0, -90.0] {
            let width = typeface.width(&name.text, size) + 2.0 * MARGIN_MM;
            let height = typeface.cap_height * size + 2.0 * MARGIN_MM;
            let squeeze =
                if rotation == 0.0 { Vec2::new(height / width, 1.0) } else { Vec2::new(1.0, height / width) };
            for centre in centres(&edges, squeeze) {
                let text = Text::centred(&name.text, centre, size, rotation, typeface);
                let corners = grown(text.corners(typeface), MARGIN_MM);
                if is_inside(&corners, &edges, &border) && taken.is_free(&corners) {
                    return Some(text);
                }
            }
        }
    }
    None
}

/// The name beside its area, with a leader to a point inside.
fn beside(name: &Name, taken: &mut Clearance, typeface: &Typeface) -> Vec<Mark> {
    let edges = curve::edges(&name.area, 0.1);
    let size = SIZES_MM[SIZES_MM.len() - 1].max(3.0);
    let Some(foot) = pole(&edges, Vec2::new(1.0, 1.0)) else { return Vec::new() };
    let bounds = name.area.bounding_box();
    let half = Vec2::new(typeface.width(&name.text, size) / 2.0, typeface.cap_height * size / 2.0);
    for distance in LEADER_MM {
        for direction in DIRECTIONS {
            let reach = Vec2::new(bounds.width() / 2.0 + half.x, bounds.height() / 2.0 + half.y)
                + Vec2::new(distance, distance);
            let centre = foot + Vec2::new(direction.x * reach.x, direction.y * reach.y);
            let text = Text::centred(&name.text, centre, size, 0.0, typeface);
            let corners = grown(text.corners(typeface), MARGIN_MM);
            if taken.is_free(&corners) {
                let end = nearest_on_box(bounding_box(&corners), foot);
                taken.add_box(&text.corners(typeface));
                taken.add_segment(foot, end);
                let dot = Mark::fill(Operation::Legend, curve::circle(foot, 0.5), super::Colour::BLACK);
                let leader = Mark::line(LineKind::Leader, curve::segment(foot, end));
                return vec![leader, dot, Mark::text(Operation::Legend, text)];
            }
        }
    }
    Vec::new()
}

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

/// The pole first, then a grid over the area, best clearance first: the pole itself may be taken.
fn centres(edges: &[(Point, Point)], squeeze: Vec2) -> Vec<Point> {
    const GRID: usize = 9;
    let bounds = bounding_box(&edges.iter().map(|(from, _)| *from).collect::<Vec<_>>());
    let mut grid: Vec<(f64, Point)> = Vec::new();
    for row in 1..GRID {
        for column in 1..GRID {
            let at = Point::new(
                bounds.x0 + bounds.width() * column as f64 / GRID as f64,
                bounds.y0 + bounds.height() * row as f64 / GRID as f64,
            );
            let distance = signed_distance(at, edges, squeeze);
            if distance > 0.0 {
                grid.push((distance, at));
            }
        }
    }
    grid.sort_by(|a, b| b.0.total_cmp(&a.0));
    pole(edges, squeeze).into_iter().chain(grid.into_iter().map(|(_, at)| at)).collect()
}

struct Cell {
    centre: Point,
    half: f64,
    distance: f64,
}

impl Cell {
    fn bound(&self) -> f64 {
        self.distance + self.half * std::f64::consts::SQRT_2
    }
}

/// The point inside the edges farthest from all of them, distances measured after scaling by `squeeze`.
pub fn pole(edges: &[(Point, Point)], squeeze: Vec2) -> Option<Point> {
    let scaled = |point: Point| Point::new(point.x * squeeze.x, point.y * squeeze.y);
    let edges: Vec<(Point, Point)> = edges.iter().map(|(from, to)| (scaled(*from), scaled(*to))).collect();
    let bounds = bounding_box(&edges.iter().map(|(from, _)| *from).collect::<Vec<_>>());
    let half = bounds.width().min(bounds.height()) / 2.0;
    if !(half > 0.0 && half.is_finite()) {
        return None;
    }
    let cell = |centre: Point, half: f64| Cell {
        centre,
        half,
        distance: signed_distance(centre, &edges, Vec2::new(1.0, 1.0)),
    };
    let columns = (bounds.width() / (2.0 * half)).ceil().min(100.0) as usize;
    let rows = (bounds.height() / (2.0 * half)).ceil().min(100.0) as usize;
    let mut open: Vec<Cell> = (0..columns * rows)
        .map(|index| {
            let (column, row) = ((index % columns) as f64, (index / columns) as f64);
            cell(
                Point::new(bounds.x0 + half * (2.0 * column + 1.0), bounds.y0 + half * (2.0 * row + 1.0)),
                half,
            )
        })
        .collect();
    let mut best = cell(bounds.center(), 0.0);
    for _ in 0..POLE_CELLS {
        // The cell that may hold the farthest point; the last of equals, so that the order is fixed.
        let Some(index) = (0..open.len()).max_by(|a, b| open[*a].bound().total_cmp(&open[*b].bound())) else {
            break;
        };
        let next = open.swap_remove(index);
        if next.bound() - best.distance <= POLE_PRECISION_MM * squeeze.x.min(squeeze.y) {
            break;
        }
        let quarter = next.half / 2.0;
        open.extend(
            [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)]
                .map(|(x, y)| cell(next.centre + Vec2::new(x * quarter, y * quarter), quarter)),
        );
        if next.distance > best.distance {
            best = next;
        }
    }
    (best.distance > 0.0).then(|| Point::new(best.centre.x / squeeze.x, best.centre.y / squeeze.y))
}

/// Distance to the nearest edge, negative outside.
fn signed_distance(point: Point, edges: &[(Point, Point)], squeeze: Vec2) -> f64 {
    let scaled = |point: Point| Point::new(point.x * squeeze.x, point.y * squeeze.y);
    let at = scaled(point);
    let mut nearest = f64::INFINITY;
    for (from, to) in edges {
        nearest = nearest.min(distance_to_segment(at, scaled(*from), scaled(*to)));
    }
    if contains(point, edges) { nearest } else { -nearest }
}

fn distance_to_segment(point: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let length2 = along.hypot2();
    let share = if length2 > 0.0 { ((point - from).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
    point.distance(from + along * share)
}

/// Even-odd test by crossings of the ray to the right.
fn contains(point: Point, edges: &[(Point, Point)]) -> bool {
    let crossed = edges
        .iter()
        .filter(|(from, to)| {
            (from.y <= point.y) != (to.y <= point.y)
                && point.x < from.x + (to.x - from.x) * (point.y - from.y) / (to.y - from.y)
        })
        .count();
    crossed % 2 == 1
}

/// Whether a convex shape lies wholly inside: its corners inside, and no part of the border through it.
fn is_inside(corners: &[Point; 4], edges: &[(Point, Point)], border: &Clearance) -> bool {
    border.is_free(corners) && corners.iter().all(|corner| contains(*corner, edges))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edges(points: &[(f64, f64)]) -> Vec<(Point, Point)> {
        let points: Vec<Point> = points.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        curve::edges(&curve::polygon(&points), 0.1)
    }

    /// The incentre of a 3-4-5 triangle lies at (1, 1) from its right angle (Euclid, Elements IV.4).
    #[test]
    fn the_pole_of_a_triangle_is_its_incentre() {
        let triangle = edges(&[(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)]);
        let pole = pole(&triangle, Vec2::new(1.0, 1.0)).unwrap();
        assert!(pole.distance(Point::new(100.0, 100.0)) < 2.0, "{pole:?}");
    }

    #[test]
    fn the_pole_of_an_l_shape_is_inside_it() {
        let shape = edges(&[(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (10.0, 10.0), (10.0, 60.0), (0.0, 60.0)]);
        let pole = pole(&shape, Vec2::new(1.0, 1.0)).unwrap();
        assert!(contains(pole, &shape), "{pole:?}");
    }
}
