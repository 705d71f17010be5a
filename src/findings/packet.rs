//! What the findings of envelope and post share.

use super::{Say, Telling};
use crate::source::Span;

/// How a card lies in its envelope; lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct EnvelopeFit {
    pub envelope: String,
    /// The envelope's name or size in the design.
    pub place: Span,
    pub inside: (f64, f64),
    /// Of a box.
    pub depth: Option<f64>,
    /// Long side, short side, thickness.
    pub card: (f64, f64, f64),
    pub pose: String,
    /// The claim that asks.
    pub asked: Option<Span>,
    /// What lies over each other where the card is thickest.
    pub layers: Vec<String>,
    /// Papers whose thickness there is estimated from their weight.
    pub estimated: Vec<String>,
    /// Left of the long side, the short side, and a box's depth, with the card's thickness taken off.
    pub left: (f64, f64, Option<f64>),
    /// An envelope that would do, as a design names it.
    pub better: Option<String>,
}

impl EnvelopeFit {
    /// "the card is 105 mm by 148 mm and 0.8 mm thick in `shut`".
    pub fn card_said(&self, say: &Say) -> String {
        let (long, short, thick) = self.card;
        format!("the card is {} and {} thick in `{}`", say.size(short, long), say.thickness(thick), self.pose)
    }

    pub fn envelope_said(&self, say: &Say) -> String {
        let (width, height) = self.inside;
        let name =
            if self.envelope == "your own" { "an envelope".into() } else { format!("a {}", self.envelope) };
        let size = say.size(width.min(height), width.max(height));
        match self.depth {
            Some(depth) => format!("{name} of {size} and {} deep", say.thickness(depth)),
            None => format!("{name} of {size}"),
        }
    }

    /// The parts that all findings of an envelope have.
    pub fn telling(&self, message: String) -> Telling {
        let mut telling = Telling::new(self.place, message);
        if let Some(span) = self.asked {
            telling = telling.other(span, "claimed here");
        }
        let thickest = (self.layers.len() > 2)
            .then(|| format!("thickest where {} lie over each other", self.layers.join(", ")));
        let whys: Vec<String> = thickest.into_iter().chain(estimate_said(&self.estimated)).collect();
        if !whys.is_empty() {
            telling = telling.why(whys.join("; "));
        }
        if let Some(better) = &self.better {
            telling = telling.propose(self.place, better.clone(), false);
        }
        if let Some(depth) = self.left.2 {
            telling = telling.measured("left-depth", depth, "mm");
        }
        telling
            .measured("long", self.card.0, "mm")
            .measured("short", self.card.1, "mm")
            .measured("thickness", self.card.2, "mm")
            .measured("left-long", self.left.0, "mm")
            .measured("left-short", self.left.1, "mm")
    }
}

/// "the thickness of `board` is estimated from its weight".
pub fn estimate_said(papers: &[String]) -> Option<String> {
    let names: Vec<String> = papers.iter().map(|p| format!("`{p}`")).collect();
    (!names.is_empty()).then(|| format!("the thickness of {} is estimated: measure it", names.join(" and ")))
}

/// The article before a name.
pub fn article(name: &str) -> &'static str {
    // "a USPS letter", "a UPU letter": a `U` that is spelled is said "you".
    if name.starts_with(['A', 'E', 'I', 'O', 'a', 'e', 'i', 'o']) { "an" } else { "a" }
}

/// By whose rules a card is posted.
#[derive(Debug, Clone, PartialEq)]
pub struct Posted {
    /// "Royal Mail letter".
    pub title: &'static str,
    /// "as of 2026-11".
    pub as_of: &'static str,
    /// The post statement.
    pub place: Span,
    /// The claim that asks.
    pub asked: Option<Span>,
    /// Measured in its envelope, whose paper is estimated.
    pub in_envelope: bool,
    pub layers: Vec<String>,
    /// Papers whose thickness there is estimated from their weight.
    pub estimated: Vec<String>,
    /// The least side of the box that it is sent in, mm.
    pub deep: Option<f64>,
}

impl Posted {
    /// "a Royal Mail letter".
    pub fn class(&self) -> String {
        format!("{} {}", article(self.title), self.title)
    }

    /// "the card" or "the card in its envelope".
    pub fn what(&self) -> &'static str {
        if self.in_envelope { "the card in its envelope" } else { "the card" }
    }

    pub fn telling(&self, message: String) -> Telling {
        let telling =
            Telling::new(self.place, message).why(format!("limits of {}, {}", self.title, self.as_of));
        match self.asked {
            Some(span) => telling.other(span, "claimed here"),
            None => telling,
        }
    }
}

/// Why a letter is charged extra.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surcharged {
    /// Long side over short side.
    Ratio { ratio: f64, least: Option<f64>, most: Option<f64> },
    /// mm.
    Thin { found: f64, limit: f64 },
    /// So much thicker at one place than at another, mm.
    Uneven { found: f64, limit: f64 },
}

/// "1.3 to 2.5", "at least 1.4".
pub fn ratio_said(least: Option<f64>, most: Option<f64>) -> String {
    match (least, most) {
        (Some(l), Some(m)) => {
            format!("{} to {}", crate::quantity::say_number(l), crate::quantity::say_number(m))
        }
        (Some(l), None) => format!("at least {}", crate::quantity::say_number(l)),
        (None, Some(m)) => format!("at most {}", crate::quantity::say_number(m)),
        (None, None) => "any".into(),
    }
}
