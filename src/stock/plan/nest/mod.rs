//! Free nesting of true outlines, for a knife or a cutting machine that follows any line.
//!
//! Shapes are laid one after another at the place nearest the top, then nearest the left, on a grid of cells that each
//! shape covers with a margin for its rounding; many orders are tried and the best kept. A shape may lie in the hole of
//! another. What leaves this module has been checked on the true outlines.
//!
//! Lengths in mm, y down. The module knows polygons, nothing of paper.

mod raster;

use super::random::Random;
use crate::geometry::Isometry;
use crate::geometry::Polygon;
use crate::geometry::interiors_intersect;
use crate::geometry::{Rect, pt};
use crate::quantity::tolerance::COINCIDENT_MM;
use raster::{Grid, Raster};

/// Most cells of a grid along one side: a finer cell is made coarser.
const MOST_CELLS: f64 = 2_048.0;
/// Most shapes in one order.
const MOST_SHAPES: usize = 2_000;
const SEED: u64 = 0x0E57_1E55;

/// A sheet under the knife.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    pub w: f64,
    pub h: f64,
    /// Border that stays uncut.
    pub margin: f64,
    /// Least distance between two shapes.
    pub gap: f64,
    /// Side of a grid cell: shapes lie up to about one and a half cells apart more than needed.
    pub cell: f64,
}

/// A shape wanted `qty` times.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub outline: Polygon,
    pub qty: u32,
    /// Permitted turns, degrees clockwise as seen.
    pub turns_deg: Vec<f64>,
}

/// A shape on its sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Index of the shape in the order.
    pub shape: usize,
    pub turn_deg: f64,
    /// Carries the outline of the order to its place.
    pub motion: Isometry,
}

/// Shapes on sheets.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nesting {
    pub sheets: Vec<Vec<Laid>>,
    /// Lower edge of the lowest shape on the last sheet: beyond it the sheet is whole.
    pub used_h: f64,
}

/// Why there is no nesting.
#[derive(Clone, Debug, PartialEq)]
pub enum NestFault {
    /// A measure of the bed is not finite or not positive, or nothing is left inside the margin.
    Bed,
    /// The shape has no area, a corner that is not finite, or no permitted turn.
    Shape { shape: usize },
    /// The shape fits on the bed in no permitted turn.
    TooLarge { shape: usize },
    /// More than 2000 shapes in all.
    TooMany,
    /// The planner's own mistake: its nesting did not pass the checker.
    Internal(NestViolation),
}

/// What is wrong with a nesting.
#[derive(Clone, Debug, PartialEq)]
pub enum NestViolation {
    /// No such shape, or a turn or motion it does not permit.
    WrongShape {
        sheet: usize,
        laid: usize,
    },
    Outside {
        sheet: usize,
        laid: usize,
    },
    /// Two shapes overlap or are nearer than the gap.
    TooNear {
        sheet: usize,
        first: usize,
        second: usize,
    },
    Quantity {
        shape: usize,
        wanted: u32,
        laid: usize,
    },
}

/// Nests `shapes` on as few sheets as `starts` orders of laying give, then as high up the last sheet as they give.
pub fn nest(bed: &Bed, shapes: &[Shape], starts: usize) -> Result<Nesting, NestFault> {
    let workshop = Workshop::new(bed, shapes)?;
    let mut random = Random::new(SEED);
    let mut best: Option<Nesting> = None;
    for start in 0..starts.max(1) {
        let order = workshop.order(start, &mut random);
        let nesting = workshop.lay(&order);
        let better = best.as_ref().is_none_or(|best| {
            (nesting.sheets.len(), nesting.used_h).partial_cmp(&(best.sheets.len(), best.used_h))
                == Some(std::cmp::Ordering::Less)
        });
        if better {
            best = Some(nesting);
        }
    }
    let best = best.unwrap_or_default();
    verify_nesting(bed, shapes, &best).map_err(NestFault::Internal)?;
    Ok(best)
}

