//! What stands on every page: its title, its number, and test bars of 100 mm and 4 in across and up the page, with a line
//! saying what to do when they measure wrong.

use crate::drawing::curve;
use crate::drawing::display::Mark;
use crate::drawing::line::LineKind;
use crate::drawing::operation::Operation;
use crate::drawing::symbol;
use crate::drawing::text::{Anchor, Text, Typeface};
use kurbo::{BezPath, Point, Rect, Size, Vec2};

/// Nothing is drawn nearer to the paper's edge: most printers leave a quarter of an inch (6.35 mm) or less.
const MARGIN_MM: f64 = 8.0;
/// Title lines at the top.
const HEADER_MM: f64 = 13.0;
/// The strip of the test bars at the left and at the bottom.
const BAR_STRIP_MM: f64 = 13.0;
const BARS: [(f64, &str, f64); 2] = [(100.0, "100 mm", 3.0), (4.0 * 25.4, "4 in", 8.0)];
const TICK_MM: f64 = 3.0;
/// Middle of a register mark from the edges of the page, and the arm of its cross.
const REGISTER_MM: (f64, f64) = (13.0, 4.0);
const REGISTER_RING_MM: f64 = 2.5;
const TITLE_SIZE_MM: f64 = 5.0;
const NOTE_SIZE_MM: f64 = 3.2;
const BAR_TEXT_SIZE_MM: f64 = 3.0;

const TEST_BAR_ADVICE: &str = "Before you cut, measure these bars: 100 mm and 4 in, both ways. If they are not, \
    print at 100 % (actual size); else `plica check --printed-as 98mm` tells the scale to set.";
/// The advice: its em, its first baseline below the strip's edge, and from line to line. Four lines find room.
const ADVICE_MM: (f64, f64, f64) = (2.8, 2.6, 3.2);

/// What the frame says.
pub struct Words<'a> {
    pub heading: &'a str,
    pub name: &'a str,
    pub note: Option<&'a str>,
    pub count: &'a str,
    /// The page has a front and a back that must lie in register.
    pub register: bool,
}

impl Words<'_> {
    /// Where words end at the right.
    fn right(&self, page: Size) -> f64 {
        page.width - if self.register { REGISTER_MM.0 + REGISTER_MM.1 + 1.0 } else { MARGIN_MM }
    }
}

/// The part of the page that is free for figures.
pub fn room(page: Size) -> Rect {
    Rect::new(
        MARGIN_MM + BAR_STRIP_MM,
        MARGIN_MM + HEADER_MM,
        page.width - MARGIN_MM,
        page.height - MARGIN_MM - BAR_STRIP_MM,
    )
}

pub fn frame(page: Size, words: &Words, typeface: &Typeface) -> Vec<Mark> {
    let mut marks = header(page, words, typeface);
    // The corner from which both pairs of bars run.
    let corner = Point::new(MARGIN_MM + BAR_STRIP_MM, page.height - MARGIN_MM - BAR_STRIP_MM);
    for (length, text, out) in BARS {
        marks.extend(bar(corner + Vec2::new(0.0, out), 0.0, length, text));
        marks.extend(bar(corner - Vec2::new(out, 0.0), -90.0, length, text));
    }
    let left = corner.x + BARS[1].0 + 6.0;
    let (size, first, step) = ADVICE_MM;
    let lines = typeface.wrap(TEST_BAR_ADVICE, size, words.right(page) - left);
    for (index, line) in lines.iter().enumerate() {
        let at = Point::new(left, corner.y + first + index as f64 * step);
        marks.push(Mark::text(Operation::Legend, Text::new(line, at, size)));
    }
    if words.register {
        marks.extend(register(page));
    }
    marks
}

/// A ring with a cross in every corner, in the same four places on the front and on the back.
fn register(page: Size) -> impl Iterator<Item = Mark> {
    let (inset, arm) = REGISTER_MM;
    let corners = curve::corners(Rect::from_origin_size((0.0, 0.0), page).inset(-inset));
    corners.into_iter().flat_map(move |at| {
        [symbol::cross(at, 2.0 * arm), curve::circle(at, REGISTER_RING_MM)]
            .map(|path| Mark::line(LineKind::Registration, path))
    })
}

fn header(page: Size, words: &Words, typeface: &Typeface) -> Vec<Mark> {
    let right = words.right(page);
    let left = MARGIN_MM + BAR_STRIP_MM;
    let count_width = typeface.width(words.count, NOTE_SIZE_MM) + 4.0;
    let title = if words.name.is_empty() {
        words.heading.to_owned()
    } else {
        format!("{}: {}", words.heading, words.name)
    };
    let title = typeface.shorten(&title, TITLE_SIZE_MM, right - count_width - left);
    let baseline = MARGIN_MM + 4.0;
    let count = Text::new(words.count, Point::new(right, baseline), NOTE_SIZE_MM).anchored(Anchor::End);
    let mut marks = vec![
        Mark::text(Operation::Legend, Text::new(&title, Point::new(left, baseline), TITLE_SIZE_MM)),
        Mark::text(Operation::Legend, count),
    ];
    if let Some(note) = words.note {
        let note = typeface.shorten(note, NOTE_SIZE_MM, right - left);
        marks.push(Mark::text(
            Operation::Legend,
            Text::new(&note, Point::new(left, baseline + 5.2), NOTE_SIZE_MM),
        ));
    }
    marks
}

/// A test bar from `start` along `direction`: one stroke from end to end, a tick at each, its length in the middle.
fn bar(start: Point, direction: f64, length: f64, text: &str) -> Vec<Mark> {
    let along = crate::drawing::text::rotate(Vec2::new(1.0, 0.0), direction);
    let across = Vec2::new(-along.y, along.x) * (TICK_MM / 2.0);
    let end = start + along * length;
    let middle = start + along * (length / 2.0);
    let mut ticks: BezPath = curve::segment(start - across, start + across);
    ticks.extend(curve::segment(end - across, end + across));
    let lift = Vec2::new(along.y, -along.x) * 0.8;
    let figure = Text::new(text, middle + lift, BAR_TEXT_SIZE_MM).anchored(Anchor::Middle).rotated(direction);
    vec![
        Mark::line(LineKind::TestBar, curve::segment(start, end)),
        Mark::line(LineKind::TestBar, ticks),
        Mark::text(Operation::Legend, figure),
    ]
}
