//! The stack of a flat state place by place: thickness, and what is seen from above and below.

use super::flat::{FlatFace, FlatState};
use super::order::{Layering, Order};
use crate::geometry::{Cell, Polygon, Region, difference, overlay_cells, pt, region_area, union_all};
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

impl Side {
    pub const BOTH: [Side; 2] = [Side::Above, Side::Below];

    /// Place in [`Side::BOTH`].
    pub(super) fn index(self) -> usize {
        usize::from(self == Side::Below)
    }
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
        let stacks = self.stacks(order);
        let seen = |(number, face): (usize, &FlatFace)| {
            let whole = face.polygon.area();
            let region = seen_of(&face.polygon, &hidden_by(&stacks, number, side));
            let share = if whole > 0.0 { (region_area(&region) / whole).min(1.0) } else { 0.0 };
            Seen { face: number, front: face.up == (side == Side::Above), region, share }
        };
        let all = self.state.faces.iter().enumerate().map(seen);
        all.filter(|seen| !seen.region.is_empty()).collect()
    }
}

/// The parts of a face that others hide.
pub(super) fn hidden_by(stacks: &[Stack], face: usize, side: Side) -> Region {
    let outermost = |stack: &Stack| match side {
        Side::Above => stack.faces.last().copied(),
        Side::Below => stack.faces.first().copied(),
    };
    let hides = |stack: &&Stack| stack.faces.contains(&face) && outermost(stack) != Some(face);
    let parts: Vec<Polygon> = stacks.iter().filter(hides).map(|stack| stack.polygon.clone()).collect();
    if parts.is_empty() { Region::new() } else { union_all(&parts) }
}

/// What is seen of a face of which parts are hidden. Strips too thin to be a cell of a stack are none.
pub(super) fn seen_of(polygon: &Polygon, hidden: &[Polygon]) -> Region {
    let mut seen = difference(std::slice::from_ref(polygon), hidden);
    seen.retain(|part| part.mean_thickness() > COINCIDENT_MM);
    seen
}
