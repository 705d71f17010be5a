//! Polygons with holes: measures and distances. Set operations are in [`super::boolean`].

use super::point::{Point, Rect, Segment};
use super::transform::Isometry;

/// A ring of corners, the first not repeated at the end.
pub type Ring = Vec<Point>;

/// Some polygons that do not overlap: the result of a set operation.
pub type Region = Vec<Polygon>;

/// A polygon with holes. [`Polygon::new`] winds the outer ring to a positive signed area (clockwise as seen) and the
/// holes to a negative one, so that the material is always on the right hand of an edge.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polygon {
    pub outer: Ring,
    pub holes: Vec<Ring>,
}

/// Signed area by the shoelace formula (Meister 1769, Gauss), positive when the ring runs clockwise as seen (y down).
pub fn ring_area(ring: &[Point]) -> f64 {
    // Taken from the first corner, so that a ring far from the origin loses no digits.
    let Some(&origin) = ring.first() else { return 0.0 };
    ring_edges(ring).map(|edge| (edge.start - origin).cross(edge.end - origin)).sum::<f64>() / 2.0
}

/// The edges of a ring in order, the closing one last.
pub fn ring_edges(ring: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    let closing = ring.last().zip(ring.first());
    ring.iter().zip(ring.iter().skip(1)).chain(closing).map(|(&start, &end)| Segment::new(start, end))
}

/// The same ring begun at its leftmost (then topmost) corner.
fn begun_at_leftmost(mut ring: Ring) -> Ring {
    let leftmost = ring.iter().enumerate().min_by(|(_, a), (_, b)| a.left_to_right(b)).map_or(0, |(i, _)| i);
    ring.rotate_left(leftmost);
    ring
}

/// Removes corners that stand out by at most `tolerance` from the line between their neighbours, and spikes that fold
/// back on themselves, until nothing changes. The ring then begins at its leftmost (topmost) corner; it is empty when
/// fewer than three corners are left.
pub fn tidy_ring(mut ring: Ring, tolerance: f64) -> Ring {
    loop {
        let before = ring.len();
        let mut kept: Ring = Vec::with_capacity(before);
        for (i, &corner) in ring.iter().enumerate() {
            let next = ring.get(i + 1).or(kept.first()).copied().unwrap_or(corner);
            let previous = kept.last().or(ring.last()).copied().unwrap_or(corner);
            if !is_idle(previous, corner, next, tolerance) {
                kept.push(corner);
            }
        }
        ring = kept;
        if ring.len() < 3 {
            return Ring::new();
        }
        if ring.len() == before {
            return begun_at_leftmost(ring);
        }
    }
}

fn is_idle(previous: Point, corner: Point, next: Point, tolerance: f64) -> bool {
    Segment::new(previous, next).distance(corner) <= tolerance
        || Segment::new(previous, corner).distance(next) <= tolerance
        || Segment::new(corner, next).distance(previous) <= tolerance
}

/// Order of polygons by their leftmost (then topmost) corner, then by their centre of area.
pub fn reading_order(a: &Polygon, b: &Polygon) -> std::cmp::Ordering {
    let corner =
        |polygon: &Polygon| polygon.outer.iter().copied().min_by(Point::left_to_right).unwrap_or_default();
    let (p, q) = (corner(a), corner(b));
    p.left_to_right(&q).then_with(|| a.centroid().left_to_right(&b.centroid()))
}

fn wound(mut ring: Ring, positive: bool) -> Ring {
    if (ring_area(&ring) < 0.0) == positive {
        ring.reverse();
    }
    ring
}

impl Polygon {
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Polygon {
        Polygon {
            outer: wound(outer, true),
            holes: holes.into_iter().map(|hole| wound(hole, false)).collect(),
        }
    }

    pub fn simple(outer: Ring) -> Polygon {
        Polygon::new(outer, Vec::new())
    }

    pub fn rectangle(rect: Rect) -> Polygon {
        Polygon::simple(rect.corners().to_vec())
    }

