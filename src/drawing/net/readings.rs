//! Which distances a net shows, and on which side of the piece: that from which an extension line runs over the least
//! paper. Distances are read from the edges the design states.

use crate::assembly::{self, Crease, Cutout, Piece, PieceKind};
use crate::drawing::dimension::{Reading, Side};
use crate::geometry::{Curve, Point, Rect, Segment, clip_segment, pt};
use crate::quantity::{Units, say_length, tolerance};

/// Sides whose extension lines differ by less than this in length over paper are alike.
const ALIKE_MM: f64 = 0.5;
/// An outline with more corners of its own than this along one direction is cut from the net, not measured.
const MOST_CORNERS: usize = 3;

/// Size of the whole, every score, opening and mark, and the corners of a simple outline.
pub(super) fn readings(piece: &Piece, units: Units) -> Vec<Reading> {
    let reader = Reader { piece, units };
    let mut list = reader.whole();
    list.extend(reader.creases());
    for cutout in &piece.cutouts {
        let extent = extent(cutout);
        list.extend(cutout.readings.iter().map(|r| reader.reading(r, &extent, reader.side(r, &extent))));
    }
    for mark in &piece.marks {
        let extent = Rect::of_corners(mark.at, mark.at);
        list.extend(mark.readings.iter().map(|r| reader.reading(r, &extent, reader.side(r, &extent))));
    }
    let corners = reader.corners(&list);
    list.extend(corners);
    once(list)
}

/// The same distance said twice (a pair of slots with the same ends) is drawn once.
fn once(list: Vec<Reading>) -> Vec<Reading> {
    let mut drawn: Vec<Reading> = Vec::new();
    for r in list {
        let same = |d: &Reading| {
            d.side == r.side
                && (along(d.side, d.datum) - along(r.side, r.datum)).abs() < tolerance::COINCIDENT_MM
                && (along(d.side, d.feature) - along(r.side, r.feature)).abs() < tolerance::COINCIDENT_MM
        };
        if !drawn.iter().any(same) && r.datum != r.feature {
            drawn.push(r);
        }
    }
    drawn
}

fn along(side: Side, at: kurbo::Point) -> f64 {
    if is_across(side) { at.x } else { at.y }
}

fn is_across(side: Side) -> bool {
    matches!(side, Side::Top | Side::Bottom)
}

fn extent(cutout: &Cutout) -> Rect {
    match &cutout.contour {
        Some(contour) => contour.bounds(),
        None => Rect::of_corners(cutout.from, cutout.to),
    }
}

struct Reader<'a> {
    piece: &'a Piece,
    units: Units,
}

