//! Parts that stand on one panel at the same height and ride on different joints: edge on, they stop each other.
//!
//! Of flat parts that only slide, what stops what changes where a corner of one passes a corner of the other, seen along
//! the joint that moves: so the values at which the other joint must be looked at are finitely many.

use super::shorter::shortened;
use super::{Free, Ties, stands_at, value_of, with, within};
use crate::assembly::{Assembly, Face, Joint, JointId, JointKind, PanelId, Placement, SlideHow};
use crate::checks::stuck::{self, caliper_of, panel_name};
use crate::findings::{Blocked, Findings, Meets, Named, Shortened, catalogue as found};
use crate::geometry::{
    Isometry, Polygon, interiors_intersect, intersection, region_bounds, region_centroid, travel_to_contact,
};
use crate::quantity::tolerance::{COINCIDENT_MM, REPORTED_MM};

/// Parts deeper than this upon each other are not looked into.
const DEEPEST: usize = 16;
/// A pin is turned by steps of this many degrees.
const TURN_DEG: f64 = 2.0;
/// Values of a joint at which another one is moved, at the most.
const MOST_VALUES: usize = 96;
/// So far beyond the first touch the place of it is looked for, mm.
const INTO_MM: f64 = 0.5;
/// Of more pairs of parts that the same joints move against each other no mend is looked for.
const MOST_PAIRS: usize = 16;
/// A way that a mend shortens keeps at least this share.
const LEAST_LEFT: f64 = 0.1;
/// Halvings when the angle of a first touch is located, or the way that ends before one.
const HALVINGS: usize = 20;

/// A joint on the way from the base to a part; `back` when the part is the joint's target.
#[derive(Clone, Copy)]
struct Hold<'a> {
    id: JointId,
    joint: &'a Joint,
    back: bool,
}

impl Hold<'_> {
    /// From the part's frame to that of what carries it.
    fn seat(&self, value: f64) -> Isometry {
        let forward = match &self.joint.kind {
            JointKind::Slide { placement, direction, .. } => {
                placement.isometry().then(&Isometry::translation(*direction * value))
            }
            JointKind::Pin { placement, centre, .. } => {
                placement.isometry().then(&Isometry::rotation_deg(*centre, value))
            }
            JointKind::Fixed { placement, .. } => placement.isometry(),
            _ => Isometry::IDENTITY,
        };
        if self.back { forward.inverse() } else { forward }
    }
}

/// A part that stands on the base.
#[derive(Clone)]
struct Riding<'a> {
    panel: PanelId,
    holds: Vec<Hold<'a>>,
    /// The panels that carry it, the base left out.
    carriers: Vec<PanelId>,
    /// Underside and upper side above the base's face, mm.
    levels: (f64, f64),
}

impl Riding<'_> {
    fn lies(&self, assembly: &Assembly, values: &[(JointId, f64)]) -> Option<Polygon> {
        let place = |inner: Isometry, hold: &Hold| inner.then(&hold.seat(value_of(values, hold.id)));
        let whole = self.holds.iter().rev().fold(Isometry::IDENTITY, place);
        Some(assembly.panels.get(self.panel)?.polygon.transformed(&whole))
    }

    fn moves_by(&self, id: JointId) -> bool {
        self.holds.iter().any(|h| h.id == id)
    }

    /// It, or something that carries it, runs under the piece of the other.
    fn runs_under(&self, assembly: &Assembly, other: &Riding) -> bool {
        let piece = assembly.panels.get(other.panel).map(|p| p.piece);
        self.holds.iter().any(|h| match &h.joint.kind {
            JointKind::Slide { how: SlideHow::On { under, .. }, .. } => {
                under.iter().any(|p| Some(*p) == piece)
            }
            _ => false,
        })
    }
}

/// Everything that stands on one face of a panel.
fn riding<'a>(assembly: &'a Assembly, ties: &Ties, base: PanelId, side: Face) -> Vec<Riding<'a>> {
    let mut found: Vec<Riding> = Vec::new();
    let ground = Riding { panel: base, holds: Vec::new(), carriers: Vec::new(), levels: (0.0, 0.0) };
    pile(assembly, ties, &ground, side, &mut found, DEEPEST);
    found
}

