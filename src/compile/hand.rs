//! How far a hand may be off: for each measurement, the room before something binds or a claim fails.
//!
//! One measurement at a time is moved either way and the whole design judged again; the edge of what still works is
//! found by bisection. Then all of them are moved at once, each this way or that, in the ways of a fixed sequence: with
//! dozens of measurements not every way can be looked at. Claims of an exact value are left out: no hand keeps them.

use super::Compiled;
use super::verdict::{errors, judge, new_error};
use crate::layers::Kept;
use crate::meaning::design::Design;
use crate::meaning::measurements::{Role, visit};
use crate::meaning::round::without_equalities;
use crate::quantity::Exact;
use crate::source::Span;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Rooms are found to this, mm.
pub const PRECISION_MM: f64 = 0.05;
/// No hand is off by more than this; wider rooms are said to be as wide.
pub const WIDEST_MM: f64 = 5.0;
/// Rows of the sequence of ways in which all are off at once; of more measurements than these some are always off alike.
const MOST_ROWS: usize = 64;

/// The room of one measurement.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    pub span: Span,
    /// mm.
    pub value: f64,
    pub role: Role,
    /// How much shorter and how much longer it may be, mm; [`WIDEST_MM`] means "at least as much".
    pub less: f64,
    pub more: f64,
    /// What happens first when it is off by more.
    pub then: Option<String>,
}

impl Room {
    pub fn least(&self) -> f64 {
        self.less.min(self.more)
    }
}

/// How far everything may be off at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// Nothing gives up to this, mm; no more than was asked for.
    pub up_to: f64,
    /// Ways in which the measurements were off.
    pub ways: usize,
    /// What gives beyond that.
    pub then: Option<String>,
}

/// What the hand may do to a sound design.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hand {
    /// How far it was said to be off, mm.
    pub off: f64,
    /// Of every measurement by itself, the least room first; none when the design has errors already.
    pub rooms: Vec<Room>,
    /// Not looked at where one measurement by itself has no room.
    pub together: Option<Together>,
}

/// Asks what a hand that is off by up to `off` mm does to a design.
pub fn hand(compiled: &Compiled, off: f64) -> Hand {
    if compiled.findings.has_errors() {
        return Hand { off, ..Hand::default() };
    }
    let design = without_equalities(&compiled.design);
    let mut measured: Vec<(Role, Span, f64)> = Vec::new();
    visit(&mut design.clone(), &mut |role, q| measured.push((role, q.span, q.value())));
    let before = errors(&judge(&design, compiled.design.units, &compiled.kept).findings);
    let asked = Asked { design: &design, kept: &compiled.kept, before: &before };
    let rooms: Vec<Room> = measured
        .par_iter()
        .enumerate()
        .map(|(index, (role, span, value))| {
            let (less, why_less) = asked.room(index, -1.0, off);
            let (more, why_more) = asked.room(index, 1.0, off);
            let then = if less <= more { why_less.or(why_more) } else { why_more.or(why_less) };
            Room { span: *span, value: *value, role: *role, less, more, then }
        })
        .collect();
    let together = asked.together(&rooms, off);
    Hand { off, rooms: by_room(rooms), together }
}

fn by_room(mut rooms: Vec<Room>) -> Vec<Room> {
    rooms.sort_by(|a, b| a.least().total_cmp(&b.least()).then(a.span.cmp(&b.span)));
    // The same written measurement may serve several cuts: the tightest one speaks for it.
    let mut seen: Vec<Span> = Vec::new();
    rooms.retain(|r| {
        let first = !seen.contains(&r.span);
        seen.push(r.span);
        first
    });
    rooms
}

/// A design whose measurements are moved.
struct Asked<'a> {
    design: &'a Design,
    kept: &'a Kept,
    /// Errors that it has anyway.
    before: &'a BTreeMap<&'static str, usize>,
}

