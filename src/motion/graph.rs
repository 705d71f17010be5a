//! The body graph: glued bodies merged, a spanning tree of joints, and the loops the other joints close.
//!
//! Knows positions for given joint values, and nothing of how values are found.

use std::collections::VecDeque;

use super::iso::{Iso, Vec3};
use super::linkage::{JointKind, Linkage};

/// Lengths are divided by this before they stand beside radians in one residual.
pub(crate) const LENGTH_SCALE_MM: f64 = 50.0;

/// A joint passed on the way round a loop: +1 from its body `a` to `b`, -1 the other way.
pub(crate) type Passage = (usize, f64);

/// A joint outside the spanning tree, with the way round the loop it closes.
pub(crate) struct Loop {
    pub(crate) closing: usize,
    /// Every joint of the loop in order: out from the root to `a`, across the closing joint, back from `b`.
    pub(crate) round: Vec<Passage>,
    /// The steps of the tree that place its bodies, in order.
    steps: Vec<usize>,
}

struct Step {
    group: usize,
    parent: Option<(usize, usize)>,
}

/// Glued bodies move as one group; every other joint is either in the tree or closes a loop.
pub(crate) struct Graph {
    group: Vec<usize>,
    /// Each body in the frame of its group.
    offset: Vec<Iso>,
    steps: Vec<Step>,
    pub(crate) loops: Vec<Loop>,
    /// Fixed joints between bodies that other fixed joints already hold: (joint, gap in mm).
    pub(crate) glue: Vec<(usize, f64)>,
}

impl Graph {
    pub(crate) fn of(linkage: &Linkage) -> Self {
        let (group, offset, glue) = merge_glued(linkage);
        let mut graph = Self { group, offset, steps: Vec::new(), loops: Vec::new(), glue };
        let in_tree = graph.span(linkage);
        graph.close(linkage, &in_tree);
        graph
    }

    /// Breadth first, so that loops are short; one tree for every island of bodies.
    fn span(&mut self, linkage: &Linkage) -> Vec<bool> {
        let mut in_tree = vec![false; linkage.joints.len()];
        let mut seen = vec![false; linkage.bodies.len()];
        let mut at_group: Vec<Vec<usize>> = vec![Vec::new(); linkage.bodies.len()];
        for (index, joint) in linkage.joints.iter().enumerate().filter(|(_, j)| !j.is_fixed()) {
            at_group[self.group[joint.a.0]].push(index);
            at_group[self.group[joint.b.0]].push(index);
        }
        let starts = std::iter::once(linkage.root).chain(0..linkage.bodies.len());
        for start in starts.filter(|&s| s < linkage.bodies.len()) {
            let start = self.group[start];
            if std::mem::replace(&mut seen[start], true) {
                continue;
            }
            self.steps.push(Step { group: start, parent: None });
            let mut queue = VecDeque::from([start]);
            while let Some(here) = queue.pop_front() {
                for &index in &at_group[here] {
                    let joint = &linkage.joints[index];
                    let (a, b) = (self.group[joint.a.0], self.group[joint.b.0]);
                    let there = if a == here { b } else { a };
                    if !std::mem::replace(&mut seen[there], true) {
                        in_tree[index] = true;
                        self.steps.push(Step { group: there, parent: Some((here, index)) });
                        queue.push_back(there);
                    }
                }
            }
        }
        in_tree
    }

