//! Distance and crossing of flat panels placed in space.
//!
//! Panels are thin: they cross when one passes through the other along a stretch of line. Holes are open. Knows nothing
//! of joints and motions.

use super::iso::{Iso, Point2, Vec3, lift};
use super::linkage::Panel;

/// Planes whose normals differ by less than this (sine) do not cross along a line.
const PARALLEL_SINE: f64 = 1e-9;

/// A panel where it lies.
pub(crate) struct Placed<'p> {
    panel: &'p Panel,
    at: Iso,
    edges: Vec<(Vec3, Vec3)>,
}

impl<'p> Placed<'p> {
    pub(crate) fn new(panel: &'p Panel, at: Iso) -> Self {
        let edges = edges(panel).map(|(p, q)| (at.point(lift(p)), at.point(lift(q)))).collect();
        Self { panel, at, edges }
    }

    /// Longest stretch of line along which the two pass through each other, in mm; 0 when they only touch.
    pub(crate) fn crossing(&self, other: &Self) -> f64 {
        let along = self.at.front().cross(&other.at.front());
        let Some(along) = along.try_normalize(PARALLEL_SINE) else { return 0.0 };
        let (mine, theirs) = (self.spans_on(other, along), other.spans_on(self, along));
        let overlap = |s: &(f64, f64), t: &(f64, f64)| s.1.min(t.1) - s.0.max(t.0);
        mine.iter().flat_map(|s| theirs.iter().map(move |t| overlap(s, t))).fold(0.0, f64::max)
    }

    /// Where this panel cuts the plane of the other, as stretches along the common direction. A stretch along an edge
    /// does not count: the panel must have material on both sides of the plane.
    fn spans_on(&self, other: &Self, along: Vec3) -> Vec<(f64, f64)> {
        let normal = other.at.front();
        let height = |p: &Vec3| normal.dot(&(p - other.at.shift));
        let spans = |above: &dyn Fn(f64) -> bool| {
            let mut cuts = Vec::new();
            for (p, q) in &self.edges {
                let (hp, hq) = (height(p), height(q));
                if above(hp) != above(hq) {
                    cuts.push(along.dot(&(p + (q - p) * (hp / (hp - hq)))));
                }
            }
            cuts.sort_by(f64::total_cmp);
            cuts.chunks_exact(2).map(|c| (c[0], c[1])).collect::<Vec<_>>()
        };
        // The two ways to count a corner in the plane differ only in stretches along edges.
        let (closed, open) = (spans(&|h| h >= 0.0), spans(&|h| h > 0.0));
        let common = |s: &(f64, f64), t: &(f64, f64)| (s.0.max(t.0), s.1.min(t.1));
        let pairs = closed.iter().flat_map(|s| open.iter().map(move |t| common(s, t)));
        pairs.filter(|s| s.1 > s.0).collect()
    }

    /// Least distance of two panels that do not cross, and a point of one of them where it is. Infinite when one has no
    /// edges.
    pub(crate) fn nearest(&self, other: &Self) -> (f64, Vec3) {
        let pairs = self.edges.iter().flat_map(|e| other.edges.iter().map(move |f| segments(e, f)));
        let over = |(from, to): (&'_ Self, &'_ Self)| -> Vec<(f64, Vec3)> {
            from.edges.iter().map(|(p, _)| (to.face_distance(p), *p)).collect()
        };
        let corners = [(self, other), (other, self)].into_iter().flat_map(over);
        let nearer = |best: (f64, Vec3), next: (f64, Vec3)| if next.0 < best.0 { next } else { best };
        pairs.chain(corners).fold((f64::INFINITY, Vec3::zeros()), nearer)
    }

    /// Height of a point over the inside of the panel; infinite beside it.
    fn face_distance(&self, p: &Vec3) -> f64 {
        let local = self.at.inverse().point(*p);
        if contains(self.panel, [local.x, local.y]) { local.z.abs() } else { f64::INFINITY }
    }

    /// Distance of a point of space from the panel.
    pub(crate) fn distance_to(&self, p: &Vec3) -> f64 {
        let point = (*p, *p);
        let rim = self.edges.iter().map(|e| segments(e, &point).0).fold(f64::INFINITY, f64::min);
        rim.min(self.face_distance(p))
    }
}

pub(crate) fn edges(panel: &Panel) -> impl Iterator<Item = (Point2, Point2)> + '_ {
    let rings = std::iter::once(&panel.outline).chain(&panel.holes);
    rings.flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&p, &q)| (p, q)))
}

/// Even-odd rule over all rings.
fn contains(panel: &Panel, p: Point2) -> bool {
    let crosses = |(a, b): &(Point2, Point2)| {
        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])
    };
    edges(panel).filter(crosses).count() % 2 == 1
}

/// Distance of two segments and the point of the first nearest to the second (Ericson, *Real-Time Collision Detection*, 2005, section 5.1.9).
fn segments(one: &(Vec3, Vec3), other: &(Vec3, Vec3)) -> (f64, Vec3) {
    let (d1, d2, r) = (one.1 - one.0, other.1 - other.0, one.0 - other.0);
    let (a, e, f) = (d1.norm_squared(), d2.norm_squared(), d2.dot(&r));
    let c = d1.dot(&r);
    let unit = |x: f64| x.clamp(0.0, 1.0);
    let (s, t) = if a == 0.0 && e == 0.0 {
        (0.0, 0.0)
    } else if a == 0.0 {
        (0.0, unit(f / e))
    } else if e == 0.0 {
        (unit(-c / a), 0.0)
    } else {
        let b = d1.dot(&d2);
        let denominator = a * e - b * b;
        let s = if denominator > 1e-12 * a * e { unit((b * f - c * e) / denominator) } else { 0.0 };
        let t = (b * s + f) / e;
        if t < 0.0 {
            (unit(-c / a), 0.0)
        } else if t > 1.0 {
            (unit((b - c) / a), 1.0)
        } else {
            (s, t)
        }
    };
    let nearest = one.0 + d1 * s;
    ((nearest - other.0 - d2 * t).norm(), nearest)
}
