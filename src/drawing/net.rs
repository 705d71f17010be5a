//! The net of a piece: outline, cuts, folds, glue areas, names, marks and readings, at true size, printed side up.

use kurbo::{BezPath, Rect};

use super::clearance::Clearance;
use super::dimension::{self, Reading, Side, Style};
use super::hatch::hatch;
use super::label::{Name, place_names};
use super::{Colour, Figure, Ink, LineKind, Mark, Operation, Text, Typeface, curve};
use crate::assembly::{
    self, Assembly, Cutout, CutoutKind, Face, Fold, JointKind, Piece, PieceId, PrintContent,
};
use crate::geometry::{self, Point, Polygon};
use crate::quantity::{Units, say_length};

/// Hatching of a glue area: line spacing in mm, and its angle on the front and on the back.
const HATCH_MM: f64 = 2.5;
const FRONT_HATCH_DEG: f64 = 45.0;
const BACK_HATCH_DEG: f64 = -45.0;
/// Half the size of a mark's cross.
const CROSS_MM: f64 = 2.0;
/// Ems of the title and of print texts.
const TITLE_MM: f64 = 4.2;
const NOTE_MM: f64 = 3.0;

/// The net of one piece as a figure in its own frame.
pub fn net(assembly: &Assembly, id: PieceId, typeface: &Typeface) -> Option<Figure> {
    let piece = assembly.pieces.get(id)?;
    let mut marks = glue(assembly, id);
    marks.extend(prints(assembly, id, typeface));
    marks.extend(folds(piece));
    marks.extend(cuts(piece));
    marks.extend(crosses(piece));
    let b = piece.bounds;
    let bounds = Rect::new(b.min.x, b.min.y, b.max.x, b.max.y);
    // Hatching is ground that a name may lie on; everything else is an obstacle.
    let solid: Vec<Mark> =
        marks.iter().filter(|m| !matches!(m.ink, Ink::Line { kind: LineKind::Glue, .. })).cloned().collect();
    let mut taken = Clearance::of(&solid, typeface);
    let names = names(assembly, piece);
    marks.extend(dimension::dimension(
        bounds,
        &readings(piece, assembly.units),
        Style::default(),
        &mut taken,
        typeface,
    ));
    for name in place_names(&names, &mut taken, typeface) {
        marks.extend(ground(&name, typeface));
        marks.push(name);
    }
    marks.extend(title(assembly, piece, &marks, typeface));
    let heading = format!("{} {}", piece.letter, piece.name);
    Some(Figure::around(&heading, marks, 3.0, typeface))
}

/// White paper under a name, so that it reads over hatching.
fn ground(mark: &Mark, typeface: &Typeface) -> Option<Mark> {
    let Ink::Text(text) = &mark.ink else { return None };
    let corners = text.corners(typeface);
    let (x0, y0) = corners.iter().fold((f64::MAX, f64::MAX), |(x, y), p| (x.min(p.x), y.min(p.y)));
    let (x1, y1) = corners.iter().fold((f64::MIN, f64::MIN), |(x, y), p| (x.max(p.x), y.max(p.y)));
    let room = Rect::new(x0, y0, x1, y1).inflate(0.8, 0.4);
    Some(Mark::fill(Operation::Legend, curve::rectangle(room), Colour::WHITE))
}

fn cuts(piece: &Piece) -> Vec<Mark> {
    let mut marks = vec![Mark::line(LineKind::Outline, curve::contour(&piece.contour))];
    for cutout in &piece.cutouts {
        let path = match &cutout.contour {
            Some(contour) => curve::contour(contour),
            None => curve::segment(curve::point(cutout.from), curve::point(cutout.to)),
        };
        marks.push(Mark::line(LineKind::Cut, path));
        if cutout.kind == CutoutKind::Hole {
            let reach = (cutout.width / 2.0 + 1.5).max(2.0);
            let c = curve::point(cutout.centre);
            let mut cross = curve::segment((c.x - reach, c.y).into(), (c.x + reach, c.y).into());
            cross.extend(
                curve::segment((c.x, c.y - reach).into(), (c.x, c.y + reach).into())
                    .elements()
                    .iter()
                    .copied(),
            );
            marks.push(Mark::line(LineKind::Centre, cross));
        }
    }
    marks
}

