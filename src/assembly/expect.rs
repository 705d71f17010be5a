//! Claims from the design's words to the assembly's numbers. A claim about something that is missing is left out.

use super::built::side;
use super::claims::*;
use super::lowering::Lowering;
use super::model::{JointId, PanelId};
use super::outline::written;
use super::panels::opening_polygon;
use crate::meaning::design::{self, Feature, FeatureKind, JointOf, PartOf};

impl Lowering<'_> {
    pub fn claims(&mut self) {
        let design = self.design;
        for claim in &design.claims {
            match self.expr(&claim.expr) {
                Some(expr) => self.assembly.claims.push(Claim { expr, span: claim.span }),
                None => self.assembly.missing.push(design::MISSING_CLAIM.into()),
            }
        }
    }

    fn expr(&self, expr: &design::ClaimExpr) -> Option<ClaimExpr> {
        let boxed = |e: &design::ClaimExpr| self.expr(e).map(Box::new);
        let kind = match &expr.kind {
            design::ClaimKind::Value(q, name) => {
                ClaimKind::Value { written: written(q), dimension: q.dimension, name: name.clone() }
            }
            design::ClaimKind::Yes(yes) => ClaimKind::Yes(*yes),
            design::ClaimKind::Measure(measure) => ClaimKind::Measure(self.measure(measure)?),
            design::ClaimKind::Predicate(predicate) => ClaimKind::Predicate(self.predicate(predicate)?),
            design::ClaimKind::Not(inner) => ClaimKind::Not(boxed(inner)?),
            design::ClaimKind::Negate(inner) => ClaimKind::Negate(boxed(inner)?),
            design::ClaimKind::Absolute(inner) => ClaimKind::Absolute(boxed(inner)?),
            design::ClaimKind::Arithmetic(op, a, b) => ClaimKind::Arithmetic(*op, boxed(a)?, boxed(b)?),
            design::ClaimKind::Compare(op, a, b) => ClaimKind::Compare(*op, boxed(a)?, boxed(b)?),
        };
        Some(ClaimExpr { kind, span: expr.span })
    }

    fn measure(&self, measure: &design::Measure) -> Option<Measure> {
        use design::Measure as From;
        Some(match measure {
            From::Width(pose) => Measure::Width(*pose),
            From::Height(pose) => Measure::Height(*pose),
            From::Depth(pose) => Measure::Depth(*pose),
            From::Thickness(pose) => Measure::Thickness(*pose),
            From::Mass => Measure::Mass,
            From::Travel(joint) => Measure::Travel(self.first_joint(joint)?),
            From::Rise(part) => Measure::Rise(self.part(part)?),
            From::Lean(part, pose) => Measure::Lean(self.part(part)?, *pose),
            From::Angle(joint, pose) => Measure::Angle(self.first_joint(joint)?, *pose),
            From::Visible(thing, pose) => Measure::Visible(self.thing(thing)?, *pose),
            From::Gap(a, b, pose) => Measure::Gap(self.part(a)?, self.part(b)?, *pose),
            From::PieceWidth(part) => Measure::PieceWidth(self.part(part)?),
            From::PieceHeight(part) => Measure::PieceHeight(self.part(part)?),
        })
    }

    fn predicate(&self, predicate: &design::Predicate) -> Option<Predicate> {
        use design::Predicate as From;
        Some(match predicate {
            From::Fits { pose } => Predicate::Fits { pose: *pose },
            From::Posts { pose } => Predicate::Posts { pose: *pose },
            From::Moves { motion } => Predicate::Moves { motion: *motion },
            From::Stands { pose } => Predicate::Stands { pose: *pose },
            From::FoldsFlat { pose } => Predicate::FoldsFlat { pose: *pose },
            From::Hidden { thing, pose } => Predicate::Hidden { thing: self.thing(thing)?, pose: *pose },
            From::Visible { thing, pose } => Predicate::Visible { thing: self.thing(thing)?, pose: *pose },
            From::Clear { part, of } => Predicate::Clear { part: self.part(part)?, of: self.spot(of)? },
            From::Captive { part, motion } => Predicate::Captive { part: self.part(part)?, motion: *motion },
        })
    }

    fn first_joint(&self, joint: &JointOf) -> Option<JointId> {
        self.hinges_of(joint).first().copied()
    }

    fn part(&self, part: &PartOf) -> Option<Part> {
        let piece = self.id(part.piece)?;
        let panel = match &part.panel {
            Some(name) => Some(self.panel_id(piece, self.built.get(piece)?.panel(name)?)?),
            None => None,
        };
        Some(Part { piece, panel, span: part.span })
    }

    fn thing(&self, thing: &design::Thing) -> Option<Thing> {
        Some(match thing {
            design::Thing::Part(part) => Thing::Part(self.part(part)?),
            design::Thing::Print(print) => Thing::Print(self.prints.get(*print).copied().flatten()?),
        })
    }

    fn spot(&self, feature: &Feature) -> Option<Spot> {
        let piece = self.id(feature.piece)?;
        let built = self.built.get(piece)?;
        let mut panel: Option<PanelId> = None;
        let place = match &feature.what {
            FeatureKind::Cutout(name) => {
                let index = built.cutout(name)?;
                panel = self.assembly.pieces.get(piece)?.cutouts.get(index).map(|c| c.panel);
                match opening_polygon(built.cutouts.get(index)?) {
                    Some(opening) => SpotPlace::Area(opening.outer),
                    None => SpotPlace::Line(built.locate(&feature.what, None)?.line()?),
                }
            }
            FeatureKind::Panel(name) => {
                let local = built.panel(name)?;
                panel = self.panel_id(piece, local);
                SpotPlace::Area(built.panels.get(local)?.polygon.outer.clone())
            }
            FeatureKind::Whole => SpotPlace::Area(built.polygon.outer.clone()),
            FeatureKind::Edge(name, _) => {
                panel = name.as_ref().and_then(|n| self.panel_id(piece, built.panel(n)?));
                SpotPlace::Line(
                    built.real_edge(feature).or_else(|| built.locate(&feature.what, None)?.line())?,
                )
            }
            FeatureKind::Mark(_) => {
                let at = built.locate(&feature.what, None)?.points().first().copied()?;
                SpotPlace::Point(at)
            }
            FeatureKind::Crease(_) | FeatureKind::OwnCrease => {
                SpotPlace::Line(built.locate(&feature.what, built.only_panel())?.line()?)
            }
        };
        let own = match &feature.what {
            FeatureKind::Cutout(name)
            | FeatureKind::Panel(name)
            | FeatureKind::Mark(name)
            | FeatureKind::Crease(name) => vec![name.clone()],
            FeatureKind::Edge(panel, edge) => {
                panel.iter().cloned().chain([side(*edge).word().to_string()]).collect()
            }
            FeatureKind::Whole | FeatureKind::OwnCrease => Vec::new(),
        };
        let whole = self.assembly.pieces.get(piece)?.name.clone();
        let name = [vec![whole], own].concat().join(".");
        Some(Spot { name, piece, panel, place, span: feature.span })
    }
}
