//! Claims that hold or do not: fitting, standing, folding flat, being seen, keeping clear, staying in.

use super::covers::Sight;
use super::measure::{panels_of, reached, unknown};
use super::{Found, moving, seen, words};
use crate::assembly::claims::{Part, PoseId, Predicate, Spot, SpotPlace, Thing};
use crate::assembly::{JointKind, PanelId};
use crate::checks::standing::balance;
use crate::checks::{Subject, closed, envelope, post};
use crate::findings::Label;
use crate::geometry::{Isometry, Point, Polygon, clip_segment, interiors_intersect, pt};
use crate::motion::PoseState;
use crate::quantity::standard;
use crate::quantity::tolerance::COINCIDENT_MM;

pub fn predicate(subject: &Subject, predicate: &Predicate) -> Found {
    match predicate {
        Predicate::Fits { pose } => fits(subject, *pose),
        Predicate::Posts { pose } => posts(subject, *pose),
        Predicate::Moves { motion } => moving::moves(subject, *motion),
        Predicate::Stands { pose } => stands(subject, *pose),
        Predicate::FoldsFlat { pose } => folds_flat(subject, *pose),
        Predicate::Hidden { thing, pose } => hidden(subject, thing, *pose),
        Predicate::Visible { thing, pose } => visible(subject, thing, *pose),
        Predicate::Clear { part, of } => clear(subject, part, of),
        Predicate::Captive { part, motion } => moving::captive(subject, part, *motion),
    }
}

/// A card that is claimed to fit and does not has a finding of its own.
fn fits(subject: &Subject, pose: PoseId) -> Found {
    if let Err(found) = reached(subject, pose) {
        return found;
    }
    let Some(envelope) = &subject.assembly.envelope else {
        return Found::Unknown("the design names no envelope".into());
    };
    match closed::packet(subject, pose, None) {
        Some(packet) => {
            let holds = envelope::lying_in(&packet, envelope).fits();
            Found::truth(holds, "it does not go into the envelope")
        }
        None => Found::Told,
    }
}

fn posts(subject: &Subject, pose: PoseId) -> Found {
    if let Err(found) = reached(subject, pose) {
        return found;
    }
    let assembly = subject.assembly;
    let Some(choice) = &assembly.post else { return Found::Unknown("the design names no post".into()) };
    let (Some(table), Some(packet)) =
        (standard::post(&choice.post, &choice.class), closed::packet(subject, pose, None))
    else {
        return Found::Told;
    };
    if assembly.envelope.as_ref().is_some_and(|e| !envelope::lying_in(&packet, e).fits()) {
        return Found::truth(false, "it does not go into the envelope");
    }
    let letter = post::letter(assembly, &packet);
    if post::breaches(table, &letter).iter().any(post::Breach::is_refused) {
        return Found::truth(false, "the post does not take it");
    }
    match (letter.mass, table.max_mass) {
        (None, Some(_)) => {
            let paper = crate::stock::mass(assembly).err().unwrap_or_default();
            Found::Unknown(format!("paper `{paper}` does not say its weight, and the post weighs the card"))
        }
        _ => Found::truth(true, ""),
    }
}

fn folds_flat(subject: &Subject, pose: PoseId) -> Found {
    let state = match reached(subject, pose) {
        Ok(state) => state,
        Err(found) => return found,
    };
    let Some(card) = subject.cards.get(pose) else { return Found::Told };
    if card.contradiction.is_some() {
        return Found::Told;
    }
    if card.flat {
        return Found::truth(true, "");
    }
    let tilted = state.frames.iter().enumerate().find_map(|(panel, frame)| {
        let front = frame.as_ref()?.front();
        let degrees = libm::atan2(libm::hypot(front.x, front.y), front.z.abs()).to_degrees();
        (degrees > crate::quantity::tolerance::PARALLEL_DEG).then_some((panel, degrees))
    });
    match tilted {
        Some((panel, degrees)) => {
            let named = crate::checks::stuck::panel_name(subject.assembly, panel);
            Found::Truth {
                holds: false,
                because: format!(
                    "`{}` stands {} off the first panel's plane",
                    named.name,
                    crate::quantity::say_angle(degrees)
                ),
                others: vec![Label { span: named.span, text: "does not lie flat".into() }],
            }
        }
        None => Found::truth(false, "a panel does not lie flat"),
    }
}

