//! Paths for a cutting machine: for every piece, and for every sheet of paper with its pieces nested, what is scored,
//! what is cut inside and what is cut round. Scores come first, then inner cuts, then outlines: a part that is already
//! cut loose is neither scored nor pierced true. No line is there twice: a score ends where the paper does, and a cut on
//! a score takes its place.
//!
//! Lengths are mm, y down; the origin is the top left corner of the piece or of the sheet. [`write()`] gives an SVG,
//! [`super::dxf`] the same as DXF.

use xmlwriter::{Indent, Options, XmlWriter};

use super::svg::{number, path_data};
use crate::assembly::{Assembly, Crease, Fold, Grain, JointKind, Paper, PaperId, Piece};
use crate::drawing::curve;
use crate::geometry::{Contour, Isometry, Point, Segment, clip_segment, pt};
use crate::quantity::tolerance;
use crate::stock::plan::nest::{Bed, Shape, nest};

/// Border of a sheet that stays uncut, and room between two pieces, mm.
const MARGIN_MM: f64 = 5.0;
const GAP_MM: f64 = 3.0;
/// Grid on which pieces are laid out, mm.
const CELL_MM: f64 = 1.5;
/// Orders of laying that are tried.
const STARTS: usize = 6;
/// Width of the lines: what a machine takes for a hairline.
const LINE_MM: f64 = 0.1;

/// What the machine does, in the order it does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    ScoreValley,
    ScoreMountain,
    CutInside,
    CutOutline,
}

impl Operation {
    pub const ALL: [Operation; 4] =
        [Self::ScoreValley, Self::ScoreMountain, Self::CutInside, Self::CutOutline];

    /// Name of its group.
    pub fn id(self) -> &'static str {
        match self {
            Self::ScoreValley => "score-valley",
            Self::ScoreMountain => "score-mountain",
            Self::CutInside => "cut-inside",
            Self::CutOutline => "cut-outline",
        }
    }

    /// A grey of its own for machines that sort by colour.
    fn stroke(self) -> &'static str {
        match self {
            Self::ScoreValley => "#b0b0b0",
            Self::ScoreMountain => "#808080",
            Self::CutInside => "#505050",
            Self::CutOutline => "#000000",
        }
    }
}

/// A line that a tool follows.
#[derive(Debug, Clone, PartialEq)]
pub enum Track {
    Open(Segment),
    Closed(Contour),
}

impl Track {
    fn moved(&self, motion: &Isometry) -> Track {
        match self {
            Self::Open(segment) => Self::Open(motion.apply_segment(*segment)),
            Self::Closed(contour) => Self::Closed(contour.transformed(motion)),
        }
    }

    pub fn length(&self) -> f64 {
        match self {
            Self::Open(segment) => segment.length(),
            Self::Closed(contour) => contour.length(),
        }
    }
}

/// One job for the machine: a piece, or a sheet with its pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    pub title: String,
    /// mm.
    pub width: f64,
    pub height: f64,
    /// In the order in which they are done.
    pub tracks: Vec<(Operation, Track)>,
}

impl Job {
    fn new(title: String, width: f64, height: f64, mut tracks: Vec<(Operation, Track)>) -> Self {
        tracks.sort_by_key(|(operation, _)| *operation);
        Self { title, width, height, tracks }
    }

    pub fn of(&self, operation: Operation) -> impl Iterator<Item = &Track> {
        self.tracks.iter().filter(move |(of, _)| *of == operation).map(|(_, track)| track)
    }
}

/// One piece, moved to the origin.
pub fn piece(assembly: &Assembly, piece: &Piece) -> Job {
    let b = piece.bounds;
    let motion = Isometry::translation(pt(-b.min.x, -b.min.y));
    let tracks = tracks(assembly, piece).into_iter().map(|(of, track)| (of, track.moved(&motion)));
    Job::new(format!("{} {}", piece.letter, piece.name), b.width(), b.height(), tracks.collect())
}

