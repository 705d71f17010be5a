//! Pages: figures on A4 or US letter at true size.
//!
//! Small figures share a page ([`shelf`]); a figure larger than the page is cut into tiles with an overlap ([`tile`]).
//! Every page carries its title and test bars ([`frame`]). Where a figure has a back, every page has one: its mirror image
//! about the page's long edge, with marks on both by which the faces are brought into register.

pub mod frame;
pub mod shelf;
pub mod tile;

use super::display::{Drawing, Figure};
use super::text::{Typeface, printable};
use kurbo::{Affine, Rect, Size};

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
    /// What lies on the back of the paper, as seen through the front.
    back: Vec<super::Part>,
}

/// The paper, and whether both its faces are printed.
#[derive(Clone, Copy)]
pub(super) struct Stock {
    paper: Paper,
    two_sided: bool,
}

impl Stock {
    fn size(self, orientation: Orientation) -> Size {
        self.paper.size(orientation)
    }

    /// What is free for figures, on the front and, mirrored, on the back.
    fn room(self, orientation: Orientation) -> Rect {
        let room = frame::room(self.size(orientation));
        if !self.two_sided {
            return room;
        }
        let there = mirror(self.size(orientation), orientation).transform_rect_bbox(room);
        room.intersect(there)
    }
}

/// Turning the paper over on its long edge.
fn mirror(size: Size, orientation: Orientation) -> Affine {
    match orientation {
        Orientation::Portrait => Affine::new([-1.0, 0.0, 0.0, 1.0, size.width, 0.0]),
        Orientation::Landscape => Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, size.height]),
    }
}

/// Figures that go onto the same paper, and what is said of it on every page.
pub struct Group<'a> {
    pub note: Option<String>,
    pub figures: &'a [Figure],
}

/// Lays figures out on pages. `heading` is the document's title and stands on every page.
pub fn lay_out(heading: &str, figures: &[Figure], paper: Paper, typeface: &Typeface) -> Pages {
    lay_out_groups(heading, &[Group { note: None, figures }], paper, typeface)
}

/// The same for groups that share no page.
pub fn lay_out_groups(heading: &str, groups: &[Group], paper: Paper, typeface: &Typeface) -> Pages {
    let two_sided = groups.iter().flat_map(|g| g.figures).any(|figure| !figure.back.is_empty());
    let stock = Stock { paper, two_sided };
    let mut pages = Pages::default();
    let mut sheets = Vec::new();
    for group in groups {
        let (mut of_group, too_large) = shelved(group.figures, stock, typeface);
        for sheet in &mut of_group {
            let notes = [group.note.clone(), sheet.note.take()].into_iter().flatten().collect::<Vec<_>>();
            sheet.note = (!notes.is_empty()).then(|| notes.join(". "));
        }
        sheets.extend(of_group);
        pages.too_large.extend(too_large);
    }
    let count = sheets.len() * if two_sided { 2 } else { 1 };
    for sheet in sheets {
        let number = pages.pages.len() + 1;
        let label = sheet.label.clone().unwrap_or_else(|| number.to_string());
        let back = two_sided.then(|| back_of(&sheet, &label, stock, typeface));
        let finished = |sheet, label, number| {
            let count = format!("page {number} of {count}");
            finish(heading, sheet, label, &count, stock, typeface)
        };
        pages.pages.push(finished(sheet, label, number));
        if let Some((sheet, label)) = back {
            pages.pages.push(finished(sheet, label, number + 1));
        }
    }
    pages
}

/// The sheets of figures that may share pages, in the order of their first figures.
fn shelved(figures: &[Figure], stock: Stock, typeface: &Typeface) -> (Vec<Sheet>, Vec<TooLarge>) {
    let mut sheets = Vec::new();
    let mut too_large = Vec::new();
    for orientation in [Orientation::Portrait, Orientation::Landscape] {
        let room = stock.room(orientation);
        let fitting: Vec<(usize, &Figure)> = figures
            .iter()
            .enumerate()
            .filter(|(_, figure)| best_orientation(figure, stock) == Some(orientation))
            .collect();
        sheets.extend(shelf::shelve(&fitting, room, orientation, typeface));
    }
    for (index, figure) in figures.iter().enumerate() {
        if best_orientation(figure, stock).is_none() {
            match tile::tile(index, figure, stock, typeface) {
                Ok(tiles) => sheets.extend(tiles),
                Err(error) => too_large.push(error),
            }
        }
    }
    sheets.sort_by_key(|sheet| sheet.first);
    (sheets, too_large)
}

const TURN_OVER: &str = "Print on both sides, turned over on the long edge; hold it against the light: \
    the crosses must meet.";

/// The back of a sheet and its label: what lies there mirrored about the long edge of the page, so that it falls in its
/// place whichever way up the page stands.
fn back_of(sheet: &Sheet, label: &str, stock: Stock, typeface: &Typeface) -> (Sheet, String) {
    let mirror = mirror(stock.size(sheet.orientation), sheet.orientation);
    let turned = |part: &super::Part| super::Part {
        clip: part.clip.map(|clip| mirror.transform_rect_bbox(clip)),
        marks: part.marks.iter().map(|mark| mark.mirrored(mirror, typeface)).collect(),
    };
    let back = Sheet {
        orientation: sheet.orientation,
        first: sheet.first,
        label: None,
        name: format!("back of {}", sheet.name),
        note: Some(TURN_OVER.into()),
        parts: sheet.back.iter().map(turned).collect(),
        back: Vec::new(),
    };
    (back, format!("{label} back"))
}

/// The orientation a figure fits whole, upright first.
fn best_orientation(figure: &Figure, stock: Stock) -> Option<Orientation> {
    [Orientation::Portrait, Orientation::Landscape].into_iter().find(|orientation| {
        let room = stock.room(*orientation);
        let size = figure.bounds.size();
        size.width <= room.width() && size.height <= room.height()
    })
}

fn finish(
    heading: &str,
    sheet: Sheet,
    label: String,
    count: &str,
    stock: Stock,
    typeface: &Typeface,
) -> Page {
    let size = stock.size(sheet.orientation);
    let words = frame::Words {
        heading: &printable(heading),
        name: &printable(&sheet.name),
        note: sheet.note.as_deref(),
        count,
        register: stock.two_sided,
    };
    let mut parts = sheet.parts;
    parts.push(super::Part { clip: None, marks: frame::frame(size, &words, typeface) });
    let title = format!("{heading}: {}", sheet.name);
    Page { drawing: Drawing { title: printable(&title), size, parts }, label, name: sheet.name }
}