impl Reader<'_> {
    fn say(&self, mm: f64) -> String {
        say_length(mm, self.units)
    }

    /// Width under the piece, height at its left; extension lines start at the corners that reach farthest.
    fn whole(&self) -> Vec<Reading> {
        let b = self.piece.bounds;
        let reach = |off: &dyn Fn(Point) -> f64, then: &dyn Fn(Point) -> f64| {
            let all = self.piece.polygon.outer.iter().copied();
            let nearest = all.clone().map(off).fold(f64::INFINITY, f64::min);
            all.filter(|p| off(*p) < nearest + tolerance::COINCIDENT_MM)
                .min_by(|p, q| then(*p).total_cmp(&then(*q)))
                .unwrap_or(b.min)
        };
        let down = |p: Point| -p.y;
        let left = |p: Point| p.x;
        let (west, east) = (reach(&|p| p.x - b.min.x, &down), reach(&|p| b.max.x - p.x, &down));
        let (north, south) = (reach(&|p| p.y - b.min.y, &left), reach(&|p| b.max.y - p.y, &left));
        vec![
            Reading {
                side: Side::Bottom,
                datum: (b.min.x, west.y).into(),
                feature: (b.max.x, east.y).into(),
                text: self.say(b.width()),
            },
            Reading {
                side: Side::Left,
                datum: (north.x, b.min.y).into(),
                feature: (south.x, b.max.y).into(),
                text: self.say(b.height()),
            },
        ]
    }

    /// All scores on one side, so that they are read along one ruler.
    fn creases(&self) -> Vec<Reading> {
        let with = |crease: &Crease| {
            let reading = crease.reading?;
            Some((reading, Rect::of_corners(crease.from, crease.to)))
        };
        let read: Vec<(assembly::Reading, Rect)> = self.piece.creases.iter().filter_map(with).collect();
        let side = |across: bool| {
            let sides = sides(across);
            let cost = |side: Side| -> f64 {
                read.iter()
                    .filter(|(r, _)| r.from.is_across() == across)
                    .map(|(r, e)| self.cost(r.at, e, side))
                    .sum()
            };
            if cost(sides[1]) < cost(sides[0]) - ALIKE_MM { sides[1] } else { sides[0] }
        };
        let (across, down) = (side(true), side(false));
        read.iter()
            .map(|(r, extent)| self.reading(r, extent, if r.from.is_across() { across } else { down }))
            .collect()
    }

    /// The side whose extension line covers least of the paper.
    fn side(&self, reading: &assembly::Reading, extent: &Rect) -> Side {
        let sides = sides(reading.from.is_across());
        let cost = |side| self.cost(reading.at, extent, side);
        if cost(sides[1]) < cost(sides[0]) - ALIKE_MM { sides[1] } else { sides[0] }
    }

    /// How much of an extension line lies on paper; along an edge counts half.
    fn cost(&self, at: f64, extent: &Rect, side: Side) -> f64 {
        let b = self.piece.bounds;
        let from = start(at, extent, side);
        let to = match side {
            Side::Top => pt(from.x, b.min.y - 1.0),
            Side::Bottom => pt(from.x, b.max.y + 1.0),
            Side::Left => pt(b.min.x - 1.0, from.y),
            Side::Right => pt(b.max.x + 1.0, from.y),
        };
        let aside = if is_across(side) { pt(0.3, 0.0) } else { pt(0.0, 0.3) };
        [aside, pt(0.0, 0.0) - aside]
            .into_iter()
            .flat_map(|off| clip_segment(&self.piece.polygon, &Segment::new(from + off, to + off)))
            .map(|span| span.length() / 2.0)
            .sum()
    }

    fn reading(&self, r: &assembly::Reading, extent: &Rect, side: Side) -> Reading {
        let from = start(r.at, extent, side);
        let body = self.piece.body;
        let datum = match side {
            Side::Top => pt(r.base, body.min.y),
            Side::Bottom => pt(r.base, body.max.y),
            Side::Left => pt(body.min.x, r.base),
            Side::Right => pt(body.max.x, r.base),
        };
        Reading {
            side,
            datum: (datum.x, datum.y).into(),
            feature: (from.x, from.y).into(),
            text: self.say((r.at - r.base).abs()),
        }
    }

    /// Corners of a straight-sided outline that nothing else reads, from the left and from the top.
    fn corners(&self, read: &[Reading]) -> Vec<Reading> {
        let straight = self.piece.contour.curves().all(|(_, curve)| matches!(curve, Curve::Line { .. }));
        if !straight || self.piece.kind != PieceKind::Cut {
            return Vec::new();
        }
        let mut found = self.corners_along(read, Side::Top, self.piece.bounds.min.x);
        found.extend(self.corners_along(read, Side::Left, self.piece.bounds.min.y));
        found
    }

    fn corners_along(&self, read: &[Reading], side: Side, base: f64) -> Vec<Reading> {
        let across = is_across(side);
        let value = |p: Point| if across { p.x } else { p.y };
        let near = |a: f64, c: f64| (a - c).abs() < tolerance::COINCIDENT_MM * 5.0;
        let b = self.piece.bounds;
        let is_read = |at: f64| {
            [value(b.min), value(b.max)].iter().any(|end| near(*end, at))
                || read
                    .iter()
                    .filter(|r| is_across(r.side) == across)
                    .any(|r| near(along(r.side, r.feature), at) || near(along(r.side, r.datum), at))
        };
        // Corners at the same distance are one reading; those of an opening are read with it.
        let notches: Vec<Rect> = self.piece.cutouts.iter().filter(|c| c.notch).map(extent).collect();
        let own = |p: &Point| !notches.iter().any(|n| n.contains(*p, tolerance::COINCIDENT_MM));
        let mut levels: Vec<(f64, Rect)> = Vec::new();
        for corner in self.piece.contour.curves().map(|(from, _)| from).filter(own) {
            let at = value(corner);
            match levels.iter_mut().find(|(level, _)| near(*level, at)) {
                Some((_, extent)) => *extent = extent.including(corner),
                None if !is_read(at) => levels.push((at, Rect::of_corners(corner, corner))),
                None => {}
            }
        }
        if levels.len() > MOST_CORNERS {
            return Vec::new();
        }
        levels.into_iter().map(|(at, extent)| self.corner(at, base, &extent, across)).collect()
    }

    fn corner(&self, at: f64, base: f64, extent: &Rect, across: bool) -> Reading {
        let [usual, other] = sides(across);
        let cost = |side| self.cost(at, extent, side);
        let side = if cost(other) < cost(usual) - ALIKE_MM { other } else { usual };
        let (value, aside) = if across { (base, extent.min.y) } else { (base, extent.min.x) };
        let on_base = |p: &Point| {
            let coordinate = if across { p.x } else { p.y };
            (coordinate - base).abs() < tolerance::COINCIDENT_MM
        };
        let ends = Rect::of_points(self.piece.polygon.outer.iter().copied().filter(on_base));
        let flat = if across { pt(value, aside) } else { pt(aside, value) };
        let datum = start(base, &ends.unwrap_or(Rect::of_corners(flat, flat)), side);
        let feature = start(at, extent, side);
        Reading {
            side,
            datum: (datum.x, datum.y).into(),
            feature: (feature.x, feature.y).into(),
            text: self.say(at - base),
        }
    }
}

/// Sides a reading may be drawn on, the usual one first.
fn sides(across: bool) -> [Side; 2] {
    if across { [Side::Top, Side::Bottom] } else { [Side::Left, Side::Right] }
}

/// Where an extension line leaves a feature towards a side.
fn start(at: f64, extent: &Rect, side: Side) -> Point {
    match side {
        Side::Top => pt(at, extent.min.y),
        Side::Bottom => pt(at, extent.max.y),
        Side::Left => pt(extent.min.x, at),
        Side::Right => pt(extent.max.x, at),
    }
}
