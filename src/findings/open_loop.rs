//! What is measured where a loop of parts stays open.

use super::{Named, Say};
use crate::source::Span;

/// What kind of joint it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfitting {
    Glue,
    Fold,
    Brad,
    Slide,
}

/// A joint that would have to go beyond its range for the loop to close.
#[derive(Debug, Clone, PartialEq)]
pub struct GoesBeyond {
    pub joint: Named,
    /// Degrees, or mm of a slide.
    pub by: f64,
    pub slides: bool,
    /// A fold that would have to fold the other way.
    pub other_way: bool,
    /// Below its lowest value, rather than above its highest.
    pub low: bool,
    /// The end that it goes beyond, in words: "left", and its value.
    pub end: Option<&'static str>,
    pub at: Option<f64>,
    /// Where a statement says that value.
    pub literal: Option<Span>,
}

impl GoesBeyond {
    /// A value of the joint in words.
    pub fn say(&self, value: f64, say: &Say) -> String {
        if self.slides { say.length(value) } else { say.angle(value) }
    }
}