    fn close(&mut self, linkage: &Linkage, in_tree: &[bool]) {
        let mut way: Vec<Vec<Passage>> = vec![Vec::new(); linkage.bodies.len()];
        let mut steps: Vec<Vec<usize>> = vec![Vec::new(); linkage.bodies.len()];
        for (number, step) in self.steps.iter().enumerate() {
            let mut before = step.parent.map(|(parent, _)| steps[parent].clone()).unwrap_or_default();
            before.push(number);
            steps[step.group] = before;
            if let Some((parent, index)) = step.parent {
                let forward = self.group[linkage.joints[index].a.0] == parent;
                let mut path = way[parent].clone();
                path.push((index, if forward { 1.0 } else { -1.0 }));
                way[step.group] = path;
            }
        }
        for (closing, joint) in linkage.joints.iter().enumerate() {
            if in_tree[closing] || joint.is_fixed() {
                continue;
            }
            let (out, back) = (&way[self.group[joint.a.0]], &way[self.group[joint.b.0]]);
            let shared = out.iter().zip(back).take_while(|(x, y)| x.0 == y.0).count();
            let mut round: Vec<Passage> = out[shared..].to_vec();
            round.push((closing, 1.0));
            round.extend(back[shared..].iter().rev().map(|&(j, sign)| (j, -sign)));
            let mut steps: Vec<usize> =
                [joint.a, joint.b].iter().flat_map(|body| &steps[self.group[body.0]]).copied().collect();
            steps.sort_unstable();
            steps.dedup();
            self.loops.push(Loop { closing, round, steps });
        }
    }

    /// The groups on the way to some loops and round them, in the order of the tree, each with its parent and the joint
    /// that holds it there.
    pub(super) fn way_to(&self, loops: &[usize]) -> impl Iterator<Item = (usize, Option<(usize, usize)>)> {
        self.steps_to(loops).into_iter().map(|step| (step.group, step.parent))
    }

    pub(super) fn group_of(&self, body: usize) -> usize {
        self.group.get(body).copied().unwrap_or(body)
    }

    /// A body in the frame of its group.
    pub(super) fn offset_of(&self, body: usize) -> Iso {
        self.offset.get(body).copied().unwrap_or(Iso::identity())
    }

    /// Where a group without a parent stands: the root body itself, not its group's frame, stays at rest.
    pub(super) fn rest_of(&self, linkage: &Linkage, group: usize) -> Iso {
        let is_root = group == self.group_of(linkage.root);
        if is_root { self.offset_of(linkage.root).inverse() } else { Iso::identity() }
    }

    fn steps_to(&self, loops: &[usize]) -> Vec<&Step> {
        let steps = |numbers: &[usize]| numbers.iter().filter_map(|&n| self.steps.get(n)).collect();
        match loops {
            [one] => steps(&self.loops[*one].steps),
            _ => {
                let mut all: Vec<usize> = loops.iter().flat_map(|&l| &self.loops[l].steps).copied().collect();
                all.sort_unstable();
                all.dedup();
                steps(&all)
            }
        }
    }

    /// The transform of every group for joint values in degrees and mm.
    pub(crate) fn place(&self, linkage: &Linkage, values: &[f64]) -> Vec<Iso> {
        self.place_by(linkage, values, self.steps.iter())
    }

    /// The same for the groups on the way to and round some loops alone; the rest is left at the origin.
    pub(crate) fn place_loops(&self, linkage: &Linkage, values: &[f64], loops: &[usize]) -> Vec<Iso> {
        self.place_by(linkage, values, self.steps_to(loops).into_iter())
    }

