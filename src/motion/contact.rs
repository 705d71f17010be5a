//! Contact between panels along a motion.
//!
//! An interval of the motion is clear when the clearances at its two ends add up to more than the panels can move
//! against each other between them; otherwise it is halved (conservative advancement, Mirtich, "Impulse-based dynamic
//! simulation", 1996). So thin crossings between samples are not missed, as long as the path between two poses is not
//! longer than [`PATH_FACTOR`] times its chord. Near flat states distances say nothing: there the layer order decides.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::distance::{Placed, edges};
use super::iso::{Iso, Point2, Vec3, lift};
use super::linkage::{BodyId, Linkage, Panel};
use super::pose::{Pose, PoseFault};
use crate::geometry::{Join, Point, Polygon, difference, intersection, offset, pt};
use crate::quantity::tolerance::{CLOSURE_MM, COINCIDENT_MM};

/// A path between two near poses is taken to be at most this much longer than its chord.
pub const PATH_FACTOR: f64 = 1.25;
/// Relative turns beyond this cosine are halved whatever the clearance.
const WIDE_TURN: f64 = 0.9;
/// Poses looked at to see which points two bodies always share.
const PROBES: usize = 5;
/// Intervals in which two panels cross at both ends are searched for gaps down to this share of the motion.
const CROSSING_SHARE: f64 = 1.0 / 256.0;
/// Crossings shorter than this are touch, in mm.
const TOUCH_MM: f64 = 1e-6;
/// Points looked for where two bodies touch all the time.
const MOST_TOUCHES: usize = 6;
/// An interval in which two bodies may have passed is widened by its own length to both sides so many times.
const MOST_WIDENED: u32 = 8;
/// Intervals tried for one pair before it is left unresolved.
const MOST_INTERVALS: usize = 5_000;

/// Two bodies that pass through each other while the motion's parameter goes from `from` to `to`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    pub a: BodyId,
    pub b: BodyId,
    pub from: f64,
    pub to: f64,
}

/// What a motion's contact search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ContactReport {
    /// By beginning, then by bodies.
    pub clashes: Vec<Clash>,
    /// Pairs that lie on each other in every pose looked at; their order is a matter of layers.
    pub resting: Vec<(BodyId, BodyId)>,
    /// Intervals, shorter than the resolution, in which two bodies come so near that it stayed open whether they touch.
    pub grazing: Vec<Clash>,
    /// Those of `grazing` in which a point of one body has certainly gone through the other, as when two sheets that
    /// stand face to face pass: they never cross in a pose, only between two.
    pub passing: Vec<Clash>,
}

/// Pairs of bodies, either way round.
#[derive(Clone, Debug, Default)]
pub struct Pairs {
    count: usize,
    among: Vec<bool>,
}

impl Pairs {
    /// None, of so many bodies.
    pub fn among(count: usize) -> Self {
        Self { count, among: vec![false; count * count] }
    }

    pub fn add(&mut self, a: BodyId, b: BodyId) {
        let (low, high) = (a.0.min(b.0), a.0.max(b.0));
        if high < self.count
            && let Some(slot) = self.among.get_mut(low * self.count + high)
        {
            *slot = true;
        }
    }

    /// Whether a pair, the lower one first, is among them.
    pub fn holds(&self, low: usize, high: usize) -> bool {
        high < self.count && self.among.get(low * self.count + high).copied().unwrap_or(false)
    }
}

