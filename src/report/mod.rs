//! Findings and results as people and programs read them: the terminal report, one line each, JSON.
//!
//! Knows the data it renders and nothing of how it came about. [`terminal`] alone speaks to the diagnostic renderer.

mod excerpt;
pub mod asked;
pub mod json;
pub mod line;
mod look;
pub mod terminal;
mod text;

pub use look::{Colour, Look, Style, Surroundings};
pub use text::{ascii, printable, wrap};
