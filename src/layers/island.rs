//! A layer problem taken apart into islands: parts of it that say nothing of one another.
//!
//! Every rule speaks of faces that all lie over each other somewhere, two by two, so it is kept when no group of three
//! such faces is torn apart. A pair whose order the facts state outright ties nothing together: a house on a page says
//! nothing of the house beside it. What is found of an island is found of the whole, and is the same wherever and whenever
//! the island comes up again: at another place of a motion, in another pose, after a change elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use super::flat::{FlatFace, FlatJoint, FlatState, JointFold};
use super::order::Fact;
use super::rules::shared_place;
use crate::geometry::{Point, Polygon, Rect, Segment, pt};
use crate::motion::Fold;

/// Steps to the millimetre in which faces are laid out: the grid on which they are laid over each other is no finer.
const STEPS_PER_MM: f64 = 1e6;

/// Boxes this close, mm, touch: farther than any rule looks beside a line.
const TOUCHING_MM: f64 = 0.05;

/// So far round the places where faces overlap, mm, their holes are told: no rule looks farther.
const ROUND_MM: f64 = 1.0;

/// A corner in steps.
type Corner = (i64, i64);

/// A layer problem that stands alone, laid out in whole steps: everything that its answer depends on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Puzzle {
    /// Rings of corners, and whether the front is up.
    faces: Vec<(Vec<Vec<Corner>>, bool)>,
    joints: Vec<LaidJoint>,
    facts: Vec<Fact>,
}

/// A joint of a puzzle.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct LaidJoint {
    faces: [usize; 2],
    line: [Corner; 2],
    /// Which way it is folded over, when it is.
    folded: Option<Fold>,
    through: Vec<usize>,
}

/// A part of a layer problem.
#[derive(Debug)]
pub(super) struct Island {
    /// Faces of the whole, ascending; those of the puzzle are their places in this list.
    pub(super) faces: Vec<usize>,
    /// Facts of the whole; those of the puzzle are their places in this list.
    pub(super) facts: Vec<usize>,
    pub(super) puzzle: Puzzle,
}

impl Puzzle {
    /// `shared` tells of a face whether other islands have a part in it.
    fn of(
        (state, facts): (&FlatState, &[Fact]),
        faces: &[usize],
        (chosen, joints): (&[usize], &[usize]),
        shared: impl Fn(usize) -> bool,
    ) -> Self {
        let overlap = overlap(state, faces, joints);
        let near = |ring: &Vec<Point>| {
            Rect::of_points(ring.iter().copied()).is_some_and(|hole| hole.touches(&overlap, 0.0))
        };
        let ring = |ring: &Vec<Point>| ring.iter().copied().map(in_steps).collect::<Vec<Corner>>();
        // Holes elsewhere in a face that many islands share are no matter of this one, and may change.
        let face = |number: &usize| {
            let f = state.faces.get(*number)?;
            let outer = std::iter::once(ring(&f.polygon.outer));
            let whole = !shared(*number);
            let holes = f.polygon.holes.iter().filter(|hole| whole || near(hole)).map(ring);
            Some((outer.chain(holes).collect(), f.up))
        };
        let here = |face: usize| faces.binary_search(&face).ok();
        let joint = |j: &FlatJoint| {
            let folded = match j.fold {
                JointFold::Open => None,
                JointFold::Folded(fold) => Some(fold),
            };
            Some(LaidJoint {
                faces: [here(j.a)?, here(j.b)?],
                line: [in_steps(j.line.start), in_steps(j.line.end)],
                folded,
                through: j.through.iter().filter_map(|f| here(*f)).collect(),
            })
        };
        let place = |joint: usize| joints.binary_search(&joint).ok();
        Self {
            faces: faces.iter().filter_map(face).collect(),
            joints: joints.iter().filter_map(|j| state.joints.get(*j)).filter_map(joint).collect(),
            facts: chosen.iter().filter_map(|f| facts.get(*f)?.renumbered(here, place)).collect(),
        }
    }

    pub(super) fn facts(&self) -> &[Fact] {
        &self.facts
    }

