//! Whether the closed card goes into its envelope, in either turn, and sits in it well.
//!
//! The girth of a flat pocket of inside width W is 2 W, and contents w wide and t thick need 2 (w + t) of it: a card goes
//! in when W ≥ w + t and H ≥ h + t. A box takes w, h and t each on its own.

use super::Subject;
use super::closed::{Packet, packets};
use crate::assembly::Envelope;
use crate::assembly::claims::Predicate;
use crate::findings::{EnvelopeFit, Findings, catalogue as found};
use crate::quantity::Units;
use crate::quantity::standard;
use crate::quantity::tolerance::{COINCIDENT_MM, ENVELOPE_EASE_MM, ENVELOPE_LOOSE_MM, ENVELOPE_LOOSE_SHARE};

/// The inside of an envelope, mm: of a box the least side is its depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    pub long: f64,
    pub short: f64,
    pub depth: Option<f64>,
}

impl Inside {
    pub fn of(envelope: &Envelope) -> Self {
        let Some(depth) = envelope.depth else {
            let (long, short) = (envelope.width.max(envelope.height), envelope.width.min(envelope.height));
            return Self { long, short, depth: None };
        };
        let mut sides = [envelope.width, envelope.height, depth];
        sides.sort_by(f64::total_cmp);
        let [depth, short, long] = sides;
        Self { long, short, depth: Some(depth) }
    }
}

/// How a packet lies in an envelope: what is left of its sides beyond the packet and its thickness, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lying {
    pub long: f64,
    pub short: f64,
    /// Left of the depth of a box.
    pub depth: Option<f64>,
}

impl Lying {
    pub fn of(packet: &Packet, inside: &Inside) -> Self {
        // Long side to long side is the best of all turns, always.
        let takes = if inside.depth.is_some() { 0.0 } else { packet.thick };
        Self {
            long: inside.long - packet.long - takes,
            short: inside.short - packet.short - takes,
            depth: inside.depth.map(|d| d - packet.thick),
        }
    }

    fn least(&self) -> f64 {
        self.long.min(self.short).min(self.depth.unwrap_or(f64::INFINITY))
    }

    pub fn fits(&self) -> bool {
        self.least() >= -COINCIDENT_MM
    }

    fn is_tight(&self) -> bool {
        self.long.min(self.short) < ENVELOPE_EASE_MM - COINCIDENT_MM
    }

    /// The ISO pairs grow with their size: A4 leaves 27 mm of a C4.
    fn is_loose(&self, inside: &Inside) -> bool {
        let most = |side: f64| ENVELOPE_LOOSE_MM.max(side * ENVELOPE_LOOSE_SHARE);
        self.long > most(inside.long) || self.short > most(inside.short)
    }
}

pub fn lying_in(packet: &Packet, envelope: &Envelope) -> Lying {
    Lying::of(packet, &Inside::of(envelope))
}

pub fn check(subject: &Subject, sink: &mut Findings) {
    let Some(envelope) = &subject.assembly.envelope else { return };
    let asks = |predicate: &Predicate| match predicate {
        // What is posted in an envelope must go into it.
        Predicate::Fits { pose } | Predicate::Posts { pose } => Some(*pose),
        _ => None,
    };
    for packet in packets(subject, asks) {
        let inside = Inside::of(envelope);
        let lying = Lying::of(&packet, &inside);
        let fitting = EnvelopeFit {
            envelope: envelope.name.clone(),
            place: envelope.span,
            inside: (envelope.width, envelope.height),
            depth: envelope.depth,
            card: (packet.long, packet.short, packet.thick),
            pose: packet.pose.clone(),
            asked: packet.asked,
            layers: packet.layers.clone(),
            estimated: packet.estimated.clone(),
            left: (lying.long, lying.short, lying.depth),
            better: better(&packet, subject.assembly.units),
        };
        if !lying.fits() {
            sink.report(found::EnvelopeTooSmall(fitting));
        } else if lying.is_tight() {
            sink.report(found::EnvelopeTight(fitting));
        } else if lying.is_loose(&inside) {
            sink.report(found::EnvelopeLoose(fitting));
        }
    }
}

/// The smallest envelope of the tables that takes the packet with ease, as the language names it.
fn better(packet: &Packet, units: Units) -> Option<String> {
    let inch = units == Units::Inch;
    standard::envelopes()
        .iter()
        .filter(|e| e.inch == inch)
        .filter(|e| {
            let inside = Inside { long: e.long.to_f64(), short: e.short.to_f64(), depth: None };
            let lying = Lying::of(packet, &inside);
            lying.fits() && !lying.is_tight() && !lying.is_loose(&inside)
        })
        .min_by(|a, b| {
            let area = |e: &standard::Envelope| e.long.to_f64() * e.short.to_f64();
            area(a).total_cmp(&area(b))
        })
        .and_then(|e| e.names.iter().find_map(|n| spelled(n)))
}

/// A name as a design writes it: plain words, or in quotes when there are more than two.
fn spelled(name: &str) -> Option<String> {
    let words: Vec<&str> = name.split(' ').collect();
    let plain = |w: &str| w.chars().all(char::is_alphanumeric);
    match words.as_slice() {
        [one] if plain(one) => Some((*one).into()),
        ["us", one] if plain(one) => Some(name.into()),
        _ => Some(format!("\"{name}\"")),
    }
}
