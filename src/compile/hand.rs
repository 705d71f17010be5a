//! How far a hand may be off: for each measurement, the room before something binds or a claim fails.
//!
//! One measurement at a time is moved either way and the whole design judged again; the edge of what still works is
//! found by bisection. Claims of an exact value are left out: no hand keeps them.

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

/// The measurements with least room first; none when the design has errors already.
pub fn rooms(compiled: &Compiled) -> Vec<Room> {
    if compiled.findings.has_errors() {
        return Vec::new();
    }
    let design = without_equalities(&compiled.design);
    let mut measured: Vec<(Role, Span, f64)> = Vec::new();
    visit(&mut design.clone(), &mut |role, q| measured.push((role, q.span, q.value())));
    let before = errors(&judge(&design, compiled.design.units, &compiled.kept).findings);
    let mut rooms: Vec<Room> = measured
        .par_iter()
        .enumerate()
        .map(|(index, (role, span, value))| {
            let (less, why_less) = room((&design, &compiled.kept), index, -1.0, &before);
            let (more, why_more) = room((&design, &compiled.kept), index, 1.0, &before);
            let then = if less <= more { why_less.or(why_more) } else { why_more.or(why_less) };
            Room { span: *span, value: *value, role: *role, less, more, then }
        })
        .collect();
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

/// How far measurement `index` may go one way, and what stops it.
fn room(
    (design, kept): (&Design, &Kept),
    index: usize,
    way: f64,
    before: &BTreeMap<&'static str, usize>,
) -> (f64, Option<String>) {
    let fault = |off: f64| -> Option<String> {
        let moved = moved(design, index, way * off)?;
        new_error(before, &judge(&moved, design.units, kept).findings).map(String::from)
    };
    let Some(mut why) = fault(WIDEST_MM) else { return (WIDEST_MM, None) };
    let (mut sound, mut broken) = (0.0, WIDEST_MM);
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

/// The design with one measurement changed by `by` mm; `None` when nothing would be left of it.
fn moved(design: &Design, index: usize, by: f64) -> Option<Design> {
    // A thousandth of a millimetre is finer than any hand.
    let by = Exact::ratio((by * 1000.0).round() as i128, 1000)?;
    let mut moved = design.clone();
    let mut at = 0;
    let mut done = false;
    visit(&mut moved, &mut |_, q| {
        if at == index
            && let Some(exact) = q.exact.plus(by)
            && (exact.is_positive() || !q.exact.is_positive())
        {
            q.exact = exact;
            done = true;
        }
        at += 1;
    });
    done.then_some(moved)
}
