//! Poses that cannot be reached or leave parts free, motions that jump, and layers that contradict each other.

use super::Subject;
use super::direction::turned_round;
use super::stuck::panel_name;
use super::sums::{ring_sum, vertex_sum};
use crate::assembly::{JointId, JointKind, PanelId, PieceId};
use crate::findings::{Finding, Findings, GoesBeyond, Misfitting, Named, Severity, catalogue as found};
use crate::motion::{BodyId, FaultKind, JointId as LinkId, Lowered, PoseState, State};
use crate::quantity::tolerance::REPORTED_MM;
use crate::source::Span;

/// Folds that a mend sets in a pose, at the most.
const MOST_SET: usize = 4;

pub fn check(subject: &Subject, sink: &mut Findings) {
    poses(subject, sink);
    left_over(subject, sink);
    jumps(subject, sink);
    layers_of_poses(subject, sink);
    undecided(subject, sink);
}

fn joint_name(subject: &Subject, id: JointId) -> Option<Named> {
    subject.assembly.joints.get(id).map(|j| Named { name: j.name.clone(), span: j.span })
}

/// A joint that stays open whatever the pose, or a ring that does not add up, is one fault and told in the first pose.
fn poses(subject: &Subject, sink: &mut Findings) {
    let mut faults: Vec<(found::PoseDoesNotClose, Option<PieceId>)> = Vec::new();
    let mut round: Option<Vec<(Named, bool)>> = None;
    for (pose, state) in subject.assembly.poses.iter().zip(subject.states) {
        let Some(fault) = &state.fault else { continue };
        // Of a piece that has a finding itself, the folds are not those that are meant.
        if fault.joint.is_some_and(|joint| of_missing_piece(subject, joint)) {
            continue;
        }
        let kind = fault.joint.and_then(|j| subject.assembly.joints.get(j)).map(|j| &j.kind);
        let at = match kind {
            Some(JointKind::Fold { .. }) => Misfitting::Fold,
            Some(JointKind::Pin { .. }) => Misfitting::Brad,
            Some(JointKind::Slide { .. }) => Misfitting::Slide,
            _ => Misfitting::Glue,
        };
        // Glued faces meet everywhere, other joints only along their line or at their pin.
        let own = fault.misfit.filter(|_| at != Misfitting::Glue);
        let beyond = fault.beyond.and_then(|beyond| {
            let kind = subject.assembly.joints.get(beyond.joint).map(|j| &j.kind)?;
            let of = |(low, high): (f64, f64)| if beyond.low { low } else { high };
            let (end, at, stops) = match kind {
                JointKind::Slide { ends, range, stops, .. } => {
                    let end = if beyond.low { ends.0 } else { ends.1 };
                    (Some(end.word()), Some(of(*range)), stops.as_ref())
                }
                JointKind::Pin { range, stops, .. } => (None, range.map(of), stops.as_ref()),
                _ => (None, None, None),
            };
            Some(GoesBeyond {
                low: beyond.low,
                end,
                at,
                literal: stops.and_then(|(low, high)| if beyond.low { low.literal } else { high.literal }),
                joint: joint_name(subject, beyond.joint)?,
                by: beyond.by,
                slides: matches!(kind, JointKind::Slide { .. }),
                other_way: beyond.other_way && matches!(kind, JointKind::Fold { .. }),
            })
        });
        let open_at = fault.joint;
        // The piece on whose folds it shows.
        let shows = if own.map_or(fault.gap_mm, |m| m.apart_mm) >= REPORTED_MM / 2.0 {
            fault.joint
        } else {
            fault.beyond.map(|beyond| beyond.joint).or(fault.joint)
        };
        let piece = shows.and_then(|joint| match &subject.assembly.joints.get(joint)?.kind {
            JointKind::Fold { piece, .. } => Some(*piece),
            _ => None,
        });
        let fault = found::PoseDoesNotClose {
            pose: Named { name: pose.name.clone(), span: pose.span },
            joint: fault.joint.and_then(|j| joint_name(subject, j)),
            at,
            gap: own.map_or(fault.gap_mm, |m| m.apart_mm),
            turned: fault.misfit.map_or(0.0, |m| m.turned_deg),
            beyond,
            sum: ring_sum(subject.assembly, &pose.values),
            vertex: vertex_sum(subject.assembly, &pose.values),
            turned_round: Vec::new(),
            also: Vec::new(),
            stuck: fault.joint.map_or(Vec::new(), |joint| stuck_fast(subject, joint)),
            certain: !matches!(fault.kind, FaultKind::Locked { certain: false }),
        };
        // The way that scores fold matters only where the ring closes without regard to it.
        let closes = fault.gap < REPORTED_MM / 2.0 && fault.beyond.as_ref().is_none_or(|b| b.other_way);
        let fault = match (&fault.sum, &fault.vertex, open_at) {
            (None, None, Some(open_at)) if closes => {
                let turned_round = round.get_or_insert_with(|| turned_round(subject, open_at)).clone();
                found::PoseDoesNotClose { turned_round, ..fault }
            }
            _ => fault,
        };
        faults.push((fault, piece));
    }
    // What does not add up explains more than what goes wrong for it.
    faults.sort_by_key(|(fault, _)| fault.sum.is_none());
    let mut told: Vec<(found::PoseDoesNotClose, Option<PieceId>)> = Vec::new();
    for (fault, piece) in faults {
        let same = |(other, its): &&mut (found::PoseDoesNotClose, Option<PieceId>)| {
            fault.is_the_same(other) || (piece.is_some() && piece == *its && fault.is_as_plain(other))
        };
        match told.iter_mut().find(same) {
            Some((other, _)) => other.and_in(fault),
            None => told.push((fault, piece)),
        }
    }
    told.into_iter().for_each(|(fault, _)| sink.report(fault));
}