fn folds(piece: &Piece) -> Vec<Mark> {
    piece
        .creases
        .iter()
        .map(|crease| {
            let kind = if crease.fold == Fold::Valley { LineKind::Valley } else { LineKind::Mountain };
            Mark::line(kind, curve::segment(curve::point(crease.from), curve::point(crease.to)))
        })
        .collect()
}

/// Areas that take glue: on this piece's panels as targets, and on its own face where it is the part.
fn glue(assembly: &Assembly, id: PieceId) -> Vec<Mark> {
    let mut marks = Vec::new();
    let of_piece = |panel: usize| assembly.panels.get(panel).is_some_and(|p| p.piece == id);
    for joint in &assembly.joints {
        let JointKind::Fixed { placement, faces, area, .. } = &joint.kind else { continue };
        if of_piece(joint.a) {
            area.iter().for_each(|polygon| marks.extend(hatched(curve::region(polygon), faces.1)));
        }
        if of_piece(joint.b) {
            let back = placement.isometry().inverse();
            for polygon in area {
                let ring = |ring: &Vec<Point>| ring.iter().map(|p| back.apply(*p)).collect::<Vec<Point>>();
                let own = Polygon::new(ring(&polygon.outer), polygon.holes.iter().map(ring).collect());
                marks.extend(hatched(curve::region(&own), faces.0));
            }
        }
    }
    marks
}

fn hatched(area: BezPath, face: Face) -> Vec<Mark> {
    let angle = if face == Face::Front { FRONT_HATCH_DEG } else { BACK_HATCH_DEG };
    vec![Mark::line(LineKind::Glue, hatch(&area, angle, HATCH_MM)), Mark::line(LineKind::Glue, area)]
}

fn prints(assembly: &Assembly, id: PieceId, typeface: &Typeface) -> Vec<Mark> {
    let mut marks = Vec::new();
    for print in &assembly.prints {
        if assembly.panels.get(print.panel).is_none_or(|p| p.piece != id) {
            continue;
        }
        let area = Rect::new(print.area.min.x, print.area.min.y, print.area.max.x, print.area.max.y);
        marks.push(Mark::line(LineKind::Position, curve::rectangle(area)));
        let mut words = match &print.content {
            PrintContent::Text(text) => text.replace('\n', " / "),
            PrintContent::Picture { file, .. } => format!("picture {file}"),
        };
        if print.face == Face::Back {
            words.push_str(" (on the back)");
        }
        let fits = |size: f64| typeface.width(&words, size) <= area.width() - 1.0 && size <= area.height();
        if let Some(size) = [6.0, 5.0, 4.0, 3.5, 3.0, 2.5].into_iter().find(|s| fits(*s)) {
            marks.push(Mark::text(
                Operation::Artwork,
                Text::centred(&words, area.center(), size, 0.0, typeface).grey(0.35),
            ));
        }
    }
    marks
}

fn crosses(piece: &Piece) -> Vec<Mark> {
    piece
        .marks
        .iter()
        .map(|mark| {
            let c = curve::point(mark.at);
            let mut cross = curve::segment((c.x - CROSS_MM, c.y).into(), (c.x + CROSS_MM, c.y).into());
            cross.extend(
                curve::segment((c.x, c.y - CROSS_MM).into(), (c.x, c.y + CROSS_MM).into())
                    .elements()
                    .iter()
                    .copied(),
            );
            Mark::line(LineKind::Position, cross)
        })
        .collect()
}

/// Names of the panels; a piece that is one panel carries its name in the title alone.
fn names(assembly: &Assembly, piece: &Piece) -> Vec<Name> {
    let mut names = Vec::new();
    if piece.panels.len() > 1 {
        for panel in piece.panels.iter().filter_map(|id| assembly.panels.get(*id)) {
            names.push(Name { text: panel.name.clone(), area: panel.polygon.clone() });
        }
    } else if let Some(panel) = piece.panels.first().and_then(|id| assembly.panels.get(*id)) {
        names.push(Name { text: format!("{} front", piece.letter), area: panel.polygon.clone() });
    }
    names
}

