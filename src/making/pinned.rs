//! Which sheets a brad goes through: the two that it joins, and whatever else lies at its place with an opening there.
//!
//! Like all of [`super::reach`], this is worked out from placements, so it does not depend on any pose.

use std::collections::VecDeque;

use super::reach::{facing, placement_of, stuck};
use crate::assembly::{Assembly, Cutout, Face, Joint, JointId, JointKind, PanelId};
use crate::geometry::{Point, Polygon};
use crate::quantity::tolerance::{CHORD_MM, COINCIDENT_MM};

/// The head of a brad, and its legs laid open, take this many times its hole.
pub const HEAD_PER_HOLE: f64 = 2.0;

/// A sheet that a brad goes through.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    pub panel: PanelId,
    /// Where the brad goes through, in the frame of the panel.
    pub at: Point,
    /// The joints that put it at the brad's place, beginning at one of the two sheets that the brad joins. None for
    /// these two, and for a sheet that the brad alone holds.
    pub placed_by: Vec<JointId>,
    /// Named by the brad and held by nothing else.
    pub loose: bool,
}

/// The sheets that a brad goes through, front to back as the holding sheet faces; empty for a joint of another kind.
pub fn sheets(assembly: &Assembly, pin: JointId) -> Vec<Sheet> {
    let Some(joint) = assembly.joints.get(pin) else { return Vec::new() };
    let JointKind::Pin { placement, centre, part_centre, between, .. } = &joint.kind else {
        return Vec::new();
    };
    let own = |panel, at| Sheet { panel, at, placed_by: Vec::new(), loose: false };
    let (holding, turning) = (own(joint.a, *centre), own(joint.b, *part_centre));
    let (out, back) = (placement.side, placement.side.opposite());
    let walk = |from: &Sheet, face: Face| beyond(assembly, pin, from, face);
    let (below, above) = (walk(&holding, back), walk(&turning, out));
    let (on_holding, under_turning) = (walk(&holding, out), walk(&turning, back));

    // From the far side of the holding sheet to the far side of the turning one.
    let mut all: Vec<Sheet> = below.into_iter().rev().collect();
    all.push(holding);
    all.extend(on_holding);
    let middle = all.len();
    all.extend(under_turning.into_iter().rev());
    all.push(turning);
    all.extend(above);
    // What is named from the turning sheet to the holding one comes in the other direction here.
    for (panel, at) in between {
        if all.iter().all(|sheet| sheet.panel != *panel) {
            all.insert(middle, Sheet { panel: *panel, at: *at, placed_by: Vec::new(), loose: true });
        }
    }
    let mut seen = Vec::new();
    all.retain(|sheet| {
        let new = !seen.contains(&sheet.panel);
        seen.push(sheet.panel);
        new
    });
    if out == Face::Front {
        all.reverse();
    }
    all
}

/// The sheets that lie on one face of a sheet, one upon another, and are held by the brad; the nearest first.
fn beyond(assembly: &Assembly, pin: JointId, from: &Sheet, face: Face) -> Vec<Sheet> {
    let mut found = Vec::new();
    // In a ring of parts a way round leads back to the sheets that the brad joins.
    let mut met: Vec<PanelId> = assembly.joints.get(pin).map(|j| vec![j.a, j.b]).unwrap_or_default();
    let mut open = VecDeque::from([(from.clone(), face)]);
    while let Some((here, face)) = open.pop_front() {
        for (id, joint) in assembly.joints.iter().enumerate() {
            if id == pin || is_later_at_the_same_place(assembly, pin, id) {
                continue;
            }
            let Some((panel, at, outward)) = next(joint, &here, face) else { continue };
            if met.contains(&panel) {
                continue;
            }
            let mut placed_by = here.placed_by.clone();
            placed_by.push(id);
            let sheet = Sheet { panel, at, placed_by, loose: false };
            match meets(assembly, pin, &sheet) {
                Meets::Solid => continue,
                Meets::Held => found.push(sheet.clone()),
                Meets::Passes => {}
            }
            met.push(panel);
            open.push_back((sheet, outward));
        }
    }
    found
}

