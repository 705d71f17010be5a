//! The words of a print as curves, in its box: as large as fits, line under line, each in the middle.

use kurbo::{Affine, BezPath};

use crate::assembly::{Face, Print};
use crate::geometry::Rect;

/// Line to line, and the first baseline, in ems.
const LINE_EMS: f64 = 1.25;
const BASELINE_EMS: f64 = 0.95;

/// Outline of a line of text, its baseline starting at the origin, for an em of 1 mm (y down), and its width.
pub type Lettering<'a> = &'a dyn Fn(&str) -> (BezPath, f64);

/// Every line as a path for the even-odd rule, in the piece's frame; on a back mirrored, so that it reads from behind.
pub fn lines(print: &Print, text: &str, lettering: Lettering) -> Vec<BezPath> {
    let area: Rect = print.area;
    let outlines: Vec<(BezPath, f64)> = text.lines().map(lettering).collect();
    let widest = outlines.iter().map(|(_, w)| *w).fold(0.01, f64::max);
    let em = (area.width() / widest).min(area.height() / (LINE_EMS * outlines.len().max(1) as f64));
    let middle = area.centre().x;
    let mirror = if print.face == Face::Back {
        Affine::new([-1.0, 0.0, 0.0, 1.0, 2.0 * middle, 0.0])
    } else {
        Affine::IDENTITY
    };
    let placed = |(n, (outline, width)): (usize, (BezPath, f64))| {
        let left = middle - width * em / 2.0;
        let base = area.min.y + em * (LINE_EMS * n as f64 + BASELINE_EMS);
        mirror * Affine::translate((left, base)) * Affine::scale(em) * outline
    };
    outlines.into_iter().enumerate().map(placed).collect()
}
