//! Layers and contact when free joints are worked in another order than a motion's.
//!
//! While the card is flat one order of its layers mostly holds wherever the joints are worked to, which is proven at
//! once ([`holds_everywhere`]). Where that is not so, and where panels stand up, two joints may be so far from each other
//! that neither matters to the other ([`are_apart`]). For what is left the box of the joints' values is walked, two joints
//! at a time: each over its range while the other stands at one of [`PLACES`]; that is told as what it is.

use super::apart::are_apart;
use super::shorter::shortened;
use super::{Free, Ties, stands_at, value_of, with};
use crate::assembly::{Assembly, JointId, JointKind, Move};
use crate::checks::Subject;
use crate::checks::way::{Hindrance, hindrance, on_the_way};
use crate::findings::{Blocked, Findings, Named, catalogue as found};
use crate::layers::{self, Card, Play, holds_everywhere};
use crate::motion::{PoseState, stand_lowered};
use crate::quantity::tolerance::{COINCIDENT_MM, REPORTED_MM};

/// Where a joint stands while another is moved: shares of its range, the ends first.
const PLACES: [f64; 5] = [0.0, 1.0, 0.5, 0.25, 0.75];
/// More pairs of joints than these are not walked: the proof holds for any number, the walk takes its time.
const MOST_PAIRS: usize = 6;
/// Halvings when the place is located at which the layers lose their order.
const HALVINGS: usize = 8;

/// The values at which the joints that are not free stand while free ones are worked, and the free ones begin.
type Start = Vec<(JointId, f64)>;

pub fn check(subject: &Subject, ties: &Ties, free: &[Free], told: &[Vec<JointId>], sink: &mut Findings) {
    let assembly = subject.assembly;
    let at_fault = |(state, card): (&PoseState, &Card)| state.fault.is_some() || card.contradiction.is_some();
    if subject.states.iter().zip(subject.cards).any(at_fault) {
        return;
    }
    let starts = starts(assembly, free);
    if starts.is_empty() {
        return;
    }
    let mut told: Vec<Vec<JointId>> = told.to_vec();
    let mut left_open: Vec<Vec<JointId>> = Vec::new();
    for (start, worked) in starts {
        let here = stand_lowered(assembly, subject.lowered, "by hand", &start);
        if is_proven(subject, ties, (&start, &here), &worked) {
            continue;
        }
        let at = |free: &Free| value_of(&start, free.id);
        let pairs = worked.iter().enumerate().flat_map(|(n, one)| {
            worked
                .iter()
                .skip(n + 1)
                .map(move |other| (one, other, vec![one.id.min(other.id), one.id.max(other.id)]))
        });
        let pairs: Vec<(&Free, &Free, Vec<JointId>)> = pairs
            .filter(|(.., both)| !told.contains(both))
            .filter(|(one, other, _)| !are_apart(subject, ties, &here, (one, at(one)), (other, at(other))))
            .collect();
        let tried = pairs.len() <= MOST_PAIRS;
        let before = told.len();
        for (one, other, both) in pairs.iter().filter(|_| tried) {
            let found =
                lines(&start, one, other).into_iter().filter(|line| !is_made(assembly, free, line)).find_map(
                    |line| Some((hindrance(subject, &[line.leg], &line.start).filter(is_fault)?, line)),
                );
            if let Some((hindered, line)) = found
                && report(subject, (&line, &hindered), sink)
            {
                told.push(both.clone());
            }
        }
        let mut open: Vec<JointId> = pairs.iter().flat_map(|(.., both)| both.iter().copied()).collect();
        open.sort_unstable();
        open.dedup();
        if told.len() == before && !open.is_empty() && !left_open.contains(&open) {
            report_open(subject, &open, tried, sink);
            left_open.push(open);
        }
    }
}

/// Nothing was found in the way, and not all is proven.
fn report_open(subject: &Subject, open: &[JointId], tried: bool, sink: &mut Findings) {
    let assembly = subject.assembly;
    let named = open.iter().filter_map(|j| assembly.joints.get(*j));
    let works = |m: &&crate::assembly::Motion| m.legs.iter().flatten().any(|step| open.contains(&step.joint));
    sink.report(found::HandOrderOpen {
        joints: named.map(|j| Named { name: j.name.clone(), span: j.span }).collect(),
        tried,
        works: assembly.motions.iter().find(works).map(|m| Named { name: m.name.clone(), span: m.span }),
    });
}

/// What stays open is no fault, and a loop that opens is none of the free joints' doing.
fn is_fault(hindered: &Hindrance) -> bool {
    matches!(hindered, Hindrance::Layers { .. } | Hindrance::Meet { .. })
}