/// The panel that a joint lays on `face` of a sheet, where the brad is in its frame, and its face that looks away.
fn next(joint: &Joint, here: &Sheet, face: Face) -> Option<(PanelId, Point, Face)> {
    if matches!(joint.kind, JointKind::Fixed { closing: true, .. }) {
        return None;
    }
    let placement = placement_of(joint)?;
    let motion = placement.isometry();
    if joint.a == here.panel && placement.side == face {
        Some((joint.b, motion.inverse().apply(here.at), facing(placement).opposite()))
    } else if joint.b == here.panel && facing(placement) == face {
        Some((joint.a, motion.apply(here.at), placement.side.opposite()))
    } else {
        None
    }
}

/// Of two brads at one place, the one stated later goes through what the other joins, and not the other way round.
fn is_later_at_the_same_place(assembly: &Assembly, pin: JointId, other: JointId) -> bool {
    let centres = |id: JointId| match assembly.joints.get(id).map(|j| (j, &j.kind)) {
        Some((j, JointKind::Pin { centre, part_centre, .. })) => Some([(j.a, *centre), (j.b, *part_centre)]),
        _ => None,
    };
    let (Some(ours), Some(theirs)) = (centres(pin), centres(other)) else { return false };
    let same = |(panel, at): &(PanelId, Point)| {
        theirs.iter().any(|(p, q)| p == panel && at.is_near(*q, COINCIDENT_MM))
    };
    other > pin && ours.iter().any(same)
}

/// How a sheet lies to a brad.
enum Meets {
    /// There is paper where the brad is.
    Solid,
    /// The brad goes through an opening of the sheet, and the sheet cannot be put on or taken off over it.
    Held,
    /// The sheet does not reach the brad, or the whole head goes through its opening.
    Passes,
}

fn meets(assembly: &Assembly, pin: JointId, sheet: &Sheet) -> Meets {
    let Some(panel) = assembly.panels.get(sheet.panel) else { return Meets::Passes };
    if panel.polygon.contains_strictly(sheet.at) {
        return Meets::Solid;
    }
    let opens_there = |cutout: &&Cutout| {
        let inside =
            |c: &crate::geometry::Contour| Polygon::simple(c.flatten(CHORD_MM)).contains_strictly(sheet.at);
        cutout.panel == sheet.panel && !cutout.notch && cutout.contour.as_ref().is_some_and(inside)
    };
    let cutouts = assembly.pieces.get(panel.piece).map(|p| p.cutouts.as_slice()).unwrap_or_default();
    let Some(opening) = cutouts.iter().find(opens_there) else { return Meets::Passes };
    let head = match assembly.joints.get(pin).map(|j| &j.kind) {
        Some(JointKind::Pin { holes, .. }) => holes.0.max(holes.1) * HEAD_PER_HOLE,
        _ => return Meets::Passes,
    };
    if opening.length.min(opening.width) <= head + COINCIDENT_MM || lies_under_the_part(assembly, pin, sheet)
    {
        Meets::Held
    } else {
        Meets::Passes
    }
}

/// Whether a sheet with a wide opening is stuck down all over and the turning part reaches beyond the opening: then the
/// part can only lie on it.
fn lies_under_the_part(assembly: &Assembly, pin: JointId, sheet: &Sheet) -> bool {
    let [placing] = sheet.placed_by.as_slice() else { return false };
    let Some(joint) = assembly.joints.get(pin) else { return false };
    let JointKind::Pin { part_centre, .. } = &joint.kind else { return false };
    let (Some(part), Some(own)) = (assembly.panels.get(joint.b), assembly.panels.get(sheet.panel)) else {
        return false;
    };
    let is_on_holding = assembly.joints.get(*placing).is_some_and(|j| j.a == joint.a && j.b == sheet.panel);
    let reach = part.polygon.outer.iter().map(|p| p.distance(*part_centre)).fold(0.0, f64::max);
    let nearest = own.polygon.distance_to_boundary(sheet.at);
    is_on_holding
        && reach > nearest + COINCIDENT_MM
        && stuck(assembly, *placing).is_some_and(|s| s.is_all_over())
}
