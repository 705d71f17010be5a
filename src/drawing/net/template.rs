//! A piece as a template to draw round: cut out of plain paper or card, laid on the stock, and traced. Folds end in
//! notches at the edge, or in points to prick through; so do the middles of holes and the ends of slits.

use kurbo::{BezPath, Point};

use super::{MARGIN_MM, names};
use crate::assembly::{Assembly, CutoutKind, Piece, PieceId};
use crate::drawing::clearance::Clearance;
use crate::drawing::{Colour, Figure, LineKind, Mark, Operation, Typeface, curve, symbol};
use crate::geometry::{self, Segment};
use crate::quantity::tolerance::COINCIDENT_MM;

/// Depth of a notch, and the size of the cross and the ring where to prick.
const NOTCH_MM: f64 = 2.5;
const CROSS_MM: f64 = 3.0;
const RING_MM: f64 = 0.8;

/// The template of one piece as a figure, without a heading: pages give one.
pub fn template(assembly: &Assembly, id: PieceId, typeface: &Typeface) -> Option<Figure> {
    let piece = assembly.pieces.get(id)?;
    let mut marks: Vec<Mark> = super::folds(piece).chain(super::cuts(piece)).collect();
    let mut notches: Vec<Mark> = Vec::new();
    let mut pricks: Vec<geometry::Point> = piece.marks.iter().map(|mark| mark.at).collect();
    for crease in &piece.creases {
        let line = Segment::new(crease.from, crease.to);
        for (end, other) in [(line.start, line.end), (line.end, line.start)] {
            match on_edge(piece, end) {
                true => notches.push(notch(end, other)),
                false => pricks.push(end),
            }
        }
    }
    for cutout in piece.cutouts.iter().filter(|c| !c.notch) {
        match cutout.kind {
            CutoutKind::Hole => pricks.push(cutout.centre),
            CutoutKind::Slit => pricks.extend([cutout.from, cutout.to]),
            CutoutKind::Slot | CutoutKind::Window => {}
        }
    }
    for at in pricks {
        let at = curve::point(at);
        marks.push(Mark::line(LineKind::Position, symbol::cross(at, CROSS_MM)));
        marks.push(Mark::line(LineKind::Centre, curve::circle(at, RING_MM)));
    }
    marks.extend(notches);
    let mut taken = Clearance::of(&marks, typeface);
    let (inside, outside) = names::place_inside(names::names(assembly, piece, &[]), &mut taken, typeface);
    let (beside, lost) = names::place_beside(outside, &mut taken, typeface);
    marks.extend(inside);
    marks.extend(beside);
    let all = super::extent(&marks, typeface)?;
    marks.extend(names::list(&lost, all, typeface));
    let note = super::note(assembly, piece);
    let all = super::extent(&marks, typeface)?;
    marks.extend(super::key::note_and_key(&note, piece, &[], all, typeface));
    let heading = format!("{} {}", piece.letter, piece.name);
    Some(Figure::around(&heading, marks, MARGIN_MM, typeface))
}

fn on_edge(piece: &Piece, end: geometry::Point) -> bool {
    geometry::ring_edges(&piece.polygon.outer).any(|edge| edge.distance(end) <= COINCIDENT_MM)
}

/// A filled wedge that points from the edge along the fold.
fn notch(end: geometry::Point, other: geometry::Point) -> Mark {
    let along = (other - end).unit().unwrap_or_default();
    let side = along.turned_right() * (NOTCH_MM / 2.0);
    let corners: Vec<Point> =
        [end + along * NOTCH_MM, end + side, end - side].map(curve::point).into_iter().collect();
    let path: BezPath = curve::polygon(&corners);
    Mark::fill(Operation::Cutting, path, Colour::BLACK)
}
