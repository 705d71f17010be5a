//! Poses and motions: which joints they set, and to what.

use super::design::{Body, JointKind, JointOf, Motion, Move, Pose, PoseSetting, Setting};
use super::resolve::{Entity, side_word};
use super::world::{MemberKind, ScopeId, World};
use crate::findings::catalogue::{NothingToMove, SettingKind, WrongKind};
use crate::quantity::Dimension;
use crate::syntax::tree::{self, ExprKind, Item, ItemKind, Path};

impl<'t> World<'t> {
    pub fn pose_statement(&mut self, scope: ScopeId, item: &'t Item) {
        match &item.kind {
            ItemKind::Pose { name, open, settings } => {
                let Some(key) = self.key(scope, name).map(|k| self.full_name(scope, &k)) else { return };
                let mut all = Vec::new();
                let mut whole = true;
                for setting in settings {
                    match self.setting_of(scope, &setting.joint, &setting.value) {
                        Some((joint, value)) => all.push(PoseSetting { joint, value, span: setting.span }),
                        None => whole = false,
                    }
                }
                if whole {
                    let behind = settings.last().map_or(*open, |setting| setting.span).after();
                    self.design.poses.push(Pose { name: key, span: name.span, behind, settings: all });
                } else {
                    self.missing(&key);
                }
            }
            ItemKind::Motion { name, legs } => {
                let Some(key) = self.key(scope, name).map(|k| self.full_name(scope, &k)) else { return };
                match self.legs(scope, legs) {
                    Some(legs) => self.design.motions.push(Motion { name: key, span: name.span, legs }),
                    None => self.missing(&key),
                }
            }
            _ => {}
        }
    }

    fn legs(&mut self, scope: ScopeId, legs: &'t [Vec<tree::Move>]) -> Option<Vec<Vec<Move>>> {
        let mut all = Vec::new();
        let mut whole = true;
        for leg in legs {
            let mut moves = Vec::new();
            for step in leg {
                let from = self.setting_of(scope, &step.joint, &step.from);
                let to = self.joint_of(scope, &step.joint).and_then(|joint| {
                    let value = self.setting(scope, &joint, &step.to)?;
                    Some((joint, value))
                });
                match (from, to) {
                    (Some((joint, from)), Some((_, to))) => {
                        moves.push(Move { joint, from, to, span: step.span })
                    }
                    _ => whole = false,
                }
            }
            all.push(moves);
        }
        whole.then_some(all)
    }

    fn setting_of(
        &mut self,
        scope: ScopeId,
        path: &'t Path,
        setting: &'t tree::Setting,
    ) -> Option<(JointOf, Setting)> {
        let joint = self.joint_of(scope, path)?;
        let value = self.setting(scope, &joint, setting)?;
        Some((joint, value))
    }

    /// The joint a path speaks of.
    pub fn joint_of(&mut self, scope: ScopeId, path: &'t Path) -> Option<JointOf> {
        let entity = self.resolve(scope, path, &[])?;
        match entity {
            Entity::Joint(name) => self.joint_names.get(&name).map(|joint| JointOf::Joint(*joint)),
            Entity::Member { piece, name, member } if member.kind.is_crease() => {
                let piece = self.piece_index(piece)?;
                Some(JointOf::Crease { piece, crease: name })
            }
            Entity::Piece(decl) => self.joint_of_piece(decl, None, path),
            Entity::Member { piece, name, member } if member.kind == MemberKind::Panel => {
                self.joint_of_piece(piece, Some(&name), path)
            }
            other => {
                let defined = self.defined(&other);
                let wanted = "something that folds, slides or turns";
                self.report(WrongKind::of(path.span, wanted, other.spoken(), defined));
                None
            }
        }
    }

    fn joint_of_piece(&mut self, decl: usize, panel: Option<&str>, path: &Path) -> Option<JointOf> {
        let piece = self.piece_index(decl)?;
        let found = self.design.pieces.get(piece)?;
        if let Body::Strap(_) = &found.body {
            return Some(JointOf::Strap { piece });
        }
        let slides = |kind: &JointKind| match kind {
            JointKind::SlideThrough { part, .. } | JointKind::SlideOn { part, .. } => {
                part.piece == piece && (panel.is_none() || part.panel.as_deref() == panel)
            }
            JointKind::Brad { holes, .. } => holes.first().is_some_and(|h| h.piece == piece),
            _ => false,
        };
        if let Some(joint) = self.design.joints.iter().position(|j| slides(&j.kind)) {
            return Some(JointOf::Joint(joint));
        }
        let folds = matches!(&found.body, Body::Cut(cut) if !cut.creases.is_empty() || !cut.tabs.is_empty());
        if folds && panel.is_none() {
            return Some(JointOf::AllCreases { piece });
        }
        // A slide that had a finding of its own is not reported a second time.
        if !self.design.missing.iter().any(|m| m == "a joint") {
            let (name, defined) = (found.name.clone(), found.span);
            self.report(NothingToMove { place: path.span, name, defined });
        }
        None
    }

    fn setting(&mut self, scope: ScopeId, joint: &JointOf, setting: &'t tree::Setting) -> Option<Setting> {
        let slides = self.slides(joint);
        match setting {
            tree::Setting::Flat(span) => {
                if slides {
                    self.report(SettingKind { place: *span, slides, turns: self.turns(joint) });
                    return None;
                }
                Some(Setting::Flat)
            }
            tree::Setting::Reading { value, from } => {
                let value = self.length(scope, value);
                let end = self.side(from);
                let (value, end) = (value?, end?);
                if !slides {
                    self.report(SettingKind { place: value.span, slides, turns: self.turns(joint) });
                    return None;
                }
                Some(Setting::FromStop(value, end, from.span))
            }
            tree::Setting::Value(expr) => {
                if let ExprKind::Path(path) = &expr.kind
                    && let [word] = path.segments.as_slice()
                    && word.index.is_none()
                    && self.find(scope, &word.text).is_none()
                {
                    if let Some(side) = side_word(&word.text) {
                        if !slides {
                            self.report(SettingKind { place: word.span, slides, turns: self.turns(joint) });
                            return None;
                        }
                        return Some(Setting::Stop(side, word.span));
                    }
                    if word.text == "flat" && !slides {
                        return Some(Setting::Flat);
                    }
                }
                if slides {
                    return Some(Setting::Length(self.length(scope, expr)?));
                }
                Some(Setting::Angle(self.quantity(scope, expr, Dimension::Angle)?))
            }
        }
    }

    /// Whether a joint slides; the others turn.
    pub fn slides(&self, joint: &JointOf) -> bool {
        match joint {
            JointOf::Strap { .. } => true,
            JointOf::Joint(i) => self.design.joints.get(*i).is_some_and(|j| {
                matches!(j.kind, JointKind::SlideThrough { .. } | JointKind::SlideOn { .. })
            }),
            _ => false,
        }
    }

    fn turns(&self, joint: &JointOf) -> bool {
        matches!(joint, JointOf::Joint(_)) && !self.slides(joint)
    }
}
