//! Standing: mass, centre of mass, support polygon, tipping. Plates are flat polygons in space, in mm, the ground is
//! z = 0. Slip and spreading feet are not looked at.

use super::iso::{Point2, Point3, Vec3};
use crate::geometry::{convex_hull, pt};
use crate::quantity::tolerance::COINCIDENT_MM;

/// A plate of paper in space.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Corners in order.
    pub corners: Vec<Point3>,
    /// Windows cut in it: corners in order, either way round.
    pub holes: Vec<Vec<Point3>>,
    /// g/m².
    pub grammage: f64,
}

/// A side of the support polygon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TippingEdge {
    pub ends: [Point2; 2],
    /// Distance of the centre of mass inside the edge; negative outside.
    pub margin: f64,
    /// Degrees the whole may be tilted about the edge before it falls; negative when it falls by itself.
    pub tipping: f64,
}

/// How something stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Stance {
    /// Grams.
    pub mass: f64,
    pub centre: Point3,
    /// Convex hull of what touches the ground, counterclockwise; fewer than three corners cannot support anything.
    pub support: Vec<Point2>,
    pub edges: Vec<TippingEdge>,
}

impl Stance {
    pub fn is_stable(&self) -> bool {
        self.support.len() >= 3 && self.edges.iter().all(|e| e.margin > 0.0)
    }

    /// The edge it tips over first.
    pub fn weakest(&self) -> Option<TippingEdge> {
        self.edges.iter().copied().min_by(|e, f| e.tipping.total_cmp(&f.tipping))
    }
}

/// Twice the vector area and the centre of area of a flat polygon in space.
fn doubled_area_and_centre(corners: &[Point3]) -> (Vec3, Vec3) {
    let Some(&origin) = corners.first() else { return (Vec3::zeros(), Vec3::zeros()) };
    let origin = Vec3::from(origin);
    let triangles: Vec<(Vec3, Vec3)> = corners
        .iter()
        .zip(corners.iter().skip(1))
        .map(|(&p, &q)| {
            let (p, q) = (Vec3::from(p) - origin, Vec3::from(q) - origin);
            (p.cross(&q), (p + q) / 3.0)
        })
        .collect();
    let area: Vec3 = triangles.iter().map(|t| t.0).sum();
    let Some(normal) = area.try_normalize(0.0) else { return (area, origin) };
    // Triangles of a polygon that is not convex count with their sign.
    let moment: Vec3 = triangles.iter().map(|(a, centre)| centre * a.dot(&normal)).sum();
    (area, origin + moment / area.norm())
}

/// How plates stand on the ground; `None` without any area.
pub fn stance(plates: &[Plate]) -> Option<Stance> {
    let mut mass = 0.0;
    let mut moment = Vec3::zeros();
    for plate in plates {
        let windows = plate.holes.iter().map(|hole| (hole, -1.0));
        for (ring, sign) in std::iter::once((&plate.corners, 1.0)).chain(windows) {
            let (area, centre) = doubled_area_and_centre(ring);
            // mm² times g/m²
            let share = sign * area.norm() / 2.0 * plate.grammage * 1e-6;
            mass += share;
            moment += centre * share;
        }
    }
    if mass <= 0.0 {
        return None;
    }
    let centre = moment / mass;
    let feet = plates.iter().flat_map(|p| &p.corners).filter(|c| c[2] <= COINCIDENT_MM);
    let support: Vec<Point2> = convex_hull(feet.map(|c| pt(c[0], c[1]))).iter().map(|p| [p.x, p.y]).collect();
    let edge = |(&p, &q): (&Point2, &Point2)| {
        let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
        // Counterclockwise: the inside is on the left.
        let margin = (dx * (centre.y - p[1]) - dy * (centre.x - p[0])) / libm::hypot(dx, dy);
        let tipping = libm::atan(margin / centre.z).to_degrees();
        TippingEdge { ends: [p, q], margin, tipping }
    };
    let edges = if support.len() < 3 {
        Vec::new()
    } else {
        support.iter().zip(support.iter().cycle().skip(1)).map(edge).collect()
    };
    Some(Stance { mass, centre: centre.into(), support, edges })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: (f64, f64), y: (f64, f64)) -> Vec<Point3> {
        vec![[x.0, y.0, 0.0], [x.1, y.0, 0.0], [x.1, y.1, 0.0], [x.0, y.1, 0.0]]
    }

    /// 100 mm by 60 mm with a window of 30 mm by 40 mm, whose middle lies at 80 mm: (6000 · 50 − 1200 · 80) / 4800.
    #[test]
    fn a_window_weighs_nothing() {
        let mut window = rectangle((65.0, 95.0), (10.0, 50.0));
        for _ in 0..2 {
            let plate = Plate {
                corners: rectangle((0.0, 100.0), (0.0, 60.0)),
                holes: vec![window.clone()],
                grammage: 250.0,
            };
            let found = stance(&[plate]).expect("it has an area");
            assert!((found.mass - 1.2).abs() < 1e-12, "{}", found.mass);
            assert!((found.centre[0] - 42.5).abs() < 1e-9, "{:?}", found.centre);
            assert!((found.centre[1] - 30.0).abs() < 1e-9, "{:?}", found.centre);
            window.reverse();
        }
    }
}
