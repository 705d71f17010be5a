//! Text to an owned tree that keeps comments; recovery; tidying. Knows no units, names or geometry.

mod build;
pub mod parse;
mod scan;
pub mod tree;

pub use parse::parse;