/// The glue that ties what a slide moves to what it runs on, from the one to the other; none where it can move.
fn stuck_fast(subject: &Subject, slide: JointId) -> Vec<(Named, bool)> {
    let joints = &subject.assembly.joints;
    let Some(slide) = joints.get(slide).filter(|j| matches!(j.kind, JointKind::Slide { .. })) else {
        return Vec::new();
    };
    // Each panel that hangs on the moving one by glue alone, and the glue and the place in this list that it came by.
    let mut tied: Vec<(PanelId, Option<(JointId, usize)>)> = vec![(slide.b, None)];
    let mut next = 0;
    while let Some(&(panel, _)) = tied.get(next) {
        for (id, joint) in joints.iter().enumerate() {
            let other = match (&joint.kind, joint.a == panel, joint.b == panel) {
                (JointKind::Fixed { .. }, true, _) => joint.b,
                (JointKind::Fixed { .. }, _, true) => joint.a,
                _ => continue,
            };
            if tied.iter().all(|(known, _)| *known != other) {
                tied.push((other, Some((id, next))));
            }
        }
        next += 1;
    }
    let mut at = tied.iter().find(|(panel, _)| *panel == slide.a).and_then(|(_, from)| *from);
    let mut glue = Vec::new();
    while let Some((id, before)) = at {
        if let (Some(name), Some(joint)) = (joint_name(subject, id), joints.get(id)) {
            glue.push((name, matches!(joint.kind, JointKind::Fixed { closing: true, .. })));
        }
        at = tied.get(before).and_then(|(_, from)| *from);
    }
    glue.reverse();
    glue
}

fn of_missing_piece(subject: &Subject, joint: JointId) -> bool {
    let assembly = subject.assembly;
    let name = |panel: PanelId| Some(&assembly.pieces.get(assembly.panels.get(panel)?.piece)?.name);
    let panels = assembly.joints.get(joint).map(|joint| [joint.a, joint.b]);
    panels.into_iter().flatten().filter_map(name).any(|name| assembly.missing.contains(name))
}