    /// The faces and joints, laid out on the steps: two puzzles that are equal have the same state to the last bit.
    pub(super) fn state(&self) -> FlatState {
        let ring = |ring: &Vec<Corner>| ring.iter().copied().map(from_steps).collect::<Vec<Point>>();
        let face = |(rings, up): &(Vec<Vec<Corner>>, bool)| {
            let mut rings = rings.iter().map(ring);
            let polygon = Polygon::new(rings.next().unwrap_or_default(), rings.collect());
            FlatFace { polygon, up: *up }
        };
        let joint = |LaidJoint { faces: [a, b], line, folded, through }: &LaidJoint| {
            let [start, end] = line.map(from_steps);
            FlatJoint {
                a: *a,
                b: *b,
                line: Segment::new(start, end),
                fold: folded.map_or(JointFold::Open, JointFold::Folded),
                through: through.clone(),
            }
        };
        FlatState {
            faces: self.faces.iter().map(face).collect(),
            joints: self.joints.iter().map(joint).collect(),
            ..FlatState::default()
        }
    }
}

impl Fact {
    /// The faces that it speaks of.
    fn faces(&self, state: &FlatState) -> impl Iterator<Item = usize> {
        let faces = match *self {
            Fact::Fold { joint } => {
                state.joints.get(joint).map_or([None; 3], |j| [Some(j.a), Some(j.b), None])
            }
            Fact::Above { upper, lower } | Fact::Rather { upper, lower } => [Some(upper), Some(lower), None],
            Fact::Stuck { a, b } => [Some(a), Some(b), None],
            Fact::Outside { a, b, face } | Fact::Between { a, b, face } => [Some(a), Some(b), Some(face)],
        };
        faces.into_iter().flatten()
    }

    /// The same with faces and joints numbered otherwise; `None` when one of them has no number.
    fn renumbered(
        &self,
        face: impl Fn(usize) -> Option<usize>,
        joint: impl Fn(usize) -> Option<usize>,
    ) -> Option<Fact> {
        Some(match *self {
            Fact::Fold { joint: j } => Fact::Fold { joint: joint(j)? },
            Fact::Above { upper, lower } => Fact::Above { upper: face(upper)?, lower: face(lower)? },
            Fact::Stuck { a, b } => Fact::Stuck { a: face(a)?, b: face(b)? },
            Fact::Outside { a, b, face: f } => Fact::Outside { a: face(a)?, b: face(b)?, face: face(f)? },
            Fact::Between { a, b, face: f } => Fact::Between { a: face(a)?, b: face(b)?, face: face(f)? },
            Fact::Rather { upper, lower } => Fact::Rather { upper: face(upper)?, lower: face(lower)? },
        })
    }
}

fn in_steps(p: Point) -> Corner {
    // A NaN becomes 0; the ends of the range are farther than any piece reaches.
    ((p.x * STEPS_PER_MM).round() as i64, (p.y * STEPS_PER_MM).round() as i64)
}

fn from_steps((x, y): Corner) -> Point {
    pt(x as f64 / STEPS_PER_MM, y as f64 / STEPS_PER_MM)
}

/// A box round all the places where faces may overlap, and round the lines of their joints.
fn overlap(state: &FlatState, faces: &[usize], joints: &[usize]) -> Rect {
    let boxes: Vec<Rect> =
        faces.iter().filter_map(|f| state.faces.get(*f)).map(|f| f.polygon.bounds()).collect();
    let shared = boxes
        .iter()
        .enumerate()
        .flat_map(|(n, one)| boxes.iter().skip(n + 1).filter_map(|other| one.intersection(other)));
    let lines = joints.iter().filter_map(|j| state.joints.get(*j)).map(|j| j.line.bounds());
    let all = shared.chain(lines).reduce(|all, next| all.union(&next));
    all.unwrap_or(Rect::of_corners(Point::ORIGIN, Point::ORIGIN)).expanded(ROUND_MM)
}

