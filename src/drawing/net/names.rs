//! Names on a net: panels, openings, and what is stuck where. Each stands inside its area, or beside it on a leader; one
//! that finds no place gets a number, and stands in a list under the net.

use kurbo::Rect;

use super::glue::Area;
use super::{NOTE_MM, SMALL_MM};
use crate::assembly::{Assembly, Cutout, CutoutKind, Piece};
use crate::drawing::clearance::Clearance;
use crate::drawing::label::{self, Name, SIZES_MM};
use crate::drawing::{Mark, Operation, Text, Typeface};
use crate::geometry::{Outline, Polygon, label_pole};
use crate::quantity::{Units, say_length, tolerance};

/// Ems tried for what is stuck where and for openings: smaller than the names of panels.
const LESSER_MM: [f64; 2] = [3.0, SMALL_MM];
/// Half the width that a cut without width is given, so that a leader has something to point at.
const SLIT_MM: f64 = 0.5;

/// A name and how large it may be.
pub(super) struct Named {
    name: Name,
    sizes: &'static [f64],
}

/// Panels first, then openings, then glued areas: earlier ones take the better places.
pub(super) fn names(assembly: &Assembly, piece: &Piece, areas: &[Area]) -> Vec<Named> {
    let mut names = Vec::new();
    let mut add = |text: String, area: Polygon, sizes| {
        if !area.is_empty() {
            names.push(Named { name: Name { text, area }, sizes });
        }
    };
    let alone = piece.panels.len() == 1;
    for panel in piece.panels.iter().filter_map(|id| assembly.panels.get(*id)) {
        let text = if alone { format!("{} front", piece.letter) } else { panel.name.clone() };
        add(text, panel.polygon.clone(), &SIZES_MM);
    }
    for cutout in &piece.cutouts {
        add(opening(cutout, assembly.units), shape(cutout), &LESSER_MM);
    }
    for area in areas {
        if let Some(words) = &area.words {
            add(words.clone(), area.polygon.clone(), &LESSER_MM);
        }
    }
    names
}

/// What an opening is called, and the measure that its readings do not give.
fn opening(cutout: &Cutout, units: Units) -> String {
    let (name, width) = (&cutout.name, say_length(cutout.width, units));
    let round = (cutout.length - cutout.width).abs() < tolerance::COINCIDENT_MM;
    match cutout.kind {
        CutoutKind::Slot => format!("{name}, {width} wide"),
        CutoutKind::Slit => format!("{name}, slit"),
        CutoutKind::Hole => format!("{name}, {width} hole"),
        CutoutKind::Window if round => format!("{name}, {width} across"),
        CutoutKind::Window => format!("{name}, {} × {width}", say_length(cutout.length, units)),
    }
}

fn shape(cutout: &Cutout) -> Polygon {
    match &cutout.contour {
        Some(contour) => Outline::from(contour.clone()).flatten(tolerance::CHORD_MM),
        None => {
            let along = (cutout.to - cutout.from).unit().unwrap_or_default();
            let side = along.turned_right() * SLIT_MM;
            Polygon::simple(vec![cutout.from - side, cutout.to - side, cutout.to + side, cutout.from + side])
        }
    }
}

/// Names that fit their area; the others are given back.
pub(super) fn place_inside(
    named: Vec<Named>,
    taken: &mut Clearance,
    typeface: &Typeface,
) -> (Vec<Mark>, Vec<Name>) {
    let (mut marks, mut outside) = (Vec::new(), Vec::new());
    for Named { name, sizes } in named {
        match label::inside_at(&name, sizes, taken, typeface) {
            Some(text) => {
                taken.add_box(&text.corners(typeface));
                marks.push(Mark::text(Operation::Legend, text));
            }
            None => outside.push(name),
        }
    }
    (marks, outside)
}

/// Names beside their areas; those that find no free place are given back with a number in their area.
pub(super) fn place_beside(
    names: Vec<Name>,
    taken: &mut Clearance,
    typeface: &Typeface,
) -> (Vec<Mark>, Vec<String>) {
    let (mut marks, mut lost) = (Vec::new(), Vec::<String>::new());
    for name in names {
        let placed = label::beside(&name, taken, typeface);
        if !placed.is_empty() {
            marks.extend(placed);
            continue;
        }
        // The same words are one entry of the list.
        let number = lost.iter().position(|text| *text == name.text).unwrap_or_else(|| {
            lost.push(name.text.clone());
            lost.len() - 1
        });
        let pole = label_pole(&name.area, SLIT_MM).map_or(name.area.centroid(), |pole| pole.point);
        let centre = kurbo::Point::new(pole.x, pole.y);
        let text = Text::centred(&(number + 1).to_string(), centre, SMALL_MM, 0.0, typeface);
        taken.add_box(&text.corners(typeface));
        marks.push(Mark::text(Operation::Legend, text));
    }
    (marks, lost)
}

/// The numbered list, under everything drawn so far.
pub(super) fn list(lost: &[String], under: Rect, typeface: &Typeface) -> Vec<Mark> {
    let line = NOTE_MM * 1.35;
    let entry = |(index, words): (usize, &String)| {
        let at = kurbo::Point::new(under.x0, under.y1 + 2.0 + line * (index as f64 + typeface.cap_height));
        Mark::text(Operation::Legend, Text::new(&format!("{}  {words}", index + 1), at, NOTE_MM))
    };
    lost.iter().enumerate().map(entry).collect()
}