fn pile<'a>(
    assembly: &'a Assembly,
    ties: &Ties,
    on: &Riding<'a>,
    side: Face,
    found: &mut Vec<Riding<'a>>,
    deeper: usize,
) {
    for id in ties.0.get(on.panel).into_iter().flatten().copied() {
        let Some(joint) = assembly.joints.get(id) else { continue };
        let Some((panel, placement, back)) = carried(joint, on.panel, side) else { continue };
        if on.carriers.contains(&panel) || on.holds.iter().any(|h| h.id == id || h.joint.a == panel) {
            continue;
        }
        let under = on.levels.1 + placement.raise;
        let mut holds = on.holds.clone();
        holds.push(Hold { id, joint, back });
        let mut carriers = on.carriers.clone();
        if !on.holds.is_empty() {
            carriers.push(on.panel);
        }
        let levels = (under, under + caliper_of(assembly, panel));
        let part = Riding { panel, holds, carriers, levels };
        let outward = if placement.flipped { side.opposite() } else { side };
        if deeper > 0 {
            pile(assembly, ties, &part, outward, found, deeper - 1);
        }
        found.push(part);
    }
}

/// What a joint lays on one face of `panel`. Joints that folds close lay nothing, and a tongue goes through its slots.
fn carried(joint: &Joint, panel: PanelId, side: Face) -> Option<(PanelId, &Placement, bool)> {
    match &joint.kind {
        JointKind::Fixed { placement, closing: false, faces, .. } if joint.a != panel && joint.b == panel => {
            (faces.0 == side).then_some((joint.a, placement, true))
        }
        JointKind::Slide { how: SlideHow::Through { .. }, .. } => None,
        _ => stuck::carried(joint, panel, side).map(|placement| (joint.b, placement, false)),
    }
}

/// Two parts of one level and the free joints that move one against the other.
struct Pair<'a> {
    assembly: &'a Assembly,
    base: PanelId,
    parts: [&'a Riding<'a>; 2],
    by: Vec<Free>,
}

/// Where a joint is stopped.
struct Stopped {
    /// Values of the pair's joints as it is stopped.
    values: Vec<(JointId, f64)>,
    joint: Free,
    at: f64,
    to: f64,
}

/// Where the other pairs are that a mend must set free too.
struct Around<'a, 'b> {
    free: &'b [Free],
    parts: &'b [Riding<'a>],
}

/// Reports the first of such stops of each set of joints; gives the sets.
pub fn check(assembly: &Assembly, ties: &Ties, free: &[Free], sink: &mut Findings) -> Vec<Vec<JointId>> {
    let mut told: Vec<Vec<JointId>> = Vec::new();
    for base in 0..assembly.panels.len() {
        for side in [Face::Front, Face::Back] {
            let parts = riding(assembly, ties, base, side);
            for (n, one) in parts.iter().enumerate() {
                for other in parts.iter().skip(n + 1) {
                    let Some(pair) = Pair::of(assembly, free, base, [one, other]) else { continue };
                    let ids: Vec<JointId> = pair.by.iter().map(|f| f.id).collect();
                    let around = Around { free, parts: &parts };
                    if !told.contains(&ids) && pair.tell(&around, sink) {
                        told.push(ids);
                    }
                }
            }
        }
    }
    told
}

