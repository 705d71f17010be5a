//! Replays the numbered steps of a plan on paper rectangles: do they make the pieces, on this trimmer?

use std::collections::BTreeMap;

use super::layout::{Axis, Rect};
use super::order::{Item, Stock};
use super::steps::{Fate, Made, Step};
use super::verify::Violation;

/// Follows the steps of `sheets` sheets: every part in hand exists, every cut falls within it, is no longer than the
/// blade and leaves no waste too narrow to trim, the parts are where the cut says, and in the end the pieces ordered
/// lie on the table.
pub fn replay(stock: &Stock, items: &[Item], sheets: usize, steps: &[Step]) -> Result<(), Violation> {
    let mut made = vec![0usize; items.len()];
    let mut parts: BTreeMap<(usize, usize), Made> = BTreeMap::new();
    for sheet in 0..sheets {
        let rect = Rect { x: 0, y: 0, w: stock.w, h: stock.h };
        parts.insert((sheet, 0), Made { part: 0, rect, fate: Fate::CutFurther });
    }
    for step in steps {
        let wrong = Violation::Step { number: step.number };
        let hand = parts.remove(&(step.sheet, step.hand)).ok_or_else(|| wrong.clone())?;
        if !is_sound(stock, &hand, step) {
            return Err(wrong);
        }
        parts.insert((step.sheet, step.measured.part), step.measured);
        if let Some(rest) = step.rest {
            parts.insert((step.sheet, rest.part), rest);
        }
    }
    // A sheet that is one piece as it comes needs no step.
    for ((sheet, number), part) in parts {
        let whole = number == 0;
        match part.fate {
            Fate::Piece { item, turned } => {
                let size = items.get(item).map(|item| item.laid(turned));
                if size != Some([part.rect.w, part.rect.h]) {
                    return Err(Violation::WrongPiece { sheet, placement: number });
                }
                made[item] += 1;
            }
            Fate::CutFurther if whole => {
                let item = items
                    .iter()
                    .position(|item| item.ways().any(|turned| item.laid(turned) == [stock.w, stock.h]));
                if let Some(count) = item.and_then(|item| made.get_mut(item)) {
                    *count += 1;
                }
            }
            Fate::CutFurther => return Err(Violation::Step { number: 0 }),
            Fate::Offcut { .. } => {}
        }
    }
    if merged(items, &made) == merged(items, &items.iter().map(|item| item.qty as usize).collect::<Vec<_>>())
    {
        return Ok(());
    }
    let differs = items.iter().zip(&made).position(|(item, &made)| made != item.qty as usize).unwrap_or(0);
    Err(Violation::Quantity {
        item: differs,
        wanted: items.get(differs).map_or(0, |item| item.qty),
        placed: made.get(differs).copied().unwrap_or(0),
    })
}

/// Counts by size: a step may name either of two items of equal size.
fn merged(items: &[Item], counts: &[usize]) -> BTreeMap<(i64, i64), usize> {
    let mut merged = BTreeMap::new();
    for (item, count) in items.iter().zip(counts) {
        *merged.entry((item.w.min(item.h), item.w.max(item.h))).or_default() += count;
    }
    merged
}

fn is_sound(stock: &Stock, hand: &Made, step: &Step) -> bool {
    let axis = step.axis;
    let rect = hand.rect;
    let (start, side) = (rect.start(axis), rect.side(axis));
    let width = if axis == Axis::X { rect.h } else { rect.w };
    let end = start + side;
    let after = (start + step.setting + stock.kerf).min(end);
    let expected_rest = rect.with(axis, after, end - after);
    let waste_is_wide = |made: Option<Made>, waste: i64| match made.map(|made| made.fate) {
        Some(Fate::Offcut { .. }) | None => waste >= stock.min_trim || is_margin(stock, step),
        Some(_) => true,
    };
    hand.fate == Fate::CutFurther
        && (0..side).contains(&step.setting)
        && step.length == width
        && stock.blade.is_none_or(|blade| width <= blade || is_margin(stock, step))
        && step.measured.rect == rect.with(axis, start, step.setting)
        && step.rest.map_or(expected_rest.side(axis) == 0, |rest| rest.rect == expected_rest)
        && waste_is_wide(Some(step.measured), step.setting)
        && waste_is_wide(step.rest, side - step.setting)
}

/// Whether the cut trims a margin: those are given, not planned.
fn is_margin(stock: &Stock, step: &Step) -> bool {
    let waste = |made: &Made| matches!(made.fate, Fate::Offcut { .. });
    let rect = step.measured.rect;
    let near = if step.axis == Axis::X { rect.x < stock.margin.left } else { rect.y < stock.margin.top };
    let edge =
        if step.axis == Axis::X { stock.w - stock.margin.right } else { stock.h - stock.margin.bottom };
    let at_far = rect.start(step.axis) + rect.side(step.axis) == edge;
    (near && waste(&step.measured)) || (at_far && step.rest.is_none_or(|rest| waste(&rest)))
}
