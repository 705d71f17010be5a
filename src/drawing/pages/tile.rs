//! A figure larger than the page, cut into tiles: rows A, B, C … and columns 1, 2, 3 …, each overlapping its neighbour.
//!
//! Neighbouring tiles are joined on a line in the middle of their overlap. Both carry a mark at each end of that line,
//! outside the drawing: one page is cut from mark to mark and laid over the other until the marks meet.

use super::{Orientation, Sheet, Stock, TooLarge};
use crate::drawing::curve;
use crate::drawing::display::{Figure, Mark, Part};
use crate::drawing::line::LineKind;
use crate::drawing::operation::Operation;
use crate::drawing::text::{Text, Typeface};
use kurbo::{Point, Rect, Size, Vec2};

/// What neighbouring tiles both show.
pub const OVERLAP_MM: f64 = 10.0;
/// A figure that needs more pages than this is refused: it is a slip of the pen, not a card.
pub const MOST_TILES: usize = 100;
/// The border of a tile, where its marks and the names of its neighbours stand.
const BORDER_MM: f64 = 5.0;
const MARK_MM: f64 = 4.0;
/// Between the drawing and a mark.
const TICK_GAP_MM: f64 = 0.5;
const NEIGHBOUR_SIZE_MM: f64 = 3.0;

struct Grid {
    orientation: Orientation,
    /// What one tile shows, in mm on the page.
    window: Rect,
    columns: usize,
    rows: usize,
    /// From one tile to the next.
    step: Size,
}

impl Grid {
    fn new(size: Size, stock: Stock, orientation: Orientation) -> Grid {
        let window = stock.room(orientation).inset(-BORDER_MM);
        let step = Size::new(window.width() - OVERLAP_MM, window.height() - OVERLAP_MM);
        let count = |length: f64, step: f64| ((length - OVERLAP_MM) / step).ceil().clamp(1.0, 1e4) as usize;
        Grid {
            orientation,
            window,
            columns: count(size.width, step.width),
            rows: count(size.height, step.height),
            step,
        }
    }

    fn tiles(&self) -> usize {
        self.columns * self.rows
    }

    fn offset(&self, row: usize, column: usize) -> Vec2 {
        Vec2::new(column as f64 * self.step.width, row as f64 * self.step.height)
    }
}

pub(super) fn tile(
    index: usize,
    figure: &Figure,
    stock: Stock,
    typeface: &Typeface,
) -> Result<Vec<Sheet>, TooLarge> {
    let size = figure.bounds.size();
    let upright = Grid::new(size, stock, Orientation::Portrait);
    let across = Grid::new(size, stock, Orientation::Landscape);
    let grid = if across.tiles() < upright.tiles() { across } else { upright };
    if grid.tiles() > MOST_TILES || !size.is_finite() {
        return Err(TooLarge { title: figure.title.clone(), size, tiles: grid.tiles() as f64 });
    }
    let mut sheets = Vec::new();
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            sheets.extend(one_tile(index, figure, &grid, row, column, typeface));
        }
    }
    Ok(sheets)
}

/// One tile, or `None` when nothing of the figure falls on it.
fn one_tile(
    index: usize,
    figure: &Figure,
    grid: &Grid,
    row: usize,
    column: usize,
    typeface: &Typeface,
) -> Option<Sheet> {
    let corner = figure.bounds.origin() + grid.offset(row, column);
    let shown = Rect::from_origin_size(corner, grid.window.size());
    let to_page = grid.window.origin() - corner;
    let on_tile = |marks: &[Mark]| -> Vec<Mark> {
        let here = marks.iter().filter(|mark| mark.touches(shown, typeface));
        here.map(|mark| mark.moved(to_page)).collect()
    };
    let (marks, back) = (on_tile(&figure.marks), on_tile(&figure.back));
    if marks.is_empty() && back.is_empty() {
        return None;
    }
    let name = tile_name(row, column);
    Some(Sheet {
        orientation: grid.orientation,
        first: index,
        label: Some(format!("{} {name}", figure.title)),
        name: format!("{} {name}", figure.title),
        note: Some(note(grid, row, column)),
        parts: vec![
            Part { clip: Some(grid.window), marks },
            Part { clip: None, marks: border(grid, row, column, typeface) },
        ],
        back: vec![Part { clip: Some(grid.window), marks: back }],
    })
}

