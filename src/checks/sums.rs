//! Four folds that go round in a ring: the gutter of two pages, two feet, and the ridge between them. They are parallel,
//! or run through one point.
//!
//! In section they are a quadrilateral: on one page `near[0]` from the gutter to the foot, then `near[1]` from the foot
//! to the ridge; `far` likewise on the other. Folded shut, both ways from the gutter to the ridge lie on one line and
//! must be equally long. Opened by an angle, the feet are as far apart as the law of cosines says, and the two panels
//! over them must reach. Through one point the same holds of the angles between them, by the spherical law of cosines.
//!
//! A ring whose gutter has its angle gives the others theirs, and each of them may be the gutter of a ring that stands on
//! it: so the rings of a stack are looked at from the page up.

use crate::assembly::{Assembly, Crease, Fold, JointId, JointKind, PanelId};
use crate::findings::{Named, Rewrite, RingSum, RingTurn, VertexSum};
use crate::geometry::{Isometry, Point, Segment};
use crate::quantity::Rounding;
use crate::quantity::tolerance::{CLOSURE_MM, COINCIDENT_MM, PARALLEL_DEG, REPORTED_DEG};

use super::facts::moved_reading;
use std::collections::VecDeque;

/// A fold beyond which the panels at a foot lie back over each other, degrees.
const FOLDED_BACK_DEG: f64 = 90.0;

/// A fold with the two rigid parts that it joins.
#[derive(Clone, Copy)]
struct Hinge {
    id: JointId,
    /// Numbers of the rigid parts, and the line in the frame of each.
    parts: [usize; 2],
    lines: [Segment; 2],
    /// Whether the panels that it joins lie in their parts with their printed sides turned over.
    over: [bool; 2],
    /// Scored as a valley.
    valley: bool,
}

impl Hinge {
    fn line_in(&self, part: usize) -> Option<Segment> {
        self.parts.iter().position(|p| *p == part).and_then(|k| self.lines.get(k).copied())
    }

    fn over_in(&self, part: usize) -> bool {
        self.parts.iter().position(|p| *p == part).and_then(|k| self.over.get(k).copied()).unwrap_or(false)
    }

    fn beyond(&self, part: usize) -> Option<usize> {
        match self.parts {
            [a, b] if a == part => Some(b),
            [a, b] if b == part => Some(a),
            _ => None,
        }
    }
}

/// A fold whose angle is known, degrees.
struct Known {
    fold: Hinge,
    /// Between its two parts, on the sides where these points of theirs lie; of a fold that the pose sets, between the
    /// panels that it joins.
    between: f64,
    towards: Option<[Point; 2]>,
    /// The folds of the ring that gave it.
    ring: Vec<JointId>,
}

impl Known {
    /// How far it is folded for parts that stand on these places of its two sides, degrees.
    fn folded(&self, [one, other]: [Point; 2]) -> f64 {
        let alike = |part: usize, at: Point| {
            let line = self.fold.lines.get(part).copied();
            self.towards.zip(line).is_none_or(|(towards, line)| {
                towards.get(part).is_none_or(|p| line.offset_of(*p) * line.offset_of(at) > 0.0)
            })
        };
        // Across from each other are the same angles.
        if alike(0, one) == alike(1, other) { 180.0 - self.between } else { self.between }
    }
}

/// Why a pose that sets the gutter of such a ring cannot be taken, when the lengths say it.
pub fn ring_sum(assembly: &Assembly, values: &[(JointId, f64)]) -> Option<RingSum> {
    let hinges = hinges(assembly);
    let set = values.iter().filter_map(|(id, value)| {
        let fold = *hinges.iter().find(|h| h.id == *id)?;
        Some(Known { fold, between: 180.0 - value.abs(), towards: None, ring: Vec::new() })
    });
    let mut open: VecDeque<Known> = set.collect();
    let mut known: Vec<JointId> = open.iter().map(|k| k.fold.id).collect();
    while let Some(gutter) = open.pop_front() {
        for ring in rings(&hinges, &gutter.fold) {
            let mut folds = ring.folds.map(|h| h.id).to_vec();
            folds.sort_unstable();
            if folds == gutter.ring {
                continue;
            }
            let Some(folded) = ring.feet().map(|feet| gutter.folded(feet)) else { continue };
            if let Some(told) = judged(assembly, values, &ring, folded) {
                return Some(RingSum { raised: gutter.towards.is_some(), ..told });
            }
            for next in ring.others(folded).into_iter().flatten() {
                if !known.contains(&next.fold.id) {
                    known.push(next.fold.id);
                    open.push_back(Known { ring: folds.clone(), ..next });
                }
            }
        }
    }
    None
}

