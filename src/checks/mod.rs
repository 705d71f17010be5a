//! The checks of a finished assembly: one file per family, and the registry that runs them.
//!
//! A check reads the assembly and the positions of its poses, and nothing before them. It measures and reports a typed
//! fault; the words are the catalogue's. A check keeps quiet where it would have to guess: when a part it needs is
//! missing, or when it would only repeat in other words what another check has found.

mod by_hand;
mod claims;
pub mod closed;
mod cutting;
mod direction;
pub mod envelope;
mod facts;
mod folding;
mod joints;
mod motion;
pub mod post;
mod prints;
mod standing;
mod stuck;
mod sums;
mod through;
mod tucks;
mod turning;
mod way;

use claims::LAYERS_BLOCK;
pub use claims::{Asked, Outcome, Standing};

use crate::assembly::Assembly;
use crate::findings::{COMES_OUT, Finding, Findings, Label};
use crate::layers::{Card, Kept};
use crate::motion::{Lowered, PoseState};
use crate::source::Span;

/// What is checked.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    pub assembly: &'a Assembly,
    /// The same as a linkage.
    pub lowered: &'a Lowered,
    /// The poses of the assembly in their order, positions worked out.
    pub states: &'a [PoseState],
    /// The layers of each pose.
    pub cards: &'a [Card],
    /// What is known already.
    pub kept: &'a Kept,
}

/// Every check but the claims, in the order of the families: some leave out what one before them has told.
const REGISTRY: &[fn(&Subject, &mut Findings)] = &[
    cutting::check,
    joints::check,
    folding::check,
    envelope::check,
    post::check,
    prints::check,
    motion::check,
    through::check,
    tucks::check,
    by_hand::check,
    standing::check,
];

/// Runs every check; findings come in no particular order. Gives what became of the claims, in the order of the design.
pub fn run(subject: &Subject, sink: &mut Findings) -> Vec<Outcome> {
    let mut claims = Findings::speaking(sink.say);
    let (_, outcomes) = rayon::join(
        || REGISTRY.iter().for_each(|check| check(subject, sink)),
        // The proofs of motions take the longest, and ask nothing of the other checks.
        || claims::check(subject, &mut claims),
    );
    claims.retain(|claim| !told_against(claim, sink.list()));
    stops_once(sink, &mut claims);
    sink.extend(claims);
    outcomes
}

/// As [`run`], one check after the other until what is found is enough; whether it was.
pub fn run_until(subject: &Subject, sink: &mut Findings, is_enough: impl Fn(&Findings) -> bool) -> bool {
    for check in REGISTRY {
        check(subject, sink);
        if is_enough(sink) {
            return true;
        }
    }
    let mut claims = Findings::speaking(sink.say);
    claims::check(subject, &mut claims);
    claims.retain(|claim| !told_against(claim, sink.list()));
    stops_once(sink, &mut claims);
    sink.extend(claims);
    is_enough(sink)
}

/// Those claims alone that compare sizes, masses and ways: what they find is among what [`run`] finds.
pub fn sizes(subject: &Subject, asked: Asked, sink: &mut Findings) {
    claims::check_sizes(subject, asked, sink);
}

/// Claims that a slide without a stop keeps from holding say all that a caution of it says, and the first of them says it
/// for the others.
fn stops_once(sink: &mut Findings, claims: &mut Findings) {
    let by_claims = |claim: &Finding| matches!(claim.name(), "claim-fails" | "cannot-prove-yet");
    let cautions: Vec<Finding> = sink.list().iter().filter(|f| f.name() == "no-stop").cloned().collect();
    for caution in cautions {
        let slide = caution.place();
        let comes_out = |label: &Label| label.span == slide && label.text == COMES_OUT;
        let of_slide = |claim: &Finding| by_claims(claim) && claim.telling.others.iter().any(comes_out);
        let mut places: Vec<Span> =
            claims.list().iter().filter(|c| of_slide(c)).map(Finding::place).collect();
        places.sort();
        let Some((&first, others)) = places.split_first() else { continue };
        sink.retain(|fault| fault.name() != "no-stop" || fault.place() != slide);
        claims.retain(|claim| !of_slide(claim) || claim.place() == first);
        if let Some(claim) = claims.list_mut().iter_mut().find(|claim| of_slide(claim)) {
            claim.telling.help = caution.telling.help;
            let nor = |&span: &Span| Label { span, text: "nor can this be relied on".into() };
            claim.telling.others.extend(others.iter().map(nor));
        }
    }
}

/// A motion that fails by what is told already: its layers get in each other's way where a part comes against what is
/// stuck beside its way or is held by glue on it, which is told with what would clear it, or where it grows wider than
/// its slot before its stop; or two parts run into each other that go through each other in a pose as well.
fn told_against(claim: &Finding, told: &[Finding]) -> bool {
    let underlines = |finding: &Finding, span| finding.telling.others.iter().any(|label| label.span == span);
    claim.name() == "claim-fails"
        && told.iter().any(|fault| match fault.name() {
            "comes-against" | "glue-on-path" => {
                let carrier = fault.telling.others.last();
                underlines(claim, fault.telling.place)
                    && carrier.is_some_and(|carrier| underlines(claim, carrier.span))
            }
            "stop-beyond-shoulder" => {
                let place = fault.telling.place;
                let holds = |label: &Label| label.span.start <= place.start && place.end <= label.span.end;
                claim.telling.message.contains(LAYERS_BLOCK) && claim.telling.others.iter().any(holds)
            }
            "parts-cross" => {
                let labels = &claim.telling.others;
                labels.len() > 1 && labels.iter().all(|label| underlines(fault, label.span))
            }
            _ => false,
        })
}
