//! Straight cuts through polygons: where a line runs inside one, and how wide it is across a direction.

use super::point::{Point, Segment};
use super::polygon::Polygon;

/// A stretch of a line, from `from` to `to`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    pub from: f64,
    pub to: f64,
}

impl Span {
    pub fn length(&self) -> f64 {
        self.to - self.from
    }
}

/// Where the line through `origin` along the unit vector `direction` runs inside a polygon, as distances from `origin`
/// in ascending order. A stretch along an edge is not inside.
pub fn line_spans(polygon: &Polygon, origin: Point, direction: Point) -> Vec<Span> {
    // The two ways to count a corner exactly on the line differ only in stretches along edges.
    let above = spans_with(polygon, origin, direction, |side| side >= 0.0);
    let below = spans_with(polygon, origin, direction, |side| side > 0.0);
    common(&above, &below)
}

/// The part of a segment inside a polygon, as distances from its start.
pub fn clip_segment(polygon: &Polygon, segment: &Segment) -> Vec<Span> {
    let Some(direction) = segment.vector().unit() else { return Vec::new() };
    common(&line_spans(polygon, segment.start, direction), &[Span { from: 0.0, to: segment.length() }])
}

fn spans_with(polygon: &Polygon, origin: Point, direction: Point, right: impl Fn(f64) -> bool) -> Vec<Span> {
    let mut crossings: Vec<f64> = Vec::new();
    for edge in polygon.edges() {
        let (a, b) = (edge.start - origin, edge.end - origin);
        let (sa, sb) = (direction.cross(a), direction.cross(b));
        if right(sa) != right(sb) {
            let t = sa / (sa - sb);
            crossings.push(direction.dot(a.lerp(b, t)));
        }
    }
    crossings.sort_by(f64::total_cmp);
    let mut spans: Vec<Span> = Vec::new();
    for pair in crossings.chunks_exact(2) {
        let span = Span { from: pair[0], to: pair[1] };
        match spans.last_mut() {
            Some(last) if last.to >= span.from => last.to = span.to,
            _ => spans.push(span),
        }
    }
    spans
}

fn common(a: &[Span], b: &[Span]) -> Vec<Span> {
    let overlap = |s: &Span, t: &Span| Span { from: s.from.max(t.from), to: s.to.min(t.to) };
    let pairs = a.iter().flat_map(|s| b.iter().map(move |t| overlap(s, t)));
    pairs.filter(|span| span.to > span.from).collect()
}

/// A slab of a polygon between two neighbouring corner heights along a direction: within it every side is straight, so
/// the spans at both ends say everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Slab {
    /// Distance along the direction where the slab starts.
    pub from: f64,
    /// Distance along the direction where it ends.
    pub to: f64,
    /// Each stretch of material across the direction: as it is at the start, and as it is at the end.
    pub spans: Vec<(Span, Span)>,
}

impl Slab {
    /// Extent across the direction from the first material to the last, gaps included, at the slab's two ends.
    pub fn extents(&self) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.spans.first(), self.spans.last()) else { return (0.0, 0.0) };
        (last.0.to - first.0.from, last.1.to - first.1.from)
    }

    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// Material across the direction at a fraction `t` of the slab.
    pub fn at(&self, t: f64) -> Vec<Span> {
        let mix = |a: f64, b: f64| a + (b - a) * t;
        self.spans.iter().map(|(a, b)| Span { from: mix(a.from, b.from), to: mix(a.to, b.to) }).collect()
    }
}

/// The slabs of a polygon along a unit `direction`, distances measured from the origin of the frame; across, distances
/// grow to the right hand of the direction. Corners closer than `tolerance` along the direction make one slab border.
pub fn width_profile(polygon: &Polygon, direction: Point, tolerance: f64) -> Vec<Slab> {
    let mut heights: Vec<f64> = polygon.vertices().map(|corner| direction.dot(corner)).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|next, last| *next - *last <= tolerance);
    let borders = heights.iter().zip(heights.iter().skip(1));
    borders.map(|(&from, &to)| Slab { from, to, spans: slab_spans(polygon, direction, from, to) }).collect()
}

fn slab_spans(polygon: &Polygon, direction: Point, from: f64, to: f64) -> Vec<(Span, Span)> {
    let middle = (from + to) / 2.0;
    // Every edge over the middle spans the slab, up to the tolerance of its borders.
    let mut edges: Vec<(f64, f64, f64)> = polygon
        .edges()
        .filter_map(|edge| {
            let (h0, h1) = (direction.dot(edge.start), direction.dot(edge.end));
            let (w0, w1) = (direction.cross(edge.start), direction.cross(edge.end));
            let at = |height: f64| w0 + (w1 - w0) * ((height - h0) / (h1 - h0)).clamp(0.0, 1.0);
            ((h0 > middle) != (h1 > middle)).then(|| (at(middle), at(from), at(to)))
        })
        .collect();
    edges.sort_by(|a, b| a.0.total_cmp(&b.0));
    let pairs = edges.chunks_exact(2);
    pairs
        .map(|pair| (Span { from: pair[0].1, to: pair[1].1 }, Span { from: pair[0].2, to: pair[1].2 }))
        .collect()
}

/// The widest place across `direction` (gaps included) within `from..=to` along it: where it is and how wide.
pub fn widest_extent(profile: &[Slab], from: f64, to: f64) -> Option<(f64, f64)> {
    extents_within(profile, from, to).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The narrowest place across `direction` (gaps included) within `from..=to` along it.
pub fn narrowest_extent(profile: &[Slab], from: f64, to: f64) -> Option<(f64, f64)> {
    extents_within(profile, from, to).min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Extents are linear along a slab, so the ends of what is asked for within it are enough.
fn extents_within(profile: &[Slab], from: f64, to: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
    profile.iter().filter(move |slab| slab.from <= to && slab.to >= from && !slab.spans.is_empty()).flat_map(
        move |slab| {
            let (start, end) = slab.extents();
            [slab.from.max(from), slab.to.min(to)].map(|height| {
                let t = if slab.length() > 0.0 { (height - slab.from) / slab.length() } else { 0.0 };
                (height, start + (end - start) * t)
            })
        },
    )
}
