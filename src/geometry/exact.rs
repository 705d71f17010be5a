//! Exact predicates on a fine integer grid. Every question of the form "on which side" is answered without rounding, in
//! 128-bit integers, so the combinatorial structures built on the answers are always consistent.

use super::point::{Point, pt};
use std::cmp::Ordering;

/// Grid coordinates stay below this in magnitude, so that the products in [`crossing`] fit into 128 bits:
/// three factors of differences, 3 · 41 bits and 2 more.
pub const LIMIT: i64 = 1 << 40;

/// Grid lines per millimetre: a power of two, so that grid points are exact in f64. The pitch is 1.5e-8 mm and the grid
/// reaches ±16 m.
pub const FINE: f64 = (1 << 26) as f64;

/// A point of the grid. The order is from left to right, then from top to bottom.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node {
    pub x: i64,
    pub y: i64,
}

impl Node {
    /// The grid point nearest to a point, `lines` to the millimetre; `None` when it is out of reach or not finite.
    pub fn nearest(point: Point, lines: f64) -> Option<Node> {
        let round = |v: f64| (v * lines + 0.5).floor();
        let (x, y) = (round(point.x), round(point.y));
        let fits = |v: f64| v.abs() < LIMIT as f64;
        // A NaN fails the comparison.
        (fits(x) && fits(y)).then_some(Node { x: x as i64, y: y as i64 })
    }

    pub fn to_point(self, lines: f64) -> Point {
        pt(self.x as f64 / lines, self.y as f64 / lines)
    }
}

/// Twice the signed area of the triangle; positive when `c` is on the right hand of `a`→`b` (y down).
pub fn orientation(a: Node, b: Node, c: Node) -> i128 {
    let (ux, uy) = ((b.x - a.x) as i128, (b.y - a.y) as i128);
    let (vx, vy) = ((c.x - a.x) as i128, (c.y - a.y) as i128);
    ux * vy - uy * vx
}

/// Directions from one node in order of angle, from the positive x axis towards the positive y axis.
pub fn angular_order(centre: Node, a: Node, b: Node) -> Ordering {
    let lower_half = |n: Node| (n.y, n.x) < (centre.y, centre.x);
    lower_half(a).cmp(&lower_half(b)).then_with(|| orientation(centre, a, b).cmp(&0).reverse())
}

/// Whether `c`, known to lie on the line of `a` and `b`, is between them or one of them.
pub fn between(a: Node, b: Node, c: Node) -> bool {
    c.x >= a.x.min(b.x) && c.x <= a.x.max(b.x) && c.y >= a.y.min(b.y) && c.y <= a.y.max(b.y)
}

/// The grid point nearest to the place where two segments meet in one point that is inside at least one of them;
/// `None` when they do not meet, share a line, or only share an end.
pub fn crossing(a: Node, b: Node, c: Node, d: Node) -> Option<Node> {
    let (sa, sb) = (orientation(c, d, a), orientation(c, d, b));
    let (sc, sd) = (orientation(a, b, c), orientation(a, b, d));
    let apart = |s: i128, t: i128| (s > 0 && t > 0) || (s < 0 && t < 0);
    if apart(sa, sb) || apart(sc, sd) || (sa == 0 && sb == 0) {
        return None;
    }
    match (sa, sb, sc, sd) {
        (0, ..) => return Some(a).filter(|&n| n != c && n != d),
        (_, 0, ..) => return Some(b).filter(|&n| n != c && n != d),
        (_, _, 0, _) => return Some(c),
        (_, _, _, 0) => return Some(d),
        _ => {}
    }
    // a + (b − a) · sa / (sa − sb), rounded half up as in `Node::nearest`.
    let (numerator, denominator) = if sa > sb { (sa, sa - sb) } else { (-sa, sb - sa) };
    let along = |from: i64, to: i64| {
        let offset = (to - from) as i128 * numerator;
        from + (2 * offset + denominator).div_euclid(2 * denominator) as i64
    };
    Some(Node { x: along(a.x, b.x), y: along(a.y, b.y) })
}