/// Why a pose that folds everything round a point of a sheet flat cannot be taken, when the angles say it.
pub fn vertex_sum(assembly: &Assembly, values: &[(JointId, f64)]) -> Option<VertexSum> {
    let flat = |id: JointId| values.iter().any(|(j, v)| *j == id && v.abs() >= 180.0 - PARALLEL_DEG);
    let fold = |(id, joint): (JointId, &crate::assembly::Joint)| match &joint.kind {
        JointKind::Fold { piece, from, to, .. } if flat(id) => Some((id, *piece, [*from, *to])),
        _ => None,
    };
    let folds: Vec<_> = assembly.joints.iter().enumerate().filter_map(fold).collect();
    folds.iter().find_map(|(_, piece, ends)| {
        ends.iter().find_map(|point| {
            let mut rays: Vec<(f64, JointId)> = Vec::new();
            for (id, _, ends) in folds.iter().filter(|(_, other, _)| other == piece) {
                let [near, far] = if ends[0].distance(*point) <= ends[1].distance(*point) {
                    *ends
                } else {
                    [ends[1], ends[0]]
                };
                if near.distance(*point) <= COINCIDENT_MM {
                    let away = far - *point;
                    rays.push((libm::atan2(away.y, away.x).to_degrees(), *id));
                }
            }
            rays.sort_by(|a, b| a.0.total_cmp(&b.0));
            judged_vertex(assembly, &rays)
        })
    })
}

/// Folds that meet at a point, each with its direction, degrees, in turn.
fn judged_vertex(assembly: &Assembly, rays: &[(f64, JointId)]) -> Option<VertexSum> {
    let mut panels: Vec<PanelId> = Vec::new();
    let joints = rays.iter().map(|(_, id)| assembly.joints.get(*id)).collect::<Option<Vec<_>>>()?;
    joints.iter().for_each(|j| panels.extend([j.a, j.b]));
    panels.sort_unstable();
    panels.dedup();
    // Only round a point within the sheet are there as many panels as folds.
    if rays.len() < 4 || rays.len() % 2 == 1 || panels.len() != rays.len() {
        return None;
    }
    let next = rays.iter().skip(1).chain(rays.first());
    let angles: Vec<f64> = rays.iter().zip(next).map(|(a, b)| (b.0 - a.0).rem_euclid(360.0)).collect();
    let every_other = |from: usize| angles.iter().skip(from).step_by(2).copied().collect::<Vec<f64>>();
    let (odd, even) = (every_other(0), every_other(1));
    let off = odd.iter().sum::<f64>() - 180.0;
    let folds = joints.iter().map(|j| Named { name: j.name.clone(), span: j.span }).collect();
    (off.abs() > REPORTED_DEG / 2.0).then_some(VertexSum { folds, odd, even })
}

fn hinges(assembly: &Assembly) -> Vec<Hinge> {
    let (part, place) = rigid_parts(assembly);
    let hinge = |(id, joint): (JointId, &crate::assembly::Joint)| {
        let JointKind::Fold { from, to, fold, .. } = &joint.kind else { return None };
        let line = Segment::new(*from, *to);
        let at = |panel: PanelId| {
            let lies = place.get(panel)?;
            Some((*part.get(panel)?, lies.apply_segment(line), lies.mirrors()))
        };
        let ((a, in_a, a_over), (b, in_b, b_over)) = (at(joint.a)?, at(joint.b)?);
        (a != b).then_some(Hinge {
            id,
            parts: [a, b],
            lines: [in_a, in_b],
            over: [a_over, b_over],
            valley: *fold == Fold::Valley,
        })
    };
    assembly.joints.iter().enumerate().filter_map(hinge).collect()
}

