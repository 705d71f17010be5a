//! Words with lengths in them that are not yet spoken: the same sentence can be said in inches or in millimetres.

use crate::quantity::{Units, say_length};

#[derive(Debug, Clone, PartialEq)]
pub enum Bit {
    Text(String),
    /// mm.
    Length(f64),
}

/// A sentence or a few.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Phrase {
    pub bits: Vec<Bit>,
}

impl Phrase {
    pub fn text(text: &str) -> Self {
        Self::default().then(text)
    }

    /// Adds words.
    pub fn then(mut self, text: &str) -> Self {
        match self.bits.last_mut() {
            Some(Bit::Text(before)) => before.push_str(text),
            _ => self.bits.push(Bit::Text(text.into())),
        }
        self
    }

    /// Adds a length in mm.
    pub fn length(mut self, mm: f64) -> Self {
        self.bits.push(Bit::Length(mm));
        self
    }

    pub fn join(mut self, other: Phrase) -> Self {
        for bit in other.bits {
            self = match bit {
                Bit::Text(text) => self.then(&text),
                Bit::Length(mm) => self.length(mm),
            };
        }
        self
    }

    pub fn say(&self, units: Units) -> String {
        self.bits
            .iter()
            .map(|bit| match bit {
                Bit::Text(text) => text.clone(),
                Bit::Length(mm) => say_length(*mm, units),
            })
            .collect()
    }
}
