//! Everything that is known of a design as JSON, for programs. The form is `check.schema.json` beside this folder.
//!
//! Numbers are in mm, degrees, grams and g/m²; lines and columns count from 1 (columns in characters), offsets are
//! bytes from the start of the file.

mod asked;
mod card;
mod finding;

use crate::compile::{Compiled, Extra};
use crate::quantity::Units;
use crate::source::{LibraryError, SourceFile, SourceMap, Span};
use crate::stock;
use asked::{AnswerForm, EdgesForm, RoomForm, TogetherForm};
use card::{AdjustForm, BlankForm, ClaimForm, JointForm, PieceForm, PoseForm};
use finding::FindingForm;
use serde::Serialize;

/// The JSON Schema (draft 2020-12) of a report.
pub const SCHEMA: &str = include_str!("../check.schema.json");
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
    poses: Vec<PoseForm>,
    joints: Vec<JointForm>,
    claims: Vec<ClaimForm>,
    pieces: Vec<PieceForm>,
    mass_g: Option<f64>,
    variants: Vec<String>,
    adjusts: Vec<AdjustForm>,
    blanks: Vec<BlankForm>,
    missing: Vec<String>,
    /// Room for the hand, least first, when it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    hand: Option<Vec<RoomForm>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hand_together: Option<TogetherForm>,
    /// Values that fit the blanks, when they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    answers: Option<Vec<AnswerForm>>,
    /// Where edges fall on a face, by pose, when they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    edges: Option<Vec<EdgesForm>>,
}

/// The report of one design under the name it was asked for by.
pub fn design(file: &str, compiled: Result<&Compiled, &LibraryError>, extra: &Extra) -> Design {
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
            Design { file: file.into(), verdict, problem: None, content: Some(content(compiled, extra)) }
        }
    }
}

fn content(compiled: &Compiled, extra: &Extra) -> Content {
    let Compiled { sources, design, assembly, states, cards, claims, findings, .. } = compiled;
    Content {
        title: design.title.clone(),
        units: match design.units {
            Units::Mm => "mm",
            Units::Inch => "in",
        },
        findings: findings.list().iter().map(|f| FindingForm::of(f, sources)).collect(),
        poses: states.iter().zip(cards).map(|(s, c)| PoseForm::of(s, c, assembly)).collect(),
        joints: assembly.joints.iter().filter_map(|j| JointForm::of(j, sources)).collect(),
        claims: claims.iter().map(|c| ClaimForm::of(c, sources)).collect(),
        pieces: assembly.pieces.iter().map(|p| PieceForm::of(p, assembly, sources)).collect(),
        mass_g: stock::mass(assembly).ok().and_then(number),
        variants: design.variants.clone(),
        adjusts: design.adjusts.iter().map(|a| AdjustForm::of(a, sources)).collect(),
        blanks: design.blanks.iter().map(|b| BlankForm::of(b, sources)).collect(),
        missing: assembly.missing.clone(),
        hand: extra.hand.as_ref().map(|h| h.rooms.iter().map(|r| RoomForm::of(r, sources)).collect()),
        hand_together: extra.hand.as_ref().and_then(|h| h.together.as_ref()).map(TogetherForm::of),
        answers: extra
            .answers
            .as_ref()
            .filter(|(give, _)| *give)
            .map(|(_, answers)| answers.iter().map(|a| AnswerForm::of(a, sources)).collect()),
        edges: extra.edges.as_ref().and_then(|e| e.as_ref().ok()).map(|e| EdgesForm::all(e, assembly)),
    }
}

/// Where something was written.
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

impl Place {
    fn of(span: Span, sources: &SourceMap) -> Option<Self> {
        let file = sources.file_at(span.start)?;
        let local = file.local(span);
        Some(Self {
            file: file.name.clone(),
            start: Position::of(file, local.start),
            end: Position::of(file, local.end),
        })
    }
}

impl Position {
    fn of(file: &SourceFile, offset: usize) -> Self {
        let at = file.place(file.base + offset as u32);
        Self { line: at.line, column: at.column, offset }
    }
}

/// A number to the millionth, so that the last bits of a computation do not make two reports differ. `None` (JSON
/// `null`) for what is not finite.
fn number(value: f64) -> Option<f64> {
    let rounded = (value * 1e6).round() / 1e6;
    // Adding zero turns -0 into 0.
    value.is_finite().then_some(if rounded.is_finite() { rounded + 0.0 } else { value })
}
