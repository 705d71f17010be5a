//! Panels that stand in space and go through each other in a pose.
//!
//! Two planes that are not parallel cross in a line. Where that line runs inside both panels, well away from their edges
//! and from slits along it, the paper of one would be in that of the other. What lies in one plane is a matter of layers.

use super::Subject;
use super::stuck::panel_name;
use super::way::{foam_under, passing};
use crate::assembly::{Assembly, PanelId, PieceKind};
use crate::findings::{Findings, Named, catalogue as found};
use crate::geometry::{Point, Segment, Span, clip_segment, pt};
use crate::motion::{Iso, PoseState, Vec3};
use crate::quantity::tolerance::{CLOSURE_MM, PARALLEL_DEG};
use std::collections::BTreeSet;

/// Panels that do so in a pose.
struct Through {
    pair: [PanelId; 2],
    /// How long the line is in which they do, and how far the one that reaches less far beyond it does so, mm.
    along: f64,
    beyond: f64,
}

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    if !assembly.missing.is_empty() {
        return;
    }
    let mut told: Vec<(BTreeSet<usize>, found::PartsCross)> = Vec::new();
    for ((pose, state), card) in assembly.poses.iter().zip(subject.states).zip(subject.cards) {
        if state.fault.is_some() || pose.partial || card.flat || card.contradiction.is_some() {
            continue;
        }
        let mut crossing = crossing(subject, state);
        crossing.sort_by(|a, b| b.along.total_cmp(&a.along).then(a.pair.cmp(&b.pair)));
        let here = Named { name: pose.name.clone(), span: pose.span };
        let mut in_this_pose: Vec<BTreeSet<usize>> = Vec::new();
        for Through { pair, along, beyond } in crossing {
            let piece = |panel: &PanelId| assembly.panels.get(*panel).map(|p| p.piece);
            let pieces: BTreeSet<usize> = pair.iter().filter_map(piece).collect();
            if in_this_pose.contains(&pieces) {
                continue;
            }
            in_this_pose.push(pieces.clone());
            // Two pieces in each other's way are one fault, in however many poses and with however many panels.
            match told.iter_mut().find(|(known, _)| *known == pieces) {
                Some((_, fault)) => fault.also.push(here.clone()),
                None => {
                    let parts = pair.map(|panel| panel_name(assembly, panel));
                    told.push((
                        pieces,
                        found::PartsCross { pose: here.clone(), parts, along, beyond, also: Vec::new() },
                    ));
                }
            }
        }
    }
    told.into_iter().for_each(|(_, fault)| sink.report(fault));
}

fn crossing(subject: &Subject, state: &PoseState) -> Vec<Through> {
    let assembly = subject.assembly;
    let exempt = passing(assembly, std::slice::from_ref(state));
    let joined: BTreeSet<(PanelId, PanelId)> =
        assembly.joints.iter().flat_map(|j| [(j.a, j.b), (j.b, j.a)]).collect();
    let is_strap = |panel: PanelId| {
        let piece = assembly.panels.get(panel).and_then(|p| assembly.pieces.get(p.piece));
        piece.is_some_and(|p| p.kind == PieceKind::Strap)
    };
    // Swept from left to right, so that of thousands of panels only those near each other are compared.
    let mut boxes: Vec<(PanelId, Vec3, Vec3)> = Vec::new();
    for (id, panel) in assembly.panels.iter().enumerate().filter(|(id, _)| !is_strap(*id)) {
        if subject.lowered.held.get(id) != Some(&true) {
            continue;
        }
        let (mut low, mut high) = (Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY));
        for corner in state.corners(id, &panel.polygon) {
            (low, high) = (low.inf(&corner), high.sup(&corner));
        }
        boxes.push((id, low, high));
    }
    boxes.sort_by(|a, b| a.1.x.total_cmp(&b.1.x).then(a.0.cmp(&b.0)));
    let mut found = Vec::new();
    for (n, (a, low, high)) in boxes.iter().enumerate() {
        let near = boxes.iter().skip(n + 1).take_while(|(_, other, _)| other.x <= high.x);
        for (b, other_low, other_high) in near {
            let apart = |axis: usize| other_low[axis] > high[axis] || low[axis] > other_high[axis];
            let (first, second) = (*a.min(b), *a.max(b));
            if apart(1) || apart(2) || joined.contains(&(first, second)) || exempt.holds(first, second) {
                continue;
            }
            found.extend(through(assembly, state, [first, second]));
        }
    }
    found
}

