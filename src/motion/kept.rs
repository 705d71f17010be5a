//! Loops of joints solved before, kept for as long as somebody asks the same again.
//!
//! What a solution depends on is the joints on the way to its loops and round them, where they sit, their ranges and
//! values, and how far the drivers go: not the shapes of the panels, and nothing that hangs on the loops or stands
//! beside them. All of that to the last bit is the question.

use std::collections::BTreeMap;

use super::closure::System;
use super::graph::Graph;
use super::iso::{Iso, Vec3};
use super::linkage::{JointKind, Link};
use crate::kept::Memo;

/// Solutions kept: a few numbers each.
const MOST_SOLVED: usize = 20_000;

/// Solutions kept between poses and runs. It makes no difference to any result whether something is kept.
#[derive(Debug)]
pub struct Kept {
    solved: Memo<Vec<u64>, Vec<f64>>,
}

impl Default for Kept {
    fn default() -> Self {
        Self { solved: Memo::holding(MOST_SOLVED) }
    }
}

impl Kept {
    /// Forgets what was not asked since the last turn.
    pub fn turn(&self) {
        self.solved.turn();
    }

    /// How many answers are kept.
    pub fn len(&self) -> usize {
        self.solved.len()
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Values of the system's unknown joints, worked out when they are not known; only what is found is kept.
    pub(super) fn solved<Fault>(
        &self,
        system: &System<'_>,
        length: f64,
        work: impl FnOnce() -> Result<Vec<f64>, Fault>,
    ) -> Result<Vec<f64>, Fault> {
        let question = question(system, length);
        if let Some(known) = self.solved.known(&question) {
            return Ok(known.to_vec());
        }
        let found = work()?;
        Ok(self.solved.answer(&question, || found).to_vec())
    }
}

fn question(system: &System<'_>, length: f64) -> Vec<u64> {
    let mut asked = Asked { system, bits: Vec::new(), joints: BTreeMap::new(), groups: BTreeMap::new() };
    let graph = system.graph;
    asked.number(length);
    asked.counts(&[system.loops.len(), system.unknown.len()]);
    for (group, parent) in graph.way_to(&system.loops) {
        let place = asked.groups.len();
        asked.groups.insert(group, place);
        match parent {
            Some((parent, joint)) => {
                let from = asked.group(parent);
                asked.counts(&[1, from]);
                asked.joint(joint);
            }
            // The root stands still with its own frame, another island with that of its group.
            None => {
                asked.counts(&[0]);
                asked.place(&graph.rest_of(system.linkage, group));
            }
        }
    }
    for ring in system.loops.iter().filter_map(|number| graph.loops.get(*number)) {
        asked.counts(&[ring.round.len()]);
        asked.joint(ring.closing);
        for (joint, sign) in &ring.round {
            asked.joint(*joint);
            asked.number(*sign);
        }
        // The gap is measured at the corners of what closes the loop.
        if let Some(body) = system.linkage.joints.get(ring.closing).map(|j| j.b.0) {
            let corners: Vec<[f64; 2]> =
                system.linkage.bodies.get(body).iter().flat_map(|b| b.corners()).collect();
            asked.counts(&[corners.len()]);
            corners.iter().flatten().for_each(|c| asked.number(*c));
        }
    }
    asked.bits
}

/// A question being put together: joints and groups are numbered as they come up.
struct Asked<'s, 'a> {
    system: &'s System<'a>,
    bits: Vec<u64>,
    joints: BTreeMap<usize, usize>,
    groups: BTreeMap<usize, usize>,
}

impl Asked<'_, '_> {
    fn number(&mut self, number: f64) {
        self.bits.push(number.to_bits());
    }

    fn counts(&mut self, counts: &[usize]) {
        self.bits.extend(counts.iter().map(|c| *c as u64));
    }

    fn vector(&mut self, vector: &Vec3) {
        vector.iter().for_each(|x| self.number(*x));
    }

    fn place(&mut self, place: &Iso) {
        place.rotation.iter().for_each(|x| self.number(*x));
        self.vector(&place.shift);
    }

    /// The number of a group on the way; one that no tree reaches has none.
    fn group(&self, group: usize) -> usize {
        self.groups.get(&group).copied().unwrap_or(usize::MAX)
    }

    fn joint(&mut self, joint: usize) {
        let system = self.system;
        if let Some(number) = self.joints.get(&joint) {
            return self.bits.push(*number as u64);
        }
        let number = self.joints.len();
        self.joints.insert(joint, number);
        let Some(link) = system.linkage.joints.get(joint) else { return };
        let Link { a, b, kind, zero, anchor, range, must_leave, rest } = link;
        let graph: &Graph = system.graph;
        let ends = [self.group(graph.group_of(a.0)), self.group(graph.group_of(b.0))];
        // An unknown joint by its place among the others: the columns of the equations come in that order.
        let unknown = system.unknown.iter().position(|j| *j == joint).unwrap_or(usize::MAX);
        self.counts(&[number, ends[0], ends[1], unknown, usize::from(*must_leave)]);
        let (number, point, axis) = match kind {
            JointKind::Hinge { point, axis } => (0, *point, *axis),
            JointKind::Pin { point, axis } => (1, *point, *axis),
            JointKind::Slide { axis } => (2, Vec3::zeros(), *axis),
            JointKind::Fixed => (3, Vec3::zeros(), Vec3::zeros()),
        };
        self.counts(&[number]);
        self.vector(&point);
        self.vector(&axis);
        [zero, &graph.offset_of(a.0), &graph.offset_of(b.0)].into_iter().for_each(|place| self.place(place));
        anchor.iter().flatten().for_each(|x| self.number(*x));
        let rate = system.rates.iter().find(|(j, _)| *j == joint);
        // Whether a joint is driven at all matters, not only how fast.
        self.counts(&[usize::from(rate.is_some())]);
        let base = system.base.get(joint).copied().unwrap_or(0.0);
        [range.low, range.high, *rest, base, rate.map_or(0.0, |r| r.1)]
            .into_iter()
            .for_each(|x| self.number(x));
    }
}
