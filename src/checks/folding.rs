//! Folds: panels that must be shorter or longer than their neighbours by what the paper takes, spines too narrow for
//! what they close over, parts cut to the very fold, grain across heavy scores.

use super::Subject;
use super::facts::{moved_reading, score_name};
use super::stuck::{
    Stuck, closed_angle, closed_together, folds_of, lying_on, moves, panel_name, shares, stuck_joints,
};
use crate::assembly::{
    Assembly, Crease, Face, Fold, Grain, Joint, JointId, JointKind, Panel, PanelId, Piece, PieceKind,
};
use crate::findings::{Findings, Named, Rewrite, catalogue as found};
use crate::geometry::{Isometry, Segment};
use crate::quantity::tolerance::{
    BIND_LENGTH_MM, BIND_MM, COINCIDENT_MM, FLAT_DEG, HEAVY_CALIPER_MM, HEAVY_GSM, PARALLEL_DEG,
};
use crate::quantity::{Rounding, Units};

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    for piece in assembly.pieces.iter().filter(|p| p.kind == PieceKind::Cut) {
        for &panel in &piece.panels {
            for (first, second) in parallel_pairs(assembly, panel) {
                // Where the folds contradict each other in the order of the layers, neither lies inside.
                if !contradict(subject, [first.joint, second.joint]) {
                    inner_panel(assembly, piece, panel, &first, &second, sink);
                }
                spine(assembly, panel, &first, &second, sink);
            }
        }
        grain(assembly, piece, sink);
    }
    for stuck in stuck_joints(assembly).filter(|s| !s.closing) {
        to_the_crease(assembly, &stuck, sink);
    }
}

fn contradict(subject: &Subject, folds: [JointId; 2]) -> bool {
    let contradictions = subject.cards.iter().filter_map(|card| card.contradiction.as_ref());
    contradictions.flat_map(|found| &found.joints).any(|joint| folds.contains(joint))
}

/// A fold at one side of a panel.
#[derive(Clone, Copy)]
struct Hinge<'a> {
    joint: JointId,
    line: Segment,
    neighbour: PanelId,
    crease: &'a Crease,
    fold: Fold,
}

fn hinges(assembly: &Assembly, panel: PanelId) -> Vec<Hinge<'_>> {
    folds_of(assembly, panel)
        .into_iter()
        .filter_map(|(joint, line, neighbour)| {
            let JointKind::Fold { piece, crease, fold, .. } = &assembly.joints.get(joint)?.kind else {
                return None;
            };
            let crease = assembly.pieces.get(*piece)?.creases.get(*crease)?;
            Some(Hinge { joint, line, neighbour, crease, fold: *fold })
        })
        .collect()
}

/// Folds of one kind at opposite, parallel sides of a panel.
fn parallel_pairs(assembly: &Assembly, panel: PanelId) -> Vec<(Hinge<'_>, Hinge<'_>)> {
    let all = hinges(assembly, panel);
    let mut pairs = Vec::new();
    for (i, &first) in all.iter().enumerate() {
        for &second in all.iter().skip(i + 1) {
            if first.fold == second.fold && parallel(&first.line, &second.line) {
                pairs.push((first, second));
            }
        }
    }
    pairs
}

fn parallel(a: &Segment, b: &Segment) -> bool {
    let (Some(u), Some(v)) = (a.vector().unit(), b.vector().unit()) else { return false };
    u.cross(v).abs() <= PARALLEL_DEG.to_radians() && a.offset_of(b.midpoint()).abs() > COINCIDENT_MM
}

/// How far a panel reaches from a line, mm.
fn reach(panel: &Panel, line: &Segment) -> f64 {
    panel.polygon.vertices().map(|v| line.offset_of(v).abs()).fold(0.0, f64::max)
}

