//! What a viewer sees of flat leaves in space: exact hidden-surface removal for parallel projection.
//!
//! Two leaves that cover each other on the paper are compared by depth. Depth is linear over a plane, so the part of
//! the overlap in which one leaf is nearer is a half-plane's share of it; leaves in one plane are told apart by the
//! given order. What is left of a leaf after every nearer leaf's share is taken away is what is seen of it: no
//! sorting, hence no cycles (compare Weiler & Atherton, "Hidden surface removal using polygon area sorting", 1977).
//!
//! Knows no paper and no file format. Lengths are mm; on the drawing x runs right and y down, depth grows towards
//! the viewer.

use crate::geometry::{Point, Polygon, Rect, Region, Segment, difference, intersection, pt};
use crate::motion::{Iso, Vec3};

/// Leaves closer in depth than this lie in one plane (mm).
pub const SAME_DEPTH_MM: f64 = 0.02;
/// A leaf whose normal leans this little towards the viewer is seen as a line.
const EDGE_ON: f64 = 1e-6;

/// A way of looking: the rotation from the world to the drawing's axes.
#[derive(Debug, Clone, Copy)]
pub struct Camera {
    world_to_view: Iso,
}

impl Camera {
    /// Straight at the front.
    pub fn front() -> Self {
        Self { world_to_view: Iso::identity() }
    }

    /// Straight at the back, tops up.
    pub fn back() -> Self {
        Self { world_to_view: Iso::turn(Vec3::zeros(), Vec3::y(), std::f64::consts::PI) }
    }

    /// From the right (`yaw` > 0) and above (`pitch` > 0), in degrees.
    pub fn turned(yaw: f64, pitch: f64) -> Self {
        let yaw = Iso::turn(Vec3::zeros(), Vec3::y(), -yaw.to_radians());
        let pitch = Iso::turn(Vec3::zeros(), Vec3::x(), pitch.to_radians());
        Self { world_to_view: pitch * yaw }
    }

    /// A world point on the drawing, and its depth.
    pub fn project(&self, world: Vec3) -> (Point, f64) {
        let v = self.world_to_view.point(world);
        (pt(v.x, -v.y), v.z)
    }

    pub fn direction(&self, world: Vec3) -> Vec3 {
        self.world_to_view.direction(world)
    }
}

/// A flat leaf: a polygon in a piece's frame (y down) and where that frame is.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// From the flat frame (x, -y, 0) to the world.
    pub frame: Iso,
    pub polygon: Polygon,
}

/// A leaf as it falls on the drawing.
#[derive(Debug, Clone)]
pub struct Projected {
    pub polygon: Polygon,
    bounds: Rect,
    /// depth = dx·x + dy·y + d0; `None` when the leaf is seen edge-on.
    plane: Option<[f64; 3]>,
    /// True when the viewer sees the front.
    pub front: bool,
    /// Cosine of the angle between the leaf's normal and the line of sight, 0 to 1.
    pub facing: f64,
}

impl Leaf {
    pub fn project(&self, camera: &Camera) -> Projected {
        let place = |p: Point| camera.project(self.frame.point(Vec3::new(p.x, -p.y, 0.0)));
        let ring = |ring: &Vec<Point>| ring.iter().map(|p| place(*p).0).collect::<Vec<Point>>();
        let polygon = Polygon::new(ring(&self.polygon.outer), self.polygon.holes.iter().map(ring).collect());
        let normal = camera.direction(self.frame.front());
        let plane = (normal.z.abs() > EDGE_ON).then(|| {
            let (at, depth) = place(pt(0.0, 0.0));
            // normal · (p - p0) = 0 with p = (x, -y, z)
            let (dx, dy) = (-normal.x / normal.z, normal.y / normal.z);
            [dx, dy, depth - dx * at.x - dy * at.y]
        });
        let bounds = polygon.bounds();
        Projected { polygon, bounds, plane, front: normal.z > 0.0, facing: normal.z.abs() }
    }
}

impl Projected {
    pub fn is_edge_on(&self) -> bool {
        self.plane.is_none()
    }

    pub fn depth(&self, at: Point) -> Option<f64> {
        self.plane.map(|[dx, dy, d0]| dx * at.x + dy * at.y + d0)
    }
}

/// The share of `cover` that lies in front of `leaf`. `nearer` decides for leaves in one plane.
fn share_in_front(leaf: &Projected, cover: &Projected, nearer: bool) -> Region {
    let (Some(a), Some(b)) = (leaf.plane, cover.plane) else { return Region::new() };
    let Some(common) = leaf.bounds.intersection(&cover.bounds) else { return Region::new() };
    let lead = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    let leads: Vec<f64> = common.corners().iter().map(|p| lead[0] * p.x + lead[1] * p.y + lead[2]).collect();
    let most = leads.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = leads.iter().copied().fold(f64::INFINITY, f64::min);
    if most.abs() < SAME_DEPTH_MM && least.abs() < SAME_DEPTH_MM {
        return if nearer { vec![cover.polygon.clone()] } else { Region::new() };
    }
    if least >= 0.0 {
        return vec![cover.polygon.clone()];
    }
    if most <= 0.0 {
        return Region::new();
    }
    match half_plane(&common.expanded(1.0), lead) {
        Some(half) => intersection(std::slice::from_ref(&cover.polygon), &[half]),
        None => Region::new(),
    }
}

