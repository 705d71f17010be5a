//! Measures of a card in its poses.

use super::{Found, seen, words};
use crate::assembly::claims::{Measure, Part, PoseId};
use crate::assembly::{Assembly, Joint, JointId, JointKind, PanelId, Piece, Side, SlideHow};
use crate::checks::stuck::{Lying, closed_angle, lying_on, panel_name};
use crate::checks::{Subject, closed};
use crate::findings::{Label, Named};
use crate::geometry::interiors_intersect;
use crate::motion::{PoseState, Vec3};
use crate::quantity::tolerance::{COINCIDENT_MM, PARALLEL_DEG, REPORTED_MM};
use crate::quantity::{Dimension, say_length, say_mass, say_thickness};
use crate::stock;

pub fn measure(subject: &Subject, measure: &Measure) -> Found {
    let assembly = subject.assembly;
    match measure {
        Measure::Width(pose) => extent(subject, *pose, 0, ["furthest left", "furthest right"]),
        Measure::Height(pose) => extent(subject, *pose, 1, ["lowest", "highest"]),
        Measure::Depth(pose) => extent(subject, *pose, 2, ["furthest back", "furthest forward"]),
        Measure::Thickness(pose) => match reached(subject, *pose) {
            Err(found) => found,
            Ok(_) => match closed::thickness(subject, *pose) {
                Ok(found) => thickness(assembly, &found),
                Err(why) => unknown(subject, *pose, why),
            },
        },
        Measure::Mass if assembly.is_incomplete() => Found::Told,
        Measure::Mass => match stock::mass(assembly) {
            Ok(grams) => {
                Found::Number { value: grams, dimension: Dimension::Mass, governs: heaviest(assembly) }
            }
            Err(paper) => Found::Unknown(format!("paper `{paper}` does not say its weight")),
        },
        Measure::Travel(joint) => travel(assembly, *joint),
        Measure::Rise(part) => rise(subject, part),
        Measure::Lean(part, pose) => lean(subject, part, *pose),
        Measure::Angle(joint, pose) => match reached(subject, *pose) {
            Ok(state) => {
                let value = state.values.get(*joint).copied().unwrap_or(0.0).abs();
                Found::Number { value, dimension: Dimension::Angle, governs: joint_label(assembly, *joint) }
            }
            Err(found) => found,
        },
        Measure::Visible(thing, pose) => match reached(subject, *pose) {
            Ok(_) => seen::share(subject, thing, *pose),
            Err(found) => found,
        },
        Measure::Gap(a, b, pose) => match reached(subject, *pose) {
            Ok(state) => gap(assembly, a, b, state),
            Err(found) => found,
        },
        Measure::PieceWidth(part) => size(assembly, part, true),
        Measure::PieceHeight(part) => size(assembly, part, false),
    }
}

/// What cannot be known of a pose is no finding of its own when its layers contradict each other: that is told.
pub fn unknown(subject: &Subject, pose: PoseId, why: String) -> Found {
    let contradicts = subject.cards.get(pose).is_some_and(|c| c.contradiction.is_some());
    if contradicts { Found::Told } else { Found::Unknown(why) }
}

/// The state of a pose; a pose that cannot be reached has its own finding, and so has what is missing of the card.
pub fn reached<'a>(subject: &'a Subject, pose: PoseId) -> Result<&'a PoseState, Found> {
    let partial = subject.assembly.poses.get(pose).is_some_and(|p| p.partial);
    if partial || subject.assembly.is_incomplete() {
        return Err(Found::Told);
    }
    match subject.states.get(pose) {
        Some(state) if state.fault.is_some() => Err(Found::Told),
        Some(state) => Ok(state),
        None => Err(Found::Unknown("the pose is not known".into())),
    }
}

fn thickness(assembly: &Assembly, found: &closed::Thickness) -> Found {
    let label = |name: &String| {
        let panels = 0..assembly.panels.len();
        let named = panels.map(|p| panel_name(assembly, p)).find(|n| n.name == *name)?;
        Some(Label { span: named.span, text: "lies at the thickest place".into() })
    };
    let estimate = |name: &String| {
        let paper = assembly.papers.iter().find(|p| p.name == *name)?;
        Some(Label {
            span: paper.span,
            text: format!("taken to be {} thick: measure it", say_thickness(paper.caliper, assembly.units)),
        })
    };
    let layers = found.layers.iter().filter_map(label);
    Found::Number {
        value: found.mm,
        dimension: Dimension::Length,
        governs: layers.chain(found.estimated.iter().filter_map(estimate)).collect(),
    }
}

/// Pieces told of that weigh most.
const HEAVIEST: usize = 3;

/// The heaviest pieces, heaviest first.
fn heaviest(assembly: &Assembly) -> Vec<Label> {
    let pieces = assembly.pieces.iter();
    let mut all: Vec<(f64, &Piece)> =
        pieces.filter_map(|piece| Some((stock::mass_of(assembly, piece).ok()?, piece))).collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let label = |(grams, piece): &(f64, &Piece)| {
        let text = format!("`{}` weighs {}", piece.name, say_mass(*grams));
        Label { span: piece.span, text }
    };
    all.iter().take(HEAVIEST).map(label).collect()
}

