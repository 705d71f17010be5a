//! What layers may not do: the clauses of the satisfiability problem, from the geometry of a flat state alone.
//!
//! Rules after Justin, "Towards a mathematical theory of origami", 1997; names as in Hull and Zakharevich, "Flat origami
//! is Turing complete", 2023.

use std::collections::BTreeSet;

use super::flat::{FlatJoint, FlatState, JointFold};
use super::stack::Cells;
use crate::geometry::{Point, Rect, Segment, clip_segment};
use crate::quantity::tolerance::COINCIDENT_MM;

/// A pair of faces, the lower index first; its variable is true when the first lies above.
pub(crate) type Pair = (usize, usize);
/// "The first of the pair lies above" when true.
pub(crate) type Literal = (usize, bool);

/// How far beside a line the sides of a joint are looked at, in mm.
const BESIDE_MM: f64 = 2.0 * COINCIDENT_MM;

/// Triples of faces that are collected before repeated ones are sorted out.
const MOST_REPEATED: usize = 1 << 20;

/// How many rules of each kind a state has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RuleCounts {
    pub folded_joints: usize,
    pub taco_taco: usize,
    pub taco_tortilla: usize,
    pub tortilla_tortilla: usize,
    pub transitivity: usize,
}

/// Variables and clauses of a state.
pub(crate) struct Rules {
    /// In rising order.
    pub(crate) pairs: Vec<Pair>,
    /// By face, where the pairs begin whose lower index it is; one more for the end.
    begins: Vec<usize>,
    /// Of three faces in one place the first does not lie above the second, that above the third and that above the
    /// first, nor all the other way round. There are millions of these where hundreds lie on one place, so they are kept
    /// apart from the other clauses.
    pub(crate) rings: Vec<[Literal; 3]>,
    pub(crate) clauses: Vec<Vec<Literal>>,
    pub(crate) counts: RuleCounts,
    pub(crate) cells: Cells,
    /// By face, the cells that it covers.
    cells_of: Vec<Vec<usize>>,
}

impl Rules {
    pub(crate) fn of(state: &FlatState) -> Self {
        let cells = Cells::of(state);
        let mut pairs = Vec::new();
        let mut triples = Vec::new();
        let mut room = MOST_REPEATED;
        let mut cells_of: Vec<Vec<usize>> = vec![Vec::new(); state.faces.len()];
        for (number, cell) in cells.wide.iter().enumerate() {
            let stack = &cell.covered_by;
            stack.iter().for_each(|&face| cells_of[face].push(number));
            for (x, &i) in stack.iter().enumerate() {
                for (y, &j) in stack.iter().enumerate().skip(x + 1) {
                    pairs.push((i, j));
                    triples.extend(stack.iter().skip(y + 1).map(|&k| (i, j, k)));
                }
            }
            // Many cells repeat the same triples, which must not pile up.
            if triples.len() > room {
                triples.sort_unstable();
                triples.dedup();
                room = 2 * triples.len() + MOST_REPEATED;
            }
        }
        pairs.sort_unstable();
        pairs.dedup();
        triples.sort_unstable();
        triples.dedup();
        let begins =
            (0..=state.faces.len()).map(|face| pairs.partition_point(|pair| pair.0 < face)).collect();
        let (rings, clauses, counts) = (Vec::with_capacity(triples.len()), Vec::new(), RuleCounts::default());
        let mut rules = Self { pairs, begins, rings, clauses, counts, cells, cells_of };
        for (i, j, k) in triples {
            rules.transitive(i, j, k);
        }
        let boxes: Vec<Rect> = state.faces.iter().map(|f| f.polygon.bounds()).collect();
        for (k, joint) in state.joints.iter().enumerate() {
            rules.crossed(state, joint, &boxes);
            for other in state.joints.iter().skip(k + 1) {
                rules.meeting(state, joint, other);
            }
        }
        rules.counts.folded_joints = state.joints.iter().filter(|j| is_folded(j)).count();
        rules
    }

    /// The cells that a face covers.
    pub(crate) fn cells_of(&self, face: usize) -> &[usize] {
        self.cells_of.get(face).map_or(&[], Vec::as_slice)
    }

    /// The literal "`upper` lies above `lower`", when the two overlap.
    pub(crate) fn above(&self, upper: usize, lower: usize) -> Option<Literal> {
        let first = upper < lower;
        let (face, other) = if first { (upper, lower) } else { (lower, upper) };
        let (from, to) = (*self.begins.get(face)?, *self.begins.get(face + 1)?);
        let place = self.pairs.get(from..to)?.binary_search_by_key(&other, |pair| pair.1).ok()?;
        Some((from + place, first))
    }

    fn transitive(&mut self, i: usize, j: usize, k: usize) {
        let (Some(ij), Some(jk), Some(ki)) = (self.above(i, j), self.above(j, k), self.above(k, i)) else {
            return;
        };
        self.rings.push([ij, jk, ki]);
        self.counts.transitivity += 1;
    }

    /// Clauses for "`face` is on the same side of `a` and of `b`", and whether both overlap it.
    pub(crate) fn not_between(&self, a: usize, b: usize, face: usize) -> Option<[Vec<Literal>; 2]> {
        let (over_a, over_b) = (self.above(a, face)?, self.above(b, face)?);
        Some([vec![not(over_a), over_b], vec![over_a, not(over_b)]])
    }

