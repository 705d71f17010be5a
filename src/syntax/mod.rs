//! Text to an owned tree that keeps comments; recovery; tidying. Knows no units, names or geometry.

pub mod tree;