/// Of two flaps that fold over one panel and lie over each other, the inner one must be shorter than the panel by two
/// thicknesses: the outer one bends round its edge.
fn inner_panel(
    assembly: &Assembly,
    piece: &Piece,
    panel: PanelId,
    first: &Hinge,
    second: &Hinge,
    sink: &mut Findings,
) {
    // A strip that goes over a bar is folded at one score after another.
    if !closed_together(assembly, first.joint, second.joint, 180.0 - FLAT_DEG) {
        return;
    }
    let (Some(a), Some(c)) = (assembly.panels.get(first.neighbour), assembly.panels.get(second.neighbour))
    else {
        return;
    };
    let width = first.line.offset_of(second.line.midpoint()).abs();
    let (length_a, length_c) = (reach(a, &first.line), reach(c, &second.line));
    let allowance = 2.0 * assembly.papers.get(piece.paper).map_or(0.0, |p| p.caliper);
    if length_a + length_c <= width + COINCIDENT_MM {
        return;
    }
    let (inner, length, hinge) = if length_a <= length_c {
        (first.neighbour, length_a, first)
    } else {
        (second.neighbour, length_c, second)
    };
    if length <= width - allowance + COINCIDENT_MM {
        return;
    }
    // The score moves towards the inner flap, which takes from the flap and gives to the panel.
    let shift = assembly.panels.get(inner).and_then(|p| {
        let nearest = hinge.line.nearest(p.polygon.centroid());
        Some((p.polygon.centroid() - nearest).unit()? * ((length - width + allowance) / 2.0))
    });
    let mend = shift.zip(hinge.crease.reading).and_then(|(shift, reading)| {
        let (reading, value) = moved_reading(&[reading], hinge.crease.from, shift)?;
        let rounding = if value > reading.written.value { Rounding::Up } else { Rounding::Down };
        Some(Rewrite { literal: reading.written.literal?, value, rounding })
    });
    sink.report(found::InnerPanelTooLong {
        inner: panel_name(assembly, inner),
        over: panel_name(assembly, panel),
        score: score_name(hinge.crease),
        length,
        width,
        allowance,
        mend,
    });
}

/// A spine between two folds of a right angle must be as wide as what is shut in between its covers.
fn spine(assembly: &Assembly, panel: PanelId, first: &Hinge, second: &Hinge, sink: &mut Findings) {
    let upright = |hinge: &Hinge| (closed_angle(assembly, hinge.joint) - 90.0).abs() <= FLAT_DEG;
    if !upright(first) || !upright(second) {
        return;
    }
    let width = first.line.offset_of(second.line.midpoint()).abs();
    let covers = [first.neighbour, second.neighbour];
    let long_enough = |hinge: &Hinge| {
        assembly.panels.get(hinge.neighbour).is_some_and(|p| reach(p, &hinge.line) > 2.0 * width)
    };
    if !long_enough(first) || !long_enough(second) {
        return;
    }
    let inside = if first.fold == Fold::Valley { Face::Front } else { Face::Back };
    let Some(mirror) = Isometry::mirror(Segment::new(
        first.line.start.midpoint(second.line.nearest(first.line.start)),
        first.line.end.midpoint(second.line.nearest(first.line.end)),
    )) else {
        return;
    };
    let (on_first, on_second) =
        (lying_on(assembly, covers[0], inside), lying_on(assembly, covers[1], inside));
    let mut stack: Option<(f64, Vec<(&Joint, f64)>)> = on_first
        .iter()
        .chain(&on_second)
        .map(|l| (l.height, vec![(l.joint, l.height)]))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    for a in &on_first {
        for b in &on_second {
            let folded: Vec<_> = b.region.iter().map(|p| p.transformed(&mirror)).collect();
            let both = a.height + b.height;
            if shares(&a.region, &folded) && stack.as_ref().is_none_or(|(height, _)| both > *height) {
                stack = Some((both, vec![(a.joint, a.height), (b.joint, b.height)]));
            }
        }
    }
    if let Some((height, parts)) = stack
        && height > width + COINCIDENT_MM
    {
        let named = |(joint, high): (&Joint, f64)| {
            (Named { name: panel_name(assembly, joint.b).name, span: joint.span }, high)
        };
        sink.report(found::SpineTooNarrow {
            spine: panel_name(assembly, panel),
            inside: parts.into_iter().map(named).collect(),
            width,
            height,
            mend: second.crease.reading.and_then(|reading| {
                let away = second.line.nearest(first.line.midpoint());
                let shift = (away - first.line.midpoint()).unit()? * (height - width);
                let (reading, value) = moved_reading(&[reading], second.crease.from, shift)?;
                Some(Rewrite { literal: reading.written.literal?, value, rounding: Rounding::Up })
            }),
        });
    }
}

