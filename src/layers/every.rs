//! One order of the layers for every place that free joints can be worked to.
//!
//! Of two sheets that slide on each other, what one does to the other depends on their place to each other alone. So an
//! order that holds in one pose holds everywhere when no sheet that it puts between two others, which hold together,
//! ever comes to where they do. That is looked at with what the sheets sweep, on the safe side: `false` says nothing.

use super::card::Card;
use super::flat::{FlatJoint, JointFold};
use super::group::{Group, Lying, Seams, in_plane};
use super::kept::Kept;
use super::leaves::{frame, is_flat, leaves};
use super::order::Fact;
use crate::assembly::{Assembly, JointId, JointKind, PanelId};
use crate::geometry::{Point, Polygon, Rect, Segment, intersection, pt, region_area};
use crate::motion::{PoseState, Vec3};
use crate::quantity::tolerance::{AREA_MM2, COINCIDENT_MM, LARGEST_PIECE_MM, PARALLEL_DEG};

/// A free joint and what moves with it.
#[derive(Debug, Clone)]
pub struct Play {
    pub joint: JointId,
    /// By panel: whether it goes with the joint's part, or stays with its target.
    pub with: Vec<bool>,
    /// How far it goes from where it stands in the pose, down and up, mm; a pin may turn any way.
    pub low: f64,
    pub high: f64,
}

/// Whether some order of the layers of a flat pose holds wherever the free joints are worked to. `known` are the layers
/// of poses in which the folds stand alike.
pub fn holds_everywhere(
    assembly: &Assembly,
    pose: &PoseState,
    known: &[&Card],
    plays: &[Play],
    kept: &Kept,
) -> bool {
    let seams = Seams::of(assembly, kept);
    let leaves = leaves(assembly, &seams.tucks, pose);
    let whole = leaves.len() == assembly.panels.len();
    let is_known = |c: &&Card| c.contradiction.is_none() && c.flat && c.leaves.len() == leaves.len();
    if !whole || !is_flat(pose) || !known.iter().all(is_known) {
        return false;
    }
    let placed: Vec<usize> = (0..leaves.len()).filter(|l| frame(pose, *l).is_some()).collect();
    let lying = Lying { seams: &seams, pose, leaves: &leaves, flat: true };
    let Some(group) = Group::new(lying, placed) else { return false };
    // A tongue that is tucked in is in its opening at one place and beside it at another.
    if group.facts.iter().any(|fact| matches!(fact, Fact::Between { .. })) {
        return false;
    }
    let Some(rank) = ranks(&group, known) else { return false };
    let Some(ways) = plays.iter().map(|p| Way::of(assembly, pose, p)).collect::<Option<Vec<Way>>>() else {
        return false;
    };
    let every = Every { assembly, pose, group: &group, rank, ways };
    every.folds_hold() && every.stuck_hold()
}

/// The place of every face of the group from the lowest to the highest, in one order that agrees with all facts and
/// with the layers known; `None` when there is none.
fn ranks(group: &Group, known: &[&Card]) -> Option<Vec<usize>> {
    let count = group.leaves.len();
    let mut over: Vec<Vec<bool>> = vec![vec![false; count]; count];
    for fact in &group.facts {
        if let Fact::Above { upper, lower } = fact {
            over[*upper][*lower] = true;
        }
    }
    let pairs: Vec<(usize, usize)> = (0..count).flat_map(|a| (0..count).map(move |b| (a, b))).collect();
    for card in known {
        for &(a, b) in &pairs {
            let on_front = card.on_front(group.leaves[a], group.leaves[b]);
            if on_front == Some(group.state.faces[a].up) && !over[a][b] {
                over[b][a] = true;
            }
        }
    }
    let mut rank = vec![None; count];
    for place in 0..count {
        let free =
            |face: &usize| rank[*face].is_none() && (0..count).all(|b| !over[*face][b] || rank[b].is_some());
        let next = (0..count).find(free)?;
        rank[next] = Some(place);
    }
    rank.into_iter().collect()
}

/// How a free joint moves what goes with it, in the plane of the group.
struct Way {
    with: Vec<bool>,
    kind: WayKind,
}

enum WayKind {
    /// From where it stands, mm.
    Slides {
        low: Point,
        high: Point,
    },
    Turns {
        about: Point,
    },
}

impl Way {
    fn of(assembly: &Assembly, pose: &PoseState, play: &Play) -> Option<Way> {
        let joint = assembly.joints.get(play.joint)?;
        let base = frame(pose, joint.a)?;
        let kind = match &joint.kind {
            JointKind::Slide { direction, .. } => {
                let along = base.direction(Vec3::new(direction.x, -direction.y, 0.0));
                let along = pt(along.x, along.y);
                WayKind::Slides { low: along * play.low, high: along * play.high }
            }
            JointKind::Pin { centre, .. } => WayKind::Turns { about: in_plane(&base, *centre) },
            _ => return None,
        };
        Some(Way { with: play.with.clone(), kind })
    }

    /// What this joint does to a panel as another sees it: 1 moves it, -1 moves the other, 0 neither or both.
    fn sign(&self, panel: PanelId, seen_from: PanelId) -> f64 {
        let goes = |p: PanelId| self.with.get(p).copied().unwrap_or(false);
        f64::from(u8::from(goes(panel))) - f64::from(u8::from(goes(seen_from)))
    }
}

struct Every<'a> {
    assembly: &'a Assembly,
    pose: &'a PoseState,
    group: &'a Group,
    rank: Vec<usize>,
    ways: Vec<Way>,
}