/// What a pose leaves free to move: folds on loops that neither the pose nor a stated rest holds. Where the card lies
/// flat all of its folds may begin to move, which says nothing. Each set of parts is told once.
fn left_over(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    if !assembly.missing.is_empty() {
        return;
    }
    let lowered = subject.lowered;
    let mut told: Vec<Vec<BodyId>> = Vec::new();
    for ((pose, state), card) in assembly.poses.iter().zip(subject.states).zip(subject.cards) {
        if state.fault.is_some() || pose.partial || card.flat {
            continue;
        }
        let (state, held) = held_in(subject, state, &pose.values);
        let Some(left) = lowered.linkage.left_over(&state, &held) else { continue };
        let moved: Vec<BodyId> =
            left.moved.into_iter().filter(|b| lowered.held.get(b.0).copied().unwrap_or(false)).collect();
        let fold = lowered.joint_of(left.joint).and_then(|j| joint_name(subject, j));
        let settings = holding(subject, lowered, &state, held).map(|folds| (pose.behind, folds));
        if let Some(fold) = fold.filter(|_| !moved.is_empty() && !told.contains(&moved)) {
            sink.report(found::PartsLeftFree {
                pose: Named { name: pose.name.clone(), span: pose.span },
                parts: moved.iter().map(|b| panel_name(assembly, b.0)).collect(),
                fold,
                at: left.value.abs(),
                ways: left.ways,
                settings,
            });
            told.push(moved);
        }
    }
}

/// The state of a pose, and the joints that stand still in it: those it sets, folds with a stated rest, and all that
/// slides or turns on a pin, which stays where the hand leaves it.
pub fn held_in(subject: &Subject, state: &PoseState, set: &[(JointId, f64)]) -> (State, Vec<LinkId>) {
    let (assembly, lowered) = (subject.assembly, subject.lowered);
    let is_set = |id: JointId| set.iter().any(|(joint, _)| *joint == id);
    let rests = |kind: &JointKind| match kind {
        JointKind::Fold { piece, crease, .. } => {
            let crease = assembly.pieces.get(*piece).and_then(|p| p.creases.get(*crease));
            crease.is_some_and(|c| c.rest.is_some())
        }
        _ => true,
    };
    let joints = assembly.joints.iter().enumerate().zip(&lowered.links);
    let held: Vec<LinkId> = joints
        .filter_map(|((id, joint), link)| (*link).filter(|_| is_set(id) || rests(&joint.kind)))
        .collect();
    let mut values = lowered.linkage.rest().values;
    for (value, link) in state.values.iter().zip(&lowered.links) {
        if let Some(slot) = link.and_then(|l| values.get_mut(l.0)) {
            *slot = *value;
        }
    }
    (State { values }, held)
}

/// Folds that leave nothing free when they are set too, each with its angle as shown, degrees; `None` when there are none
/// that a pose could name.
fn holding(
    subject: &Subject,
    lowered: &Lowered,
    state: &State,
    mut held: Vec<LinkId>,
) -> Option<Vec<(String, f64)>> {
    let mut folds: Vec<(String, f64)> = Vec::new();
    while let Some(left) = lowered.linkage.left_over(state, &held) {
        let joint = subject.assembly.joints.get(lowered.joint_of(left.joint)?)?;
        let JointKind::Fold { piece, crease, .. } = &joint.kind else { return None };
        let line = subject.assembly.pieces.get(*piece)?.creases.get(*crease)?;
        let known = folds.iter().any(|(name, _)| *name == joint.name);
        if !line.named || known || folds.len() == MOST_SET {
            return None;
        }
        folds.push((joint.name.clone(), left.value.abs()));
        held.push(left.joint);
    }
    Some(folds)
}

/// A leg of a motion begins where the joint was left.
fn jumps(subject: &Subject, sink: &mut Findings) {
    for motion in &subject.assembly.motions {
        let mut left: Vec<(JointId, f64, crate::source::Span)> = Vec::new();
        for leg in &motion.legs {
            for step in leg {
                let before = left.iter().find(|(joint, ..)| *joint == step.joint).copied();
                if let (Some((_, value, span)), Some(joint)) = (before, joint_name(subject, step.joint))
                    && (value - step.from).abs() > REPORTED_MM
                    && span != step.span
                {
                    let kind = subject.assembly.joints.get(step.joint).map(|j| &j.kind);
                    sink.report(found::MotionJumps {
                        joint: joint.name,
                        place: step.span,
                        before: span,
                        left: value,
                        from: step.from,
                        slides: matches!(kind, Some(JointKind::Slide { .. })),
                    });
                }
            }
            for step in leg {
                left.retain(|(joint, ..)| *joint != step.joint);
                left.push((step.joint, step.to, step.span));
            }
        }
    }
}