    fn place_by<'s>(
        &self,
        linkage: &Linkage,
        values: &[f64],
        steps: impl Iterator<Item = &'s Step>,
    ) -> Vec<Iso> {
        let mut at = vec![Iso::identity(); linkage.bodies.len()];
        for step in steps {
            let Some((parent, index)) = step.parent else {
                at[step.group] = self.rest_of(linkage, step.group);
                continue;
            };
            let joint = &linkage.joints[index];
            let across =
                self.offset[joint.a.0] * joint.transform(values[index]) * self.offset[joint.b.0].inverse();
            let forward = self.group[joint.a.0] == parent;
            at[step.group] = at[parent] * if forward { across } else { across.inverse() };
        }
        at
    }

    /// The transform of a body, given those of the groups.
    pub(crate) fn body(&self, groups: &[Iso], body: usize) -> Iso {
        groups[self.group[body]] * self.offset[body]
    }

    pub(crate) fn same_group(&self, a: usize, b: usize) -> bool {
        self.group[a] == self.group[b]
    }

    /// The motion from where the tree holds the closing joint's `b` to where its `a` and value want it.
    pub(crate) fn mismatch(&self, linkage: &Linkage, groups: &[Iso], values: &[f64], closing: usize) -> Iso {
        let joint = &linkage.joints[closing];
        let wanted = self.body(groups, joint.a.0) * joint.transform(values[closing]);
        wanted * self.body(groups, joint.b.0).inverse()
    }

    /// The largest distance between a corner of the closing joint's `b` and where the joint wants it, in mm.
    pub(crate) fn gap(&self, linkage: &Linkage, groups: &[Iso], values: &[f64], closing: usize) -> f64 {
        let joint = &linkage.joints[closing];
        let held = self.body(groups, joint.b.0);
        let wanted = self.body(groups, joint.a.0) * joint.transform(values[closing]);
        widest(linkage, joint.b.0, &held, &wanted)
    }

    /// The widest gap over all loops and glued joints, and its joint.
    pub(crate) fn widest_gap(&self, linkage: &Linkage, values: &[f64]) -> (f64, usize) {
        let groups = self.place(linkage, values);
        let loops = self.loops.iter().map(|l| (self.gap(linkage, &groups, values, l.closing), l.closing));
        let glue = self.glue.iter().map(|&(joint, gap)| (gap, joint));
        loops.chain(glue).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
    }

    /// Axis of a joint in space: a point on it, its direction, and whether it turns (else it slides).
    pub(crate) fn axis(&self, linkage: &Linkage, groups: &[Iso], index: usize) -> (Vec3, Vec3, bool) {
        let joint = &linkage.joints[index];
        let frame = self.body(groups, joint.a.0);
        match joint.kind {
            JointKind::Hinge { point, axis } | JointKind::Pin { point, axis } => {
                (frame.point(point), frame.direction(axis), true)
            }
            JointKind::Slide { axis } => (frame.shift, frame.direction(axis), false),
            JointKind::Fixed => (frame.shift, Vec3::zeros(), false),
        }
    }
}

/// Radians per degree, or scaled length per millimetre: the step from a joint's value to the solver's unit.
pub(crate) fn unit(kind: &JointKind) -> f64 {
    match kind {
        JointKind::Hinge { .. } | JointKind::Pin { .. } => std::f64::consts::PI / 180.0,
        JointKind::Slide { .. } | JointKind::Fixed => 1.0 / LENGTH_SCALE_MM,
    }
}

fn widest(linkage: &Linkage, body: usize, here: &Iso, there: &Iso) -> f64 {
    let corners = linkage.bodies[body].corners().chain(std::iter::once([0.0, 0.0]));
    let apart = |p| (Vec3::from(here.place(p)) - Vec3::from(there.place(p))).norm();
    corners.map(apart).fold(0.0, f64::max)
}

fn merge_glued(linkage: &Linkage) -> (Vec<usize>, Vec<Iso>, Vec<(usize, f64)>) {
    let count = linkage.bodies.len();
    let mut group: Vec<usize> = (0..count).collect();
    let mut offset = vec![Iso::identity(); count];
    let mut glue = Vec::new();
    for (index, joint) in linkage.joints.iter().enumerate().filter(|(_, j)| j.is_fixed()) {
        let (a, b) = (joint.a.0, joint.b.0);
        let wanted = offset[a] * joint.zero;
        if group[a] == group[b] {
            glue.push((index, widest(linkage, b, &offset[b], &wanted)));
            continue;
        }
        let (from, into) = (group[b], group[a]);
        let shift = wanted * offset[b].inverse();
        for body in (0..count).filter(|&k| group[k] == from).collect::<Vec<_>>() {
            group[body] = into;
            offset[body] = shift * offset[body];
        }
    }
    (group, offset, glue)
}
