//! Drawings as data, in millimetres, with y downward: what is on a page, before any file format.
//!
//! - [`display`] holds the display list: lines, fills and text, each in a named [`operation`].
//! - [`line`](mod@line) says how each kind of line looks: width, grey and ISO 128 dashes.
//! - [`text`] measures text with the widths of a `text::Typeface`, given by whoever owns the font.
//! - [`curve`] makes circles and arcs; [`hatch`] fills areas with lines; [`symbol`] draws signs as paths.
//! - [`clearance`] keeps record of what is already on the paper, so that labels keep clear of it.
//! - [`dimension`] places readings from an edge around a piece; [`label`] places names inside panels.
//! - [`net`](mod@net) draws the net of a piece; [`view`] a pose, with hidden parts taken away, [`picture`]
//!   prints and [`lettering`]; [`spatial`] its sizes in the plane of the paper.
//! - [`printed`] draws a piece to be printed on its own paper, with its back and with bleed.
//! - [`step`](mod@step) draws what is done in a step of the making order.
//! - [`pages`] puts figures on paper, tiles what is larger, and puts test bars on every page.
//!
//! Nothing here knows a file format, a font file or a terminal.

pub mod clearance;
pub mod curve;
pub mod dimension;
pub mod display;
pub mod hatch;
pub mod label;
pub mod lettering;
pub mod line;
pub mod net;
pub mod operation;
pub mod pages;
pub mod picture;
pub mod printed;
pub mod spatial;
pub mod step;
pub mod symbol;
pub mod text;
pub mod view;

pub use display::{Colour, Drawing, Figure, Ink, Mark, Paint, Part};
pub use line::LineKind;
pub use operation::Operation;
pub use printed::Image;
pub use text::{Anchor, Text, Typeface};
