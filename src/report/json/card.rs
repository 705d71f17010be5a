//! The card itself in the JSON report: poses, moving joints, pieces to cut, what may be turned and what is to be
//! filled in.

use super::{Place, number};
use crate::assembly::{Assembly, Crease, Fold, Joint, JointKind, Piece, PieceKind, Reading};
use crate::checks::{Outcome, Standing};
use crate::geometry::{Point, Rect};
use crate::layers::Card;
use crate::meaning::design::{Adjust, Blank};
use crate::motion::PoseState;
use crate::quantity::Dimension;
use crate::source::SourceMap;
use serde::Serialize;

/// Size of the whole card in a pose; width across, height up, depth towards the viewer.
#[derive(Debug, Serialize)]
pub(super) struct PoseForm {
    name: String,
    /// Every joint can take its value and every loop closes.
    reached: bool,
    width_mm: Option<f64>,
    height_mm: Option<f64>,
    depth_mm: Option<f64>,
    /// Of a flat card, where it is thickest: paper, foam and pins.
    thickness_mm: Option<f64>,
    /// Widest gap left at a joint that folds bring together.
    gap_mm: Option<f64>,
    values: Vec<ValueForm>,
}

#[derive(Debug, Serialize)]
struct ValueForm {
    joint: String,
    value: Option<f64>,
    unit: &'static str,
}

/// A joint that slides or turns.
#[derive(Debug, Serialize)]
pub(super) struct JointForm {
    name: String,
    kind: &'static str,
    unit: &'static str,
    /// `None`: nothing stops it on this side.
    from: Option<f64>,
    to: Option<f64>,
    travel: Option<f64>,
    place: Option<Place>,
}

/// An `expect`, and what became of it.
#[derive(Debug, Serialize)]
pub(super) struct ClaimForm {
    claim: String,
    outcome: &'static str,
    /// Of a comparison: what was measured, and what it is compared with.
    found: Option<f64>,
    claimed: Option<f64>,
    unit: Option<&'static str>,
    place: Option<Place>,
}

#[derive(Debug, Serialize)]
pub(super) struct PieceForm {
    letter: String,
    name: String,
    kind: &'static str,
    paper: Option<String>,
    /// Cut size: the box of the outline.
    width_mm: Option<f64>,
    height_mm: Option<f64>,
    scores: Vec<ScoreForm>,
    place: Option<Place>,
}

/// A score; its ends are measured from the top left corner of the cut size, y downward.
#[derive(Debug, Serialize)]
struct ScoreForm {
    name: String,
    fold: &'static str,
    from_mm: [Option<f64>; 2],
    to_mm: [Option<f64>; 2],
    reading: Option<ReadingForm>,
}

/// How far a score lies from an edge, as it was written.
#[derive(Debug, Serialize)]
struct ReadingForm {
    mm: Option<f64>,
    from: &'static str,
}

#[derive(Debug, Serialize)]
pub(super) struct AdjustForm {
    name: String,
    value: Option<f64>,
    from: Option<f64>,
    to: Option<f64>,
    unit: &'static str,
    about: Option<String>,
    place: Option<Place>,
}

#[derive(Debug, Serialize)]
pub(super) struct BlankForm {
    place: Option<Place>,
    expected: Option<&'static str>,
    hint: Option<String>,
}

impl PoseForm {
    pub fn of(state: &PoseState, card: &Card, assembly: &Assembly) -> Self {
        let extent = state.extent(assembly);
        let moving = assembly.joints.iter().zip(&state.values);
        Self {
            name: state.name.clone(),
            reached: state.fault.is_none(),
            width_mm: number(extent.width),
            height_mm: number(extent.height),
            depth_mm: number(extent.depth),
            thickness_mm: card.thickest.as_ref().and_then(|t| number(t.mm)),
            gap_mm: number(state.gap_mm),
            values: moving.filter_map(|(joint, value)| ValueForm::of(joint, *value)).collect(),
        }
    }
}

