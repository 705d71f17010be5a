//! Straps: a loop of paper round the bar between two rails. The length of the strip, its folds and its travel are
//! worked out here.

use super::built::{Built, BuiltPanel, Hinge, in_reading_order};
use super::model::{Crease, Fold, Paper, PieceKind, Placement, Side};
use super::place::side_towards;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Isometry, Point, Polygon, Rect, Segment, pt};
use crate::meaning::design::{Piece, Strap};
use crate::quantity::tolerance::{COINCIDENT_MM, PARALLEL_DEG};
use std::f64::consts::PI;

/// A strap's strip with what its joints need.
pub(super) struct Looped {
    pub built: Built,
    pub bar: f64,
    /// Cut-outs of the piece it goes around, when it runs in rails.
    pub rails: Option<(usize, usize)>,
    /// Panel of that piece.
    pub track: usize,
    /// The front band at the lower end of its travel, in the track's frame.
    pub placement: Placement,
    pub direction: Point,
    pub travel: f64,
    pub ends: (Side, Side),
    /// Where tail 2 lands on tail 1, in the strip's frame.
    pub overlap: Polygon,
    /// Shift from tail 2's place on the strip to its place on tail 1.
    pub tail_shift: Point,
}

/// Indices of a strap's panels.
pub(super) const FRONT: usize = 0;
pub(super) const TAIL_1: usize = 1;
pub(super) const TAIL_2: usize = 2;

/// The bar between two rails: its two centre lines, both from the lower end of the travel to the upper.
struct Bar {
    first: Segment,
    second: Segment,
}

/// Length of the strip in mm: twice the bar, the overlap, and what the thickness takes. A sheet bent round an edge keeps
/// its length along its middle (the neutral axis): each of the two half turns takes the bar's thickness and a half circle
/// of the strap's own thickness, together 2 t_bar + π t_strap.
pub fn strip_length(bar: f64, overlap: f64, bar_caliper: f64, strap_caliper: f64, loose: f64) -> f64 {
    2.0 * bar + overlap + 2.0 * bar_caliper + PI * strap_caliper + loose
}

pub(super) fn build(
    piece: &Piece,
    strap: &Strap,
    around: &Built,
    papers: &[Paper],
    sink: &mut Findings,
) -> Option<Looped> {
    let track = around.panel_or_only(strap.around_panel.as_deref());
    let (bar, rails) = match &strap.rails {
        Some((a, b)) => {
            let (a, b) = (around.cutout(a)?, around.cutout(b)?);
            (rails_bar(piece, strap, around, a, b, sink)?, Some((a, b)))
        }
        None => (whole_bar(&around.panel_box(track?)), None),
    };
    let track = track.or_else(|| around.cutouts.get(rails?.0).map(|c| c.panel))?;
    let wide = strap.wide.value();
    let along = bar.first.vector().unit()?;
    let across = bar.second.start - bar.first.start;
    let width = along.cross(across).abs();
    // The stretch that both rails share, along the first.
    let ends = |s: &Segment| {
        let (a, b) = (along.dot(s.start), along.dot(s.end));
        (a.min(b), a.max(b))
    };
    let ((low_1, high_1), (low_2, high_2)) = (ends(&bar.first), ends(&bar.second));
    let (low, high) = (low_1.max(low_2), high_1.min(high_2));
    let travel = high - low - wide;
    if travel <= COINCIDENT_MM {
        sink.report(found::StrapTooWide {
            strap: piece.name.clone(),
            wide: strap.wide.stated(),
            rails: strap.rails_span,
            common: (high - low).max(0.0),
        });
        return None;
    }
    if strap.overlap.value() > width {
        sink.report(found::StrapOverlapTooLong {
            strap: piece.name.clone(),
            overlap: strap.overlap.stated(),
            rails: strap.rails_span,
            bar: width,
        });
        return None;
    }
    let caliper = |id: usize| papers.get(id).map_or(0.0, |paper| paper.caliper);
    let loose = strap.loose.map_or(0.0, |l| l.value());
    let length =
        strip_length(width, strap.overlap.value(), caliper(around.paper), caliper(piece.paper), loose);
    let strip = Strip { length, bar: width, wide, upright: along.x.abs() > along.y.abs() };
    // The first rail is the one on which the strip's lower coordinates lie.
    let first_low = bar.first.start + along * (low - along.dot(bar.first.start));
    let second_low = first_low + across - along * along.dot(across);
    let placement = strip.placement(first_low, second_low)?;
    let built = strip.built(piece);
    Some(Looped {
        bar: width,
        rails,
        track,
        placement,
        direction: along,
        travel,
        ends: (side_towards(-along), side_towards(along)),
        overlap: strip.overlap(strap.overlap.value()),
        tail_shift: strip.lengthwise(-2.0 * width),
        built,
    })
}

/// The rails' centre lines, both rising (or running to the right), the first on the left of the second (or above it).
fn rails_bar(
    piece: &Piece,
    strap: &Strap,
    around: &Built,
    a: usize,
    b: usize,
    sink: &mut Findings,
) -> Option<Bar> {
    let line = |index: usize| {
        let cutout = around.cutouts.get(index)?;
        Some(rising(Segment::new(cutout.from, cutout.to)))
    };
    let (first, second) = (line(a)?, line(b)?);
    let degrees = angle_between(&first, &second).unwrap_or(90.0);
    let same_panel = around.cutouts.get(a).map(|c| c.panel) == around.cutouts.get(b).map(|c| c.panel);
    if degrees > PARALLEL_DEG || !same_panel || first.offset_of(second.start).abs() <= COINCIDENT_MM {
        let span = |index: usize| around.cutouts.get(index).map_or(strap.rails_span, |c| c.span);
        sink.report(found::StrapRailsNotParallel {
            strap: piece.name.clone(),
            place: strap.rails_span,
            rails: (span(a), span(b)),
            degrees,
            same_panel,
        });
        return None;
    }
    let swap = first.vector().cross(second.midpoint() - first.midpoint()) < 0.0;
    Some(if swap { Bar { first: second, second: first } } else { Bar { first, second } })
}

