//! The stack of a flat state place by place: thickness, and what is seen from above and below.

use super::flat::FlatState;
use super::order::{Layering, Order};
use crate::geometry::{Cell, Polygon, Region, overlay_cells, pt, region_area, union_all};
use crate::quantity::tolerance::COINCIDENT_MM;

/// The overlay is done in thousandths of a millimetre, so that its whole-number grid is a nanometre wide and areas keep
/// their digits; faces may reach a metre.
const FINENESS: f64 = 1000.0;

/// From which side a stack is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// From +z.
    Above,
    /// From -z; positions are still those of the plane, not mirrored.
    Below,
}

/// A part of the plane that the same faces cover, from the lowest face to the highest.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    pub polygon: Polygon,
    pub faces: Vec<usize>,
}

/// What is seen of one face.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    pub face: usize,
    /// Whether the front of the face is seen.
    pub front: bool,
    pub region: Region,
    /// Seen part of the whole face, 0 to 1.
    pub share: f64,
}

pub(crate) fn cells(state: &FlatState) -> Vec<Cell> {
    let fine: Vec<Polygon> = state.faces.iter().map(|f| scaled(&f.polygon, FINENESS)).collect();
    let cells = overlay_cells(&fine, COINCIDENT_MM * FINENESS);
    cells.into_iter().map(|c| Cell { polygon: scaled(&c.polygon, 1.0 / FINENESS), ..c }).collect()
}

fn scaled(polygon: &Polygon, factor: f64) -> Polygon {
    let ring = |ring: &Vec<_>| {
        ring.iter().map(|p: &crate::geometry::Point| pt(p.x * factor, p.y * factor)).collect()
    };
    Polygon { outer: ring(&polygon.outer), holes: polygon.holes.iter().map(ring).collect() }
}

impl Layering<'_> {
    /// Area in mm² covered by exactly 1, 2, ... faces; entry 0 is for one face.
    pub fn area_by_layers(&self) -> Vec<f64> {
        let most = self.rules.cells.iter().map(|c| c.covered_by.len()).max().unwrap_or(0);
        let mut areas = vec![0.0; most];
        for cell in &self.rules.cells {
            areas[cell.covered_by.len() - 1] += cell.polygon.area();
        }
        areas
    }

    /// Every place of the stack with its faces in order.
    pub fn stacks(&self, order: &Order) -> Vec<Stack> {
        let stack =
            |cell: &Cell| Stack { polygon: cell.polygon.clone(), faces: order.sorted(&cell.covered_by) };
        self.rules.cells.iter().map(stack).collect()
    }

    /// The faces of which something is seen, with what is seen, by face.
    pub fn seen(&self, order: &Order, side: Side) -> Vec<Seen> {
        let mut parts: Vec<Vec<Polygon>> = vec![Vec::new(); self.state.faces.len()];
        for stack in self.stacks(order) {
            let face = match side {
                Side::Above => stack.faces.last(),
                Side::Below => stack.faces.first(),
            };
            if let Some(&face) = face {
                parts[face].push(stack.polygon);
            }
        }
        let seen = |(face, parts): (usize, Vec<Polygon>)| {
            let whole = self.state.faces[face].polygon.area();
            let region = union_all(&parts);
            let share = if whole > 0.0 { (region_area(&parts) / whole).min(1.0) } else { 0.0 };
            let front = self.state.faces[face].up == (side == Side::Above);
            Seen { face, front, region, share }
        };
        parts.into_iter().enumerate().filter(|(_, parts)| !parts.is_empty()).map(seen).collect()
    }
}
