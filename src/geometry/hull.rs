//! Convex hulls and the least width of a shape.

use super::exact::{FINE, Node, orientation};
use super::point::{Point, Segment};
use super::polygon::{Ring, ring_edges};

/// Convex hull, clockwise as seen from the leftmost (topmost) point, without points on its sides: the monotone chain
/// of Andrew, "Another efficient algorithm for convex hulls in two dimensions", 1979. Points that coincide to 1e-8 mm
/// count once; points beyond 16 m or not finite are left out. Fewer than three corners mean a flat set.
pub fn convex_hull(points: impl IntoIterator<Item = Point>) -> Ring {
    let mut nodes: Vec<(Node, Point)> =
        points.into_iter().filter_map(|point| Some((Node::nearest(point, FINE)?, point))).collect();
    nodes.sort_by_key(|&(node, _)| node);
    nodes.dedup_by_key(|&mut (node, _)| node);
    if nodes.len() < 3 {
        return nodes.into_iter().map(|(_, point)| point).collect();
    }
    let mut hull = half_hull(nodes.iter());
    hull.extend(half_hull(nodes.iter().rev()));
    hull
}

/// One side of the hull, without its last point.
fn half_hull<'a>(nodes: impl Iterator<Item = &'a (Node, Point)>) -> Ring {
    let mut chain: Vec<(Node, Point)> = Vec::new();
    for &(node, point) in nodes {
        while let [.., (a, _), (b, _)] = chain[..]
            && orientation(a, b, node) <= 0
        {
            chain.pop();
        }
        chain.push((node, point));
    }
    chain.pop();
    chain.into_iter().map(|(_, point)| point).collect()
}

/// Least width of a shape: the distance of the closest pair of parallel lines that hold it between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    pub width: f64,
    /// Unit direction of the two lines.
    pub along: Point,
}

/// Least width of the convex hull of some points; `None` when they all lie on a line. One of the two lines always
/// holds a side of the hull (Houle and Toussaint, "Computing the width of a set", 1988).
pub fn minimum_width(points: impl IntoIterator<Item = Point>) -> Option<Width> {
    let hull = convex_hull(points);
    if hull.len() < 3 {
        return None;
    }
    let widths = ring_edges(&hull).filter_map(|edge: Segment| {
        let along = edge.vector().unit()?;
        let reach = hull.iter().map(|&point| along.cross(point - edge.start).abs());
        Some(Width { width: reach.fold(0.0, f64::max), along })
    });
    widths.min_by(|a, b| a.width.total_cmp(&b.width))
}
