//! The owned syntax tree: what was written, where, and nothing of what it means.
//!
//! Invariants: every span lies in the file; a node exists only when its statement was read whole (a broken statement
//! is left out and has a finding instead); names and words are kept as written; numbers are kept as text.

use crate::source::{Span, Spanned};

/// One file.
#[derive(Debug, Clone, Default)]
pub struct Tree {
    pub items: Vec<Item>,
    /// Every comment, `#` included, in file order.
    pub comments: Vec<Spanned<String>>,
    /// Names declared by statements that could not be read whole, so that their uses are not reported as unknown; a
    /// broken statement without a name is remembered by its statement word (`size`, `envelope`).
    pub broken_names: Vec<String>,
    /// Where statements stand that could not be read whole: what seems to be missing may have been said there.
    pub broken: Vec<Span>,
    /// Those of them that begin with `size` or `shape`.
    pub broken_shapes: Vec<Span>,
    pub span: Span,
}

/// One statement.
#[derive(Debug, Clone)]
pub struct Item {
    /// From the statement word to the last word of the statement (a block's `}` included).
    pub span: Span,
    /// The statement word.
    pub word: Span,
    pub kind: ItemKind,
    /// `hint "…"` at the end of the statement.
    pub hint: Option<Spanned<String>>,
}

/// Statements of every place are read everywhere, so that a misplaced one can be told from a broken one.
#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)] // one node per statement; boxing would only scatter the tree
pub enum ItemKind {
    /// `card "Night heron"`
    Card(Spanned<String>),
    /// `envelope C6`, `envelope us A2`, `envelope 5in by 7in`
    Envelope(Size),
    /// `post royal_mail letter`
    Post(Vec<Spanned<String>>),
    /// `grid 1/16in`: the step of the cut list
    Grid(Expr),
    /// `view front of garden.lawn`: what lies before the viewer
    View(Face),
    /// `paper cover: 300gsm, 0.40mm thick, sheet A4, grain long`
    Paper { name: Name, clauses: Vec<Clause> },
    /// `let bar = 40mm`
    Let { name: Name, value: Expr },
    /// `adjust rise = 60mm from 40mm to 80mm "how far the heron rises"`
    Adjust { name: Name, value: Expr, from: Expr, to: Expr, about: Option<Spanned<String>> },
    /// `variant square { side = 150mm  envelope 155mm by 155mm }`
    Variant { name: Name, items: Vec<Item> },
    /// `side = 150mm`, inside a variant
    Assign { name: Name, value: Expr },
    /// `piece shell of cover { … }`
    Piece { name: Name, paper: Path, items: Vec<Item> },
    /// `strap runner of cover around shell.track between rail_l, rail_r: 6mm wide, 12mm overlap`
    Strap { name: Name, paper: Path, around: Path, between: Option<(Path, Path)>, clauses: Vec<Clause> },
    /// `mat sky of scene on front of shell.face: 3mm border`
    Mat { name: Name, paper: Path, on: Face, clauses: Vec<Clause> },
    /// `glue back of heron to front of runner: bottom to bottom, centred`
    Glue { part: Face, to: Face, clauses: Vec<Clause> },
    /// `foam 2mm back of leaf to front of shell.face: …`
    Foam { height: Expr, part: Face, to: Face, clauses: Vec<Clause> },
    /// `slide tongue through page.mouth, page.throat`
    SlideThrough { part: Path, slots: Vec<Path>, clauses: Vec<Clause> },
    /// `slide tongue on front of page.base between guide_l, guide_r: …`
    SlideOn { part: Path, on: Face, between: Option<(Path, Path)>, clauses: Vec<Clause> },
    /// `brad axle through wheel.hub, page.hub: wheel behind`
    Brad { name: Name, through: Vec<Path>, clauses: Vec<Clause> },
    /// `tuck lid.tongue into box.mouth`
    Tuck { part: Path, into: Path, clauses: Vec<Clause> },
    /// `pose open { runner at top  page.spine 90deg }`
    /// `open` is its opening brace.
    Pose { name: Name, open: Span, settings: Vec<PoseSetting> },
    /// `motion pull { runner bottom to top then topper bottom to top }`: legs in turn, each a set of joints that move
    /// together (joined by `and`)
    Motion { name: Name, legs: Vec<Vec<Move>> },
    /// `expect height(open) >= 200mm`
    Expect(Expr),
    /// `step "Ink the edges before folding" before glue heron`
    Step { text: Spanned<String>, when: Option<When> },
    /// `mechanism lift(base: panel, rise: length = 30mm) { … }`
    Mechanism { name: Name, parameters: Vec<Parameter>, items: Vec<Item> },
    /// `use lift(page, rise: 30mm) as shelf`
    Use { mechanism: Name, arguments: Vec<Argument>, name: Name },
    /// `repeat i from 1 to 4 { … }`
    Repeat { index: Name, from: Expr, to: Expr, items: Vec<Item> },
    /// `include "other.plica"`
    Include(Spanned<String>),

