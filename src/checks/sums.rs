//! Four parallel folds that go round in a ring: the gutter of two pages, two feet, and the ridge between them.
//!
//! In section they are a quadrilateral: on one page `near[0]` from the gutter to the foot, then `near[1]` from the foot
//! to the ridge; `far` likewise on the other. Folded shut, both ways from the gutter to the ridge lie on one line and
//! must be equally long. Opened by an angle, the feet are as far apart as the law of cosines says, and the two panels
//! over them must reach.

use crate::assembly::{Assembly, Crease, JointId, JointKind, PanelId};
use crate::findings::{Named, Rewrite, RingSum, RingTurn};
use crate::geometry::{Isometry, Segment};
use crate::quantity::Rounding;
use crate::quantity::tolerance::{CLOSURE_MM, COINCIDENT_MM, PARALLEL_DEG};

use super::facts::moved_reading;

/// A fold beyond which the panels at a foot lie back over each other, degrees.
const FOLDED_BACK_DEG: f64 = 90.0;

/// A fold with the two rigid parts that it joins.
#[derive(Clone, Copy)]
struct Hinge {
    id: JointId,
    /// Numbers of the rigid parts, and the line in the frame of each.
    parts: [usize; 2],
    lines: [Segment; 2],
}

impl Hinge {
    fn line_in(&self, part: usize) -> Option<Segment> {
        self.parts.iter().position(|p| *p == part).and_then(|k| self.lines.get(k).copied())
    }

    fn beyond(&self, part: usize) -> Option<usize> {
        match self.parts {
            [a, b] if a == part => Some(b),
            [a, b] if b == part => Some(a),
            _ => None,
        }
    }
}

/// Why a pose that sets the gutter of such a ring cannot be taken, when the lengths say it.
pub fn ring_sum(assembly: &Assembly, values: &[(JointId, f64)]) -> Option<RingSum> {
    let hinges = hinges(assembly);
    values.iter().find_map(|(gutter, value)| {
        let gutter = hinges.iter().find(|h| h.id == *gutter)?;
        rings(&hinges, gutter).into_iter().find_map(|ring| judged(assembly, values, &ring, value.abs()))
    })
}

fn hinges(assembly: &Assembly) -> Vec<Hinge> {
    let (part, place) = rigid_parts(assembly);
    let hinge = |(id, joint): (JointId, &crate::assembly::Joint)| {
        let JointKind::Fold { from, to, .. } = &joint.kind else { return None };
        let line = Segment::new(*from, *to);
        let at = |panel: PanelId| Some((*part.get(panel)?, place.get(panel)?.apply_segment(line)));
        let ((a, in_a), (b, in_b)) = (at(joint.a)?, at(joint.b)?);
        (a != b).then_some(Hinge { id, parts: [a, b], lines: [in_a, in_b] })
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

/// A ring: gutter, one foot, ridge, other foot; lengths between them in the order of [`RingSum`].
struct Ring {
    folds: [Hinge; 4],
    near: [f64; 2],
    far: [f64; 2],
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
                let lengths =
                    [(gutter, foot, start), (foot, ridge, one), (ridge, last, other), (last, gutter, end)]
                        .map(|(h, k, part)| apart(h, k, part));
                if let [Some(a), Some(b), Some(c), Some(d)] = lengths {
                    let folds = [*gutter, *foot, *ridge, *last];
                    found.push(Ring { folds, near: [a, b], far: [d, c] });
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
    let turn = if folded >= 180.0 - PARALLEL_DEG {
        let back = |h: &Hinge| values.iter().any(|(j, v)| *j == h.id && v.abs() > FOLDED_BACK_DEG);
        // With the feet folded back, the panels lie towards the gutter and other sums count.
        if back(foot) || back(last) || (a + b - c - d).abs() <= COINCIDENT_MM {
            return None;
        }
        RingTurn::Shuts
    } else {
        let half = libm::sin((180.0 - folded).to_radians() / 2.0);
        let between = libm::sqrt((a - d) * (a - d) + 4.0 * a * d * half * half);
        if between > b + c + CLOSURE_MM {
            RingTurn::Opens { to: opening(a, d, b + c)?, short: between - b - c }
        } else if between < (b - c).abs() - CLOSURE_MM {
            RingTurn::StaysOpen { at: opening(a, d, (b - c).abs())? }
        } else {
            return None;
        }
    };
    let named = |h: &Hinge| {
        let joint = assembly.joints.get(h.id)?;
        Some(Named { name: joint.name.clone(), span: joint.span })
    };
    let mend = if turn == RingTurn::Shuts { ridge_moved(assembly, ring) } else { None };
    Some(RingSum { gutter: named(gutter)?, ridge: named(ridge)?, near: ring.near, far: ring.far, turn, mend })
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
    let ([a, b], [d, c]) = (ring.near, ring.far);
    let by = (d + c - a - b) / 2.0;
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
