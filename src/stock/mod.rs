//! Paper as stock: what a card weighs and how its pieces come out of sheets.

mod mass;
pub mod plan;

pub use mass::{envelope_adds, mass, mass_of};
