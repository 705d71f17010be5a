//! A changed design lowered and checked: does it still work?

use crate::assembly::{self, Assembly};
use crate::checks::{self, Outcome, Subject};
use crate::findings::{Findings, Say, Severity};
use crate::layers::{self, Card, Kept};
use crate::making;
use crate::meaning::design::Design;
use crate::motion::{self, PoseState};
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
    let stand = |pose: &assembly::Pose| motion::stand_lowered(&assembly, &lowered, &pose.name, &pose.values);
    let states: Vec<PoseState> = assembly.poses.iter().map(stand).collect();
    motion::join_pictures(&mut assembly, &states);
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
