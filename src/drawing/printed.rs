//! A piece to be printed on its own paper: where to cut and fold it, its glue, and its pictures and words, on both faces.
//!
//! Pictures that reach a cut edge are drawn past it ([`BLEED_MM`]), so that a cut a little beside the line shows no bare
//! paper. Marks of the back are in the frame of the front; pages mirror them.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Size};

use super::lettering::{Lettering, lines};
use super::net::{self, glue};
use super::{Colour, Figure, Ink, Mark, Operation, Typeface, curve};
use crate::assembly::{Assembly, Face, Piece, PieceId, Print, PrintContent};
use crate::geometry::{Isometry, Join, Polygon, Region, difference, intersection, offset, union};

/// How far pictures run past the cut edges that they reach: the usual allowance of printers.
pub const BLEED_MM: f64 = 3.0;
/// A picture that comes nearer to a cut edge than this is meant to reach it.
const REACH_MM: f64 = 0.5;
/// White border of a figure.
const MARGIN_MM: f64 = 2.0;

/// A picture of a file, laid on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Image {
    /// PNG or SVG.
    pub bytes: Arc<[u8]>,
    /// Width and height of the whole picture, mm.
    pub size: Size,
    /// From the picture's frame (mm from its top left corner, y down) to the paper; it may mirror.
    pub place: Affine,
    /// Nothing is printed outside; on the paper, for the even-odd rule.
    pub clip: BezPath,
    /// Its outermost colours are drawn on this far beyond its own box, mm.
    pub spill: f64,
}

/// The piece as a figure with its back; without a heading: pages give one.
pub fn printed(
    assembly: &Assembly,
    id: PieceId,
    lettering: Lettering,
    typeface: &Typeface,
) -> Option<Figure> {
    let piece = assembly.pieces.get(id)?;
    let glue = glue::areas(assembly, id);
    let side = |face: Face| -> Vec<Mark> {
        let of_side = |p: &&Print| {
            p.face == face && assembly.panels.get(p.panel).is_some_and(|panel| panel.piece == id)
        };
        let art = assembly.prints_laid_on().filter(of_side).flat_map(|p| art(assembly, piece, p, lettering));
        let hatched = glue.iter().filter(|area| area.face == face);
        art.chain(hatched.flat_map(|area| [area.border(), area.hatching()])).collect()
    };
    let mut front = side(Face::Front);
    front.extend(net::folds(piece));
    front.extend(net::cuts(piece));
    let heading = format!("{} {}", piece.letter, piece.name);
    Some(Figure::around(&heading, front, MARGIN_MM, typeface).with_back(side(Face::Back), typeface))
}

/// What is printed: a picture, or words.
fn art(assembly: &Assembly, piece: &Piece, print: &Print, lettering: Lettering) -> Vec<Mark> {
    match &print.content {
        PrintContent::Text(text) => lines(print, text, lettering)
            .into_iter()
            .map(|line| Mark::fill(Operation::Artwork, line, Colour::BLACK))
            .collect(),
        PrintContent::Picture { bytes, .. } => {
            let Some(laid) = print.laid() else { return Vec::new() };
            let clip = with_bleed(&print.region(assembly), &piece.polygon);
            let corner = Affine::translate((laid.whole.min.x, laid.whole.min.y));
            let image = Image {
                bytes: Arc::from(bytes.as_slice()),
                size: Size::new(laid.whole.width(), laid.whole.height()),
                place: affine(&laid.place) * corner,
                clip: clip.iter().flat_map(|polygon| curve::region(polygon).into_iter()).collect(),
                spill: BLEED_MM,
            };
            vec![Mark { operation: Operation::Artwork, ink: Ink::Image(image) }]
        }
    }
}

/// What a picture covers of a piece, grown beyond the cut edges that it reaches.
pub fn with_bleed(covered: &[Polygon], piece: &Polygon) -> Region {
    let whole = [Polygon::simple(piece.outer.clone())];
    let on_piece = intersection(covered, &whole);
    let at_edges = difference(&on_piece, &offset(&whole, -REACH_MM, Join::Mitre));
    let beyond = difference(&offset(&at_edges, BLEED_MM, Join::Mitre), &whole);
    union(&on_piece, &beyond)
}

fn affine(motion: &Isometry) -> Affine {
    let (x, y, at) = (motion.x_axis(), motion.y_axis(), motion.origin());
    Affine::new([x.x, x.y, y.x, y.y, at.x, at.y])
}
