//! What thickness and turning take: loops, bends, nested folds, discs and swinging pieces. Millimetres, degrees,
//! seconds; pure functions.

use std::f64::consts::{PI, TAU};

/// What the thickness of bar and strap adds to a strap's loop round a flat bar: twice the bar's thickness, and two half
/// turns of the strap's middle surface about its inner one.
pub fn loop_allowance(bar_thickness: f64, strap_thickness: f64) -> f64 {
    2.0 * bar_thickness + PI * strap_thickness
}

/// Length of a strap looped round a flat bar, with overlap for glue and room to move.
pub fn strap_loop(
    bar_width: f64,
    bar_thickness: f64,
    strap_thickness: f64,
    overlap: f64,
    clearance: f64,
) -> f64 {
    2.0 * bar_width + overlap + loop_allowance(bar_thickness, strap_thickness) + clearance
}

/// Length of the neutral line of a bend: angle times (inner radius + K · thickness), the sheet-metal bend allowance.
pub fn bend_allowance(angle: f64, inner_radius: f64, thickness: f64, k_factor: f64) -> f64 {
    angle.to_radians() * (inner_radius + k_factor * thickness)
}

/// How much each further sheet of a nest of equal half-folded sheets is set back at its free edge: least with sharp
/// folds, most with concentric bends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Creep {
    pub sharp: f64,
    pub concentric: f64,
}

pub fn creep(thickness: f64) -> Creep {
    Creep { sharp: thickness, concentric: PI * thickness / 2.0 }
}

/// A disc behind an edge that shows part of it for the thumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThumbEdge {
    /// How far the disc stands out.
    pub protrusion: f64,
    /// Length of the edge along the disc; 0 when the disc does not reach it.
    pub chord: f64,
}

pub fn thumb_edge(radius: f64, centre_to_edge: f64) -> ThumbEdge {
    let chord = 2.0 * libm::sqrt((radius * radius - centre_to_edge * centre_to_edge).max(0.0));
    ThumbEdge { protrusion: radius - centre_to_edge, chord }
}

/// Period of small swings of a rectangle about a pivot `above` its centre, with gravity in mm/s² (physical pendulum,
/// `2π √(I / (m g d))`, the parallel-axis theorem for `I`); `None` when the pivot is not above the centre.
pub fn swing_period(width: f64, height: f64, above: f64, gravity: f64) -> Option<f64> {
    if above <= 0.0 || gravity <= 0.0 {
        return None;
    }
    let inertia = (width * width + height * height) / 12.0 + above * above;
    Some(TAU * libm::sqrt(inertia / (gravity * above)))
}
