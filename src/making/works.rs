//! What there is to do for a card, before any order.

use std::collections::BTreeMap;

use super::reach;
use crate::assembly::{Assembly, Joint, JointId, JointKind, PanelId, PaperId, PieceId, PieceKind, SlideHow};

/// One thing to do; a step of the order is one work.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// The outlines of all pieces of one paper.
    Cut {
        paper: PaperId,
        pieces: Vec<PieceId>,
    },
    /// The openings of one piece.
    Open {
        piece: PieceId,
    },
    /// The scores of a piece, or of every strap.
    Score {
        pieces: Vec<PieceId>,
    },
    Print {
        print: usize,
    },
    Fold {
        piece: PieceId,
    },
    /// A decorative layer.
    Mat {
        joint: JointId,
    },
    /// A strap round its bar; its ends stuck to each other.
    Strap {
        slide: JointId,
        closed_by: Option<JointId>,
    },
    /// A strap that holds and does not slide.
    Band {
        closed_by: JointId,
    },
    /// A tongue through its slots.
    Thread {
        slide: JointId,
    },
    /// A slide laid on a face.
    Lay {
        slide: JointId,
    },
    Pin {
        pin: JointId,
    },
    /// Glue or foam.
    Stick {
        joint: JointId,
    },
    /// Folds brought together and stuck.
    Close {
        joint: JointId,
    },
    Tuck {
        joint: JointId,
    },
    /// A dry run: of a motion, or of one joint that no motion moves.
    Try {
        motion: Option<usize>,
        joints: Vec<JointId>,
    },
    Finish,
    /// The author's own words.
    Own {
        step: usize,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkKind {
    Cut,
    Score,
    Fold,
    Decorate,
    Thread,
    Pin,
    Stick,
    Try,
    Close,
    Finish,
    Own,
}

impl Work {
    pub fn kind(&self) -> WorkKind {
        match self {
            Self::Cut { .. } | Self::Open { .. } => WorkKind::Cut,
            Self::Score { .. } => WorkKind::Score,
            Self::Fold { .. } => WorkKind::Fold,
            Self::Print { .. } | Self::Mat { .. } => WorkKind::Decorate,
            Self::Strap { .. } | Self::Band { .. } | Self::Thread { .. } | Self::Lay { .. } => {
                WorkKind::Thread
            }
            Self::Pin { .. } => WorkKind::Pin,
            Self::Stick { .. } => WorkKind::Stick,
            Self::Close { .. } | Self::Tuck { .. } => WorkKind::Close,
            Self::Try { .. } => WorkKind::Try,
            Self::Finish => WorkKind::Finish,
            Self::Own { .. } => WorkKind::Own,
        }
    }

    /// The joints it makes.
    pub fn joints(&self) -> Vec<JointId> {
        match self {
            Self::Strap { slide, closed_by } => {
                std::iter::once(*slide).chain(closed_by.iter().copied()).collect()
            }
            Self::Mat { joint: j }
            | Self::Band { closed_by: j }
            | Self::Thread { slide: j }
            | Self::Lay { slide: j }
            | Self::Pin { pin: j }
            | Self::Stick { joint: j }
            | Self::Close { joint: j }
            | Self::Tuck { joint: j } => vec![*j],
            _ => Vec::new(),
        }
    }

    /// The pieces that it works on or puts in place.
    pub fn parts(&self, assembly: &Assembly) -> Vec<PieceId> {
        let part = |j: &JointId| assembly.joints.get(*j).and_then(|j| piece_of(assembly, j.b));
        match self {
            Self::Cut { pieces, .. } | Self::Score { pieces } => pieces.clone(),
            Self::Open { piece } | Self::Fold { piece } => vec![*piece],
            Self::Print { print } => {
                assembly.prints.get(*print).and_then(|p| piece_of(assembly, p.panel)).into_iter().collect()
            }
            Self::Try { joints, .. } => joints.iter().filter_map(part).collect(),
            _ => self.joints().first().and_then(part).into_iter().collect(),
        }
    }

    /// Works are done in this order as far as nothing else decides.
    pub(super) fn phase(&self) -> u8 {
        match self {
            Self::Cut { .. } => 0,
            Self::Open { .. } => 1,
            Self::Score { .. } => 2,
            Self::Print { .. } => 3,
            Self::Fold { .. } => 4,
            Self::Mat { .. } => 5,
            // A mechanism is tried as soon as it is whole.
            Self::Try { .. } => 6,
            Self::Tuck { .. } => 8,
            Self::Finish | Self::Own { .. } => 9,
            _ => 7,
        }
    }
}

pub fn piece_of(assembly: &Assembly, panel: PanelId) -> Option<PieceId> {
    assembly.panels.get(panel).map(|p| p.piece)
}

/// Every work, in the order in which the design states things.
pub(super) fn works(assembly: &Assembly) -> Vec<Work> {
    let mut works = Vec::new();
    let mut by_paper: BTreeMap<PaperId, Vec<PieceId>> = BTreeMap::new();
    for (id, piece) in assembly.pieces.iter().enumerate() {
        by_paper.entry(piece.paper).or_default().push(id);
    }
    let mut by_paper: Vec<_> = by_paper.into_iter().collect();
    by_paper.sort_by_key(|(_, pieces)| pieces.first().copied());
    works.extend(by_paper.into_iter().map(|(paper, pieces)| Work::Cut { paper, pieces }));
    let pieces = || assembly.pieces.iter().enumerate();
    works.extend(pieces().filter(|(_, p)| !p.cutouts.is_empty()).map(|(piece, _)| Work::Open { piece }));
    let scored = |kind: fn(PieceKind) -> bool| {
        pieces().filter(move |(_, p)| !p.creases.is_empty() && kind(p.kind)).map(|(id, _)| id)
    };
    let is_strap = |kind| kind == PieceKind::Strap;
    works.extend(scored(|k| k != PieceKind::Strap).map(|id| Work::Score { pieces: vec![id] }));
    let straps: Vec<PieceId> = scored(is_strap).collect();
    if !straps.is_empty() {
        works.push(Work::Score { pieces: straps });
    }
    works.extend((0..assembly.prints.len()).map(|print| Work::Print { print }));
    works.extend(scored(|k| k != PieceKind::Strap).map(|piece| Work::Fold { piece }));
    works.extend(assembly.joints.iter().enumerate().filter_map(|(id, joint)| join(assembly, id, joint)));
    works.extend(tries(assembly));
    works.push(Work::Finish);
    works
}

fn join(assembly: &Assembly, id: JointId, joint: &Joint) -> Option<Work> {
    Some(match &joint.kind {
        JointKind::Fold { .. } => return None,
        JointKind::Fixed { closing: true, .. } => match loop_of(assembly, joint) {
            Some(piece) if slide_of(assembly, piece).is_some() => return None,
            Some(_) => Work::Band { closed_by: id },
            None => Work::Close { joint: id },
        },
        JointKind::Fixed { .. } => {
            let is_mat = |p: PieceId| assembly.pieces.get(p).is_some_and(|p| p.kind == PieceKind::Mat);
            if piece_of(assembly, joint.b).is_some_and(is_mat) {
                Work::Mat { joint: id }
            } else {
                Work::Stick { joint: id }
            }
        }
        JointKind::Slide { how: SlideHow::Strap { .. }, .. } => {
            let piece = piece_of(assembly, joint.b);
            let closed_by = assembly.joints.iter().position(|j| {
                matches!(j.kind, JointKind::Fixed { closing: true, .. }) && loop_of(assembly, j) == piece
            });
            Work::Strap { slide: id, closed_by }
        }
        JointKind::Slide { how: SlideHow::Through { .. }, .. } => Work::Thread { slide: id },
        JointKind::Slide { how: SlideHow::On { .. }, .. } => Work::Lay { slide: id },
        JointKind::Pin { .. } => Work::Pin { pin: id },
        JointKind::Tuck { .. } => Work::Tuck { joint: id },
    })
}

/// The strap whose own ends a joint sticks together.
fn loop_of(assembly: &Assembly, joint: &Joint) -> Option<PieceId> {
    let piece = piece_of(assembly, joint.b)?;
    let is_strap = assembly.pieces.get(piece).is_some_and(|p| p.kind == PieceKind::Strap);
    (is_strap && piece_of(assembly, joint.a) == Some(piece)).then_some(piece)
}

fn slide_of(assembly: &Assembly, piece: PieceId) -> Option<JointId> {
    assembly.joints.iter().position(|j| {
        matches!(j.kind, JointKind::Slide { how: SlideHow::Strap { .. }, .. })
            && piece_of(assembly, j.b) == Some(piece)
    })
}

/// A dry run for every motion that slides or turns something, and for every such joint that no motion moves. The brads
/// of a ring are tried together: none of them turns alone.
fn tries(assembly: &Assembly) -> Vec<Work> {
    let runs = |id: &JointId| {
        matches!(
            assembly.joints.get(*id).map(|j| &j.kind),
            Some(JointKind::Slide { .. } | JointKind::Pin { .. })
        )
    };
    let mut seen: Vec<JointId> = Vec::new();
    let mut all = Vec::new();
    for (motion, m) in assembly.motions.iter().enumerate() {
        let mut joints: Vec<JointId> = m.legs.iter().flatten().map(|step| step.joint).filter(runs).collect();
        let mut once = Vec::new();
        joints.retain(|j| {
            !once.contains(j) && {
                once.push(*j);
                true
            }
        });
        if !joints.is_empty() {
            seen.extend(joints.iter().flat_map(|j| brads_of_ring(assembly, *j)));
            seen.extend(joints.iter().copied());
            all.push(Work::Try { motion: Some(motion), joints });
        }
    }
    for id in (0..assembly.joints.len()).filter(runs) {
        if seen.contains(&id) {
            continue;
        }
        let mut joints = vec![id];
        joints.extend(brads_of_ring(assembly, id).into_iter().filter(|j| !seen.contains(j)));
        seen.extend(joints.iter().copied());
        all.push(Work::Try { motion: None, joints });
    }
    all
}

/// The other brads of the ring that a brad is one of, in the order in which they are stated.
pub(super) fn brads_of_ring(assembly: &Assembly, brad: JointId) -> Vec<JointId> {
    let is_brad =
        |id: &JointId| matches!(assembly.joints.get(*id).map(|j| &j.kind), Some(JointKind::Pin { .. }));
    if !is_brad(&brad) {
        return Vec::new();
    }
    let mut ring: Vec<JointId> = reach::ring(assembly, brad).into_iter().filter(is_brad).collect();
    ring.sort_unstable();
    ring
}
