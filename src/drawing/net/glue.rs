//! Areas of a piece that take glue: hatched one way with full lines on the front, the other way with broken lines on the
//! back, which the net shows from the front.

use crate::assembly::{Assembly, Face, JointKind, Piece, PieceId, PieceKind};
use crate::drawing::hatch::hatch;
use crate::drawing::{LineKind, Mark, curve};
use crate::geometry::{Point, Polygon};

/// Line spacing in mm, and the angle on the front and on the back.
pub(in crate::drawing) const HATCH_MM: f64 = 2.5;
const FRONT_HATCH_DEG: f64 = 45.0;
const BACK_HATCH_DEG: f64 = -45.0;

/// One glued area in the piece's frame.
pub(in crate::drawing) struct Area {
    pub polygon: Polygon,
    pub face: Face,
    /// What lies here, or what this is stuck to.
    pub words: Option<String>,
}

impl Area {
    pub fn kind(&self) -> LineKind {
        kind(self.face)
    }

    pub fn border(&self) -> Mark {
        Mark::line(self.kind(), curve::region(&self.polygon))
    }

    pub fn hatching(&self) -> Mark {
        Mark::line(self.kind(), hatch(&curve::region(&self.polygon), angle(self.face), HATCH_MM))
    }
}

pub(in crate::drawing) fn kind(face: Face) -> LineKind {
    if face == Face::Front { LineKind::Glue } else { LineKind::GlueBehind }
}

pub(in crate::drawing) fn angle(face: Face) -> f64 {
    if face == Face::Front { FRONT_HATCH_DEG } else { BACK_HATCH_DEG }
}

/// Areas on this piece as a target, and on its own face where it is the part.
pub(in crate::drawing) fn areas(assembly: &Assembly, id: PieceId) -> Vec<Area> {
    let mut areas = Vec::new();
    let of_piece = |panel: usize| assembly.panels.get(panel).is_some_and(|p| p.piece == id);
    for joint in &assembly.joints {
        let JointKind::Fixed { placement, faces, area, foam, .. } = &joint.kind else { continue };
        let what = if *foam { " on foam" } else { "" };
        if of_piece(joint.a) {
            let words = other(assembly, id, joint.b).map(|name| format!("{name} here{what}"));
            let own = area.iter().map(|polygon| Area {
                polygon: polygon.clone(),
                face: faces.1,
                words: words.clone(),
            });
            areas.extend(own);
        }
        if of_piece(joint.b) {
            let back = placement.isometry().inverse();
            let ring = |ring: &Vec<Point>| ring.iter().map(|p| back.apply(*p)).collect::<Vec<Point>>();
            let words = other(assembly, id, joint.a).map(|name| format!("onto {name}{what}"));
            for polygon in area {
                let own = Polygon::new(ring(&polygon.outer), polygon.holes.iter().map(ring).collect());
                areas.push(Area { polygon: own, face: faces.0, words: words.clone() });
            }
        }
    }
    areas
}

/// How the net of piece `id` calls what is stuck to it. The tails of a strap say enough themselves.
fn other(assembly: &Assembly, id: PieceId, panel: usize) -> Option<String> {
    let panel = assembly.panels.get(panel)?;
    let piece: &Piece = assembly.pieces.get(panel.piece)?;
    match (panel.piece == id, piece.kind) {
        (true, PieceKind::Strap) => None,
        (true, _) => Some(panel.name.clone()),
        (false, _) if piece.panels.len() > 1 && piece.kind == PieceKind::Cut => {
            Some(format!("{} {}.{}", piece.letter, piece.name, panel.name))
        }
        (false, _) => Some(format!("{} {}", piece.letter, piece.name)),
    }
}