    // Inside a piece.
    /// `size 222mm by 120mm`
    Size { width: Expr, height: Expr },
    /// `shape circle 24mm`
    Shape { shape: Shape, mirror: Option<MirrorLine> },
    /// `valley spine: 105mm, 211mm from left, folded flat`; the names may be absent or several
    Crease { kind: CreaseWord, names: Vec<Name>, clauses: Vec<Clause> },
    /// `panels track, face, flap from left`
    Panels { names: Vec<Name>, from: Spanned<String> },
    /// `panel sky at (10mm, 10mm)`
    PanelAt { name: Name, at: Point },
    /// `slot rail on track: 2mm wide, 10mm from left, 12mm to 80mm from top`; also slit, window and hole
    Cutout { kind: CutoutWord, name: Name, on: Option<Path>, clauses: Vec<Clause> },
    /// `tab foot 9mm off port.bottom: tapered 45deg`
    Tab { name: Name, depth: Expr, off: Path, clauses: Vec<Clause> },
    /// `mark greeting on face: 30mm from top`
    Mark { name: Name, on: Option<Path>, clauses: Vec<Clause> },
    /// `print wish "Fair winds" on front of dusk: 34mm from bottom, centred`; also at the top level
    Print { name: Name, content: PrintContent, on: PrintGround, clauses: Vec<Clause> },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CreaseWord {
    Valley,
    Mountain,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutoutWord {
    Slot,
    Slit,
    Window,
    Hole,
}

#[derive(Debug, Clone)]
pub enum PrintContent {
    Text(Spanned<String>),
    /// `picture "gull.png"`
    Picture(Spanned<String>),
}

/// What a print lies on.
#[derive(Debug, Clone)]
pub enum PrintGround {
    Face(Face),
    /// `across shell.rocks, tower in shut`: several parts, as they look in a pose
    Spread {
        parts: Vec<Path>,
        pose: Path,
        span: Span,
    },
}

/// A name, perhaps with an index: `leaf`, `leaf[i + 1]`.
#[derive(Debug, Clone)]
pub struct Name {
    pub text: String,
    pub index: Option<Box<Expr>>,
    /// The index included.
    pub span: Span,
}

/// `shell.track.left`
#[derive(Debug, Clone)]
pub struct Path {
    /// At least one.
    pub segments: Vec<Name>,
    pub span: Span,
}

/// `front of shell.face`; without a side word the statement decides.
#[derive(Debug, Clone)]
pub struct Face {
    pub side: Option<Spanned<FaceSide>>,
    pub path: Path,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaceSide {
    Front,
    Back,
}

/// `(12mm, 30mm)`
#[derive(Debug, Clone)]
pub struct Point {
    pub x: Expr,
    pub y: Expr,
    pub span: Span,
}

/// `C6`, `us A2`, `letter`, `5in by 7in`, `150mm by 150mm by 12mm` (a box)
#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)]
pub enum Size {
    Named { words: Vec<Spanned<String>>, span: Span },
    Measured { width: Expr, height: Expr, depth: Option<Expr>, span: Span },
}

#[derive(Debug, Clone)]
pub enum Shape {
    Circle(Expr),
    Rectangle {
        width: Expr,
        height: Expr,
    },
    Rounded {
        width: Expr,
        height: Expr,
        corner: Expr,
    },
    Polygon(Vec<Point>),
    Path {
        start: Point,
        segments: Vec<PathSegment>,
    },
    /// `shape from "gull.svg"`
    File(Spanned<String>),
}

#[derive(Debug, Clone)]
pub enum PathSegment {
    Line(Point),
    /// An arc through one point to another.
    Arc {
        through: Point,
        to: Point,
    },
    /// A cubic Bézier curve: two control points and the end.
    Curve {
        first: Point,
        second: Point,
        to: Point,
    },
}

/// `mirrored about 40mm from left`, `mirrored about (10mm, 0mm) (10mm, 40mm)`
#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant)]
pub enum MirrorLine {
    Reading { value: Expr, from: Spanned<String> },
    Points(Point, Point),
}

/// What stands after the colon of a statement, between commas. Every clause is read in every statement; which ones a
/// statement takes is decided later.
#[derive(Debug, Clone)]
pub struct Clause {
    pub span: Span,
    pub kind: ClauseKind,
}

#[derive(Debug, Clone)]
pub enum ClauseKind {
    /// A value alone: `300gsm`, a hole's `1/8in`, the `105mm` of `105mm, 211mm from left`.
    Bare(Expr),
    /// `6mm wide`
    Measure { value: Expr, word: Spanned<MeasureWord> },
    /// `35mm from left`, `34mm from card.bottom`, `centre 20mm from top`
    Reading { centre: bool, value: Expr, from: Path },
    /// `12mm to 78mm from top`
    Range { from: Expr, to: Expr, edge: Path },
    /// `8mm above heron.top`, `grip.top 8mm above heron.top`, `crease 1in left of spine`
    Beside { subject: Option<Path>, value: Expr, direction: Spanned<Direction>, of: Path },
    /// `bottom to bottom`, `grip.left to heron.left`
    EdgeToEdge { own: Path, other: Path },
    /// `centred`, `centred across`, `centred down`
    Centred(Option<Spanned<Axis>>),
    /// `at right`
    At(Spanned<String>),
    /// `turned 30deg`
    Turned(Expr),
    /// `upside down`
    UpsideDown,
    /// `port.bottom along (74mm, 105mm) through (124mm, 55mm)`
    Along { own: Path, start: Point, through: Point },
    /// `mast end first`
    EndFirst(Path),
    /// Glue in a strip along every edge, or along those named: `along edges 10mm`, `along top 5mm`
    GlueAlong { edges: Vec<Spanned<String>>, width: Option<Expr> },
    /// `from (0mm, 10mm) to (40mm, 50mm)`
    Segment { from: Point, to: Point },
    /// `from -30deg to 30deg`
    Stops { from: Expr, to: Expr },
    /// `folded flat`, `folded 90deg`
    Folded(Option<Expr>),
    /// `circle 1in`
    Circle(Expr),
    /// `rectangle 3/8in by 1in`
    Rectangle { width: Expr, height: Expr },
    /// `rounded 30mm by 20mm corner 4mm`
    Rounded { width: Expr, height: Expr, corner: Expr },
    /// `polygon (0mm, 0mm) (10mm, 0mm) (5mm, 8mm)`
    Polygon(Vec<Point>),
    /// `tapered`, `tapered 30deg`
    Tapered(Option<Expr>),
    /// `square ends`
    SquareEnds,
    /// A tab's fold: `valley`, `mountain`
    Fold(CreaseWord),
    /// `wheel behind`, `wheel in front`
    Order { part: Path, behind: bool },
    /// `under bridge` (a sliding part runs under another)
    Under(Path),
    /// `around bar` (a sliding part runs under another and, folded over its edge, comes back over it)
    Around(Path),
    /// `towards top`
    Towards(Spanned<String>),
    /// `sheet A4`
    Sheet(Size),
    /// `grain long`
    Grain(Spanned<String>),
    /// `colour "#335577"`
    Colour(Spanned<String>),
    /// `price 0.40`
    Price(Expr),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeasureWord {
    Wide,
    High,
    Long,
    Thick,
    Overlap,
    Border,
    Loose,
    Apart,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    LeftOf,
    RightOf,
    Above,
    Below,
}

/// `across` is left to right, `down` is top to bottom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    Across,
    Down,
}

/// `page.spine 90deg`, `runner at top`, `runner at 20mm from bottom`, `strip folded flat`
#[derive(Debug, Clone)]
pub struct PoseSetting {
    pub joint: Path,
    pub value: Setting,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub enum Setting {
    /// An angle, a number of its joint's unit, or a stop's name (a path of one word).
    Value(Expr),
    /// `20mm from bottom`
    Reading { value: Expr, from: Spanned<String> },
    /// `folded flat`
    Flat(Span),
}

/// `runner bottom to top`
#[derive(Debug, Clone)]
pub struct Move {
    pub joint: Path,
    pub from: Setting,
    pub to: Setting,
    pub span: Span,
}

/// `before glue heron`
#[derive(Debug, Clone)]
pub struct When {
    pub before: bool,
    pub verb: Option<Spanned<String>>,
    pub part: Path,
}

/// `rise: length = 30mm`
#[derive(Debug, Clone)]
pub struct Parameter {
    pub name: Name,
    pub kind: Spanned<String>,
    pub default: Option<Expr>,
}

/// `rise: 30mm` or `30mm`
#[derive(Debug, Clone)]
pub struct Argument {
    pub name: Option<Spanned<String>>,
    pub value: Expr,
}

#[derive(Debug, Clone)]
pub struct Expr {
    pub span: Span,
    pub kind: ExprKind,
}

#[derive(Debug, Clone)]
pub enum ExprKind {
    /// `12`, `4 1/2in`, `0.4mm`, `80lb cover`
    Number {
        digits: String,
        unit: Option<Spanned<String>>,
        grade: Option<Spanned<String>>,
    },
    Text(String),
    /// `?`
    Blank,
    /// A value, a part, or a bare word such as `yes`; `envelope` and `post` are read as paths too.
    Path(Path),
    Call {
        function: Spanned<String>,
        arguments: Vec<Expr>,
    },
    Negate(Box<Expr>),
    Not(Box<Expr>),
    Binary {
        operator: Spanned<Operator>,
        left: Box<Expr>,
        right: Box<Expr>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
    Equal,
    NotEqual,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
}
