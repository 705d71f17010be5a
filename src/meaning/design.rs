//! The typed design: every name resolved, every value evaluated exactly, mechanisms and repeats written out.
//!
//! Invariants: there are no blanks and no unresolved names here. A statement that waits for a blank, or that had a
//! finding, is absent, and its name stands in [`Design::missing`]. Lengths are exact mm, angles exact degrees.

use crate::quantity::{Dimension, Exact, Units};
use crate::source::Span;

pub type PaperIndex = usize;
/// Index into [`Design::pieces`].
pub type PieceIndex = usize;

#[derive(Debug, Clone, Default)]
pub struct Design {
    pub title: String,
    pub title_span: Span,
    pub units: Units,
    pub grid: Option<Quantity>,
    pub envelope: Option<Envelope>,
    pub post: Option<Post>,
    /// What stays before the viewer, upright.
    pub view: Option<FaceOf>,
    pub papers: Vec<Paper>,
    pub pieces: Vec<Piece>,
    pub joints: Vec<Joint>,
    pub prints: Vec<Print>,
    pub poses: Vec<Pose>,
    pub motions: Vec<Motion>,
    pub claims: Vec<Claim>,
    pub steps: Vec<Step>,
    pub adjusts: Vec<Adjust>,
    pub blanks: Vec<Blank>,
    pub variants: Vec<String>,
    /// Names of parts left out.
    pub missing: Vec<String>,
}

/// Stands in [`Design::missing`] for a claim that could not be understood.
pub const MISSING_CLAIM: &str = "a claim";

/// An evaluated value and where it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// In base units: mm, mm², degrees, g/m², g.
    pub exact: Exact,
    pub dimension: Dimension,
    pub span: Span,
    /// The one literal the value comes from unchanged, through names too.
    pub literal: Option<Span>,
}

impl Quantity {
    pub fn value(&self) -> f64 {
        self.exact.to_f64()
    }