fn part_label(assembly: &Assembly, part: &Part, text: &str) -> Label {
    let panel = panels_of(assembly, part).first().copied().filter(|_| part.panel.is_some());
    let span = match panel {
        Some(panel) => Some(panel_name(assembly, panel).span),
        None => assembly.pieces.get(part.piece).map(|p| p.span),
    };
    Label { span: span.unwrap_or(part.span), text: format!("`{}`{text}", words::part(assembly, part)) }
}

/// The card's size along one axis of the world, and the parts that reach furthest.
fn extent(subject: &Subject, pose: PoseId, axis: usize, ends: [&str; 2]) -> Found {
    let state = match reached(subject, pose) {
        Ok(state) => state,
        Err(found) => return found,
    };
    let mut low: Option<(f64, PanelId)> = None;
    let mut high: Option<(f64, PanelId)> = None;
    for (id, panel) in subject.assembly.panels.iter().enumerate() {
        for corner in state.corners(id, &panel.polygon) {
            let Some(&at) = corner.iter().nth(axis) else { continue };
            if low.is_none_or(|(v, _)| at < v - COINCIDENT_MM) {
                low = Some((at, id));
            }
            if high.is_none_or(|(v, _)| at > v + COINCIDENT_MM) {
                high = Some((at, id));
            }
        }
    }
    let (Some((from, first)), Some((to, last))) = (low, high) else {
        return Found::Unknown("there is nothing to measure".into());
    };
    let label = |panel: PanelId, end: &str| {
        let named = panel_name(subject.assembly, panel);
        Label { span: named.span, text: format!("`{}` reaches {end}", named.name) }
    };
    let mut governs = vec![label(last, ends[1])];
    if panel_name(subject.assembly, first).span != panel_name(subject.assembly, last).span {
        governs.push(label(first, ends[0]));
    }
    Found::Number { value: to - from, dimension: Dimension::Length, governs }
}

fn joint_label(assembly: &Assembly, id: JointId) -> Vec<Label> {
    let label = |j: &crate::assembly::Joint| Label { span: j.span, text: format!("`{}`", j.name) };
    assembly.joints.get(id).map(label).into_iter().collect()
}

fn travel(assembly: &Assembly, id: JointId) -> Found {
    let Some(joint) = assembly.joints.get(id) else { return Found::Unknown("the joint is not known".into()) };
    let endless = || Found::Endless(Named { name: joint.name.clone(), span: joint.span });
    match &joint.kind {
        JointKind::Slide { range, how, .. } => {
            let value = range.1 - range.0;
            if !value.is_finite() {
                // What is stuck in its way may be among what is missing; a stop that is asked for is told.
                let told = assembly.is_incomplete() || assembly.without_stop.contains(&id);
                return if told { Found::Told } else { endless() };
            }
            let (piece, openings) = match how {
                SlideHow::Strap { piece, rails, .. } => (Some(*piece), vec![rails.0, rails.1]),
                SlideHow::Through { piece, cutouts } => (Some(*piece), cutouts.clone()),
                SlideHow::On { .. } => (None, Vec::new()),
            };
            let mut governs = joint_label(assembly, id);
            let cutouts =
                piece.and_then(|p| assembly.pieces.get(p)).map(|p| p.cutouts.as_slice()).unwrap_or(&[]);
            governs.extend(ends_of_way(assembly, joint));
            governs.extend(
                openings
                    .iter()
                    .filter_map(|&i| cutouts.get(i))
                    .map(|c| Label { span: c.span, text: "it stops at the ends of this".into() }),
            );
            Found::Number { value, dimension: Dimension::Length, governs }
        }
        JointKind::Pin { range: Some((low, high)), .. } => Found::Number {
            value: high - low,
            dimension: Dimension::Angle,
            governs: joint_label(assembly, id),
        },
        JointKind::Pin { range: None, .. } => endless(),
        JointKind::Fold { .. } => Found::Number {
            value: closed_angle(assembly, id),
            dimension: Dimension::Angle,
            governs: joint_label(assembly, id),
        },
        _ => Found::Unknown(format!("`{}` does not move", joint.name)),
    }
}

/// What stops a slide without stated stops on the face that it runs on.
fn ends_of_way(assembly: &Assembly, joint: &Joint) -> Vec<Label> {
    let JointKind::Slide { placement, direction, range, ends, stops: None, how } = &joint.kind else {
        return Vec::new();
    };
    let (SlideHow::On { under, .. }, Some(part)) = (how, assembly.panels.get(joint.b)) else {
        return Vec::new();
    };
    let piece = |panel: PanelId| assembly.panels.get(panel).map(|p| p.piece);
    let lying: Vec<Lying> = lying_on(assembly, joint.a, placement.side)
        .into_iter()
        .filter(|l| !l.moves && l.joint.a == joint.a)
        .filter(|l| piece(l.joint.b).is_none_or(|p| !under.contains(&p)))
        .collect();
    let at = part.polygon.transformed(&placement.isometry());
    let stopped = |(value, end): (f64, Side)| {
        let beyond = at.translated(*direction * value);
        let meets = |l: &&Lying| l.region.iter().any(|q| interiors_intersect(&beyond, q, COINCIDENT_MM));
        let met = lying.iter().find(meets)?;
        let text = format!("`{}` stops it at the {}", panel_name(assembly, met.joint.b).name, end.word());
        Some(Label { span: met.joint.span, text })
    };
    [(range.0 - REPORTED_MM, ends.0), (range.1 + REPORTED_MM, ends.1)]
        .into_iter()
        .filter_map(stopped)
        .collect()
}

