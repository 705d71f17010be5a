//! What a knife can cut and what holds afterwards: bridges of paper between openings, rims, scores too close to be
//! folded, pieces larger than their sheet or too small to hold.

use super::Subject;
use super::facts::{Gap, Opening, cutout_name, moved_reading, score_name};
use crate::assembly::{Assembly, Crease, Cutout, CutoutKind, Piece, PieceKind, Reading};
use crate::findings::{Findings, Named, Rewrite, catalogue as found};
use crate::geometry::{Point, Segment, clip_segment, minimum_width, ring_edges};
use crate::quantity::Rounding;
use crate::quantity::tolerance::{
    BRIDGE_LEAST_MM, BRIDGE_MM, COINCIDENT_MM, HOLE_FROM_EDGE_MM, PARALLEL_DEG, SMALLEST_PIECE_MM,
};

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    for piece in &assembly.pieces {
        let openings: Vec<(&Cutout, Opening)> = piece.cutouts.iter().map(|c| (c, Opening::of(c))).collect();
        between_openings(&openings, sink);
        for (cutout, opening) in &openings {
            to_the_edge(piece, cutout, opening, sink);
            to_the_scores(piece, cutout, opening, sink);
        }
        narrow_panels(assembly, piece, sink);
        on_its_sheet(assembly, piece, sink);
        in_the_hand(piece, sink);
    }
}

fn between_openings(openings: &[(&Cutout, Opening)], sink: &mut Findings) {
    for (i, (first, a)) in openings.iter().enumerate() {
        for (second, b) in openings.iter().skip(i + 1) {
            let Some(gap) = a.gap_to(&b.edges()) else { continue };
            let names = || [first, second].map(|c| cutout_name(c));
            let both_areas = first.contour.is_some() && second.contour.is_some();
            if both_areas && (gap.mm <= COINCIDENT_MM || a.overlaps(b)) {
                sink.report(found::CutoutsOverlap { openings: names() });
            } else if gap.mm > COINCIDENT_MM && gap.mm < BRIDGE_MM - COINCIDENT_MM {
                // Slits that end in each other, or run into a window, are one cut: they leave no bridge.
                let mend = widened(&second.readings, &gap, BRIDGE_MM)
                    .or_else(|| widened(&first.readings, &reversed(&gap), BRIDGE_MM));
                if gap.mm < BRIDGE_LEAST_MM {
                    sink.report(found::BridgeTooNarrow { openings: names(), bridge: gap.mm, mend });
                } else {
                    sink.report(found::BridgeNarrow { openings: names(), bridge: gap.mm, mend });
                }
            }
        }
    }
}

fn to_the_edge(piece: &Piece, cutout: &Cutout, opening: &Opening, sink: &mut Findings) {
    if cutout.notch {
        return;
    }
    let edges: Vec<Segment> = ring_edges(&piece.polygon.outer).collect();
    let Some(gap) = opening.gap_to(&edges) else { return };
    if gap.mm <= COINCIDENT_MM || gap.mm >= HOLE_FROM_EDGE_MM.max(BRIDGE_MM) {
        return;
    }
    let (name, edge) = (cutout_name(cutout), piece_name(piece));
    // The opening moves away from the edge.
    let mend = widened(&cutout.readings, &reversed(&gap), BRIDGE_MM);
    if gap.mm < BRIDGE_LEAST_MM {
        sink.report(found::RimTooNarrow { opening: name, piece: edge, rim: gap.mm, mend });
    } else if gap.mm < BRIDGE_MM - COINCIDENT_MM {
        sink.report(found::RimNarrow { opening: name, piece: edge, rim: gap.mm, mend });
    } else if cutout.kind == CutoutKind::Hole {
        let from_centre = gap.mm + cutout.width / 2.0;
        if from_centre < HOLE_FROM_EDGE_MM - COINCIDENT_MM {
            let target = HOLE_FROM_EDGE_MM - cutout.width / 2.0;
            let mend = widened(&cutout.readings, &reversed(&gap), target);
            sink.report(found::HoleNearEdge { hole: name, piece: edge, centre: from_centre, mend });
        }
    }
}

fn to_the_scores(piece: &Piece, cutout: &Cutout, opening: &Opening, sink: &mut Findings) {
    // A slit or a window may well cross a fold; what runs in a slot, or turns in a hole, cannot run over one.
    if !matches!(cutout.kind, CutoutKind::Slot | CutoutKind::Hole) {
        return;
    }
    for crease in &piece.creases {
        let line = Segment::new(crease.from, crease.to);
        let Some(gap) = opening.gap_to(&[line]) else { continue };
        if gap.mm >= BRIDGE_LEAST_MM {
            continue;
        }
        // A score through the opening is reported where the opening is made.
        let through = match opening {
            Opening::Area(polygon) => clip_segment(polygon, &line).iter().any(|s| s.length() > COINCIDENT_MM),
            Opening::Line(_) => false,
        };
        if !through {
            let mend = widened(&cutout.readings, &reversed(&gap), BRIDGE_MM);
            let (slot, score) = (cutout_name(cutout), score_name(crease));
            sink.report(found::SlotNearScore { slot, score, gap: gap.mm, mend });
        }
    }
}

