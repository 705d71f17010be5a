//! From the typed design to the assembly: pieces with their panels, joints that place them, poses, claims. Everything
//! keeps the span of text it came from; nothing here knows the syntax.
//!
//! | file | holds |
//! |---|---|
//! | `model`, [`claims`] | what comes out: plain data |
//! | `papers` | calipers and colours |
//! | `outline`, `svg_outline` | the outline of a shape |
//! | `creases`, `cutouts`, `tabs`, `panels`, `piece` | a cut piece and the panels it falls into |
//! | `straps`, `mats` | pieces that are worked out from another |
//! | `built` | a piece on its own and its features |
//! | `place` | clauses to a place |
//! | `lowering`, `joints`, `glue`, `moving`, `rest` | pieces numbered and joined |
//! | `prints`, `poses`, `expect` | what is printed, posed and claimed |

mod built;
pub mod claims;
mod creases;
mod cutouts;
mod expect;
mod glue;
mod joints;
mod lowering;
mod mats;
mod model;
mod moving;
mod outline;
mod panels;
mod papers;
mod piece;
mod place;
mod poses;
mod prints;
mod rest;
mod straps;
mod svg_outline;
mod tabs;

pub use glue::glue_strips;
pub use model::*;
pub use papers::estimated_caliper;
pub use straps::strip_length;

use crate::findings::Findings;
use crate::meaning::design::Design;

/// Lowers a design. Never fails: what could not be made is left out, reported, and named in [`Assembly::missing`].
pub fn assemble(design: &Design, sink: &mut Findings) -> Assembly {
    let mut lowering = lowering::Lowering::new(design, sink);
    lowering.pieces();
    lowering.joints();
    lowering.prints();
    lowering.poses();
    lowering.claims();
    lowering.finish()
}
