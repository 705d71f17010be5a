//! What is stuck and what runs: glue that stops a fold or a slide, glue too small to hold, foam too low, slides
//! without a stop, parts that come against each other on the way.

use super::Subject;
use super::facts::{Opening, cutout_name, score_name};
use super::stuck::{
    Lying, Slide, Stuck, StuckFace, folds_of, lying_on, moves, panel_name, piece_of, shares, slides,
    stuck_faces, stuck_joints,
};
use crate::assembly::{Assembly, CutoutKind, Face, Fold, JointKind, PanelId, PieceKind, SlideHow};
use crate::findings::{Findings, Named, catalogue as found};
use crate::geometry::{
    Isometry, Join, Polygon, difference, intersection, minimum_width, offset, region_area,
};
use crate::quantity::tolerance::{
    COINCIDENT_MM, GLUE_LEAST_MM, GLUE_MM, PIN_HOLE_MM, SHARED_MM2, SMALLEST_PIECE_MM,
};

/// How near to a slot glue may come, mm: it creeps.
const GLUE_CREEP_MM: f64 = 1.0;
/// Glue along less than this share of an opening's edge (the end of a slot) holds nothing fast.
const CREEP_SHARE: f64 = 0.1;

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    let faces = stuck_faces(assembly);
    for stuck in stuck_joints(assembly) {
        if !is_own_loop(assembly, &stuck) {
            across_creases(assembly, &stuck, sink);
            strength(assembly, &stuck, sink);
        }
        if stuck.foam {
            foam_height(assembly, &stuck, sink);
        }
    }
    on_the_way(assembly, &faces, sink);
    stuck_twice(assembly, &faces, sink);
    for slide in slides(assembly) {
        stops(&slide, sink);
        play(assembly, &slide, sink);
        against(assembly, &slide, sink);
    }
    pins(assembly, sink);
}

/// A strap's tails stuck together: worked out by the compiler, not by the author.
fn is_own_loop(assembly: &Assembly, stuck: &Stuck) -> bool {
    let piece = |panel: PanelId| assembly.panels.get(panel).map(|p| p.piece);
    piece(stuck.joint.a) == piece(stuck.joint.b)
        && piece_of(assembly, stuck.joint.a).is_some_and(|p| p.kind == PieceKind::Strap)
}

fn joint_name(stuck: &Stuck) -> Named {
    Named { name: stuck.joint.name.clone(), span: stuck.joint.span }
}

/// A part stuck to one panel that reaches over a score which folds towards it.
fn across_creases(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    if stuck.closing {
        return;
    }
    let Some(part) = assembly.panels.get(stuck.joint.b) else { return };
    let lying = part.polygon.transformed(&stuck.placement.isometry());
    for (id, _, neighbour) in folds_of(assembly, stuck.joint.a) {
        let Some(joint) = assembly.joints.get(id) else { continue };
        let JointKind::Fold { piece, crease, fold, .. } = &joint.kind else { continue };
        let towards =
            matches!((fold, stuck.faces.1), (Fold::Valley, Face::Front) | (Fold::Mountain, Face::Back));
        let Some(beyond) = assembly.panels.get(neighbour) else { continue };
        let over = intersection(std::slice::from_ref(&lying), std::slice::from_ref(&beyond.polygon));
        if !towards || !moves(assembly, id) || region_area(&over) <= SHARED_MM2 {
            continue;
        }
        let Some(crease) = assembly.pieces.get(*piece).and_then(|p| p.creases.get(*crease)) else { continue };
        let line = crate::geometry::Segment::new(crease.from, crease.to);
        let reach =
            over.iter().flat_map(|p| p.vertices()).map(|v| line.offset_of(v).abs()).fold(0.0, f64::max);
        sink.report(found::GlueAcrossCrease {
            part: panel_name(assembly, stuck.joint.b),
            place: stuck.joint.span,
            score: score_name(crease),
            reach,
        });
    }
}

/// The widest strip of glue, mm: how far the glued area can be shrunk from both sides before nothing is left.
fn glue_width(area: &[Polygon]) -> f64 {
    if !offset(area, -(GLUE_MM - COINCIDENT_MM) / 2.0, Join::Mitre).is_empty() {
        return GLUE_MM;
    }
    let (mut low, mut high) = (0.0, GLUE_MM);
    while high - low > COINCIDENT_MM {
        let middle = (low + high) / 2.0;
        if offset(area, -middle / 2.0, Join::Mitre).is_empty() { high = middle } else { low = middle }
    }
    low
}

fn strength(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    let part =
        assembly.panels.get(stuck.joint.b).and_then(|p| minimum_width(p.polygon.outer.iter().copied()));
    if stuck.area.is_empty() || part.is_some_and(|w| w.width < SMALLEST_PIECE_MM) {
        return;
    }
    let width = glue_width(stuck.area);
    let (part, target) = (panel_name(assembly, stuck.joint.b), panel_name(assembly, stuck.joint.a));
    if width < GLUE_LEAST_MM - COINCIDENT_MM {
        sink.report(found::GlueTooNarrow { part, target, place: stuck.joint.span, width });
    } else if width < GLUE_MM - COINCIDENT_MM {
        sink.report(found::GlueNarrow { part, target, place: stuck.joint.span, width });
    }
}

