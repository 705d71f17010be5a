//! How a card stands in a pose, on the ground below its lowest point, the world's y axis up: whether it tips over where
//! the design says that it stands, or where one of its panels lies on the ground as a foot. A card that rests unevenly by
//! no more than a hand cuts finds its own level.

use super::Subject;
use super::stuck::{panel_name, piece_of};
use crate::assembly::claims::{ClaimExpr, ClaimKind, PoseId, Predicate};
use crate::assembly::{Assembly, PanelId, Pose, Side};
use crate::findings::{Findings, Named, Rewrite, catalogue as found};
use crate::geometry::{Point, Polygon};
use crate::motion::{Plate, Point2, Point3, PoseState, Rest, Stance, rest, stance};
use crate::quantity::Rounding;
use crate::quantity::tolerance::{COINCIDENT_MM, SETTLES_DEG, STEADY_DEG};
use crate::source::Span;

/// A foot is not made larger than by this much to keep a card from tipping over, mm.
const LARGEST_STEP_MM: f64 = 150.0;
/// A card that leans by more than this until it rests is not said to stand so, degrees.
const LARGEST_LEAN_DEG: f64 = 45.0;

/// Claims that a card stands, where it falls, are told here and not as claims that fail.
pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    for (id, (pose, state)) in assembly.poses.iter().zip(subject.states).enumerate() {
        let claim = assembly.claims.iter().find(|claim| {
            matches!(&claim.expr.kind, ClaimKind::Predicate(Predicate::Stands { pose }) if *pose == id)
        });
        // What another claim says of its standing, that it does not for one, is left to that claim.
        let mentioned = || assembly.claims.iter().any(|claim| mentions(&claim.expr, id));
        let speaks_of_it = claim.is_some() || has_foot(assembly, state) && !mentioned();
        if state.fault.is_none() && !pose.partial && speaks_of_it && assembly.missing.is_empty() {
            stands(assembly, pose, state, claim.map(|c| c.span), sink);
        }
    }
}

fn mentions(expr: &ClaimExpr, id: PoseId) -> bool {
    match &expr.kind {
        ClaimKind::Predicate(Predicate::Stands { pose }) => *pose == id,
        ClaimKind::Not(inner) | ClaimKind::Negate(inner) | ClaimKind::Absolute(inner) => mentions(inner, id),
        ClaimKind::Arithmetic(_, a, b) | ClaimKind::Compare(_, a, b) => mentions(a, id) || mentions(b, id),
        _ => false,
    }
}

fn stands(assembly: &Assembly, pose: &Pose, state: &PoseState, claim: Option<Span>, sink: &mut Findings) {
    // Paper without a weight is told where the claim is worked out.
    let Ok(Some(stance)) = balance(assembly, state, None) else { return };
    let named = Named { name: pose.name.clone(), span: pose.span };
    let foot = || larger_foot(assembly, state);
    match (claim, stance.is_stable(), stance.weakest()) {
        (Some(claim), false, edge) => sink.report(found::TipsOver {
            pose: named,
            claim,
            falls: edge.map(|e| (way(e.ends), -e.margin)),
            short: edge.is_none().then(|| next_foot(assembly, state)).flatten(),
            rests: rests(assembly, state).map(|r| (way(r.about), r.turned)),
            foot: foot(),
        }),
        (_, _, Some(edge)) if edge.tipping < STEADY_DEG => sink.report(found::Unsteady {
            pose: named,
            claim,
            way: way(edge.ends),
            margin: edge.margin,
            tipping: edge.tipping,
            foot: foot(),
        }),
        _ => {}
    }
}

/// A panel lies on the ground while another part of the card stands up.
fn has_foot(assembly: &Assembly, state: &PoseState) -> bool {
    let heights = |id: PanelId| -> Option<(f64, f64)> {
        let panel = assembly.panels.get(id)?;
        let corners = state.corners(id, &panel.polygon).map(|c| c.y);
        Some(corners.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y))))
    };
    let all: Vec<(f64, f64)> = (0..assembly.panels.len()).filter_map(heights).collect();
    let low = all.iter().map(|(l, _)| *l).fold(f64::INFINITY, f64::min);
    let lies = |(_, high): &(f64, f64)| high - low <= COINCIDENT_MM;
    all.iter().any(lies) && !all.iter().all(lies)
}

/// The panel that comes nearest to the ground of those that do not reach it, and how far above it ends, mm.
fn next_foot(assembly: &Assembly, state: &PoseState) -> Option<(Named, f64)> {
    let lowest = |id: PanelId| {
        let polygon = &assembly.panels.get(id)?.polygon;
        state.corners(id, polygon).map(|c| c.y).min_by(f64::total_cmp).map(|y| (id, y))
    };
    let all: Vec<(PanelId, f64)> = (0..assembly.panels.len()).filter_map(lowest).collect();
    let ground = all.iter().map(|(_, y)| *y).min_by(f64::total_cmp)?;
    let above = all.iter().map(|(id, y)| (*id, y - ground)).filter(|(_, y)| *y > COINCIDENT_MM);
    let (id, by) = above.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((panel_name(assembly, id), by))
}

