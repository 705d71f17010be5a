//! The independent checker: whether placements fulfil an order and can be cut edge to edge.
//!
//! It reads placements only, never the cut tree, and shares no code with the search.

use super::layout::{Axis, Placement};
use super::order::{Item, Length, Stock};

/// What is wrong with a plan. Indices count from 0; placements by their index on the sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Violation {
    /// A placement names no item, has not its size, or is turned against its will.
    WrongPiece { sheet: usize, placement: usize },
    /// A placement reaches over the margins.
    Outside { sheet: usize, placement: usize },
    /// Two placements overlap, or are nearer than the kerf.
    Overlap { sheet: usize, first: usize, second: usize },
    /// These placements cannot be parted by edge-to-edge cuts.
    NotGuillotine { sheet: usize, placements: Vec<usize> },
    /// An item is not there as often as wanted.
    Quantity { item: usize, wanted: u32, placed: usize },
    /// The numbered steps do not make what they promise.
    Step { number: usize },
}

/// Decides containment, overlap, edge-to-edge cuts and quantities.
pub fn verify(stock: &Stock, items: &[Item], sheets: &[Vec<Placement>]) -> Result<(), Violation> {
    let mut placed = vec![0usize; items.len()];
    for (sheet, placements) in sheets.iter().enumerate() {
        for (index, placement) in placements.iter().enumerate() {
            check_piece(stock, items, sheet, index, placement)?;
            if let Some(count) = placed.get_mut(placement.item) {
                *count += 1;
            }
        }
        check_overlaps(stock.kerf, sheet, placements)?;
        check_cuts(stock.kerf, sheet, placements)?;
    }
    for (item, (order, placed)) in items.iter().zip(placed).enumerate() {
        if placed != order.qty as usize {
            return Err(Violation::Quantity { item, wanted: order.qty, placed });
        }
    }
    Ok(())
}

fn check_piece(
    stock: &Stock,
    items: &[Item],
    sheet: usize,
    index: usize,
    placement: &Placement,
) -> Result<(), Violation> {
    let rect = placement.rect;
    let right = items.get(placement.item).is_some_and(|item| {
        let size = if placement.turned { (item.h, item.w) } else { (item.w, item.h) };
        item.turn.permits(placement.turned) && size == (rect.w, rect.h)
    });
    if !right {
        return Err(Violation::WrongPiece { sheet, placement: index });
    }
    let margin = stock.margin;
    let inside = rect.x >= margin.left
        && rect.y >= margin.top
        && rect.x + rect.w <= stock.w - margin.right
        && rect.y + rect.h <= stock.h - margin.bottom;
    if inside { Ok(()) } else { Err(Violation::Outside { sheet, placement: index }) }
}

fn check_overlaps(kerf: Length, sheet: usize, placements: &[Placement]) -> Result<(), Violation> {
    for (first, a) in placements.iter().enumerate() {
        for (second, b) in placements.iter().enumerate().skip(first + 1) {
            let (a, b) = (a.rect, b.rect);
            let apart = a.x + a.w + kerf <= b.x
                || b.x + b.w + kerf <= a.x
                || a.y + a.h + kerf <= b.y
                || b.y + b.h + kerf <= a.y;
            if !apart {
                return Err(Violation::Overlap { sheet, first, second });
            }
        }
    }
    Ok(())
}

/// Parts the placements by straight cuts, in turn along each axis, until each lies alone.
///
/// Any cut that meets no placement may be made: a set that can be parted stays so in every subset, hence no choice is
/// ever wrong, and a group that neither axis parts is a proof that no sequence of cuts exists.
fn check_cuts(kerf: Length, sheet: usize, placements: &[Placement]) -> Result<(), Violation> {
    let mut groups = vec![(0..placements.len()).collect::<Vec<_>>()];
    while let Some(group) = groups.pop() {
        if group.len() < 2 {
            continue;
        }
        let split = [Axis::X, Axis::Y]
            .into_iter()
            .map(|axis| part(kerf, placements, &group, axis))
            .find(|s| s.len() > 1);
        match split {
            Some(split) => groups.extend(split),
            None => return Err(Violation::NotGuillotine { sheet, placements: group }),
        }
    }
    Ok(())
}

/// Groups that cuts across `axis` separate.
fn part(kerf: Length, placements: &[Placement], group: &[usize], axis: Axis) -> Vec<Vec<usize>> {
    let span = |index: usize| {
        let rect = placements[index].rect;
        if axis == Axis::X { (rect.x, rect.x + rect.w) } else { (rect.y, rect.y + rect.h) }
    };
    let mut sorted = group.to_vec();
    sorted.sort_by_key(|&index| (span(index), index));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut end = Length::MIN;
    for index in sorted {
        let (from, to) = span(index);
        match groups.last_mut() {
            Some(last) if from < end.saturating_add(kerf) => last.push(index),
            _ => groups.push(vec![index]),
        }
        end = end.max(to);
    }
    groups
}
