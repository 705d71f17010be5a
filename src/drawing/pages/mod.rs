//! Pages: figures on A4 or US letter at true size.
//!
//! Small figures share a page ([`shelf`]); a figure larger than the page is cut into tiles with an overlap ([`tile`]).
//! Every page carries its title and test bars ([`frame`]).

pub mod frame;
pub mod shelf;
pub mod tile;

use super::display::{Drawing, Figure};
use super::text::{Typeface, printable};
use kurbo::Size;

/// Paper to print on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8 1/2 × 11 in.
    Letter,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Orientation {
    Portrait,
    Landscape,
}

impl Paper {
    /// Width and height in mm.
    pub fn size(self, orientation: Orientation) -> Size {
        let portrait = match self {
            Paper::A4 => Size::new(210.0, 297.0),
            Paper::Letter => Size::new(8.5 * 25.4, 11.0 * 25.4),
        };
        match orientation {
            Orientation::Portrait => portrait,
            Orientation::Landscape => Size::new(portrait.height, portrait.width),
        }
    }
}

/// One page, ready for a back end.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    pub drawing: Drawing,
    /// Short and unique in its document: `1`, `2`, or `Shell A2` for a tile.
    pub label: String,
    /// For the list of bookmarks.
    pub name: String,
}

/// The pages, and what would not go on any sensible number of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pages {
    pub pages: Vec<Page>,
    /// Figures that would need more than [`tile::MOST_TILES`] pages each.
    pub too_large: Vec<TooLarge>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct TooLarge {
    pub title: String,
    /// Width and height in mm.
    pub size: Size,
    /// How many pages it would take.
    pub tiles: f64,
}

/// A page before it has its frame: what lies on it, and what its frame says.
pub(super) struct Sheet {
    orientation: Orientation,
    /// Figures in the order of the first one on the sheet.
    first: usize,
    label: Option<String>,
    name: String,
    /// A second line under the title.
    note: Option<String>,
    parts: Vec<super::Part>,
}

/// Lays figures out on pages. `heading` is the document's title and stands on every page.
pub fn lay_out(heading: &str, figures: &[Figure], paper: Paper, typeface: &Typeface) -> Pages {
    let mut sheets = Vec::new();
    let mut too_large = Vec::new();
    for orientation in [Orientation::Portrait, Orientation::Landscape] {
        let room = frame::room(paper.size(orientation));
        let fitting: Vec<(usize, &Figure)> = figures
            .iter()
            .enumerate()
            .filter(|(_, figure)| best_orientation(figure, paper) == Some(orientation))
            .collect();
        sheets.extend(shelf::shelve(&fitting, room, orientation, typeface));
    }
    for (index, figure) in figures.iter().enumerate() {
        if best_orientation(figure, paper).is_none() {
            match tile::tile(index, figure, paper, typeface) {
                Ok(tiles) => sheets.extend(tiles),
                Err(error) => too_large.push(error),
            }
        }
    }
    sheets.sort_by_key(|sheet| sheet.first);
    let count = sheets.len();
    let pages = sheets
        .into_iter()
        .enumerate()
        .map(|(index, sheet)| finish(heading, sheet, index + 1, count, paper, typeface))
        .collect();
    Pages { pages, too_large }
}

/// The orientation a figure fits whole, upright first.
fn best_orientation(figure: &Figure, paper: Paper) -> Option<Orientation> {
    [Orientation::Portrait, Orientation::Landscape].into_iter().find(|orientation| {
        let room = frame::room(paper.size(*orientation));
        let size = figure.bounds.size();
        size.width <= room.width() && size.height <= room.height()
    })
}

fn finish(
    heading: &str,
    sheet: Sheet,
    number: usize,
    count: usize,
    paper: Paper,
    typeface: &Typeface,
) -> Page {
    let size = paper.size(sheet.orientation);
    let label = sheet.label.unwrap_or_else(|| number.to_string());
    let words = frame::Words {
        heading: &printable(heading),
        name: &printable(&sheet.name),
        note: sheet.note.as_deref(),
        count: &format!("page {number} of {count}"),
    };
    let mut parts = sheet.parts;
    parts.push(super::Part { clip: None, marks: frame::frame(size, &words, typeface) });
    let title = format!("{heading}: {}", sheet.name);
    Page { drawing: Drawing { title: printable(&title), size, parts }, label, name: sheet.name }
}
