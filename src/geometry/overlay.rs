//! Many polygons laid over each other: the cells into which they divide the plane, each with the polygons that cover
//! it. Thickness maps and what is seen of a stack are read off them.

use super::boolean::GRID_MM;
use super::exact::Node;
use super::planar::{Line, Planar};
use super::polygon::{Polygon, reading_order};

/// Cell corners that stand out by less than this, mm, come from rounding to the grid.
const STRAIGHT_MM: f64 = GRID_MM / 2.0;

/// A connected part of the plane that the same polygons cover.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    pub polygon: Polygon,
    /// Indices of the covering polygons, ascending; never empty.
    pub covered_by: Vec<usize>,
}

/// The cells of some polygons, in order of their leftmost (then topmost) corner and of their centre of area. Corners
/// are rounded to [`GRID_MM`]; cells thinner than `sliver` mm (by [`Polygon::mean_thickness`]) are left out, and so is
/// a polygon with a coordinate that is not finite.
pub fn overlay_cells(polygons: &[Polygon], sliver: f64) -> Vec<Cell> {
    let mut lines = Vec::new();
    for (label, polygon) in polygons.iter().enumerate() {
        lines.extend(polygon_lines(polygon, label).unwrap_or_default());
    }
    let planar = Planar::new(&lines);
    let windings = planar.windings(polygons.len());
    let mut cells: Vec<Cell> = Vec::new();
    for (face, winding) in planar.faces.iter().zip(&windings) {
        let covered_by: Vec<usize> = (0..polygons.len()).filter(|&i| winding[i] > 0).collect();
        let polygon = planar.polygon(face, 1.0 / GRID_MM, STRAIGHT_MM);
        if !covered_by.is_empty() && !polygon.is_empty() && polygon.mean_thickness() > sliver {
            cells.push(Cell { polygon, covered_by });
        }
    }
    cells.sort_by(|a, b| reading_order(&a.polygon, &b.polygon));
    cells
}

fn polygon_lines(polygon: &Polygon, label: usize) -> Option<Vec<Line>> {
    let mut lines = Vec::new();
    for edge in polygon.edges() {
        let start = Node::nearest(edge.start, 1.0 / GRID_MM)?;
        let end = Node::nearest(edge.end, 1.0 / GRID_MM)?;
        lines.extend((start != end).then_some(Line { start, end, label }));
    }
    Some(lines)
}
