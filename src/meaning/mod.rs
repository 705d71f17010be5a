//! Names, kinds, units, evaluation, blanks, mechanisms, variants: from the tree to the typed [`design`]. Knows no
//! geometry.
//!
//! Stages inside the room, each in its own file: `gather` reads included files; `collect` enters every name into
//! scopes and writes out mechanisms and repeats; `evaluate` gives values on demand, so that the order of
//! declarations does not matter; `resolve` turns paths into what they name; the remaining files turn one kind of
//! statement each into its typed form. A name that could not be understood is *missing*: whatever depends on it is
//! left out in silence, so that one fault is one finding.

mod claims;
mod clauses;
mod collect;
pub mod design;
mod evaluate;
mod frames;
mod gather;
mod joints;
mod pieces;
pub mod measurements;
mod places;
mod poses;
mod resolve;
pub mod round;
mod stock;
mod world;

use std::path::PathBuf;

use crate::findings::Findings;
use crate::quantity::{Dimension, Exact, Units};
use crate::source::{Library, SourceMap, Span};
use crate::syntax::tree::Tree;
use design::Design;

/// What is asked of one run.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Request {
    /// The design's file; included files must lie in its folder or below.
    pub path: PathBuf,
    /// `--set name=value`, in order.
    pub set: Vec<(String, String)>,
    pub variant: Option<String>,
    /// Units to speak in; the design's own when absent.
    pub units: Option<Units>,
    /// Blanks, by where they stand, and values to be read in their place.
    pub filled: Vec<(Span, Exact, Dimension)>,
}

/// Reads a tree as a design. Never fails: what could not be understood is left out and reported.
pub fn understand(
    tree: &Tree,
    request: &Request,
    library: &dyn Library,
    sources: &mut SourceMap,
    sink: &mut Findings,
) -> Design {
    let gathered = gather::gather(tree, request, library, sources, sink);
    let folder = request.path.parent().map(PathBuf::from).unwrap_or_default();
    let mut world = world::World::new(library, folder, sink);
    world.filled =
        request.filled.iter().map(|(span, exact, dimension)| (*span, (*exact, *dimension))).collect();
    collect::collect(&mut world, tree, &gathered, request);
    world.understand_all();
    world.finish()
}