/// By panel: the rigid part it belongs to, and how it lies in that part. What is stuck together is one part.
fn rigid_parts(assembly: &Assembly) -> (Vec<usize>, Vec<Isometry>) {
    let count = assembly.panels.len();
    let (mut part, mut place) = (vec![usize::MAX; count], vec![Isometry::IDENTITY; count]);
    for first in 0..count {
        if part.get(first).is_none_or(|p| *p != usize::MAX) {
            continue;
        }
        let mut open = vec![(first, Isometry::IDENTITY)];
        while let Some((panel, lies)) = open.pop() {
            match part.get_mut(panel) {
                Some(slot) if *slot == usize::MAX => *slot = first,
                _ => continue,
            }
            if let Some(slot) = place.get_mut(panel) {
                *slot = lies;
            }
            for joint in &assembly.joints {
                let JointKind::Fixed { placement, .. } = &joint.kind else { continue };
                let seat = placement.isometry();
                if joint.a == panel {
                    open.push((joint.b, seat.then(&lies)));
                } else if joint.b == panel {
                    open.push((joint.a, seat.inverse().then(&lies)));
                }
            }
        }
    }
    (part, place)
}

/// A ring: gutter, one foot, ridge, other foot; lengths or angles between them in the order of [`RingSum`].
struct Ring {
    folds: [Hinge; 4],
    angles: bool,
    near: [f64; 2],
    far: [f64; 2],
    /// The ridge is scored like the gutter and goes in between the pages, where it would otherwise go beyond the feet.
    inwards: bool,
    /// The fold that its neighbours cross in two points, and how far these are apart, mm.
    missed: Option<(Hinge, f64)>,
}

impl Ring {
    /// Lengths or angles that differ by no more are equal.
    fn play(&self) -> f64 {
        if self.angles { PARALLEL_DEG } else { COINCIDENT_MM }
    }

    /// By how much the way from the gutter to the ridge is longer over the near foot, mm or degrees.
    fn differ(&self) -> f64 {
        let ([a, b], [d, c]) = (self.near, self.far);
        if self.inwards { b - a - c + d } else { a + b - c - d }
    }

    /// Places of the feet on the two parts of the gutter.
    fn feet(&self) -> Option<[Point; 2]> {
        let [gutter, foot, _, last] = &self.folds;
        let [start, end] = gutter.parts;
        Some([foot.line_in(start)?.midpoint(), last.line_in(end)?.midpoint()])
    }

    /// The angles of foot, ridge and last foot when the gutter is folded by this angle.
    fn others(&self, folded: f64) -> [Option<Known>; 3] {
        let [gutter, foot, ridge, last] = &self.folds;
        let ([a, b], [d, c]) = (self.near, self.far);
        let (apart, corner): (f64, fn(f64, f64, f64) -> f64) = if self.angles {
            (turned_apart(a, d, folded), corner_round)
        } else {
            (far_apart(a, d, folded), corner_between)
        };
        let shut = folded >= 180.0 - PARALLEL_DEG && self.differ().abs() <= self.play();
        let at = |page: f64, panel: f64, other_page: f64, other_panel: f64| {
            let (to_gutter, to_ridge) = (corner(page, apart, other_page), corner(panel, apart, other_panel));
            let sum = to_gutter + to_ridge;
            if self.inwards { (to_gutter - to_ridge).abs() } else { sum.min(360.0 - sum) }
        };
        let angles = if shut || apart <= self.play() {
            let back = if self.inwards { 0.0 } else { 180.0 };
            [back, 0.0, back]
        } else {
            [at(a, b, d, c), corner(b, c, apart), at(d, c, a, b)]
        };
        // Of each fold the one beside it on either part.
        let beside = [(foot, gutter, ridge), (ridge, foot, last), (last, ridge, gutter)];
        let mut found = beside.into_iter().zip(angles).map(|((fold, one, other), between)| {
            let on =
                |part: usize| [one, other].into_iter().find_map(|h| h.line_in(part)).map(|l| l.midpoint());
            let [Some(p), Some(q)] = fold.parts.map(on) else { return None };
            Some(Known { fold: *fold, between, towards: Some([p, q]), ring: Vec::new() })
        });
        std::array::from_fn(|_| found.next().flatten())
    }
}

