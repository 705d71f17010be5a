//! The undecided cut tree of one sheet.
//!
//! A branch places its children side by side along its axis (0: along the width, by upright cuts; 1: along the height,
//! by level cuts) and axes alternate from parent to child. A branch is as long as its children together and as wide
//! as the widest. Nothing says in which order the children lie, nor where the waste goes: those choices stay open
//! until a layout is drawn from the tree, so an insertion can still use any of the slack.
//!
//! Every such tree can be cut edge to edge, and every pattern that can be cut so is such a tree.

use super::order::Length;
use super::problem::{Problem, Way};

/// Index of a node in its tree.
pub(super) type NodeId = u16;
/// No node.
pub(super) const NONE: NodeId = NodeId::MAX;
/// In place of the axis of a parent.
pub(super) const NO_AXIS: u8 = 2;

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A piece of the problem and whether it is turned.
    Leaf { piece: u16, turned: bool },
    /// Children along this axis.
    Branch { axis: u8 },
    /// An unused place in the arena.
    Dead,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) kind: Kind,
    pub(super) size: [Length; 2],
    /// How far each side may grow before the sheet is too small.
    pub(super) room: [Length; 2],
    /// Axis of the parent; [`NO_AXIS`] for the root.
    pub(super) under: u8,
    pub(super) parent: NodeId,
    pub(super) child: NodeId,
    pub(super) next: NodeId,
}

/// Where a new leaf goes in a tree that is not empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Site {
    /// Beside `node` along `axis`: as its child if it is a branch of that axis, else both under a new branch.
    Beside { node: NodeId, axis: u8 },
    /// Across two siblings, which become a group of their own.
    Across { first: NodeId, second: NodeId },
}

#[derive(Debug)]
pub(super) struct Tree {
    pub(super) nodes: Vec<Node>,
    pub(super) root: NodeId,
    free: Vec<NodeId>,
    /// Area of the pieces.
    pub(super) filled: f64,
    pub(super) count: usize,
}

// `clone_from` keeps the allocations: the search copies trees all the time.
impl Clone for Tree {
    fn clone(&self) -> Self {
        Self {
            nodes: self.nodes.clone(),
            root: self.root,
            free: self.free.clone(),
            filled: self.filled,
            count: self.count,
        }
    }

    fn clone_from(&mut self, source: &Self) {
        self.nodes.clone_from(&source.nodes);
        self.root = source.root;
        self.free.clone_from(&source.free);
        self.filled = source.filled;
        self.count = source.count;
    }
}

/// A tree written out, from which [`Tree::of`] makes one.
#[derive(Clone, Debug)]
pub(super) enum Nested {
    Leaf { piece: u16, way: Way },
    Branch { axis: u8, parts: Vec<Nested> },
}

impl Tree {
    /// The tree with branches of one axis merged.
    pub(super) fn of(problem: &Problem, nested: &Nested) -> Self {
        let mut tree = Self::new();
        tree.root = tree.graft(problem, nested, NONE);
        tree.settle(problem);
        tree
    }

    fn graft(&mut self, problem: &Problem, nested: &Nested, parent: NodeId) -> NodeId {
        match nested {
            Nested::Leaf { piece, way } => {
                self.filled += problem.pieces[usize::from(*piece)].area;
                self.count += 1;
                let leaf = self.add(Kind::Leaf { piece: *piece, turned: way.turned }, way.size);
                if parent != NONE {
                    self.push_child(parent, leaf);
                }
                leaf
            }
            Nested::Branch { axis, parts } => {
                let same = parent != NONE && self.node(parent).kind.axis() == Some(*axis);
                let branch = if same { parent } else { self.add(Kind::Branch { axis: *axis }, [0, 0]) };
                if !same && parent != NONE {
                    self.push_child(parent, branch);
                }
                for part in parts {
                    self.graft(problem, part, branch);
                }
                branch
            }
        }
    }

    pub(super) fn new() -> Self {
        Self { nodes: Vec::new(), root: NONE, free: Vec::new(), filled: 0.0, count: 0 }
    }

    pub(super) fn clear(&mut self) {
        self.nodes.clear();
        self.free.clear();
        self.root = NONE;
        self.filled = 0.0;
        self.count = 0;
    }

    pub(super) fn is_empty(&self) -> bool {
        self.root == NONE
    }

    pub(super) fn node(&self, id: NodeId) -> &Node {
        &self.nodes[usize::from(id)]
    }

    fn node_mut(&mut self, id: NodeId) -> &mut Node {
        &mut self.nodes[usize::from(id)]
    }

    pub(super) fn root_size(&self) -> [Length; 2] {
        if self.is_empty() { [0, 0] } else { self.node(self.root).size }
    }

