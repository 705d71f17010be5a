//! Whether the post takes the card, in its envelope when there is one, by the dated tables of limits.

use super::Subject;
use super::closed::{Packet, packets, unevenness};
use super::envelope::Inside;
use crate::assembly::claims::Predicate;
use crate::assembly::{Assembly, Envelope, PostChoice};
use crate::findings::{Findings, Posted, Surcharged, catalogue as found};
use crate::quantity::standard::{self, OutsideRatio, Post};
use crate::quantity::{Exact, tolerance::COINCIDENT_MM};
use crate::stock;

/// What is handed to the post.
pub struct Letter {
    pub long: f64,
    pub short: f64,
    pub thick: f64,
    /// g; `None` when a paper does not say its grammage.
    pub mass: Option<f64>,
}

pub fn letter(assembly: &Assembly, packet: &Packet) -> Letter {
    let mass = stock::mass(assembly).ok();
    match &assembly.envelope {
        None => Letter { long: packet.long, short: packet.short, thick: packet.thick, mass },
        Some(e) => {
            let (grams, walls) = stock::envelope_adds(e.width, e.height);
            let inside = Inside::of(e);
            Letter {
                long: inside.long,
                short: inside.short,
                thick: inside.depth.unwrap_or(packet.thick) + walls,
                mass: mass.map(|m| m + grams),
            }
        }
    }
}

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    let Some(choice) = &assembly.post else { return };
    let Some(post) = standard::post(&choice.post, &choice.class) else { return };
    let asks = |predicate: &Predicate| match predicate {
        Predicate::Posts { pose } => Some(*pose),
        _ => None,
    };
    for packet in packets(subject, asks) {
        let letter = letter(assembly, &packet);
        let uneven = post.max_uneven.and_then(|limit| {
            let found = unevenness(subject, packet.id)?;
            (found > limit.to_f64() + COINCIDENT_MM).then(|| Breach::Uneven(found, limit.to_f64()))
        });
        for breach in breaches(post, &letter).into_iter().chain(uneven) {
            report(breach, post, choice, assembly.envelope.as_ref(), &packet, sink);
        }
    }
}

