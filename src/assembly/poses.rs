//! Poses and motions with joint numbers and plain values. Stops become values here, from the joints' ranges.

use super::lowering::Lowering;
use super::model::{JointId, JointKind, Motion, Move, Pose, Side, SlideHow};
use crate::findings::{AskedStop, Named, catalogue as found};
use crate::meaning::design::{JointOf, Setting};
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::source::Span;

impl Lowering<'_> {
    pub fn poses(&mut self) {
        let design = self.design;
        for pose in &design.poses {
            let (mut values, mut partial) = (Vec::new(), false);
            for setting in &pose.settings {
                for joint in self.hinges_of(&setting.joint) {
                    match self.value(joint, &setting.value, setting.span) {
                        Some(value) => values.push((joint, value)),
                        None => partial = true,
                    }
                }
            }
            let (name, span, behind) = (pose.name.clone(), pose.span, pose.behind);
            self.assembly.poses.push(Pose { name, values, partial, span, behind });
        }
        for motion in &design.motions {
            let mut partial = false;
            let legs = motion.legs.iter().map(|leg| self.leg(leg, &mut partial)).collect();
            self.assembly.motions.push(Motion {
                name: motion.name.clone(),
                legs,
                partial,
                span: motion.span,
            });
        }
        for (joint, fault) in std::mem::take(&mut self.without_stop) {
            if fault.free {
                self.assembly.without_stop.push(joint);
            }
            self.sink.report(fault);
        }
    }

    fn leg(&mut self, leg: &[crate::meaning::design::Move], partial: &mut bool) -> Vec<Move> {
        let mut moves = Vec::new();
        for step in leg {
            for joint in self.hinges_of(&step.joint) {
                let from = self.value(joint, &step.from, step.span);
                let to = self.value(joint, &step.to, step.span);
                match (from, to) {
                    (Some(from), Some(to)) => moves.push(Move { joint, from, to, span: step.span }),
                    _ => *partial = true,
                }
            }
        }
        moves
    }

    /// The joints that a setting acts on: every hinge of a crease, or the one joint.
    pub fn hinges_of(&self, joint: &JointOf) -> Vec<JointId> {
        match joint {
            JointOf::Crease { piece, crease } => {
                let Some(id) = self.id(*piece) else { return Vec::new() };
                let found = self.built.get(id).and_then(|built| built.crease(crease));
                let piece = self.assembly.pieces.get(id);
                found.and_then(|i| piece?.creases.get(i)).map_or(Vec::new(), |c| c.hinges.clone())
            }
            JointOf::AllCreases { piece } => {
                let piece = self.id(*piece).and_then(|id| self.assembly.pieces.get(id));
                piece.map_or(Vec::new(), |p| p.creases.iter().flat_map(|c| c.hinges.clone()).collect())
            }
            JointOf::Strap { piece } => {
                self.id(*piece).and_then(|id| self.straps.get(&id)).copied().into_iter().collect()
            }
            JointOf::Joint(index) => self.moving.get(index).copied().into_iter().collect(),
        }
    }

    fn value(&mut self, joint: JointId, setting: &Setting, span: Span) -> Option<f64> {
        let at = self.assembly.joints.get(joint)?;
        let (name, defined) = (at.name.clone(), at.span);
        let slide = match &at.kind {
            JointKind::Slide { range, ends, .. } => Some((*range, *ends)),
            _ => None,
        };
        let range = match &at.kind {
            JointKind::Fold { .. } => Some((0.0, 180.0)),
            JointKind::Slide { range, .. } => Some(*range),
            JointKind::Pin { range, .. } => *range,
            _ => None,
        };
        let (value, stated) = match setting {
            Setting::Angle(angle) => (angle.value(), Some(angle.stated())),
            Setting::Flat => (180.0, None),
            Setting::Length(length) => {
                let low = slide.map_or(0.0, |(range, _)| if range.0.is_finite() { range.0 } else { 0.0 });
                (low + length.value(), Some(length.stated()))
            }
            Setting::Stop(word, place) => (self.stop(joint, super::built::side(*word), *place)?, None),
            Setting::FromStop(length, word, place) => {
                let side = super::built::side(*word);
                let stop = self.stop(joint, side, *place)?;
                let inward = if slide.is_some_and(|(_, ends)| ends.1 == side) { -1.0 } else { 1.0 };
                (stop + inward * length.value(), Some(length.stated()))
            }
        };
        if let Some((low, high)) = range
            && (value < low - COINCIDENT_MM || value > high + COINCIDENT_MM)
        {
            self.sink.report(found::SettingOutOfReach {
                joint: name,
                place: stated.map_or(span, |s| s.span),
                defined,
                stated,
                value,
                range: (low, high),
                slides: slide.is_some(),
                from_end: matches!(setting, Setting::FromStop(..)),
            });
            return None;
        }
        Some(value)
    }

    /// The value at the stop on a side.
    fn stop(&mut self, joint: JointId, side: Side, place: Span) -> Option<f64> {
        let at = self.assembly.joints.get(joint)?;
        let JointKind::Slide { range, ends, how, .. } = &at.kind else { return None };
        let value = match side {
            _ if side == ends.0 => Some(range.0),
            _ if side == ends.1 => Some(range.1),
            _ => None,
        };
        if let Some(value) = value
            && value.is_finite()
        {
            return Some(value);
        }
        let free = value.is_some();
        let low = matches!(side, Side::Left | Side::Bottom);
        let end_of = |end: Side| matches!(end, Side::Left | Side::Bottom) == low;
        let asked = AskedStop {
            place,
            side: side.word(),
            end: if end_of(ends.0) { ends.0.word() } else { ends.1.word() },
        };
        match self.without_stop.iter_mut().find(|(j, fault)| *j == joint && fault.free == free) {
            Some((_, fault)) => fault.asked.push(asked),
            None => {
                let fault = found::NoSuchStop {
                    joint: Named { name: at.name.clone(), span: at.span },
                    asked: vec![asked],
                    ends: (ends.0.word(), ends.1.word()),
                    free,
                    on_face: matches!(how, SlideHow::On { .. }),
                };
                self.without_stop.push((joint, fault));
            }
        }
        None
    }
}
