//! Slots, slits, windows and holes: from readings and placement to contours.

use super::built::{Built, Located};
use super::creases::{reading, reading_on, ruled_line};
use super::model::{Cutout, CutoutKind, Mark, Reading};
use super::outline::{circle, point};
use super::panels::{is_clear_inside, opening_polygon};
use super::place::{Ground, Placed, Subject, place};
use super::tabs::splice;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Isometry, Point, Polygon, Rect, Segment, difference, pt, region_area};
use crate::meaning::design::{self, CutoutForm, CutoutWord, Feature, Line, Place, PlaceKind};
use crate::quantity::tolerance::{AREA_MM2, COINCIDENT_MM};

/// An opening and the panel it was given on.
pub(super) struct Opened {
    pub cutout: Cutout,
}

fn kind(word: CutoutWord) -> CutoutKind {
    match word {
        CutoutWord::Slot => CutoutKind::Slot,
        CutoutWord::Slit => CutoutKind::Slit,
        CutoutWord::Window => CutoutKind::Window,
        CutoutWord::Hole => CutoutKind::Hole,
    }
}

/// One opening of `built`, placed on its panel. `None` after a finding, or when its panel is not known.
pub(super) fn lower(cutout: &design::Cutout, built: &Built, sink: &mut Findings) -> Option<Opened> {
    let bounds = built.box_of(cutout.panel.as_deref())?;
    let home = match &cutout.panel {
        Some(name) => built.panels.get(built.panel(name)?)?.polygon.clone(),
        None => built.polygon.clone(),
    };
    let locate = |feature: &Feature| built.locate(&feature.what, None);
    let name = cutout.panel.clone().unwrap_or_else(|| built.name.clone());
    let ground = Ground { bounds, locate: &locate, name };
    let lowered = match &cutout.form {
        CutoutForm::Line { width, line, length } => {
            if let Some(q) = [width, length].into_iter().flatten().find(|q| q.value() <= 0.0) {
                sink.report(found::NotPositive { place: q.span, value: q.value() });
                return None;
            }
            let line = match line {
                Some(line) => straight(line, &bounds, &home, built, sink)?,
                None => placed_line(cutout, length.map_or(0.0, |l| l.value()), &ground, sink)?,
            };
            if line.length() <= COINCIDENT_MM {
                sink.report(found::NotPositive { place: cutout.span, value: line.length() });
                return None;
            }
            along(cutout, line, width.map(|w| w.value()))
        }
        CutoutForm::Circle { diameter } => {
            let radius = diameter.value() / 2.0;
            let corners = [pt(-radius, 0.0), pt(radius, 0.0), pt(0.0, -radius), pt(0.0, radius)];
            let placed = placed(cutout, corners.to_vec(), true, &ground, sink)?;
            shaped(cutout, circle(Point::ORIGIN, radius), &placed)
        }
        CutoutForm::Rectangle { width, height } => {
            let rect = centred_box(width.value(), height.value());
            let placed = placed(cutout, rect.corners().to_vec(), false, &ground, sink)?;
            shaped(cutout, Contour::rectangle(rect), &placed)
        }
        CutoutForm::Rounded { width, height, corner } => {
            let rect = centred_box(width.value(), height.value());
            let placed = placed(cutout, rect.corners().to_vec(), false, &ground, sink)?;
            shaped(cutout, Contour::rounded_rectangle(rect, [corner.value(); 4]), &placed)
        }
        CutoutForm::Polygon(points) => {
            let corners: Vec<Point> = points.iter().map(point).collect();
            let contour = Contour::polygon(&corners);
            if let Some(at) = contour.self_crossing(crate::quantity::tolerance::CHORD_MM) {
                sink.report(found::OutlineCrossesItself {
                    piece: cutout.name.clone(),
                    place: cutout.span,
                    near: None,
                    at: (at.x, at.y),
                });
                return None;
            }
            // A polygon without placement lies where its points say.
            let placed = if cutout.place.is_empty() {
                Placed { turned: 0.0, shift: Point::ORIGIN }
            } else {
                placed(cutout, corners, false, &ground, sink)?
            };
            shaped(cutout, contour, &placed)
        }
    };
    let mut lowered = lowered;
    lowered.readings = readings(cutout, &bounds);
    inside_panel(&lowered, cutout, &home, &bounds, sink)?;
    Some(Opened { cutout: lowered })
}

fn centred_box(width: f64, height: f64) -> Rect {
    Rect::new(-width / 2.0, -height / 2.0, width, height)
}

