//! Looking for the best place for a piece.

use super::problem::{Problem, Way};
use super::random::Random;
use super::tree::{Kind, NO_AXIS, NONE, Node, NodeId, Site, Tree};

/// A place for a piece, with its cost.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) sheet: usize,
    pub(super) site: Site,
    pub(super) way: Way,
    pub(super) cost: f64,
}

/// The search for one piece over all sheets.
pub(super) struct Seeker<'a> {
    problem: &'a Problem,
    /// Share of the places that are overlooked on purpose, so that the same hole is not always filled the same way.
    blink: f64,
    /// Places looked at so far.
    pub(super) looked: u64,
    scratch: Tree,
}

/// Weight of the strip that stays free beyond a piece, up to the length of the piece, against growth and waste.
const FREE_BEYOND: f64 = 0.4;

impl<'a> Seeker<'a> {
    pub(super) fn new(problem: &'a Problem, blink: f64) -> Self {
        Self { problem, blink, looked: 0, scratch: Tree::new() }
    }

    /// The cheapest place for `piece` in `sheets`.
    pub(super) fn best(&mut self, sheets: &[Tree], piece: u16, random: &mut Random) -> Option<Place> {
        let problem = self.problem;
        let mut best: Option<Place> = None;
        let sheet_area = problem.sheet[0] as f64 * problem.sheet[1] as f64;
        let free_needed = sheet_area - problem.pieces[usize::from(piece)].area;
        for &way in &problem.pieces[usize::from(piece)].ways {
            for (sheet, tree) in sheets.iter().enumerate() {
                self.looked += 1;
                if tree.filled > free_needed {
                    continue;
                }
                if tree.is_empty() {
                    let cost = way.size[0] as f64 * way.size[1] as f64;
                    // On an empty sheet nothing tells the two ways of lying apart, but what fits beside one of them
                    // may not fit beside the other: either may be tried.
                    let other_way = best.is_some_and(|b| b.sheet == sheet && b.cost == cost);
                    if best.is_none_or(|b| cost < b.cost) || (other_way && random.unit() < 0.5) {
                        best = Some(Place { sheet, site: Site::Beside { node: NONE, axis: 0 }, way, cost });
                    }
                    continue;
                }
                self.in_tree(tree, sheet, piece, way, random, &mut best);
            }
        }
        best
    }

    fn in_tree(
        &mut self,
        tree: &Tree,
        sheet: usize,
        piece: u16,
        way: Way,
        random: &mut Random,
        best: &mut Option<Place>,
    ) {
        let root = tree.node(tree.root);
        let frame = Frame::new(root);
        self.looked += tree.nodes.len() as u64;
        for (index, node) in tree.nodes.iter().enumerate() {
            if node.kind == Kind::Dead || node.room[0].max(node.room[1]) <= 0 {
                continue;
            }
            let id = index as NodeId;
            let axes: &[u8] = match node.under {
                NO_AXIS => &[0, 1],
                // Along the parent's axis the parent itself takes the piece.
                0 => &[1],
                _ => &[0],
            };
            for &axis in axes {
                let Some(cost) = frame.beside(node, usize::from(axis), way) else { continue };
                self.offer(
                    tree,
                    Place { sheet, site: Site::Beside { node: id, axis }, way, cost },
                    piece,
                    random,
                    best,
                );
            }
            if let Kind::Branch { axis } = node.kind {
                self.groups(tree, (id, axis), (sheet, piece, way), random, best);
            }
        }
    }

