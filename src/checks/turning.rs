//! Parts that turn on a brad and come against what is stuck beside their way.

use super::by_hand::shortened;
use super::joints::{Rider, riders};
use super::stuck::{Lying, Slab, StuckFace, caliper_of, carried_by, lying_on, panel_name, shares};
use crate::assembly::{Assembly, Face, Joint, JointId, JointKind, PanelId, Placement};
use crate::findings::{Findings, Meets, Named, catalogue as found};
use crate::geometry::{Isometry, Point, Polygon, Region, interiors_intersect, union_all};
use crate::quantity::tolerance::{COINCIDENT_MM, PARALLEL_DEG};
use std::cell::OnceCell;

/// Degrees from one look to the next.
const STEP_DEG: f64 = 1.0;
/// Degrees from one place of a part to the next of those that make up what it covers on its way.
const SWEPT_DEG: f64 = 2.0;

pub fn check(assembly: &Assembly, sink: &mut Findings) {
    for (id, joint) in assembly.joints.iter().enumerate() {
        let JointKind::Pin { placement, centre, range, between, .. } = &joint.kind else { continue };
        let Some((low, high)) = range.or_else(|| turned_in(assembly, id)) else { continue };
        let beneath: f64 = between.iter().map(|(panel, _)| caliper_of(assembly, *panel)).sum();
        let way = Way { centre: *centre, start: first_value(assembly, id).clamp(low, high), low, high };
        let carried = carried_by(assembly, joint);
        let pinned = |l: &Lying| between.iter().any(|(panel, _)| *panel == l.joint.b);
        let riders = riders(assembly, joint, placement, placement.raise + beneath);
        let beside = lying_on(assembly, joint.a, placement.side)
            .into_iter()
            .filter(|l| !l.moves && !carried.contains(&l.joint.b) && !pinned(l));
        for lying in beside {
            let met = riders.iter().filter_map(|rider| Some((rider, way.meets(rider, &lying)?)));
            let first = met.min_by(|a, b| (a.1.at - way.start).abs().total_cmp(&(b.1.at - way.start).abs()));
            if let Some((rider, met)) = first {
                report(assembly, (id, joint), &way, rider, &lying, &met, sink);
            }
        }
    }
}

/// A part that turns on a brad.
pub struct Turn<'a> {
    pub joint: &'a Joint,
    id: JointId,
    /// The face that it is pinned to, and how high above it the part turns, mm.
    side: Face,
    under: f64,
    centre: Point,
    placement: &'a Placement,
    carried: Vec<PanelId>,
    /// What it covers on its way, in the frame of its target; worked out when it is first asked for.
    swept: OnceCell<Region>,
}

pub fn turns(assembly: &Assembly) -> Vec<Turn<'_>> {
    let turn = |(id, joint)| -> Option<Turn<'_>> {
        let joint: &Joint = joint;
        let JointKind::Pin { placement, centre, between, .. } = &joint.kind else { return None };
        let beneath: f64 = between.iter().map(|(panel, _)| caliper_of(assembly, *panel)).sum();
        Some(Turn {
            joint,
            id,
            side: placement.side,
            under: placement.raise + beneath,
            centre: *centre,
            placement,
            carried: carried_by(assembly, joint),
            swept: OnceCell::new(),
        })
    };
    assembly.joints.iter().enumerate().filter_map(turn).collect()
}

impl Turn<'_> {
    /// Whether glue on a face lies where the part turns, under what lies over the part from the start. What lies beside it
    /// there is met by the part's edge, which is another finding.
    pub fn meets_glue(&self, assembly: &Assembly, face: &StuckFace) -> bool {
        let stuck = face.stuck.joint;
        let other = if face.panel == stuck.a { stuck.b } else { stuck.a };
        if (self.joint.a, self.side) != (face.panel, face.face)
            || self.carried.contains(&other)
            || caliper_of(assembly, other) <= self.under + COINCIDENT_MM
        {
            return false;
        }
        let lies = face.stuck.placement.isometry();
        let lies = if face.panel == stuck.a { lies } else { lies.inverse() };
        let over = assembly.panels.get(other).map(|p| p.polygon.transformed(&lies));
        let Some((low, high)) = self.range(assembly) else { return false };
        let start = self.at(assembly, first_value(assembly, self.id).clamp(low, high));
        let covers =
            over.zip(start).is_some_and(|(over, start)| interiors_intersect(&start, &over, COINCIDENT_MM));
        covers && shares(&face.area, self.swept.get_or_init(|| self.swept_between(assembly, low, high)))
    }

    fn range(&self, assembly: &Assembly) -> Option<(f64, f64)> {
        match &self.joint.kind {
            JointKind::Pin { range, .. } => range.or_else(|| turned_in(assembly, self.id)),
            _ => None,
        }
    }

    /// The part where the pin is turned by an angle.
    fn at(&self, assembly: &Assembly, angle: f64) -> Option<Polygon> {
        let part = assembly.panels.get(self.joint.b)?.polygon.transformed(&self.placement.isometry());
        Some(part.transformed(&Isometry::rotation_deg(self.centre, angle)))
    }

    fn swept_between(&self, assembly: &Assembly, low: f64, high: f64) -> Region {
        let Some(start) = self.at(assembly, low) else { return Region::new() };
        if high - low >= 360.0 {
            let far = start.vertices().map(|v| v.distance(self.centre)).fold(0.0, f64::max);
            let round = (0..360).map(|k| Isometry::rotation_deg(self.centre, f64::from(k)));
            let rim = self.centre + crate::geometry::pt(far, 0.0);
            return vec![Polygon::simple(round.map(|turn| turn.apply(rim)).collect())];
        }
        let steps = ((high - low) / SWEPT_DEG).ceil().max(1.0);
        let looks = (0..=steps as usize).map(|k| low + (high - low) * k as f64 / steps);
        let looks: Vec<Polygon> = looks.filter_map(|angle| self.at(assembly, angle)).collect();
        union_all(&looks)
    }
}