/// The second line of the title: where the tile belongs, and how it is joined.
fn note(grid: &Grid, row: usize, column: usize) -> String {
    let name = tile_name(row, column);
    let place = format!("Sheet {name} of {} rows by {} columns.", grid.rows, grid.columns);
    let [_, right, _, below] = neighbours(grid, row, column);
    match [right, below].into_iter().flatten().collect::<Vec<_>>().as_slice() {
        [] => format!("{place} Lay its neighbours over it, marks on marks."),
        over => format!(
            "{place} Cut along the marks beside {} and lay this sheet over, marks on marks.",
            over.join(" and beside ")
        ),
    }
}

/// The names of the neighbours at the left, right, top and bottom.
fn neighbours(grid: &Grid, row: usize, column: usize) -> [Option<String>; 4] {
    [
        column.checked_sub(1).map(|left| tile_name(row, left)),
        (column + 1 < grid.columns).then(|| tile_name(row, column + 1)),
        row.checked_sub(1).map(|above| tile_name(above, column)),
        (row + 1 < grid.rows).then(|| tile_name(row + 1, column)),
    ]
}

/// Marks at both ends of every edge along which the tile is joined or ends, and the name of each neighbour. A joined edge
/// runs in the middle of the overlap.
fn border(grid: &Grid, row: usize, column: usize, typeface: &Typeface) -> Vec<Mark> {
    let window = grid.window;
    let neighbours = neighbours(grid, row, column);
    let inset = |neighbour: &Option<String>| if neighbour.is_some() { OVERLAP_MM / 2.0 } else { 0.0 };
    let [left, right, above, below] = &neighbours;
    let kept = Rect::new(
        window.x0 + inset(left),
        window.y0 + inset(above),
        window.x1 - inset(right),
        window.y1 - inset(below),
    );
    let mut marks = Vec::new();
    let mut tick = |from: Point, out: Vec2| {
        let path = curve::segment(from + out * TICK_GAP_MM, from + out * (TICK_GAP_MM + MARK_MM));
        marks.push(Mark::line(LineKind::Registration, path));
    };
    for x in [kept.x0, kept.x1] {
        tick(Point::new(x, window.y0), Vec2::new(0.0, -1.0));
        tick(Point::new(x, window.y1), Vec2::new(0.0, 1.0));
    }
    for y in [kept.y0, kept.y1] {
        tick(Point::new(window.x0, y), Vec2::new(-1.0, 0.0));
        tick(Point::new(window.x1, y), Vec2::new(1.0, 0.0));
    }
    let middle = window.center();
    let half = BORDER_MM / 2.0;
    let places = [
        (Point::new(window.x0 - half, middle.y), -90.0),
        (Point::new(window.x1 + half, middle.y), -90.0),
        (Point::new(middle.x, window.y0 - half), 0.0),
        (Point::new(middle.x, window.y1 + half), 0.0),
    ];
    for (neighbour, (at, rotation)) in neighbours.iter().zip(places) {
        if let Some(name) = neighbour {
            let text = Text::centred(&format!("to {name}"), at, NEIGHBOUR_SIZE_MM, rotation, typeface);
            marks.push(Mark::text(Operation::Legend, text));
        }
    }
    marks
}

/// `A1` for the first row and column; rows past Z go on with AA, AB …
pub fn tile_name(row: usize, column: usize) -> String {
    let mut letters = String::new();
    let mut rest = row + 1;
    while rest > 0 {
        let digit = (rest - 1) % 26;
        letters.insert(0, (b'A' + digit as u8) as char);
        rest = (rest - 1) / 26;
    }
    format!("{letters}{}", column + 1)
}

#[cfg(test)]
mod tests {
    use super::super::Paper;
    use super::*;

    #[test]
    fn tiles_are_named_by_row_and_column() {
        assert_eq!([tile_name(0, 0), tile_name(1, 2), tile_name(26, 0)], ["A1", "B3", "AA1"]);
    }

    #[test]
    fn tiles_cover_the_figure_with_the_stated_overlap() {
        let stock = Stock { paper: Paper::A4, two_sided: false };
        let grid = Grid::new(Size::new(420.0, 594.0), stock, Orientation::Portrait);
        let reach = grid.offset(grid.rows - 1, grid.columns - 1) + grid.window.size().to_vec2();
        assert!(reach.x >= 420.0 && reach.y >= 594.0);
        assert_eq!(grid.window.width() - grid.step.width, OVERLAP_MM);
    }
}