/// Glue on what a slide runs over, or round an opening that something runs in.
fn on_the_way(assembly: &Assembly, faces: &[StuckFace], sink: &mut Findings) {
    let running: Vec<Slide> = slides(assembly).collect();
    for face in faces {
        if is_own_loop(assembly, &face.stuck) {
            continue;
        }
        let on_path = running.iter().find(|slide| {
            let (front, back) = slide.paths(assembly);
            let path = if face.face == Face::Front { front } else { back };
            slide.joint.a == face.panel
                && shares(&face.area, &path)
                && ![face.stuck.joint.a, face.stuck.joint.b].contains(&slide.joint.b)
        });
        if let Some(slide) = on_path {
            sink.report(found::GlueOnPath {
                glue: joint_name(&face.stuck),
                slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
                strap: matches!(slide.how, SlideHow::Strap { .. }),
            });
            continue;
        }
        // Foam is laid in pads, beside what turns or runs.
        if !face.stuck.foam {
            over_openings(assembly, face, sink);
        }
    }
}

fn over_openings(assembly: &Assembly, face: &StuckFace, sink: &mut Findings) {
    let Some(piece) = piece_of(assembly, face.panel) else { return };
    for (index, cutout) in piece.cutouts.iter().enumerate().filter(|(_, c)| c.panel == face.panel) {
        let Some(user) = used_by(assembly, face.panel, index) else { continue };
        let Opening::Area(opening) = Opening::of(cutout) else { continue };
        let round =
            difference(&offset(std::slice::from_ref(&opening), GLUE_CREEP_MM, Join::Bevel), &[opening]);
        let glued = region_area(&intersection(&face.area, &round));
        if glued > CREEP_SHARE * region_area(&round) {
            sink.report(found::GlueOverSlot {
                glue: joint_name(&face.stuck),
                slot: cutout_name(cutout),
                user,
            });
        }
    }
}

/// What runs or turns in a cut-out of the panel's piece.
fn used_by(assembly: &Assembly, panel: PanelId, index: usize) -> Option<String> {
    let piece = assembly.panels.get(panel)?.piece;
    let runs = |slide: &Slide| slide.runs_in().is_some_and(|(p, list)| p == piece && list.contains(&index));
    if let Some(slide) = slides(assembly).find(|s| runs(s)) {
        return Some(slide.joint.name.clone());
    }
    let cutout = assembly.pieces.get(piece)?.cutouts.get(index)?;
    let turns = |kind: &JointKind, a: bool| match kind {
        JointKind::Pin { centre, part_centre, .. } => {
            (if a { centre } else { part_centre }).is_near(cutout.centre, COINCIDENT_MM)
        }
        _ => false,
    };
    let pin = assembly
        .joints
        .iter()
        .find(|j| (j.a == panel && turns(&j.kind, true)) || (j.b == panel && turns(&j.kind, false)));
    pin.map(|j| j.name.clone())
}

/// Two parts stuck to one place of one face.
fn stuck_twice(assembly: &Assembly, faces: &[StuckFace], sink: &mut Findings) {
    for (i, first) in faces.iter().enumerate() {
        for second in faces.iter().skip(i + 1) {
            if (first.panel, first.face) != (second.panel, second.face) {
                continue;
            }
            let shared = intersection(&first.area, &second.area);
            if region_area(&shared) <= SHARED_MM2 {
                continue;
            }
            let other =
                |f: &StuckFace| if f.panel == f.stuck.joint.a { f.stuck.joint.b } else { f.stuck.joint.a };
            let slides = [first, second].into_iter().any(|f| is_sliding(assembly, other(f)));
            let closes = first.stuck.closing || second.stuck.closing;
            let told = found::StuckTwice {
                parts: [first, second]
                    .map(|f| Named { name: panel_name(assembly, other(f)).name, span: f.stuck.joint.span }),
                to: panel_name(assembly, first.panel).name,
                face: first.face.word(),
                depth: depth(&shared),
            };
            if slides {
                sink.report(told);
            } else if !closes {
                // What lies over the flap of a closing joint lies on one more layer of the same card.
                sink.report(found::StuckOver(told));
            }
        }
    }
}

/// The smaller side of the box of a region, mm.
fn depth(region: &[Polygon]) -> f64 {
    crate::geometry::region_bounds(region).map_or(0.0, |b| b.width().min(b.height()))
}

fn is_sliding(assembly: &Assembly, panel: PanelId) -> bool {
    let piece = |p: PanelId| assembly.panels.get(p).map(|p| p.piece);
    slides(assembly).any(|s| piece(s.joint.b) == piece(panel))
}