/// Where two neighbouring folds of a ring cross on the part between them: how far along either, mm, and the angle
/// between the first as it is drawn and the second away from the point, and between both away from it, degrees.
struct Corner {
    along: [f64; 2],
    drawn: f64,
    away: f64,
}

/// `None` where two of the folds do not cross in a point, or one of them does not lead away from it.
fn corners(round: [(&Hinge, &Hinge, usize); 4]) -> Option<[Corner; 4]> {
    let corner = |(h, k, part): (&Hinge, &Hinge, usize)| {
        let (h, k) = (h.line_in(part)?, k.line_in(part)?);
        let (u, v) = (h.vector().unit()?, k.vector().unit()?);
        let turned = u.cross(v);
        if turned.abs() <= PARALLEL_DEG.to_radians() {
            return None;
        }
        let between = k.start - h.start;
        let along = [between.cross(v) / turned, between.cross(u) / turned];
        let point = h.start + u * along[0];
        let from_point = |line: &Segment| (line.midpoint() - point).unit();
        let angle = |a: Point, b: Point| libm::atan2(a.cross(b).abs(), a.dot(b)).to_degrees();
        let (to_h, to_k) = (from_point(&h).unwrap_or(u), from_point(&k).unwrap_or(v));
        Some(Corner { along, drawn: angle(u, to_k), away: angle(to_h, to_k) })
    };
    let [Some(a), Some(b), Some(c), Some(d)] = round.map(corner) else { return None };
    // The last pair has the gutter behind it: there its other side is wanted.
    let last = round.last().map(|&(h, k, part)| corner((k, h, part)))??;
    Some([a, b, c, Corner { along: d.along, ..last }])
}

fn through_a_point(folds: [Hinge; 4], corners: &[Corner; 4], inwards: bool) -> Ring {
    let [at_foot, at_ridge, at_last, at_gutter] = corners;
    let [gutter, foot, ridge, last] = folds;
    let misses = [
        (gutter, at_gutter.along[1] - at_foot.along[0]),
        (foot, at_foot.along[1] - at_ridge.along[0]),
        (ridge, at_ridge.along[1] - at_last.along[0]),
        (last, at_last.along[1] - at_gutter.along[0]),
    ];
    let missed = misses.map(|(h, by)| (h, by.abs())).into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    // The gutter runs on beyond the point; the feet lean towards one of its sides.
    let feet = [at_foot.drawn, at_gutter.drawn];
    let [a, d] = if feet[0] + feet[1] > 180.0 { feet.map(|f| 180.0 - f) } else { feet };
    Ring {
        folds,
        angles: true,
        near: [a, at_ridge.away],
        far: [d, at_last.away],
        inwards,
        missed: missed.filter(|(_, by)| *by > CLOSURE_MM),
    }
}

fn rings(hinges: &[Hinge], gutter: &Hinge) -> Vec<Ring> {
    let [start, end] = gutter.parts;
    let from = |part: usize, used: Vec<JointId>| {
        let on = move |h: &&Hinge| h.beyond(part).is_some() && !used.contains(&h.id);
        hinges.iter().filter(on)
    };
    let mut found = Vec::new();
    for foot in from(start, vec![gutter.id]) {
        let Some(one) = foot.beyond(start).filter(|p| *p != end) else { continue };
        for ridge in from(one, vec![gutter.id, foot.id]) {
            let Some(other) = ridge.beyond(one).filter(|p| *p != start && *p != end) else { continue };
            for last in from(other, vec![gutter.id, foot.id, ridge.id]) {
                if last.beyond(other) != Some(end) {
                    continue;
                }
                let round =
                    [(gutter, foot, start), (foot, ridge, one), (ridge, last, other), (last, gutter, end)];
                let folds = [*gutter, *foot, *ridge, *last];
                // A foot that is stuck on with its printed side turns its piece over, valleys to mountains.
                let over = [(gutter, foot, start), (foot, ridge, one)]
                    .map(|(h, k, part)| h.over_in(part) != k.over_in(part));
                let inwards = (gutter.valley == ridge.valley) == (over[0] == over[1]);
                if let [Some(a), Some(b), Some(c), Some(d)] = round.map(|(h, k, part)| apart(h, k, part)) {
                    found.push(Ring {
                        folds,
                        angles: false,
                        near: [a, b],
                        far: [d, c],
                        inwards,
                        missed: None,
                    });
                } else if let Some(corners) = corners(round) {
                    found.push(through_a_point(folds, &corners, inwards));
                }
            }
        }
    }
    found
}