fn report(
    assembly: &Assembly,
    (id, joint): (JointId, &Joint),
    way: &Way,
    rider: &Rider,
    lying: &Lying,
    met: &Met,
    sink: &mut Findings,
) {
    // What is said is free: a tenth of a degree towards where it comes from.
    let at = way.start + ((met.at - way.start) * 10.0).trunc() / 10.0;
    let up = met.at > way.start;
    let end = if up { way.high } else { way.low };
    sink.report(found::ComesAgainst {
        rider: panel_name(assembly, rider.panel),
        slide: Named { name: joint.name.clone(), span: joint.span },
        obstacle: Named { name: panel_name(assembly, lying.joint.b).name, span: lying.joint.span },
        meets: Meets::Turning { at, end, shorter: shortened(assembly, id, up, (end - at).abs()) },
        clears: None,
        beneath: None,
        foam: met.foam,
    });
}

/// How a part turns about its pin: degrees, clockwise as its target is seen.
struct Way {
    centre: Point,
    start: f64,
    low: f64,
    high: f64,
}

/// The angle to which a part is free, and whether it is only foam that it meets.
struct Met {
    at: f64,
    foam: bool,
}

impl Way {
    /// Nothing where the two lie over each other from the start: paper that does so bows.
    fn meets(&self, rider: &Rider, lying: &Lying) -> Option<Met> {
        let pairs = rider.slabs.iter().flat_map(|own| lying.slabs.iter().map(move |other| (own, other)));
        let level =
            |(own, other): &(&Slab, &Slab)| own.from.max(other.from) < own.to.min(other.to) - COINCIDENT_MM;
        let pairs: Vec<(&Slab, &Slab)> =
            pairs.filter(level).filter(|(own, other)| self.reaches(own, other)).collect();
        let over = |angle: f64| -> Vec<&Slab> {
            let turn = Isometry::rotation_deg(self.centre, angle);
            let at =
                |slab: &Slab| -> Vec<Polygon> { slab.region.iter().map(|p| p.transformed(&turn)).collect() };
            pairs
                .iter()
                .filter(|(own, other)| runs_into(&at(own), &other.region))
                .map(|(_, other)| *other)
                .collect()
        };
        if pairs.is_empty() || !over(self.start).is_empty() {
            return None;
        }
        let first = [self.low, self.high].into_iter().filter_map(|end| {
            let steps = ((end - self.start).abs() / STEP_DEG).ceil();
            let at = |step: f64| self.start + (end - self.start) * step / steps;
            let mut looks = (1..=steps as usize).map(|k| k as f64);
            let step = looks.find(|k| !over(at(*k)).is_empty())?;
            let (mut free, mut met) = (at(step - 1.0), at(step));
            while (met - free).abs() > PARALLEL_DEG {
                let middle = 0.5 * (free + met);
                if over(middle).is_empty() { free = middle } else { met = middle }
            }
            Some(Met { at: free, foam: over(met).iter().all(|slab| slab.foam) })
        });
        first.min_by(|a, b| (a.at - self.start).abs().total_cmp(&(b.at - self.start).abs()))
    }

    /// Whether one comes as near to the pin as the other reaches away from it.
    fn reaches(&self, own: &Slab, other: &Slab) -> bool {
        let corners = own.region.iter().flat_map(|p| p.vertices());
        let far = corners.map(|v| v.distance(self.centre)).fold(0.0, f64::max);
        other.region.iter().any(|p| p.distance_to_point(self.centre) < far)
    }
}

fn runs_into(moving: &[Polygon], still: &[Polygon]) -> bool {
    moving.iter().any(|p| still.iter().any(|q| interiors_intersect(p, q, COINCIDENT_MM)))
}

/// The angles between which poses and motions turn a pin without stops.
fn turned_in(assembly: &Assembly, id: JointId) -> Option<(f64, f64)> {
    let posed =
        assembly.poses.iter().flat_map(|pose| pose.values.iter()).filter(|(j, _)| *j == id).map(|(_, v)| *v);
    let legs = assembly.motions.iter().flat_map(|m| m.legs.iter().flatten()).filter(|m| m.joint == id);
    posed
        .chain(legs.flat_map(|m| [m.from, m.to]))
        .map(|v| (v, v))
        .reduce(|(low, high), (v, w)| (low.min(v), high.max(w)))
}

/// Where a pin is in the first pose that sets it, else at rest, degrees.
fn first_value(assembly: &Assembly, id: JointId) -> f64 {
    let values = assembly.poses.iter().flat_map(|pose| pose.values.iter());
    values.filter(|(j, _)| *j == id).map(|(_, v)| *v).next().unwrap_or(0.0)
}