impl<'a> Pair<'a> {
    /// `None` when the two cannot meet edge on, or at most one free joint moves them against each other: such a stop
    /// is the same in every order.
    fn of(
        assembly: &'a Assembly,
        free: &[Free],
        base: PanelId,
        parts: [&'a Riding<'a>; 2],
    ) -> Option<Pair<'a>> {
        let [one, other] = parts;
        let by: Vec<Free> =
            free.iter().copied().filter(|f| one.moves_by(f.id) != other.moves_by(f.id)).collect();
        let shared = one.levels.1.min(other.levels.1) - one.levels.0.max(other.levels.0);
        let apart = one.holds.first()?.id != other.holds.first()?.id;
        let meets = by.len() >= 2
            && apart
            && shared > COINCIDENT_MM
            && !one.runs_under(assembly, other)
            && !other.runs_under(assembly, one);
        let pair = meets.then_some(Pair { assembly, base, parts, by })?;
        pair.may_meet().then_some(pair)
    }

    /// Whether what the two can reach touches at all, boxes taken; of what turns on a pin that is not known.
    fn may_meet(&self) -> bool {
        let reach = |part: &Riding| {
            let mut slid = 0.0;
            for hold in &part.holds {
                match &hold.joint.kind {
                    JointKind::Slide { range, .. } => slid += range.1.abs().max(range.0.abs()),
                    JointKind::Pin { .. } => return None,
                    _ => {}
                }
            }
            Some(part.lies(self.assembly, &[])?.bounds().expanded(slid))
        };
        let [one, other] = self.parts;
        reach(one).zip(reach(other)).is_none_or(|(p, q)| p.touches(&q, 0.0))
    }

    fn lie(&self, values: &[(JointId, f64)]) -> Option<[Polygon; 2]> {
        let [one, other] = self.parts;
        Some([one.lies(self.assembly, values)?, other.lies(self.assembly, values)?])
    }

    fn overlap(&self, values: &[(JointId, f64)]) -> bool {
        self.lie(values).is_none_or(|[one, other]| interiors_intersect(&one, &other, REPORTED_MM))
    }

    /// One of the two, or what carries it, lies over the other or what carries that: then their levels are not those
    /// that were added up, and the order of the layers speaks for them.
    fn lie_over_each_other(&self, parts: &[Riding], values: &[(JointId, f64)]) -> bool {
        let [one, other] = self.parts;
        let tower = |part: &Riding| -> Vec<Polygon> {
            let with = |p: &&Riding| p.panel == part.panel || part.carriers.contains(&p.panel);
            let first = part.holds.first().map(|h| h.id);
            let same = |p: &&Riding| p.holds.first().map(|h| h.id) == first;
            parts.iter().filter(with).filter(same).filter_map(|p| p.lies(self.assembly, values)).collect()
        };
        let (these, those) = (tower(one), tower(other));
        these.iter().any(|p| those.iter().any(|q| interiors_intersect(p, q, REPORTED_MM)))
    }

    /// How far `free` goes from where it stands towards `to` before the two touch; `None` when it gets there. Touching
    /// at the very end stops nothing.
    fn stopped(&self, values: &[(JointId, f64)], free: &Free, to: f64) -> Option<f64> {
        let from = value_of(values, free.id);
        let way = (to - from).abs();
        if way <= REPORTED_MM {
            return None;
        }
        let turns = self
            .parts
            .iter()
            .flat_map(|p| &p.holds)
            .any(|h| matches!(h.joint.kind, JointKind::Pin { .. }) && (h.id == free.id));
        if turns {
            return self.turned(values, free, to);
        }
        let moved = usize::from(!self.parts[0].moves_by(free.id));
        let start = self.lie(values)?;
        let end = self.lie(&with(values, free.id, to))?;
        let (moving, obstacle) = (start.get(moved)?, start.get(1 - moved)?);
        let direction = (end.get(moved)?.vertices().next()? - moving.vertices().next()?).unit()?;
        let gone = travel_to_contact(moving, direction, obstacle, REPORTED_MM)?;
        (gone < way - REPORTED_MM).then(|| from + (to - from) * (gone / way))
    }

    fn turned(&self, values: &[(JointId, f64)], free: &Free, to: f64) -> Option<f64> {
        let from = value_of(values, free.id);
        let steps = ((to - from).abs() / TURN_DEG).ceil().max(1.0);
        let at = |step: f64| from + (to - from) * (step / steps);
        let meets = |value: f64| self.overlap(&with(values, free.id, value));
        let first = (1..=steps as usize).find(|k| meets(at(*k as f64)))? as f64;
        let (mut clear, mut met) = (at(first - 1.0), at(first));
        for _ in 0..HALVINGS {
            let middle = (clear + met) / 2.0;
            if meets(middle) { met = middle } else { clear = middle }
        }
        Some(clear)
    }

    /// Values of `still` at which it matters whether `moving` is stopped: its ends, and between those at which a corner
    /// of one part passes a corner of the other, seen along the way of `moving`.
    fn values_of(&self, start: &[(JointId, f64)], still: &Free, moving: &Free) -> Vec<f64> {
        let mut values = vec![still.low, still.high];
        let spread: Vec<f64> = self.passing(start, still, moving).unwrap_or_else(|| {
            (1..8).map(|k| still.low + (still.high - still.low) * f64::from(k) / 8.0).collect()
        });
        values.extend(spread);
        values
    }

    fn passing(&self, start: &[(JointId, f64)], still: &Free, moving: &Free) -> Option<Vec<f64>> {
        let way = |free: &Free| {
            let moved = usize::from(!self.parts[0].moves_by(free.id));
            let [low, high] = [free.low, free.high].map(|v| {
                let lies = self.lie(&with(start, free.id, v))?;
                lies.get(moved)?.vertices().next()
            });
            let sign = if moved == 0 { 1.0 } else { -1.0 };
            Some((high? - low?) * (sign / (free.high - free.low)))
        };
        let is_pin = |free: &Free| {
            matches!(self.assembly.joints.get(free.id).map(|j| &j.kind), Some(JointKind::Pin { .. }))
        };
        if is_pin(still) || is_pin(moving) {
            return None;
        }
        let across = way(moving)?.unit()?.turned_left();
        let rate = way(still)?.dot(across);
        if rate.abs() < COINCIDENT_MM {
            return Some(Vec::new());
        }
        let [one, other] = self.lie(&with(start, still.id, 0.0))?;
        let places = |p: &Polygon| p.vertices().map(|v| v.dot(across)).collect::<Vec<f64>>();
        let (these, those) = (places(&one), places(&other));
        let mut at: Vec<f64> = these
            .iter()
            .flat_map(|p| those.iter().map(move |q| (q - p) / rate))
            .filter(|v| *v > still.low && *v < still.high)
            .chain([still.low, still.high])
            .collect();
        at.sort_by(f64::total_cmp);
        at.dedup_by(|a, b| (*a - *b).abs() < COINCIDENT_MM);
        let middles: Vec<f64> = at.windows(2).map(|w| (w[0] + w[1]) / 2.0).collect();
        let every = middles.len().div_ceil(MOST_VALUES).max(1);
        Some(middles.into_iter().step_by(every).collect())
    }

    /// The first stop on the ways of a hand that begins at `start`: one joint is set, then another moved.
    fn by_hand(&self, start: &[(JointId, f64)]) -> Option<Stopped> {
        for moving in &self.by {
            for still in self.by.iter().filter(|f| f.id != moving.id) {
                for value in self.values_of(start, still, moving) {
                    if let Some(at) = self.stopped(start, still, value) {
                        return Some(Stopped { values: start.to_vec(), joint: *still, at, to: value });
                    }
                    let set = with(start, still.id, value);
                    for to in [moving.low, moving.high] {
                        if let Some(at) = self.stopped(&set, moving, to) {
                            return Some(Stopped { values: set, joint: *moving, at, to });
                        }
                    }
                }
            }
        }
        None
    }

    /// The first stop on a way that a motion makes.
    fn on_a_motion(&self) -> Option<Stopped> {
        for motion in &self.assembly.motions {
            let mut values = self.assembly.beginning(motion);
            for step in motion.legs.iter().flatten() {
                if let Some(free) = self.by.iter().find(|f| f.id == step.joint)
                    && let Some(at) = self.stopped(&values, free, step.to)
                {
                    return Some(Stopped { values, joint: *free, at, to: step.to });
                }
                values = with(&values, step.joint, step.to);
            }
        }
        None
    }

    /// Reports what stops the two; whether there was anything.
    fn tell(&self, around: &Around<'a, '_>, sink: &mut Findings) -> bool {
        let mut starts: Vec<Vec<(JointId, f64)>> =
            self.assembly.poses.iter().map(|p| p.values.clone()).collect();
        starts.extend(self.assembly.motions.iter().map(|m| self.assembly.beginning(m)));
        if starts.is_empty() {
            starts.push(self.by.iter().map(|f| (f.id, 0.0_f64.clamp(f.low, f.high))).collect());
        }
        if starts.iter().any(|values| self.lie_over_each_other(around.parts, values)) {
            return false;
        }
        let together = |m: &crate::assembly::Motion| {
            m.legs
                .iter()
                .any(|leg| leg.iter().filter(|s| self.by.iter().any(|f| f.id == s.joint)).count() > 1)
        };
        // Joints moved at once by a motion go neither way of two that are moved in turn.
        let scripted = if self.assembly.motions.iter().any(together) { None } else { self.on_a_motion() };
        if let Some(stop) = scripted {
            self.report_on_motion(&stop, sink);
            return true;
        }
        let Some(stop) = starts.iter().find_map(|start| self.by_hand(start)) else { return false };
        let shorter = self.shorter(around, &starts, &stop);
        self.report(&stop, shorter, sink)
    }

    /// The ways of the pair's joints that end just so far that none of their parts stop each other, the least change
    /// first; at one length the joint that is stopped first.
    fn shorter(
        &self,
        around: &Around<'a, '_>,
        starts: &[Vec<(JointId, f64)>],
        stop: &Stopped,
    ) -> Vec<Shortened> {
        let alike = |pair: &Pair| {
            let same = pair.by.iter().map(|f| f.id).eq(self.by.iter().map(|f| f.id));
            same && !starts.iter().any(|values| pair.lie_over_each_other(around.parts, values))
        };
        let parts = around.parts.iter().enumerate();
        let pairs = parts.flat_map(|(n, one)| around.parts.iter().skip(n + 1).map(move |other| [one, other]));
        let pairs = pairs.filter_map(|parts| Pair::of(self.assembly, around.free, self.base, parts));
        let pairs: Vec<Pair> = pairs.filter(alike).take(MOST_PAIRS + 1).collect();
        if pairs.len() > MOST_PAIRS {
            return Vec::new();
        }
        let is_clear = |by: &[Free]| {
            pairs.iter().all(|pair| {
                let pair = Pair { by: by.to_vec(), ..*pair };
                starts.iter().all(|start| pair.by_hand(&within(start, by)).is_none())
            })
        };
        let mut found: Vec<(f64, bool, Shortened)> = Vec::new();
        for (n, free) in self.by.iter().enumerate() {
            for high in [true, false] {
                let ending = |by: f64| -> Vec<Free> {
                    let mut all = self.by.clone();
                    if let Some(free) = all.get_mut(n) {
                        if high { free.high -= by } else { free.low += by }
                    }
                    all
                };
                // Something of the way is to be left.
                let way = free.high - free.low;
                let (mut met, mut clear) = (0.0, way * (1.0 - LEAST_LEFT));
                if !is_clear(&ending(clear)) {
                    continue;
                }
                for _ in 0..HALVINGS {
                    let middle = (met + clear) / 2.0;
                    if is_clear(&ending(middle)) { clear = middle } else { met = middle }
                }
                if let Some(shorter) = shortened(self.assembly, free.id, high, clear) {
                    found.push((clear / way, free.id != stop.joint.id, shorter));
                }
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        found.into_iter().map(|(.., shorter)| shorter).collect()
    }

    fn named(&self, stop: &Stopped) -> [Named; 2] {
        let first = usize::from(!self.parts[0].moves_by(stop.joint.id));
        let [one, other] = self.parts;
        let ordered = if first == 0 { [one, other] } else { [other, one] };
        ordered.map(|part| panel_name(self.assembly, part.panel))
    }

    fn report_on_motion(&self, stop: &Stopped, sink: &mut Findings) {
        let Some(joint) = self.assembly.joints.get(stop.joint.id) else { return };
        let [rider, obstacle] = self.named(stop);
        let left = (stop.to - stop.at).abs();
        let moved = self.parts.get(usize::from(!self.parts[0].moves_by(stop.joint.id)));
        let bounds = moved.and_then(|p| self.assembly.panels.get(p.panel)).map(|p| p.polygon.bounds());
        // Shorter than it is wide and high, whichever way it goes.
        let shorter = bounds.is_some_and(|b| b.width().min(b.height()) > left);
        sink.report(found::ComesAgainst {
            rider,
            slide: Named { name: joint.name.clone(), span: joint.span },
            obstacle,
            meets: match &joint.kind {
                JointKind::Pin { .. } => Meets::Turning { at: stop.at, end: stop.to, shorter: None },
                _ => Meets::Sliding { depth: left, shorter, earlier: None },
            },
            clears: None,
            beneath: None,
            foam: false,
        });
    }

    fn report(&self, stop: &Stopped, shorter: Vec<Shortened>, sink: &mut Findings) -> bool {
        let others = self.by.iter().filter(|f| f.id != stop.joint.id);
        let standing =
            others.filter_map(|f| stands_at(self.assembly, f, value_of(&stop.values, f.id))).collect();
        let (Some(moved), Some(to)) =
            (stands_at(self.assembly, &stop.joint, stop.at), stands_at(self.assembly, &stop.joint, stop.to))
        else {
            return false;
        };
        let works = self
            .assembly
            .motions
            .iter()
            .find(|m| self.by.iter().all(|f| m.legs.iter().flatten().any(|s| s.joint == f.id)));
        sink.report(found::BlockedInOtherOrder {
            standing,
            moved,
            to,
            parts: self.named(stop),
            how: Blocked::EdgeOn { place: self.place(stop) },
            works: works.map(|m| Named { name: m.name.clone(), span: m.span }),
            shorter,
        });
        true
    }

    /// Where the two touch: the base's name, and from the left and the top of it, mm.
    fn place(&self, stop: &Stopped) -> Option<(String, f64, f64)> {
        let on = (stop.to - stop.at).signum() * INTO_MM.min((stop.to - stop.at).abs());
        let [one, other] = self.lie(&with(&stop.values, stop.joint.id, stop.at + on))?;
        let touch = intersection(&[one], &[other]);
        let at = region_centroid(&touch)?;
        let base = self.assembly.panels.get(self.base)?;
        let bounds = region_bounds(std::slice::from_ref(&base.polygon))?;
        Some((panel_name(self.assembly, self.base).name, at.x - bounds.min.x, at.y - bounds.min.y))
    }
}