impl Linkage {
    /// Contacts while a parameter runs from `from` to `to`; `pose_at` gives the pose for any value between. Pairs that
    /// share a joint, are glued together or stand in `exempt` are not looked at. Events are located to `resolution`
    /// (1e-3 degrees is usual).
    ///
    /// # Errors
    /// The first pose that does not exist.
    pub fn contacts(
        &self,
        pose_at: &dyn Fn(f64) -> Result<Pose, PoseFault>,
        (from, to): (f64, f64),
        resolution: f64,
        exempt: &Pairs,
    ) -> Result<ContactReport, PoseFault> {
        let motion = Motion { pose_at, seen: RefCell::default() };
        let probe = |k: usize| from + (to - from) * k as f64 / (PROBES - 1) as f64;
        let looks: Vec<f64> = (0..PROBES).map(probe).collect();
        let probes = looks.iter().map(|s| motion.pose(*s)).collect::<Result<Vec<_>, _>>()?;
        let mut report = ContactReport::default();
        for (a, b) in self.free_pairs(exempt) {
            let mut pair = PairSearch::new(self, (a, b), &motion, &probes, resolution, (to - from).abs());
            let touch = |pose| matches!(pair.clearance(pose), Clearance::Apart(d) if d <= TOUCH_MM);
            if probes.iter().all(|pose| touch(pose)) {
                report.resting.push((BodyId(a), BodyId(b)));
                continue;
            }
            // From probe to probe: two that go apart and come back are where they were, as if they had not moved.
            for (from, to) in looks.iter().zip(looks.iter().skip(1)) {
                pair.run(*from, *to)?;
            }
            let clash = |&(from, to): &(f64, f64)| Clash { a: BodyId(a), b: BodyId(b), from, to };
            report.clashes.extend(joined(&pair.crossing).iter().map(clash));
            let grazing = joined(&pair.grazing);
            for interval in &grazing {
                if pair.passes(*interval, (from, to))? {
                    report.passing.push(clash(interval));
                }
            }
            report.grazing.extend(grazing.iter().map(clash));
        }
        let forward = if to >= from { 1.0 } else { -1.0 };
        let order = |c: &Clash, d: &Clash| {
            (c.from * forward).total_cmp(&(d.from * forward)).then((c.a, c.b).cmp(&(d.a, d.b)))
        };
        report.clashes.sort_by(order);
        report.grazing.sort_by(order);
        report.passing.sort_by(order);
        Ok(report)
    }

    /// Whether two bodies pass through each other in a pose by more than `depth` mm: they still do when each is made so
    /// much smaller all round.
    pub fn cross_deeper(&self, (a, b): (BodyId, BodyId), pose: &Pose, depth: f64) -> bool {
        let drawn_in = |body: BodyId| -> Vec<Panel> {
            let panels = self.bodies.get(body.0).map_or(&[][..], |b| b.panels.as_slice());
            let less = |panel: &Panel| offset(&[to_polygon(panel)], -depth, Join::Mitre);
            panels.iter().flat_map(less).map(to_panel).collect()
        };
        let (mine, theirs) = (drawn_in(a), drawn_in(b));
        let (mine, theirs) = (placed(&mine, pose.body(a)), placed(&theirs, pose.body(b)));
        mine.iter().any(|p| theirs.iter().any(|q| p.crossing(q) > TOUCH_MM))
    }

    /// Pairs of bodies without a joint in common, neither glued together. Of thousands of bodies there are millions, so
    /// they come one by one.
    fn free_pairs(&self, exempt: &Pairs) -> impl Iterator<Item = (usize, usize)> {
        let count = self.bodies.len();
        let graph = super::graph::Graph::of(self);
        let joined = self.joints.iter().map(|j| (j.a.0, j.b.0));
        let joined: BTreeSet<(usize, usize)> = joined.map(|(a, b)| (a.min(b), a.max(b))).collect();
        let tied = move |a: usize, b: usize| {
            exempt.holds(a, b) || graph.same_group(a, b) || joined.contains(&(a, b))
        };
        let pairs = (0..count).flat_map(move |a| (a + 1..count).map(move |b| (a, b)));
        pairs.filter(move |&(a, b)| !tied(a, b))
    }
}

/// Neighbouring intervals made one.
fn joined(intervals: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for &(from, to) in intervals {
        match joined.last_mut() {
            Some(last) if last.1 == from => last.1 = to,
            _ => joined.push((from, to)),
        }
    }
    joined
}

