//! A printed picture as a grid of coloured cells, and the grid as filled areas: pictures lie on leaves that are seen at
//! an angle and partly hidden, so that they are clipped and placed like any other area.
//!
//! Knows no file format; whoever reads the file makes the cells.

use std::collections::BTreeMap;

use super::Colour;
use crate::geometry::{Point, Polygon, Rect, Region, pt};

/// Cells of the longer side, at most.
pub const MOST_CELLS: u32 = 96;
/// Cells reach this far (of their size) under their neighbours, so that no seam of paper shows between them.
const OVERLAP: f64 = 0.08;
/// Colours that differ by less than this in every channel are one area.
const STEP: u8 = 12;

/// Colours row by row from the top left; `None` where the paper shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Cells {
    pub columns: usize,
    pub rows: usize,
    pub colours: Vec<Option<Colour>>,
}

impl Cells {
    /// One area for each colour, filling `room` (y down).
    pub fn areas(&self, room: Rect) -> Vec<(Colour, Region)> {
        let mut areas: BTreeMap<Colour, Region> = BTreeMap::new();
        let (width, height) =
            (room.width() / self.columns.max(1) as f64, room.height() / self.rows.max(1) as f64);
        for (row, colours) in self.colours.chunks(self.columns.max(1)).enumerate().take(self.rows) {
            let coarse: Vec<Option<Colour>> = colours.iter().map(|c| c.map(stepped)).collect();
            let mut column = 0;
            for run in coarse.chunk_by(|a, b| a == b) {
                let (from, to) = (column as f64, (column + run.len()) as f64);
                column += run.len();
                let Some(Some(colour)) = run.first() else { continue };
                let x = |cells: f64| room.min.x + (cells * width).min(room.width());
                let y = |cells: f64| (room.min.y + cells * height).min(room.max.y);
                let (top, bottom) = (row as f64, row as f64 + 1.0 + OVERLAP);
                let corners = Rect::of_corners(pt(x(from), y(top)), pt(x(to + OVERLAP), y(bottom)));
                areas.entry(*colour).or_default().push(Polygon::rectangle(corners));
            }
        }
        areas.into_iter().collect()
    }
}

/// The colour rounded to its step, in every channel.
fn stepped(colour: Colour) -> Colour {
    let channel = |c: u8| {
        let step = u16::from(STEP);
        let rounded = (u16::from(c) + step / 2) / step * step;
        rounded.min(255) as u8
    };
    Colour { red: channel(colour.red), green: channel(colour.green), blue: channel(colour.blue) }
}

/// Every polygon with its points moved.
pub fn moved(region: &[Polygon], place: impl Fn(Point) -> Point) -> Region {
    region.iter().map(|p| p.mapped(&place)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_of_a_chequer_share_the_room() {
        let (black, white) = (Some(Colour::BLACK), None);
        let cells = Cells { columns: 2, rows: 2, colours: vec![black, white, white, black] };
        let room = Rect::new(10.0, 20.0, 8.0, 4.0);
        let front = cells.areas(room);
        assert_eq!(front.len(), 1);
        let area: f64 = front[0].1.iter().map(Polygon::area).sum();
        assert!((area - 16.0).abs() < 16.0 * 0.2, "{area}");
        assert!(front[0].1[0].contains_strictly(pt(11.0, 21.0)));
    }
}