fn placed(
    cutout: &design::Cutout,
    points: Vec<Point>,
    by_centre: bool,
    ground: &Ground,
    sink: &mut Findings,
) -> Option<Placed> {
    let nothing = |_: &Feature| -> Option<Located> { None };
    let no_edge = |_: &Feature| -> Option<Segment> { None };
    let end = cutout.place.last().map_or(cutout.span, |clause| clause.span).after();
    let subject = Subject {
        points,
        by_centre,
        locate: &nothing,
        edge: &no_edge,
        name: cutout.name.clone(),
        span: cutout.span,
        write_at: (end, if cutout.place.is_empty() { "" } else { ", " }),
    };
    place(&cutout.place, &subject, ground, &[], sink)
}

/// The centre line given by readings or points.
fn straight(
    line: &Line,
    bounds: &Rect,
    home: &Polygon,
    built: &Built,
    sink: &mut Findings,
) -> Option<Segment> {
    match line {
        Line::Segment { from, to } => Some(Segment::new(point(from), point(to))),
        Line::Reading { at, extent, .. } => {
            if let Some(extent) = extent
                && extent.end.value() <= extent.start.value()
            {
                sink.report(found::RangeReversed {
                    place: extent.start.span.to(extent.end.span),
                    low: extent.start.stated(),
                    high: extent.end.stated(),
                });
                return None;
            }
            let locate = |what: &design::FeatureKind| built.locate(what, None);
            ruled_line(at, None, extent.as_ref(), bounds, home, locate)
        }
    }
}

/// A centre line of a stated length, lying across unless turned, put where the clauses say: by its centre line in the
/// direction square to it and by its ends along it.
fn placed_line(
    cutout: &design::Cutout,
    length: f64,
    ground: &Ground,
    sink: &mut Findings,
) -> Option<Segment> {
    let line = Segment::new(pt(-length / 2.0, 0.0), pt(length / 2.0, 0.0));
    let placed = placed(cutout, vec![line.start, line.end], false, ground, sink)?;
    Some(placed.isometry().apply_segment(line))
}

fn along(cutout: &design::Cutout, line: Segment, width: Option<f64>) -> Cutout {
    let unit = line.vector().unit().unwrap_or(pt(1.0, 0.0));
    let contour = width.filter(|&w| w > 0.0).map(|w| {
        let half = unit.turned_right() * (w / 2.0);
        Contour::polygon(&[line.start - half, line.end - half, line.end + half, line.start + half])
    });
    Cutout {
        name: cutout.name.clone(),
        kind: kind(cutout.kind),
        panel: 0,
        contour,
        notch: false,
        centre: line.midpoint(),
        from: line.start,
        to: line.end,
        length: line.length(),
        width: width.unwrap_or(0.0),
        readings: Vec::new(),
        span: cutout.span,
    }
}

fn shaped(cutout: &design::Cutout, contour: Contour, placed: &Placed) -> Cutout {
    let motion: Isometry = placed.isometry();
    let contour = contour.transformed(&motion);
    let contour = if contour.signed_area() < 0.0 { contour.reversed() } else { contour };
    let bounds = contour.bounds();
    let centre = bounds.centre();
    Cutout {
        name: cutout.name.clone(),
        kind: kind(cutout.kind),
        panel: 0,
        contour: Some(contour),
        notch: false,
        centre,
        from: centre,
        to: centre,
        length: bounds.width(),
        width: bounds.height(),
        readings: Vec::new(),
        span: cutout.span,
    }
}

/// Readings from plain edges, those across first.
fn readings(cutout: &design::Cutout, bounds: &Rect) -> Vec<Reading> {
    let mut list = Vec::new();
    if let CutoutForm::Line { line: Some(Line::Reading { at, extent, .. }), .. } = &cutout.form {
        list.extend(reading(at, bounds));
        if let Some(extent) = extent
            && let design::FeatureKind::Edge(_, word) = extent.from.what
        {
            let from = super::built::side(word);
            list.push(reading_on(from, bounds, &extent.start));
            list.push(reading_on(from, bounds, &extent.end));
        }
    }
    list.extend(place_readings(&cutout.place, bounds));
    list.sort_by_key(|r| !r.from.is_across());
    list
}

fn place_readings(place: &[Place], bounds: &Rect) -> Vec<Reading> {
    let reading = |clause: &Place| match &clause.kind {
        PlaceKind::Reading { at, .. } => reading(at, bounds),
        _ => None,
    };
    place.iter().filter_map(reading).collect()
}

