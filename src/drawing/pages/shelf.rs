//! Small figures several to a page: shelves filled from left to right, the tallest figures first (first fit decreasing
//! height, Coffman, Garey, Johnson and Tarjan 1980).

use super::{Orientation, Sheet};
use crate::drawing::display::{Figure, Mark, Part};
use crate::drawing::operation::Operation;
use crate::drawing::text::{Text, Typeface};
use kurbo::{Point, Rect, Size, Vec2};

/// Where figures share a page, each one's title stands above it.
const CAPTION_MM: f64 = 7.0;
const CAPTION_SIZE_MM: f64 = 4.0;
const GAP_MM: f64 = 6.0;

/// The room a figure takes, its caption included.
fn footprint(figure: &Figure) -> Size {
    Size::new(figure.bounds.width(), figure.bounds.height() + CAPTION_MM)
}

struct Shelf {
    top: f64,
    height: f64,
    filled: f64,
}

#[derive(Default)]
struct Stack {
    shelves: Vec<Shelf>,
    /// Figure number, top left corner of its footprint.
    placed: Vec<(usize, Point)>,
}

impl Stack {
    fn add(&mut self, index: usize, size: Size, room: Rect) -> bool {
        let fits =
            |shelf: &&mut Shelf| size.height <= shelf.height && shelf.filled + size.width <= room.width();
        if let Some(shelf) = self.shelves.iter_mut().find(fits) {
            self.placed.push((index, Point::new(room.x0 + shelf.filled, shelf.top)));
            shelf.filled += size.width + GAP_MM;
            return true;
        }
        let top = self.shelves.last().map_or(room.y0, |shelf| shelf.top + shelf.height + GAP_MM);
        if top + size.height > room.y1 {
            return false;
        }
        self.shelves.push(Shelf { top, height: size.height, filled: size.width + GAP_MM });
        self.placed.push((index, Point::new(room.x0, top)));
        true
    }
}

pub(super) fn shelve(
    figures: &[(usize, &Figure)],
    room: Rect,
    orientation: Orientation,
    typeface: &Typeface,
) -> Vec<Sheet> {
    let mut order: Vec<(usize, &Figure)> = figures.to_vec();
    order.sort_by(|a, b| footprint(b.1).height.total_cmp(&footprint(a.1).height).then(a.0.cmp(&b.0)));
    let mut stacks: Vec<Stack> = Vec::new();
    for (index, figure) in &order {
        let size = footprint(figure);
        // Alone on its page a figure needs no caption, and may just fit without.
        if size.height > room.height() {
            let shelf = Shelf { top: room.y0, height: size.height, filled: f64::INFINITY };
            stacks.push(Stack { shelves: vec![shelf], placed: vec![(*index, room.origin())] });
        } else if !stacks.iter_mut().any(|stack| stack.add(*index, size, room)) {
            let mut stack = Stack::default();
            if stack.add(*index, size, room) {
                stacks.push(stack);
            }
        }
    }
    stacks.into_iter().map(|stack| sheet(stack, figures, orientation, typeface)).collect()
}

fn sheet(
    mut stack: Stack,
    figures: &[(usize, &Figure)],
    orientation: Orientation,
    typeface: &Typeface,
) -> Sheet {
    stack.placed.sort_by_key(|(index, _)| *index);
    let placed: Vec<(&Figure, Point)> = stack
        .placed
        .iter()
        .filter_map(|(index, corner)| {
            figures.iter().find(|(other, _)| other == index).map(|(_, figure)| (*figure, *corner))
        })
        .collect();
    let (mut marks, mut back) = (Vec::new(), Vec::new());
    // A figure alone on its page is named by the page's title.
    let captioned = placed.len() > 1;
    for (figure, corner) in &placed {
        if captioned {
            let caption = typeface.shorten(&figure.title, CAPTION_SIZE_MM, figure.bounds.width() + GAP_MM);
            let at = *corner + Vec2::new(0.0, CAPTION_SIZE_MM);
            marks.push(Mark::text(Operation::Legend, Text::new(&caption, at, CAPTION_SIZE_MM)));
        }
        let drop = if captioned { CAPTION_MM } else { 0.0 };
        let offset = (*corner + Vec2::new(0.0, drop)) - figure.bounds.origin();
        marks.extend(figure.marks.iter().map(|mark| mark.moved(offset)));
        back.extend(figure.back.iter().map(|mark| mark.moved(offset)));
    }
    let names: Vec<&str> = placed.iter().map(|(figure, _)| figure.title.as_str()).collect();
    Sheet {
        orientation,
        first: stack.placed.first().map_or(0, |(index, _)| *index),
        label: None,
        name: names.join(", "),
        note: None,
        parts: vec![Part { clip: None, marks }],
        back: vec![Part { clip: None, marks: back }],
    }
}
