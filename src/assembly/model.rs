//! What an assembly holds. Plain data; every thing knows the span of text it came from.
//!
//! Frames. A piece lies in its own plane: millimetres, x to the right, y down, printed side up. Points keep the
//! coordinates they were written with; where a shape has none (a size, a circle, a drawing, a strap, a mat) the origin
//! is the top left corner of its box. Tabs and mirrored halves may reach to negative coordinates. All shapes of a
//! piece, its panels included, are in the piece's frame. A [`Placement`] carries one piece's plane onto another's.

use super::claims::{Claim, PoseId};
use crate::geometry::{Contour, Isometry, Outline, Point, Polygon, Rect, Region, intersection};
use crate::quantity::Units;
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::source::Span;

pub type PaperId = usize;
pub type PieceId = usize;
pub type PanelId = usize;
pub type JointId = usize;

/// A whole design, ready for checks and outputs.
#[derive(Debug, Clone, Default)]
pub struct Assembly {
    pub title: String,
    pub units: Units,
    /// Steps of the cut list in mm.
    pub grid: Grid,
    pub papers: Vec<Paper>,
    /// Cut pieces, then straps, then mats; each in order of declaration.
    pub pieces: Vec<Piece>,
    /// Panels of all pieces; a piece names its own by id.
    pub panels: Vec<Panel>,
    /// The panel that stays where it is, upright before the viewer: the one the design views, or the first one named
    /// in the first piece.
    pub root: PanelId,
    /// Which side of it the viewer looks at.
    pub root_face: Face,
    pub joints: Vec<Joint>,
    pub prints: Vec<Print>,
    pub poses: Vec<Pose>,
    pub motions: Vec<Motion>,
    pub claims: Vec<Claim>,
    pub envelope: Option<Envelope>,
    pub post: Option<PostChoice>,
    pub steps: Vec<Step>,
    /// Names of parts that are missing because they wait for a blank or had a finding; checks that would need every
    /// part keep quiet when there are any.
    pub missing: Vec<String>,
    /// Slides that were asked for a stop where nothing stops them, which is told.
    pub without_stop: Vec<JointId>,
}

impl Assembly {
    /// True when something that the finished card is made of is missing: a pose then shows less than the design says. A
    /// claim that is left out is no part of the card.
    pub fn is_incomplete(&self) -> bool {
        self.missing.iter().any(|name| name != crate::meaning::design::MISSING_CLAIM)
    }

