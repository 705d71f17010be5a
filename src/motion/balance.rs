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

/// Turns that bring one part after another to the ground: no card of a few feet needs more.
const MOST_TURNS: usize = 8;

/// How something comes to rest that is let go where it does not stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Rest {
    pub stance: Stance,
    /// Degrees it turns until it stands.
    pub turned: f64,
    /// The line it turns about first; it leans to the right of it.
    pub about: [Point2; 2],
    /// Height of its highest corner.
    pub height: f64,
}

/// Lets plates go that do not stand: they turn about the edge of what touches the ground, to the side where their weight
/// lies, until something else touches it, and so on. `None` when they stand as they are, when they would turn by more than
/// `most` degrees, or fall without meeting the ground again.
pub fn rest(plates: &[Plate], most: f64) -> Option<Rest> {
    let mut plates = plates.to_vec();
    let (mut turned, mut about) = (0.0, None);
    for _ in 0..MOST_TURNS {
        let stance = stance(&plates)?;
        if stance.is_stable() {
            let corners = plates.iter().flat_map(|p| &p.corners);
            let height = corners.map(|c| c[2]).fold(0.0, f64::max);
            return about.map(|about| Rest { stance, turned, about, height });
        }
        let axis = falls_about(&stance)?;
        let degrees = turn_to_ground(&mut plates, axis)?;
        turned += degrees;
        if turned > most {
            return None;
        }
        about.get_or_insert(axis);
    }
    None
}

/// The line about which something falls that does not stand: its weight lies to the right of it.
fn falls_about(stance: &Stance) -> Option<[Point2; 2]> {
    let centre = [stance.centre[0], stance.centre[1]];
    match stance.support.as_slice() {
        [] => None,
        [at] => {
            let (dx, dy) = (centre[0] - at[0], centre[1] - at[1]);
            (libm::hypot(dx, dy) > COINCIDENT_MM).then_some([*at, [at[0] - dy, at[1] + dx]])
        }
        [p, q] => {
            let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
            let right = (dy * (centre[0] - p[0]) - dx * (centre[1] - p[1])) / libm::hypot(dx, dy);
            match right.abs() > COINCIDENT_MM {
                true if right > 0.0 => Some([*p, *q]),
                true => Some([*q, *p]),
                // Poised above the line, it may fall either way.
                false => None,
            }
        }
        _ => stance.edges.iter().min_by(|e, f| e.margin.total_cmp(&f.margin)).map(|e| e.ends),
    }
}

/// Turns plates about a line on the ground, to the right of it, until the next corner touches the ground; by how many
/// degrees. `None` when nothing does within a right angle.
fn turn_to_ground(plates: &mut [Plate], [p, q]: [Point2; 2]) -> Option<f64> {
    let length = libm::hypot(q[0] - p[0], q[1] - p[1]);
    let (dx, dy) = ((q[0] - p[0]) / length, (q[1] - p[1]) / length);
    let right = |c: &Point3| dy * (c[0] - p[0]) - dx * (c[1] - p[1]);
    let corners = plates.iter().flat_map(|p| &p.corners);
    let reach = corners.filter(|c| right(c) > COINCIDENT_MM).map(|c| libm::atan2(c[2], right(c)));
    let angle = reach.min_by(f64::total_cmp).filter(|a| a.is_finite())?.max(0.0);
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    let turn = |c: &mut Point3| {
        let (along, away) = (dx * (c[0] - p[0]) + dy * (c[1] - p[1]), right(c));
        let (away, up) = (away * cos + c[2] * sin, c[2] * cos - away * sin);
        *c = [p[0] + dx * along + dy * away, p[1] + dy * along - dx * away, up];
    };
    for plate in plates {
        plate.holes.iter_mut().chain([&mut plate.corners]).flatten().for_each(turn);
    }
    Some(angle.to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn upright(x: (f64, f64), y: f64, z: (f64, f64)) -> Vec<Point3> {
        vec![[x.0, y, z.0], [x.1, y, z.0], [x.1, y, z.1], [x.0, y, z.1]]
    }

    /// A wall of 100 mm by 100 mm with a floor of 40 mm that lies 1 mm above its foot: it turns by atan(1 / 40) about
    /// the foot until the floor's far edge touches the ground.
    #[test]
    fn a_foot_above_the_ground_comes_down_to_it() {
        let wall =
            Plate { corners: upright((0.0, 100.0), 0.0, (0.0, 100.0)), holes: vec![], grammage: 250.0 };
        let floor = rectangle((0.0, 100.0), (0.0, 40.0));
        let floor = floor.into_iter().map(|[x, y, _]| [x, y, 1.0]).collect();
        let floor = Plate { corners: floor, holes: vec![], grammage: 250.0 };
        let plates = [wall, floor];
        let turn = libm::atan(1.0 / 40.0).to_degrees();
        let found = rest(&plates, 2.0).expect("it stands");
        assert!((found.turned - turn).abs() < 1e-9, "{}", found.turned);
        assert!(found.stance.is_stable());
        assert_eq!(rest(&plates, 1.0), None, "{turn} is more than a degree");
        let only_wall = &plates[..1];
        assert_eq!(rest(only_wall, 90.0), None, "poised on its edge, it may fall either way");
    }

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
