//! Tight orders, put together from below.
//!
//! Where hardly any waste is allowed, pieces fit only beside pieces of their own width. Blocks of two, three, four…
//! pieces are joined side by side as long as their waste stays within what the order leaves over (P.Y. Wang, "Two
//! algorithms for constrained two-dimensional cutting stock problems", Operations Research 31 (1983)); blocks that
//! fill a sheet are then chosen so that each piece is used once. Of every number of pieces only the least wasteful
//! blocks are kept, so this finds layouts but proves nothing.

use std::cmp::Reverse;

use super::order::Length;
use super::problem::{Problem, Way};
use super::tree::{Nested, Tree};

/// Blocks kept for each number of pieces.
const BEAM: usize = 3_000;
/// Full sheets tried while choosing among them.
const MOST_CHOICES: usize = 300_000;
/// Joins tried at most.
const MOST_JOINS: u64 = 3_000_000;
/// Orders are tight when this share of the sheets covers the waste they leave over.
const TIGHT_SHARE: f64 = 0.05;

/// Copies used of every kind of piece, in bit fields with a spare bit each.
type Counts = u128;

#[derive(Clone, Copy, Debug)]
struct Block {
    size: [Length; 2],
    counts: Counts,
    waste: i128,
    made: Made,
}

#[derive(Clone, Copy, Debug)]
enum Made {
    Piece { kind: usize, way: Way },
    Join { axis: u8, parts: [u32; 2] },
}

/// Pieces that are copies of one another.
struct KindOfPiece {
    pieces: Vec<u16>,
    shift: u32,
}

/// All pieces of `problem` on `sheets` sheets, if blocks make them up. Adds to `looked`.
pub(super) fn assemble(problem: &Problem, sheets: usize, looked: &mut u64) -> Option<Vec<Tree>> {
    if !problem.plain() {
        return None;
    }
    let mut assembly = Assembly::new(problem, sheets)?;
    assembly.grow();
    let chosen = assembly.choose();
    *looked += assembly.looked;
    chosen.map(|chosen| assembly.trees(&chosen))
}

struct Assembly<'a> {
    problem: &'a Problem,
    sheets: usize,
    kinds: Vec<KindOfPiece>,
    /// All copies of all kinds, and the spare bits.
    total: Counts,
    guards: Counts,
    /// Waste that the order leaves over.
    spare: i128,
    /// Most waste within one block: twice the fair share of a sheet.
    allowance: i128,
    blocks: Vec<Block>,
    /// Blocks of one piece, two pieces…
    levels: Vec<Vec<u32>>,
    looked: u64,
}

impl<'a> Assembly<'a> {
    fn new(problem: &'a Problem, sheets: usize) -> Option<Self> {
        let mut kinds: Vec<KindOfPiece> = Vec::new();
        let (mut total, mut guards, mut shift) = (0, 0, 0u32);
        let mut last = None;
        for (index, piece) in problem.pieces.iter().enumerate() {
            if last != Some(piece.item) {
                kinds.push(KindOfPiece { pieces: Vec::new(), shift: 0 });
                last = Some(piece.item);
            }
            kinds.last_mut()?.pieces.push(index as u16);
        }
        for kind in &mut kinds {
            let bits = usize::BITS - kind.pieces.len().leading_zeros();
            kind.shift = shift;
            if shift + bits + 1 > Counts::BITS {
                return None;
            }
            total |= (kind.pieces.len() as Counts) << shift;
            guards |= 1 << (shift + bits);
            shift += bits + 1;
        }
        let area = |size: [Length; 2]| i128::from(size[0]) * i128::from(size[1]);
        let used: i128 =
            problem.pieces.iter().filter_map(|piece| piece.ways.first()).map(|way| area(way.size)).sum();
        let spare = area(problem.sheet) * sheets as i128 - used;
        if spare < 0 || spare as f64 > TIGHT_SHARE * sheets as f64 * area(problem.sheet) as f64 {
            return None;
        }
        let allowance = spare.min(2 * spare / sheets.max(1) as i128);
        let mut assembly = Self {
            problem,
            sheets,
            kinds,
            total,
            guards,
            spare,
            allowance,
            blocks: Vec::new(),
            levels: vec![Vec::new()],
            looked: 0,
        };
        assembly.single_pieces();
        Some(assembly)
    }

    fn single_pieces(&mut self) {
        let mut level = Vec::new();
        for (index, kind) in self.kinds.iter().enumerate() {
            let Some(&piece) = kind.pieces.first() else { continue };
            for &way in &self.problem.pieces[usize::from(piece)].ways {
                level.push(self.blocks.len() as u32);
                let made = Made::Piece { kind: index, way };
                self.blocks.push(Block { size: way.size, counts: 1 << kind.shift, waste: 0, made });
            }
        }
        self.levels.push(level);
    }

    fn grow(&mut self) {
        for pieces in 2..=self.problem.pieces.len() {
            let largest = self.levels.iter().rposition(|level| !level.is_empty()).unwrap_or(0);
            if self.looked > MOST_JOINS || pieces > 2 * largest {
                return;
            }
            let mut found = Vec::new();
            for fewer in 1..=pieces / 2 {
                for axis in 0..2 {
                    self.join_levels(fewer, pieces - fewer, axis, &mut found);
                }
            }
            let key = |block: &Block| (block.waste, block.counts, block.size);
            found.sort_unstable_by_key(key);
            found.dedup_by_key(|block| key(block));
            found.truncate(BEAM);
            let first = self.blocks.len() as u32;
            self.blocks.extend(&found);
            self.levels.push((first..self.blocks.len() as u32).collect());
        }
    }

