//! Plica: a small declarative language, and its compiler, for folded and moving paper cards.
//!
//! A design is text; each room below turns one plain data type into the next and never looks back:
//!
//! ```text
//! text -> syntax tree -> design -> assembly -> findings
//!                                     |-> poses, nets, views, cut list, model
//! ```
//!
//! The rooms are listed in the order in which they may use one another: a room uses only rooms above it.
#![forbid(unsafe_code)]

pub mod source;
pub mod kept;
pub mod quantity;
pub mod findings;
pub mod geometry;
pub mod syntax;
pub mod meaning;
pub mod assembly;
pub mod motion;
pub mod layers;
pub mod stock;
pub mod checks;
pub mod making;
pub mod compile;
pub mod drawing;
pub mod output;
pub mod report;
pub mod editor;
pub mod commands;
