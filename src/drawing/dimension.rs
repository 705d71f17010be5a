//! Dimension readings around a piece: baseline dimensioning from a stated edge (ISO 129-1), one level of dimension lines
//! above the other, away from the piece.
//!
//! A small solver places them. Short spans come first, nearest the piece. Each takes the level and the place for its
//! figure that cost least: a figure in the middle of its line is best, then one shifted along it, then one beyond an end,
//! then one led out to a free place. A figure never lies on a line or on another figure; dimension and extension lines may
//! cross one another when nothing else is left, and that costs several levels.

use super::clearance::{Clearance, grown};
use super::curve;
use super::display::{Mark, bounding_box};
use super::line::LineKind;
use super::operation::Operation;
use super::symbol;
use super::text::{Text, Typeface};
use crate::drawing::display::Colour;
use kurbo::{Point, Rect, Vec2};

/// On which side of the piece a reading is drawn. `Top` and `Bottom` measure across, `Left` and `Right` down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Top,
    Bottom,
    Left,
    Right,
}

/// A distance to show. Only the coordinate along the side is measured (x for `Top` and `Bottom`, y for the others); the
/// other coordinate says where the extension line begins.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    pub side: Side,
    /// On the stated edge.
    pub datum: Point,
    pub feature: Point,
    /// The figure with its unit, as the maker wrote or would read it.
    pub text: String,
}

/// Sizes of the dimensioning, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// The em of the figures.
    pub text_size: f64,
    /// From the piece to the first dimension line.
    pub first: f64,
    /// From one dimension line to the next.
    pub pitch: f64,
}

impl Default for Style {
    /// Figures with capitals of 2.5 mm, the smallest height of ISO 3098 for figures.
    fn default() -> Style {
        Style { text_size: 3.5, first: 7.0, pitch: 6.0 }
    }
}

const ARROW_MM: f64 = 2.5;
/// Between a feature and the start of its extension line.
const EXTENSION_GAP_MM: f64 = 1.0;
/// How far an extension line goes past its dimension line.
const EXTENSION_BEYOND_MM: f64 = 1.5;
/// Between a dimension line and the foot of its figure.
const FIGURE_LIFT_MM: f64 = 0.8;
/// Free room about a figure.
const FIGURE_MARGIN_MM: f64 = 0.5;
/// Step by which a figure is shifted along its line.
const SHIFT_MM: f64 = 1.0;
/// Dimension lines on one level keep this far apart, end to end.
const LINE_GAP_MM: f64 = 2.0;
const LEVELS: usize = 24;
/// Costs, in levels.
const CROSSING_COST: f64 = 3.0;
const BEYOND_COST: f64 = 0.75;
const SHIFT_COST_PER_MM: f64 = 0.02;

/// Draws the readings around `piece` (its bounding box), keeping clear of what `taken` holds, and notes there what it drew.
pub fn dimension(
    piece: Rect,
    readings: &[Reading],
    style: Style,
    taken: &mut Clearance,
    typeface: &Typeface,
) -> Vec<Mark> {
    let mut marks = Vec::new();
    for side in [Side::Top, Side::Bottom, Side::Left, Side::Right] {
        let frame = Frame { side, piece };
        let mut spans: Vec<Span> = readings
            .iter()
            .filter(|reading| reading.side == side)
            .map(|reading| frame.span(reading, style, typeface))
            .collect();
        spans.sort_by(|a, b| a.length().total_cmp(&b.length()).then(a.datum.along.total_cmp(&b.datum.along)));
        let mut solver = Solver { frame, style, typeface, taken, lines: Vec::new(), marks: &mut marks };
        for index in 0..spans.len() {
            let (span, later) = (&spans[index], spans.get(index + 1..).unwrap_or_default());
            solver.place(span, later);
        }
    }
    marks
}

/// Coordinates of one side: `along` is measured, `out` runs away from the piece.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Local {
    along: f64,
    out: f64,
}

