//! The panels of a piece: a polygon divided by its creases and slits.
//!
//! What comes together only within the tolerance is welded first: ends are led onto corners, edges and one another, and
//! lines through the points that lie on them. The edges of the piece do not move, so no area is lost. What is left is
//! exact (see [`super::planar`]).
//!
//! A convex hole that keeps clear of every line divides nothing: it is left out, and put into its face afterwards.

use super::exact::{FINE, Node, orientation};
use super::planar::{Line, Planar, twin};
use super::point::{Point, Rect, Segment};
use super::polygon::{Polygon, Ring, reading_order, ring_edges, tidy_ring};

/// Corners this close (mm) to a straight run of a face's boundary are left by the rounding to the grid.
const STRAIGHT_MM: f64 = 4.0 / FINE;

/// Label of the outline in the planar graph; the lines follow it.
const OUTLINE: usize = 0;

/// A stretch of a crease or a slit with one face along each side, directed as the line it is part of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    pub segment: Segment,
    /// Face on the left hand of the direction, as seen with y down; `None` outside the material.
    pub left: Option<usize>,
    /// Face on the right hand.
    pub right: Option<usize>,
    /// Whether the paper is cut here: the line is a slit, or runs along one or along the outline.
    pub cut: bool,
}

impl Stretch {
    /// Whether the two sides belong to different faces.
    pub fn separates(&self) -> bool {
        self.left.is_some() && self.right.is_some() && self.left != self.right
    }

    /// Whether the stretch ends blindly inside one face.
    pub fn dangles(&self) -> bool {
        self.left.is_some() && self.left == self.right
    }

    /// Whether the stretch lies beside the material or in a hole.
    pub fn is_outside(&self) -> bool {
        self.left.is_none() && self.right.is_none()
    }
}

/// A piece divided into faces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Arrangement {
    /// In order of the leftmost (then topmost) corner, then of the centre of area. A face may touch itself in a corner.
    pub faces: Vec<Polygon>,
    /// For each crease in the order given, its stretches from start to end.
    pub creases: Vec<Vec<Stretch>>,
    /// For each slit in the order given, its stretches from start to end.
    pub slits: Vec<Vec<Stretch>>,
}

impl Arrangement {
    /// The stretches that join two faces as a hinge, each with the index of its crease.
    pub fn hinges(&self) -> impl Iterator<Item = (usize, &Stretch)> {
        let all = self.creases.iter().enumerate().flat_map(|(i, list)| list.iter().map(move |s| (i, s)));
        all.filter(|(_, stretch)| stretch.separates() && !stretch.cut)
    }

    /// The face that holds a point (boundary included within `tolerance`), the first of several.
    pub fn face_at(&self, point: Point, tolerance: f64) -> Option<usize> {
        let strictly = self.faces.iter().position(|face| face.contains_strictly(point));
        strictly.or_else(|| self.faces.iter().position(|face| face.contains(point, tolerance)))
    }
}

/// A coordinate that is not finite or lies beyond 16 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfReach(pub Point);

impl std::fmt::Display for OutOfReach {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the point ({}, {}) is out of reach", self.0.x, self.0.y)
    }
}

impl std::error::Error for OutOfReach {}

/// Divides `piece` along `creases` and `slits`. Points closer than `tolerance` mm count as the same, and a line that
/// ends or passes within `tolerance` of a point goes through it. Lines may cross, overlap, end anywhere and reach
/// beyond the piece. The areas of the faces add up to the area of the piece.
pub fn arrange(
    piece: &Polygon,
    creases: &[Segment],
    slits: &[Segment],
    tolerance: f64,
) -> Result<Arrangement, OutOfReach> {
    // Slits are welded first: creases are led to them.
    let lines: Vec<Segment> = slits.iter().chain(creases).copied().collect();
    let (piece, clear) = without_clear_holes(piece, &lines, tolerance);
    let mut weld = Weld::new(&piece, tolerance)?;
    let chains = weld.lines(&lines)?;
    let mut segments: Vec<Line> = Vec::new();
    for chain in weld.outline_chains() {
        push_chain(&mut segments, &chain, OUTLINE);
    }
    let mut ranges = Vec::with_capacity(chains.len());
    for (i, chain) in chains.iter().enumerate() {
        let from = segments.len();
        push_chain(&mut segments, chain, OUTLINE + 1 + i);
        ranges.push(from..segments.len());
    }
    let planar = Planar::new(&segments);
    let (faces, number) = material_faces(&planar, clear);
    let is_cut = |label: usize| label <= OUTLINE + slits.len();
    let mut stretches: Vec<Vec<Stretch>> = ranges
        .into_iter()
        .map(|range| stretches_of(&planar, planar.chains[range].iter().flatten().copied(), &number, is_cut))
        .collect();
    let creases = stretches.split_off(slits.len());
    Ok(Arrangement { faces, creases, slits: stretches })
}

