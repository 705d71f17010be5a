//! A cut tree drawn on its sheet: every open choice of the search decided.
//!
//! Decided here: where the trims of a sheet go, the order of the parts of a strip, and the part of a full strip that
//! needs no cut of its own.

use std::collections::{BTreeMap, BTreeSet};

use super::order::{Item, Length, Stock};
use super::problem::Problem;
use super::tree::{Kind, NodeId, Tree};

/// Direction in which parts lie side by side, and in which the setting of their cuts is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Along the width; the cuts are upright.
    X,
    /// Along the height; the cuts are level.
    Y,
}

impl Axis {
    pub(super) fn of(index: u8) -> Self {
        if index == 0 { Self::X } else { Self::Y }
    }

    fn other(self) -> Self {
        if self == Self::X { Self::Y } else { Self::X }
    }
}

/// A rectangle on the sheet, from its left and top edges.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rect {
    pub x: Length,
    pub y: Length,
    pub w: Length,
    pub h: Length,
}

impl Rect {
    /// Length of the side along `axis`.
    pub fn side(&self, axis: Axis) -> Length {
        if axis == Axis::X { self.w } else { self.h }
    }

    pub(super) fn start(&self, axis: Axis) -> Length {
        if axis == Axis::X { self.x } else { self.y }
    }

    pub(super) fn set_start(&mut self, axis: Axis, to: Length) {
        if axis == Axis::X { self.x = to } else { self.y = to }
    }

    /// The same rectangle with another start and side along `axis`.
    pub(super) fn with(mut self, axis: Axis, start: Length, side: Length) -> Self {
        self.set_start(axis, start);
        if axis == Axis::X {
            self.w = side
        } else {
            self.h = side
        }
        self
    }

    /// Area in square units (`i128`: a sheet in nanometres times many sheets overflows 64 bits).
    pub fn area(&self) -> i128 {
        i128::from(self.w) * i128::from(self.h)
    }

    /// Whether both sides are at least `least` (and not empty).
    pub fn is_useful(&self, least: Length) -> bool {
        self.w.min(self.h) >= least.max(1)
    }
}

/// A piece on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placement {
    /// Index of the item in the order.
    pub item: usize,
    /// Turned by 90°.
    pub turned: bool,
    pub rect: Rect,
}

/// A part of a sheet in the decided cut tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    Piece(Placement),
    /// What is left over; empty when the kerf of its cut takes all of it.
    Offcut(Rect),
    /// Parts side by side along `axis`, the kerf between them; together they fill `rect`.
    Strip {
        rect: Rect,
        axis: Axis,
        parts: Vec<Part>,
    },
}

impl Part {
    pub fn rect(&self) -> Rect {
        match self {
            Self::Piece(placement) => placement.rect,
            Self::Offcut(rect) | Self::Strip { rect, .. } => *rect,
        }
    }

    fn rect_mut(&mut self) -> &mut Rect {
        match self {
            Self::Piece(placement) => &mut placement.rect,
            Self::Offcut(rect) | Self::Strip { rect, .. } => rect,
        }
    }

    /// Visits this part and all within it, outer before inner.
    pub fn visit<'a>(&'a self, visitor: &mut impl FnMut(&'a Part)) {
        visitor(self);
        if let Self::Strip { parts, .. } = self {
            for part in parts {
                part.visit(visitor);
            }
        }
    }

    /// Moves this part to `(x, y)` and lays what is within it side by side.
    fn lay(&mut self, x: Length, y: Length, kerf: Length) {
        let rect = self.rect_mut();
        (rect.x, rect.y) = (x, y);
        if let Self::Strip { rect, axis, parts } = self {
            let mut at = rect.start(*axis);
            for part in parts {
                let side = part.rect().side(*axis);
                // An offcut that the kerf takes whole lies at the far edge and not beyond it.
                let start = at.min(rect.start(*axis) + rect.side(*axis));
                match axis {
                    Axis::X => part.lay(start, y, kerf),
                    Axis::Y => part.lay(x, start, kerf),
                }
                at += side + kerf;
            }
        }
    }
}

/// Which of the two trims of a sheet is made first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Trims {
    /// Across the strips first: the waste at their ends keeps the whole length of the sheet.
    #[default]
    AcrossFirst,
    /// Along the strips first.
    AlongFirst,
    /// None for the sheet as a whole: every strip is trimmed by itself (a short blade).
    Each,
}

