//! A fold scored the wrong way round: poses that cannot be taken, and all of which can be once one score folds the other
//! way.

use super::Subject;
use crate::assembly::{Assembly, Fold, JointId, JointKind, PieceId};
use crate::findings::Named;
use crate::layers;
use crate::motion::{lower, stand_lowered};
use std::collections::BTreeSet;

/// Among more scores than these, turned one by one, there are ways that nobody means, and looking for them takes long.
const MOST_TRIED: usize = 8;
/// Where more scores than these would each do, the poses do not say which is meant.
const MOST_TOLD: usize = 3;

/// A score of a piece, by its place in the piece's list.
type Score = (PieceId, usize);

/// The scores each of which by itself lets every pose be taken when it is turned from a valley to a mountain or back;
/// `true` when it becomes a mountain.
pub fn turned_round(subject: &Subject, open_at: JointId) -> Vec<(Named, bool)> {
    let assembly = subject.assembly;
    let set = |&(piece, crease): &Score| {
        let hinges = hinges(assembly, piece, crease);
        assembly.poses.iter().flat_map(|pose| &pose.values).any(|(joint, _)| hinges.contains(joint))
    };
    // What a pose sets is folded by hand, and its author knows which way; how the page folds is where everything starts.
    let (set, follows): (Vec<Score>, Vec<Score>) = scores_round(assembly, open_at).into_iter().partition(set);
    let mending = |scores: Vec<Score>| -> Vec<Score> {
        let few = scores.len() <= MOST_TRIED;
        let tried = scores.into_iter().filter(|_| few);
        tried.filter(|score| takes_all(subject, *score)).take(MOST_TOLD + 1).collect()
    };
    let page = assembly.panels.get(assembly.root).map(|panel| panel.piece);
    let set = set.into_iter().filter(|(piece, _)| Some(*piece) != page).collect();
    let found = [follows, set].into_iter().map(mending).find(|found| !found.is_empty()).unwrap_or_default();
    if found.len() > MOST_TOLD {
        return Vec::new();
    }
    found.into_iter().filter_map(|score| named(assembly, score)).collect()
}

fn named(assembly: &Assembly, (piece, crease): Score) -> Option<(Named, bool)> {
    let joint = hinges(assembly, piece, crease).first().and_then(|j| assembly.joints.get(*j))?;
    let valley = assembly.pieces.get(piece)?.creases.get(crease)?.fold == Fold::Valley;
    Some((Named { name: joint.name.clone(), span: joint.span }, valley))
}

fn hinges(assembly: &Assembly, piece: PieceId, crease: usize) -> Vec<JointId> {
    let on = |(id, joint): (JointId, &crate::assembly::Joint)| match &joint.kind {
        JointKind::Fold { piece: p, crease: c, .. } => ((*p, *c) == (piece, crease)).then_some(id),
        _ => None,
    };
    assembly.joints.iter().enumerate().filter_map(on).collect()
}

/// Every score that folds in a ring of joints which hangs together with the ring of a joint.
fn scores_round(assembly: &Assembly, open_at: JointId) -> Vec<Score> {
    let rings: Vec<JointId> = (0..assembly.joints.len())
        .filter(|&id| tied(assembly, id) && !rests_on_nothing(assembly, id))
        .collect();
    let ends = |id: JointId| assembly.joints.get(id).map(|joint| [joint.a, joint.b]).unwrap_or_default();
    let mut panels: BTreeSet<usize> = ends(open_at).into_iter().collect();
    loop {
        let more = rings.iter().flat_map(|id| {
            let two = ends(*id);
            if two.iter().any(|p| panels.contains(p)) { two.to_vec() } else { Vec::new() }
        });
        let more: Vec<usize> = more.filter(|p| !panels.contains(p)).collect();
        if more.is_empty() {
            break;
        }
        panels.extend(more);
    }
    let score = |id: &JointId| match &assembly.joints.get(*id)?.kind {
        JointKind::Fold { piece, crease, .. } if ends(*id).iter().all(|p| panels.contains(p)) => {
            Some((*piece, *crease))
        }
        _ => None,
    };
    let scores: BTreeSet<Score> = rings.iter().filter_map(score).collect();
    scores.into_iter().collect()
}

/// A tuck holds without placing.
fn rests_on_nothing(assembly: &Assembly, id: JointId) -> bool {
    assembly.joints.get(id).is_none_or(|joint| matches!(joint.kind, JointKind::Tuck { .. }))
}

/// Whether the panels of a joint hang together without it.
fn tied(assembly: &Assembly, id: JointId) -> bool {
    let Some(joint) = assembly.joints.get(id) else { return false };
    let mut seen = BTreeSet::from([joint.a]);
    let mut open = vec![joint.a];
    while let Some(panel) = open.pop() {
        for (other, next) in assembly.joints.iter().enumerate() {
            if other == id || rests_on_nothing(assembly, other) {
                continue;
            }
            for (from, to) in [(next.a, next.b), (next.b, next.a)] {
                if from == panel && seen.insert(to) {
                    open.push(to);
                }
            }
        }
    }
    seen.contains(&joint.b)
}

/// Whether every pose can be taken when a score folds the other way, with its layers in some order.
fn takes_all(subject: &Subject, (piece, crease): Score) -> bool {
    let assembly = subject.assembly;
    let mut turned = assembly.clone();
    for id in hinges(assembly, piece, crease) {
        if let Some(JointKind::Fold { fold, .. }) = turned.joints.get_mut(id).map(|joint| &mut joint.kind) {
            *fold = match fold {
                Fold::Valley => Fold::Mountain,
                Fold::Mountain => Fold::Valley,
            };
        }
    }
    let lowered = lower(&turned);
    let poses = || turned.poses.iter().filter(|pose| !pose.partial);
    // Most scores are ruled out soon, and for these no way is looked for.
    if !poses().all(|pose| lowered.closes_soon(&turned, &pose.values)) {
        return false;
    }
    let mut states = Vec::new();
    for pose in poses() {
        let state = stand_lowered(&turned, &lowered, &pose.name, &pose.values);
        if state.fault.is_some() {
            return false;
        }
        states.push(state);
    }
    layers::contradictions(&turned, &states, subject.kept).iter().all(Option::is_none)
}