fn hidden(subject: &Subject, thing: &Thing, pose: PoseId) -> Found {
    if let Err(found) = reached(subject, pose) {
        return found;
    }
    match seen::shares(subject, thing, pose) {
        Err(why) => unknown(subject, pose, why),
        Ok(shares) if seen::is_hidden(&shares) => Found::truth(true, ""),
        Ok(shares) => {
            let sight = Sight::of(subject, thing, pose);
            let (name, most) = (words::thing(subject.assembly, thing), percent(shares.most));
            Found::Truth {
                holds: false,
                because: match &sight {
                    Some(sight) => format!("{most} % of `{name}` is seen {}", sight.word()),
                    None => format!("{most} % of `{name}` is seen"),
                },
                others: sight.map(|sight| sight.labels("covers the rest")).unwrap_or_default(),
            }
        }
    }
}

/// Words are visible when all of them can be read; a part is, when something of it is seen.
fn visible(subject: &Subject, thing: &Thing, pose: PoseId) -> Found {
    if let Err(found) = reached(subject, pose) {
        return found;
    }
    let holds = |shares: &seen::Shares| match thing {
        Thing::Print(_) => seen::is_seen(shares),
        Thing::Part(_) => shares.least > 0.005,
    };
    match seen::shares(subject, thing, pose) {
        Err(why) => unknown(subject, pose, why),
        Ok(shares) if holds(&shares) => Found::truth(true, ""),
        Ok(shares) => {
            let name = words::thing(subject.assembly, thing);
            Found::Truth {
                holds: false,
                because: match percent(shares.least) {
                    share if share == "0" => format!("nothing of `{name}` is seen"),
                    share => format!("only {share} % of `{name}` is seen"),
                },
                others: Sight::of(subject, thing, pose)
                    .map(|sight| sight.labels("covers it"))
                    .unwrap_or_default(),
            }
        }
    }
}

fn percent(share: f64) -> String {
    crate::quantity::say_number((share * 100.0).round())
}

/// The card on the ground below its lowest point, the world's y axis up.
fn stands(subject: &Subject, pose: PoseId) -> Found {
    let assembly = subject.assembly;
    let state = match reached(subject, pose) {
        Ok(state) => state,
        Err(found) => return found,
    };
    let found = match balance(assembly, state, None) {
        Ok(Some(found)) => found,
        Ok(None) => return Found::Unknown("the card weighs nothing".into()),
        Err(paper) => return Found::Unknown(format!("paper `{paper}` does not say its weight")),
    };
    if found.is_stable() {
        return Found::truth(true, "");
    }
    match found.weakest() {
        Some(edge) => Found::truth(
            false,
            format!(
                "its weight lies {} outside its feet, and it tips over",
                crate::quantity::say_length(-edge.margin, assembly.units)
            ),
        ),
        None => Found::truth(false, "it touches the ground along a line only, and falls over"),
    }
}

/// Nothing of the part ever lies over the feature: in no pose, and nowhere on the way when it turns on a pin.
fn clear(subject: &Subject, part: &Part, of: &Spot) -> Found {
    let assembly = subject.assembly;
    if assembly.is_incomplete() || assembly.poses.iter().any(|p| p.partial) {
        return Found::Told;
    }
    let panels = panels_of(assembly, part);
    if let Some(turning) = panels.iter().find_map(|&p| pinned(subject, p, of)) {
        return turning;
    }
    let Some(home) = of.panel.or_else(|| assembly.pieces.get(of.piece)?.panels.first().copied()) else {
        return Found::Unknown("the feature is not known".into());
    };
    for state in subject.states.iter().filter(|s| s.fault.is_none()) {
        for &panel in &panels {
            match carried(subject, state, panel, home) {
                Some(lying) if covers(&lying, &of.place) => {
                    return Found::truth(
                        false,
                        format!(
                            "`{}` lies over `{}` in `{}`",
                            words::part(assembly, part),
                            of.name,
                            state.name
                        ),
                    );
                }
                Some(_) => {}
                None => return Found::Unknown("the two do not lie in parallel planes in every pose".into()),
            }
        }
    }
    if assembly.motions.is_empty() {
        return Found::truth(true, "");
    }
    Found::Unknown(
        "it is clear in every pose, and what happens on the way between them is not known yet".into(),
    )
}

