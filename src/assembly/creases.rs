//! Score lines: where a reading puts them, and how far they run on the piece.

use super::built::{Located, in_reading_order, side};
use super::model::{Crease, Fold, Reading};
use super::outline::{point, written};
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Point, Polygon, Rect, Segment, clip_segment, line_spans, pt};
use crate::meaning::design::{self, DirectionWord, EdgeReading, FeatureKind, Line, RangeReading};
use crate::quantity::tolerance::COINCIDENT_MM;

/// What the readings of one piece are taken on before its panels are known.
pub(super) struct Sheet<'a> {
    pub piece: &'a str,
    /// The outline without tabs, cut-outs of the whole piece taken out.
    pub polygon: &'a Polygon,
    pub body: Rect,
}

/// The name of a crease: its own, or `score 2` for the second of the piece.
pub(super) fn name_of(crease: &design::Crease, index: usize) -> String {
    crease.name.clone().unwrap_or_else(|| format!("score {}", index + 1))
}

/// Every score line of a piece that lies on it, in order; the others have a finding.
pub(super) fn lower(list: &[design::Crease], sheet: &Sheet, sink: &mut Findings) -> Vec<Crease> {
    let mut done: Vec<Option<Crease>> = vec![None; list.len()];
    // A score may be read from another one, whichever comes first.
    let mut crossed = Vec::new();
    for _ in 0..list.len() {
        let mut progress = false;
        for (index, crease) in list.iter().enumerate() {
            if crossed.contains(&index) || done.get(index).is_none_or(Option::is_some) {
                continue;
            }
            match line_of(&crease.line, sheet, &done) {
                Ruled::Line(line) => {
                    done[index] = Some(lowered(crease, index, line, sheet));
                    progress = true;
                }
                Ruled::Across(base) => {
                    report_across(crease, index, &base, sheet, sink);
                    crossed.push(index);
                }
                Ruled::Waits => {}
            }
        }
        if !progress {
            break;
        }
    }
    // One finding for the whole ring: the others wait for this one. What waits for a score that has a finding has none.
    if crossed.is_empty()
        && let Some(index) = done.iter().position(Option::is_none)
    {
        report_unplaced(&list[index], index, sheet, sink);
    }
    let mut placed = Vec::new();
    for (index, crease) in done.into_iter().enumerate() {
        if let Some(crease) = crease.and_then(|c| on_piece(c, &list[index], sheet, sink)) {
            placed.push(crease);
        }
    }
    placed
}

fn lowered(crease: &design::Crease, index: usize, line: Segment, sheet: &Sheet) -> Crease {
    Crease {
        name: name_of(crease, index),
        named: crease.name.is_some(),
        fold: if crease.valley { Fold::Valley } else { Fold::Mountain },
        from: line.start,
        to: line.end,
        hinges: Vec::new(),
        rest: crease.rest.map(|rest| rest.value()),
        reading: reading_of(&crease.line, sheet),
        span: crease.span,
    }
}

fn reading_of(line: &Line, sheet: &Sheet) -> Option<Reading> {
    let Line::Reading { at, toward, .. } = line else { return None };
    let FeatureKind::Edge(_, word) = at.from.what else { return None };
    let inward = inward_of(&Located::side(&sheet.body, side(word)))?;
    let leads_out = toward.is_some_and(|(direction, _)| looks(direction).dot(inward) < 0.5);
    if leads_out { None } else { reading(at, &sheet.body) }
}

/// A reading from a side of a box, as dimension lines want it.
pub(super) fn reading(at: &EdgeReading, body: &Rect) -> Option<Reading> {
    let FeatureKind::Edge(_, word) = at.from.what else { return None };
    Some(reading_on(side(word), body, &at.value))
}

pub(super) fn reading_on(from: super::model::Side, body: &Rect, value: &design::Quantity) -> Reading {
    let Some(inward) = inward_of(&Located::side(body, from)) else {
        return Reading { from, base: from.of(body), at: from.of(body), written: written(value) };
    };
    let base = from.of(body);
    let at = base + (inward.x + inward.y) * value.value();
    Reading { from, base, at, written: written(value) }
}