/// Each set of joints that contradict each other is told once, in the first pose that shows it. Quiet when a part or a
/// joint is missing: what it would have moved lies elsewhere.
fn layers_of_poses(subject: &Subject, sink: &mut Findings) {
    if !subject.assembly.missing.is_empty() {
        return;
    }
    let is_fold = |j: JointId| {
        matches!(subject.assembly.joints.get(j).map(|joint| &joint.kind), Some(JointKind::Fold { .. }))
    };
    let is_tuck = |j: &JointId| {
        matches!(subject.assembly.joints.get(*j).map(|joint| &joint.kind), Some(JointKind::Tuck { .. }))
    };
    let mut told: Vec<Vec<JointId>> = Vec::new();
    for ((pose, state), card) in subject.assembly.poses.iter().zip(subject.states).zip(subject.cards) {
        if state.fault.is_some() || pose.partial {
            continue;
        }
        let Some(contradiction) = &card.contradiction else { continue };
        // What a joint's own finding says already explains why it cannot lie.
        let explained = |&j: &JointId| {
            let Some(span) = subject.assembly.joints.get(j).map(|joint| joint.span) else { return false };
            let of_joint = |f: &Finding| span.start <= f.place().start && f.place().end <= span.end;
            sink.list().iter().any(|f| f.severity() == Severity::Error && of_joint(f))
        };
        if told.contains(&contradiction.joints) || contradiction.joints.iter().any(explained) {
            continue;
        }
        // Parts that are stuck over each other, where their layers cannot lie so, are one fault with that.
        let spans: Vec<Span> =
            contradiction.joints.iter().filter_map(|&j| Some(subject.assembly.joints.get(j)?.span)).collect();
        let is_this = |f: &Finding| {
            let places = || std::iter::once(f.place()).chain(f.telling.others.iter().map(|label| label.span));
            f.name() == "stuck-over" && places().all(|place| spans.contains(&place))
        };
        let shared = |f: &Finding| f.telling.measured.iter().find(|m| m.name == "depth").map(|m| m.value);
        let stuck_over = sink.list().iter().find(|f| is_this(f)).and_then(shared);
        sink.retain(|f| !is_this(f));
        sink.report(found::LayersContradict {
            stuck_over,
            pose: Named { name: pose.name.clone(), span: pose.span },
            joints: contradiction.joints.iter().filter_map(|&j| joint_name(subject, j)).collect(),
            fold: contradiction.joints.iter().find(|&&j| is_fold(j)).and_then(|&j| joint_name(subject, j)),
            folds: contradiction.joints.iter().all(|&j| is_fold(j)),
            tuck: contradiction.joints.iter().any(is_tuck),
        });
        told.push(contradiction.joints.clone());
    }
}

/// Where the joints leave open which part lies over which, the order that is shown is told, once for each two parts.
fn undecided(subject: &Subject, sink: &mut Findings) {
    let mut told: Vec<[PanelId; 2]> = Vec::new();
    for ((pose, state), card) in subject.assembly.poses.iter().zip(subject.states).zip(subject.cards) {
        if state.fault.is_some() || pose.partial || card.contradiction.is_some() {
            continue;
        }
        let Some(open) = card.undecided else { continue };
        let pair = [open.upper.min(open.lower), open.upper.max(open.lower)];
        if told.contains(&pair) {
            continue;
        }
        told.push(pair);
        sink.report(found::LayersUndecided {
            pose: Named { name: pose.name.clone(), span: pose.span },
            upper: panel_name(subject.assembly, open.upper),
            lower: panel_name(subject.assembly, open.lower),
            shared: open.shared_mm2,
        });
    }
}
