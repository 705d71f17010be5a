//! Planar straight-line graphs: labelled segments are snap-rounded on an integer grid, and the faces they bound are
//! walked. `arrange` and `overlay` are built on it.
//!
//! Snap rounding (Hobby, "Practical segment intersection with finite precision output", 1999; Guibas and Marimont,
//! "Rounding arrangements dynamically", 1998) leads every segment through the centres of all the grid cells that it
//! passes and that hold an end or a crossing. The result has no crossings but at nodes, and no point moves by more than
//! one cell, so the walk never meets an inconsistent picture.

use super::exact::{Node, angular_order, crossing, orientation, passes_cell};
use super::polygon::{Polygon, tidy_ring};
use std::collections::VecDeque;

/// A directed segment between two grid points, with a label to tell where it came from.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    pub start: Node,
    pub end: Node,
    pub label: usize,
}

/// Index of a half-edge: `2e` runs from the lower to the higher node of edge `e`, `2e + 1` back.
pub type Half = usize;

/// The other half of the same edge.
pub fn twin(half: Half) -> Half {
    half ^ 1
}

/// The face round everything.
pub const UNBOUNDED: usize = 0;

/// An edge and, for each label on it in rising order, how often lines of that label run along it, less how often against it.
#[derive(Debug, Clone)]
pub struct Edge {
    pub ends: [usize; 2],
    pub labels: Vec<(usize, i32)>,
}

/// A stretch of a line from one node to the next.
struct Step {
    ends: [usize; 2],
    label: usize,
    /// From the higher node to the lower.
    back: bool,
}

/// The boundary of a face as cycles of half-edges that have it on the right hand (y down). Parts of the graph that
/// hang free inside a face are not in its boundary.
#[derive(Debug, Clone, Default)]
pub struct Face {
    /// Empty for the unbounded face only.
    pub outer: Vec<Half>,
    pub holes: Vec<Vec<Half>>,
}

#[derive(Debug, Clone)]
pub struct Planar {
    pub nodes: Vec<Node>,
    pub edges: Vec<Edge>,
    pub faces: Vec<Face>,
    /// For every half-edge, the face on its right hand.
    pub face_of: Vec<usize>,
    /// For every line, the half-edges it became, in order.
    pub chains: Vec<Vec<Half>>,
}

impl Planar {
    pub fn new(lines: &[Line]) -> Planar {
        let (nodes, paths) = snap_round(lines);
        let mut steps: Vec<Step> = Vec::new();
        for (line, path) in lines.iter().zip(&paths) {
            steps.extend(path.iter().zip(path.iter().skip(1)).map(|(&from, &to)| Step {
                ends: [from.min(to), from.max(to)],
                label: line.label,
                back: from > to,
            }));
        }
        // Steps along one edge side by side, those of one label too: millions of them are sorted faster than they are
        // put into trees.
        let mut order: Vec<usize> = (0..steps.len()).collect();
        order.sort_by_key(|&step| (steps[step].ends, steps[step].label));
        let mut edges: Vec<Edge> = Vec::new();
        let mut halves: Vec<Half> = vec![0; steps.len()];
        for number in order {
            let step = &steps[number];
            if edges.last().is_none_or(|edge| edge.ends != step.ends) {
                edges.push(Edge { ends: step.ends, labels: Vec::new() });
            }
            halves[number] = 2 * (edges.len() - 1) + usize::from(step.back);
            let along = if step.back { -1 } else { 1 };
            let Some(edge) = edges.last_mut() else { continue };
            match edge.labels.last_mut() {
                Some((label, sum)) if *label == step.label => *sum += along,
                _ => edge.labels.push((step.label, along)),
            }
        }
        let mut halves = halves.into_iter();
        let chains =
            paths.iter().map(|path| halves.by_ref().take(path.len().saturating_sub(1)).collect()).collect();
        let mut planar = Planar { nodes, edges, faces: Vec::new(), face_of: Vec::new(), chains };
        planar.find_faces();
        planar
    }

    pub fn tail(&self, half: Half) -> usize {
        self.edges[half / 2].ends[half % 2]
    }

    /// A face as a polygon, for a grid of `lines` to the millimetre; corners within `straight` mm of a straight run are
    /// left out. Empty for the unbounded face.
    pub fn polygon(&self, face: &Face, lines: f64, straight: f64) -> Polygon {
        let ring = |cycle: &Vec<Half>| {
            tidy_ring(self.ring(cycle).into_iter().map(|node| node.to_point(lines)).collect(), straight)
        };
        let holes = face.holes.iter().map(ring).filter(|hole| !hole.is_empty());
        Polygon::new(ring(&face.outer), holes.collect())
    }

    /// The grid points of a cycle.
    fn ring(&self, cycle: &[Half]) -> Vec<Node> {
        cycle.iter().map(|&half| self.nodes[self.tail(half)]).collect()
    }

