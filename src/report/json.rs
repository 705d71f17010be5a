//! Everything that is known of a design as JSON, for programs. The form is `check.schema.json` beside this file.
//!
//! Numbers are in mm, degrees, grams and g/m²; lines and columns count from 1 (columns in characters), offsets are
//! bytes from the start of the file.

use crate::compile::Compiled;
use crate::findings::{Edit, Finding, Label, Mend, Severity};
use crate::meaning::design::{Adjust, Blank};
use crate::quantity::{Dimension, Units};
use crate::source::{LibraryError, SourceFile, SourceMap, Span};
use serde::Serialize;

/// The JSON Schema (draft 2020-12) of a report.
pub const SCHEMA: &str = include_str!("check.schema.json");
/// Goes up when a program that reads reports would have to change.
const FORM: u32 = 1;

#[derive(Debug, Serialize)]
struct Document {
    form: u32,
    compiler: String,
    designs: Vec<Design>,
}

/// The report of several designs, with a line break at the end.
pub fn document(designs: Vec<Design>) -> String {
    let compiler = format!("plica {}", env!("CARGO_PKG_VERSION"));
    let document = Document { form: FORM, compiler, designs };
    // Plain data with text keys always has a JSON form.
    serde_json::to_string_pretty(&document).map_or_else(|_| String::new(), |text| text + "\n")
}

/// One design of a report.
#[derive(Debug, Serialize)]
pub struct Design {
    file: String,
    verdict: Verdict,
    /// Why the file could not be read.
    #[serde(skip_serializing_if = "Option::is_none")]
    problem: Option<String>,
    #[serde(flatten)]
    content: Option<Content>,
}

#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "lowercase")]
enum Verdict {
    Sound,
    Faulty,
    Unread,
}

#[derive(Debug, Serialize)]
struct Content {
    title: String,
    units: &'static str,
    findings: Vec<FindingForm>,
    variants: Vec<String>,
    adjusts: Vec<AdjustForm>,
    blanks: Vec<BlankForm>,
}

#[derive(Debug, Serialize)]
struct FindingForm {
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

#[derive(Debug, Serialize)]
struct Place {
    file: String,
    start: Position,
    end: Position,
}

#[derive(Debug, Serialize)]
struct Position {
    line: u32,
    column: u32,
    offset: usize,
}

#[derive(Debug, Serialize)]
struct AdjustForm {
    name: String,
    value: Option<f64>,
    from: Option<f64>,
    to: Option<f64>,
    unit: &'static str,
    about: Option<String>,
    place: Option<Place>,
}

#[derive(Debug, Serialize)]
struct BlankForm {
    place: Option<Place>,
    expected: Option<&'static str>,
    hint: Option<String>,
}

/// The report of one design under the name it was asked for by.
pub fn design(file: &str, compiled: Result<&Compiled, &LibraryError>) -> Design {
    match compiled {
        Err(error) => Design {
            file: file.into(),
            verdict: Verdict::Unread,
            problem: Some(error.to_string()),
            content: None,
        },
        Ok(compiled) => {
            let faulty = compiled.findings.has_errors();
            let verdict = if faulty { Verdict::Faulty } else { Verdict::Sound };
            Design { file: file.into(), verdict, problem: None, content: Some(content(compiled)) }
        }
    }
}

fn content(compiled: &Compiled) -> Content {
    let sources = &compiled.sources;
    let design = &compiled.design;
    Content {
        title: design.title.clone(),
        units: match design.units {
            Units::Mm => "mm",
            Units::Inch => "in",
        },
        findings: compiled.findings.list().iter().map(|f| finding(f, sources)).collect(),
        variants: design.variants.clone(),
        adjusts: design.adjusts.iter().map(|a| adjust(a, sources)).collect(),
        blanks: design.blanks.iter().map(|b| blank(b, sources)).collect(),
    }
}

fn finding(finding: &Finding, sources: &SourceMap) -> FindingForm {
    let telling = &finding.telling;
    let measured = telling.measured.iter();
    FindingForm {
        name: finding.name(),
        severity: match finding.severity() {
            Severity::Error => "error",
            Severity::Caution => "caution",
            Severity::Note => "note",
        },
        message: telling.message.clone(),
        place: place(telling.place, sources),
        label: telling.label.clone(),
        others: telling.others.iter().map(|o| other(o, sources)).collect(),
        why: telling.why.clone(),
        help: telling.help.clone(),
        measured: measured
            .map(|m| MeasuredForm { name: m.name, value: number(m.value), unit: m.unit })
            .collect(),
        mend: finding.mend.as_ref().map(|m| mend(m, sources)),
    }
}

fn other(label: &Label, sources: &SourceMap) -> OtherForm {
    OtherForm { place: place(label.span, sources), label: label.text.clone() }
}

fn mend(mend: &Mend, sources: &SourceMap) -> MendForm {
    let edit = |e: &Edit| EditForm { place: place(e.span, sources), text: e.text.clone() };
    MendForm { says: mend.says.clone(), safe: mend.safe, edits: mend.edits.iter().map(edit).collect() }
}

fn place(span: Span, sources: &SourceMap) -> Option<Place> {
    let file = sources.file_at(span.start)?;
    let local = file.local(span);
    Some(Place {
        file: file.name.clone(),
        start: position(file, local.start),
        end: position(file, local.end),
    })
}

fn position(file: &SourceFile, offset: usize) -> Position {
    let at = file.place(file.base + offset as u32);
    Position { line: at.line, column: at.column, offset }
}

fn adjust(adjust: &Adjust, sources: &SourceMap) -> AdjustForm {
    AdjustForm {
        name: adjust.name.clone(),
        value: number(adjust.value.value()),
        from: number(adjust.from.value()),
        to: number(adjust.to.value()),
        unit: unit(adjust.value.dimension),
        about: adjust.about.clone(),
        place: place(adjust.span, sources),
    }
}

fn blank(blank: &Blank, sources: &SourceMap) -> BlankForm {
    BlankForm {
        place: place(blank.span, sources),
        expected: blank.expected.map(dimension),
        hint: blank.hint.clone(),
    }
}

fn dimension(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Number => "number",
        Dimension::Length => "length",
        Dimension::Area => "area",
        Dimension::Angle => "angle",
        Dimension::Grammage => "grammage",
        Dimension::Mass => "mass",
    }
}

fn unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Number => "",
        Dimension::Length => "mm",
        Dimension::Area => "mm²",
        Dimension::Angle => "deg",
        Dimension::Grammage => "g/m²",
        Dimension::Mass => "g",
    }
}

/// A number to the millionth, so that the last bits of a computation do not make two reports differ. `None` (JSON
/// `null`) for what is not finite.
fn number(value: f64) -> Option<f64> {
    let rounded = (value * 1e6).round() / 1e6;
    // Adding zero turns -0 into 0.
    value.is_finite().then_some(if rounded.is_finite() { rounded + 0.0 } else { value })
}
