//! The line above a net that says what it is cut from, and the key to the kinds of line in it: beside that line where
//! there is room, else under the net.

use kurbo::{Point, Rect, Vec2};

use super::NOTE_MM;
use super::glue::{Area, HATCH_MM, angle, kind};
use crate::assembly::{Face, Fold, Piece};
use crate::drawing::hatch::hatch;
use crate::drawing::{LineKind, Mark, Operation, Text, Typeface, curve};

/// Width and height of a sample, and the room between it, its words and the next sample.
const SAMPLE_MM: (f64, f64) = (9.0, 3.2);
const WORDS_GAP_MM: f64 = 1.5;
const ENTRY_GAP_MM: f64 = 5.0;
const ROW_MM: f64 = 5.0;
/// The key is not squeezed into less than this under a narrow piece.
const LEAST_WIDTH_MM: f64 = 70.0;

enum Sample {
    Hatch(Face),
    Line(LineKind),
}

struct Entry {
    sample: Sample,
    words: &'static str,
}

impl Entry {
    fn width(&self, typeface: &Typeface) -> f64 {
        SAMPLE_MM.0 + WORDS_GAP_MM + typeface.width(self.words, NOTE_MM)
    }

    /// Its words' baseline starts a little right of `at`.
    fn draw(&self, at: Point, typeface: &Typeface) -> Vec<Mark> {
        let middle = at.y - typeface.cap_height * NOTE_MM / 2.0;
        let half = SAMPLE_MM.1 / 2.0;
        let room = Rect::new(at.x, middle - half, at.x + SAMPLE_MM.0, middle + half);
        let mut marks = match self.sample {
            Sample::Hatch(face) => {
                let area = curve::rectangle(room);
                let lines = hatch(&area, angle(face), HATCH_MM);
                vec![Mark::line(kind(face), area), Mark::line(kind(face), lines)]
            }
            Sample::Line(kind) => {
                vec![Mark::line(kind, curve::segment((room.x0, middle).into(), (room.x1, middle).into()))]
            }
        };
        // A sample asks for nothing to be done.
        marks.iter_mut().for_each(|mark| mark.operation = Operation::Legend);
        let words = at + Vec2::new(SAMPLE_MM.0 + WORDS_GAP_MM, 0.0);
        marks.push(Mark::text(Operation::Legend, Text::new(self.words, words, NOTE_MM)));
        marks
    }
}

fn entries(piece: &Piece, areas: &[Area]) -> Vec<Entry> {
    let glued = |face| areas.iter().any(|area| area.face == face);
    let folded = |fold| piece.creases.iter().any(|crease| crease.fold == fold);
    let all = [
        (glued(Face::Front), Sample::Hatch(Face::Front), "glue here"),
        (glued(Face::Back), Sample::Hatch(Face::Back), "glue on the back, shown from the front"),
        (folded(Fold::Valley), Sample::Line(LineKind::Valley), "valley fold"),
        (folded(Fold::Mountain), Sample::Line(LineKind::Mountain), "mountain fold"),
    ];
    all.into_iter().filter(|(used, ..)| *used).map(|(_, sample, words)| Entry { sample, words }).collect()
}

/// `drawn` is the extent of everything else.
pub(super) fn note_and_key(
    note: &str,
    piece: &Piece,
    areas: &[Area],
    drawn: Rect,
    typeface: &Typeface,
) -> Vec<Mark> {
    let entries = entries(piece, areas);
    let above = Point::new(drawn.x0, drawn.y0 - 2.5);
    let mut marks = vec![Mark::text(Operation::Legend, Text::new(note, above, NOTE_MM))];
    let beside = typeface.width(note, NOTE_MM) + ENTRY_GAP_MM;
    let length: f64 = entries.iter().map(|entry| entry.width(typeface) + ENTRY_GAP_MM).sum();
    let (mut at, left, right) = if beside + length - ENTRY_GAP_MM <= drawn.width() {
        (above + Vec2::new(beside, 0.0), drawn.x0, drawn.x1)
    } else {
        let under = Point::new(drawn.x0, drawn.y1 + ROW_MM);
        (under, drawn.x0, drawn.x0 + drawn.width().max(LEAST_WIDTH_MM))
    };
    for entry in entries {
        let width = entry.width(typeface);
        if at.x > left && at.x + width > right + 1e-6 {
            at = Point::new(left, at.y + ROW_MM);
        }
        marks.extend(entry.draw(at, typeface));
        at.x += width + ENTRY_GAP_MM;
    }
    marks
}