/// The sheets of one paper with its pieces nested; empty when the design states no sheet, or a piece does not fit it.
pub fn sheets(assembly: &Assembly, id: PaperId) -> Vec<Job> {
    let Some(paper) = assembly.papers.get(id) else { return Vec::new() };
    let Some(sheet) = &paper.sheet else { return Vec::new() };
    let pieces: Vec<&Piece> = assembly.pieces.iter().filter(|piece| piece.paper == id).collect();
    let bed = Bed { w: sheet.width, h: sheet.height, margin: MARGIN_MM, gap: GAP_MM, cell: CELL_MM };
    let shapes = |free: bool| -> Vec<Shape> {
        let shape = |piece: &&Piece| Shape {
            outline: piece.polygon.clone(),
            qty: 1,
            turns_deg: if free { TURNS_DEG.to_vec() } else { turns(paper, piece) },
        };
        pieces.iter().map(shape).collect()
    };
    // Folds along the grain where that fits the sheet.
    let Ok(nesting) = nest(&bed, &shapes(false), STARTS).or_else(|_| nest(&bed, &shapes(true), STARTS))
    else {
        return Vec::new();
    };
    let count = nesting.sheets.len();
    let job = |(index, laid): (usize, &Vec<crate::stock::plan::nest::Laid>)| {
        let tracks = laid.iter().flat_map(|one| {
            let own = pieces.get(one.shape).map(|piece| tracks(assembly, piece)).unwrap_or_default();
            own.into_iter().map(|(of, track)| (of, track.moved(&one.motion))).collect::<Vec<_>>()
        });
        let title = format!("{}: sheet {} of {count}", paper.name, index + 1);
        Job::new(title, sheet.width, sheet.height, tracks.collect())
    };
    nesting.sheets.iter().enumerate().map(job).collect()
}

const TURNS_DEG: [f64; 4] = [0.0, 90.0, 180.0, 270.0];

/// Turns in which a piece's longest score lies along the grain; all when it has no score or the paper no grain.
fn turns(paper: &Paper, piece: &Piece) -> Vec<f64> {
    let length = |crease: &Crease| crease.from.distance(crease.to);
    let longest = piece.creases.iter().max_by(|a, b| length(a).total_cmp(&length(b)));
    let (Some(grain), Some(crease), Some(sheet)) = (paper.grain, longest, &paper.sheet) else {
        return TURNS_DEG.to_vec();
    };
    let along = crease.to - crease.from;
    let upright = along.y.abs() > along.x.abs();
    let grain_upright = (sheet.height >= sheet.width) == (grain == Grain::Long);
    if upright == grain_upright { vec![0.0, 180.0] } else { vec![90.0, 270.0] }
}

/// Everything a machine follows on one piece, in the piece's frame.
fn tracks(assembly: &Assembly, piece: &Piece) -> Vec<(Operation, Track)> {
    let slits = together(
        piece.cutouts.iter().filter(|c| c.contour.is_none()).map(|c| Segment::new(c.from, c.to)).collect(),
    );
    let mut all = Vec::new();
    for crease in &piece.creases {
        let operation =
            if crease.fold == Fold::Valley { Operation::ScoreValley } else { Operation::ScoreMountain };
        for line in scored(assembly, piece, crease) {
            all.extend(without(line, &slits).into_iter().map(|line| (operation, Track::Open(line))));
        }
    }
    all.extend(slits.into_iter().map(|slit| (Operation::CutInside, Track::Open(slit))));
    let openings = piece.cutouts.iter().filter(|c| !c.notch).filter_map(|c| c.contour.clone());
    all.extend(openings.map(|contour| (Operation::CutInside, Track::Closed(contour))));
    all.push((Operation::CutOutline, Track::Closed(piece.contour.clone())));
    all
}

/// The stretches of a score on which the paper folds.
fn scored(assembly: &Assembly, piece: &Piece, crease: &Crease) -> Vec<Segment> {
    let hinge = |id: &usize| match assembly.joints.get(*id).map(|joint| &joint.kind) {
        Some(JointKind::Fold { from, to, .. }) => Some(Segment::new(*from, *to)),
        _ => None,
    };
    let hinges: Vec<Segment> = crease.hinges.iter().filter_map(hinge).collect();
    if !hinges.is_empty() {
        return together(hinges);
    }
    let line = Segment::new(crease.from, crease.to);
    let Some(direction) = line.vector().unit() else { return Vec::new() };
    clip_segment(&piece.polygon, &line)
        .into_iter()
        .map(|span| Segment::new(line.start + direction * span.from, line.start + direction * span.to))
        .collect()
}

/// Both ends of `other` on the line of `line`.
fn is_collinear(line: &Segment, other: &Segment) -> bool {
    [other.start, other.end].iter().all(|p| line.offset_of(*p).abs() < tolerance::COINCIDENT_MM)
}

/// Where a point lies along a line, mm from its start.
fn station(line: &Segment, direction: Point, p: Point) -> f64 {
    direction.dot(p - line.start)
}

/// Segments of one line that overlap or touch become one.
fn together(segments: Vec<Segment>) -> Vec<Segment> {
    let mut joined: Vec<Segment> = Vec::new();
    for mut segment in segments {
        while let Some(at) = joined.iter().position(|other| spans_touch(&segment, other)) {
            let other = joined.swap_remove(at);
            segment = hull(&segment, &other);
        }
        joined.push(segment);
    }
    joined
}