/// The part of a rectangle in which `l[0]·x + l[1]·y + l[2] > 0`.
fn half_plane(rect: &Rect, l: [f64; 3]) -> Option<Polygon> {
    let value = |p: Point| l[0] * p.x + l[1] * p.y + l[2];
    let corners = rect.corners();
    let mut kept = Vec::new();
    for (i, here) in corners.iter().enumerate() {
        let next = corners[(i + 1) % corners.len()];
        let (a, b) = (value(*here), value(next));
        if a > 0.0 {
            kept.push(*here);
        }
        if (a > 0.0) != (b > 0.0) {
            kept.push(here.lerp(next, a / (a - b)));
        }
    }
    (kept.len() >= 3).then(|| Polygon::simple(kept))
}

/// Every leaf as it falls on the drawing, and what is seen of it. `nearer(i, j)`: leaf `j` lies nearer to the viewer
/// than leaf `i` where both lie in one plane.
pub fn seen(
    leaves: &[Leaf],
    camera: &Camera,
    nearer: impl Fn(usize, usize) -> bool,
) -> Vec<(Projected, Region)> {
    let projected: Vec<Projected> = leaves.iter().map(|l| l.project(camera)).collect();
    let mut all = Vec::with_capacity(projected.len());
    for (i, leaf) in projected.iter().enumerate() {
        let mut covers = Region::new();
        for (j, cover) in projected.iter().enumerate() {
            if i != j && leaf.bounds.touches(&cover.bounds, 0.0) {
                covers.extend(share_in_front(leaf, cover, nearer(i, j)));
            }
        }
        let whole = [leaf.polygon.clone()];
        let region = if leaf.is_edge_on() { Region::new() } else { difference(&whole, &covers) };
        all.push((leaf.clone(), region));
    }
    all
}

/// The stretches of a leaf's segment (in its flat frame) that no other leaf hides, on the drawing.
pub fn seen_segment(
    all: &[(Projected, Region)],
    leaf: usize,
    leaves: &[Leaf],
    camera: &Camera,
    segment: Segment,
    nearer: &impl Fn(usize, usize) -> bool,
) -> Vec<Segment> {
    let Some(frame) = leaves.get(leaf).map(|l| l.frame) else { return Vec::new() };
    let place = |p: Point| camera.project(frame.point(Vec3::new(p.x, -p.y, 0.0)));
    let ((a, depth_a), (b, depth_b)) = (place(segment.start), place(segment.end));
    let line = Segment { start: a, end: b };
    let mut shown = vec![(0.0, 1.0)];
    for (j, (cover, _)) in all.iter().enumerate() {
        if j == leaf || cover.is_edge_on() || !cover.bounds.touches(&line.bounds(), 0.0) {
            continue;
        }
        let lead = |t: f64| {
            cover.depth(line.at(t)).map_or(f64::NEG_INFINITY, |d| d - (depth_a + (depth_b - depth_a) * t))
        };
        let (first, last) = (lead(0.0), lead(1.0));
        let ahead = if first.abs() < SAME_DEPTH_MM && last.abs() < SAME_DEPTH_MM {
            if nearer(leaf, j) { (0.0, 1.0) } else { continue }
        } else if first > SAME_DEPTH_MM && last > SAME_DEPTH_MM {
            (0.0, 1.0)
        } else if first > SAME_DEPTH_MM {
            (0.0, (first - SAME_DEPTH_MM) / (first - last))
        } else if last > SAME_DEPTH_MM {
            ((SAME_DEPTH_MM - first) / (last - first), 1.0)
        } else {
            continue;
        };
        let length = line.length().max(f64::MIN_POSITIVE);
        for span in crate::geometry::clip_segment(&cover.polygon, &line) {
            let hidden = ((span.from / length).max(ahead.0), (span.to / length).min(ahead.1));
            if hidden.1 > hidden.0 {
                shown = take_away(&shown, hidden);
            }
        }
    }
    shown.into_iter().map(|(s, e)| Segment { start: line.at(s), end: line.at(e) }).collect()
}

fn take_away(shown: &[(f64, f64)], hidden: (f64, f64)) -> Vec<(f64, f64)> {
    let mut left = Vec::new();
    for (start, end) in shown {
        if hidden.0 > *start {
            left.push((*start, end.min(hidden.0)));
        }
        if hidden.1 < *end {
            left.push((start.max(hidden.1), *end));
        }
    }
    left.retain(|(s, e)| e - s > 1e-9);
    left
}
