//! Lengths, angles, grammage: exact values, their reading and printing, and every tolerance.
//!
//! Knows nothing of text positions. Values are exact rationals in base units (mm, mm², degrees, g/m², g) until
//! geometry starts; from then on they are `f64` in the same units.

mod dimension;
mod exact;
mod print;
pub mod standard;
pub mod tolerance;
mod unit;

pub use dimension::Dimension;
pub use exact::{Exact, Rounding};
pub use print::{
    Compared, Units, say_angle, say_area, say_compared, say_length, say_mass, say_number, say_thickness,
    source_angle, source_length,
};
pub use unit::{Grade, Unit};
