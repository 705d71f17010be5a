//! The panels a piece falls into along its creases, slits and openings, and their names.

use super::built::{Built, BuiltPanel, Hinge, side};
use super::model::{CutoutKind, Side};
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Arrangement, Point, Polygon, Segment, arrange, difference, line_spans, pt};
use crate::meaning::design::Cut;
use crate::quantity::tolerance::COINCIDENT_MM;

/// Heights, as shares of its box, at which a panel is cut level to find a point inside it.
const LEVELS: [f64; 3] = [0.5, 0.37, 0.71];

/// Rounding of the grid on which a piece is divided, mm, with room to spare.
const GRID_NOISE_MM: f64 = 1e-6;

/// A name that a region of the piece already has.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub name: String,
    pub region: Polygon,
    pub span: crate::source::Span,
}

/// The material of a piece with its openings taken out.
fn material(built: &Built) -> Polygon {
    let openings: Vec<Polygon> =
        built.cutouts.iter().filter(|c| !c.notch).filter_map(opening_polygon).collect();
    let outer = Polygon::simple(built.contour.flatten(crate::quantity::tolerance::CHORD_MM));
    if openings.is_empty() {
        return outer;
    }
    // Holes that lie apart inside keep their exact corners; only the others need set operations.
    if openings_are_apart(&outer, &openings) {
        let holes = openings.into_iter().map(|hole| hole.outer).collect();
        return Polygon::new(outer.outer, holes);
    }
    let region = difference(&[outer], &openings);
    region.into_iter().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_default()
}

pub(super) fn opening_polygon(cutout: &super::model::Cutout) -> Option<Polygon> {
    let contour = cutout.contour.as_ref()?;
    Some(Polygon::simple(contour.flatten(crate::quantity::tolerance::CHORD_MM)))
}

/// True when a shape lies inside a polygon and its box keeps clear of every edge: soon told, and so of most openings.
pub(super) fn is_clear_inside(shape: &Polygon, home: &Polygon) -> bool {
    let bounds = shape.bounds();
    shape.outer.first().is_some_and(|&corner| home.contains_strictly(corner))
        && home.edges().all(|edge| !edge.bounds().touches(&bounds, COINCIDENT_MM))
}

fn openings_are_apart(outer: &Polygon, openings: &[Polygon]) -> bool {
    let inside = |hole: &Polygon| {
        hole.vertices().all(|p| outer.contains_strictly(p))
            && hole.edges().all(|e| {
                let close = outer.edges().filter(|o| o.bounds().touches(&e.bounds(), COINCIDENT_MM));
                close.into_iter().all(|o| o.distance_to(&e) > COINCIDENT_MM)
            })
    };
    let apart = |i: usize| {
        let close = openings.iter().skip(i + 1);
        let mut close = close.filter(|other| openings[i].bounds().touches(&other.bounds(), COINCIDENT_MM));
        close.all(|other| openings[i].distance(other) > COINCIDENT_MM)
    };
    openings.iter().all(|hole| is_clear_inside(hole, outer) || inside(hole)) && (0..openings.len()).all(apart)
}

/// Divides a piece, and gives its material too; `None` when it reaches too far for the grid (a piece that large has its own finding).
pub(super) fn divide(built: &Built, extra_cuts: &[Segment]) -> Option<(Arrangement, Polygon)> {
    let creases: Vec<Segment> = built.creases.iter().map(|c| Segment::new(c.from, c.to)).collect();
    let slits = built.cutouts.iter().filter(|c| c.kind == CutoutKind::Slit);
    let cuts: Vec<Segment> =
        slits.map(|c| Segment::new(c.from, c.to)).chain(extra_cuts.iter().copied()).collect();
    let material = material(built);
    let mut arrangement = arrange(&material, &creases, &cuts, COINCIDENT_MM).ok()?;
    let ends = creases.iter().chain(&cuts).flat_map(|line| [line.start, line.end]);
    let known: Vec<Point> = material.vertices().chain(ends).collect();
    restore(&mut arrangement, &known);
    Some((arrangement, material))
}

/// Division rounds to a fine grid; corners that were known before get their own coordinates back.
fn restore(arrangement: &mut Arrangement, known: &[Point]) {
    let mut sorted = known.to_vec();
    sorted.sort_by(Point::left_to_right);
    let snap = |point: &mut Point| {
        let from = sorted.partition_point(|p| p.x < point.x - GRID_NOISE_MM);
        let near = sorted[from..].iter().take_while(|p| p.x <= point.x + GRID_NOISE_MM);
        if let Some(same) = near.into_iter().find(|p| (p.y - point.y).abs() <= GRID_NOISE_MM) {
            *point = *same;
        }
    };
    for face in &mut arrangement.faces {
        face.outer.iter_mut().for_each(snap);
        face.holes.iter_mut().flatten().for_each(snap);
    }
    for stretch in arrangement.creases.iter_mut().chain(&mut arrangement.slits).flatten() {
        snap(&mut stretch.segment.start);
        snap(&mut stretch.segment.end);
    }
}