/// Poses by parameter; halving visits the same ones for every pair.
struct Motion<'m> {
    pose_at: &'m dyn Fn(f64) -> Result<Pose, PoseFault>,
    seen: RefCell<BTreeMap<u64, Rc<Pose>>>,
}

impl Motion<'_> {
    fn pose(&self, s: f64) -> Result<Rc<Pose>, PoseFault> {
        if let Some(pose) = self.seen.borrow().get(&s.to_bits()) {
            return Ok(Rc::clone(pose));
        }
        let pose = Rc::new((self.pose_at)(s)?);
        self.seen.borrow_mut().insert(s.to_bits(), Rc::clone(&pose));
        Ok(pose)
    }
}

/// How two bodies stand to each other in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Clearance {
    Crossing,
    /// Least distance in mm.
    Apart(f64),
}

struct PairSearch<'s> {
    bodies: (usize, usize),
    /// Panels without what lies next to points that the two always share.
    panels: (Vec<Panel>, Vec<Panel>),
    motion: &'s Motion<'s>,
    resolution: f64,
    length: f64,
    budget: usize,
    crossing: Vec<(f64, f64)>,
    grazing: Vec<(f64, f64)>,
}

impl<'s> PairSearch<'s> {
    fn new(
        linkage: &Linkage,
        bodies: (usize, usize),
        motion: &'s Motion<'s>,
        probes: &[Rc<Pose>],
        resolution: f64,
        length: f64,
    ) -> Self {
        let mut shared = shared_points(linkage, bodies, probes);
        let (crossing, grazing) = (Vec::new(), Vec::new());
        let mut search = Self {
            bodies,
            panels: Default::default(),
            motion,
            resolution,
            length,
            budget: MOST_INTERVALS,
            crossing,
            grazing,
        };
        search.trim(linkage, &shared);
        // Where the bodies still touch all the time, a point that stays put in both is another they share.
        for _ in 0..MOST_TOUCHES {
            let Some((mine, theirs)) = search.standing_touch(probes) else { break };
            shared.0.push(mine);
            shared.1.push(theirs);
            search.trim(linkage, &shared);
        }
        search
    }

    fn trim(&mut self, linkage: &Linkage, shared: &(Vec<Point2>, Vec<Point2>)) {
        let (mine, theirs) = (&linkage.bodies[self.bodies.0].panels, &linkage.bodies[self.bodies.1].panels);
        let reach = cone_reach(mine, &shared.0).min(cone_reach(theirs, &shared.1));
        self.panels = (trimmed(mine, &shared.0, reach), trimmed(theirs, &shared.1, reach));
    }

    /// A point, in both flat frames, where the bodies touch in every pose in which they do not cross.
    fn standing_touch(&self, probes: &[Rc<Pose>]) -> Option<(Point2, Point2)> {
        let apart = |pose: &&Rc<Pose>| matches!(self.clearance(pose), Clearance::Apart(_));
        let apart: Vec<_> = probes.iter().filter(apart).collect();
        let first = apart.first().filter(|_| apart.len() > 1)?;
        let (distance, place) = self.nearest(first);
        let back = |body: usize| first.bodies[body].inverse().point(place);
        let (mine, theirs) = (back(self.bodies.0), back(self.bodies.1));
        let stays = |pose: &&Rc<Pose>| {
            let gap = pose.bodies[self.bodies.0].point(mine) - pose.bodies[self.bodies.1].point(theirs);
            gap.norm() <= COINCIDENT_MM
        };
        let touching = distance <= COINCIDENT_MM && apart.iter().all(stays);
        touching.then_some(([mine.x, mine.y], [theirs.x, theirs.y]))
    }

    fn placed(&self, pose: &Pose) -> (Vec<Placed<'_>>, Vec<Placed<'_>>) {
        let at = |body: usize| pose.bodies[body];
        (placed(&self.panels.0, at(self.bodies.0)), placed(&self.panels.1, at(self.bodies.1)))
    }

