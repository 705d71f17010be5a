//! Sets of grid cells, a bit each.

use crate::geometry::Polygon;
use crate::geometry::{Point, Segment, pt};

/// The cells of a shape: all that it touches, and some beyond.
#[derive(Clone, Debug)]
pub(super) struct Raster {
    rows: Vec<Vec<u64>>,
}

impl Raster {
    /// Cells of side `cell`, the first at `corner`, whose centre is within `reach` of the polygon. With `reach` at least
    /// half the diagonal of a cell these are all the cells that the polygon touches.
    pub(super) fn of(polygon: &Polygon, corner: Point, cell: f64, reach: f64) -> Self {
        let bounds = polygon.bounds();
        let count = |side: f64| ((side + 2.0 * reach) / cell).ceil().max(1.0) as usize;
        let (columns, rows) = (count(bounds.width()), count(bounds.height()));
        let mut raster = Self { rows: vec![vec![0; columns.div_ceil(64)]; rows] };
        raster.fill_inside(polygon, corner, cell, columns);
        for edge in polygon.edges() {
            raster.fill_near(edge, corner, cell, reach, columns);
        }
        raster
    }

    fn set(&mut self, column: usize, row: usize) {
        if let Some(word) = self.rows.get_mut(row).and_then(|row| row.get_mut(column / 64)) {
            *word |= 1 << (column % 64);
        }
    }

    /// Cells whose centre is inside, row by row, by the even-odd rule.
    fn fill_inside(&mut self, polygon: &Polygon, corner: Point, cell: f64, columns: usize) {
        for row in 0..self.rows.len() {
            let y = corner.y + (row as f64 + 0.5) * cell;
            let mut crossings: Vec<f64> = polygon
                .edges()
                .filter(|edge| (edge.start.y > y) != (edge.end.y > y))
                .map(|edge| edge.at((y - edge.start.y) / (edge.end.y - edge.start.y)).x)
                .collect();
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let from = ((pair[0] - corner.x) / cell - 0.5).ceil().max(0.0) as usize;
                let to = ((pair[1] - corner.x) / cell - 0.5).floor();
                for column in from..columns.min((to + 1.0).max(0.0) as usize) {
                    self.set(column, row);
                }
            }
        }
    }

    fn fill_near(&mut self, edge: Segment, corner: Point, cell: f64, reach: f64, columns: usize) {
        let near = edge.bounds().expanded(reach);
        let first = |at: f64| (at / cell - 0.5).floor().max(0.0) as usize;
        let last = |at: f64, most: usize| ((at / cell - 0.5).ceil().max(0.0) as usize + 1).min(most);
        for row in first(near.min.y - corner.y)..last(near.max.y - corner.y, self.rows.len()) {
            for column in first(near.min.x - corner.x)..last(near.max.x - corner.x, columns) {
                let centre =
                    pt(corner.x + (column as f64 + 0.5) * cell, corner.y + (row as f64 + 0.5) * cell);
                if edge.distance(centre) <= reach {
                    self.set(column, row);
                }
            }
        }
    }
}

/// The cells of a sheet that are taken.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    rows: Vec<Vec<u64>>,
}

impl Grid {
    pub(super) fn new(columns: usize, rows: usize) -> Self {
        // A word more than needed, so that a shifted shape never ends beyond the row.
        Self { rows: vec![vec![0; columns.div_ceil(64) + 1]; rows] }
    }

    pub(super) fn fill(&mut self, raster: &Raster, column: usize, row: usize) {
        let (words, bits) = (column / 64, column % 64);
        for (taken, shape) in self.rows.iter_mut().skip(row).zip(&raster.rows) {
            for (index, &word) in shape.iter().enumerate() {
                if let Some(low) = taken.get_mut(index + words) {
                    *low |= word << bits;
                }
                if bits > 0
                    && let Some(high) = taken.get_mut(index + words + 1)
                {
                    *high |= word >> (64 - bits);
                }
            }
        }
    }

    /// The first place, row by row, with its column and row at most these, where the shape meets nothing taken.
    pub(super) fn first_free(
        &self,
        raster: &Raster,
        last_column: usize,
        last_row: usize,
    ) -> Option<[usize; 2]> {
        // The row of the shape that met something last is likely to meet it again: it is looked at first.
        let mut suspect = 0;
        for row in 0..=last_row {
            for column in 0..=last_column {
                if self.meets(raster, suspect, column, row) {
                    continue;
                }
                match (0..raster.rows.len()).find(|&line| self.meets(raster, line, column, row)) {
                    Some(line) => suspect = line,
                    None => return Some([column, row]),
                }
            }
        }
        None
    }

    /// Whether line `line` of the shape at `(column, row)` meets a taken cell.
    fn meets(&self, raster: &Raster, line: usize, column: usize, row: usize) -> bool {
        let (Some(taken), Some(shape)) = (self.rows.get(row + line), raster.rows.get(line)) else {
            return false;
        };
        let (words, bits) = (column / 64, column % 64);
        let at = |index: usize| taken.get(index).copied().unwrap_or(0);
        shape.iter().enumerate().any(|(index, &word)| {
            let high = if bits > 0 { word >> (64 - bits) } else { 0 };
            (word << bits) & at(index + words) != 0 || high & at(index + words + 1) != 0
        })
    }
}
