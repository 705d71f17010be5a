//! The outline of a cut piece from its shape, before tabs and cut-outs: one closed contour with its curves kept.
//! Outlines that are open, cross themselves or have no sensible size are refused here, with the place.

use super::model::Written;
use super::svg_outline;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Curve, Isometry, Point, Rect, Segment, minimum_width, pt};
use crate::meaning::design::{self, Cut, Mirror, PathSegment, Quantity, Shape, SideWord};
use crate::quantity::tolerance::{CHORD_MM, COINCIDENT_MM, LARGEST_PIECE_MM};
use crate::source::Span;

pub(super) struct Drawn {
    pub contour: Contour,
    /// Openings that came with the outline (an SVG drawing's inner contours).
    pub openings: Vec<Contour>,
    pub size: Option<(Written, Written)>,
}

impl Drawn {
    fn plain(contour: Contour) -> Self {
        Self { contour, openings: Vec::new(), size: None }
    }
}

pub(super) fn written(quantity: &Quantity) -> Written {
    Written { value: quantity.value(), span: quantity.span, literal: quantity.literal }
}

pub(super) fn point(point: &design::Point) -> Point {
    pt(point.x.value(), point.y.value())
}

/// A circle of four quarter arcs: its chords reach the sides of its box.
pub(super) fn circle(centre: Point, radius: f64) -> Contour {
    let rect = Rect::of_corners(centre - pt(radius, radius), centre + pt(radius, radius));
    Contour::rounded_rectangle(rect, [radius; 4])
}

/// The outline of `cut`, or `None` after a finding.
pub(super) fn draw(cut: &Cut, piece: &str, sink: &mut Findings) -> Option<Drawn> {
    let mut drawn = from_shape(&cut.shape, piece, cut.mirror.is_some(), sink)?;
    if let Some(mirror) = &cut.mirror {
        drawn.contour = complete(drawn.contour, mirror, cut, piece, sink)?;
        drawn.size = None;
    }
    let bounds = drawn.contour.bounds();
    let (width, height) = (bounds.width(), bounds.height());
    if !width.is_finite() || !height.is_finite() || width.max(height) > LARGEST_PIECE_MM {
        sink.report(found::PieceTooLarge { piece: piece.into(), place: cut.shape_span, width, height });
        return None;
    }
    let flat =
        minimum_width(drawn.contour.flatten(CHORD_MM)).is_none_or(|least| least.width <= COINCIDENT_MM);
    if flat {
        sink.report(found::OutlineWithoutArea { piece: piece.into(), place: cut.shape_span, width, height });
        return None;
    }
    if let Some(at) = drawn.contour.self_crossing(CHORD_MM) {
        let near = corner_before(&drawn.contour, at, &cut.shape);
        sink.report(found::OutlineCrossesItself {
            piece: piece.into(),
            place: cut.shape_span,
            near,
            at: (at.x, at.y),
        });
        return None;
    }
    if drawn.contour.signed_area() < 0.0 {
        drawn.contour = drawn.contour.reversed();
    }
    Some(drawn)
}

fn from_shape(shape: &Shape, piece: &str, half: bool, sink: &mut Findings) -> Option<Drawn> {
    Some(match shape {
        Shape::Rectangle { width, height } => Drawn {
            size: Some((written(width), written(height))),
            ..Drawn::plain(Contour::rectangle(Rect::new(0.0, 0.0, width.value(), height.value())))
        },
        Shape::Rounded { width, height, corner } => Drawn {
            size: Some((written(width), written(height))),
            ..Drawn::plain(Contour::rounded_rectangle(
                Rect::new(0.0, 0.0, width.value(), height.value()),
                [corner.value(); 4],
            ))
        },
        Shape::Circle { diameter } => {
            let radius = diameter.value() / 2.0;
            Drawn::plain(circle(pt(radius, radius), radius))
        }
        Shape::Polygon(points) => {
            let corners: Vec<Point> = points.iter().map(point).collect();
            Drawn::plain(Contour::polygon(&corners))
        }
        Shape::Path { start, segments } => {
            let contour = path(start, segments, sink)?;
            if !half && !contour.is_closed(COINCIDENT_MM) {
                let last = segments.last().map_or(start.span, |s| s.end().span);
                let gap = contour.gap();
                sink.report(found::OutlineOpen {
                    piece: piece.into(),
                    place: last,
                    start: start.span,
                    gap,
                    mirrored: false,
                });
                return None;
            }
            Drawn::plain(if half { contour } else { contour.closed(COINCIDENT_MM) })
        }
        Shape::Svg { file, bytes, span } => {
            let drawing = svg_outline::read(file, bytes, *span, sink)?;
            Drawn { openings: drawing.openings, ..Drawn::plain(drawing.outer) }
        }
    })
}