    /// A face that the joint's line crosses lies above both its faces or below both.
    fn crossed(&mut self, state: &FlatState, joint: &FlatJoint, boxes: &[Rect]) {
        let line = joint.line.bounds();
        for (face, face_box) in boxes.iter().enumerate() {
            if !line.touches(face_box, BESIDE_MM)
                || face == joint.a
                || face == joint.b
                || joint.through.contains(&face)
                || !crosses(state, joint, face)
            {
                continue;
            }
            if let Some(clauses) = self.not_between(joint.a, joint.b, face) {
                self.clauses.extend(clauses);
                let count = if is_folded(joint) {
                    &mut self.counts.taco_tortilla
                } else {
                    &mut self.counts.tortilla_tortilla
                };
                *count += 1;
            }
        }
    }

    /// Two joints that run along one line.
    fn meeting(&mut self, state: &FlatState, one: &FlatJoint, other: &FlatJoint) {
        let faces = BTreeSet::from([one.a, one.b, other.a, other.b]);
        let Some(place) = shared_place(one.line, other.line).filter(|_| faces.len() == 4) else { return };
        let side = |face: usize| sides(state, face, one.line, place);
        match (is_folded(one), is_folded(other)) {
            (true, true) => {
                let (s, t) = (common(side(one.a), side(one.b)), common(side(other.a), side(other.b)));
                if s.is_some() && s == t {
                    self.taco_taco(one, other);
                }
            }
            (true, false) => self.taco_along(one, other, &side),
            (false, true) => self.taco_along(other, one, &side),
            (false, false) => self.tortillas(one, other, &side),
        }
    }

    /// Two folds opening to one side may be nested or apart, not interlocked.
    fn taco_taco(&mut self, one: &FlatJoint, other: &FlatJoint) {
        let pairs = [(one.a, other.a), (one.b, other.a), (one.a, other.b), (one.b, other.b)];
        let literals: Vec<Literal> = pairs.iter().filter_map(|&(x, y)| self.above(x, y)).collect();
        if literals.len() < 4 {
            return;
        }
        // An even number of them holds: every odd pattern is forbidden.
        for pattern in (0..16u32).filter(|p| p.count_ones() % 2 == 1) {
            let clause = literals.iter().enumerate();
            self.clauses.push(clause.map(|(k, &l)| if pattern >> k & 1 == 1 { not(l) } else { l }).collect());
        }
        self.counts.taco_taco += 1;
    }

    /// A sheet that goes on across the line of a fold does not lie inside the fold.
    fn taco_along(&mut self, fold: &FlatJoint, open: &FlatJoint, side: &dyn Fn(usize) -> [bool; 2]) {
        let Some(inner) = common(side(fold.a), side(fold.b)) else { return };
        for face in [open.a, open.b] {
            if side(face)[inner]
                && let Some(clauses) = self.not_between(fold.a, fold.b, face)
            {
                self.clauses.extend(clauses);
                self.counts.taco_tortilla += 1;
            }
        }
    }

    /// Two sheets that go on across one line do not pass through each other there.
    fn tortillas(&mut self, one: &FlatJoint, other: &FlatJoint, side: &dyn Fn(usize) -> [bool; 2]) {
        let ordered =
            |joint: &FlatJoint| if side(joint.a)[0] { (joint.a, joint.b) } else { (joint.b, joint.a) };
        let ((a, b), (c, d)) = (ordered(one), ordered(other));
        let (Some(ac), Some(bd)) = (self.above(a, c), self.above(b, d)) else { return };
        self.clauses.push(vec![not(ac), bd]);
        self.clauses.push(vec![ac, not(bd)]);
        self.counts.tortilla_tortilla += 1;
    }
}

pub(crate) fn not((variable, value): Literal) -> Literal {
    (variable, !value)
}

fn is_folded(joint: &FlatJoint) -> bool {
    matches!(joint.fold, JointFold::Folded(_))
}

/// Whether a joint's line runs through the inside of a face.
fn crosses(state: &FlatState, joint: &FlatJoint, face: usize) -> bool {
    let Some(along) = joint.line.vector().unit() else { return false };
    let polygon = &state.faces[face].polygon;
    // Inside on both hands, so that a line along an edge does not count, whatever the rounding.
    let shifted = |by: f64| {
        let shift = along.turned_left() * by;
        clip_segment(polygon, &Segment::new(joint.line.start + shift, joint.line.end + shift))
    };
    let (left, right) = (shifted(COINCIDENT_MM), shifted(-COINCIDENT_MM));
    let overlap = |s: &crate::geometry::Span, t: &crate::geometry::Span| s.to.min(t.to) - s.from.max(t.from);
    left.iter().any(|s| right.iter().any(|t| overlap(s, t) > COINCIDENT_MM))
}

/// The middle of the stretch that two lines have in common, when they run along each other.
pub(super) fn shared_place(one: Segment, other: Segment) -> Option<Point> {
    let along = one.vector().unit()?;
    let off = |p: Point| along.cross(p - one.start).abs();
    if off(other.start) > COINCIDENT_MM || off(other.end) > COINCIDENT_MM {
        return None;
    }
    let place = |p: Point| along.dot(p - one.start);
    let (low, high) = (place(other.start).min(place(other.end)), place(other.start).max(place(other.end)));
    let (from, to) = (low.max(0.0), high.min(one.length()));
    (to - from > COINCIDENT_MM).then(|| one.start + along * ((from + to) / 2.0))
}

/// On which sides of a line a face lies near a place on it: left, right.
pub(super) fn sides(state: &FlatState, face: usize, line: Segment, place: Point) -> [bool; 2] {
    let Some(along) = line.vector().unit() else { return [false; 2] };
    let across = along.turned_left() * BESIDE_MM;
    [place + across, place - across].map(|p| state.faces[face].polygon.contains_strictly(p))
}

/// The one side on which both lie; a face that reaches across does not decide.
fn common(one: [bool; 2], other: [bool; 2]) -> Option<usize> {
    match [one[0] && other[0], one[1] && other[1]] {
        [true, false] => Some(0),
        [false, true] => Some(1),
        _ => None,
    }
}
