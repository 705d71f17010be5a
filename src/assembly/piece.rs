//! A cut piece from its statements: outline, score lines, openings, panels, tabs.
//!
//! Readings are taken on named panels, and panels are made by scores and cuts. So the piece is divided twice: once by
//! its scores and by what was read on the whole piece, to name the panels; and once more with everything in place.

use super::built::{Built, BuiltPanel};
use super::creases::Sheet;
use super::model::{CutoutKind, PaperId, PieceKind};
use super::panels::{self, Named};
use super::{creases, cutouts, outline, tabs};
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Polygon, Segment};
use crate::meaning::design::{Cut, Piece};
use crate::quantity::tolerance::{CHORD_MM, COINCIDENT_MM};

/// A built piece, and whether everything that was stated of it is there.
pub(super) struct Outcome {
    pub built: Built,
    pub whole: bool,
}

pub(super) fn build(piece: &Piece, cut: &Cut, paper: PaperId, sink: &mut Findings) -> Option<Outcome> {
    let drawn = outline::draw(cut, &piece.name, sink)?;
    let polygon = Polygon::simple(drawn.contour.flatten(CHORD_MM));
    let body = drawn.contour.bounds();
    let mut built = Built {
        name: piece.name.clone(),
        kind: PieceKind::Cut,
        paper,
        contour: drawn.contour,
        polygon,
        body,
        size: drawn.size,
        creases: Vec::new(),
        cutouts: Vec::new(),
        marks: Vec::new(),
        panels: Vec::new(),
        hinges: Vec::new(),
        span: piece.span,
    };
    for (i, opening) in drawn.openings.into_iter().enumerate() {
        built.cutouts.push(drawn_opening(opening, i, cut.shape_span));
    }
    let mut whole = true;
    let sheet = Sheet { piece: &piece.name, polygon: &built.polygon, body };
    built.creases = creases::lower(&cut.creases, &sheet, sink);
    whole &= built.creases.len() == cut.creases.len();
    whole &= add_cutouts(&mut built, cut, false, sink);

    let (first, _) = panels::divide(&built, &[])?;
    let mut naming = Findings::speaking(sink.say);
    let (named, sound) = panels::name(&first.faces, cut, &piece.name, piece.span, &mut naming);
    let scored = whole;
    whole &= sound;
    built.panels = named;
    built.hinges = panels::hinges(&first);

    let tabs = tabs::add(&cut.tabs, &mut built, sink);
    whole &= tabs.is_some();
    let tabs = tabs.unwrap_or_default();
    let mut regions: Vec<Named> = tabs.flaps;
    built.creases.extend(tabs.creases);
    built.cutouts.extend(tabs.slits);
    if whole {
        whole &= add_cutouts(&mut built, cut, true, sink);
    }
    if whole {
        let marks: Vec<_> = cut.marks.iter().map(|mark| cutouts::mark(mark, &built, sink)).collect();
        whole &= marks.iter().all(Option::is_some);
        built.marks = marks.into_iter().flatten().collect();
    }
    cutouts::open_notches(&mut built);
    let body_panels = built.panels.len().saturating_sub(regions.len());
    let of_panel = |p: &BuiltPanel| Named { name: p.name.clone(), region: p.polygon.clone(), span: p.span };
    // Body panels come first; where a flap touches one in a line only, either finds its own.
    let body: Vec<Named> = built.panels.iter().take(body_panels).map(of_panel).collect();
    regions.splice(0..0, body);
    let parted = finish(&mut built, &regions, &tabs.ends, sink)?;
    // Panels that are named wrong because a score is missing or parts nothing would only say the same again.
    if scored && parted {
        sink.extend(naming);
    }
    whole &= parted;
    Some(Outcome { built, whole })
}

/// The second division, with tabs and every opening; whether every score parts two panels.
fn finish(built: &mut Built, regions: &[Named], ends: &[Segment], sink: &mut Findings) -> Option<bool> {
    let (last, material) = panels::divide(built, ends)?;
    built.polygon = material;
    built.panels = panels::rename(&last.faces, regions, &built.name, built.span, sink);
    built.hinges = panels::hinges(&last);
    // Body panels first, in the order in which they were named; tabs after them.
    let order = panel_order(&built.panels, regions);
    let place: Vec<usize> = {
        let mut place = vec![0; order.len()];
        order.iter().enumerate().for_each(|(new, &old)| place[old] = new);
        place
    };
    built.panels = order.iter().filter_map(|&old| built.panels.get(old).cloned()).collect();
    for hinge in &mut built.hinges {
        hinge.a = place[hinge.a];
        hinge.b = place[hinge.b];
    }
    for index in 0..built.cutouts.len() {
        let panel = home(built, index);
        built.cutouts[index].panel = panel;
    }
    let parted = report_idle_creases(built, sink);
    report_scores_through_slots(built, sink);
    Some(parted)
}