/// A part that ends right at a fold which closes over it binds there.
fn to_the_crease(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    let Some(part) = assembly.panels.get(stuck.joint.b) else { return };
    let motion = stuck.placement.isometry();
    let own_folds: Vec<Segment> = folds_of(assembly, stuck.joint.b)
        .into_iter()
        .map(|(_, line, _)| motion.apply_segment(line))
        .collect();
    let lying = part.polygon.transformed(&motion);
    for hinge in hinges(assembly, stuck.joint.a) {
        let towards =
            matches!((hinge.fold, stuck.faces.1), (Fold::Valley, Face::Front) | (Fold::Mountain, Face::Back));
        if !towards || !moves(assembly, hinge.joint) {
            continue;
        }
        let at_the_fold = |edge: &Segment| {
            let near = |p| hinge.line.distance(p) < BIND_MM - COINCIDENT_MM;
            near(edge.start) && near(edge.end) && edge.length() >= BIND_LENGTH_MM
        };
        let is_own_fold = |edge: &Segment| {
            own_folds.iter().any(|f| f.distance(edge.midpoint()) <= COINCIDENT_MM && !crosses(f, edge))
        };
        let Some(edge) = lying.edges().find(|e| at_the_fold(e) && !is_own_fold(e)) else { continue };
        let Some(piece) = assembly.pieces.get(part.piece) else { continue };
        let gap = hinge.line.distance(edge.midpoint());
        let upright = motion.inverse().apply_vector(hinge.line.vector());
        sink.report(found::PartToTheCrease {
            part: panel_name(assembly, stuck.joint.b),
            place: stuck.joint.span,
            score: score_name(hinge.crease),
            gap,
            mend: smaller(piece, upright.x.abs() < upright.y.abs(), assembly.units),
        });
    }
}

fn crosses(a: &Segment, b: &Segment) -> bool {
    let (Some(u), Some(v)) = (a.vector().unit(), b.vector().unit()) else { return false };
    u.cross(v).abs() > PARALLEL_DEG.to_radians()
}

/// The size of the piece with a sliver off: half a millimetre, or 1/32 in, at each side.
fn smaller(piece: &Piece, across: bool, units: Units) -> Option<Rewrite> {
    let (width, height) = piece.size?;
    let written = if across { width } else { height };
    let sliver = match units {
        Units::Mm => 1.0,
        Units::Inch => 25.4 / 16.0,
    };
    let value = written.value - sliver;
    (value > 0.0).then_some(Rewrite { literal: written.literal?, value, rounding: Rounding::Down })
}

/// Heavy paper cracks when it is folded across its grain. The piece can be turned on its sheet when it fits both ways.
fn grain(assembly: &Assembly, piece: &Piece, sink: &mut Findings) {
    let Some(paper) = assembly.papers.get(piece.paper) else { return };
    let (Some(sheet), Some(grain)) = (&paper.sheet, paper.grain) else { return };
    let heavy = paper.grammage.map_or(paper.caliper >= HEAVY_CALIPER_MM, |g| g >= HEAVY_GSM);
    let folded = |c: &&Crease| c.hinges.iter().any(|&h| moves(assembly, h));
    let (mut upright, mut level) = (0.0, 0.0);
    for crease in piece.creases.iter().filter(folded) {
        let run = crease.to - crease.from;
        if run.x.abs() <= COINCIDENT_MM {
            upright += run.y.abs();
        } else if run.y.abs() <= COINCIDENT_MM {
            level += run.x.abs();
        }
    }
    if !heavy || upright + level == 0.0 {
        return;
    }
    let (long, short) = (sheet.width.max(sheet.height), sheet.width.min(sheet.height));
    let (with_grain, across_grain) = match grain {
        Grain::Long => (long, short),
        Grain::Short => (short, long),
    };
    let (width, height) = (piece.bounds.width(), piece.bounds.height());
    let (along, across) = if upright >= level { (height, width) } else { (width, height) };
    let fits = |a: f64, b: f64| a <= with_grain + COINCIDENT_MM && b <= across_grain + COINCIDENT_MM;
    if fits(along, across) || !fits(across, along) {
        return;
    }
    let main = piece
        .creases
        .iter()
        .filter(folded)
        .find(|c| ((c.to - c.from).x.abs() <= COINCIDENT_MM) == (upright >= level));
    if let Some(crease) = main {
        sink.report(found::ScoreAcrossGrain {
            score: score_name(crease),
            piece: Named { name: piece.name.clone(), span: piece.span },
            paper: Named { name: paper.name.clone(), span: paper.span },
            size: (width, height),
            sheet: sheet.name.clone(),
        });
    }
}