/// For each way in which the other joints stand while a motion moves free ones, or between poses that differ in free
/// ones alone: the values, and the free joints that are worked there.
fn starts(assembly: &Assembly, free: &[Free]) -> Vec<(Start, Vec<Free>)> {
    let is_free = |id: JointId| free.iter().any(|f| f.id == id);
    let mut found: Vec<(Start, Vec<Free>)> = Vec::new();
    let mut work = |values: &[(JointId, f64)], ids: Vec<JointId>| {
        let alike = |(start, _): &&mut (Start, Vec<Free>)| {
            assembly.joints.iter().enumerate().filter(|(id, _)| !is_free(*id)).all(|(id, _)| {
                (value_of(start, id) - value_of(values, id)).abs() < COINCIDENT_MM
                    && start.iter().any(|(j, _)| *j == id) == values.iter().any(|(j, _)| *j == id)
            })
        };
        let new = free.iter().filter(|f| ids.contains(&f.id));
        match found.iter_mut().find(alike) {
            Some((_, worked)) => {
                let more: Vec<Free> = new.filter(|f| !worked.contains(f)).copied().collect();
                worked.extend(more);
            }
            None => found.push((values.to_vec(), new.copied().collect())),
        }
    };
    for motion in &assembly.motions {
        let mut values = assembly.beginning(motion);
        for leg in &motion.legs {
            let ids: Vec<JointId> = leg.iter().map(|s| s.joint).filter(|j| is_free(*j)).collect();
            if !ids.is_empty() && leg.iter().all(|s| is_free(s.joint)) {
                work(&values, ids);
            }
            for step in leg {
                values = with(&values, step.joint, step.to);
            }
        }
    }
    for pose in &assembly.poses {
        let differs = |f: &&Free| {
            assembly.poses.iter().any(|other| {
                let apart = |id: JointId| {
                    (value_of(&other.values, id) - value_of(&pose.values, id)).abs() >= COINCIDENT_MM
                };
                let others = (0..assembly.joints.len()).filter(|id| !is_free(*id));
                apart(f.id) && !others.into_iter().any(apart)
            })
        };
        let ids: Vec<JointId> = free.iter().filter(differs).map(|f| f.id).collect();
        if !ids.is_empty() {
            work(&pose.values, ids);
        }
    }
    found.retain(|(_, worked)| worked.len() > 1);
    for (_, worked) in &mut found {
        worked.sort_by_key(|f| f.id);
    }
    found
}

/// Whether one order of the layers holds wherever the joints are worked to.
fn is_proven(subject: &Subject, ties: &Ties, (start, here): (&Start, &PoseState), worked: &[Free]) -> bool {
    let assembly = subject.assembly;
    if here.fault.is_some() {
        return false;
    }
    let plays: Option<Vec<Play>> = worked
        .iter()
        .map(|f| {
            let joint = assembly.joints.get(f.id)?;
            let at = value_of(start, f.id);
            let with = ties.held_without(assembly, f.id, joint.b);
            Some(Play { joint: f.id, with, low: f.low - at, high: f.high - at })
        })
        .collect();
    let moves_alone = |id: JointId| {
        worked.iter().any(|f| f.id == id)
            || matches!(assembly.joints.get(id).map(|j| &j.kind), None | Some(JointKind::Fixed { .. }))
    };
    // Poses in which only what is worked stands otherwise; that of the start itself first.
    let apart = |state: &PoseState, id: JointId| {
        let (a, b) = (state.values.get(id), here.values.get(id));
        a.zip(b).is_none_or(|(a, b)| (a - b).abs() >= COINCIDENT_MM)
    };
    let alike = |state: &PoseState| {
        (0..assembly.joints.len()).filter(|id| !moves_alone(*id)).all(|id| !apart(state, id))
    };
    let known = subject.states.iter().zip(subject.cards).filter(|(state, _)| alike(state));
    let (same, other): (Vec<_>, Vec<_>) =
        known.partition(|(state, _)| worked.iter().all(|f| !apart(state, f.id)));
    let own;
    let mut cards: Vec<&Card> = same.iter().take(1).map(|(_, card)| *card).collect();
    if cards.is_empty() {
        own = layers::card(assembly, here, subject.kept);
        cards.push(&own);
    }
    cards.extend(other.iter().map(|(_, card)| *card));
    plays.is_some_and(|plays| holds_everywhere(assembly, here, &cards, &plays, subject.kept))
}

/// One joint moved over its range while the others stand.
struct Line {
    start: Start,
    leg: Move,
    still: Free,
    moving: Free,
}

