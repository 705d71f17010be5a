//! A flat sheet with creases: vertices, faces, folds with their directions, and the linkage it makes.
//!
//! Sectors round a vertex and the linkage are derived here; whether the sheet folds flat is asked in `layers`.

use std::collections::BTreeMap;

use super::iso::Point2;
use super::linkage::{Body, BodyId, JointId, Link, Linkage};

/// Direction of a crease, seen from the front of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fold {
    Valley,
    Mountain,
    /// Not decided.
    Either,
}

impl Fold {
    /// Valley against mountain; undecided stays so.
    pub fn reversed(self) -> Self {
        match self {
            Self::Valley => Self::Mountain,
            Self::Mountain => Self::Valley,
            Self::Either => Self::Either,
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Crease {
    /// Indices of its two end vertices.
    pub ends: [usize; 2],
    /// Indices of the faces on its two sides.
    pub faces: [usize; 2],
    pub fold: Fold,
}

/// A sheet in the plane, front up; vertices in mm, faces as vertex cycles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    pub vertices: Vec<Point2>,
    pub faces: Vec<Vec<usize>>,
    pub creases: Vec<Crease>,
}

/// A crease that names what the sheet does not have, or that does not part its faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetFault {
    pub crease: usize,
}

/// The creases and sectors round an interior vertex, counterclockwise: sector `i` lies between crease `i` and the
/// next.
#[derive(Clone, Debug, PartialEq)]
pub struct Star {
    pub vertex: usize,
    pub creases: Vec<usize>,
    /// Degrees.
    pub sectors: Vec<f64>,
}

impl Sheet {
    /// The linkage of the sheet: body `i` is face `i` and joint `k` is crease `k`; `fixed_face` stays at rest.
    ///
    /// # Errors
    /// The first crease that does not fit.
    pub fn linkage(&self, fixed_face: usize) -> Result<Linkage, SheetFault> {
        let outline =
            |face: &Vec<usize>| face.iter().filter_map(|&v| self.vertices.get(v)).copied().collect();
        let mut linkage = Linkage {
            bodies: self.faces.iter().map(|f| Body::polygon(outline(f))).collect(),
            joints: Vec::new(),
            root: fixed_face,
        };
        for (index, crease) in self.creases.iter().enumerate() {
            let fault = SheetFault { crease: index };
            let [right, left] = crease.faces;
            let ends = self.directed(crease).ok_or(fault)?;
            let line = [*self.vertices.get(ends[0]).ok_or(fault)?, *self.vertices.get(ends[1]).ok_or(fault)?];
            let link = Link::crease(BodyId(right), BodyId(left), line);
            linkage.add_joint(match crease.fold {
                Fold::Valley => link.valley(),
                Fold::Mountain => link.mountain(),
                Fold::Either => link,
            });
        }
        if fixed_face >= self.faces.len() {
            return Err(SheetFault { crease: 0 });
        }
        Ok(linkage)
    }

    /// The crease's ends in the order that has its second face on the left.
    fn directed(&self, crease: &Crease) -> Option<[usize; 2]> {
        let [start, end] = crease.ends;
        let face = self.faces.get(crease.faces[1])?;
        self.faces.get(crease.faces[0])?;
        let follows =
            |a: usize, b: usize| (0..face.len()).any(|i| face[i] == a && face[(i + 1) % face.len()] == b);
        let counterclockwise = self.doubled_area(face)? > 0.0;
        if follows(start, end) == counterclockwise && (follows(start, end) || follows(end, start)) {
            Some([start, end])
        } else if follows(start, end) || follows(end, start) {
            Some([end, start])
        } else {
            None
        }
    }

    fn doubled_area(&self, face: &[usize]) -> Option<f64> {
        let mut sum = 0.0;
        for (k, &v) in face.iter().enumerate() {
            let (p, q) = (self.vertices.get(v)?, self.vertices.get(face[(k + 1) % face.len()])?);
            sum += p[0] * q[1] - q[0] * p[1];
        }
        Some(sum)
    }

    /// Every vertex that creases surround on all sides, in order.
    pub fn stars(&self) -> Vec<Star> {
        (0..self.vertices.len()).filter_map(|v| self.star(v)).collect()
    }