    /// Least distance of bodies that do not cross, and where it is.
    fn nearest(&self, pose: &Pose) -> (f64, Vec3) {
        let (mine, theirs) = self.placed(pose);
        let pairs = mine.iter().flat_map(|p| theirs.iter().map(move |q| p.nearest(q)));
        pairs.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((f64::INFINITY, Vec3::zeros()))
    }

    fn clearance(&self, pose: &Pose) -> Clearance {
        let (mine, theirs) = self.placed(pose);
        if mine.iter().any(|p| theirs.iter().any(|q| p.crossing(q) > TOUCH_MM)) {
            return Clearance::Crossing;
        }
        let pairs = mine.iter().flat_map(|p| theirs.iter().map(move |q| p.nearest(q).0));
        Clearance::Apart(pairs.fold(f64::INFINITY, f64::min))
    }

    fn run(&mut self, from: f64, to: f64) -> Result<(), PoseFault> {
        let (first, last) = (self.motion.pose(from)?, self.motion.pose(to)?);
        let ends = ((from, first), (to, last));
        let clearances = (self.clearance(&ends.0.1), self.clearance(&ends.1.1));
        self.search(ends, clearances)
    }

    fn search(
        &mut self,
        ends: ((f64, Rc<Pose>), (f64, Rc<Pose>)),
        clearances: (Clearance, Clearance),
    ) -> Result<(), PoseFault> {
        let ((from, first), (to, last)) = &ends;
        let span = (to - from).abs();
        self.budget = self.budget.saturating_sub(1);
        let small = span <= self.resolution || self.budget == 0;
        match clearances {
            (Clearance::Crossing, Clearance::Crossing) if span <= CROSSING_SHARE * self.length || small => {
                self.crossing.push((*from, *to));
                return Ok(());
            }
            (Clearance::Apart(d), Clearance::Apart(e)) => {
                if self.path(first, last).is_some_and(|path| d + e > path) {
                    return Ok(());
                }
                if small {
                    self.grazing.push((*from, *to));
                    return Ok(());
                }
            }
            _ if small => {
                // The change lies within the resolution: the crossing part is taken to be the half next to it.
                let middle = 0.5 * (from + to);
                let crossing = clearances.0 == Clearance::Crossing;
                self.crossing.push(if crossing { (*from, middle) } else { (middle, *to) });
                return Ok(());
            }
            _ => {}
        }
        let middle = 0.5 * (from + to);
        let pose = self.motion.pose(middle)?;
        let between = self.clearance(&pose);
        let before = (ends.0.clone(), (middle, Rc::clone(&pose)));
        self.search(before, (clearances.0, between))?;
        // Two crossing parts that meet here are one interval.
        self.search(((middle, pose), ends.1), (between, clearances.1))
    }

