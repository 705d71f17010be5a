//! One order out of the rules: always the same one, and the ring of steps when there is none.

use std::collections::BTreeSet;

use super::rules::{Plan, Rule};
use super::words::{English, Words};
use super::works::{Work, piece_of};
use crate::assembly::Assembly;
use crate::findings::catalogue::NoOrderOfMaking;
use crate::findings::{Findings, Named};

/// A place in the sequence: a work, or a step of the author's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    Work(usize),
    Own(usize),
}

/// No order satisfies the rules.
#[derive(Debug, Clone)]
pub struct Deadlock {
    /// Rules that lead from a work back to itself.
    pub ring: Vec<Rule>,
    /// Every work in some order all the same.
    pub forced: Vec<usize>,
}

/// Works by phase, then as the design states them, as far as the rules let them (Kahn's topological sort, 1962). When
/// none is free, the first that is left is forced.
pub fn order(plan: &Plan) -> Result<Vec<usize>, Deadlock> {
    let count = plan.works.len();
    let mut waits_for = vec![0_usize; count];
    let mut frees: Vec<Vec<usize>> = vec![Vec::new(); count];
    for rule in &plan.rules {
        waits_for[rule.then] += 1;
        frees[rule.first].push(rule.then);
    }
    let rank = |w: usize| (plan.works[w].phase(), w);
    let mut open: BTreeSet<_> = (0..count).map(rank).collect();
    let mut ready: BTreeSet<_> = open.iter().copied().filter(|(_, w)| waits_for[*w] == 0).collect();
    let mut done = vec![false; count];
    let mut sequence = Vec::with_capacity(count);
    let mut ring = None;
    while let Some(first_left) = open.first().copied() {
        let place = match ready.pop_first() {
            Some(place) => place,
            None => {
                ring.get_or_insert_with(|| shortest_ring(plan, &done));
                first_left
            }
        };
        let (_, next) = place;
        open.remove(&place);
        done[next] = true;
        sequence.push(next);
        for then in &frees[next] {
            waits_for[*then] -= 1;
            if waits_for[*then] == 0 && !done[*then] {
                ready.insert(rank(*then));
            }
        }
    }
    match ring {
        None => Ok(sequence),
        Some(ring) => Err(Deadlock { ring, forced: sequence }),
    }
}

/// The shortest way round among the works that are not done, breadth first from each.
fn shortest_ring(plan: &Plan, done: &[bool]) -> Vec<Rule> {
    let open: Vec<&Rule> = plan.rules.iter().filter(|r| !done[r.first] && !done[r.then]).collect();
    let mut best: Vec<Rule> = Vec::new();
    for start in (0..plan.works.len()).filter(|w| !done[*w]) {
        let mut from: Vec<Option<&Rule>> = vec![None; plan.works.len()];
        let mut queue = vec![start];
        let mut at = 0;
        while let Some(work) = queue.get(at).copied() {
            at += 1;
            for &rule in open.iter().filter(|r| r.first == work) {
                if from[rule.then].is_none() {
                    from[rule.then] = Some(rule);
                    queue.push(rule.then);
                }
            }
        }
        let mut ring = Vec::new();
        let mut work = start;
        while let Some(rule) = from[work] {
            ring.push(rule.clone());
            work = rule.first;
            if work == start || ring.len() > plan.works.len() {
                break;
            }
        }
        let is_closed = !ring.is_empty() && work == start;
        if is_closed && (best.is_empty() || ring.len() < best.len()) {
            ring.reverse();
            best = ring;
        }
    }
    best
}

/// Puts the author's steps before or after the step that puts their part in place; those that name no part come first.
pub fn with_own_steps(assembly: &Assembly, plan: &Plan, sequence: &[usize]) -> Vec<Slot> {
    let mut slots: Vec<Slot> = sequence.iter().map(|w| Slot::Work(*w)).collect();
    for (index, step) in assembly.steps.iter().enumerate() {
        let own = Slot::Own(index);
        let at = match (&step.part, step.before) {
            (Some(part), before) => {
                let is_it = |s: &Slot| matches!(s, Slot::Work(w) if places(assembly, &plan.works[*w], part));
                let works_on =
                    |s: &Slot| matches!(s, Slot::Work(w) if involves(assembly, &plan.works[*w], part));
                let found = slots.iter().position(is_it).or_else(|| slots.iter().rposition(works_on));
                match found {
                    Some(at) if before != Some(false) => at,
                    // Several steps after one part keep the order in which they are written.
                    Some(at) => {
                        let own_after = slots.iter().skip(at + 1).take_while(|s| matches!(s, Slot::Own(_)));
                        at + 1 + own_after.count()
                    }
                    None => slots.len().saturating_sub(1),
                }
            }
            (None, _) => slots.iter().take_while(|s| matches!(s, Slot::Own(_))).count(),
        };
        slots.insert(at.min(slots.len()), own);
    }
    slots
}

/// Whether a work puts the part in place: by the name of the joint, the piece or the print.
fn places(assembly: &Assembly, work: &Work, part: &str) -> bool {
    if let Work::Print { print } = work {
        return assembly.prints.get(*print).is_some_and(|p| p.name == part);
    }
    work.joints().first().and_then(|j| assembly.joints.get(*j)).is_some_and(|joint| {
        let piece = piece_of(assembly, joint.b).and_then(|p| assembly.pieces.get(p));
        let same_piece = piece_of(assembly, joint.a) == piece_of(assembly, joint.b);
        joint.name == part || (!same_piece && piece.is_some_and(|p| p.name == part))
    })
}

/// The last of the works on the blank itself, for a part that nothing puts in place.
fn involves(assembly: &Assembly, work: &Work, part: &str) -> bool {
    let is_it = |p: &usize| assembly.pieces.get(*p).is_some_and(|p| p.name == part);
    work.phase() <= 4 && work.parts(assembly).iter().any(is_it)
}

pub fn report(assembly: &Assembly, plan: &Plan, ring: &[Rule], sink: &mut Findings) {
    let steps = ring
        .iter()
        .map(|rule| {
            let work = plan.works.get(rule.first).unwrap_or(&Work::Finish);
            let because = English.because(assembly, &rule.why).map(|p| p.say(sink.say.units));
            (named(assembly, work), because)
        })
        .collect();
    sink.report(NoOrderOfMaking { ring: steps });
}

fn named(assembly: &Assembly, work: &Work) -> Named {
    if let Some(joint) = work.joints().first().and_then(|j| assembly.joints.get(*j)) {
        return Named { name: joint.name.clone(), span: joint.span };
    }
    if let Work::Print { print } = work
        && let Some(print) = assembly.prints.get(*print)
    {
        return Named { name: print.name.clone(), span: print.span };
    }
    let piece = work.parts(assembly).first().and_then(|p| assembly.pieces.get(*p));
    piece.map_or(Named { name: String::new(), span: Default::default() }, |p| Named {
        name: p.name.clone(),
        span: p.span,
    })
}