/// Whether a segment passes through the cell of a node: the unit square about it, closed on the left and the top and
/// open on the right and the bottom, so that the cell holds what [`Node::nearest`] rounds to the node.
pub fn passes_cell(a: Node, b: Node, node: Node) -> bool {
    // Doubled coordinates put the corners of the cell at odd grid points and every end of a segment at an even one.
    let double = |n: Node| Node { x: 2 * n.x, y: 2 * n.y };
    let (a, b, n) = (double(a), double(b), double(node));
    let corner = |dx: i64, dy: i64| Node { x: n.x + dx, y: n.y + dy };
    let top_left = corner(-1, -1);
    let sides = [top_left, corner(1, -1), corner(-1, 1), corner(1, 1)].map(|c| orientation(a, b, c));
    // Separating axes of a segment and an open square: the two of the square and the normal of the segment.
    let overlaps = |p: i64, q: i64, centre: i64| p.min(q) < centre + 1 && p.max(q) > centre - 1;
    let inside = overlaps(a.x, b.x, n.x)
        && overlaps(a.y, b.y, n.y)
        && sides.iter().any(|&s| s < 0)
        && sides.iter().any(|&s| s > 0);
    // Of the closed sides a segment can touch the corner alone.
    inside || (sides[0] == 0 && between(a, b, top_left))
}

/// The first point along a ring at which it meets itself again; `None` for a simple ring. Touching counts, and so does
/// an edge that runs back over the one before it. Corners out of the reach of the grid are reported as they are.
pub fn first_self_crossing(ring: &[Point]) -> Option<Point> {
    let mut nodes = Vec::with_capacity(ring.len());
    for &point in ring {
        let Some(node) = Node::nearest(point, FINE) else { return Some(point) };
        nodes.push(node);
    }
    nodes.dedup();
    while nodes.len() > 1 && nodes.first() == nodes.last() {
        nodes.pop();
    }
    let edges = nodes.iter().copied().zip(nodes.iter().copied().cycle().skip(1));
    let mut edges: Vec<RingEdge> =
        edges.enumerate().map(|(place, (a, b))| RingEdge { place, a, b }).collect();
    let count = edges.len();
    edges.sort_by_key(|edge| (edge.left(), edge.place));
    // A sweep from left to right: only edges over the same stretch of x can meet.
    let mut open: Vec<RingEdge> = Vec::new();
    let mut first: Option<(usize, i128, Node)> = None;
    for edge in edges {
        open.retain(|other| other.right() >= edge.left());
        for other in open.iter().filter(|other| other.top() <= edge.bottom() && other.bottom() >= edge.top())
        {
            let (early, late) = if other.place < edge.place { (other, &edge) } else { (&edge, other) };
            let found = early.meeting(late, count).map(|node| (early.place, squared(early.a, node), node));
            first = [first, found].into_iter().flatten().min();
        }
        open.push(edge);
    }
    first.map(|(_, _, node)| node.to_point(FINE))
}

/// An edge of a ring and its place along the ring.
struct RingEdge {
    place: usize,
    a: Node,
    b: Node,
}

impl RingEdge {
    fn left(&self) -> i64 {
        self.a.x.min(self.b.x)
    }

    fn right(&self) -> i64 {
        self.a.x.max(self.b.x)
    }

    fn top(&self) -> i64 {
        self.a.y.min(self.b.y)
    }

    fn bottom(&self) -> i64 {
        self.a.y.max(self.b.y)
    }

    /// Where this edge meets a later one of a ring of `count` edges, other than in the corner of two neighbours.
    fn meeting(&self, later: &RingEdge, count: usize) -> Option<Node> {
        if later.place == self.place + 1 {
            folds_back(self.a, self.b, later.b).then_some(self.b)
        } else if self.place == 0 && later.place + 1 == count {
            folds_back(later.a, self.a, self.b).then_some(self.a)
        } else {
            meeting(self.a, self.b, later.a, later.b)
        }
    }
}

fn squared(a: Node, b: Node) -> i128 {
    let (dx, dy) = ((b.x - a.x) as i128, (b.y - a.y) as i128);
    dx * dx + dy * dy
}

/// Whether `b`→`c` runs back over `a`→`b`.
fn folds_back(a: Node, b: Node, c: Node) -> bool {
    orientation(a, b, c) == 0 && !between(a, c, b)
}

/// A point common to two segments, ends included; for segments on one line, the one nearest to `a`.
fn meeting(a: Node, b: Node, c: Node, d: Node) -> Option<Node> {
    if let Some(node) = crossing(a, b, c, d) {
        return Some(node);
    }
    let ends = [(a, c, d), (c, a, b), (d, a, b), (b, c, d)];
    let on = |&(n, p, q): &(Node, Node, Node)| orientation(p, q, n) == 0 && between(p, q, n);
    ends.into_iter().filter(on).map(|(n, ..)| n).min_by_key(|&n| squared(a, n))
}