/// Between two parallel folds of one part, mm.
fn apart(one: &Hinge, other: &Hinge, part: usize) -> Option<f64> {
    let (h, k) = (one.line_in(part)?, other.line_in(part)?);
    let parallel = h.vector().unit()?.cross(k.vector().unit()?).abs() <= PARALLEL_DEG.to_radians();
    parallel.then(|| h.offset_of(k.midpoint()).abs())
}

fn judged(assembly: &Assembly, values: &[(JointId, f64)], ring: &Ring, folded: f64) -> Option<RingSum> {
    let [gutter, foot, ridge, last] = &ring.folds;
    let ([a, b], [d, c]) = (ring.near, ring.far);
    let play = if ring.angles { REPORTED_DEG / 2.0 } else { CLOSURE_MM };
    let turn = if let Some((line, apart)) = &ring.missed {
        let joint = assembly.joints.get(line.id)?;
        RingTurn::Misses { line: Named { name: joint.name.clone(), span: joint.span }, apart: *apart }
    } else if folded >= 180.0 - PARALLEL_DEG {
        let back = |h: &Hinge| values.iter().any(|(j, v)| *j == h.id && v.abs() > FOLDED_BACK_DEG);
        // With the feet folded back, the panels lie towards the gutter and other sums count.
        if back(foot) || back(last) || ring.differ().abs() <= ring.play() {
            return None;
        }
        RingTurn::Shuts
    } else {
        let between = if ring.angles { turned_apart(a, d, folded) } else { far_apart(a, d, folded) };
        let opening = if ring.angles { opening_round } else { opening };
        if between > b + c + play {
            RingTurn::Opens { to: opening(a, d, b + c)?, short: between - b - c }
        } else if between < (b - c).abs() - play {
            RingTurn::StaysOpen { at: opening(a, d, (b - c).abs())? }
        } else {
            return None;
        }
    };
    let named = |h: &Hinge| {
        let joint = assembly.joints.get(h.id)?;
        Some(Named { name: joint.name.clone(), span: joint.span })
    };
    let mend = if turn == RingTurn::Shuts && !ring.angles { ridge_moved(assembly, ring) } else { None };
    Some(RingSum {
        gutter: named(gutter)?,
        raised: false,
        ridge: named(ridge)?,
        feet: [named(foot)?, named(last)?],
        angles: ring.angles,
        inwards: ring.inwards,
        near: ring.near,
        far: ring.far,
        turn,
        mend,
        foot: foot_moved(ring).and_then(|(foot, from_gutter)| Some((named(foot)?, from_gutter))),
    })
}

/// The foot on the longer side, moved until both sides are equally long: towards the gutter, or away from it where the
/// ridge goes inwards. `None` where the panels over the gutter would still not reach with the pages open.
fn foot_moved(ring: &Ring) -> Option<(&Hinge, f64)> {
    let ([a, b], [d, c]) = (ring.near, ring.far);
    let [_, foot, _, last] = &ring.folds;
    let longer = ring.differ();
    let nearer = if ring.inwards { -longer.abs() } else { longer.abs() };
    let (moved, from_gutter, other) =
        if longer > 0.0 { (foot, a - nearer, d) } else { (last, d - nearer, a) };
    let fits = from_gutter > COINCIDENT_MM && from_gutter + other <= b + c + COINCIDENT_MM;
    (!ring.angles && longer.abs() > COINCIDENT_MM && fits).then_some((moved, from_gutter))
}

/// How far places `a` and `d` from a gutter are apart when it is folded by this angle, mm.
fn far_apart(a: f64, d: f64, folded: f64) -> f64 {
    let half = libm::sin((180.0 - folded).to_radians() / 2.0);
    libm::sqrt((a - d) * (a - d) + 4.0 * a * d * half * half)
}

