//! Straight-line motion of polygons: how far one goes before it meets another, and what it covers on the way.

use super::boolean::{interiors_intersect, union_all};
use super::point::{Point, Segment};
use super::polygon::{Polygon, Region};

/// How far `moving` can go along the unit vector `direction` before it runs into `obstacle`: `None` when it never
/// does, `Some(0.0)` when they are in contact head-on or already overlap by more than `tolerance` mm. Sliding along a
/// side, or catching on less than `tolerance` across the direction, does not stop the motion.
///
/// Exact for polygons: only an edge of `moving` that faces forward and an edge of `obstacle` that faces back can meet
/// first, the distance between two such edges is linear across the direction, and so it is least at an end of the
/// stretch they share.
pub fn travel_to_contact(
    moving: &Polygon,
    direction: Point,
    obstacle: &Polygon,
    tolerance: f64,
) -> Option<f64> {
    if interiors_intersect(moving, obstacle, tolerance) {
        return Some(0.0);
    }
    let fronts = facing(moving, direction, 1.0);
    let backs = facing(obstacle, direction, -1.0);
    let gaps =
        fronts.iter().flat_map(|front| backs.iter().filter_map(move |back| gap(front, back, tolerance)));
    gaps.min_by(f64::total_cmp).map(|least| least.max(0.0))
}

/// As [`travel_to_contact`], for the nearest of several obstacles: the distance and the index of the obstacle.
pub fn travel_to_first(
    moving: &Polygon,
    direction: Point,
    obstacles: &[Polygon],
    tolerance: f64,
) -> Option<(f64, usize)> {
    let met = obstacles.iter().enumerate().filter_map(|(index, obstacle)| {
        Some((travel_to_contact(moving, direction, obstacle, tolerance)?, index))
    });
    met.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
}

/// An edge seen across the direction of motion: how far along it lies, as a linear function of the place across.
struct Front {
    across: (f64, f64),
    along: (f64, f64),
}

impl Front {
    fn along_at(&self, across: f64) -> f64 {
        let t = (across - self.across.0) / (self.across.1 - self.across.0);
        self.along.0 + (self.along.1 - self.along.0) * t.clamp(0.0, 1.0)
    }
}

/// The edges whose outer side looks along `direction` (`sign` 1) or against it (`sign` −1). Material is on the right
/// hand of an edge.
fn facing(polygon: &Polygon, direction: Point, sign: f64) -> Vec<Front> {
    let looks = |edge: &Segment| edge.vector().turned_left().dot(direction) * sign > 0.0;
    let front = |edge: Segment| {
        let (a, b) = (direction.cross(edge.start), direction.cross(edge.end));
        let (c, d) = (direction.dot(edge.start), direction.dot(edge.end));
        if a <= b { Front { across: (a, b), along: (c, d) } } else { Front { across: (b, a), along: (d, c) } }
    };
    polygon.edges().filter(looks).map(front).collect()
}

fn gap(front: &Front, back: &Front, tolerance: f64) -> Option<f64> {
    let from = front.across.0.max(back.across.0);
    let to = front.across.1.min(back.across.1);
    if to - from <= tolerance {
        return None;
    }
    let distance = |across: f64| back.along_at(across) - front.along_at(across);
    let (start, end) = (distance(from), distance(to));
    // An edge that is passed already does not count; one in contact, or crossed in part, does.
    (start.max(end) > -tolerance).then(|| start.min(end))
}

/// Everything a polygon covers while it is shifted by `vector`.
pub fn swept_region(polygon: &Polygon, vector: Point) -> Region {
    let trails = polygon
        .edges()
        .map(|edge| Polygon::simple(vec![edge.start, edge.end, edge.end + vector, edge.start + vector]));
    let mut parts: Vec<Polygon> = trails.collect();
    parts.push(polygon.clone());
    parts.push(polygon.translated(vector));
    union_all(&parts)
}
