//! Published sizes by the names a design calls them: sheets of paper, envelopes, and what posts accept.
//!
//! The rows stand in three tables beside this file, each row with its standard and source. Sizes are exact: metric
//! ones in mm, US ones in fractions of an inch (1 in = 25.4 mm). Names are looked up as the words of the language,
//! `["us", "A2"]`, in their own case; what is near a name is the business of suggestions.

mod envelope;
mod post;
mod sheet;
mod table;

pub use envelope::{Envelope, envelope, envelope_names, envelopes};
pub use post::{OutsideRatio, Post, post, post_classes, post_names, posts};
pub use sheet::{Sheet, sheet, sheet_names, sheets};