/// Takes a layer problem apart. Every pair of faces that overlap is in at least one island, and a pair whose order no fact
/// states is in just one; every rule and every fact that says anything is in at least one.
pub(super) fn islands(state: &FlatState, facts: &[Fact]) -> Vec<Island> {
    let ties = Ties::of(state, facts);
    let mut faces: Vec<Vec<usize>> = ties.islands();
    faces.sort_unstable();
    let by_face = |of: &dyn Fn(usize) -> Option<usize>, count: usize| -> Vec<Vec<usize>> {
        let mut found = vec![Vec::new(); state.faces.len()];
        for number in 0..count {
            if let Some(list) = of(number).and_then(|face| found.get_mut(face)) {
                list.push(number);
            }
        }
        found
    };
    let mut times = vec![0_usize; state.faces.len()];
    faces.iter().flatten().for_each(|face| times[*face] += 1);
    // By the face that is in the fewest islands of those that each is about: thousands of facts may be about one page.
    let rarest = |face: &usize| times.get(*face).copied();
    let facts_of = by_face(&|f| facts.get(f)?.faces(state).min_by_key(rarest), facts.len());
    let joints_of = by_face(
        &|j| state.joints.get(j).and_then(|j| [j.a, j.b].into_iter().min_by_key(rarest)),
        state.joints.len(),
    );
    faces
        .into_iter()
        .map(|faces| {
            let within = |face: usize| faces.binary_search(&face).is_ok();
            let of_faces = |list: &[Vec<usize>]| -> Vec<usize> {
                let mut found: Vec<usize> =
                    faces.iter().filter_map(|f| list.get(*f)).flatten().copied().collect();
                found.sort_unstable();
                found
            };
            let mut chosen = of_faces(&facts_of);
            chosen.retain(|f| facts.get(*f).is_some_and(|f| f.faces(state).all(within)));
            let mut joints = of_faces(&joints_of);
            joints.retain(|j| state.joints.get(*j).is_some_and(|j| within(j.a) && within(j.b)));
            let shared = |face: usize| times.get(face).is_some_and(|n| *n > 1);
            let puzzle = Puzzle::of((state, facts), &faces, (&chosen, &joints), shared);
            Island { faces, facts: chosen, puzzle }
        })
        .collect()
}

/// A pair of faces as a number.
type Edge = usize;

/// Which faces come near each other, and what the rules tie together.
struct Ties {
    /// Faces whose boxes touch, and those that a joint or a fact sees together.
    near: Bits,
    /// Of those, the pairs whose order a fact states.
    stated: Bits,
    /// Pairs of near faces, the lower first, ascending.
    edges: Vec<(usize, usize)>,
    /// Faces that a rule about two joints brings to the island of one of its pairs.
    brought: Vec<(Edge, [usize; 4])>,
    /// Stated pairs that have to be looked at in an island of such pairs.
    alone: Vec<Edge>,
    /// By pair, one of the same island; a pair that stands for its island leads to itself.
    tied: Vec<Edge>,
}

impl Ties {
    fn of(state: &FlatState, facts: &[Fact]) -> Self {
        let count = state.faces.len();
        let mut near = Bits::square(count);
        let boxes: Vec<Rect> = state.faces.iter().map(|f| f.polygon.bounds()).collect();
        let mut by_left: Vec<usize> = (0..count).collect();
        by_left.sort_by(|a, b| boxes[*a].min.x.total_cmp(&boxes[*b].min.x).then(a.cmp(b)));
        for (n, a) in by_left.iter().enumerate() {
            let right = boxes[*a].max.x + TOUCHING_MM;
            for b in by_left.iter().skip(n + 1).take_while(|b| boxes[**b].min.x <= right) {
                if boxes[*a].touches(&boxes[*b], TOUCHING_MM) {
                    near.join(*a, *b);
                }
            }
        }
        state.joints.iter().for_each(|j| near.join(j.a, j.b));
        let mut stated = Bits::square(count);
        for fact in facts {
            match *fact {
                Fact::Above { upper, lower } if near.has(upper, lower) => stated.join(upper, lower),
                Fact::Fold { joint } => {
                    if let Some(FlatJoint { a, b, fold: JointFold::Folded(fold), .. }) =
                        state.joints.get(joint)
                        && *fold != Fold::Either
                    {
                        stated.join(*a, *b);
                    }
                }
                Fact::Stuck { a, b } | Fact::Outside { a, b, .. } | Fact::Between { a, b, .. } => {
                    near.join(a, b);
                }
                Fact::Above { .. } | Fact::Rather { .. } => {}
            }
        }
        let edges: Vec<(usize, usize)> =
            (0..count).flat_map(|a| near.of(a).filter(move |b| *b > a).map(move |b| (a, b))).collect();
        let tied = (0..edges.len()).collect();
        let mut ties = Self { near, stated, edges, brought: Vec::new(), alone: Vec::new(), tied };
        ties.tie_threes();
        ties.tie_joints(state);
        ties.tie_shared();
        ties
    }