    /// Two siblings at a time, of three or more, get the piece across them.
    fn groups(
        &mut self,
        tree: &Tree,
        (branch, axis): (NodeId, u8),
        (sheet, piece, way): (usize, u16, Way),
        random: &mut Random,
        best: &mut Option<Place>,
    ) {
        let node = tree.node(branch);
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let third = tree.children(branch).nth(2);
        if third.is_none() {
            return;
        }
        let frame = Frame::new(tree.node(tree.root));
        let slack = node.size[across] + node.room[across] - way.size[across];
        let mut first = node.child;
        while first != NONE {
            let a = tree.node(first);
            let mut second = a.next;
            if a.size[across] <= slack {
                while second != NONE {
                    let b = tree.node(second);
                    self.looked += 1;
                    if b.size[across] <= slack {
                        let pair = a.size[along] + b.size[along];
                        if let Some(cost) =
                            frame.across(node, along, pair, a.size[across].max(b.size[across]), way)
                        {
                            let place = Place { sheet, site: Site::Across { first, second }, way, cost };
                            self.offer(tree, place, piece, random, best);
                        }
                    }
                    second = b.next;
                }
            }
            first = a.next;
        }
    }

    fn offer(
        &mut self,
        tree: &Tree,
        place: Place,
        piece: u16,
        random: &mut Random,
        best: &mut Option<Place>,
    ) {
        if best.is_some_and(|b| b.cost <= place.cost) || (self.blink > 0.0 && random.unit() < self.blink) {
            return;
        }
        if self.problem.plain() || self.allowed(tree, place, piece) {
            *best = Some(place);
        }
    }

    /// Tries the place on a copy, for trimmers with rules of their own.
    fn allowed(&mut self, tree: &Tree, place: Place, piece: u16) -> bool {
        self.looked += tree.nodes.len() as u64;
        self.scratch.clone_from(tree);
        self.scratch.insert(self.problem, place.site, piece, place.way);
        self.scratch.obeys(self.problem)
    }
}

/// The root of the tree a piece is offered to: what it costs to grow it.
struct Frame {
    size: [f64; 2],
    room: [i64; 2],
    area: f64,
}

impl Frame {
    fn new(root: &Node) -> Self {
        let size = root.size.map(|side| side as f64);
        Self { size, room: root.room, area: size[0] * size[1] }
    }

    fn beside(&self, node: &Node, along: usize, way: Way) -> Option<f64> {
        let across = 1 - along;
        let mut grow = [0; 2];
        grow[along] = way.size[along];
        grow[across] = (way.size[across] - node.size[across]).max(0);
        if grow[0] > node.room[0] || grow[1] > node.room[1] {
            return None;
        }
        let thin = if way.size[across] > node.size[across] { node.size[along] } else { way.size[along] };
        let waste = (way.size[across] - node.size[across]).abs() as f64 * thin as f64;
        Some(self.growth(node, grow) + waste + Self::beyond(node, grow, along, way))
    }

    fn across(&self, node: &Node, along: usize, pair: i64, pair_width: i64, way: Way) -> Option<f64> {
        let across = 1 - along;
        let mut grow = [0; 2];
        grow[along] = (way.size[along] - pair).max(0);
        grow[across] = (pair_width + way.size[across] - node.size[across]).max(0);
        if grow[0] > node.room[0] || grow[1] > node.room[1] {
            return None;
        }
        let thin = if way.size[along] > pair { pair_width } else { way.size[across] };
        let waste = (way.size[along] - pair).abs() as f64 * thin as f64;
        Some(self.growth(node, grow) + waste + Self::beyond(node, grow, along, way))
    }

    /// What is left beyond the piece where it just does not fill the strip: a close fit is worth seeking.
    fn beyond(node: &Node, grow: [i64; 2], along: usize, way: Way) -> f64 {
        let free = (node.room[along] - grow[along]).min(way.size[along]);
        FREE_BEYOND * free as f64 * way.size[1 - along] as f64
    }

    /// Growth of the root's area when `node` grows.
    fn growth(&self, node: &Node, grow: [i64; 2]) -> f64 {
        let side = |axis: usize| {
            let slack = node.room[axis] - self.room[axis];
            self.size[axis] + (grow[axis] - slack).max(0) as f64
        };
        side(0) * side(1) - self.area
    }
}