fn push_chain(segments: &mut Vec<Line>, chain: &[Node], label: usize) {
    let links = chain.iter().zip(chain.iter().skip(1)).filter(|(a, b)| a != b);
    segments.extend(links.map(|(&start, &end)| Line { start, end, label }));
}

/// The piece with its rings wound again (for the fields of a polygon can be set by hand) and without the holes that
/// keep clear of everything, and those holes on the grid.
fn without_clear_holes(piece: &Polygon, lines: &[Segment], tolerance: f64) -> (Polygon, Vec<Ring>) {
    let mut piece = Polygon::new(piece.outer.clone(), piece.holes.clone());
    let outer: Vec<Segment> = ring_edges(&piece.outer).collect();
    let boxes: Vec<Option<Rect>> =
        piece.holes.iter().map(|hole| Rect::of_points(hole.iter().copied())).collect();
    // Twice the tolerance, so that no rounding brings together what was told apart.
    let margin = 2.0 * tolerance;
    let is_clear = |place: usize, bounds: &Rect| {
        let mut others = boxes.iter().enumerate().filter(|(other, _)| *other != place);
        outer.iter().chain(lines).all(|line| keeps_clear(line, bounds, margin))
            && others.all(|(_, other)| other.is_none_or(|other| !other.touches(bounds, margin)))
    };
    let mut clear = Vec::new();
    let mut rest = Vec::new();
    for (place, hole) in std::mem::take(&mut piece.holes).into_iter().enumerate() {
        let apart = boxes[place].is_some_and(|bounds| is_clear(place, &bounds));
        match apart.then(|| convex_on_grid(&hole)).flatten() {
            Some(ring) => clear.push(ring),
            None => rest.push(hole),
        }
    }
    (Polygon { holes: rest, ..piece }, clear)
}

/// Whether a box lies farther than `margin` from a segment, as far as its own box and its carrying line tell.
fn keeps_clear(line: &Segment, bounds: &Rect, margin: f64) -> bool {
    if !line.bounds().touches(bounds, margin) {
        return true;
    }
    let offsets = bounds.corners().map(|corner| line.offset_of(corner));
    line.length() > margin
        && (offsets.iter().all(|offset| *offset > margin) || offsets.iter().all(|offset| *offset < -margin))
}

/// The ring on the grid, as the walk round a face would give it, when it is convex there.
fn convex_on_grid(ring: &Ring) -> Option<Ring> {
    let nodes: Vec<Node> = ring.iter().map(|&point| on_grid(point).ok()).collect::<Option<_>>()?;
    let &first = nodes.first()?;
    let next = nodes.iter().cycle().skip(1);
    let mut turns = nodes.iter().zip(next).zip(nodes.iter().cycle().skip(2));
    // Of one turning sense at every corner and as seen from the first: the ring goes round once.
    let once = turns.all(|((&a, &b), &c)| orientation(a, b, c) < 0)
        && nodes.iter().zip(nodes.iter().skip(1)).skip(1).all(|(&a, &b)| orientation(first, a, b) <= 0);
    let ring =
        once.then(|| tidy_ring(nodes.iter().map(|node| node.to_point(FINE)).collect(), STRAIGHT_MM))?;
    (!ring.is_empty()).then_some(ring)
}

/// The faces inside the outline in their final order, and for each face of the graph its place in that order. Every
/// hole of `clear` is put into the face that it lies in.
fn material_faces(planar: &Planar, clear: Vec<Ring>) -> (Vec<Polygon>, Vec<Option<usize>>) {
    let windings = planar.windings(OUTLINE + 1);
    let material = (0..planar.faces.len()).filter(|&face| windings[face].first().is_some_and(|&w| w > 0));
    let mut found: Vec<(usize, Polygon)> = material
        .map(|face| (face, planar.polygon(&planar.faces[face], FINE, STRAIGHT_MM)))
        .filter(|(_, polygon)| !polygon.is_empty())
        .collect();
    for hole in clear {
        let Some(&corner) = hole.first() else { continue };
        if let Some((_, polygon)) = found.iter_mut().find(|(_, polygon)| polygon.contains_strictly(corner)) {
            let before = |other: &Ring| other.first().is_some_and(|c| c.left_to_right(&corner).is_lt());
            let place = polygon.holes.iter().position(|other| !before(other)).unwrap_or(polygon.holes.len());
            polygon.holes.insert(place, hole);
        }
    }
    found.sort_by(|(_, a), (_, b)| reading_order(a, b));
    let mut number = vec![None; planar.faces.len()];
    for (place, (face, _)) in found.iter().enumerate() {
        number[*face] = Some(place);
    }
    (found.into_iter().map(|(_, polygon)| polygon).collect(), number)
}

