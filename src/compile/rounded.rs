//! The design as a ruler cuts it, lowered and checked again.

use super::Compiled;
use super::verdict::{errors, judge};
use crate::assembly::Assembly;
use crate::findings::Severity;
use crate::meaning::round;
use crate::quantity::{Exact, Units};

/// A rounded assembly and what became wrong by rounding.
pub struct Rounded {
    pub assembly: Assembly,
    pub units: Units,
    /// mm.
    pub step: f64,
    pub faults: Vec<String>,
}

/// Rounds to the steps of one ruler: the design's grid in its own units; else 1/16 in or 0.5 mm.
pub fn rounded(compiled: &Compiled, units: Units) -> Rounded {
    let own = compiled.design.grid.filter(|_| compiled.design.units == units).map(|g| g.exact);
    let usual = match units {
        Units::Inch => Exact::ratio(127, 80),
        Units::Mm => Exact::ratio(1, 2),
    };
    let step = own.or(usual).unwrap_or(Exact::ONE);
    let verdict = judge(&round::rounded(&compiled.design, step), units, &compiled.kept);
    let (before, after) = (errors(&compiled.findings), errors(&verdict.findings));
    let faults = verdict
        .findings
        .list()
        .iter()
        .filter(|f| f.severity() == Severity::Error && after.get(f.name()) > before.get(f.name()))
        .map(|f| f.telling.message.clone())
        .collect();
    Rounded { assembly: verdict.assembly, units, step: step.to_f64(), faults }
}
