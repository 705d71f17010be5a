//! What may be written in a blank: for each `?` that is one number, the values under which everything else holds.
//!
//! Values on the maker's grid are tried one by one (an equality is met at single values only), and the edges of what
//! holds are then found by bisection on the verdict. Blanks that wait for one another are filled in turn: a blank with
//! a single answer is taken as filled for those after it.

use super::verdict::errors;
use super::{Compiled, compile_with};
use crate::layers::Kept;
use crate::meaning::Request;
use crate::quantity::{Dimension, Rounding, Units, source_length};
use crate::source::{Library, Span};
use rayon::prelude::*;
use std::sync::Arc;

/// Edges are found to this: mm, or degrees.
const PRECISION: f64 = 0.05;
/// A range narrower than this is one value that tolerances have widened.
const SINGLE: f64 = 0.25;
/// Values tried for one blank.
const MOST_TRIALS: usize = 1_200;

/// The values that fit one blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    pub span: Span,
    pub dimension: Dimension,
    /// From–to, mm or degrees, in order; equal ends for a single value.
    pub ranges: Vec<(f64, f64)>,
}

/// Answers for the blanks of a design's own file, in file order.
pub fn answers(text: &str, compiled: &Compiled, library: &dyn Library, request: &Request) -> Vec<Answer> {
    let mut text = text.to_string();
    let mut shift = 0i64;
    let mut all = Vec::new();
    let longest = compiled
        .design
        .papers
        .iter()
        .filter_map(|p| p.sheet.as_ref())
        .map(|s| s.height.to_f64())
        .fold(300.0, f64::max);
    for blank in &compiled.design.blanks {
        // A blank behind a name is what its uses take: a length, or else an angle.
        let mut dimension = blank.expected.unwrap_or(Dimension::Length);
        if !matches!(dimension, Dimension::Length | Dimension::Angle) {
            continue;
        }
        let at = i64::from(blank.span.start) + shift;
        let Ok(at) = usize::try_from(at) else { continue };
        if text.get(at..at + 1) != Some("?") {
            continue;
        }
        let (units, kept) = (compiled.design.units, &compiled.kept);
        let trial = |dimension| Trial { text: &text, at, dimension, units, library, request, kept };
        let mut ranges = trial(dimension).ranges(longest);
        if ranges.is_empty() && blank.expected.is_none() {
            let angles = trial(Dimension::Angle).ranges(longest);
            if !angles.is_empty() {
                (dimension, ranges) = (Dimension::Angle, angles);
            }
        }
        if let [(low, high)] = ranges.as_slice()
            && low == high
        {
            let filled = trial(dimension).filled(*low);
            shift += filled.len() as i64 - text.len() as i64;
            text = filled;
        }
        all.push(Answer { span: blank.span, dimension, ranges });
    }
    all
}

struct Trial<'a> {
    text: &'a str,
    at: usize,
    dimension: Dimension,
    units: Units,
    library: &'a dyn Library,
    request: &'a Request,
    kept: &'a Arc<Kept>,
}

impl Trial<'_> {
    /// The text with a value in the blank's place.
    fn filled(&self, value: f64) -> String {
        let written = match self.dimension {
            Dimension::Angle => format!("{value:.3}deg"),
            _ if (value * 1000.0).round() == (value * 10.0).round() * 100.0 => format!("{value:.1}mm"),
            _ => {
                let grid = source_length(value, self.units, Rounding::Nearest);
                let exact = format!("{value:.3}mm");
                // A value on the maker's grid is written as the maker would.
                let on_grid = match self.units {
                    Units::Inch => {
                        (value / 25.4 * 64.0).fract().abs() < 1e-6
                            || (value / 25.4 * 64.0).fract() > 1.0 - 1e-6
                    }
                    Units::Mm => false,
                };
                if on_grid { grid } else { exact }
            }
        };
        let (before, after) =
            (self.text.get(..self.at).unwrap_or(""), self.text.get(self.at + 1..).unwrap_or(""));
        format!("{before}{written}{after}")
    }

    fn holds(&self, value: f64) -> bool {
        match compile_with(&self.filled(value), self.library, self.request, Arc::clone(self.kept)) {
            Ok(compiled) => errors(&compiled.findings).is_empty(),
            Err(_) => false,
        }
    }

    fn ranges(&self, longest: f64) -> Vec<(f64, f64)> {
        let (step, end) = match (self.dimension, self.units) {
            (Dimension::Angle, _) => (1.0, 180.0),
            (_, Units::Inch) => (25.4 / 16.0, longest),
            _ => (0.5, longest),
        };
        let count = ((end / step) as usize).min(MOST_TRIALS);
        let values: Vec<f64> = (1..=count).map(|k| k as f64 * step).collect();
        let sound: Vec<bool> = values.par_iter().map(|v| self.holds(*v)).collect();
        let mut ranges = Vec::new();
        let mut start = None;
        for (k, holds) in sound.iter().chain([&false]).enumerate() {
            match (holds, start) {
                (true, None) => start = Some(k),
                (false, Some(first)) => {
                    let (low, high) = (values[first], values[k - 1]);
                    let (from, to) = (self.edge(low, low - step), self.edge(high, high + step));
                    // Of a single value the one on the maker's grid is meant.
                    ranges.push(if to - from < SINGLE { (low, low) } else { (from, to) });
                    start = None;
                }
                _ => {}
            }
        }
        ranges
    }

    /// The last value that holds between one that does and one that does not.
    fn edge(&self, sound: f64, broken: f64) -> f64 {
        let (mut sound, mut broken) = (sound, broken);
        while (sound - broken).abs() > PRECISION {
            let middle = ((sound + broken) * 500.0).round() / 1000.0;
            if self.holds(middle) {
                sound = middle;
            } else {
                broken = middle;
            }
        }
        sound
    }
}
