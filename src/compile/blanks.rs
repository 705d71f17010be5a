//! What may be written in a blank: for each `?` that is one number, the values under which everything else holds.
//!
//! Values on the maker's grid are tried one by one (an equality is met at single values only), and the edges of what
//! holds are then found by bisection on the verdict. The text is read once; a trial reads a value where the blank stands.
//! Blanks that wait for one another are filled in turn: a blank with a single answer is taken as filled for the others.

use super::Compiled;
use super::verdict::{breaks, errors, new_error};
use crate::findings::{Findings, Say};
use crate::meaning::{self, Request};
use crate::quantity::{Dimension, Exact, Units};
use crate::source::{Library, SourceMap, Span};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Edges are found to this: mm, or degrees.
const PRECISION: f64 = 0.05;
/// A range narrower than this is one value that tolerances have widened.
const SINGLE: f64 = 0.25;
/// Values tried for one blank.
const MOST_TRIALS: usize = 1_200;
/// The largest plain number tried; whole numbers are.
const MOST_COUNTED: f64 = 100.0;
/// Longest length tried where no sheet is longer, mm.
const LONGEST_MM: f64 = 300.0;

/// The values that fit one blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    pub span: Span,
    pub dimension: Dimension,
    /// From–to, mm or degrees, in order; equal ends for a single value.
    pub ranges: Vec<(f64, f64)>,
    /// The last range ends where the trials did: larger values may fit too.
    pub beyond: bool,
    /// Blanks that were left open meanwhile; what waits for them was not looked at.
    pub beside: Vec<Span>,
}

impl Answer {
    fn single(&self) -> Option<f64> {
        match self.ranges.as_slice() {
            [(low, high)] if low == high => Some(*low),
            _ => None,
        }
    }
}

/// Answers for the blanks of a design's own file, in file order.
pub fn answers(text: &str, compiled: &Compiled, library: &dyn Library, request: &Request) -> Vec<Answer> {
    let sheets = compiled.design.papers.iter().filter_map(|p| p.sheet.as_ref());
    let longest = sheets.map(|s| s.height.to_f64()).fold(LONGEST_MM, f64::max);
    let before = errors(&compiled.findings);
    let mut request = request.clone();
    let own: Vec<(Span, Option<Dimension>)> = compiled
        .design
        .blanks
        .iter()
        .filter(|b| text.get(b.span.start as usize..b.span.end as usize) == Some("?"))
        .map(|b| (b.span, b.expected))
        .filter(|(_, expected)| {
            matches!(expected, None | Some(Dimension::Length | Dimension::Angle | Dimension::Number))
        })
        .collect();
    let mut answers: BTreeMap<Span, Answer> = BTreeMap::new();
    // A blank that is filled may settle those before it: until no more of them are.
    loop {
        let mut settled = false;
        for (span, expected) in &own {
            if answers.get(span).is_some_and(|a| a.single().is_some()) {
                continue;
            }
            let trial = Trial { text, compiled, library, request: &request, span: *span, before: &before };
            // A blank behind a name is what its uses take: a length, or else an angle.
            let kinds = match expected {
                Some(one) => vec![*one],
                None => vec![Dimension::Length, Dimension::Angle],
            };
            let found = kinds.iter().map(|kind| trial.answer(*kind, longest)).reduce(|first, second| {
                if first.ranges.is_empty() && !second.ranges.is_empty() { second } else { first }
            });
            let Some(found) = found else { continue };
            if let Some(value) = found.single() {
                request
                    .filled
                    .extend(trial.read(found.dimension, value).map(|v| (*span, v, found.dimension)));
                settled = true;
            }
            answers.insert(*span, found);
        }
        let open = answers.values().any(|a| a.single().is_none());
        if !settled || !open {
            return answers.into_values().collect();
        }
    }
}

struct Trial<'a> {
    text: &'a str,
    compiled: &'a Compiled,
    library: &'a dyn Library,
    request: &'a Request,
    span: Span,
    /// Errors that the design has anyway.
    before: &'a BTreeMap<&'static str, usize>,
}

impl Trial<'_> {
    /// A value in mm or degrees as a design would write it: on the grid of the maker's ruler, or to the thousandth.
    fn read(&self, dimension: Dimension, value: f64) -> Option<Exact> {
        // A sixty-fourth of an inch is 127/320 mm.
        let steps = value * 320.0 / 127.0;
        let ruled = dimension == Dimension::Length && self.compiled.design.units == Units::Inch;
        if ruled && (steps - steps.round()).abs() < 1e-6 {
            return Exact::ratio(steps.round() as i128 * 127, 320);
        }
        Exact::ratio((value * 1000.0).round() as i128, 1000)
    }

    fn holds(&self, dimension: Dimension, value: f64) -> bool {
        let Some(exact) = self.read(dimension, value) else { return false };
        let mut request = self.request.clone();
        request.filled.push((self.span, exact, dimension));
        let mut sources = SourceMap::default();
        let name = request.path.to_string_lossy().replace('\\', "/");
        if sources.add(&name, self.text).is_none() {
            return false;
        }
        let units = self.compiled.design.units;
        let mut findings = Findings::speaking(Say { units });
        let design =
            meaning::understand(&self.compiled.tree, &request, self.library, &mut sources, &mut findings);
        // What cannot be understood need not be measured.
        new_error(self.before, &findings).is_none()
            && !breaks(&design, units, &self.compiled.kept, self.before)
    }

    fn answer(&self, dimension: Dimension, longest: f64) -> Answer {
        let (step, end) = match (dimension, self.compiled.design.units) {
            (Dimension::Number, _) => (1.0, MOST_COUNTED),
            (Dimension::Angle, _) => (1.0, 180.0),
            (_, Units::Inch) => (25.4 / 16.0, longest),
            _ => (0.5, longest),
        };
        let count = ((end / step) as usize).min(MOST_TRIALS);
        let values: Vec<f64> = (1..=count).map(|k| k as f64 * step).collect();
        let sound: Vec<bool> = values.par_iter().map(|v| self.holds(dimension, *v)).collect();
        // The last value that holds between one that does and one that does not.
        let edge = |sound: f64, broken: f64| match dimension {
            Dimension::Number => sound,
            _ => self.edge(dimension, sound, broken),
        };
        let mut ranges = Vec::new();
        let mut start = None;
        for (k, holds) in sound.iter().chain([&false]).enumerate() {
            match (holds, start) {
                (true, None) => start = Some(k),
                (false, Some(first)) => {
                    let (low, high) = (values[first], values[k - 1]);
                    let from = edge(low, low - step);
                    let to = if k == count { high } else { edge(high, high + step) };
                    // Of a single value the one on the maker's grid is meant.
                    ranges.push(if to - from < SINGLE { (low, low) } else { (from, to) });
                    start = None;
                }
                _ => {}
            }
        }
        let beyond = dimension != Dimension::Angle && sound.last() == Some(&true);
        let is_filled = |span: &Span| self.request.filled.iter().any(|(filled, ..)| filled == span);
        let others = self.compiled.design.blanks.iter().map(|b| b.span);
        let beside = others.filter(|span| *span != self.span && !is_filled(span)).collect();
        Answer { span: self.span, dimension, ranges, beyond, beside }
    }

    fn edge(&self, dimension: Dimension, sound: f64, broken: f64) -> f64 {
        let (mut sound, mut broken) = (sound, broken);
        while (sound - broken).abs() > PRECISION {
            let middle = ((sound + broken) * 500.0).round() / 1000.0;
            if self.holds(dimension, middle) {
                sound = middle;
            } else {
                broken = middle;
            }
        }
        sound
    }
}