fn path(start: &design::Point, segments: &[PathSegment], sink: &mut Findings) -> Option<Contour> {
    let mut contour = Contour::new(point(start), Vec::with_capacity(segments.len()));
    for segment in segments {
        let curve = match segment {
            PathSegment::Line(to) => Curve::line(point(to)),
            PathSegment::Curve { first, second, to } => {
                Curve::Cubic { control1: point(first), control2: point(second), to: point(to) }
            }
            PathSegment::Arc { through, to } => {
                let Some(arc) = arc_through(contour.end(), point(through), point(to)) else {
                    sink.report(found::ArcWithoutCircle { place: through.span, end: to.span });
                    return None;
                };
                arc
            }
        };
        contour.segments.push(curve);
    }
    Some(contour)
}

/// The circular arc from `from` through `through` to `to`; a line when the middle point lies between the others, and
/// `None` when three points in one line leave no circle. The angle subtended at the middle point is half of the angle
/// that is left of the turn (Euclid, Elements III.20).
pub(super) fn arc_through(from: Point, through: Point, to: Point) -> Option<Curve> {
    let (a, b) = (from - through, to - through);
    if a.length() <= COINCIDENT_MM || b.length() <= COINCIDENT_MM || from.is_near(to, COINCIDENT_MM) {
        return None;
    }
    let chord = Segment::new(from, to);
    let seen = libm::atan2(a.cross(b).abs(), a.dot(b));
    if chord.offset_of(through).abs() <= COINCIDENT_MM / 10.0 {
        return (a.dot(b) < 0.0).then_some(Curve::line(to));
    }
    let bulge = 1.0 / libm::tan(seen / 2.0);
    // Clockwise as seen when the middle point lies on the left hand of the chord.
    let sign = if chord.offset_of(through) < 0.0 { 1.0 } else { -1.0 };
    Some(Curve::Arc { to, bulge: sign * bulge })
}

/// A half outline completed by its mirror image. The half must start and end on the mirror line; a closed half may
/// have a side along it.
fn complete(half: Contour, mirror: &Mirror, cut: &Cut, piece: &str, sink: &mut Findings) -> Option<Contour> {
    let axis = axis(mirror, &half.bounds());
    let on_axis = |p: Point| axis.offset_of(p).abs() <= COINCIDENT_MM;
    let chain = if on_axis(half.start) && on_axis(half.end()) && !half.is_closed(COINCIDENT_MM) {
        half.clone()
    } else {
        let closed = half.clone().closed(COINCIDENT_MM);
        match opened_along(&closed, on_axis) {
            Some(chain) => chain,
            None => {
                let gaps = [half.start, half.end()].map(|p| axis.offset_of(p).abs());
                sink.report(found::OutlineOpen {
                    piece: piece.into(),
                    place: cut.shape_span,
                    start: mirror_span(mirror),
                    gap: gaps[0].max(gaps[1]),
                    mirrored: true,
                });
                return None;
            }
        }
    };
    let motion = Isometry::mirror(axis)?;
    let image = chain.transformed(&motion).reversed();
    let mut whole = chain;
    whole.segments.extend(image.segments);
    Some(whole.closed(COINCIDENT_MM * 3.0))
}

fn axis(mirror: &Mirror, bounds: &Rect) -> Segment {
    match mirror {
        Mirror::Points(a, b) => Segment::new(point(a), point(b)),
        Mirror::Reading { value, from } => {
            let v = value.value();
            match from {
                // Points read from the top left corner, and so does the line, wherever a curve bulges to.
                SideWord::Left => upright(v),
                SideWord::Right => upright(bounds.max.x - v),
                SideWord::Top => level(v),
                SideWord::Bottom => level(bounds.max.y - v),
            }
        }
    }
}

fn upright(x: f64) -> Segment {
    Segment::new(pt(x, 0.0), pt(x, 1.0))
}

fn level(y: f64) -> Segment {
    Segment::new(pt(0.0, y), pt(1.0, y))
}

fn mirror_span(mirror: &Mirror) -> Span {
    match mirror {
        Mirror::Reading { value, .. } => value.span,
        Mirror::Points(a, b) => a.span.to(b.span),
    }
}

/// A closed contour opened by taking out a line that runs along the mirror axis.
fn opened_along(contour: &Contour, on_axis: impl Fn(Point) -> bool) -> Option<Contour> {
    let along = contour.curves().position(|(from, curve)| {
        matches!(curve, Curve::Line { .. }) && on_axis(from) && on_axis(curve.end())
    })?;
    let mut segments = contour.segments.clone();
    segments.rotate_left(along + 1);
    segments.pop();
    let start = contour.segments.get(along)?.end();
    Some(Contour::new(start, segments))
}

/// The span of the corner at which the edge that holds `at` ends.
fn corner_before(contour: &Contour, at: Point, shape: &Shape) -> Option<Span> {
    let holds = |from: Point, curve: &Curve| {
        let mut points = vec![from];
        curve.flatten_into(from, CHORD_MM, &mut points);
        points.windows(2).any(|w| Segment::new(w[0], w[1]).distance(at) <= COINCIDENT_MM)
    };
    let index = contour.curves().position(|(from, curve)| holds(from, curve))?;
    match shape {
        Shape::Polygon(points) => points.get((index + 1) % points.len().max(1)).map(|p| p.span),
        Shape::Path { segments, .. } => segments.get(index).map(|s| s.end().span),
        _ => None,
    }
}
