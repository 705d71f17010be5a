//! The stack of a flat state place by place: thickness, and what is seen from above and below.

use super::flat::{FlatFace, FlatState};
use super::order::{Layering, Order};
use crate::geometry::{Cell, Polygon, Region, difference, overlay_cells, pt, region_area, union_all};
use crate::quantity::tolerance::COINCIDENT_MM;

/// The overlay is done in fractions of a millimetre, a power of two, so that its whole-number grid has a pitch of 6e-8 mm
/// and the area of a large face keeps its digits, while corners that rounding alone sets apart still fall together. The
/// grid reaches ±67 m.
const FINENESS: f64 = 16384.0;

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

/// What the faces divide the plane into.
pub(crate) struct Cells {
    pub(crate) wide: Vec<Cell>,
    /// Cells too thin for faces to overlap in them: by how many faces each is covered, and its area in mm².
    thin: Vec<(usize, f64)>,
}

impl Cells {
    pub(crate) fn of(state: &FlatState) -> Self {
        let fine: Vec<Polygon> = state.faces.iter().map(|f| scaled(&f.polygon, FINENESS)).collect();
        let cells = overlay_cells(&fine, 0.0).into_iter();
        let cells = cells.map(|c| Cell { polygon: scaled(&c.polygon, 1.0 / FINENESS), ..c });
        let (wide, thin): (Vec<Cell>, Vec<Cell>) =
            cells.partition(|c| c.polygon.mean_thickness() > COINCIDENT_MM);
        Self { wide, thin: thin.iter().map(|c| (c.covered_by.len(), c.polygon.area())).collect() }
    }
}

fn scaled(polygon: &Polygon, factor: f64) -> Polygon {
    let ring = |ring: &Vec<_>| {
        ring.iter().map(|p: &crate::geometry::Point| pt(p.x * factor, p.y * factor)).collect()
    };
    Polygon { outer: ring(&polygon.outer), holes: polygon.holes.iter().map(ring).collect() }
}

impl Layering<'_> {
    /// Area in mm² covered by exactly 1, 2, ... faces; entry 0 is for one face. Cells too thin for an overlap count with
    /// the others, up to the height of the highest wide one.
    pub fn area_by_layers(&self) -> Vec<f64> {
        let cells = &self.rules.cells;
        let wide = cells.wide.iter().map(|c| (c.covered_by.len(), c.polygon.area()));
        let most = wide.clone().map(|c| c.0).max().unwrap_or(0);
        let mut areas = vec![0.0; most];
        for (count, area) in wide.chain(cells.thin.iter().copied()) {
            if let Some(sum) = count.checked_sub(1).and_then(|k| areas.get_mut(k)) {
                *sum += area;
            }
        }
        areas
    }

    /// Every place of the stack with its faces in order.
    pub fn stacks(&self, order: &Order) -> Vec<Stack> {
        let stack =
            |cell: &Cell| Stack { polygon: cell.polygon.clone(), faces: order.sorted(&cell.covered_by) };
        self.rules.cells.wide.iter().map(stack).collect()
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