    /// For every face whose corners are all stars of four creases that can leave the flat state: the product, once
    /// round the face counterclockwise, of the ratios by which each crease is faster than the one before. When every
    /// vertex is flat-foldable the ratios of the half-angle tangents stay constant, and the sheet folds rigidly only if
    /// all products are 1 (Tachi, "Generalization of rigid-foldable quadrilateral-mesh origami", 2009).
    pub fn loop_products(&self) -> Vec<(usize, f64)> {
        let rates: BTreeMap<usize, BTreeMap<usize, f64>> =
            self.stars().iter().filter_map(|star| Some((star.vertex, self.star_rates(star)?))).collect();
        let product = |face: &Vec<usize>| {
            let count = face.len();
            (0..count).try_fold(1.0, |product, k| {
                let (before, here, after) = (face[(k + count - 1) % count], face[k], face[(k + 1) % count]);
                let rates = rates.get(&here)?;
                let rate = |end: usize| rates.get(&self.crease_between(here, end)?);
                Some(product * rate(after)? / rate(before)?)
            })
        };
        self.faces.iter().enumerate().filter_map(|(index, face)| Some((index, product(face)?))).collect()
    }

    fn crease_between(&self, a: usize, b: usize) -> Option<usize> {
        self.creases.iter().position(|c| c.ends == [a, b] || c.ends == [b, a])
    }

    /// Rates of the creases of a degree-4 vertex on its own, leaving the flat state as declared.
    fn star_rates(&self, star: &Star) -> Option<BTreeMap<usize, f64>> {
        if star.creases.len() != 4 {
            return None;
        }
        let folds: Vec<Fold> = star.creases.iter().map(|&c| self.creases[c].fold).collect();
        let linkage = Self::fan(&star.sectors, &folds).linkage(0).ok()?;
        let direction = if folds[0] == Fold::Mountain { -1.0 } else { 1.0 };
        let rates = linkage.departures(JointId(0), direction, &linkage.rest()).into_iter().next()?;
        Some(star.creases.iter().copied().zip(rates).collect())
    }

    /// A single vertex with the given sectors (degrees) and folds, spokes 1 mm long: crease `i` before face `i`.
    pub fn fan(sectors: &[f64], folds: &[Fold]) -> Self {
        let count = sectors.len();
        let mut sheet = Self { vertices: vec![[0.0, 0.0]], ..Self::default() };
        let mut heading = 0.0_f64;
        for (k, (sector, &fold)) in sectors.iter().zip(folds).enumerate() {
            let radians = heading.to_radians();
            sheet.vertices.push([libm::cos(radians), libm::sin(radians)]);
            sheet.faces.push(vec![0, k + 1, (k + 1) % count + 1]);
            sheet.creases.push(Crease { ends: [0, k + 1], faces: [(k + count - 1) % count, k], fold });
            heading += sector;
        }
        sheet
    }

    fn star(&self, vertex: usize) -> Option<Star> {
        let centre = self.vertices.get(vertex)?;
        let mut spokes: Vec<(f64, usize)> = Vec::new();
        for (index, crease) in self.creases.iter().enumerate() {
            let other = match crease.ends {
                [v, other] | [other, v] if v == vertex => self.vertices.get(other)?,
                _ => continue,
            };
            let heading = libm::atan2(other[1] - centre[1], other[0] - centre[0]).to_degrees();
            spokes.push((heading.rem_euclid(360.0), index));
        }
        let faces = self.faces.iter().filter(|f| f.contains(&vertex)).count();
        // At the edge of the sheet there is one face more than creases.
        if spokes.len() < 2 || faces != spokes.len() {
            return None;
        }
        let first = spokes.iter().map(|s| s.1).min()?;
        spokes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let turn = spokes.iter().position(|s| s.1 == first)?;
        spokes.rotate_left(turn);
        let next = |k: usize| spokes[(k + 1) % spokes.len()].0;
        let sectors = (0..spokes.len()).map(|k| (next(k) - spokes[k].0).rem_euclid(360.0)).collect();
        Some(Star { vertex, creases: spokes.iter().map(|s| s.1).collect(), sectors })
    }
}