    /// The values a motion begins with: its own joints where their first move starts, every other joint as in the
    /// first pose that has the motion's joints there.
    pub fn beginning(&self, motion: &Motion) -> Vec<(JointId, f64)> {
        let mut values: Vec<(JointId, f64)> = Vec::new();
        for step in motion.legs.iter().flatten() {
            if !values.iter().any(|(joint, _)| *joint == step.joint) {
                values.push((step.joint, step.from));
            }
        }
        let agrees = |pose: &&Pose| {
            values.iter().all(|(joint, value)| {
                pose.values.iter().any(|(j, v)| j == joint && (v - value).abs() < COINCIDENT_MM)
            })
        };
        if let Some(pose) = self.poses.iter().find(agrees) {
            let others = pose.values.iter().filter(|(joint, _)| !values.iter().any(|(j, _)| j == joint));
            let others: Vec<(JointId, f64)> = others.copied().collect();
            values.extend(others);
        }
        values
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// mm; 1/16 in unless the design says otherwise.
    pub inch: f64,
    /// mm; 0.5 mm unless the design says otherwise.
    pub metric: f64,
}

impl Default for Grid {
    fn default() -> Self {
        Self { inch: 25.4 / 16.0, metric: 0.5 }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    pub name: String,
    /// g/m²; `None` when the design does not say.
    pub grammage: Option<f64>,
    /// mm.
    pub caliper: f64,
    /// False when the caliper is an estimate from the grammage.
    pub caliper_stated: bool,
    pub sheet: Option<Sheet>,
    pub grain: Option<Grain>,
    pub colour: Colour,
    pub price: Option<f64>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    pub name: String,
    /// mm.
    pub width: f64,
    pub height: f64,
}

/// Along which side of the sheet the fibres run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    Long,
    Short,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour {
    pub red: u8,
    pub green: u8,
    pub blue: u8,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PieceKind {
    Cut,
    /// A strap's strip: its length is worked out.
    Strap,
    /// A decorative layer cut to fit a panel.
    Mat,
}

/// A number that was written in the design, with what a mend needs to change it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    /// mm or degrees.
    pub value: f64,
    /// The whole expression.
    pub span: Span,
    /// The literal that alone makes the value (through `let` names too), if there is one.
    pub literal: Option<Span>,
}

#[derive(Debug, Clone)]
pub struct Piece {
    pub name: String,
    /// Letter of the cut list: A, B, … Z, AA, …
    pub letter: String,
    pub kind: PieceKind,
    pub paper: PaperId,
    /// The outer outline with tabs, curves kept; no cut-outs.
    pub contour: Contour,
    /// Outline and cut-outs as chords: what is left of the sheet.
    pub polygon: Polygon,
    /// Cut size: the bounding box of the outline.
    pub bounds: Rect,
    /// What readings are taken on: the box of the outline without its tabs; of a strap the front band.
    pub body: Rect,
    /// Width and height as written, when the piece was given a plain size.
    pub size: Option<(Written, Written)>,
    pub creases: Vec<Crease>,
    pub cutouts: Vec<Cutout>,
    pub marks: Vec<Mark>,
    pub panels: Vec<PanelId>,
    /// The name in the statement that made the piece.
    pub span: Span,
}

impl Piece {
    /// The outer outline and every cut-out, curves kept, for outputs.
    pub fn outline(&self) -> Outline {
        Outline {
            outer: self.contour.clone(),
            holes: self.cutouts.iter().filter(|c| !c.notch).filter_map(|c| c.contour.clone()).collect(),
        }
    }
}

#[derive(Debug, Clone)]
pub struct Panel {
    /// Name within the piece; the piece's own name when the piece is one panel without a name of its own.
    pub name: String,
    pub piece: PieceId,
    /// In the piece's frame, cut-outs as holes.
    pub polygon: Polygon,
    pub bounds: Rect,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fold {
    /// Closes toward the printed side.
    Valley,
    Mountain,
}

/// One straight score line.
#[derive(Debug, Clone)]
pub struct Crease {
    /// The author's name, or a made-up one (`score 1`).
    pub name: String,
    pub named: bool,
    pub fold: Fold,
    /// The scored line within the piece.
    pub from: Point,
    pub to: Point,
    /// The fold joints on this line: more than one where other folds or cuts cross it.
    pub hinges: Vec<JointId>,
    /// Fold angle at rest in degrees, 0 to 180, when the design gives one.
    pub rest: Option<f64>,
    pub reading: Option<Reading>,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    Left,
    Right,
    Top,
    Bottom,
}

impl Side {
    pub const ALL: [Side; 4] = [Side::Left, Side::Right, Side::Top, Side::Bottom];

    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "left" => Self::Left,
            "right" => Self::Right,
            "top" => Self::Top,
            "bottom" => Self::Bottom,
            _ => return None,
        })
    }

    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }

    pub fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Top => Self::Bottom,
            Self::Bottom => Self::Top,
        }
    }

    /// True for left and right: a reading from it runs across.
    pub fn is_across(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }

    /// Coordinate of this side of a rectangle.
    pub fn of(self, rect: &Rect) -> f64 {
        match self {
            Self::Left => rect.min.x,
            Self::Right => rect.max.x,
            Self::Top => rect.min.y,
            Self::Bottom => rect.max.y,
        }
    }
}

/// A ruler reading: how far something lies from an edge, for dimension lines and mends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    pub from: Side,
    /// Coordinate of the edge read from, in the piece's frame.
    pub base: f64,
    /// Coordinate of what is read.
    pub at: f64,
    pub written: Written,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutoutKind {
    /// A narrow opening that a strap or tongue runs in.
    Slot,
    /// A cut without width.
    Slit,
    Window,
    /// Round, for a brad or an eyelet.
    Hole,
}

#[derive(Debug, Clone)]
pub struct Cutout {
    pub name: String,
    pub kind: CutoutKind,
    pub panel: PanelId,
    /// `None` for a slit.
    pub contour: Option<Contour>,
    /// It opens onto the edge of the piece: the outer outline runs round it.
    pub notch: bool,
    pub centre: Point,
    /// Ends of the centre line (slot, slit); both the centre for the others.
    pub from: Point,
    pub to: Point,
    /// Along the centre line (slot, slit) or across the box, mm.
    pub length: f64,
    /// Across the centre line, or the diameter of a hole, mm.
    pub width: f64,
    /// Readings as written, the ones across first.
    pub readings: Vec<Reading>,
    pub span: Span,
}