    /// For every face, how often the lines of each of `labels` labels wind round it (clockwise as seen is positive).
    pub fn windings(&self, labels: usize) -> Vec<Vec<i32>> {
        let mut across: Vec<Vec<Half>> = vec![Vec::new(); self.faces.len()];
        for half in 0..self.face_of.len() {
            across[self.face_of[half]].push(half);
        }
        let mut windings: Vec<Option<Vec<i32>>> = vec![None; self.faces.len()];
        windings[UNBOUNDED] = Some(vec![0; labels]);
        let mut queue = VecDeque::from([UNBOUNDED]);
        while let Some(face) = queue.pop_front() {
            let Some(here) = windings[face].clone() else { continue };
            for &half in &across[face] {
                let there = &mut windings[self.face_of[twin(half)]];
                if there.is_none() {
                    *there = Some(self.winding_across(here.clone(), half));
                    queue.push_back(self.face_of[twin(half)]);
                }
            }
        }
        windings.into_iter().map(|winding| winding.unwrap_or_else(|| vec![0; labels])).collect()
    }

    /// The winding numbers on the left hand of a half-edge, from those on its right hand.
    fn winding_across(&self, mut winding: Vec<i32>, half: Half) -> Vec<i32> {
        let sign = if half.is_multiple_of(2) { 1 } else { -1 };
        for &(label, count) in &self.edges[half / 2].labels {
            if let Some(sum) = winding.get_mut(label) {
                *sum -= sign * count;
            }
        }
        winding
    }

    fn find_faces(&mut self) {
        let first = Cycles::walk(self, |_| true);
        // An edge with the same cycle on both sides bounds nothing; without it the faces stay the same.
        let bridge = |edge: usize| first.of[2 * edge] == first.of[2 * edge + 1];
        let rewalked = (0..self.edges.len()).any(bridge).then(|| Cycles::walk(self, |edge| !bridge(edge)));
        let second = rewalked.as_ref().unwrap_or(&first);

        let mut faces = vec![Face::default()];
        let mut bounding: Vec<Bounding> = Vec::new();
        let mut inner: Vec<(&Vec<Half>, Node)> = Vec::new();
        for cycle in &second.list {
            let ring = self.ring(cycle);
            let twice_area = twice_area(&ring);
            if twice_area > 0 {
                bounding.push(Bounding::new(ring, twice_area, faces.len()));
                faces.push(Face { outer: cycle.clone(), holes: Vec::new() });
            } else if let Some(leftmost) = ring.into_iter().min() {
                inner.push((cycle, leftmost));
            }
        }
        // The face round a node: that of the least ring that holds it.
        let face_round = |node: Node| {
            let holding = bounding.iter().filter(|bounding| bounding.holds(node));
            holding.min_by_key(|bounding| bounding.twice_area).map_or(UNBOUNDED, |bounding| bounding.face)
        };
        for (cycle, leftmost) in inner {
            faces[face_round(leftmost)].holes.push(cycle.clone());
        }

        let mut face_of = vec![UNBOUNDED; 2 * self.edges.len()];
        for (number, face) in faces.iter().enumerate() {
            face.outer.iter().chain(face.holes.iter().flatten()).for_each(|&half| face_of[half] = number);
        }
        // A bridge is in the face of the cycle it was part of, or hangs free inside a face.
        for cycle in &first.list {
            let face = match cycle.iter().find(|&&half| !bridge(half / 2)) {
                Some(&half) => face_of[half],
                None => self.ring(cycle).into_iter().min().map_or(UNBOUNDED, face_round),
            };
            cycle.iter().filter(|&&half| bridge(half / 2)).for_each(|&half| face_of[half] = face);
        }
        self.faces = faces;
        self.face_of = face_of;
    }
}

/// The outer ring of a face.
struct Bounding {
    ring: Vec<Node>,
    /// Top left and bottom right corner of its box.
    box_corners: [Node; 2],
    twice_area: i128,
    face: usize,
}

impl Bounding {
    fn new(ring: Vec<Node>, twice_area: i128, face: usize) -> Self {
        let ends = |at: fn(&Node) -> i64| {
            let values = || ring.iter().map(at);
            (values().min().unwrap_or(0), values().max().unwrap_or(0))
        };
        let ((left, right), (top, bottom)) = (ends(|n| n.x), ends(|n| n.y));
        let box_corners = [Node { x: left, y: top }, Node { x: right, y: bottom }];
        Self { ring, box_corners, twice_area, face }
    }

    /// Nothing outside the box is inside the ring; most rings are told apart by that.
    fn holds(&self, node: Node) -> bool {
        let [least, greatest] = self.box_corners;
        (least.x..=greatest.x).contains(&node.x)
            && (least.y..=greatest.y).contains(&node.y)
            && holds(&self.ring, node)
    }
}

/// The closed walks round the faces, and for every half-edge the walk it is in (`usize::MAX` for an edge left out).
struct Cycles {
    list: Vec<Vec<Half>>,
    of: Vec<usize>,
}