/// Foam must be as high as what lies under the part.
fn foam_height(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    let Some(part) = assembly.panels.get(stuck.joint.b) else { return };
    let over = part.polygon.transformed(&stuck.placement.isometry());
    let highest = lying_on(assembly, stuck.joint.a, stuck.placement.side)
        .into_iter()
        .filter(|lying| !std::ptr::eq(lying.base, stuck.joint))
        .filter(|lying| shares(std::slice::from_ref(&over), &lying.region))
        .map(|lying| (lying.height, lying.joint))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((height, joint)) = highest else { return };
    if height > stuck.placement.raise + COINCIDENT_MM {
        sink.report(found::FoamTooLow {
            part: panel_name(assembly, stuck.joint.b),
            place: stuck.joint.span,
            under: Named { name: panel_name(assembly, joint.b).name, span: joint.span },
            foam: stuck.placement.raise,
            height,
        });
    }
}

fn stops(slide: &Slide, sink: &mut Findings) {
    let JointKind::Slide { ends, .. } = &slide.joint.kind else { return };
    let open = match (slide.range.0.is_finite(), slide.range.1.is_finite()) {
        (true, true) => return,
        (false, false) => format!("{} or {}", ends.0.word(), ends.1.word()),
        (false, true) => ends.0.word().to_string(),
        (true, false) => ends.1.word().to_string(),
    };
    sink.report(found::NoStop {
        slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
        side: open,
    });
}

/// A slot must be wider than what runs in it is thick.
fn play(assembly: &Assembly, slide: &Slide, sink: &mut Findings) {
    let Some((piece, openings)) = slide.runs_in() else { return };
    let paper = piece_of(assembly, slide.joint.b).and_then(|p| assembly.papers.get(p.paper));
    let (Some(piece), Some(paper)) = (assembly.pieces.get(piece), paper) else { return };
    let least = 2.0 * paper.caliper;
    for slot in openings.iter().filter_map(|&i| piece.cutouts.get(i)) {
        if slot.kind == CutoutKind::Slot && slot.width < least - COINCIDENT_MM {
            sink.report(found::SlotTight {
                slot: cutout_name(slot),
                slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
                width: slot.width,
                thickness: paper.caliper,
            });
        }
    }
}

/// A part that rides on a slide and comes against what is stuck beside its way.
fn against(assembly: &Assembly, slide: &Slide, sink: &mut Findings) {
    let (low, high) = slide.range;
    if !low.is_finite() || !high.is_finite() {
        return;
    }
    let side = slide.placement.side;
    let beside: Vec<Lying> = lying_on(assembly, slide.joint.a, side)
        .into_iter()
        // What rides on another slide is not in one place: that is looked at with both of them moved.
        .filter(|l| !l.moves)
        .collect();
    for (panel, motion, rise) in riders(assembly, slide) {
        let Some(rider) = assembly.panels.get(panel) else { continue };
        let at = |value: f64| vec![rider.polygon.transformed(&motion).translated(slide.direction * value)];
        for lying in beside.iter().filter(|l| l.joint.b != panel && l.height > rise + COINCIDENT_MM) {
            // What lies under the rider all the way is passed over; what is met on the way stops it.
            let (start, end) = (shares(&at(low), &lying.region), shares(&at(high), &lying.region));
            if start != end {
                sink.report(found::ComesAgainst {
                    rider: panel_name(assembly, panel),
                    slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
                    obstacle: Named {
                        name: panel_name(assembly, lying.joint.b).name,
                        span: lying.joint.span,
                    },
                    depth: depth(&intersection(&at(if end { high } else { low }), &lying.region)),
                });
            }
        }
    }
}

/// Panels stuck to a slide's panel, how they lie on the slide's target at value zero, and how high above its face, mm.
fn riders(assembly: &Assembly, slide: &Slide) -> Vec<(PanelId, Isometry, f64)> {
    let caliper = piece_of(assembly, slide.joint.b)
        .and_then(|p| assembly.papers.get(p.paper))
        .map_or(0.0, |p| p.caliper);
    let base = slide.placement.isometry();
    stuck_joints(assembly)
        .filter(|s| !s.closing)
        .filter_map(|s| {
            let own = s.placement.isometry();
            match (s.joint.a == slide.joint.b, s.joint.b == slide.joint.b) {
                (true, false) => Some((s.joint.b, own.then(&base), s.placement.raise + caliper)),
                (false, true) => Some((s.joint.a, own.inverse().then(&base), s.placement.raise + caliper)),
                _ => None,
            }
        })
        .collect()
}

fn pins(assembly: &Assembly, sink: &mut Findings) {
    for joint in &assembly.joints {
        let JointKind::Pin { holes, .. } = &joint.kind else { continue };
        let smallest = holes.0.min(holes.1);
        if smallest < PIN_HOLE_MM - COINCIDENT_MM {
            sink.report(found::PinHoleTight {
                pin: Named { name: joint.name.clone(), span: joint.span },
                hole: smallest,
            });
        }
    }
}
