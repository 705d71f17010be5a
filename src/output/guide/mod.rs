//! The guide: one page that tells how the card is made, and the same as Markdown.
//!
//! ```text
//! assembly, poses, cut list, sheet plan, making order -> content (blocks) -> html / markdown
//! ```
//!
//! The content is worked out once and knows no format; each format is one file. Every fixed word is in [`words`].

pub mod block;
mod content;
mod html;
mod markdown;
mod moving;
pub mod words;

use super::kit::{KitError, Source};
use super::plan::PaperPlan;
use crate::making::Making;
use block::{Block, Guide, Picture};

pub use moving::{Frames, animation, exploded, frames};

/// What a guide is made from, besides the kit's source.
pub struct Material<'a> {
    pub source: &'a Source<'a>,
    pub making: &'a Making,
    pub plans: &'a [PaperPlan],
    /// By motion of the assembly.
    pub motions: &'a [Frames],
}

/// The guide as data.
pub fn guide(material: &Material) -> Guide {
    content::guide(material, &words::ENGLISH)
}

/// `guide.html`: whole in itself.
pub fn html(guide: &Guide) -> String {
    html::page(guide, &words::ENGLISH)
}

/// `guide.md`: with the pictures of the kit.
pub fn markdown(guide: &Guide) -> String {
    markdown::page(guide, &words::ENGLISH)
}

/// The file of the exploded card, and where the drawings of the steps are.
pub const EXPLODED: &str = "exploded.png";
pub const STEPS: &str = "steps/";

/// The pictures of the guide that no other file of the kit shows: the steps, and the card with its layers apart.
pub fn own_pictures(guide: &Guide) -> impl Iterator<Item = &Picture> {
    guide
        .sections
        .iter()
        .flat_map(|s| &s.blocks)
        .flat_map(pictures_of)
        .filter(|p| p.file == EXPLODED || p.file.starts_with(STEPS))
}

fn pictures_of(block: &Block) -> Vec<&Picture> {
    match block {
        Block::Step { picture, .. } => picture.iter().collect(),
        Block::Pictures(pictures) => pictures.iter().collect(),
        _ => Vec::new(),
    }
}

/// The picture of links: 1200 × 630 pixels.
pub fn poster(source: &Source) -> Result<Vec<u8>, KitError> {
    moving::poster(source)
}