/// A place marked on a piece for lettering or decoration.
#[derive(Debug, Clone)]
pub struct Mark {
    pub name: String,
    pub at: Point,
    pub readings: Vec<Reading>,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Face {
    #[default]
    Front,
    Back,
}

impl Face {
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
        }
    }

    pub fn opposite(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
        }
    }
}

/// Words or a picture on a face.
#[derive(Debug, Clone)]
pub struct Print {
    pub name: String,
    pub panel: PanelId,
    pub face: Face,
    pub content: PrintContent,
    /// The box it fills, in the piece's frame (as seen from the front; a back print is mirrored when drawn).
    pub area: Rect,
    /// Set for one panel's part of a picture that runs over several.
    pub spread: Option<Spread>,
    pub span: Span,
}

/// A picture that runs over several panels as they look in a pose: every panel has a print of the same name.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    pub pose: PoseId,
    pub pose_span: Span,
    /// Width and height of the whole in mm, as far as the design says.
    pub wide: Option<f64>,
    pub high: Option<f64>,
    /// Width over height of the picture.
    pub aspect: f64,
    /// How the whole lies on this panel; known once the pose is (see `motion::join_pictures`).
    pub laid: Option<Laid>,
}

/// How a picture lies on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid {
    /// What the whole picture fills, in its own frame, mm.
    pub whole: Rect,
    /// From that frame to the piece's.
    pub place: Isometry,
}

impl Piece {
    /// Whether its panels are told apart by names of their own.
    pub fn is_panelled(&self) -> bool {
        self.panels.len() > 1 && self.kind == PieceKind::Cut
    }
}

impl Assembly {
    /// A panel as the design calls it: `shell.track`, or the piece where it has but one.
    pub fn panel_name(&self, id: PanelId) -> String {
        let Some(panel) = self.panels.get(id) else { return String::new() };
        match self.pieces.get(panel.piece) {
            Some(piece) if piece.is_panelled() => format!("{}.{}", piece.name, panel.name),
            Some(piece) => piece.name.clone(),
            None => String::new(),
        }
    }

    /// Prints in the order in which they are laid on: pictures first, so that words stand on them.
    pub fn prints_laid_on(&self) -> impl Iterator<Item = &Print> {
        let is_picture = |p: &&Print| matches!(p.content, PrintContent::Picture { .. });
        self.prints.iter().filter(is_picture).chain(self.prints.iter().filter(move |p| !is_picture(p)))
    }
}

impl Print {
    /// How the picture or the words lie; `None` for a part of a picture whose pose could not be told.
    pub fn laid(&self) -> Option<Laid> {
        match (&self.spread, self.face) {
            (Some(spread), _) => spread.laid,
            (None, Face::Front) => Some(Laid { whole: self.area, place: Isometry::IDENTITY }),
            (None, Face::Back) => {
                let middle = (self.area.min.x + self.area.max.x) / 2.0;
                Some(Laid { whole: self.area, place: Isometry::mirror_x(middle) })
            }
        }
    }

    /// What it covers of its panel, in the piece's frame.
    pub fn region(&self, assembly: &Assembly) -> Region {
        let (Some(laid), Some(panel)) = (self.laid(), assembly.panels.get(self.panel)) else {
            return Region::new();
        };
        let whole = Polygon::rectangle(laid.whole).transformed(&laid.place);
        if self.spread.is_none() {
            return vec![whole];
        }
        intersection(&[whole], std::slice::from_ref(&panel.polygon))
    }
}

#[derive(Debug, Clone)]
pub enum PrintContent {
    Text(String),
    /// Bytes of a PNG or SVG file and its name.
    Picture {
        file: String,
        bytes: Vec<u8>,
    },
}

/// Carries a part's plane onto its target's plane: in the plane `rotation · (±x, y) + shift`, x mirrored when `flipped`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Degrees, clockwise as seen from the target's front.
    pub turned: f64,
    /// The part's front looks to the target's back.
    pub flipped: bool,
    /// Where the part's origin lands, in the target's frame.
    pub shift: Point,
    /// On which side of the target the part lies.
    pub side: Face,
    /// Height of foam between them, mm.
    pub raise: f64,
}

impl Placement {
    pub fn isometry(&self) -> Isometry {
        let flip = if self.flipped { Isometry::mirror_x(0.0) } else { Isometry::IDENTITY };
        let turn = Isometry::rotation_deg(Point::ORIGIN, self.turned);
        flip.then(&turn).then(&Isometry::translation(self.shift))
    }

