//! The order reduced to what the search needs.
//!
//! A cut of kerf `k` between `n` neighbours takes `(n - 1) * k`. Adding `k` to every piece and to the sheet turns that
//! into plain sums, so nothing below this module knows about the kerf.

use super::order::{Fault, Item, LONGEST, Length, MOST_PIECES, Stock};

/// One piece to place.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// Index of its item in the order.
    pub(super) item: usize,
    /// Sizes of the permitted ways of lying, kerf added.
    pub(super) ways: Vec<Way>,
    pub(super) area: f64,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    pub(super) turned: bool,
    pub(super) size: [Length; 2],
}

/// The order, checked, with every copy a piece of its own.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    /// Usable sheet, kerf added.
    pub(super) sheet: [Length; 2],
    pub(super) pieces: Vec<Piece>,
    pub(super) kerf: Length,
    pub(super) min_trim: Length,
    /// Longest cut in the same measure as `sheet`, when it limits anything.
    pub(super) blade: Option<Length>,
}

impl Problem {
    pub(super) fn new(stock: &Stock, items: &[Item]) -> Result<Self, Vec<Fault>> {
        check_stock(stock)?;
        let faults: Vec<Fault> = items
            .iter()
            .enumerate()
            .filter_map(|(index, item)| check_item(stock, index, item).err())
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let total: u64 = items.iter().map(|item| u64::from(item.qty)).sum();
        if total > MOST_PIECES as u64 {
            return Err(vec![Fault::TooMany { pieces: total }]);
        }
        let usable = stock.usable();
        let mut problem = Self {
            sheet: usable.map(|side| side + stock.kerf),
            pieces: Vec::with_capacity(total as usize),
            kerf: stock.kerf,
            min_trim: stock.min_trim,
            blade: stock
                .blade
                .filter(|&blade| usable.iter().any(|&side| side > blade))
                .map(|b| b + stock.kerf),
        };
        let mut faults = Vec::new();
        for (index, item) in items.iter().enumerate() {
            let ways = problem.ways(item);
            if ways.is_empty() {
                faults.push(Fault::Trimmer { item: index });
            }
            let area = (item.w + stock.kerf) as f64 * (item.h + stock.kerf) as f64;
            problem.pieces.extend(std::iter::repeat_n(Piece { item: index, ways, area }, item.qty as usize));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(problem)
    }

    /// The permitted ways of lying in which the trimmer can cut the item from a sheet at all.
    fn ways(&self, item: &Item) -> Vec<Way> {
        item.ways()
            .map(|turned| Way { turned, size: item.laid(turned).map(|side| side + self.kerf) })
            .filter(|way| self.holds_alone(way.size))
            .collect()
    }

    /// Whether a tree of root size `size` can be trimmed out of the sheet.
    pub(super) fn holds(&self, size: [Length; 2]) -> bool {
        fits(self.sheet, size, self.min_trim)
    }

    /// Whether a piece of `size`, kerf added, can be cut from a sheet of its own.
    pub(super) fn holds_alone(&self, size: [Length; 2]) -> bool {
        let within = |along: usize, blade: Length| {
            let across = 1 - along;
            (size[along] == self.sheet[along] || self.sheet[across] <= blade)
                && (size[across] == self.sheet[across] || size[along] <= blade)
        };
        self.holds(size) && self.blade.is_none_or(|blade| within(0, blade) || within(1, blade))
    }

    /// Whether sizes alone decide, or the rules of narrow trims and short blades must be followed node by node.
    pub(super) fn plain(&self) -> bool {
        self.min_trim <= 1 && self.blade.is_none()
    }
}

/// Whether `size` lies in `room` with leftovers that can be trimmed.
fn fits(room: [Length; 2], size: [Length; 2], min_trim: Length) -> bool {
    room.iter().zip(size).all(|(room, side)| *room == side || room - side >= min_trim.max(0) && side < *room)
}

fn check_stock(stock: &Stock) -> Result<(), Vec<Fault>> {
    let Stock { w, h, kerf, margin, min_strip, min_trim, blade, useful_offcut, scale_step } = *stock;
    let lengths = [
        w,
        h,
        kerf,
        margin.left,
        margin.top,
        margin.right,
        margin.bottom,
        min_strip,
        min_trim,
        blade.unwrap_or(1),
        useful_offcut,
        scale_step,
    ];
    let in_range = lengths.iter().all(|&length| (0..=LONGEST).contains(&length));
    let swallows_kerf =
        [margin.left, margin.top, margin.right, margin.bottom].iter().all(|&m| m == 0 || m >= kerf);
    if in_range && swallows_kerf && stock.usable().iter().all(|&side| side > 0) {
        Ok(())
    } else {
        Err(vec![Fault::Sheet])
    }
}

fn check_item(stock: &Stock, index: usize, item: &Item) -> Result<(), Fault> {
    if [item.w, item.h].iter().any(|side| !(1..=LONGEST).contains(side)) {
        return Err(Fault::Size { item: index });
    }
    let usable = stock.usable();
    if !item.ways().any(|turned| fits(usable, item.laid(turned), 0)) {
        return Err(Fault::TooLarge { item: index });
    }
    let handled = item.w.min(item.h) >= stock.min_strip;
    if handled { Ok(()) } else { Err(Fault::TooNarrow { item: index }) }
}