fn spans_touch(line: &Segment, other: &Segment) -> bool {
    let Some(direction) = line.vector().unit() else { return false };
    let (a, b) = (station(line, direction, other.start), station(line, direction, other.end));
    is_collinear(line, other)
        && a.min(b) <= line.length() + tolerance::COINCIDENT_MM
        && a.max(b) >= -tolerance::COINCIDENT_MM
}

fn hull(line: &Segment, other: &Segment) -> Segment {
    let Some(direction) = line.vector().unit() else { return *other };
    let place = |p: &Point| station(line, direction, *p);
    let ends = [line.start, line.end, other.start, other.end];
    let least = ends.iter().min_by(|p, q| place(p).total_cmp(&place(q))).copied().unwrap_or(line.start);
    let most = ends.iter().max_by(|p, q| place(p).total_cmp(&place(q))).copied().unwrap_or(line.end);
    Segment::new(least, most)
}

/// What is left of a line beside the cuts that run on it.
fn without(line: Segment, cuts: &[Segment]) -> Vec<Segment> {
    let Some(direction) = line.vector().unit() else { return Vec::new() };
    let mut left: Vec<(f64, f64)> = vec![(0.0, line.length())];
    for cut in cuts.iter().filter(|cut| is_collinear(&line, cut)) {
        let (a, b) = (station(&line, direction, cut.start), station(&line, direction, cut.end));
        let (low, high) = (a.min(b), a.max(b));
        left = left.into_iter().flat_map(|(from, to)| [(from, to.min(low)), (from.max(high), to)]).collect();
        left.retain(|(from, to)| to - from > tolerance::COINCIDENT_MM);
    }
    left.into_iter()
        .map(|(from, to)| Segment::new(line.start + direction * from, line.start + direction * to))
        .collect()
}

/// A job as an SVG file: one group per operation, in the order in which they are done; a user unit is a millimetre.
pub fn write(job: &Job) -> String {
    let mut xml = XmlWriter::new(Options { indent: Indent::Spaces(1), ..Options::default() });
    let (width, height) = (number(job.width), number(job.height));
    xml.write_declaration();
    xml.start_element("svg");
    xml.write_attribute("xmlns", "http://www.w3.org/2000/svg");
    xml.write_attribute("width", &format!("{width}mm"));
    xml.write_attribute("height", &format!("{height}mm"));
    xml.write_attribute("viewBox", &format!("0 0 {width} {height}"));
    xml.start_element("title");
    xml.set_preserve_whitespaces(true);
    xml.write_text(&super::svg::escaped(&crate::drawing::text::printable(&job.title)));
    xml.end_element();
    xml.set_preserve_whitespaces(false);
    for operation in Operation::ALL {
        if job.of(operation).next().is_none() {
            continue;
        }
        xml.start_element("g");
        xml.write_attribute("id", operation.id());
        xml.write_attribute("fill", "none");
        xml.write_attribute("stroke", operation.stroke());
        xml.write_attribute("stroke-width", &number(LINE_MM));
        for track in job.of(operation) {
            let path = match track {
                Track::Open(line) => curve::segment(curve::point(line.start), curve::point(line.end)),
                Track::Closed(contour) => curve::contour(contour),
            };
            xml.start_element("path");
            xml.write_attribute("d", &path_data(&path));
            xml.end_element();
        }
        xml.end_element();
    }
    xml.end_document()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(x0: f64, x1: f64) -> Segment {
        Segment::new(pt(x0, 5.0), pt(x1, 5.0))
    }

    #[test]
    fn a_cut_takes_the_place_of_the_score_it_runs_on() {
        let left = without(line(0.0, 100.0), &[line(30.0, 40.0), line(95.0, 120.0)]);
        assert_eq!(left, [line(0.0, 30.0), line(40.0, 95.0)]);
        let across = Segment::new(pt(50.0, 0.0), pt(50.0, 10.0));
        assert_eq!(without(line(0.0, 100.0), &[across]), [line(0.0, 100.0)]);
    }

    #[test]
    fn stretches_of_one_line_that_touch_are_one() {
        let joined = together(vec![line(0.0, 10.0), line(30.0, 40.0), line(40.0, 10.0), line(60.0, 70.0)]);
        let mut ends: Vec<(f64, f64)> =
            joined.iter().map(|s| (s.start.x.min(s.end.x), s.start.x.max(s.end.x))).collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(ends, [(0.0, 40.0), (60.0, 70.0)]);
    }
}
