//! The whole pipeline in one call, the units it speaks in, and the trial of mends.
//!
//! Knows how the stages join, and nothing of how a result is drawn or printed.

mod blanks;
mod edges;
mod hand;
mod mends;
pub mod patch;
mod rounded;
mod units;
mod variants;
mod verdict;

pub use blanks::{Answer, answers};
pub use edges::{Edges, NoSuchFace, edges};
pub use hand::{Hand, PRECISION_MM, Room, Together, WIDEST_MM, hand};
pub use mends::{safe_edits, try_mends};
pub use rounded::{Rounded, rounded};
pub use variants::variants;

use crate::assembly::Assembly;
use crate::checks::Outcome;
use crate::findings::{Findings, Say};
use crate::layers::{Card, Kept};
use crate::meaning::design::Design;
use crate::meaning::{self, Request};
use crate::motion::PoseState;
use crate::source::{Library, LibraryError, SourceMap};
use crate::syntax::{self, tree::Tree};
use std::sync::Arc;

/// Everything one run knows of a design; findings are in file order.
#[derive(Debug, Default)]
pub struct Compiled {
    /// The design's own text comes first, then what it includes.
    pub sources: SourceMap,
    pub tree: Tree,
    pub design: Design,
    pub assembly: Assembly,
    /// The card in each pose of the assembly, in its order.
    pub states: Vec<PoseState>,
    /// The layers of each pose.
    pub cards: Vec<Card>,
    /// What became of the claims, in the order of the design.
    pub claims: Vec<Outcome>,
    pub findings: Findings,
    /// What was worked out on the way and holds for other texts too: for the next edit, and for trials.
    pub kept: Arc<Kept>,
}

/// What a run was asked beyond findings.
#[derive(Debug, Clone, Default)]
pub struct Extra {
    /// How far the hand may be off.
    pub hand: Option<Hand>,
    /// Answers for the blanks, and whether to give them away.
    pub answers: Option<(bool, Vec<Answer>)>,
    /// Where edges fall on a face in every pose.
    pub edges: Option<Result<Edges, NoSuchFace>>,
}

/// Reads and compiles the design of a request, without trying mends (see [`try_mends`]). Faults of the design are
/// findings; an error means that the file itself could not be read.
pub fn compile(library: &dyn Library, request: &Request) -> Result<Compiled, LibraryError> {
    let text = library.text(&request.path)?;
    compile_text(&text, library, request)
}

/// As [`compile`], with the text of the design at hand; the library is asked for what it includes.
pub fn compile_text(text: &str, library: &dyn Library, request: &Request) -> Result<Compiled, LibraryError> {
    compile_with(text, library, request, Arc::default())
}

/// As [`compile_text`], of a text much like one that was compiled before: what the change leaves as it was is not worked
/// out again. The result is the same as without.
pub fn compile_after(
    before: &Compiled,
    text: &str,
    library: &dyn Library,
    request: &Request,
) -> Result<Compiled, LibraryError> {
    before.kept.turn();
    compile_with(text, library, request, Arc::clone(&before.kept))
}

fn compile_with(
    text: &str,
    library: &dyn Library,
    request: &Request,
    kept: Arc<Kept>,
) -> Result<Compiled, LibraryError> {
    let mut sources = SourceMap::default();
    let name = request.path.to_string_lossy().replace('\\', "/");
    let too_large = LibraryError::TooLarge { bytes: text.len() as u64, limit: u64::from(u32::MAX) };
    sources.add(&name, text).ok_or(too_large)?;
    let speak = request.units.unwrap_or_else(|| units::of_text(text));
    let mut findings = Findings::speaking(Say { units: speak });
    let tree = syntax::parse(text, 0, &mut findings);
    let design = meaning::understand(&tree, request, library, &mut sources, &mut findings);
    let verdict = verdict::judge(&design, speak, &kept);
    findings.extend(verdict.findings);
    findings.sort();
    Ok(Compiled {
        sources,
        tree,
        design,
        assembly: verdict.assembly,
        states: verdict.states,
        cards: verdict.cards,
        claims: verdict.claims,
        findings,
        kept,
    })
}