#[derive(Debug, Clone, Copy)]
struct Frame {
    side: Side,
    piece: Rect,
}

impl Frame {
    fn local(&self, point: Point) -> Local {
        match self.side {
            Side::Top => Local { along: point.x, out: self.piece.y0 - point.y },
            Side::Bottom => Local { along: point.x, out: point.y - self.piece.y1 },
            Side::Left => Local { along: point.y, out: self.piece.x0 - point.x },
            Side::Right => Local { along: point.y, out: point.x - self.piece.x1 },
        }
    }

    fn paper(&self, along: f64, out: f64) -> Point {
        match self.side {
            Side::Top => Point::new(along, self.piece.y0 - out),
            Side::Bottom => Point::new(along, self.piece.y1 + out),
            Side::Left => Point::new(self.piece.x0 - out, along),
            Side::Right => Point::new(self.piece.x1 + out, along),
        }
    }

    /// The direction of growing `along` on paper, in degrees.
    fn direction(&self) -> f64 {
        match self.side {
            Side::Top | Side::Bottom => 0.0,
            Side::Left | Side::Right => 90.0,
        }
    }

    /// Figures read from the bottom or from the right of the page.
    fn figure_rotation(&self) -> f64 {
        match self.side {
            Side::Top | Side::Bottom => 0.0,
            Side::Left | Side::Right => -90.0,
        }
    }

    /// A figure's baseline lies above its line as it is read: up the page, or to the left.
    fn above(&self) -> Vec2 {
        match self.side {
            Side::Top | Side::Bottom => Vec2::new(0.0, -1.0),
            Side::Left | Side::Right => Vec2::new(-1.0, 0.0),
        }
    }

    fn span(&self, reading: &Reading, style: Style, typeface: &Typeface) -> Span {
        let text = super::text::printable(&reading.text);
        let width = typeface.width(&text, style.text_size);
        Span { datum: self.local(reading.datum), feature: self.local(reading.feature), text, width }
    }
}

#[derive(Debug, Clone)]
struct Span {
    datum: Local,
    feature: Local,
    text: String,
    /// Of the figure.
    width: f64,
}

impl Span {
    fn low(&self) -> f64 {
        self.datum.along.min(self.feature.along)
    }

    fn high(&self) -> f64 {
        self.datum.along.max(self.feature.along)
    }

    fn length(&self) -> f64 {
        self.high() - self.low()
    }

    fn middle(&self) -> f64 {
        (self.low() + self.high()) / 2.0
    }
}

/// Where a figure stands, and how far its dimension line reaches to carry it.
#[derive(Debug, Clone, Copy)]
struct Place {
    out: f64,
    /// The middle of the figure; `None` when it must be led out.
    figure: Option<f64>,
    low: f64,
    high: f64,
}

struct Solver<'a> {
    frame: Frame,
    style: Style,
    typeface: &'a Typeface,
    taken: &'a mut Clearance,
    /// Dimension lines drawn on this side: (out, low, high).
    lines: Vec<(f64, f64, f64)>,
    marks: &'a mut Vec<Mark>,
}