    fn join_levels(&mut self, fewer: usize, more: usize, axis: u8, found: &mut Vec<Block>) {
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let mut sorted = self.levels[more].clone();
        sorted.sort_by_key(|&id| self.blocks[id as usize].size[across]);
        let width = |id: u32| self.blocks[id as usize].size[across];
        let level = std::mem::take(&mut self.levels[fewer]);
        for &a in &level {
            if self.looked > MOST_JOINS {
                break;
            }
            let first = self.blocks[a as usize];
            let slack = self.allowance - first.waste;
            // Wider partners waste beside this block, narrower ones beside themselves.
            let widest = first.size[across] + (slack / i128::from(first.size[along])) as Length;
            let from = sorted.partition_point(|&b| width(b) < first.size[across]);
            for &b in sorted[from..].iter().take_while(|&&b| width(b) <= widest) {
                self.looked += 1;
                found.extend(self.join(axis, a, b));
            }
            for &b in sorted[..from].iter().rev() {
                self.looked += 1;
                if i128::from(first.size[across] - width(b)) > slack {
                    break;
                }
                found.extend(self.join(axis, a, b));
            }
        }
        self.levels[fewer] = level;
    }

    fn join(&self, axis: u8, a: u32, b: u32) -> Option<Block> {
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let (first, second) = (self.blocks[a as usize], self.blocks[b as usize]);
        let counts = first.counts + second.counts;
        if ((self.total | self.guards) - counts) & self.guards != self.guards {
            return None;
        }
        let mut size = [0; 2];
        size[along] = first.size[along] + second.size[along];
        size[across] = first.size[across].max(second.size[across]);
        let thin = if first.size[across] < second.size[across] { first } else { second };
        let beside = i128::from(size[across] - thin.size[across]) * i128::from(thin.size[along]);
        let waste = first.waste + second.waste + beside;
        let fits = size[0] <= self.problem.sheet[0] && size[1] <= self.problem.sheet[1];
        (fits && waste <= self.allowance).then_some(Block {
            size,
            counts,
            waste,
            made: Made::Join { axis, parts: [a, b] },
        })
    }

    /// Blocks, one for each sheet, that use every piece once.
    fn choose(&mut self) -> Option<Vec<u32>> {
        let sheet = i128::from(self.problem.sheet[0]) * i128::from(self.problem.sheet[1]);
        let mut full: Vec<(i128, u32)> = Vec::new();
        for (id, block) in self.blocks.iter().enumerate() {
            let used = i128::from(block.size[0]) * i128::from(block.size[1]) - block.waste;
            if sheet - used <= self.spare {
                full.push((used, id as u32));
            }
        }
        full.sort_by_key(|&(used, id)| (Reverse(used), id));
        // Kinds in few full sheets decide first.
        let mut order: Vec<usize> = (0..self.kinds.len()).collect();
        let frequency = |kind: usize| full.iter().filter(|&&(_, id)| self.uses(id, kind)).count();
        order.sort_by_cached_key(|&kind| (frequency(kind), kind));
        let by_kind: Vec<Vec<(i128, u32)>> = order
            .iter()
            .map(|&kind| full.iter().copied().filter(|&(_, id)| self.uses(id, kind)).collect())
            .collect();
        let mut chosen = Vec::new();
        let mut choices = 0;
        let found = self.cover(&order, &by_kind, 0, sheet, self.spare, &mut chosen, &mut choices);
        self.looked += choices as u64;
        found.then_some(chosen)
    }

    fn uses(&self, id: u32, kind: usize) -> bool {
        let counts = self.blocks[id as usize].counts;
        self.missing(kind, counts) < self.kinds[kind].pieces.len()
    }

    /// Copies of `kind` that `counts` leaves.
    fn missing(&self, kind: usize, counts: Counts) -> usize {
        let kind = &self.kinds[kind];
        let bits = usize::BITS - kind.pieces.len().leading_zeros();
        let used = (counts >> kind.shift) & ((1 << bits) - 1);
        kind.pieces.len() - used as usize
    }

    #[expect(clippy::too_many_arguments, reason = "the state of one recursion")]
    fn cover(
        &self,
        order: &[usize],
        by_kind: &[Vec<(i128, u32)>],
        used: Counts,
        sheet: i128,
        spare: i128,
        chosen: &mut Vec<u32>,
        choices: &mut usize,
    ) -> bool {
        let Some(next) = order.iter().position(|&kind| self.missing(kind, used) > 0) else { return true };
        if chosen.len() == self.sheets {
            return false;
        }
        for &(area, id) in &by_kind[next] {
            *choices += 1;
            if sheet - area > spare || *choices > MOST_CHOICES {
                return false;
            }
            let counts = used + self.blocks[id as usize].counts;
            if ((self.total | self.guards) - counts) & self.guards != self.guards {
                continue;
            }
            chosen.push(id);
            if self.cover(order, by_kind, counts, sheet, spare - (sheet - area), chosen, choices) {
                return true;
            }
            chosen.pop();
        }
        false
    }

    fn trees(&self, chosen: &[u32]) -> Vec<Tree> {
        let mut left: Vec<std::slice::Iter<u16>> = self.kinds.iter().map(|kind| kind.pieces.iter()).collect();
        chosen
            .iter()
            .map(|&id| {
                let nested = self.nested(id, &mut left);
                Tree::of(self.problem, &nested)
            })
            .collect()
    }

    fn nested(&self, id: u32, left: &mut [std::slice::Iter<u16>]) -> Nested {
        match self.blocks[id as usize].made {
            Made::Piece { kind, way } => Nested::Leaf { piece: left[kind].next().copied().unwrap_or(0), way },
            Made::Join { axis, parts } => {
                Nested::Branch { axis, parts: parts.map(|part| self.nested(part, left)).into() }
            }
        }
    }
}