/// Draws the tree of one sheet inside the margins, its parts not yet ordered nor laid.
pub(super) fn draw(problem: &Problem, items: &[Item], tree: &Tree, trims: Trims) -> Part {
    let drawing = Drawing { problem, items, tree };
    let sheet = problem.sheet.map(|side| side - problem.kerf);
    if tree.is_empty() {
        return Part::Offcut(Rect { x: 0, y: 0, w: sheet[0], h: sheet[1] });
    }
    let Some(axis) = tree.node(tree.root).kind.axis().map(Axis::of) else {
        return drawing.part(tree.root, sheet);
    };
    let size = drawing.size(tree.root);
    match drawing.allowed(trims, axis) {
        Trims::AcrossFirst => {
            let inner = with_side(size, axis, sheet);
            drawing.trimmed(drawing.part(tree.root, inner), axis.other(), sheet)
        }
        Trims::AlongFirst => {
            let inner = with_side(size, axis.other(), sheet);
            let part = drawing.trimmed(drawing.part(tree.root, size), axis.other(), inner);
            drawing.trimmed(part, axis, sheet)
        }
        Trims::Each => drawing.part(tree.root, sheet),
    }
}

fn with_side(mut size: [Length; 2], axis: Axis, from: [Length; 2]) -> [Length; 2] {
    let index = usize::from(axis == Axis::Y);
    size[index] = from[index];
    size
}

fn rect_of(size: [Length; 2]) -> Rect {
    Rect { x: 0, y: 0, w: size[0], h: size[1] }
}

struct Drawing<'a> {
    problem: &'a Problem,
    items: &'a [Item],
    tree: &'a Tree,
}

impl Drawing<'_> {
    fn size(&self, id: NodeId) -> [Length; 2] {
        self.tree.node(id).size.map(|side| side - self.problem.kerf)
    }

    /// The wanted order of trims, or the one the blade allows.
    fn allowed(&self, wanted: Trims, axis: Axis) -> Trims {
        let index = u8::from(axis == Axis::Y);
        if self.problem.blade.is_none() {
            wanted
        } else if self.tree.trims_across_first(self.problem, index) {
            Trims::AcrossFirst
        } else {
            Trims::Each
        }
    }

    fn part(&self, id: NodeId, region: [Length; 2]) -> Part {
        match self.tree.node(id).kind {
            Kind::Leaf { piece, turned } => self.piece(piece, turned, region),
            Kind::Branch { axis } => self.strip(id, Axis::of(axis), region),
            Kind::Dead => Part::Offcut(rect_of(region)),
        }
    }

    fn piece(&self, piece: u16, turned: bool, region: [Length; 2]) -> Part {
        let item = self.problem.pieces[usize::from(piece)].item;
        let size = self.items[item].laid(turned);
        let part = Part::Piece(Placement { item, turned, rect: rect_of(size) });
        // Both sides are to trim only for a piece alone on its sheet: the first cut then leaves the larger offcut.
        let beside = |axis: Axis| {
            let rect = rect_of(region);
            rect.with(axis, 0, rect.side(axis) - rect_of(size).side(axis)).area()
        };
        let first = if beside(Axis::X) >= beside(Axis::Y) { Axis::X } else { Axis::Y };
        let first = self.first_trim(size, region, first);
        let part = self.trimmed(part, first.other(), with_side(size, first.other(), region));
        self.trimmed(part, first, region)
    }

    /// Axis of the first of two trims of a piece alone on its sheet.
    fn first_trim(&self, size: [Length; 2], region: [Length; 2], wanted: Axis) -> Axis {
        let Some(blade) = self.problem.blade.map(|blade| blade - self.problem.kerf) else { return wanted };
        let within = |axis: Axis| {
            let (a, b) = if axis == Axis::X { (0, 1) } else { (1, 0) };
            (size[a] == region[a] || region[b] <= blade) && (size[b] == region[b] || size[a] <= blade)
        };
        if within(wanted) { wanted } else { wanted.other() }
    }

    /// `part` with what is left of `region` beyond it along `axis`.
    fn trimmed(&self, part: Part, axis: Axis, region: [Length; 2]) -> Part {
        let rect = rect_of(region);
        let left = rect.side(axis) - part.rect().side(axis);
        if left <= 0 {
            return part;
        }
        let offcut = Part::Offcut(rect.with(axis, 0, (left - self.problem.kerf).max(0)));
        match part {
            // The waste at the end of a strip is a further part of it.
            Part::Strip { axis: own, mut parts, .. } if own == axis => {
                parts.push(offcut);
                Part::Strip { rect, axis, parts }
            }
            part => Part::Strip { rect, axis, parts: vec![part, offcut] },
        }
    }

    fn strip(&self, id: NodeId, axis: Axis, region: [Length; 2]) -> Part {
        let size = self.size(id);
        let parts = self
            .tree
            .children(id)
            .map(|child| self.part(child, with_side(self.size(child), axis.other(), region)))
            .collect();
        let filled = with_side(size, axis.other(), region);
        self.trimmed(Part::Strip { rect: rect_of(filled), axis, parts }, axis, region)
    }
}

