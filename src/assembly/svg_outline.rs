//! An outline from an SVG drawing. The only file of this room that knows the SVG library.
//!
//! Lengths follow the drawing's own physical size (`width="80mm"`); a drawing without one is read at 96 px to the inch,
//! as the standard says (CSS Values and Units 3, 6.2), with a caution.

use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Curve, Isometry, Point, pt};
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::source::Span;
use resvg::usvg;
use usvg::tiny_skia_path::{PathSegment, Point as PathPoint};

/// CSS reference pixels in an inch.
const PX_PER_INCH: f32 = 96.0;
const MM_PER_PX: f64 = 25.4 / 96.0;
/// The library computes in single precision; coordinates are rounded to this, mm.
const ROUNDING_MM: f64 = 1e-4;

pub(super) struct Drawing {
    pub outer: Contour,
    pub openings: Vec<Contour>,
}

/// Width over height of a drawing's page; `None` when it cannot be read.
pub(super) fn aspect(bytes: &[u8]) -> Option<f64> {
    let tree = usvg::Tree::from_data(bytes, &usvg::Options::default()).ok()?;
    let (width, height) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    (width > 0.0 && height > 0.0).then_some(width / height)
}

/// The largest closed contour of a drawing and those inside it, its top left corner at the origin.
pub(super) fn read(file: &str, bytes: &[u8], span: Span, sink: &mut Findings) -> Option<Drawing> {
    let mut fail = |fault: found::SvgOutline| {
        sink.report(fault);
        None
    };
    let options = usvg::Options { dpi: PX_PER_INCH, ..usvg::Options::default() };
    let tree = match usvg::Tree::from_data(bytes, &options) {
        Ok(tree) => tree,
        Err(error) => return fail(found::SvgOutline::unreadable(file, span, error.to_string())),
    };
    let mut contours = Vec::new();
    if let Err(gap) = collect(tree.root(), &mut contours) {
        return fail(found::SvgOutline::open(file, span, gap));
    }
    let area = |contour: &Contour| contour.signed_area().abs();
    let Some(largest) =
        (0..contours.len()).max_by(|&i, &j| area(&contours[i]).total_cmp(&area(&contours[j])))
    else {
        return fail(found::SvgOutline::empty(file, span));
    };
    let outer = contours.swap_remove(largest);
    let frame = crate::geometry::Polygon::simple(outer.flatten(COINCIDENT_MM));
    let outside = contours.iter().filter(|c| !frame.contains(c.start, COINCIDENT_MM)).count();
    if outside > 0 {
        return fail(found::SvgOutline::several(file, span, outside + 1));
    }
    let bounds = outer.bounds();
    if !has_physical_size(bytes) {
        sink.report(found::SvgWithoutSize {
            file: file.into(),
            place: span,
            width: bounds.width(),
            height: bounds.height(),
        });
    }
    let to_corner = Isometry::translation(-bounds.min);
    Some(Drawing {
        outer: outer.transformed(&to_corner),
        openings: contours.iter().map(|contour| contour.transformed(&to_corner)).collect(),
    })
}

/// Every subpath as a closed contour in mm; the gap of one that is open.
fn collect(group: &usvg::Group, contours: &mut Vec<Contour>) -> Result<(), f64> {
    for node in group.children() {
        match node {
            usvg::Node::Group(inner) => collect(inner, contours)?,
            usvg::Node::Path(path) if path.is_visible() => {
                let Some(data) = path.data().clone().transform(path.abs_transform()) else { continue };
                for contour in subpaths(data.segments()) {
                    let limit = COINCIDENT_MM * 10.0;
                    if !contour.is_closed(limit) {
                        return Err(contour.gap());
                    }
                    contours.push(contour.closed(limit));
                }
            }
            _ => {}
        }
    }
    Ok(())
}

fn subpaths(segments: impl Iterator<Item = PathSegment>) -> Vec<Contour> {
    let mut list: Vec<Contour> = Vec::new();
    let mut at = Point::ORIGIN;
    for segment in segments {
        if let PathSegment::MoveTo(to) = segment {
            at = mm(to);
            list.push(Contour::new(at, Vec::new()));
            continue;
        }
        let Some(contour) = list.last_mut() else { continue };
        let curve = match segment {
            PathSegment::LineTo(to) => Curve::line(mm(to)),
            PathSegment::QuadTo(control, to) => {
                // The same parabola as a cubic curve (degree elevation).
                let (control, to) = (mm(control), mm(to));
                let towards = |end: Point| end + (control - end) * (2.0 / 3.0);
                Curve::Cubic { control1: towards(at), control2: towards(to), to }
            }
            PathSegment::CubicTo(a, b, to) => Curve::Cubic { control1: mm(a), control2: mm(b), to: mm(to) },
            PathSegment::MoveTo(_) => continue,
            PathSegment::Close if at.is_near(contour.start, ROUNDING_MM / 2.0) => continue,
            PathSegment::Close => Curve::line(contour.start),
        };
        at = curve.end();
        contour.segments.push(curve);
    }
    list.retain(|contour| !contour.segments.is_empty());
    list
}

fn mm(point: PathPoint) -> Point {
    let round = |px: f32| (px as f64 * MM_PER_PX / ROUNDING_MM).round() * ROUNDING_MM;
    pt(round(point.x), round(point.y))
}

/// Whether the root element gives its width and height in a unit of length.
fn has_physical_size(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else { return true };
    let options = usvg::roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let Ok(document) = usvg::roxmltree::Document::parse_with_options(text, options) else { return true };
    let physical = |name: &str| {
        let value = document.root_element().attribute(name).unwrap_or_default().trim().to_ascii_lowercase();
        ["mm", "cm", "in", "pt", "pc"].iter().any(|unit| value.ends_with(unit))
    };
    physical("width") && physical("height")
}
