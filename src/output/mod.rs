//! File formats. Each writer reads a drawing (or the assembly) and gives bytes; only [`folder`] touches the disk.
//!
//! - [`svg::write`]: one picture or page, sized in mm, one group per operation.
//! - [`pdf::write`]: a document of pages, one layer per operation with ISO 19593-1 metadata, text that can be selected.
//! - [`png::write`]: a picture in pixels, drawn with the bundled font only.
//! - [`cutting`]: paths for a cutting machine as SVG, [`dxf`] the same as DXF.
//! - [`gltf`]: poses and motions as bodies in space.
//! - [`guide`]: the page that tells how the card is made, and the same as Markdown.
//! - [`plan`]: how the pieces come out of their sheets.
//! - [`folder::replace`]: a set of files written whole or not at all.
//! - [`font`]: the bundled typeface and its measure.
//!
//! The same drawing gives the same bytes on every run: no clock, no random numbers, no hash order.

mod along;
pub mod cut_list;
pub mod cutting;
mod data;
pub mod dxf;
pub mod fingerprint;
pub mod folder;
pub mod font;
pub mod gltf;
pub mod guide;
pub mod kit;
pub mod model;
pub mod pdf;
pub mod plan;
pub mod png;
pub mod svg;