    /// For findings that speak of this value.
    pub fn stated(&self) -> crate::findings::Stated {
        crate::findings::Stated {
            value: self.value(),
            dimension: self.dimension,
            span: self.span,
            literal: self.literal,
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    pub name: String,
    pub width: Exact,
    pub height: Exact,
    pub depth: Option<Exact>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Post {
    /// Key of the post in the table: `royal_mail`.
    pub post: String,
    /// Key of the class: `letter`.
    pub class: String,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    pub name: String,
    /// g/m².
    pub grammage: Option<Quantity>,
    /// mm.
    pub caliper: Option<Quantity>,
    pub sheet: Option<Sheet>,
    pub grain: Option<GrainWord>,
    /// `#rrggbb`.
    pub colour: Option<(u8, u8, u8)>,
    pub price: Option<Quantity>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    pub name: String,
    pub width: Exact,
    pub height: Exact,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainWord {
    Long,
    Short,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaceWord {
    Front,
    Back,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideWord {
    Left,
    Right,
    Top,
    Bottom,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AxisWord {
    Across,
    Down,
}

#[derive(Debug, Clone)]
pub struct Piece {
    /// Full name, instance prefixes and indices written out: `shelf.strip`, `leaf[3]`.
    pub name: String,
    /// The name in its statement.
    pub span: Span,
    pub paper: PaperIndex,
    pub body: Body,
}

#[derive(Debug, Clone)]
pub enum Body {
    Cut(Box<Cut>),
    Strap(Strap),
    Mat(Mat),
}

#[derive(Debug, Clone)]
pub struct Cut {
    pub shape: Shape,
    pub shape_span: Span,
    pub mirror: Option<Mirror>,
    pub creases: Vec<Crease>,
    /// `panels a, b, c from left`
    pub panel_rows: Vec<PanelRow>,
    /// `panel a at (x, y)`
    pub panel_points: Vec<PanelPoint>,
    pub cutouts: Vec<Cutout>,
    pub tabs: Vec<Tab>,
    pub marks: Vec<Mark>,
}

#[derive(Debug, Clone)]
pub enum Shape {
    Rectangle {
        width: Quantity,
        height: Quantity,
    },
    Circle {
        diameter: Quantity,
    },
    Rounded {
        width: Quantity,
        height: Quantity,
        corner: Quantity,
    },
    Polygon(Vec<Point>),
    Path {
        start: Point,
        segments: Vec<PathSegment>,
    },
    /// Bytes of an SVG file and its name.
    Svg {
        file: String,
        bytes: Vec<u8>,
        span: Span,
    },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    pub x: Quantity,
    pub y: Quantity,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub enum PathSegment {
    Line(Point),
    Arc { through: Point, to: Point },
    Curve { first: Point, second: Point, to: Point },
}

impl PathSegment {
    pub fn end(&self) -> &Point {
        match self {
            Self::Line(to) | Self::Arc { to, .. } | Self::Curve { to, .. } => to,
        }
    }

    pub fn end_mut(&mut self) -> &mut Point {
        match self {
            Self::Line(to) | Self::Arc { to, .. } | Self::Curve { to, .. } => to,
        }
    }
}

#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)] // few of each in a design; boxing would only scatter it
pub enum Mirror {
    /// A line square to the reading.
    Reading {
        value: Quantity,
        from: SideWord,
    },
    Points(Point, Point),
}

#[derive(Debug, Clone)]
pub struct Crease {
    /// As the author named it; `None` when there is no name.
    pub name: Option<String>,
    pub valley: bool,
    pub line: Line,
    /// Degrees, when given.
    pub rest: Option<Quantity>,
    /// Of the reading or the name: what findings point at.
    pub span: Span,
}

/// A straight line on a piece.
#[derive(Debug, Clone)]
pub enum Line {
    /// Square to the reading, from edge to edge or over `extent`.
    Reading {
        at: EdgeReading,
        /// `below` and the like: to which side of what is read from, and where that is written. Without it the line lies
        /// towards the middle of the piece.
        toward: Option<(DirectionWord, Span)>,
        extent: Option<RangeReading>,
    },
    /// Between two points, in the piece's frame.
    Segment { from: Point, to: Point },
}

/// `35mm from left`: how far, from which edge of what.
#[derive(Debug, Clone)]
pub struct EdgeReading {
    pub value: Quantity,
    pub from: Feature,
}

/// `12mm to 78mm from top`
#[derive(Debug, Clone)]
pub struct RangeReading {
    pub start: Quantity,
    pub end: Quantity,
    pub from: Feature,
}

/// Something of a piece that a reading or a placement can speak of.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    pub piece: PieceIndex,
    pub what: FeatureKind,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub enum FeatureKind {
    /// The whole piece (its only panel).
    Whole,
    Panel(String),
    /// A side of the piece (`None`) or of one of its panels.
    Edge(Option<String>, SideWord),
    Crease(String),
    /// The crease that bounds the glued panel, when it has just one.
    OwnCrease,
    Cutout(String),
    Mark(String),
}

#[derive(Debug, Clone)]
pub struct PanelRow {
    pub names: Vec<(String, Span)>,
    pub from: SideWord,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub struct PanelPoint {
    pub name: String,
    pub name_span: Span,
    pub at: Point,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutoutWord {
    Slot,
    Slit,
    Window,
    Hole,
}

#[derive(Debug, Clone)]
pub struct Cutout {
    pub name: String,
    /// The name.
    pub span: Span,
    pub kind: CutoutWord,
    /// Panel the readings are taken on; `None` for the whole piece.
    pub panel: Option<String>,
    pub form: CutoutForm,
    pub place: Vec<Place>,
}

#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)] // few of each in a design; boxing would only scatter it
pub enum CutoutForm {
    /// Slot or slit. `width` is `None` for a slit. When `line` is `None`, `length` and the placement give it: its
    /// centre, turned by the `Turned` placement from lying across.
    Line {
        width: Option<Quantity>,
        line: Option<Line>,
        length: Option<Quantity>,
    },
    Circle {
        diameter: Quantity,
    },
    Rectangle {
        width: Quantity,
        height: Quantity,
    },
    Rounded {
        width: Quantity,
        height: Quantity,
        corner: Quantity,
    },
    Polygon(Vec<Point>),
}

#[derive(Debug, Clone)]
pub struct Tab {
    pub name: String,
    pub span: Span,
    pub depth: Quantity,
    /// A panel's edge.
    pub off: Feature,
    /// Part of the edge; the whole edge when absent.
    pub extent: Option<RangeReading>,
    /// Degrees by which each end leans in; square when absent.
    pub taper: Option<Quantity>,
    pub valley: bool,
    pub rest: Option<Quantity>,
}

#[derive(Debug, Clone)]
pub struct Mark {
    pub name: String,
    pub span: Span,
    pub panel: Option<String>,
    pub place: Vec<Place>,
}

#[derive(Debug, Clone)]
pub struct Strap {
    /// Piece and panel it goes around.
    pub around: PieceIndex,
    pub around_panel: Option<String>,
    pub around_span: Span,
    /// Two cut-outs of that piece. `None`: around the whole panel.
    pub rails: Option<(String, String)>,
    pub rails_span: Span,
    pub wide: Quantity,
    pub overlap: Quantity,
    /// Ease in the loop beyond what the thickness takes; mm.
    pub loose: Option<Quantity>,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub struct Mat {
    pub on: FaceOf,
    pub border: Quantity,
}

/// `front of shell.face`
#[derive(Debug, Clone, PartialEq)]
pub struct FaceOf {
    pub side: FaceWord,
    pub piece: PieceIndex,
    /// `None` for the whole piece, when it is one panel.
    pub panel: Option<String>,
    pub span: Span,
    /// The word that says the side.
    pub side_span: Option<Span>,
}

/// Where something goes on a panel.
#[derive(Debug, Clone)]
pub struct Place {
    pub kind: PlaceKind,
    pub span: Span,
}

#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)] // few of each in a design; boxing would only scatter it
pub enum PlaceKind {
    Centred(Option<AxisWord>),
    /// Against a side.
    At(SideWord),
    /// The near edge (or the centre) so far from an edge.
    Reading {
        centre: bool,
        at: EdgeReading,
    },
    /// From one reading to another.
    Range(RangeReading),
    /// `grip.top 8mm above heron.top`; the subject is the part itself when absent.
    Beside {
        subject: Option<Feature>,
        value: Quantity,
        direction: DirectionWord,
        of: Feature,
    },
    /// `bottom to bottom`: the part's edge lies on the target's.
    EdgeToEdge {
        own: Feature,
        other: Feature,
    },
    /// The part's edge or crease lies along a line of the target. `first` names the end of it that lies at `start`.
    Along {
        own: Feature,
        start: Point,
        through: Point,
        first: Option<Feature>,
    },
    /// Degrees, clockwise.
    Turned(Quantity),
    UpsideDown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DirectionWord {
    LeftOf,
    RightOf,
    Above,
    Below,
}

#[derive(Debug, Clone)]
pub struct Joint {
    /// Author's name (brads) or a made-up one (`heron on runner`).
    pub name: String,
    pub span: Span,
    pub kind: JointKind,
}

#[derive(Debug, Clone)]
pub enum JointKind {
    Glue(Glue),
    /// Straps that go around a bar: piece `strap` is a [`Body::Strap`]. Made for every strap.
    Strap {
        strap: PieceIndex,
    },
    SlideThrough {
        part: PartOf,
        slots: Vec<CutoutOf>,
        place: Vec<Place>,
        stops: Option<(Quantity, Quantity)>,
    },
    SlideOn {
        part: PartOf,
        on: FaceOf,
        between: Option<(PieceIndex, PieceIndex)>,
        under: Vec<PieceIndex>,
        /// Pieces that it runs under and, folded over their edge, comes back over.
        around: Vec<PieceIndex>,
        towards: Option<SideWord>,
        place: Vec<Place>,
        stops: Option<(Quantity, Quantity)>,
    },
    Brad {
        /// The turning part's hole first, the holding part's last.
        holes: Vec<CutoutOf>,
        /// Whether the turning part lies behind the holding one.
        behind: bool,
        turned: Option<Quantity>,
        stops: Option<(Quantity, Quantity)>,
        apart: Option<Quantity>,
    },
    Tuck {
        part: PartOf,
        into: CutoutOf,
        place: Vec<Place>,
    },
}

#[derive(Debug, Clone)]
pub struct Glue {
    pub part: FaceOf,
    pub to: FaceOf,
    /// Foam height in mm.
    pub foam: Option<Quantity>,
    /// Empty for a closing joint.
    pub place: Vec<Place>,
    pub area: GlueArea,
}

#[derive(Debug, Clone)]
pub enum GlueArea {
    Full,
    /// A strip along these sides of the part (all four when empty), so wide.
    Along {
        sides: Vec<SideWord>,
        width: Option<Quantity>,
        span: Span,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct PartOf {
    pub piece: PieceIndex,
    pub panel: Option<String>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct CutoutOf {
    pub piece: PieceIndex,
    pub name: String,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub struct Print {
    pub name: String,
    pub span: Span,
    pub on: PrintGround,
    pub content: PrintContent,
    pub place: Vec<Place>,
    pub wide: Option<Quantity>,
    pub high: Option<Quantity>,
}

/// What a print lies on.
#[derive(Debug, Clone)]
pub enum PrintGround {
    Face(FaceOf),
    /// Several parts, as they look in the pose of that name.
    Spread {
        parts: Vec<PartOf>,
        pose: String,
        pose_span: Span,
    },
}

#[derive(Debug, Clone)]
pub enum PrintContent {
    Text(String),
    Picture { file: String, bytes: Vec<u8> },
}

#[derive(Debug, Clone)]
pub struct Pose {
    pub name: String,
    pub span: Span,
    /// Where a further setting can be written.
    pub behind: Span,
    pub settings: Vec<PoseSetting>,
}

#[derive(Debug, Clone)]
pub struct PoseSetting {
    pub joint: JointOf,
    pub value: Setting,
    pub span: Span,
}

/// What a pose or a motion can set.
#[derive(Debug, Clone, PartialEq)]
pub enum JointOf {
    Crease {
        piece: PieceIndex,
        crease: String,
    },
    /// Every crease of the piece.
    AllCreases {
        piece: PieceIndex,
    },
    /// A strap, by its piece.
    Strap {
        piece: PieceIndex,
    },
    /// A slide or brad: index into [`Design::joints`].
    Joint(usize),
}

#[derive(Debug, Clone)]
pub enum Setting {
    /// Degrees for folds and brads.
    Angle(Quantity),
    /// Flat: 180 degrees.
    Flat,
    /// mm from the lower end of the range.
    Length(Quantity),
    /// At the stop on this side.
    Stop(SideWord, Span),
    /// So far from the stop on this side.
    FromStop(Quantity, SideWord, Span),
}

#[derive(Debug, Clone)]
pub struct Motion {
    pub name: String,
    pub span: Span,
    pub legs: Vec<Vec<Move>>,
}

#[derive(Debug, Clone)]
pub struct Move {
    pub joint: JointOf,
    pub from: Setting,
    pub to: Setting,
    pub span: Span,
}

/// A claim the compiler must prove.
#[derive(Debug, Clone)]
pub struct Claim {
    pub expr: ClaimExpr,
    pub span: Span,
}

/// A typed expression over measures.
#[derive(Debug, Clone)]
pub struct ClaimExpr {
    pub kind: ClaimKind,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub enum ClaimKind {
    /// A value, and its name where the design writes one.
    Value(Quantity, Option<String>),
    Yes(bool),
    Measure(Measure),
    Predicate(Predicate),
    Not(Box<ClaimExpr>),
    Negate(Box<ClaimExpr>),
    Absolute(Box<ClaimExpr>),
    Arithmetic(Arithmetic, Box<ClaimExpr>, Box<ClaimExpr>),
    Compare(Comparison, Box<ClaimExpr>, Box<ClaimExpr>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arithmetic {
    Add,
    Subtract,
    Multiply,
    Divide,
    Min,
    Max,
    /// To a whole number of steps, which stand second.
    RoundUp,
    RoundDown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comparison {
    Equal,
    NotEqual,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
}

/// A number the assembly is asked for. Poses and motions are indices into the design's lists.
#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    /// Of the whole card in a pose.
    Width(usize),
    Height(usize),
    Depth(usize),
    Thickness(usize),
    /// Of the whole design, g.
    Mass,
    /// Of a sliding joint, mm; of a turning one, degrees.
    Travel(JointOf),
    /// How far a part rises between its lowest and its highest place in all poses, mm.
    Rise(PartOf),
    /// Lean from upright of a part in a pose, degrees.
    Lean(PartOf, usize),
    /// Fold angle of a crease in a pose, degrees.
    Angle(JointOf, usize),
    /// Visible share of a part or print in a pose, 0 to 1.
    Visible(Thing, usize),
    /// Least gap between two parts in a pose, mm.
    Gap(PartOf, PartOf, usize),
    /// Cut size of a piece, mm.
    PieceWidth(PartOf),
    PieceHeight(PartOf),
}

#[derive(Debug, Clone, PartialEq)]
pub enum Thing {
    Part(PartOf),
    /// Index into [`Design::prints`].
    Print(usize),
}

#[derive(Debug, Clone, PartialEq)]
pub enum Predicate {
    /// `fits(shut, envelope)`
    Fits {
        pose: usize,
    },
    /// `fits(shut, post)`
    Posts {
        pose: usize,
    },
    Moves {
        motion: usize,
    },
    Stands {
        pose: usize,
    },
    FoldsFlat {
        pose: usize,
    },
    Hidden {
        thing: Thing,
        pose: usize,
    },
    Visible {
        thing: Thing,
        pose: usize,
    },
    /// `clear(wheel, page.spine)`: nothing of the part ever lies over the feature.
    Clear {
        part: PartOf,
        of: Feature,
    },
    /// `captive(heron, pull)`: the part cannot come out along the motion.
    Captive {
        part: PartOf,
        motion: usize,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    pub text: String,
    pub before: Option<bool>,
    /// Full name of the part.
    pub part: Option<String>,
    pub span: Span,
}

/// A value the maker may turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjust {
    pub name: String,
    pub value: Quantity,
    pub from: Quantity,
    pub to: Quantity,
    pub about: Option<String>,
    pub span: Span,
}

/// A `?` that a student fills in.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    pub span: Span,
    /// What kind of value belongs there.
    pub expected: Option<Dimension>,
    pub hint: Option<String>,
}
