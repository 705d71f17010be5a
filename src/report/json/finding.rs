//! Findings in the JSON report.

use super::{Place, number};
use crate::findings::{Edit, Finding, Label, Measured, Mend};
use crate::source::SourceMap;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct FindingForm {
    name: &'static str,
    severity: &'static str,
    message: String,
    place: Option<Place>,
    label: String,
    others: Vec<OtherForm>,
    why: Option<String>,
    help: Option<String>,
    measured: Vec<MeasuredForm>,
    mend: Option<MendForm>,
}

#[derive(Debug, Serialize)]
struct OtherForm {
    place: Option<Place>,
    label: String,
}

#[derive(Debug, Serialize)]
struct MeasuredForm {
    name: &'static str,
    value: Option<f64>,
    unit: &'static str,
}

#[derive(Debug, Serialize)]
struct MendForm {
    says: String,
    safe: bool,
    edits: Vec<EditForm>,
}

#[derive(Debug, Serialize)]
struct EditForm {
    place: Option<Place>,
    text: String,
}

impl FindingForm {
    pub fn of(finding: &Finding, sources: &SourceMap) -> Self {
        let telling = &finding.telling;
        Self {
            name: finding.name(),
            severity: finding.severity().word(),
            message: telling.message.clone(),
            place: Place::of(telling.place, sources),
            label: telling.label.clone(),
            others: telling.others.iter().map(|o| OtherForm::of(o, sources)).collect(),
            why: telling.why.clone(),
            help: telling.help.clone(),
            measured: telling.measured.iter().map(MeasuredForm::of).collect(),
            mend: finding.mend.as_ref().map(|m| MendForm::of(m, sources)),
        }
    }
}

impl OtherForm {
    fn of(label: &Label, sources: &SourceMap) -> Self {
        Self { place: Place::of(label.span, sources), label: label.text.clone() }
    }
}

impl MeasuredForm {
    fn of(measured: &Measured) -> Self {
        Self { name: measured.name, value: number(measured.value), unit: measured.unit }
    }
}

impl MendForm {
    fn of(mend: &Mend, sources: &SourceMap) -> Self {
        let edit = |e: &Edit| EditForm { place: Place::of(e.span, sources), text: e.text.clone() };
        Self { says: mend.says.clone(), safe: mend.safe, edits: mend.edits.iter().map(edit).collect() }
    }
}