fn through(assembly: &Assembly, state: &PoseState, [a, b]: [PanelId; 2]) -> Option<Through> {
    let frame = |panel: PanelId| state.frames.get(panel).copied().flatten();
    let (f, g) = (frame(a)?, frame(b)?);
    let (one, other) = (inside(assembly, a, &f, &g)?, inside(assembly, b, &g, &f)?);
    // Both run along one line in space; the second is told by distances along the first.
    let along = one.direction;
    let moved = |at: f64| (other.origin + other.direction * at - one.origin).dot(&along);
    let theirs: Vec<Span> = other
        .spans
        .iter()
        .map(|s| (moved(s.from), moved(s.to)))
        .map(|(p, q)| Span { from: p.min(q), to: p.max(q) })
        .collect();
    let shared =
        one.spans.iter().flat_map(|s| theirs.iter().map(move |t| (s.from.max(t.from), s.to.min(t.to))));
    let longest = shared.map(|(from, to)| to - from).fold(0.0, f64::max);
    let beyond = one.beyond.min(other.beyond);
    let pressed = foam_under(assembly, a) + foam_under(assembly, b);
    // Foam that is pressed lets a part come as far as it stands high.
    let deep = longest > CLOSURE_MM && beyond > pressed + CLOSURE_MM;
    deep.then_some(Through { pair: [a, b], along: longest, beyond })
}

/// The line in which another plane crosses a panel.
struct Crossing {
    /// In the world.
    origin: Vec3,
    direction: Vec3,
    /// Where it runs inside the panel, as distances from the origin.
    spans: Vec<Span>,
    /// How far the panel reaches to the less of the two sides of the other plane, mm.
    beyond: f64,
}

fn inside(assembly: &Assembly, panel: PanelId, frame: &Iso, other: &Iso) -> Option<Crossing> {
    let polygon = &assembly.panels.get(panel)?.polygon;
    let corner = |p: Point| frame.point(Vec3::new(p.x, -p.y, 0.0));
    let normal = other.front();
    let at = normal.dot(&other.point(Vec3::zeros()));
    // How far the places of the panel lie off the other plane: a linear measure, `u.x * x + u.y * y + off`.
    let off = normal.dot(&corner(Point::ORIGIN)) - at;
    let u = pt(normal.dot(&corner(pt(1.0, 0.0))) - at - off, normal.dot(&corner(pt(0.0, 1.0))) - at - off);
    let steep = libm::hypot(u.x, u.y);
    if steep <= PARALLEL_DEG.to_radians() {
        return None;
    }
    let heights: Vec<f64> = polygon.vertices().map(|p| u.dot(p) + off).collect();
    let (low, high) = heights.iter().fold((0.0_f64, 0.0_f64), |(l, h), d| (l.min(*d), h.max(*d)));
    let beyond = (-low).min(high);
    if beyond <= CLOSURE_MM {
        return None;
    }
    let across = u * (1.0 / steep);
    let on_line = across * (-off / steep);
    let along = across.turned_left();
    let bounds = polygon.bounds();
    let reach = bounds.width() + bounds.height() + on_line.distance(bounds.centre());
    let start = on_line - along * reach;
    let shifted = |by: f64| {
        let start = start + across * by;
        clip_segment(polygon, &Segment::new(start, start + along * (2.0 * reach)))
    };
    // Well inside: beside an edge that only touches the other plane there is nothing on one side.
    let well = common(&common(&shifted(0.0), &shifted(CLOSURE_MM)), &shifted(-CLOSURE_MM));
    let spans = without_slits(assembly, panel, well, start, along);
    let origin = corner(start);
    let direction = corner(start + along) - origin;
    (!spans.is_empty()).then_some(Crossing { origin, direction, spans, beyond })
}

fn common(one: &[Span], other: &[Span]) -> Vec<Span> {
    let pairs = one.iter().flat_map(|s| other.iter().map(move |t| (s.from.max(t.from), s.to.min(t.to))));
    pairs.filter(|(from, to)| to > from).map(|(from, to)| Span { from, to }).collect()
}

/// What is left of stretches of a line when the slits that run along it are taken out: through these the other passes.
fn without_slits(
    assembly: &Assembly,
    panel: PanelId,
    spans: Vec<Span>,
    start: Point,
    along: Point,
) -> Vec<Span> {
    let piece = assembly.panels.get(panel).and_then(|p| assembly.pieces.get(p.piece));
    let slits =
        piece.into_iter().flat_map(|p| &p.cutouts).filter(|c| c.panel == panel && c.contour.is_none());
    slits.fold(spans, |spans, slit| {
        let ends = [slit.from, slit.to];
        if ends.iter().any(|p| along.cross(*p - start).abs() > CLOSURE_MM) {
            return spans;
        }
        let at = ends.map(|p| along.dot(p - start));
        let (from, to) = (at[0].min(at[1]) - CLOSURE_MM, at[0].max(at[1]) + CLOSURE_MM);
        let left = spans.into_iter().flat_map(|s| {
            [Span { from: s.from, to: s.to.min(from) }, Span { from: s.from.max(to), to: s.to }]
        });
        left.filter(|s| s.to > s.from).collect()
    })
}