/// An opening must lie on its panel; a line may end on its edge.
fn inside_panel(
    cutout: &Cutout,
    source: &design::Cutout,
    home: &Polygon,
    bounds: &Rect,
    sink: &mut Findings,
) -> Option<()> {
    let (points, outside) = match opening_polygon(cutout) {
        Some(opening) => {
            let large = !is_clear_inside(&opening, home) && {
                let rest = difference(std::slice::from_ref(&opening), std::slice::from_ref(home));
                region_area(&rest) > AREA_MM2.max(COINCIDENT_MM * opening.perimeter())
            };
            (opening.outer, large)
        }
        None => {
            let line = Segment::new(cutout.from, cutout.to);
            let inside: f64 =
                crate::geometry::clip_segment(home, &line).iter().map(|span| span.length()).sum();
            (vec![cutout.from, cutout.to], inside < line.length() - 2.0 * COINCIDENT_MM)
        }
    };
    let reach = Rect::of_points(points).unwrap_or(*bounds);
    // Asked first, since set operations hold large numbers only to a limit.
    let room = home.bounds().expanded(COINCIDENT_MM);
    let beyond = !(room.contains(reach.min, 0.0) && room.contains(reach.max, 0.0));
    if !outside && !beyond {
        return Some(());
    }
    let over = [
        (bounds.min.x - reach.min.x, "left"),
        (reach.max.x - bounds.max.x, "right"),
        (bounds.min.y - reach.min.y, "top"),
        (reach.max.y - bounds.max.y, "bottom"),
    ];
    let worst = over.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)).filter(|w| w.0 > COINCIDENT_MM);
    sink.report(found::CutoutOutsidePanel {
        cutout: cutout.name.clone(),
        word: word(cutout.kind),
        panel: source.panel.clone(),
        place: cutout.span,
        over: worst,
        size: (reach.width(), reach.height()),
        room: (bounds.width(), bounds.height()),
    });
    None
}

pub(super) fn word(kind: CutoutKind) -> &'static str {
    match kind {
        CutoutKind::Slot => "slot",
        CutoutKind::Slit => "slit",
        CutoutKind::Window => "window",
        CutoutKind::Hole => "hole",
    }
}

/// Leads the outline round openings that lie against it, so that they are notches and not holes with an edge in common.
pub(super) fn open_notches(built: &mut Built) {
    for index in 0..built.cutouts.len() {
        let Some(contour) = built.cutouts.get(index).and_then(|c| c.contour.clone()) else { continue };
        let count = contour.segments.len();
        let shared = contour.curves().enumerate().find_map(|(i, (from, curve))| {
            let side = curve.as_segment(from)?;
            let held = built.contour.curves().any(|(start, line)| {
                line.as_segment(start).is_some_and(|line| {
                    line.distance(side.start) <= COINCIDENT_MM && line.distance(side.end) <= COINCIDENT_MM
                })
            });
            held.then_some((i, side))
        });
        let Some((at, side)) = shared else { continue };
        // The way round the opening from the end of the shared side back to its start.
        let mut rest = contour.segments.clone();
        rest.rotate_left((at + 1) % count.max(1));
        rest.pop();
        let way = Contour::new(side.end, rest);
        if splice(&mut built.contour, Segment::new(side.end, side.start), &way.segments)
            && let Some(cutout) = built.cutouts.get_mut(index)
        {
            cutout.notch = true;
        }
    }
}

/// A mark; both directions must be fixed.
pub(super) fn mark(mark: &design::Mark, built: &Built, sink: &mut Findings) -> Option<Mark> {
    let bounds = built.box_of(mark.panel.as_deref())?;
    let locate = |feature: &Feature| built.locate(&feature.what, None);
    let nothing = |_: &Feature| -> Option<Located> { None };
    let no_edge = |_: &Feature| -> Option<Segment> { None };
    let name = mark.panel.clone().unwrap_or_else(|| built.name.clone());
    let ground = Ground { bounds, locate: &locate, name };
    let end = mark.place.last().map_or(mark.span, |clause| clause.span).after();
    let subject = Subject {
        points: vec![Point::ORIGIN],
        by_centre: true,
        locate: &nothing,
        edge: &no_edge,
        name: mark.name.clone(),
        span: mark.span,
        write_at: (end, if mark.place.is_empty() { ": " } else { ", " }),
    };
    let placed = place(&mark.place, &subject, &ground, &[], sink)?;
    let readings = place_readings(&mark.place, &bounds);
    Some(Mark { name: mark.name.clone(), at: placed.shift, readings, span: mark.span })
}