    /// Whether a point of one body has gone through the other in an interval or close by it: it lies on one side of the
    /// other's plane before and on the other side after, and so far inside the other's outline that it cannot have gone
    /// round its edge on the way. It must then have been in the plane, and in the paper.
    fn passes(&self, (from, to): (f64, f64), (start, end): (f64, f64)) -> Result<bool, PoseFault> {
        for wider in 0..MOST_WIDENED {
            let by = (to - from) * f64::from(wider);
            let within = |s: f64| s.clamp(start.min(end), start.max(end));
            let (first, last) = (self.motion.pose(within(from - by))?, self.motion.pose(within(to + by))?);
            if self.path(&first, &last).is_none() {
                break;
            }
            if self.goes_through(&first, &last) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn goes_through(&self, first: &Pose, last: &Pose) -> bool {
        let (a, b) = self.bodies;
        let relative =
            |pose: &Pose, own: usize, other: usize| pose.bodies[other].inverse() * pose.bodies[own];
        let ways = [(a, b, &self.panels.0, &self.panels.1), (b, a, &self.panels.1, &self.panels.0)];
        ways.into_iter().any(|(own, other, mine, theirs)| {
            let (start, end) = (relative(first, own, other), relative(last, own, other));
            mine.iter().any(|p| theirs.iter().any(|q| goes_through(p, q, &start, &end)))
        })
    }

    /// How far the two can have moved against each other between two poses; none when they turned too far to say.
    fn path(&self, first: &Pose, last: &Pose) -> Option<f64> {
        let (a, b) = self.bodies;
        let relative = |pose: &Pose| pose.bodies[b].inverse() * pose.bodies[a];
        let (start, end) = (relative(first), relative(last));
        let turn = (start.inverse() * end).rotation.trace();
        // The trace of a turn is 1 + 2 cos.
        if (turn - 1.0) / 2.0 < WIDE_TURN {
            return None;
        }
        let moved = |p: Point2| (end.point(lift(p)) - start.point(lift(p))).norm();
        let corners = self.panels.0.iter().flat_map(|panel| &panel.outline);
        Some(PATH_FACTOR * corners.map(|&p| moved(p)).fold(0.0, f64::max))
    }
}

/// Whether some point of one panel certainly goes through the other: all its corners lie off the other's plane, on one
/// side and then on the other, farther than a loop may be open. `start` and `end` carry the first panel's frame to
/// the second one's.
fn goes_through(panel: &Panel, sheet: &Panel, start: &Iso, end: &Iso) -> bool {
    let sides = |at: &Iso| {
        let first = panel.outline.first().map_or(0.0, |p| at.point(lift(*p)).z.signum());
        let off = |z: f64| z * first >= CLOSURE_MM;
        panel.outline.iter().all(|p| off(at.point(lift(*p)).z)).then_some(first)
    };
    if sides(start).zip(sides(end)).is_none_or(|(before, after)| before == after) {
        return false;
    }
    let (panel, sheet) = (to_polygon(panel), to_polygon(sheet));
    let seen = |at: &Iso, p: Point| at.point(lift([p.x, p.y]));
    let shadow = panel.mapped(|p| {
        let q = seen(start, p);
        pt(q.x, q.y)
    });
    let back = start.inverse();
    intersection(&[shadow], std::slice::from_ref(&sheet)).iter().any(|shared| {
        let centre = shared.centroid();
        // The middle of a shared place may lie beside it when it is bent or has a hole.
        let inner = shared.vertices().map(|v| v.midpoint(centre));
        std::iter::once(centre).chain(inner).any(|q| {
            let p = back.point(lift([q.x, q.y]));
            let p = pt(p.x, p.y);
            let (before, after) = (seen(start, p), seen(end, p));
            let strayed = PATH_FACTOR * (after - before).norm();
            let at = pt(before.x, before.y);
            panel.contains_strictly(p)
                && before.z * after.z < 0.0
                && sheet.contains_strictly(at)
                && sheet.distance_to_boundary(at) > strayed
        })
    })
}

fn to_polygon(panel: &Panel) -> Polygon {
    let ring = |ring: &Vec<Point2>| ring.iter().map(|p| pt(p[0], p[1])).collect();
    Polygon::new(ring(&panel.outline), panel.holes.iter().map(ring).collect())
}

fn placed(panels: &[Panel], at: Iso) -> Vec<Placed<'_>> {
    panels.iter().map(|panel| Placed::new(panel, at)).collect()
}

/// Points, in the flat frame of each body, that the two share in every pose looked at: ends of common hinge lines and
/// common corners.
fn shared_points(
    linkage: &Linkage,
    bodies: (usize, usize),
    probes: &[Rc<Pose>],
) -> (Vec<Point2>, Vec<Point2>) {
    let mut shared = (Vec::new(), Vec::new());
    for (own, other, flipped) in [(bodies.0, bodies.1, false), (bodies.1, bodies.0, true)] {
        for p in candidates(linkage, own) {
            let in_other = |pose: &Rc<Pose>| (pose.bodies[other].inverse() * pose.bodies[own]).point(lift(p));
            let Some(first) = probes.first().map(in_other) else { continue };
            let stays = probes.iter().all(|pose| (in_other(pose) - first).norm() <= COINCIDENT_MM);
            let touches = linkage.bodies[other]
                .panels
                .iter()
                .any(|panel| Placed::new(panel, Iso::identity()).distance_to(&first) <= COINCIDENT_MM);
            if stays && touches {
                let there = [first.x, first.y];
                let (one, two) = if flipped { (there, p) } else { (p, there) };
                shared.0.push(one);
                shared.1.push(two);
            }
        }
    }
    shared
}

/// Corners of a body, and the ends of its joints' lines.
fn candidates(linkage: &Linkage, body: usize) -> Vec<Point2> {
    let mut points: Vec<Point2> = linkage.bodies[body].corners().collect();
    for joint in &linkage.joints {
        if joint.a.0 == body {
            points.extend(joint.anchor);
        }
        if joint.b.0 == body {
            let back = joint.zero.inverse();
            points.extend(joint.anchor.map(|p| {
                let q = back.place(p);
                [q[0], q[1]]
            }));
        }
    }
    points
}

/// The panels of a body without the neighbourhood of shared points. Round a single point the panels are cones and along
/// a shared line they are fans, so that what crosses near by crosses farther out as well; the neighbourhood may
/// therefore reach almost to the next edge.
fn trimmed(panels: &[Panel], shared: &[Point2], reach: f64) -> Vec<Panel> {
    if shared.is_empty() || !reach.is_finite() {
        return panels.to_vec();
    }
    let cut = neighbourhood(shared, 0.9 * reach);
    let rest = panels.iter().flat_map(|panel| difference(&[to_polygon(panel)], std::slice::from_ref(&cut)));
    rest.map(to_panel).collect()
}

fn to_panel(polygon: Polygon) -> Panel {
    let ring = |ring: Vec<Point>| ring.into_iter().map(|p| [p.x, p.y]).collect();
    Panel { outline: ring(polygon.outer), holes: polygon.holes.into_iter().map(ring).collect() }
}

/// Distance from shared points to the nearest edge that holds none of them.
fn cone_reach(panels: &[Panel], shared: &[Point2]) -> f64 {
    let distance = |(a, b): (Point2, Point2), p: Point2| {
        let (a, b, p) = (lift(a), lift(b), lift(p));
        let along = b - a;
        let t = ((p - a).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        (p - a - along * t).norm()
    };
    let nearest = |edge| shared.iter().map(|&p| distance(edge, p)).fold(f64::INFINITY, f64::min);
    panels.iter().flat_map(edges).map(nearest).filter(|&d| d > COINCIDENT_MM).fold(f64::INFINITY, f64::min)
}

/// A polygon round one point (24 corners), or round the line between the two shared points farthest apart.
fn neighbourhood(shared: &[Point2], radius: f64) -> Polygon {
    let first = shared.first().copied().unwrap_or_default();
    let from = |p: &Point2, q: &Point2| libm::hypot(p[0] - q[0], p[1] - q[1]);
    let farthest = |p: Point2| shared.iter().copied().max_by(|q, r| from(q, &p).total_cmp(&from(r, &p)));
    let end = farthest(first).unwrap_or(first);
    let start = farthest(end).unwrap_or(end);
    if from(&start, &end) <= COINCIDENT_MM {
        let corner = |k: usize| {
            let angle = k as f64 * std::f64::consts::TAU / 24.0;
            pt(end[0] + radius * libm::cos(angle), end[1] + radius * libm::sin(angle))
        };
        return Polygon::simple((0..24).map(corner).collect());
    }
    let along = (lift(end) - lift(start)).normalize() * radius;
    let across = Vec3::new(-along.y, along.x, 0.0);
    let corners = [
        lift(start) - along - across,
        lift(end) + along - across,
        lift(end) + along + across,
        lift(start) - along + across,
    ];
    Polygon::simple(corners.iter().map(|c| pt(c.x, c.y)).collect())
}
