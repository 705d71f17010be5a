//! Where the edges of other parts fall on a face: what is seen of it in every flat pose, and which part ends where.

use super::card::Card;
use super::leaves::CardLeaf;
use crate::assembly::claims::PoseId;
use crate::assembly::{Assembly, Face, PanelId};
use crate::geometry::{Point, Polygon, Rect, Region, Segment, pt, union_all};
use crate::motion::{Iso, PoseState, Vec3};
use crate::quantity::tolerance::{AREA_MM2, COINCIDENT_MM};

/// What is seen of a face in one pose.
#[derive(Debug, Clone)]
pub struct EdgesOn {
    pub pose: PoseId,
    /// Seen parts of the face, in its piece's frame; `None` where the card does not lie flat.
    pub seen: Option<Region>,
    pub edges: Vec<EdgeOn>,
}

/// A stretch on the face along which another part ends: on one side the face is seen, on the other it is covered.
#[derive(Debug, Clone)]
pub struct EdgeOn {
    /// The part that covers.
    pub panel: PanelId,
    /// A straight edge, or the chords of a curved one; in the frame of the face's piece.
    pub line: Vec<Point>,
}

/// A curve turns by less than this from chord to chord.
const SMOOTH_DEG: f64 = 20.0;
/// Shorter stretches are corners that peep out, no edges to place words by, mm.
const SHORTEST_MM: f64 = 1.0;

impl EdgeOn {
    pub fn bounds(&self) -> Rect {
        Rect::of_points(self.line.iter().copied()).unwrap_or(Rect::of_corners(Point::ORIGIN, Point::ORIGIN))
    }

    /// The edge as one segment, when it is straight.
    pub fn straight(&self) -> Option<Segment> {
        let whole = Segment::new(*self.line.first()?, *self.line.last()?);
        let near = |p: &Point| whole.distance(*p) <= COINCIDENT_MM;
        self.line.iter().all(near).then_some(whole)
    }

    pub fn length(&self) -> f64 {
        self.line.iter().zip(self.line.iter().skip(1)).map(|(a, b)| a.distance(*b)).sum()
    }

    /// The point halfway along it.
    pub fn middle(&self) -> Point {
        let mut left = self.length() / 2.0;
        for (a, b) in self.line.iter().zip(self.line.iter().skip(1)) {
            let here = a.distance(*b);
            if left <= here && here > 0.0 {
                return a.lerp(*b, left / here);
            }
            left -= here;
        }
        self.line.first().copied().unwrap_or(Point::ORIGIN)
    }
}

/// The edges on a face in every pose that can be reached, in order of the poses.
pub fn edges_on(
    assembly: &Assembly,
    states: &[PoseState],
    cards: &[Card],
    panel: PanelId,
    face: Face,
) -> Vec<EdgesOn> {
    let reached = states.iter().zip(cards).enumerate().filter(|(_, (state, _))| state.fault.is_none());
    reached
        .map(|(pose, (state, card))| match in_pose(assembly, state, card, panel, face) {
            Some((seen, edges)) => EdgesOn { pose, seen: Some(seen), edges },
            None => EdgesOn { pose, seen: None, edges: Vec::new() },
        })
        .collect()
}

fn in_pose(
    assembly: &Assembly,
    state: &PoseState,
    card: &Card,
    panel: PanelId,
    face: Face,
) -> Option<(Region, Vec<EdgeOn>)> {
    let frame = state.frames.get(panel)?.as_ref()?;
    if !card.flat {
        return None;
    }
    let home = frame.inverse();
    // From the world's plane (y up) to the piece's frame (y down).
    let here = |p: Point| {
        let q = home.point(Vec3::new(p.x, p.y, frame.shift.z));
        pt(q.x, -q.y)
    };
    let own = |leaf: usize| card.leaves.get(leaf).is_some_and(|l| l.panel == panel);
    let shown = card.seen.iter().flatten().filter(|s| own(s.leaf) && s.front == (face == Face::Front));
    let regions: Region = shown.flat_map(|s| s.region.iter().map(|p| p.mapped(here))).collect();
    let seen: Region = union_all(&regions).into_iter().filter(|p| p.area() > AREA_MM2).collect();
    let outline = &assembly.panels.get(panel)?.polygon;
    let others: Vec<(PanelId, Polygon)> = card
        .leaves
        .iter()
        .filter(|leaf| leaf.panel != panel)
        .filter_map(|leaf| Some((leaf.panel, lying(state, leaf, &home)?)))
        .collect();
    let mut edges: Vec<EdgeOn> = Vec::new();
    for line in seen.iter().flat_map(Polygon::edges).filter(|line| line.length() > 0.0) {
        let lies_on = |polygon: &Polygon| {
            polygon.edges().any(|edge| {
                [line.start, line.midpoint(), line.end].iter().all(|p| edge.distance(*p) <= COINCIDENT_MM)
            })
        };
        if lies_on(outline) {
            continue;
        }
        let Some((panel, _)) = others.iter().find(|(_, polygon)| lies_on(polygon)) else { continue };
        match edges.last_mut().filter(|last| goes_on(last, *panel, line)) {
            Some(last) => last.line.push(line.end),
            None => edges.push(EdgeOn { panel: *panel, line: vec![line.start, line.end] }),
        }
    }
    edges.retain(|edge| edge.length() >= SHORTEST_MM);
    edges.sort_by(|a, b| {
        let (ma, mb) = (a.middle(), b.middle());
        a.panel.cmp(&b.panel).then(ma.y.total_cmp(&mb.y)).then(ma.x.total_cmp(&mb.x))
    });
    Some((seen, edges))
}

/// Whether a segment carries on the edge before it, as the next chord of a curve or the rest of a straight line.
fn goes_on(before: &EdgeOn, panel: PanelId, line: Segment) -> bool {
    let [.., from, to] = before.line.as_slice() else { return false };
    let (old, new) = (*to - *from, line.vector());
    let turn_deg = libm::atan2(old.cross(new), old.dot(new)).to_degrees();
    before.panel == panel && to.is_near(line.start, COINCIDENT_MM) && turn_deg.abs() < SMOOTH_DEG
}

/// Another leaf, in the frame of the face's piece.
fn lying(state: &PoseState, leaf: &CardLeaf, home: &Iso) -> Option<Polygon> {
    let frame = state.frames.get(leaf.panel)?.as_ref()?;
    Some(leaf.polygon.mapped(|p| {
        let q = home.point(frame.point(Vec3::new(p.x, -p.y, 0.0)));
        pt(q.x, -q.y)
    }))
}