/// A strap round a whole panel slides up and down along its sides.
fn whole_bar(bounds: &Rect) -> Bar {
    let [tl, tr, br, bl] = bounds.corners();
    Bar { first: Segment::new(bl, tl), second: Segment::new(br, tr) }
}

/// From the bottom up; a level line from left to right.
fn rising(segment: Segment) -> Segment {
    let vector = segment.vector();
    if vector.x.abs() > vector.y.abs() {
        in_reading_order(segment)
    } else if vector.y > 0.0 {
        segment.reversed()
    } else {
        segment
    }
}

fn angle_between(a: &Segment, b: &Segment) -> Option<f64> {
    let (u, v) = (a.vector().unit()?, b.vector().unit()?);
    Some(libm::atan2(u.cross(v).abs(), u.dot(v).abs()).to_degrees())
}

/// The flat strip: tail 1, front band, tail 2 one after another, from left to right, or from top to bottom when the
/// bar lies upright.
struct Strip {
    length: f64,
    bar: f64,
    wide: f64,
    upright: bool,
}

impl Strip {
    /// Where along the strip the front band starts.
    fn tail(&self) -> f64 {
        (self.length - self.bar) / 2.0
    }

    fn lengthwise(&self, by: f64) -> Point {
        if self.upright { pt(0.0, by) } else { pt(by, 0.0) }
    }

    fn rect(&self, from: f64, to: f64) -> Rect {
        if self.upright {
            Rect::new(0.0, from, self.wide, to - from)
        } else {
            Rect::new(from, 0.0, to - from, self.wide)
        }
    }

    fn built(&self, piece: &Piece) -> Built {
        let (a, b) = (self.tail(), self.tail() + self.bar);
        let whole = self.rect(0.0, self.length);
        let panel = |name: &str, from: f64, to: f64| BuiltPanel {
            name: name.into(),
            polygon: Polygon::rectangle(self.rect(from, to)),
            span: piece.span,
        };
        let fold = |at: f64| {
            let across = if self.upright { pt(self.wide, 0.0) } else { pt(0.0, self.wide) };
            Segment::new(self.lengthwise(at), self.lengthwise(at) + across)
        };
        let crease = |name: &str, line: Segment| Crease {
            name: name.into(),
            named: false,
            fold: Fold::Mountain,
            from: line.start,
            to: line.end,
            hinges: Vec::new(),
            rest: Some(180.0),
            reading: None,
            span: piece.span,
        };
        let (first, second) = (fold(a), fold(b));
        // The left hand of a line from top to bottom is to the right as seen; of one from left to right, above.
        let hinge = |crease: usize, line: Segment, lower: usize, higher: usize| {
            let (a, b) = if self.upright { (lower, higher) } else { (higher, lower) };
            Hinge { crease, a, b, line }
        };
        Built {
            name: piece.name.clone(),
            kind: PieceKind::Strap,
            paper: piece.paper,
            contour: Contour::rectangle(whole),
            polygon: Polygon::rectangle(whole),
            body: self.rect(a, b),
            size: None,
            creases: vec![crease("score 1", first), crease("score 2", second)],
            cutouts: Vec::new(),
            marks: Vec::new(),
            panels: vec![panel("front", a, b), panel("tail 1", 0.0, a), panel("tail 2", b, self.length)],
            hinges: vec![hinge(0, first, TAIL_1, FRONT), hinge(1, second, FRONT, TAIL_2)],
            span: piece.span,
        }
    }

    /// Carries the front band so that its two folds lie on the rails and its lower edge at the rails' lower ends.
    fn placement(&self, first_low: Point, second_low: Point) -> Option<Placement> {
        let (a, b) = (self.tail(), self.tail() + self.bar);
        let motion = if self.upright {
            // Level rails: the left edge of the band lies at their left ends.
            let own = Segment::new(pt(0.0, a), pt(0.0, b));
            Isometry::carrying(own, Segment::new(first_low, second_low))?
        } else {
            let own = Segment::new(pt(a, self.wide), pt(b, self.wide));
            Isometry::carrying(own, Segment::new(first_low, second_low))?
        };
        Some(Placement::carrying(&motion, super::model::Face::Front, 0.0))
    }

    /// Where the tails are stuck together, in the strip's frame, on tail 1: the middle of the shared stretch.
    fn overlap(&self, overlap: f64) -> Polygon {
        let shared = (self.length - 2.0 * self.bar).max(0.0);
        let spare = (shared - overlap).max(0.0) / 2.0;
        Polygon::rectangle(self.rect(spare, shared - spare))
    }
}

/// Carries the front band's plane onto the plane of tail 2 when the strap is looped: a mirroring about the second fold.
pub(super) fn band_to_outer_tail(built: &Built) -> Option<Isometry> {
    let crease = built.creases.get(1)?;
    Isometry::mirror(Segment::new(crease.from, crease.to))
}
