//! A sheet with its pieces lettered and its cuts numbered.

use super::PaperPlan;
use crate::assembly::Assembly;
use crate::drawing::{
    Colour, Figure, LineKind, Mark, Operation, Paint, Text, Typeface, curve, hatch, symbol,
};
use crate::output::font;
use crate::stock::plan::{Axis, Part, Placement, Rect};
use kurbo::{Affine, Point};

/// Letters and numbers are this share of the sheet's longer side, so that a poster reads as well as a postcard.
const TEXT_SHARE: f64 = 0.028;

/// What is drawn at what size.
struct Ink<'a> {
    assembly: &'a Assembly,
    paper: &'a PaperPlan,
    typeface: &'a Typeface,
    /// Height of letters, mm.
    size: f64,
    marks: Vec<Mark>,
}

pub fn sheet(assembly: &Assembly, paper: &PaperPlan, index: usize) -> Option<Figure> {
    let planned = paper.planned()?;
    let layout = planned.plan.sheets.get(index)?;
    let (w, h) = (planned.sheet.width, planned.sheet.height);
    let size = w.max(h) * TEXT_SHARE;
    let mut ink = Ink { assembly, paper, typeface: font::typeface(), size, marks: Vec::new() };
    layout.root.visit(&mut |part| match part {
        Part::Piece(placement) => ink.piece(placement),
        Part::Offcut(rect) => ink.offcut(rect, nanometres_useful(rect)),
        Part::Strip { .. } => {}
    });
    let outline = kurbo::Rect::new(0.0, 0.0, w, h);
    ink.marks.push(Mark::line(LineKind::Outline, curve::rectangle(outline)));
    ink.cuts(index);
    if let Some(up) = planned.grain {
        ink.grain(w, h, up);
    }
    let title = format!("Sheet {} of {}", index + 1, paper.name);
    Some(Figure::around(&title, ink.marks, size * 0.4, font::typeface()))
}

fn nanometres_useful(rect: &Rect) -> bool {
    rect.is_useful(crate::stock::plan::nanometres(super::USEFUL_OFFCUT_MM))
}

fn to_mm(rect: &Rect) -> kurbo::Rect {
    let mm = |length: i64| length as f64 / 1e6;
    kurbo::Rect::new(mm(rect.x), mm(rect.y), mm(rect.x + rect.w), mm(rect.y + rect.h))
}

impl Ink<'_> {
    fn piece(&mut self, placement: &Placement) {
        let area = to_mm(&placement.rect);
        let Some(piece) = self.paper.pieces.get(placement.item).and_then(|p| self.assembly.pieces.get(*p))
        else {
            return;
        };
        let colour = self.assembly.papers.get(piece.paper).map(|p| p.colour);
        let tint = colour.map_or(Colour::WHITE, |c| {
            // A light tint of the paper keeps letters readable on any colour.
            let lift = |c: u8| (f64::from(c) + (255.0 - f64::from(c)) * 0.72).round() as u8;
            Colour { red: lift(c.red), green: lift(c.green), blue: lift(c.blue) }
        });
        let tint = Paint { colour: tint, opacity: 100 };
        self.marks.push(Mark::fill(Operation::Artwork, curve::rectangle(area), tint));
        let outline = curve::outline(&piece.outline());
        let bounds = piece.bounds;
        // A quarter turn clockwise, or none; either way the box lands on its place.
        let place = if placement.turned {
            Affine::new([0.0, 1.0, -1.0, 0.0, area.x0 + bounds.max.y, area.y0 - bounds.min.x])
        } else {
            Affine::translate((area.x0 - bounds.min.x, area.y0 - bounds.min.y))
        };
        self.marks.push(Mark {
            operation: Operation::Legend,
            ink: crate::drawing::Ink::Line { path: place * outline, kind: LineKind::ThinEdge },
        });
        let size = self.size.min(0.75 * area.width().min(area.height()));
        let name = format!("{} {}", piece.letter, piece.name);
        let fits = |text: &str, room: f64| self.typeface.width(text, size) <= room - size * 0.6;
        let upright = area.width() >= area.height() || fits(&name, area.width());
        let room = if upright { area.width() } else { area.height() };
        let label = if fits(&name, room) { name.as_str() } else { piece.letter.as_str() };
        let angle = if upright || label == piece.letter { 0.0 } else { -90.0 };
        let text = Text::centred(label, area.center(), size, angle, self.typeface);
        self.marks.push(Mark::text(Operation::Legend, text));
    }

    fn offcut(&mut self, rect: &Rect, useful: bool) {
        let area = to_mm(rect);
        if area.width() <= 0.0 || area.height() <= 0.0 {
            return;
        }
        if useful {
            let text = Text::centred("keep", area.center(), self.size, 0.0, self.typeface).grey(0.3);
            self.marks.push(Mark::text(Operation::Legend, text));
        } else {
            let lines = hatch::hatch(&curve::rectangle(area), 45.0, self.size * 0.6);
            self.marks.push(Mark {
                operation: Operation::Artwork,
                ink: crate::drawing::Ink::Line { path: lines, kind: LineKind::Glue },
            });
        }
    }

    /// Cuts as strong lines, each with its number in a disc on it.
    fn cuts(&mut self, sheet: usize) {
        let Some(planned) = self.paper.planned() else { return };
        let radius = self.size * 0.62;
        for step in planned.plan.steps.iter().filter(|s| s.sheet == sheet) {
            let measured = to_mm(&step.measured.rect);
            let length = step.length as f64 / 1e6;
            let (from, to) = match step.axis {
                Axis::X => {
                    (Point::new(measured.x1, measured.y0), Point::new(measured.x1, measured.y0 + length))
                }
                Axis::Y => {
                    (Point::new(measured.x0, measured.y1), Point::new(measured.x0 + length, measured.y1))
                }
            };
            self.marks.push(Mark::line(LineKind::Cut, curve::segment(from, to)));
            // Neighbouring cuts have their numbers at different heights.
            let along = (radius * (1.4 + 2.4 * (step.number % 3) as f64)).min(length / 2.0);
            let at = from + (to - from) * (along / length.max(f64::MIN_POSITIVE));
            self.marks.push(Mark::fill(Operation::Legend, curve::circle(at, radius), Colour::WHITE));
            self.marks.push(Mark {
                operation: Operation::Legend,
                ink: crate::drawing::Ink::Line { path: curve::circle(at, radius), kind: LineKind::Extension },
            });
            let number = step.number.to_string();
            let size = self.size * if number.len() > 2 { 0.5 } else { 0.72 };
            let text = Text::centred(&number, at, size, 0.0, self.typeface);
            self.marks.push(Mark::text(Operation::Legend, text));
        }
    }

    fn grain(&mut self, w: f64, h: f64, up: bool) {
        let size = self.size;
        let (centre, angle) = if up {
            (Point::new(w + size * 1.2, h / 2.0), 90.0)
        } else {
            (Point::new(w / 2.0, h + size * 1.2), 0.0)
        };
        let (line, heads) = symbol::double_arrow(centre, angle, size * 6.0, size * 0.8);
        self.marks.push(Mark {
            operation: Operation::Legend,
            ink: crate::drawing::Ink::Line { path: line, kind: LineKind::Extension },
        });
        self.marks.push(Mark::fill(Operation::Legend, heads, Colour::BLACK));
        let at = if up {
            Point::new(centre.x + size * 0.9, centre.y)
        } else {
            Point::new(centre.x, centre.y + size * 0.9)
        };
        let text = Text::centred("grain", at, size * 0.8, angle, self.typeface);
        self.marks.push(Mark::text(Operation::Legend, text));
    }
}