/// A limit that a letter does not keep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Breach {
    /// Which side, found, limit; mm.
    TooLarge(&'static str, f64, f64),
    TooSmall(&'static str, f64, f64),
    TooThick(f64, f64),
    TooThin(f64, f64),
    TooHeavy(f64, f64),
    TooLight(f64, f64),
    /// Ratio of the sides, least, greatest.
    Shape(f64, Option<f64>, Option<f64>),
    /// Carried at an extra charge.
    ShapeCharged(f64, Option<f64>, Option<f64>),
    ThinCharged(f64, f64),
    /// Thicker at one place than at another by so much, limit; mm.
    Uneven(f64, f64),
}

impl Breach {
    pub fn is_refused(&self) -> bool {
        !matches!(self, Breach::ShapeCharged(..) | Breach::ThinCharged(..) | Breach::Uneven(..))
    }
}

pub fn breaches(post: &Post, letter: &Letter) -> Vec<Breach> {
    let slack = post.tolerance.to_f64() + COINCIDENT_MM;
    let value = |limit: Option<Exact>| limit.map(Exact::to_f64);
    let mut found = Vec::new();
    let sides = [
        ("long side", letter.long, value(post.min_long), value(post.max_long)),
        ("short side", letter.short, value(post.min_short), value(post.max_short)),
    ];
    for (side, mm, least, most) in sides {
        if let Some(most) = most.filter(|m| mm > m + slack) {
            found.push(Breach::TooLarge(side, mm, most));
        }
        if let Some(least) = least.filter(|l| mm < l - slack) {
            found.push(Breach::TooSmall(side, mm, least));
        }
    }
    let sum = letter.long + letter.short + letter.thick;
    if let Some(most) = value(post.max_sum).filter(|m| sum > m + slack) {
        found.push(Breach::TooLarge("length, width and thickness together", sum, most));
    }
    if let Some(most) = value(post.max_thick).filter(|m| letter.thick > m + COINCIDENT_MM) {
        found.push(Breach::TooThick(letter.thick, most));
    }
    match value(post.min_thick).filter(|l| letter.thick < l - COINCIDENT_MM) {
        Some(least) => found.push(Breach::TooThin(letter.thick, least)),
        None => {
            if let Some((long, short, thick)) = post.large
                && (letter.long > long.to_f64() + slack || letter.short > short.to_f64() + slack)
                && letter.thick < thick.to_f64() - COINCIDENT_MM
            {
                found.push(Breach::ThinCharged(letter.thick, thick.to_f64()));
            }
        }
    }
    if let Some(mass) = letter.mass {
        if let Some(most) = value(post.max_mass).filter(|m| mass > *m) {
            found.push(Breach::TooHeavy(mass, most));
        }
        if let Some(least) = value(post.min_mass).filter(|l| mass < *l) {
            found.push(Breach::TooLight(mass, least));
        }
    }
    let ratio = letter.long / letter.short.max(f64::MIN_POSITIVE);
    let (least, most) = (value(post.min_ratio), value(post.max_ratio));
    // The tolerance of a size is one of its ratio too.
    let eased = (letter.long + slack) / (letter.short - slack).max(f64::MIN_POSITIVE);
    if least.is_some_and(|l| eased < l) || most.is_some_and(|m| ratio > m + 1e-9) {
        found.push(match post.outside_ratio {
            OutsideRatio::Refuse => Breach::Shape(ratio, least, most),
            OutsideRatio::Surcharge => Breach::ShapeCharged(ratio, least, most),
        });
    }
    found
}

fn report(
    breach: Breach,
    post: &'static Post,
    choice: &PostChoice,
    envelope: Option<&Envelope>,
    packet: &Packet,
    sink: &mut Findings,
) {
    let posted = || Posted {
        title: post.title,
        as_of: post.as_of,
        place: choice.span,
        asked: packet.asked,
        in_envelope: envelope.is_some(),
        layers: packet.layers.clone(),
        estimated: packet.estimated.clone(),
        deep: envelope.and_then(|e| Inside::of(e).depth),
    };
    match breach {
        Breach::TooLarge(side, found_mm, limit) => {
            sink.report(found::PostTooLarge { posted: posted(), side, found: found_mm, limit });
        }
        Breach::TooSmall(side, found_mm, limit) => {
            sink.report(found::PostTooSmall { posted: posted(), side, found: found_mm, limit });
        }
        Breach::TooThick(found_mm, limit) => {
            sink.report(found::PostThickness { posted: posted(), found: found_mm, limit, over: true });
        }
        Breach::TooThin(found_mm, limit) => {
            sink.report(found::PostThickness { posted: posted(), found: found_mm, limit, over: false });
        }
        Breach::TooHeavy(grams, limit) => {
            sink.report(found::PostMass { posted: posted(), found: grams, limit, over: true });
        }
        Breach::TooLight(grams, limit) => {
            sink.report(found::PostMass { posted: posted(), found: grams, limit, over: false });
        }
        Breach::Shape(ratio, least, most) => {
            sink.report(found::PostShape { posted: posted(), ratio, least, most });
        }
        Breach::ShapeCharged(ratio, least, most) => {
            sink.report(found::PostSurcharge {
                posted: posted(),
                because: Surcharged::Ratio { ratio, least, most },
            });
        }
        Breach::Uneven(found_mm, limit) => {
            sink.report(found::PostSurcharge {
                posted: posted(),
                because: Surcharged::Uneven { found: found_mm, limit },
            });
        }
        Breach::ThinCharged(found_mm, limit) => {
            sink.report(found::PostSurcharge {
                posted: posted(),
                because: Surcharged::Thin { found: found_mm, limit },
            });
        }
    }
}