/// A part that turns on a pin sweeps a disc, or what it passes over between its stops.
fn pinned(subject: &Subject, panel: PanelId, of: &Spot) -> Option<Found> {
    let assembly = subject.assembly;
    let (joint, placement, centre, own, range) = assembly.joints.iter().find_map(|j| match &j.kind {
        JointKind::Pin { placement, centre, part_centre, range, .. } if j.b == panel => {
            Some((j, placement, *centre, *part_centre, *range))
        }
        _ => None,
    })?;
    if assembly.panels.get(joint.a)?.piece != of.piece {
        return None;
    }
    let polygon = &assembly.panels.get(panel)?.polygon;
    let reach = polygon.vertices().map(|v| v.distance(own)).fold(0.0, f64::max);
    let away = match &of.place {
        SpotPlace::Line(line) => line.distance(centre),
        SpotPlace::Point(point) => point.distance(centre),
        SpotPlace::Area(ring) => Polygon::simple(ring.clone()).distance_to_point(centre),
    };
    if reach <= away + COINCIDENT_MM {
        return Some(Found::truth(true, ""));
    }
    let name = &assembly.panels.get(panel).and_then(|p| assembly.pieces.get(p.piece))?.name;
    let because = match range {
        None => {
            let say = |mm: f64| crate::quantity::say_length(mm, assembly.units);
            format!(
                "`{name}` reaches {} from its pin, and `{}` is only {} away",
                say(reach),
                of.name,
                say(away)
            )
        }
        Some(range) => {
            let hung = polygon.transformed(&placement.isometry());
            match first_over(&hung, centre, reach, range, &of.place) {
                None => return Some(Found::truth(true, "")),
                Some(degrees) => {
                    let at = crate::quantity::say_angle(degrees);
                    format!("`{name}` lies over `{}` when `{}` is turned to {at}", of.name, joint.name)
                }
            }
        }
    };
    Some(Found::Truth {
        holds: false,
        because,
        others: vec![Label { span: joint.span, text: "the pin".into() }],
    })
}

/// No corner of a turning part goes farther than this from one look to the next where it all but touches something, mm.
const SWEEP_STEP_MM: f64 = 0.05;

/// The angle nearest to rest at which a part that turns about a centre, and reaches so far from it, lies over a feature.
/// From each look it turns by no more than lets its farthest corner come up to the feature (conservative advancement).
fn first_over(
    part: &Polygon,
    centre: Point,
    reach: f64,
    (low, high): (f64, f64),
    place: &SpotPlace,
) -> Option<f64> {
    let start = 0.0_f64.max(low).min(high);
    let first = |end: f64| {
        let mut at = start;
        loop {
            let turned = part.transformed(&Isometry::rotation_deg(centre, at));
            if covers(&turned, place) {
                return Some(at);
            }
            if at == end {
                return None;
            }
            let step = (distance(&turned, place).max(SWEEP_STEP_MM) / reach).to_degrees();
            at = if end > at { (at + step).min(end) } else { (at - step).max(end) };
        }
    };
    let met = [first(low), first(high)];
    met.into_iter().flatten().min_by(|a, b| (a - start).abs().total_cmp(&(b - start).abs()))
}

fn distance(part: &Polygon, place: &SpotPlace) -> f64 {
    match place {
        SpotPlace::Line(line) => part.edges().map(|e| e.distance_to(line)).fold(f64::INFINITY, f64::min),
        SpotPlace::Point(point) => part.distance_to_point(*point),
        SpotPlace::Area(ring) => part.distance(&Polygon::simple(ring.clone())),
    }
}

/// A panel in the flat frame of another, when their planes are parallel.
fn carried(subject: &Subject, state: &PoseState, panel: PanelId, home: PanelId) -> Option<Polygon> {
    let frame = |p: PanelId| state.frames.get(p).copied().flatten();
    let relative = frame(home)?.inverse() * frame(panel)?;
    let normal = relative.front();
    if libm::hypot(normal.x, normal.y) > crate::quantity::tolerance::PARALLEL_DEG.to_radians() {
        return None;
    }
    let place = |p: &Point| {
        let at = relative.place([p.x, -p.y]);
        pt(at[0], -at[1])
    };
    let polygon = &subject.assembly.panels.get(panel)?.polygon;
    let ring = |ring: &Vec<Point>| ring.iter().map(place).collect::<Vec<_>>();
    Some(Polygon::new(ring(&polygon.outer), polygon.holes.iter().map(ring).collect()))
}

fn covers(lying: &Polygon, place: &SpotPlace) -> bool {
    match place {
        SpotPlace::Line(line) => clip_segment(lying, line).iter().any(|s| s.length() > COINCIDENT_MM),
        SpotPlace::Point(point) => lying.contains_strictly(*point),
        SpotPlace::Area(ring) => interiors_intersect(lying, &Polygon::simple(ring.clone()), COINCIDENT_MM),
    }
}