fn inward_of(located: &Located) -> Option<Point> {
    match located {
        Located::Edge { inward, .. } => Some(*inward),
        _ => None,
    }
}

/// What comes of a score's reading.
enum Ruled {
    /// The full line before it is cut to the piece.
    Line(Segment),
    /// What it is read from is not known (yet).
    Waits,
    /// The line that it is read from has no such side.
    Across(Segment),
}

fn line_of(line: &Line, sheet: &Sheet, others: &[Option<Crease>]) -> Ruled {
    match line {
        Line::Segment { from, to } => Ruled::Line(in_reading_order(Segment::new(point(from), point(to)))),
        Line::Reading { at, toward, extent } => {
            let locate = |what: &FeatureKind| match what {
                FeatureKind::Edge(None, word) => Some(Located::side(&sheet.body, side(*word))),
                FeatureKind::Crease(name) => {
                    let other = others.iter().flatten().find(|crease| crease.name == *name)?;
                    Some(Located::Line(Segment::new(other.from, other.to)))
                }
                FeatureKind::Whole => Some(Located::Box(sheet.body)),
                _ => None,
            };
            let toward = toward.map(|(direction, _)| looks(direction));
            if let (Some(toward), Some(base)) = (toward, locate(&at.from.what).and_then(|l| l.line()))
                && base.vector().unit().is_some_and(|unit| unit.dot(toward).abs() > LEVEL)
            {
                return Ruled::Across(base);
            }
            let line = ruled_line(at, toward, extent.as_ref(), &sheet.body, sheet.polygon, locate);
            line.map_or(Ruled::Waits, Ruled::Line)
        }
    }
}

/// A line that leans by more than 45 degrees runs up and down and has no side above or below; cosine of that angle, with
/// a hair for a line that leans by just so much.
const LEVEL: f64 = std::f64::consts::FRAC_1_SQRT_2 + 1e-9;

/// The way of a direction word, y downward.
pub(super) fn looks(direction: DirectionWord) -> Point {
    match direction {
        DirectionWord::LeftOf => pt(-1.0, 0.0),
        DirectionWord::RightOf => pt(1.0, 0.0),
        DirectionWord::Above => pt(0.0, -1.0),
        DirectionWord::Below => pt(0.0, 1.0),
    }
}

/// The line square to a reading: over `extent`, or as far as there is paper. It lies the way of `toward`, or else towards
/// the middle of the box. `None` when a feature is not known.
pub(super) fn ruled_line(
    at: &EdgeReading,
    toward: Option<Point>,
    extent: Option<&RangeReading>,
    body: &Rect,
    polygon: &Polygon,
    locate: impl Fn(&FeatureKind) -> Option<Located>,
) -> Option<Segment> {
    let base = locate(&at.from.what)?;
    let carrier = base.line()?;
    let direction = in_reading_order(carrier).vector().unit()?;
    let normal = direction.turned_right();
    let inward = match (toward, base) {
        (Some(toward), _) => towards(normal, carrier.start, carrier.start + toward),
        (None, Located::Edge { inward, .. }) => inward,
        (None, _) => towards(normal, carrier.start, body.centre()),
    };
    let origin = carrier.start + inward * at.value.value();
    let Some(extent) = extent else {
        let spans = line_spans(polygon, origin, direction);
        let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
            // Beside the paper: over the whole box, so that the finding can say where.
            let reach = body.width() + body.height();
            return Some(Segment::new(origin, origin + direction * reach));
        };
        return Some(Segment::new(origin + direction * first.from, origin + direction * last.to));
    };
    let from = locate(&extent.from.what)?;
    let edge = from.line()?;
    let ahead = match from {
        Located::Edge { inward, .. } => inward,
        _ => towards(edge.vector().unit()?.turned_right(), edge.start, body.centre()),
    };
    // Where the line stands `value` away from the edge that the extent is read from.
    let along = direction.dot(ahead);
    if along.abs() < 1e-6 {
        return None;
    }
    let stand = |value: f64| origin + direction * ((value - ahead.dot(origin - edge.start)) / along);
    Some(in_reading_order(Segment::new(stand(extent.start.value()), stand(extent.end.value()))))
}

