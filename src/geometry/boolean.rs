//! Set operations and offsets of polygons. This is the only file that knows the integer overlay library; coordinates
//! are converted here, once, to whole micrometres, which reach ±1.07 km.

use super::point::{Point, pt};
use super::polygon::{Polygon, Region, Ring, reading_order, tidy_ring};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};

/// Grid of the set operations, mm.
pub const GRID_MM: f64 = 0.001;

/// Corners that stand out by less than this, mm, and polygons thinner than this are removed from every result: they
/// come from rounding to the grid.
pub const SLIVER_MM: f64 = 0.002;

/// What the integer library holds without overflow.
const REACH: f64 = ((1 << 30) - 1) as f64;

type IntRing = Vec<IntPoint<i32>>;
type IntShape = Vec<IntRing>;

/// The corner a widened outline gets at a convex corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Join {
    /// Sides are produced until they meet, unless the corner is sharper than 20°.
    Mitre,
    /// An arc whose chords stay within `tolerance` mm (or 1/1024 of a turn, whichever is coarser).
    Round { tolerance: f64 },
    /// Cut off straight.
    Bevel,
}

/// Material in `a`, in `b`, or in both.
pub fn union(a: &[Polygon], b: &[Polygon]) -> Region {
    overlay(a, b, OverlayRule::Union)
}

/// Material in every one of the polygons joined into one region.
pub fn union_all(polygons: &[Polygon]) -> Region {
    overlay(polygons, &[], OverlayRule::Subject)
}

/// Material common to `a` and `b`.
pub fn intersection(a: &[Polygon], b: &[Polygon]) -> Region {
    overlay(a, b, OverlayRule::Intersect)
}

/// Material of `a` that is not in `b`.
pub fn difference(a: &[Polygon], b: &[Polygon]) -> Region {
    overlay(a, b, OverlayRule::Difference)
}

/// Material in just one of `a` and `b`.
pub fn xor(a: &[Polygon], b: &[Polygon]) -> Region {
    overlay(a, b, OverlayRule::Xor)
}

/// Whether the two share a patch thicker than `tolerance` mm (by [`Polygon::mean_thickness`]). Sharing an edge or a
/// corner is not enough.
pub fn interiors_intersect(a: &Polygon, b: &Polygon, tolerance: f64) -> bool {
    a.bounds().touches(&b.bounds(), 0.0)
        && intersection(std::slice::from_ref(a), std::slice::from_ref(b))
            .iter()
            .any(|patch| patch.mean_thickness() > tolerance)
}

/// The region grown by `distance` mm on every side, or shrunk when it is negative; rounded to the grid.
pub fn offset(region: &[Polygon], distance: f64, join: Join) -> Region {
    // Overlapping or badly wound input would give wrong offsets.
    let shapes = run(region, &[], OverlayRule::Subject);
    let rings: Vec<IntRing> = shapes.into_iter().flatten().collect();
    let style = IntOutlineStyle::new(to_grid(distance)).line_join(line_join(distance, join));
    match rings.outline(&style) {
        Ok(shapes) => to_region(shapes),
        Err(_) => Region::new(),
    }
}

fn line_join(distance: f64, join: Join) -> IntLineJoin {
    let angle = |radians: f64| Angle::from_radians(radians).unwrap_or(Angle::QUARTER_TURN);
    match join {
        Join::Bevel => IntLineJoin::Bevel,
        Join::Mitre => IntLineJoin::Miter(angle(20f64.to_radians())),
        Join::Round { tolerance } => {
            let cosine = 1.0 - (tolerance / distance.abs().max(GRID_MM)).clamp(0.0, 1.0);
            let max_step = angle(2.0 * libm::acos(cosine));
            IntLineJoin::Round(ArcOptions { max_step, rotation_precision: 32 })
        }
    }
}

fn overlay(a: &[Polygon], b: &[Polygon], rule: OverlayRule) -> Region {
    to_region(run(a, b, rule))
}

fn run(a: &[Polygon], b: &[Polygon], rule: OverlayRule) -> Vec<IntShape> {
    let mut overlay = Overlay::<i32>::new(0);
    for (polygons, side) in [(a, ShapeType::Subject), (b, ShapeType::Clip)] {
        for ring in polygons.iter().flat_map(|polygon| polygon.rings()) {
            overlay.add_path_iter(ring.iter().map(|&point| to_int(point)), side);
        }
    }
    // Rings are wound by kind (see `Polygon::new`), so a positive winding number is material.
    overlay.overlay(rule, FillRule::Positive)
}

fn to_grid(mm: f64) -> i32 {
    // A NaN becomes 0; what lies out of reach is held at the border.
    (mm / GRID_MM).round().clamp(-REACH, REACH) as i32
}

fn to_int(point: Point) -> IntPoint<i32> {
    IntPoint::new(to_grid(point.x), to_grid(point.y))
}

fn to_ring(ring: IntRing) -> Ring {
    // Division gives the f64 nearest to the decimal number; multiplying by 0.001 would not.
    let per_mm = 1.0 / GRID_MM;
    tidy_ring(ring.into_iter().map(|p| pt(p.x as f64 / per_mm, p.y as f64 / per_mm)).collect(), SLIVER_MM)
}

/// In an order that does not depend on the library.
fn to_region(shapes: Vec<IntShape>) -> Region {
    let mut region: Region = shapes.into_iter().filter_map(to_polygon).collect();
    region.sort_by(reading_order);
    region
}

fn to_polygon(shape: IntShape) -> Option<Polygon> {
    let mut rings = shape.into_iter().map(to_ring);
    let outer = rings.next()?;
    let thick = |ring: &Ring| Polygon::simple(ring.clone()).mean_thickness() > SLIVER_MM;
    let polygon = Polygon::new(outer, rings.filter(thick).collect());
    (polygon.mean_thickness() > SLIVER_MM).then_some(polygon)
}
