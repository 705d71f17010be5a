//! The cuts of a sheet as numbered steps: what to hold, what to set, which part is which afterwards.
//!
//! Outer cuts come before inner ones, so long cuts come first; the cuts of one strip follow one another and equal
//! settings are together. A setting is always the distance from the left or top edge of the part in hand.

use super::layout::{Axis, Part, Placement, Rect, SheetPlan};
use super::order::{Length, Stock};

/// Number of a part of one sheet; 0 is the whole sheet.
pub type PartId = usize;

/// What becomes of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// A finished piece: the index of its item, and whether it lies turned by 90°.
    Piece { item: usize, turned: bool },
    /// Cut further in a later step.
    CutFurther,
    /// Left over; worth keeping or not.
    Offcut { useful: bool },
}

/// A part that a cut makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    pub part: PartId,
    /// Where it lies on the uncut sheet.
    pub rect: Rect,
    pub fate: Fate,
}

/// One cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// From 1 over the whole plan.
    pub number: usize,
    /// Sheet, from 0.
    pub sheet: usize,
    /// The part in hand.
    pub hand: PartId,
    /// Direction in which the setting is measured; the cut runs across it.
    pub axis: Axis,
    /// Distance from the left (X) or top (Y) edge of the part in hand to the cut.
    pub setting: Length,
    /// Length of the cut.
    pub length: Length,
    /// The measured side of the cut.
    pub measured: Made,
    /// The other side; `None` when the kerf takes all of it.
    pub rest: Option<Made>,
}

/// The steps of all sheets in order.
pub(super) fn steps(stock: &Stock, sheets: &[SheetPlan]) -> Vec<Step> {
    let mut writer = Writer { stock, sheet: 0, parts: 0, steps: Vec::new() };
    for (index, sheet) in sheets.iter().enumerate() {
        writer.sheet = index;
        writer.parts = 0;
        writer.sheet_steps(sheet);
    }
    writer.steps
}

struct Writer<'a> {
    stock: &'a Stock,
    sheet: usize,
    parts: PartId,
    steps: Vec<Step>,
}

impl Writer<'_> {
    fn sheet_steps(&mut self, sheet: &SheetPlan) {
        let root = &sheet.root;
        let whole = Made {
            part: 0,
            rect: Rect { x: 0, y: 0, w: self.stock.w, h: self.stock.h },
            fate: Fate::CutFurther,
        };
        let inner = self.squared(whole, root);
        self.cut(inner, root);
    }

    /// Trims the margins: left, top, right, bottom.
    fn squared(&mut self, whole: Made, root: &Part) -> Made {
        let margin = self.stock.margin;
        let mut hand = whole;
        let near = [(Axis::X, margin.left), (Axis::Y, margin.top)];
        for (axis, side) in near.into_iter().filter(|&(_, side)| side > 0) {
            let setting = (side - self.stock.kerf).max(0);
            let waste = hand.rect.with(axis, 0, setting);
            let rest = hand.rect.with(axis, side, hand.rect.side(axis) - side);
            hand = self.trim(hand, axis, setting, (waste, rest), root, true);
        }
        let far = [(Axis::X, margin.right), (Axis::Y, margin.bottom)];
        for (axis, side) in far.into_iter().filter(|&(_, side)| side > 0) {
            let setting = hand.rect.side(axis) - side;
            let kept = hand.rect.with(axis, hand.rect.start(axis), setting);
            let kerf = self.stock.kerf.min(side);
            let waste = hand.rect.with(axis, hand.rect.start(axis) + setting + kerf, side - kerf);
            hand = self.trim(hand, axis, setting, (kept, waste), root, false);
        }
        hand
    }

    /// One trim of a margin; returns the part that is kept.
    fn trim(
        &mut self,
        hand: Made,
        axis: Axis,
        setting: Length,
        (measured, rest): (Rect, Rect),
        root: &Part,
        keeps_rest: bool,
    ) -> Made {
        let waste = Fate::Offcut { useful: false };
        let kept = |rect: Rect| if rect == root.rect() { self.fate(root) } else { Fate::CutFurther };
        let (first, second) = if keeps_rest { (waste, kept(rest)) } else { (kept(measured), waste) };
        let measured = self.made(measured, first);
        let rest = self.made(rest, second);
        self.push(hand, axis, setting, measured, Some(rest));
        if keeps_rest { rest } else { measured }
    }

    fn cut(&mut self, hand: Made, part: &Part) {
        let Part::Strip { axis, parts, .. } = part else { return };
        let mut pieces = Vec::with_capacity(parts.len());
        let mut hand = hand;
        for (index, part) in parts.iter().enumerate() {
            let Some(next) = parts.get(index + 1) else {
                pieces.push((hand, part));
                break;
            };
            let measured = self.made(part.rect(), self.fate(part));
            let last = index + 2 == parts.len();
            let from = next.rect().start(*axis);
            let end = hand.rect.start(*axis) + hand.rect.side(*axis);
            let rect = if last { next.rect() } else { hand.rect.with(*axis, from, end - from) };
            let fate = if last { self.fate(next) } else { Fate::CutFurther };
            let rest = (rect.side(*axis) > 0).then(|| self.made(rect, fate));
            self.push(hand, *axis, part.rect().side(*axis), measured, rest);
            pieces.push((measured, part));
            match rest {
                Some(rest) => hand = rest,
                None => break,
            }
        }
        for (made, part) in pieces {
            self.cut(made, part);
        }
    }

    fn fate(&self, part: &Part) -> Fate {
        match part {
            Part::Piece(Placement { item, turned, .. }) => Fate::Piece { item: *item, turned: *turned },
            Part::Offcut(rect) => Fate::Offcut { useful: rect.is_useful(self.stock.useful_offcut) },
            Part::Strip { .. } => Fate::CutFurther,
        }
    }

    fn made(&mut self, rect: Rect, fate: Fate) -> Made {
        self.parts += 1;
        Made { part: self.parts, rect, fate }
    }

    fn push(&mut self, hand: Made, axis: Axis, setting: Length, measured: Made, rest: Option<Made>) {
        self.steps.push(Step {
            number: self.steps.len() + 1,
            sheet: self.sheet,
            hand: hand.part,
            axis,
            setting,
            length: hand.rect.side(if axis == Axis::X { Axis::Y } else { Axis::X }),
            measured,
            rest,
        });
    }
}