    fn edge(&self, a: usize, b: usize) -> Option<Edge> {
        self.edges.binary_search(&(a.min(b), a.max(b))).ok()
    }

    fn root(&self, mut edge: Edge) -> Edge {
        while self.tied[edge] != edge {
            edge = self.tied[edge];
        }
        edge
    }

    fn tie(&mut self, one: Edge, other: Edge) -> bool {
        let (one, other) = (self.root(one), self.root(other));
        let (low, high) = (one.min(other), one.max(other));
        self.tied[high] = low;
        low != high
    }

    fn is_stated(&self, edge: Edge) -> bool {
        self.edges.get(edge).is_some_and(|(a, b)| self.stated.has(*a, *b))
    }

    /// Of three faces near each other, pairs that no fact states are one island; so are three that facts state.
    fn tie_threes(&mut self) {
        for face in 0..self.near.count() {
            for stated in [false, true] {
                let mut left: Vec<u64> = self.near.row(face).to_vec();
                let keep = self.stated.row(face).iter();
                left.iter_mut().zip(keep).for_each(|(w, s)| *w &= if stated { *s } else { !s });
                while let Some(first) = lowest(&left) {
                    clear(&mut left, first);
                    let mut open = vec![first];
                    while let Some(b) = open.pop().filter(|_| lowest(&left).is_some()) {
                        let row = if stated { self.stated.row(b) } else { self.near.row(b) };
                        let reached: Vec<u64> = left.iter().zip(row).map(|(l, r)| l & r).collect();
                        left.iter_mut().zip(&reached).for_each(|(l, r)| *l &= !r);
                        for c in numbers(&reached) {
                            open.push(c);
                            if let (Some(one), Some(other)) = (self.edge(face, first), self.edge(face, c)) {
                                self.tie(one, other);
                            }
                        }
                    }
                }
            }
        }
        // A stated pair that is seen only together with others needs no island of its own.
        for edge in 0..self.edges.len() {
            let (a, b) = self.edges[edge];
            if !self.stated.has(a, b) {
                continue;
            }
            let both = |m: &Bits| -> Vec<u64> { m.row(a).iter().zip(m.row(b)).map(|(x, y)| x & y).collect() };
            let (beside, stated_too) = (both(&self.near), both(&self.stated));
            if stated_too.iter().any(|w| *w != 0) || beside.iter().all(|w| *w == 0) {
                self.alone.push(edge);
            }
        }
    }

