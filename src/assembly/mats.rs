//! Mats: decorative layers that fit a panel, smaller by a border on every side.

use super::built::{Built, BuiltPanel};
use super::model::{Face, PaperId, PieceKind, Placement};
use super::outline::circle;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Isometry, Join, Point, Polygon, Rect, offset};
use crate::meaning::design::{FaceWord, Mat, Piece};
use crate::quantity::tolerance::{CHORD_MM, COINCIDENT_MM};

/// A mat and where it lies on its panel.
pub(super) struct Fitted {
    pub built: Built,
    pub placement: Placement,
}

pub(super) fn build(
    piece: &Piece,
    mat: &Mat,
    paper: PaperId,
    target: &Built,
    panel: usize,
    sink: &mut Findings,
) -> Option<Fitted> {
    let base = target.panels.get(panel)?;
    let border = mat.border.value();
    let Some(contour) = inset(target, base, border) else {
        let bounds = base.polygon.bounds();
        sink.report(found::MatBorderTooWide {
            mat: piece.name.clone(),
            border: mat.border.stated(),
            on: mat.on.span,
            panel: base.name.clone(),
            size: (bounds.width(), bounds.height()),
            widest: widest_border(&base.polygon),
        });
        return None;
    };
    let (flipped, side) = match mat.on.side {
        FaceWord::Front => (false, Face::Front),
        FaceWord::Back => (true, Face::Back),
    };
    // Seen from behind, left and right change places.
    let contour = if flipped { contour.transformed(&Isometry::mirror_x(0.0)).reversed() } else { contour };
    let corner = contour.bounds().min;
    let contour = contour.transformed(&Isometry::translation(-corner));
    let shift = if flipped { Point::new(-corner.x, corner.y) } else { corner };
    let polygon = Polygon::simple(contour.flatten(CHORD_MM));
    let body = contour.bounds();
    let built = Built {
        name: piece.name.clone(),
        kind: PieceKind::Mat,
        paper,
        panels: vec![BuiltPanel { name: piece.name.clone(), polygon: polygon.clone(), span: piece.span }],
        contour,
        polygon,
        body,
        size: None,
        creases: Vec::new(),
        cutouts: Vec::new(),
        marks: Vec::new(),
        hinges: Vec::new(),
        span: piece.span,
    };
    Some(Fitted { built, placement: Placement { turned: 0.0, flipped, shift, side, raise: 0.0 } })
}

/// The panel's outer shape made smaller; `None` when nothing in one part is left. Rectangles and circles stay exact.
fn inset(target: &Built, base: &BuiltPanel, border: f64) -> Option<Contour> {
    let outer = Polygon::simple(base.polygon.outer.clone());
    let bounds = outer.bounds();
    let room = bounds.width().min(bounds.height()) - 2.0 * border;
    if room <= COINCIDENT_MM {
        return None;
    }
    if (outer.area() - bounds.area()).abs() <= COINCIDENT_MM * COINCIDENT_MM {
        return Some(Contour::rectangle(bounds.expanded(-border)));
    }
    if let Some((centre, radius)) = as_circle(target) {
        return Some(circle(centre, radius - border));
    }
    let mut rings = offset(&[outer], -border, Join::Mitre);
    match (rings.pop(), rings.is_empty()) {
        (Some(ring), true) => Some(Contour::polygon(&ring.outer)),
        _ => None,
    }
}

/// Centre and radius when the whole piece is one round panel.
fn as_circle(target: &Built) -> Option<(Point, f64)> {
    let bounds: Rect = target.contour.bounds();
    let radius = bounds.width() / 2.0;
    let plain = circle(bounds.centre(), radius);
    let same = target.panels.len() == 1
        && target.contour.segments.len() == plain.segments.len()
        && target.contour.start.is_near(plain.start, COINCIDENT_MM)
        && (target.contour.signed_area() - plain.signed_area()).abs() <= COINCIDENT_MM
        && (bounds.height() - bounds.width()).abs() <= COINCIDENT_MM;
    same.then_some((bounds.centre(), radius))
}

/// The border at which a third of the panel's narrower side is left.
fn widest_border(polygon: &Polygon) -> f64 {
    let bounds = polygon.bounds();
    bounds.width().min(bounds.height()) / 3.0
}
