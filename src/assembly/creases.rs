//! Score lines: where a reading puts them, and how far they run on the piece.

use super::built::{Located, in_reading_order, side};
use super::model::{Crease, Fold, Reading};
use super::outline::{point, written};
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Point, Polygon, Rect, Segment, clip_segment, line_spans};
use crate::meaning::design::{self, EdgeReading, FeatureKind, Line, RangeReading};
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
    for _ in 0..list.len() {
        let mut progress = false;
        for (index, crease) in list.iter().enumerate() {
            if done.get(index).is_some_and(Option::is_none)
                && let Some(line) = line_of(&crease.line, sheet, &done)
            {
                done[index] = Some(lowered(crease, index, line, sheet));
                progress = true;
            }
        }
        if !progress {
            break;
        }
    }
    // One finding for the whole ring: the others wait for this one.
    if let Some(index) = done.iter().position(Option::is_none) {
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
    let Line::Reading { at, .. } = line else { return None };
    reading(at, &sheet.body)
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

/// The full line before it is cut to the piece; `None` when what it is read from is not known (yet).
fn line_of(line: &Line, sheet: &Sheet, others: &[Option<Crease>]) -> Option<Segment> {
    match line {
        Line::Segment { from, to } => Some(in_reading_order(Segment::new(point(from), point(to)))),
        Line::Reading { at, extent } => {
            let locate = |what: &FeatureKind| match what {
                FeatureKind::Edge(None, word) => Some(Located::side(&sheet.body, side(*word))),
                FeatureKind::Crease(name) => {
                    let other = others.iter().flatten().find(|crease| crease.name == *name)?;
                    Some(Located::Line(Segment::new(other.from, other.to)))
                }
                FeatureKind::Whole => Some(Located::Box(sheet.body)),
                _ => None,
            };
            ruled_line(at, extent.as_ref(), &sheet.body, sheet.polygon, locate)
        }
    }
}

/// The line square to a reading: over `extent`, or as far as there is paper. `None` when a feature is not known.
pub(super) fn ruled_line(
    at: &EdgeReading,
    extent: Option<&RangeReading>,
    body: &Rect,
    polygon: &Polygon,
    locate: impl Fn(&FeatureKind) -> Option<Located>,
) -> Option<Segment> {
    let base = locate(&at.from.what)?;
    let carrier = base.line()?;
    let direction = in_reading_order(carrier).vector().unit()?;
    let inward = match base {
        Located::Edge { inward, .. } => inward,
        _ => towards(direction.turned_right(), carrier.start, body.centre()),
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
