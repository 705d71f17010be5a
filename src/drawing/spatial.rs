//! Dimensions of a card that is seen at an angle: they lie in the plane of the paper (that of the panel which stays
//! upright before the viewer), and the depth along the table, each drawn out so far that it meets nothing.

use kurbo::{BezPath, Point, Vec2};

use super::dimension::Style;
use super::text::{Text, Typeface};
use super::{Colour, LineKind, Mark, Operation, curve, symbol};
use crate::geometry::{Polygon, Region, intersection, pt, region_area};
use crate::layers::hidden::{Camera, Leaf};
use crate::motion::Vec3;
use crate::quantity::tolerance::AREA_MM2;

/// Sizes at the usual scale of a picture, mm: arrowheads; between the card and an extension line; how far that goes past
/// the dimension line; between the dimension line and the foot of its figure; by how much a dimension is moved on.
const ARROW: f64 = 2.5;
const GAP: f64 = 1.0;
const BEYOND: f64 = 1.5;
const LIFT: f64 = 0.9;
const STEP: f64 = 2.0;
/// A dimension that finds no free place within so many steps is left where it is.
const MOST_STEPS: usize = 60;
/// A card less deep than this is called flat, mm.
const FLAT_MM: f64 = 5.0;

/// The box of a card in space, mm.
struct Extent3 {
    low: Vec3,
    high: Vec3,
}

impl Extent3 {
    fn of(leaves: &[Leaf]) -> Option<Self> {
        let corners = leaves
            .iter()
            .flat_map(|leaf| leaf.polygon.outer.iter().map(|p| leaf.frame.point(Vec3::new(p.x, -p.y, 0.0))));
        corners.fold(None, |all, p| {
            let Extent3 { low, high } = all.unwrap_or(Extent3 { low: p, high: p });
            Some(Extent3 { low: low.inf(&p), high: high.sup(&p) })
        })
    }
}

/// One distance: its ends in space, and the direction in which its dimension is drawn out.
struct Span {
    ends: [Vec3; 2],
    out: Vec3,
    mm: f64,
}

/// The ways in which width, height and, of a card that does not lie flat, depth can be shown; the best first.
fn choices(low: Vec3, high: Vec3) -> Vec<Vec<Span>> {
    let size = high - low;
    // The plane of the root panel, z = 0, or the nearest that the card reaches; else the nearest and the farthest.
    let planes = [0.0_f64.clamp(low.z, high.z), high.z, low.z];
    let span = |from: Vec3, to: Vec3, out: Vec3| Span { ends: [from, to], out, mm: (to - from).norm() };
    let width = planes.map(|z| span(Vec3::new(low.x, low.y, z), Vec3::new(high.x, low.y, z), -Vec3::y()));
    let height = planes.map(|z| span(Vec3::new(low.x, low.y, z), Vec3::new(low.x, high.y, z), -Vec3::x()));
    let mut all = vec![Vec::from(width), Vec::from(height)];
    if size.z > FLAT_MM {
        let along = |x: f64, y: f64, out: Vec3| span(Vec3::new(x, y, low.z), Vec3::new(x, y, high.z), out);
        all.push(vec![
            along(high.x, low.y, Vec3::x()),
            along(high.x, low.y, -Vec3::y()),
            along(low.x, low.y, -Vec3::y()),
            along(high.x, high.y, Vec3::x()),
            along(high.x, high.y, Vec3::y()),
            along(low.x, high.y, Vec3::y()),
        ]);
    }
    all
}

