//! Claims in terms of the assembly: what `expect` statements ask of it. Values are in base units (mm, mm², degrees,
//! g/m², g). A claim about a part that is missing is absent.

use super::model::{JointId, PanelId, PieceId, Written};
use crate::geometry::{Point, Segment};
use crate::quantity::Dimension;
use crate::source::Span;

pub use crate::meaning::design::{Arithmetic, Comparison};

/// Index into [`Assembly::poses`](super::Assembly::poses).
pub type PoseId = usize;
/// Index into [`Assembly::motions`](super::Assembly::motions).
pub type MotionId = usize;
/// Index into [`Assembly::prints`](super::Assembly::prints).
pub type PrintId = usize;

#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    pub expr: ClaimExpr,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct ClaimExpr {
    pub kind: ClaimKind,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub enum ClaimKind {
    /// A value, and its name where the design writes one.
    Value {
        written: Written,
        dimension: Dimension,
        name: Option<String>,
    },
    Yes(bool),
    Measure(Measure),
    Predicate(Predicate),
    Not(Box<ClaimExpr>),
    Negate(Box<ClaimExpr>),
    Absolute(Box<ClaimExpr>),
    Arithmetic(Arithmetic, Box<ClaimExpr>, Box<ClaimExpr>),
    Compare(Comparison, Box<ClaimExpr>, Box<ClaimExpr>),
}

/// A piece, or one panel of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    pub piece: PieceId,
    pub panel: Option<PanelId>,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thing {
    Part(Part),
    Print(PrintId),
}

/// Something of a piece that a claim speaks of, in the piece's frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// As the design names it: `page.spine`.
    pub name: String,
    pub piece: PieceId,
    /// The panel that carries it, when it lies on one alone.
    pub panel: Option<PanelId>,
    pub place: SpotPlace,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub enum SpotPlace {
    /// A crease or an edge.
    Line(Segment),
    /// A cut-out or a panel, as a ring of corners.
    Area(Vec<Point>),
    Point(Point),
}

#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    Width(PoseId),
    Height(PoseId),
    Depth(PoseId),
    Thickness(PoseId),
    Mass,
    /// Of a sliding joint, mm; of a turning one, degrees.
    Travel(JointId),
    Rise(Part),
    Lean(Part, PoseId),
    /// Of the first hinge of a crease.
    Angle(JointId, PoseId),
    /// 0 to 1.
    Visible(Thing, PoseId),
    Gap(Part, Part, PoseId),
    PieceWidth(Part),
    PieceHeight(Part),
}

#[derive(Debug, Clone, PartialEq)]
pub enum Predicate {
    Fits { pose: PoseId },
    Posts { pose: PoseId },
    Moves { motion: MotionId },
    Stands { pose: PoseId },
    FoldsFlat { pose: PoseId },
    Hidden { thing: Thing, pose: PoseId },
    Visible { thing: Thing, pose: PoseId },
    Clear { part: Part, of: Spot },
    Captive { part: Part, motion: MotionId },
}
