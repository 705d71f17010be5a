//! Text to an owned tree that keeps comments; recovery; tidying. Knows no units, names or geometry.

mod build;
pub mod parse;
mod recover;
mod scan;
pub mod tidy;
pub mod tree;
pub mod words;

pub use parse::parse;
pub use tidy::{LINE, tidy};
