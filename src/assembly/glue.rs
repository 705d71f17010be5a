//! Glue and foam: where clauses put a part, where folds bring two faces together, and the area that is stuck.

use super::built::{Located, side};
use super::lowering::{Lowering, Plane};
use super::model::*;
use super::place::{Ground, Subject, place};
use super::rest::{Meeting, meeting};
use crate::findings::{Findings, OtherSide, catalogue as found};
use crate::geometry::{
    Isometry, Join, Polygon, Rect, Region, Segment, difference, intersection, offset, pt, region_area,
};
use crate::meaning::design::{self, Feature, Glue, GlueArea, PlaceKind};
use crate::quantity::tolerance::AREA_MM2;
use crate::source::Span;

/// Width of glue along edges when the design does not say, mm.
const GLUE_STRIP_MM: f64 = 6.0;

/// What a glue statement came to.
enum Glued {
    Joint(Box<Joint>),
    /// A clause speaks of a part that is not placed yet.
    Later,
    Failed,
}

impl Lowering<'_> {
    /// Glue with clauses. A part that is placed already is verified instead. Joints that place a part are kept at once,
    /// since others may be read from it.
    pub fn placed_glue(&mut self, slots: &mut [Option<Joint>]) {
        let design = self.design;
        let mut waiting: Vec<usize> =
            (0..design.joints.len()).filter(|&i| has_clauses(&design.joints[i])).collect();
        loop {
            let before = waiting.len();
            let mut later = Vec::new();
            for index in waiting {
                match self.glue_joint(index, false) {
                    Glued::Joint(joint) => slots[index] = Some(*joint),
                    Glued::Later => later.push(index),
                    Glued::Failed => self.assembly.missing.push(design.joints[index].name.clone()),
                }
                self.keep_placing(slots, index);
            }
            if later.len() == before || later.is_empty() {
                for index in later {
                    match self.glue_joint(index, true) {
                        Glued::Joint(joint) => slots[index] = Some(*joint),
                        _ => self.assembly.missing.push(design.joints[index].name.clone()),
                    }
                    self.keep_placing(slots, index);
                }
                return;
            }
            waiting = later;
        }
    }

    /// Moves a joint that places its part into the assembly.
    fn keep_placing(&mut self, slots: &mut [Option<Joint>], index: usize) {
        let places = |joint: &Joint| matches!(joint.kind, JointKind::Fixed { closing: false, .. });
        if slots.get(index).is_some_and(|slot| slot.as_ref().is_some_and(places))
            && let Some(joint) = slots[index].take()
        {
            self.push(joint);
        }
    }

    fn glue_joint(&mut self, index: usize, last: bool) -> Glued {
        let design = self.design;
        let Some(joint) = design.joints.get(index) else { return Glued::Failed };
        let design::JointKind::Glue(glue) = &joint.kind else { return Glued::Failed };
        let (Some(part), Some(target)) = (self.plane(&glue.part), self.plane(&glue.to)) else {
            return Glued::Failed;
        };
        if !last && !self.can_locate(glue, &part, &target) {
            return Glued::Later;
        }
        let closing = self.held.together(part.piece, target.piece);
        let Some(motion) = self.place_part(joint, glue, &part, &target) else { return Glued::Failed };
        self.held.join(part.piece, target.piece);
        match self.stuck(joint, glue, &part, &target, motion, closing) {
            Some(joint) => Glued::Joint(Box::new(joint)),
            None => Glued::Failed,
        }
    }

    fn can_locate(&self, glue: &Glue, part: &Plane, target: &Plane) -> bool {
        let features = glue.place.iter().flat_map(|clause| match &clause.kind {
            PlaceKind::Reading { at, .. } => vec![&at.from],
            PlaceKind::Range(range) => vec![&range.from],
            PlaceKind::Beside { of, .. } => vec![of],
            PlaceKind::EdgeToEdge { other, .. } => vec![other],
            _ => Vec::new(),
        });
        features.into_iter().all(|f| {
            self.id(f.piece) == Some(part.piece) || self.locate(f, target.piece, Some(target.local)).is_some()
        })
    }

    /// How the clauses lay the part's plane of readings on the target's.
    fn place_part(
        &mut self,
        joint: &design::Joint,
        glue: &Glue,
        part: &Plane,
        target: &Plane,
    ) -> Option<Isometry> {
        let flip = flip(glue.part.side == glue.to.side);
        let mut heard = Findings::speaking(self.sink.say);
        let placed = {
            let own = |feature: &Feature| -> Option<Located> {
                let located = self.locate(feature, part.piece, Some(part.local))?;
                Some(located.transformed(&flip))
            };
            let edge = |feature: &Feature| -> Option<Segment> {
                let built = self.built.get(self.id(feature.piece)?)?;
                Some(flip.apply_segment(built.real_edge(feature)?))
            };
            let there = |feature: &Feature| self.locate(feature, target.piece, Some(target.local));
            let subject = Subject {
                points: part.region.outer.iter().map(|&p| flip.apply(p)).collect(),
                by_centre: false,
                locate: &own,
                edge: &edge,
                name: part_name(self, part),
                span: glue.part.span,
                write_at: write_at(joint, glue),
            };
            let ground = Ground { bounds: target.bounds, locate: &there, name: part_name(self, target) };
            place(&glue.place, &subject, &ground, &[], &mut heard)
        };
        self.sink.extend(heard);
        let placed = placed?;
        Some(flip.then(&placed.isometry()))
    }

    /// The joint for a motion from the part's plane of readings to the target's.
    fn stuck(
        &mut self,
        joint: &design::Joint,
        glue: &Glue,
        part: &Plane,
        target: &Plane,
        motion: Isometry,
        closing: bool,
    ) -> Option<Joint> {
        let motion = part.own.inverse().then(&motion).then(&target.own);
        let raise = glue.foam.map_or(0.0, |foam| foam.value());
        let shared = self.shared_area(part.panel, target.panel, &motion);
        if region_area(&shared) <= AREA_MM2 {
            let distance = self.distance(part.panel, target.panel, &motion)?;
            self.sink.report(found::FacesDoNotMeet {
                part: part_name(self, part),
                on: part_name(self, target),
                place: glue.part.span,
                target: glue.to.span,
                distance,
            });
            return None;
        }
        let area = match &glue.area {
            GlueArea::Full => shared,
            GlueArea::Along { sides, width, .. } => {
                let width = width.map_or(GLUE_STRIP_MM, |w| w.value());
                let sides: Vec<Side> = sides.iter().map(|s| side(*s)).collect();
                let panel = self.assembly.panels.get(part.panel)?;
                glue_strips(panel, &sides, width, &motion, &shared)
            }
        };
        let kind = JointKind::Fixed {
            placement: Placement::carrying(&motion, target.face, raise),
            faces: (part.face, target.face),
            area,
            closing,
            foam: glue.foam.is_some(),
            along: Some(match &glue.area {
                GlueArea::Along { span, .. } => Clause { span: *span, lead: "" },
                GlueArea::Full => {
                    let (span, lead) = write_at(joint, glue);
                    Clause { span, lead }
                }
            }),
        };
        Some(self.joint_between(
            &self.glue_name(joint, part, target),
            target.panel,
            part.panel,
            kind,
            joint.span,
        ))
    }

    /// `heron on runner`; with panels where two joints would have one name.
    fn glue_name(&self, joint: &design::Joint, part: &Plane, target: &Plane) -> String {
        let alike = self.design.joints.iter().filter(|other| other.name == joint.name).count();
        if alike > 1 || part.piece == target.piece {
            return format!("{} on {}", part_name(self, part), part_name(self, target));
        }
        joint.name.clone()
    }

    /// Where a panel carried by `motion` lies on another.
    pub fn shared_area(&self, part: PanelId, target: PanelId, motion: &Isometry) -> Region {
        let polygon = |panel: PanelId| self.assembly.panels.get(panel).map(|p| &p.polygon);
        let (Some(part), Some(target)) = (polygon(part), polygon(target)) else { return Region::new() };
        intersection(&[part.transformed(motion)], std::slice::from_ref(target))
    }

    fn distance(&self, part: PanelId, target: PanelId, motion: &Isometry) -> Option<f64> {
        let polygon = |panel: PanelId| self.assembly.panels.get(panel).map(|p| &p.polygon);
        Some(polygon(part)?.transformed(motion).distance(polygon(target)?))
    }

    /// Glue without clauses: folds bring the two faces together.
    pub fn closing_glue(&mut self, slots: &mut [Option<Joint>]) {
        let design = self.design;
        // Slides and brads take part in what holds together.
        for (index, joint) in design.joints.iter().enumerate() {
            let design::JointKind::Glue(glue) = &joint.kind else { continue };
            if has_clauses(joint) {
                continue;
            }
            match self.closed(joint, glue, slots) {
                Some(lowered) => slots[index] = Some(lowered),
                None => self.assembly.missing.push(joint.name.clone()),
            }
        }
    }

    fn closed(&mut self, joint: &design::Joint, glue: &Glue, slots: &[Option<Joint>]) -> Option<Joint> {
        let (part, target) = (self.plane(&glue.part)?, self.plane(&glue.to)?);
        if !self.held.together(part.piece, target.piece) {
            // What is missing may be what brings the part here.
            if self.assembly.is_incomplete() {
                return None;
            }
            // Nothing else brings it: its place must be said.
            self.place_part(joint, glue, &part, &target)?;
        }
        let mut scene = self.assembly.clone();
        scene.joints.extend(slots.iter().flatten().cloned());
        let mut worst: Option<(f64, f64)> = None;
        let mut other_side = false;
        let mut beside: Option<Isometry> = None;
        for values in self.fold_values(&scene) {
            match meeting(&scene, &values, target.panel, part.panel) {
                Meeting::Flat(motion) if motion.mirrors() == (part.face == target.face) => {
                    if region_area(&self.shared_area(part.panel, target.panel, &motion)) > AREA_MM2 {
                        return self.closed_flat(joint, glue, part, target, motion);
                    }
                    beside = beside.or(Some(motion));
                }
                Meeting::Flat(motion) => {
                    let shared = self.shared_area(part.panel, target.panel, &motion);
                    other_side |= region_area(&shared) > AREA_MM2;
                    worst = worst.or(Some((180.0, 0.0)));
                }
                Meeting::Apart { degrees, gap } => worst = worst.or(Some((degrees, gap))),
                Meeting::Unconnected => {}
            }
        }
        // Poses that are missing may give the folds other angles.
        if self.assembly.is_incomplete() {
            return None;
        }
        let distance = beside.and_then(|motion| self.distance(part.panel, target.panel, &motion));
        let (degrees, gap) = worst.or(distance.map(|_| (0.0, 0.0)))?;
        self.sink.report(found::ClosingPlaceUnknown {
            part: part_name(self, &part),
            on: part_name(self, &target),
            place: glue.part.span,
            target: glue.to.span,
            degrees,
            gap,
            beside: distance,
            other_side: other_side.then(|| [&glue.part, &glue.to].map(turned_over)),
        });
        None
    }

    /// The joint for a meeting found between the panels themselves: no detour over planes of readings.
    fn closed_flat(
        &mut self,
        joint: &design::Joint,
        glue: &Glue,
        part: Plane,
        target: Plane,
        motion: Isometry,
    ) -> Option<Joint> {
        let part = Plane { own: Isometry::IDENTITY, ..part };
        let target = Plane { own: Isometry::IDENTITY, ..target };
        self.stuck(joint, glue, &part, &target, motion, true)
    }

    /// Signed joint values to look at: every fold at rest, then as each pose sets it.
    fn fold_values(&self, scene: &Assembly) -> Vec<Vec<f64>> {
        let sign = |kind: &JointKind| match kind {
            JointKind::Fold { fold: Fold::Mountain, .. } => -1.0,
            _ => 1.0,
        };
        let rest: Vec<f64> = scene
            .joints
            .iter()
            .map(|joint| match joint.kind {
                JointKind::Fold { rest, .. } => rest * sign(&joint.kind),
                _ => 0.0,
            })
            .collect();
        let mut all = vec![rest.clone()];
        for pose in &self.design.poses {
            let mut values = rest.clone();
            for setting in &pose.settings {
                let degrees = match &setting.value {
                    design::Setting::Angle(angle) => angle.value(),
                    design::Setting::Flat => 180.0,
                    _ => continue,
                };
                for joint in self.hinges_of(&setting.joint) {
                    if let (Some(value), Some(at)) = (values.get_mut(joint), scene.joints.get(joint)) {
                        *value = degrees * sign(&at.kind);
                    }
                }
            }
            all.push(values);
        }
        all
    }
}