pub(super) fn hinges(arrangement: &Arrangement) -> Vec<Hinge> {
    let hinges = arrangement.hinges();
    hinges
        .filter_map(|(crease, s)| Some(Hinge { crease, a: s.left?, b: s.right?, line: s.segment }))
        .collect()
}

/// A point inside a polygon: the middle of the longest of some level stretches.
fn inner_point(polygon: &Polygon) -> Point {
    let bounds = polygon.bounds();
    let stretches = LEVELS.iter().flat_map(|share| {
        let y = bounds.min.y + bounds.height() * share;
        line_spans(polygon, pt(0.0, y), pt(1.0, 0.0)).into_iter().map(move |span| (span, y))
    });
    let longest = stretches.max_by(|a, b| a.0.length().total_cmp(&b.0.length()));
    longest.map_or_else(|| polygon.centroid(), |(span, y)| pt((span.from + span.to) / 2.0, y))
}

/// Names the faces by the piece's panel statements. Wrong counts and points beside the paper are reported, and the
/// panels numbered instead; `sound` is false then.
pub(super) fn name(
    faces: &[Polygon],
    cut: &Cut,
    piece: &str,
    piece_span: crate::source::Span,
    sink: &mut Findings,
) -> (Vec<BuiltPanel>, bool) {
    let mut names: Vec<Option<(String, crate::source::Span)>> = vec![None; faces.len()];
    let mut sound = true;
    for panel in &cut.panel_points {
        let at = super::outline::point(&panel.at);
        let holding = faces.iter().position(|face| face.contains(at, COINCIDENT_MM));
        match holding.and_then(|i| names.get_mut(i)) {
            Some(slot @ None) => *slot = Some((panel.name.clone(), panel.name_span)),
            Some(Some((other, span))) => {
                sink.report(found::PanelNamedTwice {
                    first: other.clone(),
                    second: panel.name.clone(),
                    place: panel.at.span,
                    before: *span,
                });
                sound = false;
            }
            None => {
                sink.report(found::PanelPointOutside {
                    panel: panel.name.clone(),
                    piece: piece.into(),
                    place: panel.at.span,
                    distance: faces.iter().map(|f| f.distance_to_point(at)).fold(f64::INFINITY, f64::min),
                });
                sound = false;
            }
        }
    }
    for row in &cut.panel_rows {
        let from = side(row.from);
        let mut free: Vec<usize> = (0..faces.len()).filter(|&i| names[i].is_none()).collect();
        free.sort_by(|&i, &j| distance_from(from, &faces[i]).total_cmp(&distance_from(from, &faces[j])));
        if free.len() != row.names.len() {
            sink.report(found::PanelCount {
                piece: piece.into(),
                place: row.span,
                named: row.names.len(),
                found: free.len(),
                scores: cut.creases.iter().map(|c| c.span).collect(),
                names: row.names.iter().map(|(name, _)| name.clone()).collect(),
                side: from.word(),
            });
            sound = false;
            continue;
        }
        for (index, (name, span)) in free.into_iter().zip(&row.names) {
            names[index] = Some((name.clone(), *span));
        }
    }
    let only = faces.len() == 1;
    let panels = faces.iter().zip(names).enumerate().map(|(i, (polygon, name))| {
        let number = || if only { piece.to_string() } else { format!("panel {}", i + 1) };
        let (name, span) = name.unwrap_or_else(|| (number(), piece_span));
        BuiltPanel { name, polygon: polygon.clone(), span }
    });
    (panels.collect(), sound)
}

fn distance_from(side: Side, face: &Polygon) -> f64 {
    let centre = face.bounds().centre();
    match side {
        Side::Left => centre.x,
        Side::Right => -centre.x,
        Side::Top => centre.y,
        Side::Bottom => -centre.y,
    }
}

/// Gives the final faces the names of the regions they lie in. A region cut in two is reported with the cut.
pub(super) fn rename(
    faces: &[Polygon],
    regions: &[Named],
    piece: &str,
    piece_span: crate::source::Span,
    sink: &mut Findings,
) -> Vec<BuiltPanel> {
    let mut used = vec![false; regions.len()];
    let mut panels = Vec::with_capacity(faces.len());
    for (index, face) in faces.iter().enumerate() {
        let inner = inner_point(face);
        let home = regions.iter().position(|r| r.region.contains_strictly(inner));
        let again = home.is_some_and(|h| std::mem::replace(&mut used[h], true));
        let region = home.and_then(|h| regions.get(h));
        if let (true, Some(region)) = (again, region) {
            sink.report(found::CutPartsPanel {
                panel: region.name.clone(),
                piece: piece.into(),
                place: region.span,
            });
        }
        let (name, span) = match region {
            Some(region) if !again => (region.name.clone(), region.span),
            Some(region) => (format!("{} {}", region.name, index + 1), region.span),
            None => (format!("panel {}", index + 1), piece_span),
        };
        panels.push(BuiltPanel { name, polygon: face.clone(), span });
    }
    panels
}