/// Checks a nesting on the true outlines: motions, containment, overlap, gap and quantities.
pub fn verify_nesting(bed: &Bed, shapes: &[Shape], nesting: &Nesting) -> Result<(), NestViolation> {
    let mut counts = vec![0usize; shapes.len()];
    for (sheet, laid) in nesting.sheets.iter().enumerate() {
        let mut outlines = Vec::with_capacity(laid.len());
        for (index, one) in laid.iter().enumerate() {
            let wrong = NestViolation::WrongShape { sheet, laid: index };
            let shape = shapes.get(one.shape).ok_or_else(|| wrong.clone())?;
            let turned = shape.turns_deg.contains(&one.turn_deg)
                && Isometry::rotation_deg(pt(0.0, 0.0), one.turn_deg).x_axis() == one.motion.x_axis()
                && !one.motion.mirrors();
            if !turned {
                return Err(wrong);
            }
            let outline = shape.outline.transformed(&one.motion);
            let Rect { min, max } = outline.bounds();
            let low = bed.margin - COINCIDENT_MM;
            let inside = min.x >= low && min.y >= low && max.x <= bed.w - low && max.y <= bed.h - low;
            if !inside {
                return Err(NestViolation::Outside { sheet, laid: index });
            }
            if let Some(first) = outlines.iter().position(|other| too_near(other, &outline, bed.gap)) {
                return Err(NestViolation::TooNear { sheet, first, second: index });
            }
            outlines.push(outline);
            counts[one.shape] += 1;
        }
    }
    for (index, (shape, laid)) in shapes.iter().zip(counts).enumerate() {
        if laid != shape.qty as usize {
            return Err(NestViolation::Quantity { shape: index, wanted: shape.qty, laid });
        }
    }
    Ok(())
}

fn too_near(a: &Polygon, b: &Polygon, gap: f64) -> bool {
    if !a.bounds().expanded(gap).touches(&b.bounds(), 0.0) {
        return false;
    }
    interiors_intersect(a, b, COINCIDENT_MM) || (gap > COINCIDENT_MM && a.distance(b) < gap - COINCIDENT_MM)
}

/// A shape in one of its turns, on the grid.
struct Form {
    turn_deg: f64,
    bounds: Rect,
    raster: Raster,
}

struct Workshop<'a> {
    bed: &'a Bed,
    shapes: &'a [Shape],
    forms: Vec<Vec<Form>>,
    cell: f64,
    /// How far a shape's cells reach beyond it.
    reach: f64,
}

impl<'a> Workshop<'a> {
    fn new(bed: &'a Bed, shapes: &'a [Shape]) -> Result<Self, NestFault> {
        let Bed { w, h, margin, gap, cell } = *bed;
        let sound = [w, h, margin, gap, cell].iter().all(|length| length.is_finite() && *length >= 0.0)
            && w > 2.0 * margin
            && h > 2.0 * margin
            && cell > 0.0;
        if !sound {
            return Err(NestFault::Bed);
        }
        if shapes.iter().map(|shape| shape.qty as usize).sum::<usize>() > MOST_SHAPES {
            return Err(NestFault::TooMany);
        }
        let cell = cell.max(w.max(h) / MOST_CELLS);
        let reach = cell * std::f64::consts::FRAC_1_SQRT_2 + gap / 2.0;
        let mut workshop = Self { bed, shapes, forms: Vec::new(), cell, reach };
        for (index, shape) in shapes.iter().enumerate() {
            let sound = shape.outline.area() > 0.0
                && shape.outline.vertices().all(|corner| corner.is_finite())
                && !shape.turns_deg.is_empty()
                && shape.turns_deg.iter().all(|turn| turn.is_finite());
            if !sound {
                return Err(NestFault::Shape { shape: index });
            }
            let forms = workshop.forms(shape);
            if forms.is_empty() {
                return Err(NestFault::TooLarge { shape: index });
            }
            workshop.forms.push(forms);
        }
        Ok(workshop)
    }