    /// Joints that run along one line are looked at together, whatever lies over what.
    fn tie_joints(&mut self, state: &FlatState) {
        let boxes: Vec<Rect> = state.joints.iter().map(|j| j.line.bounds()).collect();
        for (n, one) in state.joints.iter().enumerate() {
            for (m, other) in state.joints.iter().enumerate().skip(n + 1) {
                let faces = [one.a, one.b, other.a, other.b];
                if !boxes[n].touches(&boxes[m], TOUCHING_MM)
                    || BTreeSet::from(faces).len() < faces.len()
                    || shared_place(one.line, other.line).is_none()
                {
                    continue;
                }
                let across = [(one.a, other.a), (one.a, other.b), (one.b, other.a), (one.b, other.b)];
                let across: Vec<Edge> = across.iter().filter_map(|(a, b)| self.edge(*a, *b)).collect();
                let (stated, open): (Vec<Edge>, Vec<Edge>) =
                    across.into_iter().partition(|edge| self.is_stated(*edge));
                let together = if open.is_empty() { &stated } else { &open };
                together.iter().zip(together.iter().skip(1)).for_each(|(one, other)| {
                    self.tie(*one, *other);
                });
                if let Some(first) = together.first() {
                    self.brought.push((*first, faces));
                    if open.is_empty() {
                        self.alone.push(*first);
                    }
                }
            }
        }
    }