    pub(super) fn children(&self, id: NodeId) -> impl Iterator<Item = NodeId> + '_ {
        let first = self.node(id).child;
        std::iter::successors((first != NONE).then_some(first), |&c| {
            let next = self.node(c).next;
            (next != NONE).then_some(next)
        })
    }

    /// The leaves with their pieces, in arena order.
    pub(super) fn leaves(&self) -> impl Iterator<Item = (NodeId, u16)> + '_ {
        self.nodes.iter().enumerate().filter_map(|(index, node)| match node.kind {
            Kind::Leaf { piece, .. } => Some((index as NodeId, piece)),
            _ => None,
        })
    }

    /// Puts a piece at `site` (ignored in an empty tree).
    pub(super) fn insert(&mut self, problem: &Problem, site: Site, piece: u16, way: Way) {
        self.filled += problem.pieces[usize::from(piece)].area;
        self.count += 1;
        let leaf = self.add(Kind::Leaf { piece, turned: way.turned }, way.size);
        if self.is_empty() {
            self.root = leaf;
        } else {
            let start = match site {
                Site::Beside { node, axis } => self.put_beside(node, axis, leaf),
                Site::Across { first, second } => self.put_across(first, second, leaf, problem.min_trim),
            };
            self.resize_from(problem, start);
        }
        self.update_rooms(problem);
    }

    fn put_beside(&mut self, node: NodeId, axis: u8, leaf: NodeId) -> NodeId {
        if self.node(node).kind == (Kind::Branch { axis }) {
            self.push_child(node, leaf);
            return node;
        }
        let branch = self.add(Kind::Branch { axis }, [0, 0]);
        self.replace(node, branch);
        self.push_child(branch, leaf);
        self.push_child(branch, node);
        branch
    }

    fn put_across(&mut self, first: NodeId, second: NodeId, leaf: NodeId, min_trim: Length) -> NodeId {
        let parent = self.node(first).parent;
        let axis = self.node(parent).kind.axis().unwrap_or(0);
        self.detach(second);
        let group = self.add(Kind::Branch { axis }, [0, 0]);
        let branch = self.add(Kind::Branch { axis: 1 - axis }, [0, 0]);
        self.replace(first, branch);
        self.push_child(group, second);
        self.push_child(group, first);
        self.push_child(branch, group);
        self.push_child(branch, leaf);
        self.resize(group, min_trim);
        branch
    }

    /// Takes leaf `id` out and returns its piece; sizes are settled by [`Tree::settle`].
    pub(super) fn remove(&mut self, problem: &Problem, id: NodeId) -> Option<u16> {
        let Kind::Leaf { piece, .. } = self.node(id).kind else { return None };
        self.filled -= problem.pieces[usize::from(piece)].area;
        self.count -= 1;
        let parent = self.node(id).parent;
        if parent == NONE {
            self.clear();
            return Some(piece);
        }
        self.detach(id);
        self.release(id);
        self.collapse(parent);
        Some(piece)
    }

    /// Recomputes every size and room after removals. `false` if the rules of the trimmer no longer hold, which
    /// happens only when it cannot make narrow trims or long cuts.
    pub(super) fn settle(&mut self, problem: &Problem) -> bool {
        if self.is_empty() {
            return true;
        }
        self.resize_below(self.root, problem.min_trim);
        self.update_rooms(problem);
        problem.plain() || self.obeys(problem)
    }

    /// A branch with one child gives way to it; a branch under a branch of its own axis dissolves into it.
    fn collapse(&mut self, branch: NodeId) {
        let only = self.node(branch).child;
        if only == NONE || self.node(only).next != NONE {
            return;
        }
        self.node_mut(branch).child = NONE;
        self.replace(branch, only);
        self.release(branch);
        let parent = self.node(only).parent;
        if parent != NONE && self.node(only).kind == self.node(parent).kind {
            self.detach(only);
            while self.node(only).child != NONE {
                let moved = self.node(only).child;
                self.node_mut(only).child = self.node(moved).next;
                self.push_child(parent, moved);
            }
            self.release(only);
        }
    }

    fn add(&mut self, kind: Kind, size: [Length; 2]) -> NodeId {
        let node = Node { kind, size, room: [0, 0], under: NO_AXIS, parent: NONE, child: NONE, next: NONE };
        if let Some(id) = self.free.pop() {
            self.nodes[usize::from(id)] = node;
            return id;
        }
        self.nodes.push(node);
        (self.nodes.len() - 1) as NodeId
    }

    fn release(&mut self, id: NodeId) {
        self.node_mut(id).kind = Kind::Dead;
        self.free.push(id);
    }

    fn push_child(&mut self, parent: NodeId, child: NodeId) {
        let first = self.node(parent).child;
        self.node_mut(child).next = first;
        self.node_mut(child).parent = parent;
        self.node_mut(parent).child = child;
    }

    fn detach(&mut self, id: NodeId) {
        let Node { parent, next, .. } = *self.node(id);
        if self.node(parent).child == id {
            self.node_mut(parent).child = next;
            return;
        }
        let before = self.children(parent).find(|&c| self.node(c).next == id);
        if let Some(before) = before {
            self.node_mut(before).next = next;
        }
    }

    /// `new` takes the place of `old` among the children of its parent.
    fn replace(&mut self, old: NodeId, new: NodeId) {
        let parent = self.node(old).parent;
        if parent == NONE {
            self.root = new;
            self.node_mut(new).parent = NONE;
            self.node_mut(new).next = NONE;
        } else {
            self.detach(old);
            self.push_child(parent, new);
        }
    }

    fn resize_from(&mut self, problem: &Problem, start: NodeId) {
        let mut id = start;
        while id != NONE {
            self.resize(id, problem.min_trim);
            id = self.node(id).parent;
        }
    }

    fn resize_below(&mut self, id: NodeId, min_trim: Length) {
        let mut child = self.node(id).child;
        if child == NONE {
            return;
        }
        while child != NONE {
            self.resize_below(child, min_trim);
            child = self.node(child).next;
        }
        self.resize(id, min_trim);
    }

    fn resize(&mut self, id: NodeId, min_trim: Length) {
        let Some(axis) = self.node(id).kind.axis() else { return };
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let mut extent = Extent::default();
        let mut sum = 0;
        let mut child = self.node(id).child;
        while child != NONE {
            let node = self.node(child);
            sum += node.size[along];
            extent.add(node.size[across]);
            child = node.next;
        }
        let node = self.node_mut(id);
        node.size[along] = sum;
        node.size[across] = extent.common(min_trim);
    }

    fn update_rooms(&mut self, problem: &Problem) {
        if self.is_empty() {
            return;
        }
        let root = self.node_mut(self.root);
        root.under = NO_AXIS;
        root.room = [problem.sheet[0] - root.size[0], problem.sheet[1] - root.size[1]];
        self.update_rooms_below(self.root);
    }

    fn update_rooms_below(&mut self, id: NodeId) {
        let Node { kind, size, room, child, .. } = *self.node(id);
        let Some(axis) = kind.axis() else { return };
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let mut child = child;
        while child != NONE {
            let node = self.node_mut(child);
            node.under = axis;
            node.room[along] = room[along];
            node.room[across] = room[across] + size[across] - node.size[across];
            let (leaf, next) = (node.child == NONE, node.next);
            if !leaf {
                self.update_rooms_below(child);
            }
            child = next;
        }
    }

    /// Whether every cut of the tree is within the blade and every trim wide enough.
    pub(super) fn obeys(&self, problem: &Problem) -> bool {
        if !problem.holds(self.root_size()) {
            return false;
        }
        let Some(blade) = problem.blade else { return true };
        match self.node(self.root).kind.axis() {
            Some(axis) => {
                let width = self.root_width(problem, axis);
                width <= blade && self.within_blade(self.root, width, blade)
            }
            None => problem.holds_alone(self.root_size()),
        }
    }

    /// Whether waste beside the root, whose axis is `axis`, is cut off in one go before anything else.
    pub(super) fn trims_across_first(&self, problem: &Problem, axis: u8) -> bool {
        problem.blade.is_none_or(|blade| problem.sheet[usize::from(axis)] <= blade)
    }

    /// Length of the cuts between the strips of the sheet.
    fn root_width(&self, problem: &Problem, axis: u8) -> Length {
        let across = usize::from(1 - axis);
        if self.trims_across_first(problem, axis) { self.root_size()[across] } else { problem.sheet[across] }
    }

    fn within_blade(&self, id: NodeId, width: Length, blade: Length) -> bool {
        let Some(axis) = self.node(id).kind.axis() else { return true };
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        self.children(id).all(|child| {
            let node = self.node(child);
            let cut = node.child != NONE || node.size[across] != width;
            (!cut || node.size[along] <= blade) && self.within_blade(child, node.size[along], blade)
        })
    }
}

impl Kind {
    pub(super) fn axis(self) -> Option<u8> {
        if let Self::Branch { axis } = self { Some(axis) } else { None }
    }
}

/// The widths of some siblings: the widest and the next different one.
#[derive(Clone, Copy, Debug, Default)]
struct Extent {
    widest: Length,
    second: Length,
}

impl Extent {
    fn add(&mut self, width: Length) {
        if width > self.widest {
            self.second = self.widest;
            self.widest = width;
        } else if width < self.widest && width > self.second {
            self.second = width;
        }
    }

    /// Least width of a strip that holds all siblings, when beside each there is either nothing or at least
    /// `min_trim` to cut away.
    fn common(self, min_trim: Length) -> Length {
        let narrow = self.second > 0 && self.widest - self.second < min_trim;
        if narrow { self.widest + min_trim } else { self.widest }
    }
}
