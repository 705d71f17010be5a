//! Facts of an assembly that several checks ask for: distances between openings, readings that a mend can change.

use crate::assembly::{Crease, Cutout, CutoutKind, Reading, Side};
use crate::findings::Named;
use crate::geometry::{Point, Polygon, Rect, Segment, interiors_intersect};
use crate::quantity::tolerance::{CHORD_MM, COINCIDENT_MM};

/// An opening as a shape: its polygon, or the line of a slit.
pub enum Opening {
    Area(Polygon),
    Line(Segment),
}

impl Opening {
    pub fn of(cutout: &Cutout) -> Self {
        match &cutout.contour {
            Some(contour) => Self::Area(Polygon::simple(contour.flatten(CHORD_MM))),
            None => Self::Line(Segment::new(cutout.from, cutout.to)),
        }
    }

    pub fn edges(&self) -> Vec<Segment> {
        match self {
            Self::Area(polygon) => polygon.edges().collect(),
            Self::Line(line) => vec![*line],
        }
    }

    /// Distance to some lines, mm, with the nearest points on this opening and on the lines.
    pub fn gap_to(&self, lines: &[Segment]) -> Option<Gap> {
        let lines_in_boxes: Vec<(&Segment, Rect)> = lines.iter().map(|l| (l, l.bounds())).collect();
        let mut least: Option<(f64, Segment, &Segment)> = None;
        for own in self.edges() {
            let bounds = own.bounds();
            for (line, around) in &lines_in_boxes {
                // Boxes that lie farther apart than the nearest pair so far hold no nearer one.
                if least.is_some_and(|(mm, ..)| !bounds.touches(around, mm + COINCIDENT_MM)) {
                    continue;
                }
                let mm = own.distance_to(line);
                if least.is_none_or(|(nearest, ..)| mm.total_cmp(&nearest).is_lt()) {
                    least = Some((mm, own, line));
                }
            }
        }
        let nearest = least.map(|(_, own, line)| Gap::between(&own, line))?;
        let inside = match self {
            Self::Area(polygon) => lines.iter().any(|l| polygon.contains_strictly(l.start)),
            Self::Line(_) => false,
        };
        Some(if inside { Gap { mm: 0.0, ..nearest } } else { nearest })
    }

    /// Whether two openings share more than an edge or a corner.
    pub fn overlaps(&self, other: &Opening) -> bool {
        match (self, other) {
            (Self::Area(a), Self::Area(b)) => interiors_intersect(a, b, COINCIDENT_MM),
            _ => false,
        }
    }
}

/// The shortest way from one thing to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    pub mm: f64,
    pub from: Point,
    pub to: Point,
}

impl Gap {
    pub fn between(a: &Segment, b: &Segment) -> Self {
        let mm = a.distance_to(b);
        if mm == 0.0 {
            let at = a.crossing(b).map_or(a.start, |(t, _)| a.at(t));
            return Gap { mm, from: at, to: at };
        }
        let ends = [
            (a.start, b.nearest(a.start)),
            (a.end, b.nearest(a.end)),
            (a.nearest(b.start), b.start),
            (a.nearest(b.end), b.end),
        ];
        let (from, to) = ends
            .into_iter()
            .min_by(|p, q| p.0.distance(p.1).total_cmp(&q.0.distance(q.1)))
            .unwrap_or((a.start, b.start));
        Gap { mm, from, to }
    }
}

/// The reading to change so that `near`, a point of what is read, moves by `shift`: the one along the main direction of
/// the shift that lies nearest to the point. With it the value to write, mm.
pub fn moved_reading(readings: &[Reading], near: Point, shift: Point) -> Option<(Reading, f64)> {
    let across = shift.x.abs() > shift.y.abs();
    let (along, at) = if across { (shift.x, near.x) } else { (shift.y, near.y) };
    let reading = readings
        .iter()
        .filter(|r| r.from.is_across() == across && r.written.literal.is_some())
        .min_by(|a, b| (a.at - at).abs().total_cmp(&(b.at - at).abs()))?;
    let sign = match reading.from {
        Side::Left | Side::Top => 1.0,
        Side::Right | Side::Bottom => -1.0,
    };
    let value = reading.written.value + sign * along;
    (value >= 0.0).then_some((*reading, value))
}

/// "slot `rail`".
pub fn cutout_name(cutout: &Cutout) -> Named {
    let word = match cutout.kind {
        CutoutKind::Slot => "slot",
        CutoutKind::Slit => "slit",
        CutoutKind::Window => "window",
        CutoutKind::Hole => "hole",
    };
    Named { name: format!("{word} `{}`", cutout.name), span: cutout.span }
}

/// "score `spine`".
pub fn score_name(crease: &Crease) -> Named {
    let name = if crease.named { format!("score `{}`", crease.name) } else { crease.name.clone() };
    Named { name, span: crease.span }
}