fn panel_order(panels: &[BuiltPanel], regions: &[Named]) -> Vec<usize> {
    let rank =
        |panel: &BuiltPanel| regions.iter().position(|r| r.name == panel.name).unwrap_or(regions.len());
    let mut order: Vec<usize> = (0..panels.len()).collect();
    order.sort_by_key(|&i| rank(&panels[i]));
    order
}

/// The panel an opening lies in: the one nearest to its centre.
fn home(built: &Built, index: usize) -> usize {
    let Some(cutout) = built.cutouts.get(index) else { return 0 };
    let near = |panel: &BuiltPanel| panel.polygon.distance_to_point(cutout.centre);
    let nearest =
        (0..built.panels.len()).min_by(|&i, &j| near(&built.panels[i]).total_cmp(&near(&built.panels[j])));
    nearest.unwrap_or(0)
}

fn add_cutouts(built: &mut Built, cut: &Cut, on_panels: bool, sink: &mut Findings) -> bool {
    let mut whole = true;
    // An opening may be read from another one, whichever comes first.
    let wanted: Vec<_> = cut.cutouts.iter().filter(|c| c.panel.is_some() == on_panels).collect();
    let mut waiting: Vec<_> = wanted.clone();
    let names: Vec<&str> = wanted.iter().map(|c| c.name.as_str()).collect();
    while !waiting.is_empty() {
        let ready = waiting.iter().position(|c| {
            reads_from(c).all(|other| built.cutout(other).is_some() || !names.contains(&other))
        });
        let Some(index) = ready else {
            if let Some(cutout) = waiting.first() {
                sink.report(found::ReadsFromNoLine { part: cutout.name.clone(), place: cutout.span });
            }
            return false;
        };
        let cutout = waiting.remove(index);
        match cutouts::lower(cutout, built, sink) {
            Some(opened) => built.cutouts.push(opened.cutout),
            None => {
                whole = false;
                // Whatever reads from it would only repeat the finding.
                waiting.retain(|other| !reads_from(other).any(|name| name == cutout.name));
            }
        }
    }
    let order = |name: &str| cut.cutouts.iter().position(|c| c.name == name).unwrap_or(usize::MAX);
    built.cutouts.sort_by_key(|c| order(&c.name));
    whole
}

/// Openings of the same piece that the clauses of one speak of.
fn reads_from(cutout: &crate::meaning::design::Cutout) -> impl Iterator<Item = &str> {
    use crate::meaning::design::{FeatureKind, PlaceKind};
    cutout.place.iter().filter_map(|clause| {
        let feature = match &clause.kind {
            PlaceKind::Reading { at, .. } => &at.from,
            PlaceKind::Range(range) => &range.from,
            PlaceKind::Beside { of, .. } => of,
            PlaceKind::EdgeToEdge { other, .. } => other,
            _ => return None,
        };
        match &feature.what {
            FeatureKind::Cutout(name) => Some(name.as_str()),
            _ => None,
        }
    })
}

fn drawn_opening(
    contour: crate::geometry::Contour,
    index: usize,
    span: crate::source::Span,
) -> super::model::Cutout {
    let bounds = contour.bounds();
    super::model::Cutout {
        name: format!("opening {}", index + 1),
        kind: CutoutKind::Window,
        panel: 0,
        centre: bounds.centre(),
        from: bounds.centre(),
        to: bounds.centre(),
        length: bounds.width(),
        width: bounds.height(),
        contour: Some(contour),
        notch: false,
        readings: Vec::new(),
        span,
    }
}

/// A score that parts nothing cannot fold; whether there is none.
fn report_idle_creases(built: &Built, sink: &mut Findings) -> bool {
    let mut parted = true;
    for (index, crease) in built.creases.iter().enumerate() {
        if built.hinges.iter().all(|h| h.crease != index) {
            sink.report(found::ScorePartsNothing {
                crease: crease.name.clone(),
                piece: built.name.clone(),
                place: crease.span,
                length: crease.from.distance(crease.to),
            });
            parted = false;
        }
    }
    parted
}

/// A slot or a hole works on one flat panel only.
fn report_scores_through_slots(built: &Built, sink: &mut Findings) {
    for cutout in built.cutouts.iter().filter(|c| matches!(c.kind, CutoutKind::Slot | CutoutKind::Hole)) {
        let Some(opening) = panels::opening_polygon(cutout) else { continue };
        for crease in &built.creases {
            let line = Segment::new(crease.from, crease.to);
            let through: f64 =
                crate::geometry::clip_segment(&opening, &line).iter().map(|span| span.length()).sum();
            if through > COINCIDENT_MM {
                sink.report(found::SlotMeetsScore {
                    cutout: cutout.name.clone(),
                    word: cutouts::word(cutout.kind),
                    crease: crease.name.clone(),
                    place: cutout.span,
                    score: crease.span,
                    length: through,
                });
            }
        }
    }
}