    /// The placement that carries points as `isometry` does.
    pub fn carrying(isometry: &Isometry, side: Face, raise: f64) -> Self {
        let x_axis = if isometry.mirrors() { -isometry.x_axis() } else { isometry.x_axis() };
        Self {
            // A sum with zero is never -0.
            turned: x_axis.angle().to_degrees() + 0.0,
            flipped: isometry.mirrors(),
            shift: isometry.origin(),
            side,
            raise,
        }
    }
}

/// Where a clause of a statement stands or could be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clause {
    /// What it would replace; empty where it would be added.
    pub span: Span,
    /// What would have to stand before it.
    pub lead: &'static str,
}

/// What holds two panels together.
#[derive(Debug, Clone)]
pub struct Joint {
    /// How a design or a report speaks of it: `shell.spine`, `runner`, `heron on runner`.
    pub name: String,
    /// The panel that stays when the joint moves (the target).
    pub a: PanelId,
    /// The panel that moves (the part).
    pub b: PanelId,
    pub kind: JointKind,
    pub span: Span,
}

#[derive(Debug, Clone)]
pub enum JointKind {
    /// A crease between two panels of one piece.
    Fold {
        piece: PieceId,
        /// Index in the piece's creases.
        crease: usize,
        /// Hinge line in the piece's frame; panel `a` lies to the left of its direction as seen in that frame (y down).
        from: Point,
        to: Point,
        fold: Fold,
        /// Degrees, 0 to 180.
        rest: f64,
    },
    /// Glue or foam.
    Fixed {
        placement: Placement,
        /// The faces that meet: the part's and the target's.
        faces: (Face, Face),
        /// Glued areas in the target's frame.
        area: Vec<Polygon>,
        /// True when folds bring the faces together: the joint is verified, not used to place.
        closing: bool,
        foam: bool,
        /// Where its statement says, or could say, along which edges it is laid; `None` for what has no such clause.
        along: Option<Clause>,
    },
    /// A part that moves straight: a strap on its bar, a tongue in its slots, a slide on a face.
    Slide {
        /// Where the part lies at value zero.
        placement: Placement,
        /// Unit vector in the target's frame; the value grows along it.
        direction: Point,
        /// Lowest and highest value, mm; infinite where nothing stops it.
        range: (f64, f64),
        /// The words for the ends: lowest, highest.
        ends: (Side, Side),
        /// Where its statement says the lowest and the highest value.
        stops: Option<(Written, Written)>,
        how: SlideHow,
    },
    /// A brad.
    Pin {
        placement: Placement,
        /// Centre in the target's frame and in the part's.
        centre: Point,
        part_centre: Point,
        /// Degrees, when there are stops; clockwise as seen from the target's front is positive.
        range: Option<(f64, f64)>,
        /// Where its statement says them.
        stops: Option<(Written, Written)>,
        /// Diameters of the two holes: target, part.
        holes: (f64, f64),
        /// What the design names between them, from the part to the target: the panel, and the centre of its hole.
        between: Vec<(PanelId, Point)>,
    },
    /// A tongue held by a slot: verified, not used to place.
    Tuck { cutout: usize, piece: PieceId },
}

#[derive(Debug, Clone)]
pub enum SlideHow {
    /// A strap between two cut-outs of piece `piece`.
    Strap { piece: PieceId, rails: (usize, usize), bar: f64, wide: f64 },
    /// Through cut-outs of piece `piece`, woven: behind between the first and the second, in front outside.
    Through { piece: PieceId, cutouts: Vec<usize> },
    /// On a face, perhaps under other pieces; around some of them it comes back over them where it is folded.
    On { under: Vec<PieceId>, around: Vec<PieceId> },
}

/// A named state: a value for each joint that the author sets; all others rest.
#[derive(Debug, Clone)]
pub struct Pose {
    pub name: String,
    pub values: Vec<(JointId, f64)>,
    /// A setting could not be taken and has its finding: the pose is not the one that is meant.
    pub partial: bool,
    pub span: Span,
    /// Where a further setting can be written.
    pub behind: Span,
}

#[derive(Debug, Clone)]
pub struct Motion {
    pub name: String,
    pub legs: Vec<Vec<Move>>,
    /// A value on the way could not be taken and has its finding.
    pub partial: bool,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    pub joint: JointId,
    pub from: f64,
    pub to: f64,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    pub name: String,
    /// Inside, mm.
    pub width: f64,
    pub height: f64,
    /// A box when there is a depth.
    pub depth: Option<f64>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub struct PostChoice {
    pub post: String,
    pub class: String,
    pub span: Span,
}

/// The author's own words in the making order.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    pub text: String,
    pub before: Option<bool>,
    pub part: Option<String>,
    pub span: Span,
}
