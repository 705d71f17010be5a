//! The design as a ruler cuts it, lowered and checked again.

use super::Compiled;
use crate::assembly::{self, Assembly};
use crate::checks::{self, Subject};
use crate::findings::{Findings, Say, Severity};
use crate::meaning::round;
use crate::motion;
use crate::quantity::{Exact, Units};

/// A rounded assembly and what became wrong by rounding.
pub struct Rounded {
    pub assembly: Assembly,
    pub units: Units,
    /// mm.
    pub step: f64,
    pub faults: Vec<String>,
}

/// Rounds to the steps of one ruler: the design's grid for inches, half a millimetre for metric.
pub fn rounded(compiled: &Compiled, units: Units) -> Rounded {
    let grid = compiled.design.grid.map(|g| g.exact);
    let step = match units {
        Units::Inch => grid.filter(|_| compiled.design.units == Units::Inch).or(Exact::ratio(127, 80)),
        Units::Mm => grid.filter(|_| compiled.design.units == Units::Mm).or(Exact::ratio(1, 2)),
    };
    let step = step.unwrap_or(Exact::ONE);
    let design = round::rounded(&compiled.design, step);
    let mut findings = Findings::speaking(Say { units });
    let assembly = assembly::assemble(&design, &mut findings);
    let lowered = motion::lower(&assembly);
    let states: Vec<motion::PoseState> = assembly
        .poses
        .iter()
        .map(|p| motion::stand_lowered(&assembly, &lowered, &p.name, &p.values))
        .collect();
    checks::run(&Subject { assembly: &assembly, states: &states }, &mut findings);
    findings.sort();
    let count = |list: &Findings, name: &str| list.list().iter().filter(|f| f.name() == name).count();
    let faults = findings
        .list()
        .iter()
        .filter(|f| {
            f.severity() == Severity::Error
                && count(&findings, f.name()) > count(&compiled.findings, f.name())
        })
        .map(|f| f.telling.message.clone())
        .collect();
    Rounded { assembly, units, step: step.to_f64(), faults }
}
