//! The net of a piece: outline, cuts, folds, glue areas, names, marks and readings, at true size, printed side up.
//!
//! | file | holds |
//! |---|---|
//! | `glue` | areas that take glue, on the front and on the back, and what lies there |
//! | `readings` | which distances are shown, and on which side of the piece |
//! | `names` | names of panels, openings and areas; a list for those that find no place |
//! | `key` | what the kinds of line mean |
//! | `template` | the same piece to draw round |

pub(super) mod glue;
mod key;
mod names;
mod readings;
mod template;

pub use template::template;

use kurbo::{BezPath, Rect};

use super::clearance::Clearance;
use super::dimension::{self, Style};
use super::{Colour, Figure, LineKind, Mark, Operation, Text, Typeface, curve, symbol};
use crate::assembly::{Assembly, CutoutKind, Face, Fold, Piece, PieceId, PrintContent};
use crate::quantity::say_length;

/// Arm to arm of a mark's cross.
const CROSS_MM: f64 = 4.0;
/// Ems of the heading, of notes, and of the smallest note.
const HEADING_MM: f64 = 4.2;
const NOTE_MM: f64 = 3.0;
const SMALL_MM: f64 = 2.5;
/// Ems tried for the words of a print.
const PRINT_MM: [f64; 7] = [7.0, 6.0, 5.0, 4.0, 3.5, 3.0, 2.5];
/// White border of a figure.
const MARGIN_MM: f64 = 2.0;

/// The net of one piece as a figure in its own frame, without a heading: pages give one.
pub fn net(assembly: &Assembly, id: PieceId, typeface: &Typeface) -> Option<Figure> {
    let piece = assembly.pieces.get(id)?;
    let areas = glue::areas(assembly, id);
    let mut marks: Vec<Mark> = areas.iter().map(glue::Area::border).collect();
    let (places, words) = prints(assembly, id, typeface);
    marks.extend(places);
    marks.extend(folds(piece));
    marks.extend(cuts(piece));
    marks.extend(
        piece
            .marks
            .iter()
            .map(|mark| Mark::line(LineKind::Position, symbol::cross(curve::point(mark.at), CROSS_MM))),
    );
    let b = piece.bounds;
    let bounds = Rect::new(b.min.x, b.min.y, b.max.x, b.max.y);
    // Hatching is ground that a name may lie on; everything else is an obstacle.
    let mut taken = Clearance::of(&marks, typeface);
    words.iter().for_each(|word| taken.add_mark(word, typeface));
    let readings = readings::readings(piece, assembly.units);
    let named = names::names(assembly, piece, &areas);
    let (inside, outside) = names::place_inside(named, &mut taken, typeface);
    let dimensions = dimension::dimension(bounds, &readings, Style::default(), &mut taken, typeface);
    let (beside, lost) = names::place_beside(outside, &mut taken, typeface);
    marks.extend(areas.iter().map(glue::Area::hatching));
    for word in words.into_iter().chain(inside).chain(beside) {
        marks.extend(ground(&word, typeface));
        marks.push(word);
    }
    marks.extend(dimensions);
    let mut all = extent(&marks, typeface).unwrap_or(bounds);
    let list = names::list(&lost, all, typeface);
    marks.extend(list);
    all = extent(&marks, typeface).unwrap_or(all);
    let note = note(assembly, piece);
    marks.extend(key::note_and_key(&note, piece, &areas, all, typeface));
    let heading = format!("{} {}", piece.letter, piece.name);
    Some(Figure::around(&heading, marks, MARGIN_MM, typeface))
}

/// A net with its heading, for a file of its own.
pub fn headed(figure: &Figure, typeface: &Typeface) -> Figure {
    let at = (figure.bounds.x0 + MARGIN_MM, figure.bounds.y0 - 1.0);
    let mut marks = figure.marks.clone();
    marks.push(Mark::text(Operation::Legend, Text::new(&figure.title, at.into(), HEADING_MM)));
    Figure::around(&figure.title, marks, MARGIN_MM, typeface)
}