impl ValueForm {
    fn of(joint: &Joint, value: f64) -> Option<Self> {
        let unit = match joint.kind {
            JointKind::Fold { .. } | JointKind::Pin { .. } => "deg",
            JointKind::Slide { .. } => "mm",
            JointKind::Fixed { .. } | JointKind::Tuck { .. } => return None,
        };
        Some(Self { joint: joint.name.clone(), value: number(value), unit })
    }
}

impl JointForm {
    pub fn of(joint: &Joint, sources: &SourceMap) -> Option<Self> {
        let free = (f64::NEG_INFINITY, f64::INFINITY);
        let (kind, unit, (from, to)) = match &joint.kind {
            JointKind::Slide { range, .. } => ("sliding", "mm", *range),
            JointKind::Pin { range, .. } => ("turning", "deg", range.unwrap_or(free)),
            JointKind::Fold { .. } | JointKind::Fixed { .. } | JointKind::Tuck { .. } => return None,
        };
        Some(Self {
            name: joint.name.clone(),
            kind,
            unit,
            from: number(from),
            to: number(to),
            travel: number(to - from),
            place: Place::of(joint.span, sources),
        })
    }
}

impl ClaimForm {
    pub fn of(outcome: &Outcome, sources: &SourceMap) -> Self {
        let (found, claimed, unit) = match outcome.measured {
            Some((found, claimed, dimension)) => (number(found), number(claimed), Some(dimension.unit())),
            None => (None, None, None),
        };
        let word = match outcome.standing {
            Standing::Holds => "holds",
            Standing::Fails => "fails",
            Standing::Unproven => "unproven",
            Standing::Told => "left",
        };
        let place = Place::of(outcome.span, sources);
        Self { claim: outcome.said.clone(), outcome: word, found, claimed, unit, place }
    }
}

impl PieceForm {
    pub fn of(piece: &Piece, assembly: &Assembly, sources: &SourceMap) -> Self {
        Self {
            letter: piece.letter.clone(),
            name: piece.name.clone(),
            kind: match piece.kind {
                PieceKind::Cut => "cut",
                PieceKind::Strap => "strap",
                PieceKind::Mat => "mat",
            },
            paper: assembly.papers.get(piece.paper).map(|p| p.name.clone()),
            width_mm: number(piece.bounds.width()),
            height_mm: number(piece.bounds.height()),
            scores: piece.creases.iter().map(|c| ScoreForm::of(c, &piece.bounds)).collect(),
            place: Place::of(piece.span, sources),
        }
    }
}

impl ScoreForm {
    fn of(crease: &Crease, bounds: &Rect) -> Self {
        let from_corner = |p: Point| [number(p.x - bounds.min.x), number(p.y - bounds.min.y)];
        Self {
            name: crease.name.clone(),
            fold: match crease.fold {
                Fold::Valley => "valley",
                Fold::Mountain => "mountain",
            },
            from_mm: from_corner(crease.from),
            to_mm: from_corner(crease.to),
            reading: crease.reading.as_ref().map(ReadingForm::of),
        }
    }
}

impl ReadingForm {
    fn of(reading: &Reading) -> Self {
        Self { mm: number(reading.written.value), from: reading.from.word() }
    }
}

impl AdjustForm {
    pub fn of(adjust: &Adjust, sources: &SourceMap) -> Self {
        Self {
            name: adjust.name.clone(),
            value: number(adjust.value.value()),
            from: number(adjust.from.value()),
            to: number(adjust.to.value()),
            unit: unit(adjust.value.dimension),
            about: adjust.about.clone(),
            place: Place::of(adjust.span, sources),
        }
    }
}

impl BlankForm {
    pub fn of(blank: &Blank, sources: &SourceMap) -> Self {
        Self {
            place: Place::of(blank.span, sources),
            expected: blank.expected.map(dimension),
            hint: blank.hint.clone(),
        }
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