fn title(assembly: &Assembly, piece: &Piece, marks: &[Mark], typeface: &Typeface) -> Vec<Mark> {
    let paper = assembly.papers.get(piece.paper).map(|p| p.name.as_str()).unwrap_or_default();
    let top = marks.iter().map(|m| m.bounds(typeface).y0).fold(piece.bounds.min.y, f64::min);
    let left = piece.bounds.min.x;
    let heading = format!("{}  {}", piece.letter, piece.name);
    let size = format!(
        "cut from {paper}: {} × {}, this side is the front",
        say_length(piece.bounds.width(), assembly.units),
        say_length(piece.bounds.height(), assembly.units)
    );
    vec![
        Mark::text(Operation::Legend, Text::new(&heading, (left, top - 7.5).into(), TITLE_MM)),
        Mark::text(Operation::Legend, Text::new(&size, (left, top - 3.0).into(), NOTE_MM)),
    ]
}

/// Size of the whole, every score and every opening, read from the edges the design states.
fn readings(piece: &Piece, units: Units) -> Vec<Reading> {
    let b = piece.bounds;
    let say = |mm: f64| say_length(mm, units);
    let mut list = vec![
        Reading {
            side: Side::Bottom,
            datum: (b.min.x, b.max.y).into(),
            feature: (b.max.x, b.max.y).into(),
            text: say(b.width()),
        },
        Reading {
            side: Side::Left,
            datum: (b.min.x, b.min.y).into(),
            feature: (b.min.x, b.max.y).into(),
            text: say(b.height()),
        },
    ];
    for crease in &piece.creases {
        if let Some(r) = &crease.reading {
            let near = if (crease.from.y, crease.from.x) <= (crease.to.y, crease.to.x) {
                crease.from
            } else {
                crease.to
            };
            list.push(reading(r, near, &b, &say));
        }
    }
    for cutout in &piece.cutouts {
        list.extend(cutout.readings.iter().map(|r| reading(r, feature_of(cutout, r), &b, &say)));
    }
    for mark in &piece.marks {
        list.extend(mark.readings.iter().map(|r| reading(r, mark.at, &b, &say)));
    }
    // The same distance said twice (a pair of slots with the same ends) is drawn once.
    let mut drawn: Vec<Reading> = Vec::new();
    for r in list {
        let same = |d: &Reading| {
            let along = |p: kurbo::Point| if matches!(r.side, Side::Top | Side::Bottom) { p.x } else { p.y };
            d.side == r.side
                && (along(d.datum) - along(r.datum)).abs() < 0.01
                && (along(d.feature) - along(r.feature)).abs() < 0.01
        };
        if !drawn.iter().any(same) && r.datum != r.feature {
            drawn.push(r);
        }
    }
    drawn
}

/// Where a reading's extension line starts on an opening.
fn feature_of(cutout: &Cutout, reading: &assembly::Reading) -> Point {
    let across = reading.from.is_across();
    let off = |p: Point| ((if across { p.x } else { p.y }) - reading.at).abs();
    [cutout.from, cutout.to, cutout.centre]
        .into_iter()
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))
        .unwrap_or(cutout.centre)
}

fn reading(
    r: &assembly::Reading,
    feature: Point,
    bounds: &geometry::Rect,
    say: &dyn Fn(f64) -> String,
) -> Reading {
    let text = say((r.at - r.base).abs());
    if r.from.is_across() {
        let side = if feature.y > (bounds.min.y + bounds.max.y) * 0.5 && bounds.max.y - feature.y < 1.0 {
            Side::Bottom
        } else {
            Side::Top
        };
        Reading { side, datum: (r.base, feature.y).into(), feature: (r.at, feature.y).into(), text }
    } else {
        let side = if feature.x < (bounds.min.x + bounds.max.x) / 2.0 { Side::Left } else { Side::Right };
        Reading { side, datum: (feature.x, r.base).into(), feature: (feature.x, r.at).into(), text }
    }
}

/// The colour of a piece's paper.
pub fn paper_colour(assembly: &Assembly, piece: &Piece) -> Colour {
    match assembly.papers.get(piece.paper) {
        Some(p) => Colour { red: p.colour.red, green: p.colour.green, blue: p.colour.blue },
        None => Colour::WHITE,
    }
}