fn extent(marks: &[Mark], typeface: &Typeface) -> Option<Rect> {
    marks.iter().map(|mark| mark.bounds(typeface)).reduce(|a, b| a.union(b))
}

/// White paper under a name, so that it reads over hatching.
fn ground(mark: &Mark, typeface: &Typeface) -> Option<Mark> {
    let super::Ink::Text(text) = &mark.ink else { return None };
    let room = super::display::bounding_box(&text.corners(typeface)).inflate(0.8, 0.4);
    Some(Mark::fill(Operation::Legend, curve::rectangle(room), Colour::WHITE))
}

fn note(assembly: &Assembly, piece: &Piece) -> String {
    let paper = assembly.papers.get(piece.paper).map(|p| p.name.as_str()).unwrap_or_default();
    format!(
        "cut from {paper}: {} × {}, front up",
        say_length(piece.bounds.width(), assembly.units),
        say_length(piece.bounds.height(), assembly.units)
    )
}

pub(super) fn cuts(piece: &Piece) -> Vec<Mark> {
    let mut marks = vec![Mark::line(LineKind::Outline, curve::contour(&piece.contour))];
    for cutout in &piece.cutouts {
        if !cutout.notch {
            let path = match &cutout.contour {
                Some(contour) => curve::contour(contour),
                None => curve::segment(curve::point(cutout.from), curve::point(cutout.to)),
            };
            marks.push(Mark::line(LineKind::Cut, path));
        }
        if cutout.kind == CutoutKind::Hole {
            let reach = (cutout.width + 3.0).max(CROSS_MM);
            marks.push(Mark::line(LineKind::Centre, symbol::cross(curve::point(cutout.centre), reach)));
        }
    }
    marks
}

pub(super) fn folds(piece: &Piece) -> impl Iterator<Item = Mark> + '_ {
    piece.creases.iter().map(|crease| {
        let kind = if crease.fold == Fold::Valley { LineKind::Valley } else { LineKind::Mountain };
        Mark::line(kind, curve::segment(curve::point(crease.from), curve::point(crease.to)))
    })
}

/// Where something is printed, and its words: as large as the place, or beneath it where they do not fit.
fn prints(assembly: &Assembly, id: PieceId, typeface: &Typeface) -> (Vec<Mark>, Vec<Mark>) {
    let (mut places, mut words) = (Vec::new(), Vec::new());
    for print in &assembly.prints {
        if assembly.panels.get(print.panel).is_none_or(|p| p.piece != id) {
            continue;
        }
        let area = Rect::new(print.area.min.x, print.area.min.y, print.area.max.x, print.area.max.y);
        places.push(Mark::line(LineKind::Position, curve::rectangle(area)));
        let (text, mut below) = match &print.content {
            PrintContent::Text(text) => (text.replace('\n', " / "), String::new()),
            PrintContent::Picture { file, .. } => {
                places.push(Mark::line(LineKind::Position, diagonals(area)));
                (format!("picture {file}"), String::new())
            }
        };
        let fits = |size: &f64| {
            typeface.width(&text, *size) <= area.width() - 1.0
                && typeface.cap_height * size <= area.height() - 1.0
        };
        match PRINT_MM.iter().find(|size| fits(size)) {
            Some(size) => words.push(centred(&text, area.center(), *size, typeface)),
            None => below.push_str(&text),
        }
        if print.face == Face::Back {
            below.push_str(if below.is_empty() { "on the back" } else { ", on the back" });
        }
        if !below.is_empty() {
            let at = kurbo::Point::new(area.center().x, area.y1 + 2.6);
            words.push(centred(&below, at, SMALL_MM, typeface));
        }
    }
    (places, words)
}

fn centred(text: &str, at: kurbo::Point, size: f64, typeface: &Typeface) -> Mark {
    Mark::text(Operation::Legend, Text::centred(text, at, size, 0.0, typeface).grey(0.35))
}

fn diagonals(area: Rect) -> BezPath {
    let mut path = curve::segment(area.origin(), (area.x1, area.y1).into());
    path.extend(curve::segment((area.x1, area.y0).into(), (area.x0, area.y1).into()));
    path
}