    /// The shape in every turn that fits on the bed.
    fn forms(&self, shape: &Shape) -> Vec<Form> {
        let mut forms = Vec::new();
        for &turn_deg in &shape.turns_deg {
            let turned = shape.outline.transformed(&Isometry::rotation_deg(pt(0.0, 0.0), turn_deg));
            let bounds = turned.bounds();
            let [w, h] = self.usable();
            if bounds.width() <= w + COINCIDENT_MM && bounds.height() <= h + COINCIDENT_MM {
                let corner = pt(bounds.min.x - self.reach, bounds.min.y - self.reach);
                forms.push(Form {
                    turn_deg,
                    bounds,
                    raster: Raster::of(&turned, corner, self.cell, self.reach),
                });
            }
        }
        forms
    }

    fn usable(&self) -> [f64; 2] {
        [self.bed.w - 2.0 * self.bed.margin, self.bed.h - 2.0 * self.bed.margin]
    }

    /// The `start`th order of laying: larger shapes first, by one of four measures, ever more shuffled.
    fn order(&self, start: usize, random: &mut Random) -> Vec<usize> {
        let noise = if start < 4 { 0.0 } else { 0.6 };
        let size = |shape: &Shape| {
            let bounds = shape.outline.bounds();
            match start % 4 {
                0 => shape.outline.area(),
                1 => bounds.width().max(bounds.height()),
                2 => bounds.area(),
                _ => bounds.width() + bounds.height(),
            }
        };
        let mut keyed = Vec::new();
        for (index, shape) in self.shapes.iter().enumerate() {
            let size = size(shape);
            keyed.extend((0..shape.qty).map(|_| (size * (1.0 + noise * random.unit()), index)));
        }
        keyed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        keyed.into_iter().map(|(_, index)| index).collect()
    }

    fn lay(&self, order: &[usize]) -> Nesting {
        let mut grids: Vec<Grid> = Vec::new();
        let mut nesting = Nesting::default();
        for &index in order {
            let place =
                grids.iter().enumerate().find_map(|(sheet, grid)| Some((sheet, self.place(grid, index)?)));
            let place = place.or_else(|| {
                grids.push(self.empty_grid());
                nesting.sheets.push(Vec::new());
                grids.last().and_then(|grid| Some((grids.len() - 1, self.place(grid, index)?)))
            });
            let Some((sheet, (form, [column, row]))) = place else { continue };
            let form = &self.forms[index][form];
            grids[sheet].fill(&form.raster, column, row);
            let to = pt(
                self.bed.margin + column as f64 * self.cell - form.bounds.min.x,
                self.bed.margin + row as f64 * self.cell - form.bounds.min.y,
            );
            let motion = Isometry::rotation_deg(pt(0.0, 0.0), form.turn_deg).then(&Isometry::translation(to));
            if sheet + 1 == nesting.sheets.len() {
                let low = form.bounds.max.y + to.y;
                nesting.used_h = if nesting.sheets[sheet].is_empty() { low } else { nesting.used_h.max(low) };
            }
            nesting.sheets[sheet].push(Laid { shape: index, turn_deg: form.turn_deg, motion });
        }
        nesting
    }

    fn empty_grid(&self) -> Grid {
        let [w, h] = self.usable();
        let cells = |side: f64| ((side + 2.0 * self.reach) / self.cell).ceil() as usize + 2;
        Grid::new(cells(w), cells(h))
    }

    /// The place on one sheet that reaches least far down, then least far right.
    fn place(&self, grid: &Grid, index: usize) -> Option<(usize, [usize; 2])> {
        let [w, h] = self.usable();
        let steps = |room: f64| ((room + COINCIDENT_MM).max(0.0) / self.cell).floor() as usize;
        let mut best: Option<(f64, f64, usize, [usize; 2])> = None;
        for (number, form) in self.forms[index].iter().enumerate() {
            let (width, height) = (form.bounds.width(), form.bounds.height());
            let found = grid.first_free(&form.raster, steps(w - width), steps(h - height));
            let Some([column, row]) = found else { continue };
            let reach = (row as f64 * self.cell + height, column as f64 * self.cell + width);
            if best.is_none_or(|(down, right, ..)| reach.0 < down || (reach.0 == down && reach.1 < right)) {
                best = Some((reach.0, reach.1, number, [column, row]));
            }
        }
        best.map(|(_, _, form, at)| (form, at))
    }
}
