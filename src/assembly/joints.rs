//! Joints between pieces, in the order in which they can be known: mats and straps lie where they are made for; glue
//! with clauses places its part; slides, brads and tucks follow; glue without clauses is closed by folds and comes last.

use super::lowering::Lowering;
use super::model::*;
use super::straps;
use crate::meaning::design::{self, Body};
use crate::source::Span;

impl Lowering<'_> {
    pub fn joints(&mut self) {
        self.mats();
        self.strap_joints();
        let mut slots: Vec<Option<Joint>> = (0..self.design.joints.len()).map(|_| None).collect();
        self.placed_glue(&mut slots);
        self.moving_joints(&mut slots);
        self.closing_glue(&mut slots);
        for (index, joint) in slots.into_iter().enumerate() {
            if let Some(joint) = joint {
                self.keep(index, joint);
            }
        }
        self.loose_parts();
    }

    /// A lowered joint of the design gets its number. Placed glue has one already (see [`Lowering::placed_glue`]).
    fn keep(&mut self, index: usize, joint: Joint) {
        if matches!(joint.kind, JointKind::Slide { .. } | JointKind::Pin { .. }) {
            self.moving.insert(index, self.assembly.joints.len());
        }
        self.assembly.joints.push(joint);
    }

    pub fn push(&mut self, joint: Joint) -> JointId {
        self.assembly.joints.push(joint);
        self.assembly.joints.len() - 1
    }

    pub fn joint_between(&self, name: &str, a: PanelId, b: PanelId, kind: JointKind, span: Span) -> Joint {
        Joint { name: name.into(), a, b, kind, span }
    }

    fn mats(&mut self) {
        let design = self.design;
        for (index, piece) in design.pieces.iter().enumerate() {
            let Body::Mat(mat) = &piece.body else { continue };
            let (Some(id), Some(target)) = (self.id(index), self.id(mat.on.piece)) else { continue };
            let Some(plane) = self.plane(&mat.on) else { continue };
            let Some(placement) = self.mat_placement(piece, mat, plane.piece, plane.local) else { continue };
            let Some(panel) = self.panel_id(id, 0) else { continue };
            // On a strap's back the mat lies on the outer tail.
            let motion = placement.isometry().then(&plane.own);
            let placement = Placement::carrying(&motion, plane.face, 0.0);
            let area = self.shared_area(panel, plane.panel, &motion);
            let to = self.assembly.pieces.get(target).map(|p| p.name.clone()).unwrap_or_default();
            let name = format!("{} on {to}", piece.name);
            let kind = JointKind::Fixed {
                placement,
                faces: (Face::Back, plane.face),
                area,
                closing: false,
                foam: false,
                along: None,
            };
            self.held.join(id, plane.piece);
            let joint = self.joint_between(&name, plane.panel, panel, kind, piece.span);
            self.push(joint);
        }
    }

    fn mat_placement(
        &self,
        piece: &design::Piece,
        mat: &design::Mat,
        target: PieceId,
        panel: usize,
    ) -> Option<Placement> {
        let built = self.built.get(target)?;
        let mut quiet = crate::findings::Findings::default();
        super::mats::build(piece, mat, piece.paper, built, panel, &mut quiet).map(|fitted| fitted.placement)
    }

    fn strap_joints(&mut self) {
        let ids: Vec<PieceId> = self.loops.keys().copied().collect();
        for id in ids {
            let Some((slide, glue)) = self.strap_joint(id) else { continue };
            if let Some(strap) = self.loops.get(&id) {
                self.held.join(id, strap.around);
            }
            let slide = self.push(slide);
            self.straps.insert(id, slide);
            self.push(glue);
        }
    }

    /// The band on its bar, and its tails stuck together behind it.
    fn strap_joint(&self, id: PieceId) -> Option<(Joint, Joint)> {
        let strap = self.loops.get(&id)?;
        let piece = self.assembly.pieces.get(id)?;
        let looped = &strap.looped;
        let how = match looped.rails {
            Some(rails) => SlideHow::Strap {
                piece: strap.around,
                rails,
                bar: looped.bar,
                wide: piece.body.width().min(piece.body.height()),
            },
            None => SlideHow::On { under: Vec::new(), around: Vec::new() },
        };
        let band = self.panel_id(id, straps::FRONT)?;
        let track = self.panel_id(strap.around, looped.track)?;
        let slide = JointKind::Slide {
            placement: looped.placement,
            direction: looped.direction,
            range: (0.0, looped.travel),
            ends: looped.ends,
            stops: None,
            how,
        };
        let glue = JointKind::Fixed {
            placement: Placement {
                turned: 0.0,
                flipped: false,
                shift: looped.tail_shift,
                side: Face::Front,
                raise: 0.0,
            },
            faces: (Face::Back, Face::Front),
            area: vec![looped.overlap.clone()],
            closing: true,
            foam: false,
            along: None,
        };
        let (tail_1, tail_2) = (self.panel_id(id, straps::TAIL_1)?, self.panel_id(id, straps::TAIL_2)?);
        let loop_name = format!("{} loop", piece.name);
        Some((
            self.joint_between(&piece.name, track, band, slide, piece.span),
            self.joint_between(&loop_name, tail_1, tail_2, glue, piece.span),
        ))
    }

    /// Pieces that no joint holds to the first one. Quiet when a part is missing: it may have been the link.
    fn loose_parts(&mut self) {
        if !self.assembly.missing.is_empty() {
            return;
        }
        let piece_of = |panel: PanelId| self.assembly.panels.get(panel).map(|p| p.piece);
        for joint in &self.assembly.joints {
            if let (Some(a), Some(b)) = (piece_of(joint.a), piece_of(joint.b)) {
                self.held.join(a, b);
            }
        }
        let Some(root) = piece_of(self.assembly.root) else { return };
        let Some((base, base_span)) = self.assembly.pieces.get(root).map(|p| (p.name.clone(), p.span)) else {
            return;
        };
        let mut told = vec![root];
        for (id, piece) in self.assembly.pieces.iter().enumerate() {
            // One finding for a group that hangs together.
            if told.iter().any(|&other| self.held.together(id, other)) {
                continue;
            }
            told.push(id);
            self.sink.report(crate::findings::catalogue::LoosePart {
                part: piece.name.clone(),
                place: piece.span,
                base: base.clone(),
                base_span,
            });
        }
    }
}