impl Cycles {
    fn walk(planar: &Planar, used: impl Fn(usize) -> bool) -> Cycles {
        let halves = 2 * planar.edges.len();
        let mut leaving: Vec<Vec<Half>> = vec![Vec::new(); planar.nodes.len()];
        for half in (0..halves).filter(|half| used(half / 2)) {
            leaving[planar.tail(half)].push(half);
        }
        // Keeping the face on the right hand, a walk leaves a node by the half-edge next before the one it came by.
        let mut next: Vec<Half> = vec![usize::MAX; halves];
        for (node, spokes) in leaving.iter_mut().enumerate() {
            let head = |half: Half| planar.nodes[planar.tail(twin(half))];
            spokes.sort_by(|&a, &b| angular_order(planar.nodes[node], head(a), head(b)));
            for (&spoke, &after) in spokes.iter().zip(spokes.iter().cycle().skip(1)) {
                next[twin(after)] = spoke;
            }
        }
        let mut cycles = Cycles { list: Vec::new(), of: vec![usize::MAX; halves] };
        for start in (0..halves).filter(|half| used(half / 2)) {
            let mut cycle = Vec::new();
            let mut half = start;
            while cycles.of[half] == usize::MAX {
                cycles.of[half] = cycles.list.len();
                cycle.push(half);
                half = next[half];
            }
            if !cycle.is_empty() {
                cycles.list.push(cycle);
            }
        }
        cycles
    }
}

fn twice_area(ring: &[Node]) -> i128 {
    let Some(&origin) = ring.first() else { return 0 };
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&a, &b)| orientation(origin, a, b)).sum()
}

/// Whether a ring runs round a node: an odd number of its edges cross the level line to the left of it. The node may
/// be the leftmost of a figure that the ring touches, but not otherwise on the ring.
fn holds(ring: &[Node], node: Node) -> bool {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = edges.filter(|&(&a, &b)| {
        let (upper, lower) = if a.y <= b.y { (a, b) } else { (b, a) };
        upper.y <= node.y && lower.y > node.y && orientation(upper, lower, node) < 0
    });
    crossed.count() % 2 == 1
}

/// All nodes in order, and every line as the chain of nodes it is led through.
fn snap_round(lines: &[Line]) -> (Vec<Node>, Vec<Vec<usize>>) {
    let mut hot: Vec<Node> = lines.iter().flat_map(|line| [line.start, line.end]).collect();
    hot.extend(crossings(lines));
    hot.sort_unstable();
    hot.dedup();
    let mut chains: Vec<Vec<usize>> = lines.iter().map(|line| chain(line, &hot)).collect();
    // A line without length leads nowhere, and its node is left out.
    let mut place: Vec<Option<usize>> = vec![None; hot.len()];
    chains.iter().flatten().for_each(|&node| place[node] = Some(0));
    let mut nodes = Vec::with_capacity(hot.len());
    for (node, place) in hot.into_iter().zip(&mut place) {
        if let Some(place) = place {
            *place = nodes.len();
            nodes.push(node);
        }
    }
    for node in chains.iter_mut().flatten() {
        *node = place[*node].unwrap_or(0);
    }
    (nodes, chains)
}

/// All crossings, by a sweep from left to right over the lines' boxes.
fn crossings(lines: &[Line]) -> Vec<Node> {
    let mut order: Vec<&Line> = lines.iter().collect();
    order.sort_by_key(|line| line.start.x.min(line.end.x));
    let mut open: Vec<&Line> = Vec::new();
    let mut found = Vec::new();
    for line in order {
        let left = line.start.x.min(line.end.x);
        let (top, bottom) = (line.start.y.min(line.end.y), line.start.y.max(line.end.y));
        open.retain(|other| other.start.x.max(other.end.x) >= left);
        for other in &open {
            if other.start.y.min(other.end.y) <= bottom && other.start.y.max(other.end.y) >= top {
                found.extend(crossing(line.start, line.end, other.start, other.end));
            }
        }
        open.push(line);
    }
    found
}

/// The nodes of `hot` (sorted) whose cells a line passes, in the line's order.
fn chain(line: &Line, hot: &[Node]) -> Vec<usize> {
    let Line { start, end, .. } = *line;
    let (left, right) = (start.x.min(end.x), start.x.max(end.x));
    let (top, bottom) = (start.y.min(end.y), start.y.max(end.y));
    let from = hot.partition_point(|node| node.x < left - 1);
    let near = hot.iter().enumerate().skip(from).take_while(|(_, node)| node.x <= right + 1);
    let mut nodes: Vec<usize> = near
        .filter(|(_, node)| node.y >= top - 1 && node.y <= bottom + 1 && passes_cell(start, end, **node))
        .map(|(place, _)| place)
        .collect();
    let along = |node: Node| {
        let (dx, dy) = ((end.x - start.x) as i128, (end.y - start.y) as i128);
        (node.x - start.x) as i128 * dx + (node.y - start.y) as i128 * dy
    };
    // Nodes are numbered in their order.
    nodes.sort_by_key(|&node| (along(hot[node]), node));
    nodes
}