/// How the card comes to rest when it is let go, if it neither lies down nor turns by so much that it is another pose.
fn rests(assembly: &Assembly, state: &PoseState) -> Option<Rest> {
    let plates = plates(assembly, state, None).ok()?;
    let height = plates.iter().flat_map(|p| &p.corners).map(|c| c[2]).fold(0.0, f64::max);
    rest(&plates, LARGEST_LEAN_DEG).filter(|r| r.height > 0.5 * height)
}

/// Which way it falls over an edge, as the viewer sees it.
fn way([from, to]: [Point2; 2]) -> &'static str {
    // Out of a counterclockwise polygon: on the right of its edge. The second axis leads away from the viewer.
    let (right, away) = (to[1] - from[1], from[0] - to[0]);
    match (right.abs() > away.abs(), right > 0.0, away > 0.0) {
        (true, true, _) => "to the right",
        (true, false, _) => "to the left",
        (false, _, true) => "backwards",
        (false, _, false) => "forwards",
    }
}

/// The sizes with which a foot would be large enough to stand steadily, the least change first. Only sizes that grow
/// away from where readings are taken are looked at: the rest of the piece stays where it is.
fn larger_foot(assembly: &Assembly, state: &PoseState) -> Vec<Rewrite> {
    let steady = |panel: PanelId, side: Side, by: f64| {
        let stance = balance(assembly, state, Some(&Grown { panel, side, by }));
        let stance = stance.ok().flatten().filter(Stance::is_stable);
        stance.and_then(|s| s.weakest()).is_some_and(|e| e.tipping >= STEADY_DEG)
    };
    let mut changes: Vec<(f64, Rewrite)> = Vec::new();
    for panel in 0..assembly.panels.len() {
        let Some((width, height)) = piece_of(assembly, panel).and_then(|p| p.size) else { continue };
        for (side, written) in [(Side::Right, width), (Side::Bottom, height)] {
            let Some(literal) = written.literal.filter(|_| steady(panel, side, LARGEST_STEP_MM)) else {
                continue;
            };
            let (mut low, mut high) = (0.0, LARGEST_STEP_MM);
            while high - low > COINCIDENT_MM {
                let middle = 0.5 * (low + high);
                if steady(panel, side, middle) { high = middle } else { low = middle }
            }
            let rewrite = Rewrite { literal, value: written.value + high, rounding: Rounding::Up };
            changes.push((high, rewrite));
        }
    }
    changes.sort_by(|a, b| a.0.total_cmp(&b.0));
    changes.into_iter().map(|(_, rewrite)| rewrite).collect()
}

/// A panel whose piece is longer at one of its sides.
pub struct Grown {
    panel: PanelId,
    side: Side,
    /// mm.
    by: f64,
}

impl Grown {
    fn polygon(&self, assembly: &Assembly, id: PanelId, polygon: &Polygon) -> Polygon {
        let mut polygon = polygon.clone();
        let Some(piece) = piece_of(assembly, id).filter(|_| id == self.panel) else { return polygon };
        let edge = self.side.of(&piece.body);
        for p in &mut polygon.outer {
            let at = if self.side.is_across() { &mut p.x } else { &mut p.y };
            if (*at - edge).abs() <= COINCIDENT_MM {
                *at += self.by;
            }
        }
        polygon
    }
}

/// How the whole card balances in a pose, what is cut out of it left out, once it has found its own level; `None` when
/// it weighs nothing.
///
/// # Errors
/// The name of a paper whose grammage the design does not say.
pub fn balance(
    assembly: &Assembly,
    state: &PoseState,
    grown: Option<&Grown>,
) -> Result<Option<Stance>, String> {
    let plates = plates(assembly, state, grown)?;
    Ok(rest(&plates, SETTLES_DEG).map(|r| r.stance).or_else(|| stance(&plates)))
}

/// The panels of a card in a pose over the ground, which lies at height zero below the lowest of them.
fn plates(assembly: &Assembly, state: &PoseState, grown: Option<&Grown>) -> Result<Vec<Plate>, String> {
    let mut plates = Vec::new();
    for (id, panel) in assembly.panels.iter().enumerate() {
        let paper = piece_of(assembly, id).and_then(|p| assembly.papers.get(p.paper));
        let Some(paper) = paper else { continue };
        let grammage = paper.grammage.ok_or_else(|| paper.name.clone())?;
        // The world's y becomes the height.
        let ring = |ring: &Vec<Point>| -> Vec<Point3> {
            ring.iter().filter_map(|p| state.point(id, *p)).map(|c| [c.x, -c.z, c.y]).collect()
        };
        let larger = grown.map(|grown| grown.polygon(assembly, id, &panel.polygon));
        let polygon = larger.as_ref().unwrap_or(&panel.polygon);
        let holes = polygon.holes.iter().map(ring).collect();
        plates.push(Plate { corners: ring(&polygon.outer), holes, grammage });
    }
    let low = plates.iter().flat_map(|p| &p.corners).map(|c| c[2]).fold(f64::INFINITY, f64::min);
    for plate in &mut plates {
        let rings = plate.holes.iter_mut().chain([&mut plate.corners]);
        rings.flatten().for_each(|corner| corner[2] -= low);
    }
    Ok(plates)
}
