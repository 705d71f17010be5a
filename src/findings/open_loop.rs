//! What is measured where a loop of parts stays open.

use super::Named;

/// What kind of joint it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfitting {
    Glue,
    Fold,
    Brad,
    Slide,
}

/// A joint that would have to go beyond its range for the loop to close.
pub struct GoesBeyond {
    pub joint: Named,
    /// Degrees, or mm of a slide.
    pub by: f64,
    pub slides: bool,
    /// A fold that would have to fold the other way.
    pub other_way: bool,
}
