//! The card in a pose as a packet: its size, and how thick it is where it is thickest.

use super::Subject;
use super::stuck::{caliper_of, panel_name, piece_of};
use crate::assembly::claims::{ClaimKind, PoseId, Predicate};
use crate::assembly::{Assembly, PanelId};
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::source::Span;

/// mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Packet {
    pub long: f64,
    pub short: f64,
    pub thick: f64,
    /// What lies over each other at the thickest place, each part once.
    pub layers: Vec<String>,
    /// Papers whose thickness there is estimated from their weight.
    pub estimated: Vec<String>,
    pub pose: String,
    pub id: PoseId,
    /// The claim that asks, or the pose.
    pub asked: Option<Span>,
}

/// How thick a card is at its thickest place.
pub struct Thickness {
    pub mm: f64,
    /// What lies there, each part once.
    pub layers: Vec<String>,
    /// Papers whose thickness is estimated from their weight.
    pub estimated: Vec<String>,
}

/// How thick the card is in a flat pose. `Err` says in words why it is not known.
pub fn thickness(subject: &Subject, pose: PoseId) -> Result<Thickness, String> {
    let card = subject.cards.get(pose).ok_or("the pose is not known")?;
    if !card.flat {
        return Err("the card does not lie flat in this pose".into());
    }
    if card.contradiction.is_some() {
        return Err("the layers of this pose contradict each other".into());
    }
    let thickest = card.thickest.as_ref().ok_or("the card has no layers")?;
    let assembly = subject.assembly;
    let mut layers: Vec<String> = Vec::new();
    for panel in &thickest.panels {
        let name = panel_name(assembly, *panel).name;
        if !layers.contains(&name) {
            layers.push(name);
        }
    }
    Ok(Thickness { mm: thickest.mm, layers, estimated: estimated(assembly, thickest.panels.iter().copied()) })
}

/// How much thicker a flat card is at one place than at another, mm.
pub fn unevenness(subject: &Subject, pose: PoseId) -> Option<f64> {
    let card = subject.cards.get(pose)?;
    Some(card.thickest.as_ref()?.mm - card.thinnest_mm(subject.assembly)?)
}

/// Papers of some panels whose thickness is not stated, each once.
fn estimated(assembly: &Assembly, panels: impl Iterator<Item = PanelId>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for panel in panels {
        let paper = piece_of(assembly, panel).and_then(|p| assembly.papers.get(p.paper));
        if let Some(paper) = paper.filter(|p| !p.caliper_stated)
            && !names.contains(&paper.name)
        {
            names.push(paper.name.clone());
        }
    }
    names
}

/// The card in a pose as a packet. A pose that does not lie flat makes a packet as thick as its box.
pub fn packet(subject: &Subject, pose: PoseId, asked: Option<Span>) -> Option<Packet> {
    let state = subject.states.get(pose)?;
    if state.fault.is_some() || subject.assembly.poses.get(pose).is_some_and(|p| p.partial) {
        return None;
    }
    // How thick layers without an order are, nobody can say.
    if subject.cards.get(pose).is_some_and(|card| card.contradiction.is_some()) {
        return None;
    }
    let extent = state.extent(subject.assembly);
    let panels = 0..subject.assembly.panels.len();
    let at = thickness(subject, pose).unwrap_or_else(|_| {
        let one = panels.clone().map(|p| caliper_of(subject.assembly, p)).fold(0.0, f64::max);
        let estimated = estimated(subject.assembly, panels);
        Thickness { mm: extent.depth + one, layers: Vec::new(), estimated }
    });
    let mut sides = [extent.width, extent.height, at.mm];
    sides.sort_by(f64::total_cmp);
    let [thick, short, long] = sides;
    let (layers, estimated) = (at.layers, at.estimated);
    Some(Packet { long, short, thick, layers, estimated, pose: state.name.clone(), id: pose, asked })
}

/// The packets that a claim asks about, or else the pose that goes into the smallest. Nothing when parts are missing.
pub fn packets(subject: &Subject, asks: impl Fn(&Predicate) -> Option<PoseId>) -> Vec<Packet> {
    let assembly = subject.assembly;
    if !assembly.missing.is_empty() {
        return Vec::new();
    }
    let mut asked: Vec<(PoseId, Span)> = Vec::new();
    for claim in &assembly.claims {
        // What a claim denies is left to the claim.
        if let ClaimKind::Predicate(predicate) = &claim.expr.kind
            && let Some(pose) = asks(predicate)
            && !asked.iter().any(|(p, _)| *p == pose)
        {
            asked.push((pose, claim.expr.span));
        }
    }
    if !asked.is_empty() {
        return asked.into_iter().filter_map(|(pose, span)| packet(subject, pose, Some(span))).collect();
    }
    // The pose that cannot be taken may be the one in which the card is closed.
    let known = |pose: PoseId| packet(subject, pose, None);
    let Some(all) = (0..subject.states.len()).map(known).collect::<Option<Vec<_>>>() else {
        return Vec::new();
    };
    // What a pocket must have: of the closed card less than of the open one, however flat that lies.
    let needs = |p: &Packet| p.long + p.short + 2.0 * p.thick;
    let closed = all.into_iter().min_by(|a, b| {
        let (a, b) = (needs(a), needs(b));
        if (a - b).abs() <= COINCIDENT_MM { std::cmp::Ordering::Equal } else { a.total_cmp(&b) }
    });
    closed.into_iter().collect()
}
