//! Kinds of line and how each looks: width, grey, dashes.
//!
//! Element lengths are those of ISO 128-20 in line widths *d* (dash 12d, long dash 24d, gap 3d, spaced gap 18d, dot 0.5d);
//! widths come from its series 0.18, 0.25, 0.35, 0.5 mm. Kinds differ by dash and weight alone, so that a grey print
//! reads as well as a colour one.

use kurbo::{BezPath, ParamCurveArclen, PathEl};

const GAP: f64 = 3.0;
const SPACE: f64 = 18.0;
const SHORT_DASH: f64 = 6.0;
const DASH: f64 = 12.0;
const LONG_DASH: f64 = 24.0;
const DOT: f64 = 0.5;
/// The shortest dash that still reads as a dash beside a dot, in line widths.
const LEAST_DASH: f64 = 3.0;

/// What a line is for; the look follows from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineKind {
    /// The outer edge of a piece: cut.
    Outline,
    /// A cut inside a piece: slot, slit, window, hole.
    Cut,
    /// A cut through part of the thickness.
    PartialCut,
    Perforation,
    Valley,
    Mountain,
    Dimension,
    /// From a feature to its dimension line.
    Extension,
    /// From a label to what it names.
    Leader,
    /// Hatching of an area that takes glue, and the edge of that area.
    Glue,
    /// The same on the back, shown from the front.
    GlueBehind,
    /// Where another part will lie.
    Position,
    Centre,
    /// Marks by which pages are cut and joined.
    Registration,
    TestBar,
    /// A visible edge in a picture of the card.
    Edge,
    /// A fold or an inner line in a picture of the card.
    ThinEdge,
}

/// Width in mm; grey from 0 (black) to 1 (white).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    pub width: f64,
    pub grey: f64,
}

impl LineKind {
    pub fn stroke(self) -> Stroke {
        let (width, grey) = match self {
            LineKind::Outline => (0.5, 0.0),
            LineKind::Cut => (0.35, 0.0),
            LineKind::PartialCut | LineKind::Perforation => (0.35, 0.0),
            // The wider line gives a mountain fold dots of a size that can be seen at arm's length.
            LineKind::Mountain => (0.5, 0.0),
            LineKind::Valley => (0.35, 0.0),
            LineKind::Dimension | LineKind::Extension | LineKind::Leader => (0.18, 0.0),
            LineKind::Glue | LineKind::GlueBehind => (0.18, 0.45),
            LineKind::Position => (0.18, 0.25),
            LineKind::Centre => (0.18, 0.0),
            LineKind::Registration | LineKind::TestBar => (0.25, 0.0),
            LineKind::Edge => (0.25, 0.0),
            LineKind::ThinEdge => (0.18, 0.25),
        };
        Stroke { width, grey }
    }

    /// Dashes and gaps in turn, in line widths; `None` for a continuous line.
    fn pattern(self) -> Option<&'static [f64]> {
        match self {
            LineKind::Valley => Some(&[DASH, GAP]),
            LineKind::Mountain => Some(&[LONG_DASH, GAP, DOT, GAP, DOT, GAP]),
            LineKind::Centre => Some(&[LONG_DASH, GAP, DOT, GAP]),
            LineKind::PartialCut => Some(&[LONG_DASH, GAP, SHORT_DASH, GAP]),
            LineKind::Perforation => Some(&[LEAST_DASH, GAP]),
            LineKind::Position => Some(&[DASH, SPACE]),
            LineKind::GlueBehind => Some(&[DASH, DASH]),
            _ => None,
        }
    }

    /// The dash lengths in mm for one path, or `None` for a continuous line.
    ///
    /// On an open path the first dash of the pattern is stretched or shortened so that the line begins and ends with a
    /// full dash and shows the pattern at least once: a short mountain fold must not look like a cut.
    pub fn dashes(self, path: &BezPath) -> Option<Vec<f64>> {
        let pattern = self.pattern()?;
        let width = self.stroke().width;
        let (dash, rest) = pattern.split_first()?;
        let dash_in_widths = match single_open_length(path) {
            Some(length) => fitted_dash(length / width, *dash, rest.iter().sum()),
            None => Fitted { dash: *dash, scale: 1.0 },
        };
        let mut lengths = vec![dash_in_widths.dash * width];
        lengths.extend(rest.iter().map(|element| element * dash_in_widths.scale * width));
        Some(lengths)
    }
}

struct Fitted {
    dash: f64,
    scale: f64,
}

/// Fits `n` repeats of `dash + rest` and a closing dash into `length` (all in line widths).
fn fitted_dash(length: f64, dash: f64, rest: f64) -> Fitted {
    let repeats = ((length - dash) / (dash + rest)).round().max(1.0);
    let fitted = (length - repeats * rest) / (repeats + 1.0);
    // Two repeats or more never shorten the dash by much.
    if repeats > 1.0 || fitted >= LEAST_DASH {
        return Fitted { dash: fitted, scale: 1.0 };
    }
    // Too short for one full pattern: shrink everything alike.
    let scale = length / (rest + 2.0 * LEAST_DASH);
    Fitted { dash: LEAST_DASH * scale, scale }
}

/// The length of a path that is one open stroke; `None` when it is closed or in several pieces.
fn single_open_length(path: &BezPath) -> Option<f64> {
    let starts = path.elements().iter().filter(|element| matches!(element, PathEl::MoveTo(_))).count();
    let closed = path.elements().iter().any(|element| matches!(element, PathEl::ClosePath));
    let length: f64 = path.segments().map(|segment| segment.arclen(ARC_LENGTH_ACCURACY_MM)).sum();
    (starts == 1 && !closed && length > 0.0).then_some(length)
}

/// Accuracy of a path's length where dashes are fitted to it: far below a line width.
const ARC_LENGTH_ACCURACY_MM: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;

    fn line(length: f64) -> BezPath {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((length, 0.0));
        path
    }

    /// Element lengths: ISO 128-20 table of line elements.
    #[test]
    fn a_closed_valley_line_has_the_standard_elements() {
        let mut path = line(50.0);
        path.line_to((50.0, 50.0));
        path.close_path();
        assert_eq!(LineKind::Valley.dashes(&path), Some(vec![12.0 * 0.35, 3.0 * 0.35]));
    }

    #[test]
    fn an_open_dashed_line_ends_with_a_full_dash() {
        for length in [3.0, 6.0, 17.3, 40.0, 155.0] {
            for kind in [LineKind::Valley, LineKind::Mountain, LineKind::Centre, LineKind::Perforation] {
                let dashes = kind.dashes(&line(length)).unwrap();
                let period: f64 = dashes.iter().sum();
                let repeats = (length - dashes[0]) / period;
                assert!((repeats - repeats.round()).abs() < 1e-6, "{kind:?} {length}: {repeats}");
                assert!(repeats.round() >= 1.0);
            }
        }
    }

    #[test]
    fn long_lines_keep_close_to_the_standard_dash() {
        let dashes = LineKind::Valley.dashes(&line(150.0)).unwrap();
        assert!((dashes[0] - 4.2).abs() < 0.2, "{}", dashes[0]);
        assert!((dashes[1] - 1.05).abs() < 1e-9);
    }
}