    pub fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    pub fn edges(&self) -> impl Iterator<Item = Segment> + '_ {
        self.rings().flat_map(|ring| ring_edges(ring))
    }

    pub fn vertices(&self) -> impl Iterator<Item = Point> + '_ {
        self.rings().flatten().copied()
    }

    pub fn is_empty(&self) -> bool {
        self.outer.len() < 3
    }

    /// The least upright rectangle round the polygon; a point at the origin for a polygon without corners.
    pub fn bounds(&self) -> Rect {
        Rect::of_points(self.outer.iter().copied()).unwrap_or(Rect { min: Point::ORIGIN, max: Point::ORIGIN })
    }

    /// Area of the material, mm².
    pub fn area(&self) -> f64 {
        let holes: f64 = self.holes.iter().map(|hole| ring_area(hole).abs()).sum();
        ring_area(&self.outer).abs() - holes
    }

    pub fn perimeter(&self) -> f64 {
        self.edges().map(|edge| edge.length()).sum()
    }

    /// Twice the area over the perimeter: the width of a long thin polygon, and never more than its width.
    pub fn mean_thickness(&self) -> f64 {
        let perimeter = self.perimeter();
        if perimeter > 0.0 { 2.0 * self.area() / perimeter } else { 0.0 }
    }

    /// Centre of area (Green's theorem over the edges); the mean of the corners when there is no area.
    pub fn centroid(&self) -> Point {
        let origin = self.outer.first().copied().unwrap_or_default();
        let (mut moment, mut twice_area) = (Point::ORIGIN, 0.0);
        for edge in self.edges() {
            let (a, b) = (edge.start - origin, edge.end - origin);
            let cross = a.cross(b);
            moment += (a + b) * cross;
            twice_area += cross;
        }
        if twice_area == 0.0 {
            let count = self.outer.len().max(1) as f64;
            return self.outer.iter().fold(Point::ORIGIN, |sum, &point| sum + point) / count;
        }
        origin + moment / (3.0 * twice_area)
    }

    /// Second moments of area about the centroid: `(∫y² , ∫x² , ∫xy)` in mm⁴ (Green's theorem).
    pub fn second_moments(&self) -> (f64, f64, f64) {
        let centre = self.centroid();
        let (mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0);
        for edge in self.edges() {
            let (a, b) = (edge.start - centre, edge.end - centre);
            let cross = a.cross(b);
            xx += cross * (a.y * a.y + a.y * b.y + b.y * b.y);
            yy += cross * (a.x * a.x + a.x * b.x + b.x * b.x);
            xy += cross * (a.x * b.y + 2.0 * (a.x * a.y + b.x * b.y) + b.x * a.y);
        }
        (xx / 12.0, yy / 12.0, xy / 24.0)
    }

    /// Whether the point lies in the material; a point within `tolerance` of an edge counts as inside.
    pub fn contains(&self, point: Point, tolerance: f64) -> bool {
        self.contains_strictly(point) || self.distance_to_boundary(point) <= tolerance
    }

    /// Even-odd rule; the answer for a point exactly on an edge is not defined.
    pub fn contains_strictly(&self, point: Point) -> bool {
        self.edges().filter(|edge| crosses_ray(edge, point)).count() % 2 == 1
    }

    pub fn distance_to_boundary(&self, point: Point) -> f64 {
        self.edges().map(|edge| edge.distance(point)).fold(f64::INFINITY, f64::min)
    }

    /// Distance of a point from the material, 0 inside.
    pub fn distance_to_point(&self, point: Point) -> f64 {
        if self.contains_strictly(point) { 0.0 } else { self.distance_to_boundary(point) }
    }

    /// Least distance between two polygons, 0 when they meet; infinite when one has no corners.
    pub fn distance(&self, other: &Polygon) -> f64 {
        let inside =
            |a: &Polygon, b: &Polygon| a.outer.first().is_some_and(|&corner| b.contains_strictly(corner));
        if inside(self, other) || inside(other, self) {
            return 0.0;
        }
        let others: Vec<Segment> = other.edges().collect();
        let pairs = self.edges().flat_map(|edge| others.iter().map(move |with| edge.distance_to(with)));
        pairs.fold(f64::INFINITY, f64::min)
    }

    pub fn transformed(&self, motion: &Isometry) -> Polygon {
        self.mapped(|point| motion.apply(point))
    }

    /// Every corner moved as `place` says.
    pub fn mapped(&self, place: impl Fn(Point) -> Point) -> Polygon {
        let image = |ring: &Ring| -> Ring { ring.iter().map(|&point| place(point)).collect() };
        Polygon::new(image(&self.outer), self.holes.iter().map(image).collect())
    }

    pub fn translated(&self, by: Point) -> Polygon {
        self.transformed(&Isometry::translation(by))
    }
}

/// Whether the ray from `point` to the right crosses the edge; the upper end of an edge counts, the lower does not.
fn crosses_ray(edge: &Segment, point: Point) -> bool {
    let (a, b) = (edge.start - point, edge.end - point);
    if (a.y > 0.0) == (b.y > 0.0) {
        return false;
    }
    let cross = a.cross(b);
    if b.y > a.y { cross > 0.0 } else { cross < 0.0 }
}

/// Area of a region, mm².
pub fn region_area(region: &[Polygon]) -> f64 {
    region.iter().map(Polygon::area).sum()
}

/// Centre of area of a region; `None` when it has no area.
pub fn region_centroid(region: &[Polygon]) -> Option<Point> {
    let total = region_area(region);
    let moment = region.iter().fold(Point::ORIGIN, |sum, polygon| sum + polygon.centroid() * polygon.area());
    (total > 0.0).then(|| moment / total)
}

/// The least upright rectangle round a region; `None` when it is empty.
pub fn region_bounds(region: &[Polygon]) -> Option<Rect> {
    Rect::of_points(region.iter().flat_map(|polygon| polygon.outer.iter().copied()))
}