/// Neighbouring half-edges of a line with the same faces beside them become one stretch.
fn stretches_of(
    planar: &Planar,
    halves: impl Iterator<Item = usize>,
    number: &[Option<usize>],
    is_cut: impl Fn(usize) -> bool,
) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for half in halves {
        let point = |half: usize| planar.nodes[planar.tail(half)].to_point(FINE);
        let next = Stretch {
            segment: Segment::new(point(half), point(twin(half))),
            left: number[planar.face_of[twin(half)]],
            right: number[planar.face_of[half]],
            cut: planar.edges[half / 2].labels.iter().any(|&(label, _)| is_cut(label)),
        };
        match stretches.last_mut() {
            Some(last) if (last.left, last.right, last.cut) == (next.left, next.right, next.cut) => {
                last.segment.end = next.segment.end;
            }
            _ => stretches.push(next),
        }
    }
    stretches
}

/// The points at which lines come together, found within a tolerance.
struct Weld {
    tolerance: f64,
    /// Points that lines are led through; the corners of the outline come first.
    anchors: Vec<Node>,
    /// Edges of the piece, on the grid.
    edges: Vec<(Node, Node)>,
    /// For each edge of the piece, the anchors put on it.
    on_edge: Vec<Vec<Node>>,
}

impl Weld {
    fn new(piece: &Polygon, tolerance: f64) -> Result<Weld, OutOfReach> {
        let (mut anchors, mut edges) = (Vec::new(), Vec::new());
        for ring in piece.rings() {
            let nodes: Vec<Node> = ring.iter().map(|&point| on_grid(point)).collect::<Result<_, _>>()?;
            edges.extend(
                nodes.iter().copied().zip(nodes.iter().copied().cycle().skip(1)).filter(|(a, b)| a != b),
            );
            anchors.extend(nodes);
        }
        let on_edge = vec![Vec::new(); edges.len()];
        Ok(Weld { tolerance, anchors, edges, on_edge })
    }

    /// Every line as a chain of the anchors it is led through.
    fn lines(&mut self, lines: &[Segment]) -> Result<Vec<Vec<Node>>, OutOfReach> {
        let mut placed = Vec::with_capacity(lines.len());
        for line in lines {
            placed.push((self.place(line.start)?, self.place(line.end)?));
        }
        let straight: Vec<Segment> = placed.iter().map(segment).collect();
        for line in &straight {
            for edge in 0..self.edges.len() {
                if let Some((t, _)) = line.crossing(&segment(&self.edges[edge])) {
                    self.place(line.at(t))?;
                }
            }
        }
        for (i, line) in straight.iter().enumerate() {
            for other in &straight[i + 1..] {
                if let Some((t, _)) = line.crossing(other) {
                    self.place(line.at(t))?;
                }
            }
        }
        Ok(placed.iter().map(|ends| self.chain(ends, &self.anchors, self.tolerance)).collect())
    }

    fn outline_chains(&self) -> Vec<Vec<Node>> {
        let chains = self.edges.iter().zip(&self.on_edge);
        chains.map(|(ends, anchors)| self.chain(ends, anchors, f64::INFINITY)).collect()
    }

    /// The anchor for a point: one that is there within the tolerance, a new one on the nearest edge of the piece
    /// within the tolerance, or a new one where the point is.
    fn place(&mut self, point: Point) -> Result<Node, OutOfReach> {
        let near = |distance: &f64| *distance <= self.tolerance;
        let anchors = self.anchors.iter().map(|&node| (node.to_point(FINE).distance(point), node));
        if let Some((_, node)) = anchors.filter(|(d, _)| near(d)).min_by(|a, b| a.0.total_cmp(&b.0)) {
            return Ok(node);
        }
        let edges = self.edges.iter().enumerate().map(|(i, ends)| (segment(ends).distance(point), i));
        let edge = edges.filter(|(d, _)| near(d)).min_by(|a, b| a.0.total_cmp(&b.0));
        let node = match edge {
            Some((_, edge)) => {
                let node = on_grid(segment(&self.edges[edge]).nearest(point))?;
                self.on_edge[edge].push(node);
                node
            }
            None => on_grid(point)?,
        };
        self.anchors.push(node);
        Ok(node)
    }

    /// The ends with the anchors near the segment between them.
    fn chain(&self, ends: &(Node, Node), anchors: &[Node], tolerance: f64) -> Vec<Node> {
        let line = segment(ends);
        let mut within: Vec<(f64, Node)> = anchors
            .iter()
            .map(|&node| (node, node.to_point(FINE)))
            .map(|(node, point)| (line.project(point), line.distance(point), node))
            .filter(|&(t, distance, _)| t > 0.0 && t < 1.0 && distance <= tolerance)
            .map(|(t, _, node)| (t, node))
            .collect();
        within.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut chain = vec![ends.0];
        chain.extend(within.into_iter().map(|(_, node)| node));
        chain.push(ends.1);
        chain.dedup();
        chain
    }
}

fn segment(ends: &(Node, Node)) -> Segment {
    Segment::new(ends.0.to_point(FINE), ends.1.to_point(FINE))
}

fn on_grid(point: Point) -> Result<Node, OutOfReach> {
    Node::nearest(point, FINE).ok_or(OutOfReach(point))
}