/// The words that name the other side of a face.
fn turned_over(face: &design::FaceOf) -> OtherSide {
    let [said, other] = match face.side {
        design::FaceWord::Front => ["front", "back"],
        design::FaceWord::Back => ["back", "front"],
    };
    let text = if face.side_span.is_some() { other.to_string() } else { format!("{other} of ") };
    OtherSide { said, place: face.side_span.unwrap_or(Span { end: face.span.start, ..face.span }), text }
}

/// The part of `shared` within strips along a panel's sides (along its whole outline when none is named). `motion`
/// carries the panel into the frame of `shared`.
pub fn glue_strips(
    panel: &Panel,
    sides: &[Side],
    width: f64,
    motion: &Isometry,
    shared: &[Polygon],
) -> Region {
    if sides.is_empty() {
        let inner = offset(&[Polygon::simple(panel.polygon.outer.clone())], -width, Join::Mitre);
        let inner: Vec<Polygon> = inner.iter().map(|p| p.transformed(motion)).collect();
        return difference(shared, &inner);
    }
    let Rect { min, max } = panel.bounds;
    let strip = |side: &Side| {
        let rect = match side {
            Side::Left => Rect { min, max: pt(min.x + width, max.y) },
            Side::Right => Rect { min: pt(max.x - width, min.y), max },
            Side::Top => Rect { min, max: pt(max.x, min.y + width) },
            Side::Bottom => Rect { min: pt(min.x, max.y - width), max },
        };
        Polygon::rectangle(rect).transformed(motion)
    };
    let strips: Vec<Polygon> = sides.iter().map(strip).collect();
    intersection(shared, &crate::geometry::union_all(&strips))
}

/// Where a clause would be added to a glue statement, and what would have to stand before it.
fn write_at(joint: &design::Joint, glue: &Glue) -> (Span, &'static str) {
    match glue.place.last() {
        Some(clause) => (clause.span.after(), ", "),
        None => (joint.span.after(), ": "),
    }
}

fn has_clauses(joint: &design::Joint) -> bool {
    matches!(&joint.kind, design::JointKind::Glue(glue) if !glue.place.is_empty())
}

fn flip(turned_over: bool) -> Isometry {
    if turned_over { Isometry::mirror_x(0.0) } else { Isometry::IDENTITY }
}

/// `heron`, `shell.track`
pub(super) fn part_name(lowering: &Lowering, plane: &Plane) -> String {
    let Some(built) = lowering.built_of(plane.piece) else { return String::new() };
    match built.panels.get(plane.local) {
        Some(panel) if built.panels.len() > 1 && built.kind != PieceKind::Strap => {
            format!("{}.{}", built.name, panel.name)
        }
        _ => built.name.clone(),
    }
}
