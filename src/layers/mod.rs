//! Flat states: which sheet lies above which, how thick the stack is, what is seen of it, and whether a crease
//! pattern folds flat at all.
//!
//! Positions come from `motion`; polygons and their overlay from `geometry`. "Above" is towards +z, the side the
//! front of the resting body points to. Nothing here knows the language or the wording of findings.

mod card;
mod edges;
mod every;
mod flat;
mod group;
pub mod hidden;
mod island;
mod kept;
mod leaves;
mod order;
mod rules;
mod stack;
mod tucked;
mod vertex;

pub use card::{
    Card, CardSeen, Contradiction, Thickest, Undecided, card, cards, contradiction, contradictions,
};
pub use edges::{EdgeOn, EdgesOn, edges_on};
pub use every::{Play, holds_everywhere};
pub use flat::{FlatFace, FlatJoint, FlatState, JointFold, NotFlat};
pub use kept::Kept;
pub use leaves::CardLeaf;
pub use order::{Fact, Layering, Order, Orders, RuleCounts};
pub use stack::{Seen, Side, Stack};
pub use tucked::{AtOpening, at_opening, opening_line};
pub use vertex::{crimps_flat, flat_patterns, is_kawasaki, is_maekawa, kawasaki_excess};