impl Every<'_> {
    fn moved(&self, face: usize, seen_from: usize) -> bool {
        let (p, q) = (self.group.leaves[face], self.group.leaves[seen_from]);
        self.ways.iter().any(|w| w.sign(p, q) != 0.0)
    }

    /// A box round everything that `bounds`, fast to a face, sweeps as another face sees it.
    fn reach(&self, bounds: Rect, face: usize, seen_from: usize) -> Rect {
        let (p, q) = (self.group.leaves[face], self.group.leaves[seen_from]);
        let (mut reach, mut slid, mut pins) = (bounds, 0.0, Vec::new());
        for way in &self.ways {
            let sign = way.sign(p, q);
            match way.kind {
                _ if sign == 0.0 => {}
                WayKind::Turns { about } => pins.push(about),
                WayKind::Slides { low, high } => {
                    let ends = [low * sign, high * sign];
                    let moved = ends.map(|by| Rect { min: reach.min + by, max: reach.max + by });
                    reach = moved.iter().fold(reach, |all, next| all.union(next));
                    slid += low.length().max(high.length());
                }
            }
        }
        match pins.as_slice() {
            [] => reach,
            // A turn takes a point at most twice its distance from the pin, to which slides may add before it and after.
            [about] => {
                let far = bounds.corners().iter().map(|c| c.distance(*about)).fold(0.0, f64::max);
                bounds.expanded(2.0 * far + 3.0 * slid)
            }
            _ => bounds.expanded(LARGEST_PIECE_MM),
        }
    }

    fn bounds(&self, face: usize) -> Rect {
        self.group.state.faces[face].polygon.bounds()
    }

    fn is_between(&self, face: usize, a: usize, b: usize) -> bool {
        let (low, high) = (self.rank[a].min(self.rank[b]), self.rank[a].max(self.rank[b]));
        low < self.rank[face] && self.rank[face] < high
    }

    /// No sheet between the two sides of a fold comes to its line, and no two folds come to lie into each other.
    fn folds_hold(&self) -> bool {
        let joints = &self.group.state.joints;
        joints.iter().enumerate().all(|(k, joint)| {
            let line = joint.line.bounds();
            let others = (0..self.group.leaves.len()).filter(|f| {
                *f != joint.a
                    && *f != joint.b
                    && !joint.through.contains(f)
                    && self.moved(*f, joint.a)
                    && self.is_between(*f, joint.a, joint.b)
            });
            let clear = |f: usize| !self.reach(self.bounds(f), f, joint.a).touches(&line, COINCIDENT_MM);
            !self.moved(joint.a, joint.b)
                && others.into_iter().all(clear)
                && joints.iter().skip(k + 1).all(|other| self.apart(joint, other))
        })
    }

    fn apart(&self, one: &FlatJoint, other: &FlatJoint) -> bool {
        if !self.moved(other.a, one.a) || !may_share_a_line(one.line, other.line, self.has_pins()) {
            return true;
        }
        let reach = self.reach(other.line.bounds(), other.a, one.a);
        if !reach.touches(&one.line.bounds(), COINCIDENT_MM) {
            return true;
        }
        let folded = |j: &FlatJoint| matches!(j.fold, JointFold::Folded(_));
        let inside = |j: &FlatJoint, k: &FlatJoint| {
            [k.a, k.b].map(|f| usize::from(self.is_between(f, j.a, j.b))).iter().sum::<usize>()
        };
        let (in_one, in_other) = (inside(one, other), inside(other, one));
        match (folded(one), folded(other)) {
            // Beside each other, or one wholly within the other.
            (true, true) => in_one != 1,
            (true, false) => in_one == 0,
            (false, true) => in_other == 0,
            (false, false) => in_one == 0 && in_other == 0,
        }
    }

    fn has_pins(&self) -> bool {
        self.ways.iter().any(|w| matches!(w.kind, WayKind::Turns { .. }))
    }

    /// No sheet comes to where two others, that it lies between, are stuck or pinned together.
    fn stuck_hold(&self) -> bool {
        self.assembly.joints.iter().all(|joint| {
            let face_of = |panel: PanelId| self.group.leaves.iter().position(|l| *l == panel);
            let (Some(a), Some(b)) = (face_of(joint.a), face_of(joint.b)) else { return true };
            let Some(home) = frame(self.pose, joint.a) else { return true };
            let held: Vec<Polygon> = match &joint.kind {
                JointKind::Fixed { area, .. } => {
                    area.iter().map(|p| p.mapped(|p| in_plane(&home, p))).collect()
                }
                JointKind::Pin { centre, .. } => {
                    let at = in_plane(&home, *centre);
                    let by = pt(COINCIDENT_MM, COINCIDENT_MM);
                    vec![Polygon::rectangle(Rect { min: at - by, max: at + by })]
                }
                _ => return true,
            };
            (0..self.group.leaves.len())
                .filter(|f| *f != a && *f != b && self.is_between(*f, a, b) && self.moved(*f, a))
                .all(|f| {
                    let reach = self.reach(self.bounds(f), f, a);
                    let swept = [Polygon::rectangle(reach)];
                    held.iter().all(|area| {
                        !reach.touches(&area.bounds(), 0.0)
                            || region_area(&intersection(&swept, std::slice::from_ref(area))) <= AREA_MM2
                    })
                })
        })
    }
}

/// Whether two lines can come to run along each other while their sheets slide.
fn may_share_a_line(one: Segment, other: Segment, turn: bool) -> bool {
    let (Some(a), Some(b)) = (one.vector().unit(), other.vector().unit()) else { return true };
    turn || a.cross(b).abs() <= PARALLEL_DEG.to_radians()
}