/// A panel narrower than two thicknesses of its paper cannot be folded up.
fn narrow_panels(assembly: &Assembly, piece: &Piece, sink: &mut Findings) {
    let Some(paper) = assembly.papers.get(piece.paper) else { return };
    let least = 2.0 * paper.caliper;
    for panel in piece.panels.iter().filter_map(|&id| assembly.panels.get(id)) {
        let Some(found) = minimum_width(panel.polygon.outer.iter().copied()) else { continue };
        if found.width >= least - COINCIDENT_MM {
            continue;
        }
        let beside: Vec<&Crease> = piece.creases.iter().filter(|c| runs_beside(c, panel)).collect();
        match beside.as_slice() {
            [] => {}
            [score] => sink.report(found::ScoreNearEdge {
                score: score_name(score),
                piece: piece_name(piece),
                gap: found.width,
                least,
                mend: None,
            }),
            [first, second, ..] => sink.report(found::ScoresTooClose {
                scores: [score_name(first), score_name(second)],
                gap: found.width,
                least,
                mend: second.reading.and_then(|r| apart(&r, first, second, least)),
            }),
        }
    }
}

/// Whether a crease lies along an edge of the panel.
fn runs_beside(crease: &Crease, panel: &crate::assembly::Panel) -> bool {
    let line = Segment::new(crease.from, crease.to);
    panel.polygon.edges().any(|edge| {
        edge.length() > COINCIDENT_MM
            && line.distance(edge.midpoint()) <= COINCIDENT_MM
            && edge.vector().unit().zip(line.vector().unit()).is_some_and(|(u, v)| {
                u.cross(v).abs() < PARALLEL_DEG.to_radians().max(COINCIDENT_MM / edge.length())
            })
    })
}

fn apart(reading: &Reading, first: &Crease, second: &Crease, least: f64) -> Option<Rewrite> {
    let away = second.from - Segment::new(first.from, first.to).nearest(second.from);
    let shift = away.unit()? * (least - away.length());
    let (reading, value) = moved_reading(&[*reading], second.from, shift)?;
    Some(rewritten(&reading, value))
}

fn on_its_sheet(assembly: &Assembly, piece: &Piece, sink: &mut Findings) {
    let Some(paper) = assembly.papers.get(piece.paper) else { return };
    let Some(sheet) = &paper.sheet else { return };
    let (width, height) = (piece.bounds.width(), piece.bounds.height());
    let fits = |w: f64, h: f64| w <= sheet.width + COINCIDENT_MM && h <= sheet.height + COINCIDENT_MM;
    if !fits(width, height) && !fits(height, width) {
        sink.report(found::LargerThanSheet {
            piece: piece_name(piece),
            size: (width, height),
            paper: Named { name: paper.name.clone(), span: paper.span },
            sheet: sheet.name.clone(),
            sheet_size: (sheet.width, sheet.height),
        });
    }
}

fn in_the_hand(piece: &Piece, sink: &mut Findings) {
    if piece.kind == PieceKind::Strap {
        return;
    }
    let Some(least) = minimum_width(piece.polygon.outer.iter().copied()) else { return };
    if least.width < SMALLEST_PIECE_MM - COINCIDENT_MM {
        sink.report(found::TinyPiece { piece: piece_name(piece), width: least.width });
    }
}

fn piece_name(piece: &Piece) -> Named {
    Named { name: piece.name.clone(), span: piece.span }
}

/// The change that widens a gap to `target` by moving what lies at the gap's far end onward.
fn widened(readings: &[Reading], gap: &Gap, target: f64) -> Option<Rewrite> {
    let onward = gap.to - gap.from;
    let shift: Point = onward.unit()? * (target - gap.mm);
    let (reading, value) = moved_reading(readings, gap.to, shift)?;
    Some(rewritten(&reading, value))
}

fn rewritten(reading: &Reading, value: f64) -> Rewrite {
    let rounding = if value > reading.written.value { Rounding::Up } else { Rounding::Down };
    Rewrite { literal: reading.written.literal.unwrap_or(reading.written.span), value, rounding }
}

fn reversed(gap: &Gap) -> Gap {
    Gap { mm: gap.mm, from: gap.to, to: gap.from }
}