/// The angle between lines that leave a gutter at `a` and `d` when it is folded by this angle, all in degrees. The
/// half-angle form of the spherical law of cosines.
fn turned_apart(a: f64, d: f64, folded: f64) -> f64 {
    let half = |degrees: f64| libm::sin(degrees.to_radians() / 2.0);
    let sines = libm::sin(a.to_radians()) * libm::sin(d.to_radians());
    let squared = half(a - d) * half(a - d) + sines * half(180.0 - folded) * half(180.0 - folded);
    2.0 * libm::atan2(libm::sqrt(squared), libm::sqrt((1.0 - squared).max(0.0))).to_degrees()
}

/// The angle between two sides of a triangle, degrees, by its three sides, mm; 0 where one of the two has no length.
fn corner_between(one: f64, other: f64, across: f64) -> f64 {
    let cosine = (one * one + other * other - across * across) / (2.0 * one * other);
    if cosine.is_finite() { libm::acos(cosine.clamp(-1.0, 1.0)).to_degrees() } else { 0.0 }
}

/// The same of a triangle on the sphere, all in degrees, by the half-angle formula.
fn corner_round(one: f64, other: f64, across: f64) -> f64 {
    let sine = |degrees: f64| libm::sin(degrees.to_radians());
    let half = (one + other + across) / 2.0;
    let squared = sine(half - one) * sine(half - other) / (sine(one) * sine(other));
    if squared.is_finite() { 2.0 * libm::asin(libm::sqrt(squared.clamp(0.0, 1.0))).to_degrees() } else { 0.0 }
}

/// The angle between two pages, degrees, at which lines that leave their gutter at `a` and `d` are `between` apart;
/// `None` when they never are.
fn opening_round(a: f64, d: f64, between: f64) -> Option<f64> {
    let half = |degrees: f64| libm::sin(degrees.to_radians() / 2.0);
    let sines = libm::sin(a.to_radians()) * libm::sin(d.to_radians());
    let squared = (half(between) * half(between) - half(a - d) * half(a - d)) / sines;
    (0.0..=1.0)
        .contains(&squared)
        .then(|| 2.0 * libm::atan2(libm::sqrt(squared), libm::sqrt(1.0 - squared)).to_degrees())
}

/// The angle between two pages, degrees, at which places `a` and `d` from their gutter are `between` apart; `None` when
/// they never are. The half-angle form of the law of cosines.
fn opening(a: f64, d: f64, between: f64) -> Option<f64> {
    if a * d <= 0.0 {
        return None;
    }
    let squared = (between * between - (a - d) * (a - d)) / (4.0 * a * d);
    (0.0..=1.0)
        .contains(&squared)
        .then(|| 2.0 * libm::atan2(libm::sqrt(squared), libm::sqrt(1.0 - squared)).to_degrees())
}

/// The ridge written where both ways to it are equally long.
fn ridge_moved(assembly: &Assembly, ring: &Ring) -> Option<Rewrite> {
    let ([_, b], [_, c]) = (ring.near, ring.far);
    let by = -ring.differ() / 2.0;
    if b + by <= COINCIDENT_MM || c - by <= COINCIDENT_MM {
        return None;
    }
    let line = |h: &Hinge| match &assembly.joints.get(h.id)?.kind {
        JointKind::Fold { from, to, piece, crease, .. } => Some((*piece, *crease, Segment::new(*from, *to))),
        _ => None,
    };
    let [_, foot, ridge, _] = &ring.folds;
    let ((piece, _, from), (on, crease, to)) = (line(foot)?, line(ridge)?);
    if piece != on {
        return None;
    }
    let crease: &Crease = assembly.pieces.get(on)?.creases.get(crease)?;
    let away = (to.midpoint() - foot_point(&from, &to)).unit()?;
    let (reading, value) = moved_reading(&[crease.reading?], crease.from, away * by)?;
    Some(Rewrite { literal: reading.written.literal?, value, rounding: Rounding::Nearest })
}

/// The point of the line through `from` that lies across from the middle of `to`.
fn foot_point(from: &Segment, to: &Segment) -> crate::geometry::Point {
    let along = from.vector().unit().unwrap_or(from.vector());
    from.start + along * along.dot(to.midpoint() - from.start)
}