/// The normal, turned so that it looks from `from` to `to`.
pub(super) fn towards(normal: Point, from: Point, to: Point) -> Point {
    if normal.dot(to - from) < 0.0 { -normal } else { normal }
}

/// The crease when it lies on the paper; its ends are held to the outline where they overshoot by rounding only.
fn on_piece(crease: Crease, source: &design::Crease, sheet: &Sheet, sink: &mut Findings) -> Option<Crease> {
    if let Line::Reading { extent: Some(extent), .. } = &source.line
        && extent.end.value() <= extent.start.value()
    {
        sink.report(found::RangeReversed {
            place: extent.start.span.to(extent.end.span),
            low: extent.start.stated(),
            high: extent.end.stated(),
        });
        return None;
    }
    let line = Segment::new(crease.from, crease.to);
    let inside = clip_segment(sheet.polygon, &line);
    let reach = inside.first().zip(inside.last()).map(|(first, last)| (first.from, last.to));
    let fits = reach.is_some_and(|(from, to)| {
        from <= COINCIDENT_MM && to >= line.length() - COINCIDENT_MM && to - from > COINCIDENT_MM
    });
    if fits {
        return Some(crease);
    }
    let over = reach.map(|(from, to)| from.max(line.length() - to));
    sink.report(found::ScoreOffPiece {
        crease: crease.name.clone(),
        piece: sheet.piece.into(),
        place: crease.span,
        over,
        reading: reading_of(&source.line, sheet).map(|r| (r.written.value, r.from.word())),
        extent: match &source.line {
            Line::Reading { extent: Some(extent), .. } => Some((extent.end.span, extent.end.literal)),
            _ => None,
        },
        extent_end: extent_limit(&source.line, &line, reach),
        size: (sheet.body.width(), sheet.body.height()),
    });
    None
}

/// The largest end value of an extent that still lies on the paper, when only that end overshoots.
fn extent_limit(source: &Line, line: &Segment, reach: Option<(f64, f64)>) -> Option<f64> {
    let Line::Reading { extent: Some(extent), .. } = source else { return None };
    let (from, to) = reach?;
    let (before, after) = (from, line.length() - to);
    let over = if before <= COINCIDENT_MM { after } else { before };
    (before.min(after) <= COINCIDENT_MM).then_some(extent.end.value() - over)
}

fn report_unplaced(crease: &design::Crease, index: usize, sheet: &Sheet, sink: &mut Findings) {
    let from = match &crease.line {
        Line::Reading { at, .. } => at.from.span,
        Line::Segment { .. } => crease.span,
    };
    sink.report(found::ScoreHasNoPlace {
        crease: name_of(crease, index),
        piece: sheet.piece.into(),
        place: crease.span,
        from,
    });
}

fn report_across(crease: &design::Crease, index: usize, base: &Segment, sheet: &Sheet, sink: &mut Findings) {
    let Line::Reading { at, toward: Some((direction, place)), .. } = &crease.line else { return };
    let of = match &at.from.what {
        FeatureKind::Crease(name) => name.clone(),
        FeatureKind::Edge(_, word) => side(*word).word().into(),
        _ => sheet.piece.into(),
    };
    let unit = in_reading_order(*base).vector().unit().unwrap_or(pt(1.0, 0.0));
    let from_level = libm::atan2(unit.y.abs(), unit.x.abs()).to_degrees();
    let middle = towards(unit.turned_right(), base.start, sheet.body.centre());
    let (said, instead) = match direction {
        DirectionWord::LeftOf => ("left of", ["above", "below"]),
        DirectionWord::RightOf => ("right of", ["above", "below"]),
        DirectionWord::Above => ("above", ["left of", "right of"]),
        DirectionWord::Below => ("below", ["left of", "right of"]),
    };
    // The side with more room first.
    let second = if said.ends_with("of") { middle.y > 0.0 } else { middle.x > 0.0 };
    let [near, far] = instead;
    sink.report(found::LineHasNoSuchSide {
        crease: name_of(crease, index),
        of,
        said,
        instead: if second { [far, near] } else { [near, far] },
        from_level,
        place: *place,
        line: at.from.span,
    });
}
