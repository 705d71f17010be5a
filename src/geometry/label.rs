//! Where a label fits best: the pole of inaccessibility.

use super::point::{Point, pt};
use super::polygon::Polygon;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// The middle of the largest circle that fits into a polygon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pole {
    pub point: Point,
    /// Distance to the nearest edge, mm.
    pub radius: f64,
}

/// Squares looked at, at most: a guard against a precision far below the size of the polygon.
const MAX_CELLS: usize = 1 << 16;

/// The point of the material farthest from every edge (Garcia-Castellanos and Lombardo, "Poles of inaccessibility",
/// 2007), by best-first subdivision of squares until no other can hold a point better by `precision` mm. `None` for a
/// polygon without inner points.
pub fn label_pole(polygon: &Polygon, precision: f64) -> Option<Pole> {
    let bounds = polygon.bounds();
    let size = bounds.width().min(bounds.height());
    if !(size > 0.0 && size.is_finite() && precision > 0.0) {
        return None;
    }
    let half = size / 2.0;
    let mut heap = BinaryHeap::new();
    for point in grid(bounds.width(), size).flat_map(|x| grid(bounds.height(), size).map(move |y| pt(x, y))) {
        heap.push(Cell::new(polygon, bounds.min + point + pt(half, half), half));
    }
    // The centroid is tried first, so that a symmetrical shape is labelled in its middle.
    let mut best = Cell::new(polygon, polygon.centroid(), 0.0);
    for _ in 0..MAX_CELLS {
        let Some(cell) = heap.pop() else { break };
        if cell.potential <= best.distance + precision {
            break;
        }
        if cell.distance > best.distance {
            best = cell;
        }
        let quarter = cell.half / 2.0;
        for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            heap.push(Cell::new(polygon, cell.centre + pt(dx, dy) * quarter, quarter));
        }
    }
    (best.distance > 0.0).then_some(Pole { point: best.centre, radius: best.distance })
}

/// Steps of `size` that cover `length`.
fn grid(length: f64, size: f64) -> impl Iterator<Item = f64> {
    let count = ((length / size).ceil() as usize).clamp(1, MAX_CELLS);
    (0..count).map(move |i| i as f64 * size)
}

/// A square and the most its points can be away from an edge.
#[derive(Clone, Copy)]
struct Cell {
    centre: Point,
    half: f64,
    /// Distance of the centre from the boundary, negative outside.
    distance: f64,
    potential: f64,
}

impl Cell {
    fn new(polygon: &Polygon, centre: Point, half: f64) -> Cell {
        let to_edge = polygon.distance_to_boundary(centre);
        let distance = if polygon.contains_strictly(centre) { to_edge } else { -to_edge };
        Cell { centre, half, distance, potential: distance + half * std::f64::consts::SQRT_2 }
    }
}

/// By potential; squares of equal promise in order of place, so that the result never depends on the heap.
impl Ord for Cell {
    fn cmp(&self, other: &Cell) -> Ordering {
        let place = |a: &Cell, b: &Cell| b.centre.left_to_right(&a.centre);
        self.potential.total_cmp(&other.potential).then_with(|| place(self, other))
    }
}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Cell) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Cell {
    fn eq(&self, other: &Cell) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}