impl Solver<'_> {
    fn place(&mut self, span: &Span, later: &[Span]) {
        let mut best: Option<(f64, Place)> = None;
        for level in 0..LEVELS {
            if best.is_some_and(|(cost, _)| cost <= level as f64) {
                break;
            }
            let out = self.style.first + level as f64 * self.style.pitch;
            for (extra, figure) in figure_candidates(span) {
                let place = self.reach(span, out, figure);
                let cost = level as f64 + extra + CROSSING_COST * self.crossings(span, place, later) as f64;
                if best.is_none_or(|(least, _)| cost < least) && self.fits(span, place, later) {
                    best = Some((cost, place));
                }
            }
        }
        match best {
            Some((_, place)) => self.draw(span, place),
            None => self.lead_out(span),
        }
    }

    /// The extent of the dimension line for a figure standing at `figure`: it runs under a figure beyond its ends.
    fn reach(&self, span: &Span, out: f64, figure: f64) -> Place {
        let (low, high) = (figure - span.width / 2.0, figure + span.width / 2.0);
        let beyond = low < span.low() || high > span.high();
        Place {
            out,
            figure: Some(figure),
            low: if beyond { span.low().min(low) } else { span.low() },
            high: if beyond { span.high().max(high) } else { span.high() },
        }
    }

    /// Hard conditions: figure and line clear of everything, and no extension line through a figure.
    fn fits(&self, span: &Span, place: Place, later: &[Span]) -> bool {
        let Some(figure) = place.figure else { return false };
        let corners =
            grown(self.figure_text(span, figure, place.out).corners(self.typeface), FIGURE_MARGIN_MM);
        let (low, high) =
            (figure - span.width / 2.0 - FIGURE_MARGIN_MM, figure + span.width / 2.0 + FIGURE_MARGIN_MM);
        // Extension lines still to come will run outward past this level.
        let stays_clear = later
            .iter()
            .flat_map(|other| [other.datum.along, other.feature.along])
            .chain([span.datum.along, span.feature.along])
            .all(|along| along <= low || along >= high);
        stays_clear && self.taken.is_free(&corners) && self.line_is_free(span, place)
    }

    fn line_is_free(&self, span: &Span, place: Place) -> bool {
        let apart = self.lines.iter().all(|(out, low, high)| {
            (out - place.out).abs() > self.style.pitch / 2.0
                || place.low >= high + LINE_GAP_MM
                || place.high <= low - LINE_GAP_MM
        });
        let strip = |a: Point, b: Point| {
            let rect = Rect::from_points(a, b).inflate(FIGURE_MARGIN_MM, FIGURE_MARGIN_MM);
            self.figures_clear(rect)
        };
        let ends = [span.datum, span.feature];
        apart
            && strip(self.frame.paper(place.low, place.out), self.frame.paper(place.high, place.out))
            && ends.iter().all(|end| {
                let (from, to) = self.extension(*end, place.out);
                strip(from, to)
            })
    }

    /// Whether a strip keeps clear of the figures and names drawn so far.
    fn figures_clear(&self, strip: Rect) -> bool {
        self.marks.iter().all(|mark| match &mark.ink {
            super::Ink::Text(text) => {
                let rect = bounding_box(&text.corners(self.typeface));
                rect.x1 <= strip.x0 || rect.x0 >= strip.x1 || rect.y1 <= strip.y0 || rect.y0 >= strip.y1
            }
            _ => true,
        })
    }

    /// How many drawn dimension lines the extension lines cross, and how many extension lines to come cross this line.
    fn crossings(&self, span: &Span, place: Place, later: &[Span]) -> usize {
        let inside = |along: f64, low: f64, high: f64| along > low + 1e-6 && along < high - 1e-6;
        let own = [span.datum.along, span.feature.along]
            .iter()
            .map(|along| {
                self.lines
                    .iter()
                    .filter(|(out, low, high)| *out < place.out && inside(*along, *low, *high))
                    .count()
            })
            .sum::<usize>();
        let to_come = later
            .iter()
            .flat_map(|other| [other.datum.along, other.feature.along])
            .filter(|along| inside(*along, place.low, place.high))
            .count();
        own + to_come
    }

    fn extension(&self, end: Local, out: f64) -> (Point, Point) {
        let from = (end.out + EXTENSION_GAP_MM).min(out);
        (self.frame.paper(end.along, from), self.frame.paper(end.along, out + EXTENSION_BEYOND_MM))
    }

    fn figure_text(&self, span: &Span, along: f64, out: f64) -> Text {
        let lift = FIGURE_LIFT_MM + self.typeface.descender * self.style.text_size * 0.3;
        Text::new(&span.text, self.frame.paper(along, out) + self.frame.above() * lift, self.style.text_size)
            .anchored(super::Anchor::Middle)
            .rotated(self.frame.figure_rotation())
    }

    fn draw(&mut self, span: &Span, place: Place) {
        for end in [span.datum, span.feature] {
            let (from, to) = self.extension(end, place.out);
            self.line(LineKind::Extension, from, to);
        }
        let (low, high) = (self.frame.paper(place.low, place.out), self.frame.paper(place.high, place.out));
        self.line(LineKind::Dimension, low, high);
        self.lines.push((place.out, place.low, place.high));
        self.terminators(span, place.out);
        if let Some(figure) = place.figure {
            let text = self.figure_text(span, figure, place.out);
            self.figure(text);
        }
    }

    fn terminators(&mut self, span: &Span, out: f64) {
        let direction = self.frame.direction();
        let (low, high) = (self.frame.paper(span.low(), out), self.frame.paper(span.high(), out));
        if span.length() >= 3.0 * ARROW_MM {
            for (tip, towards) in [(low, direction + 180.0), (high, direction)] {
                let head = symbol::arrowhead(tip, towards, ARROW_MM);
                self.marks.push(Mark::fill(Operation::Dimensions, head, Colour::BLACK));
            }
        } else {
            for at in [low, high] {
                self.marks
                    .push(Mark::line(LineKind::Dimension, symbol::oblique_stroke(at, direction, ARROW_MM)));
            }
        }
    }

    fn line(&mut self, kind: LineKind, from: Point, to: Point) {
        self.taken.add_segment(from, to);
        self.marks.push(Mark::line(kind, curve::segment(from, to)));
    }

    fn figure(&mut self, text: Text) {
        self.taken.add_box(&text.corners(self.typeface));
        self.marks.push(Mark::text(Operation::Dimensions, text));
    }

    /// Last resort: the dimension line on a level of its own, and its figure beyond everything on a leader.
    fn lead_out(&mut self, span: &Span) {
        let outermost =
            self.lines.iter().map(|line| line.0).fold(self.style.first - self.style.pitch, f64::max);
        let out = outermost + self.style.pitch;
        self.draw(span, Place { out, figure: None, low: span.low(), high: span.high() });
        let start = self.frame.paper(span.middle(), out);
        for step in 1..10 * LEVELS {
            let far = out + (1.0 + step as f64 / 4.0) * self.style.pitch;
            for shift in [0.0, 1.0, -1.0, 2.0, -2.0] {
                let along = span.middle() + shift * (span.width + LINE_GAP_MM);
                let text = self.figure_text(span, along, far);
                let end = self.frame.paper(along, far);
                if self.taken.is_free(&grown(text.corners(self.typeface), FIGURE_MARGIN_MM)) {
                    self.line(LineKind::Leader, start, end);
                    return self.figure(text);
                }
            }
        }
    }
}

/// Where a figure may stand along its line, with the extra cost: the middle, shifted, or beyond an end.
fn figure_candidates(span: &Span) -> Vec<(f64, f64)> {
    let room = (span.length() - span.width) / 2.0 - FIGURE_MARGIN_MM;
    let mut candidates = Vec::new();
    if room >= 0.0 {
        let mut shift = 0.0;
        while shift <= room {
            candidates.push((shift * SHIFT_COST_PER_MM, span.middle() + shift));
            if shift > 0.0 {
                candidates.push((shift * SHIFT_COST_PER_MM, span.middle() - shift));
            }
            shift += SHIFT_MM.max(room / 50.0);
        }
    }
    let beyond = span.width / 2.0 + ARROW_MM / 2.0 + FIGURE_MARGIN_MM;
    // Away from the datum first: the eye follows the reading outward.
    let outward = if span.feature.along >= span.datum.along { 1.0 } else { -1.0 };
    candidates.push((BEYOND_COST, span.feature.along + outward * beyond));
    candidates.push((BEYOND_COST, span.datum.along - outward * beyond));
    candidates
}