/// Lines across the rectangle of two joints' values, its lines first.
fn lines(start: &Start, one: &Free, other: &Free) -> Vec<Line> {
    let mut found = Vec::new();
    for (moving, still) in [(one, other), (other, one)] {
        for end in PLACES.map(|share| still.low + (still.high - still.low) * share) {
            let begin = value_of(start, moving.id);
            // Away from where it stands, both ways.
            for to in [moving.low, moving.high] {
                if (to - begin).abs() > COINCIDENT_MM {
                    let leg = Move { joint: moving.id, from: begin, to, span: Default::default() };
                    let start = with(&with(start, still.id, end), moving.id, begin);
                    found.push(Line { start, leg, still: *still, moving: *moving });
                }
            }
        }
    }
    found
}

/// Whether a motion makes this way itself: that is looked at where it is claimed.
fn is_made(assembly: &Assembly, free: &[Free], line: &Line) -> bool {
    assembly.motions.iter().any(|motion| {
        let mut values = assembly.beginning(motion);
        motion.legs.iter().any(|leg| {
            let stands = |f: &Free| {
                f.id == line.moving.id
                    || (value_of(&values, f.id) - value_of(&line.start, f.id)).abs() < COINCIDENT_MM
            };
            let covers = leg.len() == 1
                && leg.iter().any(|s| {
                    let (low, high) = (s.from.min(s.to), s.from.max(s.to));
                    let inside = |v: f64| v > low - COINCIDENT_MM && v < high + COINCIDENT_MM;
                    s.joint == line.moving.id && inside(line.leg.from) && inside(line.leg.to)
                })
                && free.iter().all(stands);
            for step in leg {
                values = with(&values, step.joint, step.to);
            }
            covers
        })
    })
}

fn report(subject: &Subject, (line, hindered): (&Line, &Hindrance), sink: &mut Findings) -> bool {
    let assembly = subject.assembly;
    let (share, parts, how) = match hindered {
        Hindrance::Layers { at, joints } => {
            // What moves, against what does not stand for the hand anyway.
            let moves = joints.contains(&line.moving.id).then_some(line.moving.id);
            let others = joints.iter().copied().filter(|j| *j != line.still.id && *j != line.moving.id);
            let order = moves.into_iter().chain(others).chain(joints.iter().copied());
            let mut pair: Vec<JointId> = Vec::new();
            order.for_each(|j| {
                if !pair.contains(&j) {
                    pair.push(j)
                }
            });
            let named = pair.iter().filter_map(|j| assembly.joints.get(*j));
            let mut names = named.map(|j| Named { name: j.name.clone(), span: j.span });
            let Some(pair) = names.next().zip(names.next()) else { return false };
            (located(subject, line, *at), [pair.0, pair.1], Blocked::Layers)
        }
        Hindrance::Meet { at, parts } => (*at, parts.clone(), Blocked::Space),
        _ => return false,
    };
    let at = line.leg.from + (line.leg.to - line.leg.from) * share;
    let (Some(still), Some(moved), Some(to)) = (
        stands_at(assembly, &line.still, value_of(&line.start, line.still.id)),
        stands_at(assembly, &line.moving, at),
        stands_at(assembly, &line.moving, line.leg.to),
    ) else {
        return false;
    };
    // The way may end where it is free. That place was located from the free side, so a step more may do.
    let ends = [(line.moving.high, true), (line.moving.low, false)];
    let (end, high) = if (ends[0].0 - line.leg.to).abs() < COINCIDENT_MM { ends[0] } else { ends[1] };
    let shorter = [(end - at).abs() - REPORTED_MM, (end - at).abs()]
        .into_iter()
        .filter(|by| *by > 0.0)
        .filter_map(|by| shortened(assembly, line.moving.id, high, by))
        .collect();
    let moves = |m: &&crate::assembly::Motion, f: &Free| m.legs.iter().flatten().any(|s| s.joint == f.id);
    let works = assembly.motions.iter().find(|m| moves(m, &line.still) && moves(m, &line.moving));
    sink.report(found::BlockedInOtherOrder {
        standing: vec![still],
        moved,
        to,
        parts,
        how,
        works: works.map(|m| Named { name: m.name.clone(), span: m.span }),
        shorter,
    });
    true
}

/// The share of the way up to which the layers have an order.
fn located(subject: &Subject, line: &Line, at: f64) -> f64 {
    let contradicts = |share: f64| {
        let state = on_the_way(subject.assembly, subject.lowered, &[line.leg], &line.start, share);
        layers::contradiction(subject.assembly, &state, subject.kept).is_some()
    };
    let (mut clear, mut met) = (0.0, at);
    for _ in 0..HALVINGS {
        let middle = (clear + met) / 2.0;
        if contradicts(middle) { met = middle } else { clear = middle }
    }
    clear
}