    /// Islands that share two faces whose order no fact states become one, so that it is found once.
    fn tie_shared(&mut self) {
        loop {
            let mut changed = false;
            for (root, faces) in self.faces(false) {
                for a in numbers(&faces).collect::<Vec<usize>>() {
                    let rows = self.near.row(a).iter().zip(self.stated.row(a)).zip(&faces);
                    let open: Vec<u64> = rows.map(|((n, s), f)| n & !s & f).collect();
                    for b in numbers(&open).filter(|b| *b > a).collect::<Vec<usize>>() {
                        if let Some(edge) = self.edge(a, b) {
                            changed |= self.tie(root, edge);
                        }
                    }
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// By the pair that stands for each island, its faces: islands of stated pairs, or the others.
    fn faces(&self, stated: bool) -> BTreeMap<Edge, Vec<u64>> {
        let mut found: BTreeMap<Edge, Vec<u64>> = BTreeMap::new();
        let empty = || vec![0; self.near.words];
        let edges: Vec<Edge> = if stated {
            self.alone.clone()
        } else {
            (0..self.edges.len()).filter(|e| !self.is_stated(*e)).collect()
        };
        for edge in edges {
            let (a, b) = self.edges[edge];
            let faces = found.entry(self.root(edge)).or_insert_with(empty);
            set(faces, a);
            set(faces, b);
            if !stated {
                let beside = self.near.row(a).iter().zip(self.near.row(b));
                faces.iter_mut().zip(beside).for_each(|(f, (x, y))| *f |= x & y);
            }
        }
        for (edge, brought) in self.brought.iter().filter(|(edge, _)| self.is_stated(*edge) == stated) {
            let faces = found.entry(self.root(*edge)).or_insert_with(empty);
            brought.iter().for_each(|face| set(faces, *face));
        }
        found
    }

    /// The faces of every island, ascending.
    fn islands(&self) -> Vec<Vec<usize>> {
        let open: Vec<Vec<u64>> = self.faces(false).into_values().collect();
        let mut with: Vec<Vec<usize>> = vec![Vec::new(); self.near.count()];
        for (number, faces) in open.iter().enumerate() {
            numbers(faces).for_each(|face| with[face].push(number));
        }
        // What stated pairs say is looked at where all of their faces are anyway.
        let covered = |faces: &Vec<u64>| {
            // A page may be in thousands of islands; what lies on it is in few.
            let fewest = numbers(faces).filter_map(|f| with.get(f)).min_by_key(|islands| islands.len());
            fewest
                .map_or(&[][..], Vec::as_slice)
                .iter()
                .any(|n| faces.iter().zip(&open[*n]).all(|(own, all)| own & !all == 0))
        };
        let stated: Vec<Vec<u64>> = self.faces(true).into_values().filter(|f| !covered(f)).collect();
        open.iter().chain(&stated).map(|faces| numbers(faces).collect()).collect()
    }
}

/// A symmetric table of yes and no.
struct Bits {
    words: usize,
    rows: Vec<u64>,
}

impl Bits {
    fn square(count: usize) -> Self {
        let words = count.div_ceil(64);
        Self { words, rows: vec![0; words * count] }
    }

    fn count(&self) -> usize {
        self.rows.len().checked_div(self.words).unwrap_or(0)
    }

    fn join(&mut self, a: usize, b: usize) {
        if a != b {
            let words = self.words;
            set(&mut self.rows[a * words..(a + 1) * words], b);
            set(&mut self.rows[b * words..(b + 1) * words], a);
        }
    }

    fn row(&self, a: usize) -> &[u64] {
        &self.rows[a * self.words..(a + 1) * self.words]
    }

    fn has(&self, a: usize, b: usize) -> bool {
        self.row(a)[b / 64] >> (b % 64) & 1 == 1
    }

    fn of(&self, a: usize) -> impl Iterator<Item = usize> + '_ {
        numbers(self.row(a))
    }
}

fn set(words: &mut [u64], number: usize) {
    words[number / 64] |= 1 << (number % 64);
}

fn clear(words: &mut [u64], number: usize) {
    words[number / 64] &= !(1 << (number % 64));
}

fn lowest(words: &[u64]) -> Option<usize> {
    numbers(words).next()
}

/// The numbers whose bits are set, ascending.
fn numbers(words: &[u64]) -> impl Iterator<Item = usize> + '_ {
    words.iter().enumerate().flat_map(|(at, word)| {
        let mut left = *word;
        std::iter::from_fn(move || {
            let bit = left.trailing_zeros() as usize;
            (left != 0).then(|| {
                left &= left - 1;
                64 * at + bit
            })
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layers::Order;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    /// Some rectangles on a grid of whole centimetres, some with a hole, joined and told about at random.
    fn state() -> impl Strategy<Value = (FlatState, Vec<Fact>)> {
        let face = (0..6u8, 0..6u8, 1..4u8, 1..4u8, any::<bool>(), any::<bool>());
        let faces = prop::collection::vec(face, 2..9);
        let pick = any::<prop::sample::Index>;
        let joint = (pick(), pick(), 0..3u8, any::<bool>());
        let fact = (pick(), pick(), pick(), 0..6u8);
        let lists = (faces, prop::collection::vec(joint, 0..4), prop::collection::vec(fact, 0..6));
        lists.prop_map(|(faces, joints, facts)| {
            let rect = |x: f64, y: f64, w: f64, h: f64| Rect::of_corners(pt(x, y), pt(x + w, y + h));
            let mut state = FlatState::default();
            for (x, y, w, h, up, pierced) in &faces {
                let (x, y, w, h) =
                    (10.0 * f64::from(*x), 10.0 * f64::from(*y), 10.0 * f64::from(*w), 10.0 * f64::from(*h));
                let holes = pierced.then(|| rect(x + 3.0, y + 3.0, 3.0, 3.0).corners().to_vec());
                let polygon = Polygon::new(rect(x, y, w, h).corners().to_vec(), holes.into_iter().collect());
                state.faces.push(FlatFace { polygon, up: *up });
            }
            let count = state.faces.len();
            for (a, b, fold, along) in &joints {
                let (a, b) = (a.index(count), b.index(count));
                let (x, y, w, h, ..) = faces[b];
                let at = |x: u8, y: u8| pt(10.0 * f64::from(x), 10.0 * f64::from(y));
                let end = if *along { at(x + w, y) } else { at(x, y + h) };
                let fold = match fold {
                    0 => JointFold::Open,
                    1 => JointFold::Folded(Fold::Valley),
                    _ => JointFold::Folded(Fold::Mountain),
                };
                if a != b {
                    state.joints.push(FlatJoint {
                        a,
                        b,
                        line: Segment::new(at(x, y), end),
                        fold,
                        through: Vec::new(),
                    });
                }
            }
            let mut told = state.fold_facts();
            for (a, b, c, kind) in &facts {
                let (a, b, face) = (a.index(count), b.index(count), c.index(count));
                if a != b && b != face && a != face {
                    told.push(match kind {
                        0 => Fact::Stuck { a, b },
                        1 => Fact::Outside { a, b, face },
                        2 => Fact::Between { a, b, face },
                        3 => Fact::Rather { upper: a, lower: b },
                        _ => Fact::Above { upper: a, lower: b },
                    });
                }
            }
            (state, told)
        })
    }

    /// More orders than these are not counted.
    const MOST: usize = 5_000;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn islands_say_together_what_the_whole_says((state, facts) in state()) {
            let whole = state.layering();
            let islands = islands(&state, &facts);
            let parts: Vec<FlatState> = islands.iter().map(|i| i.puzzle.state()).collect();
            // Whether there is an order at all; facts to blame contradict each other in the whole too.
            let mut sound = true;
            for (island, part) in islands.iter().zip(&parts) {
                if let Err(core) = part.layering().solve(island.puzzle.facts()) {
                    sound = false;
                    let blamed: Vec<Fact> = core.iter().map(|f| facts[island.facts[*f]]).collect();
                    prop_assert!(whole.solve(&blamed).is_err(), "{blamed:?}");
                }
            }
            prop_assert_eq!(sound, whole.solve(&facts).is_ok());
            // The pairs that overlap, and in how many orders those lie that no fact states.
            let global = |island: &Island, (a, b): (usize, usize)| (island.faces[a], island.faces[b]);
            let mut pairs: Vec<(usize, usize)> = Vec::new();
            for (island, part) in islands.iter().zip(&parts) {
                pairs.extend(part.layering().overlapping().iter().map(|p| global(island, *p)));
            }
            pairs.sort_unstable();
            pairs.dedup();
            prop_assert_eq!(&pairs, whole.overlapping());
            let all = whole.orders(&facts, MOST);
            prop_assume!(sound && all.complete);
            let mut count = 1;
            for (island, part) in islands.iter().zip(&parts) {
                let own = part.layering().orders(island.puzzle.facts(), MOST);
                prop_assert!(own.complete);
                count *= own.orders.len();
                // An order of the island is part of one of the whole.
                let named = |order: &Order| -> BTreeMap<(usize, usize), bool> {
                    order.pairs().map(|p| global(island, p)).map(|(u, l)| ((u.min(l), u.max(l)), u < l)).collect()
                };
                let of_whole: Vec<BTreeMap<(usize, usize), bool>> = all.orders.iter().map(|order| {
                    let own = order.pairs().map(|(u, l)| ((u.min(l), u.max(l)), u < l));
                    own.collect()
                }).collect();
                for order in &own.orders {
                    let own = named(order);
                    prop_assert!(of_whole.iter().any(|w| own.iter().all(|(k, v)| w.get(k) == Some(v))));
                }
            }
            prop_assert_eq!(count, all.orders.len());
        }
    }

    #[test]
    fn houses_on_a_page_are_islands_of_their_own() {
        let rect = |x: f64, w: f64| Polygon::rectangle(Rect::of_corners(pt(x, 0.0), pt(x + w, 20.0)));
        let face = |polygon: Polygon| FlatFace { polygon, up: true };
        // A page, three houses side by side on it, and a sign on the first and the second.
        let mut state = FlatState::default();
        state.faces.push(face(rect(0.0, 200.0)));
        state.faces.extend([10.0, 70.0, 130.0].map(|x| face(rect(x, 40.0))));
        state.faces.extend([20.0, 80.0].map(|x| face(rect(x, 20.0))));
        let glued: Vec<Fact> = (1..4).map(|house| Fact::Above { upper: house, lower: 0 }).collect();
        let found = islands(&state, &glued);
        let faces: Vec<Vec<usize>> = found.iter().map(|i| i.faces.clone()).collect();
        assert_eq!(faces, [vec![0, 1, 4], vec![0, 2, 5], vec![0, 3]]);
        // Not glued, a house still says nothing of the next.
        assert_eq!(islands(&state, &[]).len(), 3);
        // A hole of the page beside the first house is no matter of the second.
        let mut pierced = state.clone();
        pierced.faces[0].polygon = Polygon::new(rect(0.0, 200.0).outer, vec![rect(30.0, 5.0).outer]);
        let changed = islands(&pierced, &glued);
        assert!(changed[0].puzzle != found[0].puzzle && changed[1].puzzle == found[1].puzzle);
    }
}
