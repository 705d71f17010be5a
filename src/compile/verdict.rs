//! A changed design lowered and checked: does it still work?

use crate::assembly::{self, Assembly};
use crate::checks::{self, Outcome, Subject};
use crate::findings::{Findings, Say, Severity};
use crate::layers::{self, Card, Kept};
use crate::making;
use crate::meaning::design::Design;
use crate::motion::{self, Lowered, PoseState};
use crate::quantity::Units;
use std::collections::BTreeMap;
use std::sync::Arc;

/// An assembly with the findings that lowering and checking it gave.
pub struct Verdict {
    pub assembly: Assembly,
    /// The card in each pose of the assembly, in its order.
    pub states: Vec<PoseState>,
    /// The layers of each pose.
    pub cards: Vec<Card>,
    pub findings: Findings,
    /// What became of the claims, in the order of the design.
    pub claims: Vec<Outcome>,
}

/// Lowers and checks a design from its typed form on.
pub fn judge(design: &Design, units: Units, kept: &Kept) -> Verdict {
    let mut findings = Findings::speaking(Say { units });
    let mut assembly = assembly::assemble(design, &mut findings);
    let lowered = motion::lower_keeping(&assembly, Arc::clone(&kept.motion));
    let states = states(&mut assembly, &lowered);
    let cards: Vec<Card> = layers::cards(&assembly, &states, kept);
    let subject = Subject { assembly: &assembly, lowered: &lowered, states: &states, cards: &cards, kept };
    let mut order_of_making = Findings::speaking(Say { units });
    let (claims, ()) = rayon::join(
        || checks::run(&subject, &mut findings),
        || making::check(&assembly, &mut order_of_making),
    );
    findings.extend(order_of_making);
    findings.sort();
    Verdict { assembly, states, cards, findings, claims }
}

fn states(assembly: &mut Assembly, lowered: &Lowered) -> Vec<PoseState> {
    let stand = |pose: &assembly::Pose| motion::stand_lowered(assembly, lowered, &pose.name, &pose.values);
    let states: Vec<PoseState> = assembly.poses.iter().map(stand).collect();
    motion::join_pictures(assembly, &states);
    states
}

/// Whether [`judge`] finds an error that is not among those `before`. What is soonest known is asked first: most values that
/// are tried in a blank fail at the cut or at a claim of a size, long before a motion need be proven.
pub fn breaks(design: &Design, units: Units, kept: &Kept, before: &BTreeMap<&'static str, usize>) -> bool {
    let mut findings = Findings::speaking(Say { units });
    let mut assembly = assembly::assemble(design, &mut findings);
    let is_new = |findings: &Findings| new_error(before, findings).is_some();
    if is_new(&findings) {
        return true;
    }
    let lowered = motion::lower_keeping(&assembly, Arc::clone(&kept.motion));
    let sizes = |assembly: &Assembly, states: &[PoseState], asked| {
        let mut found = Findings::speaking(Say { units });
        let subject = Subject { assembly, lowered: &lowered, states, cards: &[], kept };
        checks::sizes(&subject, asked, &mut found);
        is_new(&found)
    };
    if sizes(&assembly, &[], checks::Asked::OfPieces) {
        return true;
    }
    let states = states(&mut assembly, &lowered);
    if sizes(&assembly, &states, checks::Asked::OfPoses) {
        return true;
    }
    making::check(&assembly, &mut findings);
    let cards: Vec<Card> = layers::cards(&assembly, &states, kept);
    let subject = Subject { assembly: &assembly, lowered: &lowered, states: &states, cards: &cards, kept };
    checks::run_until(&subject, &mut findings, is_new)
}

/// How many errors of each name there are.
pub fn errors(findings: &Findings) -> BTreeMap<&'static str, usize> {
    let mut count = BTreeMap::new();
    for finding in findings.list().iter().filter(|f| f.severity() == Severity::Error) {
        *count.entry(finding.name()).or_insert(0) += 1;
    }
    count
}

/// The first error that `after` has more of than `before`.
pub fn new_error<'a>(before: &BTreeMap<&'static str, usize>, after: &'a Findings) -> Option<&'a str> {
    let count = errors(after);
    let worse = |name: &&str| count.get(*name) > before.get(*name);
    after
        .list()
        .iter()
        .filter(|f| f.severity() == Severity::Error && worse(&f.name()))
        .map(|f| f.telling.message.as_str())
        .next()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::compile_text;
    use crate::meaning::Request;
    use crate::source::Memory;

    /// What is asked in another order comes to the same: of every design of the corpus, whose faults are of all kinds.
    #[test]
    fn a_design_breaks_where_its_verdict_has_an_error() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/corpus");
        let mut files: Vec<_> = std::fs::read_dir(folder)
            .expect("the corpus is there")
            .map(|f| f.expect("a file").path())
            .collect();
        files.sort();
        let (mut sound, mut broken) = (0, 0);
        for file in files {
            let text = std::fs::read_to_string(&file).expect("a text");
            let compiled =
                compile_text(&text, &Memory::default(), &Request::default()).expect("it is at hand");
            let (design, units) = (&compiled.design, compiled.design.units);
            let verdict = judge(design, units, &Kept::default());
            let has_errors = !errors(&verdict.findings).is_empty();
            let breaks = breaks(design, units, &Kept::default(), &BTreeMap::new());
            assert_eq!(breaks, has_errors, "{}", file.display());
            if breaks { broken += 1 } else { sound += 1 }
        }
        assert!(sound > 30 && broken > 60, "{sound} and {broken}");
    }
}