impl Asked<'_> {
    /// The first thing that gives when every measurement is off as `by` says, mm.
    fn fault(&self, by: &dyn Fn(usize) -> f64) -> Option<String> {
        let moved = moved(self.design, by)?;
        new_error(self.before, &judge(&moved, self.design.units, self.kept).findings).map(String::from)
    }

    /// How far measurement `index` may go one way, and what stops it. Near places are looked at first: what gives soon
    /// may hold again farther on.
    fn room(&self, index: usize, way: f64, off: f64) -> (f64, Option<String>) {
        let fault = |off: f64| self.fault(&|i| if i == index { way * off } else { 0.0 });
        let looks = [PRECISION_MM, off.clamp(PRECISION_MM, WIDEST_MM), WIDEST_MM];
        let mut sound = 0.0;
        for look in looks.into_iter().filter(|look| *look > 0.0) {
            match fault(look) {
                None => sound = look,
                Some(why) => return edge(sound, look, why, fault),
            }
        }
        (WIDEST_MM, None)
    }

    /// How far all measurements may be off at once.
    fn together(&self, rooms: &[Room], off: f64) -> Option<Together> {
        let least = rooms.iter().map(Room::least).fold(off, f64::min);
        if rooms.len() < 2 || least < PRECISION_MM {
            return None;
        }
        let rows = (rooms.len() + 1).next_power_of_two().min(MOST_ROWS);
        // Each as its room is least; then the rows of the sequence, and all of them the other way round.
        let tightest = |i: usize| rooms.get(i).map_or(1.0, |r| if r.less < r.more { -1.0 } else { 1.0 });
        let ways = 1 + 2 * rows;
        let sign = |way: usize, i: usize| match way.checked_sub(1) {
            None => tightest(i),
            Some(row) if row < rows => walsh(row, 1 + i % (rows - 1)),
            Some(row) => -walsh(row - rows, 1 + i % (rows - 1)),
        };
        let fault =
            |off: f64| (0..ways).into_par_iter().find_map_first(|way| self.fault(&|i| sign(way, i) * off));
        let (up_to, then) = match fault(least) {
            None => (least, None),
            Some(why) => edge(0.0, least, why, fault),
        };
        Some(Together { up_to, ways, then })
    }
}

/// The edge of what is sound, to [`PRECISION_MM`], and what gives beyond it.
fn edge(
    mut sound: f64,
    mut broken: f64,
    mut why: String,
    fault: impl Fn(f64) -> Option<String>,
) -> (f64, Option<String>) {
    while broken - sound > PRECISION_MM {
        let middle = 0.5 * (sound + broken);
        match fault(middle) {
            Some(fault) => {
                broken = middle;
                why = fault;
            }
            None => sound = middle,
        }
    }
    (sound, Some(why))
}

/// The Walsh function of a number at a row, 1 or -1. Over as many rows as there are numbers, any two functions are alike
/// half of the time and take all four pairs of signs equally often: an orthogonal array (Plackett and Burman, "The design
/// of optimum multifactorial experiments", 1946); with all signs turned over as well, any three take all eight.
fn walsh(row: usize, number: usize) -> f64 {
    if (row & number).count_ones().is_multiple_of(2) { 1.0 } else { -1.0 }
}

/// The design with every measurement changed by so many mm; `None` when nothing would be left of one.
fn moved(design: &Design, by: &dyn Fn(usize) -> f64) -> Option<Design> {
    let mut moved = design.clone();
    let (mut at, mut whole) = (0, true);
    visit(&mut moved, &mut |_, q| {
        // A thousandth of a millimetre is finer than any hand.
        let steps = (by(at) * 1000.0).round() as i128;
        at += 1;
        if steps == 0 {
            return;
        }
        match Exact::ratio(steps, 1000).and_then(|by| q.exact.plus(by)) {
            Some(exact) if exact.is_positive() || !q.exact.is_positive() => q.exact = exact,
            _ => whole = false,
        }
    });
    whole.then_some(moved)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_three_measurements_are_off_in_all_eight_ways_equally_often() {
        let rows = 16;
        let signs = |number: usize| {
            (0..rows)
                .map(|r| walsh(r, number))
                .chain((0..rows).map(|r| -walsh(r, number)))
                .collect::<Vec<f64>>()
        };
        for (a, b, c) in [(1, 2, 3), (1, 5, 9), (7, 8, 15), (2, 6, 11)] {
            let (a, b, c) = (signs(a), signs(b), signs(c));
            let mut count: BTreeMap<[bool; 3], usize> = BTreeMap::new();
            for k in 0..2 * rows {
                *count.entry([a[k] > 0.0, b[k] > 0.0, c[k] > 0.0]).or_default() += 1;
            }
            assert_eq!(count.len(), 8);
            assert!(count.values().all(|n| *n == rows / 4), "{count:?}");
        }
    }
}