/// One sheet with its decided cuts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetPlan {
    /// The cut tree of the part inside the margins.
    pub root: Part,
    pub placements: Vec<Placement>,
}

/// How good a plan is for the number of sheets it has: fewer settings, then a larger offcut, then fewer cuts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    pub(super) settings: usize,
    pub(super) used_of_largest: i128,
    pub(super) cuts: usize,
}

/// Orders the parts of every strip (equal ones together, wider first, the one that needs no cut last) and measures.
pub(super) fn arrange(stock: &Stock, roots: &mut [Part]) -> Score {
    let mut marks = Marks { step: stock.scale_step, used: BTreeSet::new() };
    let mut cuts = 0;
    let mut largest = 0;
    for root in roots.iter() {
        root.visit(&mut |part| match part {
            Part::Strip { axis, parts, .. } => {
                cuts += parts.len() - 1;
                marks.require(*axis, parts);
            }
            Part::Offcut(rect) if rect.is_useful(stock.useful_offcut) => largest = largest.max(rect.area()),
            _ => {}
        });
    }
    for root in roots {
        order(root, &mut marks);
    }
    Score { settings: marks.used.len(), used_of_largest: -largest, cuts }
}

/// Marks of the scale that some cut needs.
struct Marks {
    step: Length,
    used: BTreeSet<Length>,
}

/// The mark of the scale nearest to a setting.
pub(super) fn mark(setting: Length, step: Length) -> Length {
    if step > 1 { (setting + step / 2).div_euclid(step) * step } else { setting }
}

impl Marks {
    /// Notes the marks that every order of the parts needs: all when there is waste at the end, else those that
    /// occur twice.
    fn require(&mut self, axis: Axis, parts: &[Part]) {
        let full = !matches!(parts.last(), Some(Part::Offcut(_)));
        let mut counts: BTreeMap<Length, usize> = BTreeMap::new();
        for part in parts.iter().filter(|part| !matches!(part, Part::Offcut(_))) {
            *counts.entry(mark(part.rect().side(axis), self.step)).or_default() += 1;
        }
        self.used.extend(counts.into_iter().filter(|&(_, count)| count > 1 || !full).map(|(mark, _)| mark));
    }
}

fn order(part: &mut Part, marks: &mut Marks) {
    let Part::Strip { axis, parts, .. } = part else { return };
    let axis = *axis;
    let side = |part: &Part| part.rect().side(axis);
    let is_offcut = |part: &Part| matches!(part, Part::Offcut(_));
    parts.sort_by_key(|part| {
        (is_offcut(part), std::cmp::Reverse(side(part)), std::cmp::Reverse(part.rect().area()))
    });
    if !parts.last().is_some_and(is_offcut) {
        // The remainder needs no setting: let it be a part whose mark nothing else needs, the narrowest of those.
        let spare = parts.iter().rposition(|part| !marks.used.contains(&mark(side(part), marks.step)));
        if let Some(spare) = spare {
            let last = parts.remove(spare);
            parts.push(last);
        }
        let cut = parts.len() - 1;
        marks.used.extend(parts.iter().take(cut).map(|part| mark(side(part), marks.step)));
    }
    for part in parts {
        order(part, marks);
    }
}

/// Lays an ordered part on the sheet and lists its pieces.
pub(super) fn lay(stock: &Stock, mut root: Part) -> SheetPlan {
    root.lay(stock.margin.left, stock.margin.top, stock.kerf);
    let mut placements = Vec::new();
    root.visit(&mut |part| {
        if let Part::Piece(placement) = part {
            placements.push(*placement);
        }
    });
    SheetPlan { root, placements }
}