/// Width, height and, of a card that does not lie flat, depth; `scale` is the picture's.
pub fn sizes(
    leaves: &[Leaf],
    camera: &Camera,
    scale: f64,
    say: &dyn Fn(f64) -> String,
    typeface: &Typeface,
) -> Vec<Mark> {
    let Some(Extent3 { low, high }) = Extent3::of(leaves) else { return Vec::new() };
    let mut taken: Region = leaves.iter().map(|leaf| leaf.project(camera).polygon).collect();
    let mut witnesses = Region::new();
    let mut marks = Vec::new();
    for spans in choices(low, high) {
        let at = |span: &Span, step: usize| {
            Drawn::new(span, camera, scale, Style::default().first + STEP * step as f64, say, typeface)
        };
        let free = |drawn: &Drawn| {
            let apart = |area: &Polygon, other: &Polygon| {
                region_area(&intersection(std::slice::from_ref(area), std::slice::from_ref(other)))
                    <= AREA_MM2
            };
            // Witness lines may cross one another, and nothing else.
            drawn.ground.iter().all(|area| taken.iter().chain(&witnesses).all(|t| apart(area, t)))
                && drawn.witness.iter().all(|area| taken.iter().all(|t| apart(area, t)))
        };
        let nearest = (0..MOST_STEPS).find_map(|step| {
            let drawn = spans.iter().map(|span| at(span, step));
            drawn.into_iter().find(free)
        });
        let Some(drawn) = nearest.or_else(|| spans.first().map(|span| at(span, 0))) else { continue };
        taken.extend(drawn.ground);
        witnesses.extend(drawn.witness);
        marks.extend(drawn.marks);
    }
    marks
}

/// A dimension as drawn, the areas that nothing else may lie on, and those of its witness lines.
struct Drawn {
    marks: Vec<Mark>,
    ground: Region,
    witness: Region,
}

impl Drawn {
    /// `far`: from the card to the dimension line, mm at the usual scale.
    fn new(
        span: &Span,
        camera: &Camera,
        scale: f64,
        far: f64,
        say: &dyn Fn(f64) -> String,
        typeface: &Typeface,
    ) -> Self {
        let on_drawing = |p: Vec3| curve::point(camera.project(p).0);
        let foot = |end: Vec3, mm: f64| on_drawing(end + span.out * (mm * scale));
        let [start, end] = span.ends.map(|p| foot(p, far));
        let mut witness = BezPath::new();
        for p in span.ends {
            witness.extend(curve::segment(foot(p, GAP), foot(p, far + BEYOND)));
        }
        let along = end - start;
        let direction = libm::atan2(along.y, along.x).to_degrees();
        let arrow = (ARROW * scale).min(along.hypot() / 3.0);
        // Figures read from below or from the right.
        let upright = if (-90.0..90.0).contains(&direction) { direction } else { direction - 180.0 };
        let upright = if upright < -180.0 { upright + 360.0 } else { upright };
        let away = unit(foot(span.ends[0], far) - on_drawing(span.ends[0]));
        let size = Style::default().text_size * scale;
        let said = say(span.mm);
        let across = unit(Vec2::new(-along.y, along.x));
        let half = typeface.width(&said, size) / 2.0;
        let middle = if 2.0 * half + 2.0 * arrow < along.hypot() {
            // On the side that looks away from the card.
            let side = if across.dot(away) >= 0.0 { 1.0 } else { -1.0 };
            start + along / 2.0 + across * side * (LIFT * scale + typeface.cap_height * size / 2.0)
        } else {
            // Too short for its figure, which stands beyond the end that is nearer to the viewer.
            end + unit(along) * (half + 2.0 * LIFT * scale)
        };
        let text = Text::centred(&said, middle, size, upright, typeface);
        let ring = |points: &[Point]| Polygon::simple(points.iter().map(|p| pt(p.x, p.y)).collect());
        let thick = across * (arrow / 3.0);
        let strip =
            |from: Point, to: Point, half: Vec2| ring(&[from - half, to - half, to + half, from + half]);
        let thin = |from: Point, to: Point| unit(Vec2::new(from.y - to.y, to.x - from.x)) * (0.1 * scale);
        let ground = vec![ring(&text.corners(typeface)), strip(start, end, thick)];
        let line = |p: Vec3| {
            let (from, to) = (foot(p, GAP), foot(p, far + BEYOND));
            strip(from, to, thin(from, to))
        };
        let lines = span.ends.map(line).to_vec();
        let marks = vec![
            Mark::line(LineKind::Extension, witness),
            Mark::line(LineKind::Dimension, curve::segment(start, end)),
            Mark::fill(
                Operation::Dimensions,
                symbol::arrowhead(start, direction + 180.0, arrow),
                Colour::BLACK,
            ),
            Mark::fill(Operation::Dimensions, symbol::arrowhead(end, direction, arrow), Colour::BLACK),
            Mark::text(Operation::Dimensions, text),
        ];
        Self { marks, ground, witness: lines }
    }
}

fn unit(v: Vec2) -> Vec2 {
    let length = v.hypot();
    if length > 0.0 { v / length } else { v }
}