/// The panels of a part.
pub fn panels_of(assembly: &Assembly, part: &Part) -> Vec<PanelId> {
    match part.panel {
        Some(panel) => vec![panel],
        None => assembly.pieces.get(part.piece).map(|p| p.panels.clone()).unwrap_or_default(),
    }
}

fn rise(subject: &Subject, part: &Part) -> Found {
    let assembly = subject.assembly;
    let partial = assembly.poses.iter().any(|p| p.partial);
    if partial || assembly.is_incomplete() || subject.states.iter().any(|s| s.fault.is_some()) {
        return Found::Told;
    }
    let Some(&panel) = panels_of(assembly, part).first() else {
        return Found::Unknown("the part is not known".into());
    };
    let Some(centre) = assembly.panels.get(panel).map(|p| p.polygon.centroid()) else {
        return Found::Unknown("the part is not known".into());
    };
    let heights: Vec<f64> =
        subject.states.iter().filter_map(|s| s.point(panel, centre)).map(|p| p.y).collect();
    let (low, high) =
        heights.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &y| (l.min(y), h.max(y)));
    if heights.is_empty() {
        return Found::Unknown("there is no pose to see it in".into());
    }
    let governs = vec![part_label(assembly, part, "")];
    Found::Number { value: high - low, dimension: Dimension::Length, governs }
}

/// Degrees between the part's own upward direction and the world's.
fn lean(subject: &Subject, part: &Part, pose: PoseId) -> Found {
    let state = match reached(subject, pose) {
        Ok(state) => state,
        Err(found) => return found,
    };
    let panel = panels_of(subject.assembly, part).first().copied();
    let Some(frame) = panel.and_then(|p| state.frames.get(p).copied().flatten()) else {
        return Found::Unknown("nothing holds the part".into());
    };
    let up = frame.direction(Vec3::new(0.0, 1.0, 0.0));
    let value = libm::atan2(libm::hypot(up.x, up.z), up.y).to_degrees();
    let governs = vec![part_label(subject.assembly, part, "")];
    Found::Number { value, dimension: Dimension::Angle, governs }
}

/// The least distance of two parts that lie in one plane, mm.
fn gap(assembly: &Assembly, a: &Part, b: &Part, state: &PoseState) -> Found {
    let mut least = f64::INFINITY;
    for first in panels_of(assembly, a) {
        for second in panels_of(assembly, b) {
            let frame = |p: PanelId| state.frames.get(p).copied().flatten();
            let (Some(f), Some(g)) = (frame(first), frame(second)) else { continue };
            let (Some(p), Some(q)) = (assembly.panels.get(first), assembly.panels.get(second)) else {
                continue;
            };
            let relative = f.inverse() * g;
            let normal = relative.front();
            if libm::hypot(normal.x, normal.y) > PARALLEL_DEG.to_radians()
                || relative.shift.z.abs() > COINCIDENT_MM
            {
                return Found::Unknown(
                    "the two do not lie in one plane; gaps in space are not measured yet".into(),
                );
            }
            let carried = |ring: &Vec<crate::geometry::Point>| {
                let place = |c: &crate::geometry::Point| {
                    let at = relative.place([c.x, -c.y]);
                    crate::geometry::pt(at[0], -at[1])
                };
                ring.iter().map(place).collect::<Vec<_>>()
            };
            let other = crate::geometry::Polygon::new(
                carried(&q.polygon.outer),
                q.polygon.holes.iter().map(carried).collect(),
            );
            least = least.min(p.polygon.distance(&other));
        }
    }
    if least.is_finite() {
        let governs = [a, b].map(|part| part_label(assembly, part, "")).to_vec();
        Found::Number { value: least, dimension: Dimension::Length, governs }
    } else {
        Found::Unknown("nothing holds one of the two".into())
    }
}

fn size(assembly: &Assembly, part: &Part, across: bool) -> Found {
    let bounds = match part.panel.and_then(|p| assembly.panels.get(p)) {
        Some(panel) => Some(panel.bounds),
        None => assembly.pieces.get(part.piece).map(|p| p.bounds),
    };
    match bounds {
        Some(b) => {
            let (value, side) = if across { (b.width(), "wide") } else { (b.height(), "high") };
            let text = format!(" is {} {side}", say_length(value, assembly.units));
            let governs = vec![part_label(assembly, part, &text)];
            Found::Number { value, dimension: Dimension::Length, governs }
        }
        None => Found::Unknown("the part is not known".into()),
    }
}
