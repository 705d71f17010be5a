//! One segment of a contour: a line, a circular arc or a cubic Bézier curve. A segment stores where it goes to; where
//! it comes from is the end of the segment before it, so a contour can not come apart at its joints.

use super::point::{Point, Rect, Segment, pt};
use super::transform::Isometry;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Chords of one segment, at most: a guard against curves that are huge compared with the tolerance.
const MAX_CHORDS: usize = 1 << 16;

/// Relative accuracy of the length of a Bézier curve.
const LENGTH_ACCURACY: f64 = 1e-9;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    Line {
        to: Point,
    },
    /// A circular arc. `bulge` is the tangent of a quarter of the swept angle, positive when the arc turns clockwise as
    /// seen (from the x axis to the y axis); 1 is a half circle. It does not change under scaling and turns its sign
    /// under mirroring. Zero is a straight line; a full circle needs two arcs.
    Arc {
        to: Point,
        bulge: f64,
    },
    Cubic {
        control1: Point,
        control2: Point,
        to: Point,
    },
}

/// A circular arc written out: `sweep` radians, signed, from `start_angle`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArcForm {
    pub centre: Point,
    pub radius: f64,
    pub start_angle: f64,
    pub sweep: f64,
}

impl ArcForm {
    pub fn at(&self, t: f64) -> Point {
        self.centre + Point::from_angle(self.start_angle + self.sweep * t) * self.radius
    }
}

impl Curve {
    pub const fn line(to: Point) -> Curve {
        Curve::Line { to }
    }

    /// The arc about `centre` that starts at `from` and sweeps `sweep` radians (signed, less than a full turn).
    pub fn arc_about(from: Point, centre: Point, sweep: f64) -> Curve {
        let to = Isometry::rotation(centre, sweep).apply(from);
        Curve::Arc { to, bulge: libm::tan(sweep / 4.0) }
    }

    /// The arc of a given radius between two points: the larger or the smaller one, turning clockwise as seen or not.
    /// `None` when the radius is less than half the distance (beyond rounding) or the points coincide.
    pub fn arc_of_radius(from: Point, to: Point, radius: f64, large: bool, clockwise: bool) -> Option<Curve> {
        let ratio = from.distance(to) / (2.0 * radius.abs());
        if !(ratio > 0.0 && ratio <= 1.0 + 1e-9) {
            return None;
        }
        let half = libm::asin(ratio.min(1.0));
        let half = if large { PI - half } else { half };
        let bulge = libm::tan(half / 2.0);
        Some(Curve::Arc { to, bulge: if clockwise { bulge } else { -bulge } })
    }

    /// The straight segment from `from`, when the curve is one.
    pub fn as_segment(&self, from: Point) -> Option<Segment> {
        match *self {
            Curve::Line { to } => Some(Segment::new(from, to)),
            Curve::Arc { .. } | Curve::Cubic { .. } => None,
        }
    }

    pub fn end(&self) -> Point {
        match *self {
            Curve::Line { to } | Curve::Arc { to, .. } | Curve::Cubic { to, .. } => to,
        }
    }

    /// The arc in centre form; `None` for other curves, and for an arc so flat that it is a line.
    pub fn arc_form(&self, from: Point) -> Option<ArcForm> {
        let Curve::Arc { to, bulge } = *self else { return None };
        let chord = to - from;
        let half_chord = chord.length() / 2.0;
        if half_chord == 0.0 || bulge.abs() < 1e-12 || !bulge.is_finite() {
            return None;
        }
        // The centre lies on the chord's bisector, at half_chord · cot(sweep / 2), where cot(2a) = (1 − tan²a) / 2 tan a.
        let towards = chord.turned_right() * ((1.0 - bulge * bulge) / (4.0 * bulge));
        let centre = from.midpoint(to) + towards;
        let radius = half_chord * (1.0 + bulge * bulge) / (2.0 * bulge.abs());
        Some(ArcForm { centre, radius, start_angle: (from - centre).angle(), sweep: 4.0 * libm::atan(bulge) })
    }

    /// The point at parameter `t` (0 to 1).
    pub fn at(&self, from: Point, t: f64) -> Point {
        match *self {
            Curve::Line { to } => from.lerp(to, t),
            Curve::Arc { to, .. } => self.arc_form(from).map_or_else(|| from.lerp(to, t), |arc| arc.at(t)),
            Curve::Cubic { control1, control2, to } => {
                let s = 1.0 - t;
                from * (s * s * s)
                    + control1 * (3.0 * s * s * t)
                    + control2 * (3.0 * s * t * t)
                    + to * (t * t * t)
            }
        }
    }

    /// Unit direction of travel at the start and at the end, where they exist.
    pub fn tangents(&self, from: Point) -> (Option<Point>, Option<Point>) {
        match *self {
            Curve::Line { to } => ((to - from).unit(), (to - from).unit()),
            Curve::Arc { to, bulge } => {
                let Some(chord) = (to - from).unit() else { return (None, None) };
                let half = Point::from_angle(2.0 * libm::atan(bulge));
                let turn = |vector: Point, by: Point| {
                    pt(vector.x * by.x - vector.y * by.y, vector.x * by.y + vector.y * by.x)
                };
                (Some(turn(chord, pt(half.x, -half.y))), Some(turn(chord, half)))
            }
            Curve::Cubic { control1, control2, to } => {
                let first = |points: [Point; 3], origin: Point| {
                    points.into_iter().find_map(|point| (point - origin).unit())
                };
                (first([control1, control2, to], from), first([control2, control1, from], to).map(|v| -v))
            }
        }
    }

    pub fn length(&self, from: Point) -> f64 {
        match *self {
            Curve::Line { to } => from.distance(to),
            Curve::Arc { to, .. } => {
                self.arc_form(from).map_or(from.distance(to), |arc| arc.radius * arc.sweep.abs())
            }
            Curve::Cubic { control1, control2, to } => {
                let hull = from.distance(control1) + control1.distance(control2) + control2.distance(to);
                kurbo::ParamCurveArclen::arclen(&self.to_kurbo(from), LENGTH_ACCURACY * hull.max(1.0))
            }
        }
    }

    /// This segment's share in the signed area of a closed contour, ½∮(x dy − y dx) along the segment (Green's
    /// theorem): exact for every kind of segment.
    pub fn area_integral(&self, from: Point) -> f64 {
        let chord = from.cross(self.end()) / 2.0;
        match *self {
            Curve::Line { .. } => chord,
            // A circular segment holds r² (θ − sin θ) / 2.
            Curve::Arc { .. } => self.arc_form(from).map_or(chord, |arc| {
                chord + arc.radius * arc.radius * (arc.sweep - libm::sin(arc.sweep)) / 2.0
            }),
            Curve::Cubic { .. } => kurbo::ParamCurveArea::signed_area(&self.to_kurbo(from)),
        }
    }

    /// The least upright rectangle round the segment.
    pub fn bounds(&self, from: Point) -> Rect {
        let ends = Rect::of_corners(from, self.end());
        match *self {
            Curve::Line { .. } => ends,
            Curve::Arc { .. } => self.arc_form(from).map_or(ends, |arc| {
                quadrant_points(&arc).fold(ends, |bounds, point| bounds.including(point))
            }),
            Curve::Cubic { .. } => {
                let bounds = kurbo::ParamCurveExtrema::bounding_box(&self.to_kurbo(from));
                ends.union(&Rect::of_corners(pt(bounds.x0, bounds.y0), pt(bounds.x1, bounds.y1)))
            }
        }
    }

    /// Appends the ends of chords that stay within `tolerance` of the curve; the last one is [`Curve::end`].
    pub fn flatten_into(&self, from: Point, tolerance: f64, points: &mut Vec<Point>) {
        let chords = self.chord_count(from, tolerance);
        match self.arc_form(from) {
            Some(arc) => points.extend((1..chords).map(|i| arc.at(i as f64 / chords as f64))),
            None => points.extend((1..chords).map(|i| self.at(from, i as f64 / chords as f64))),
        }
        points.push(self.end());
    }

    fn chord_count(&self, from: Point, tolerance: f64) -> usize {
        let wanted = match *self {
            Curve::Line { .. } => 1.0,
            Curve::Arc { .. } => self.arc_form(from).map_or(1.0, |arc| arc_chords(&arc, tolerance)),
            // Uniform steps h of the parameter leave the chord by at most h² max|C″| / 8, and |C″| ≤ 6 max|Δ²P|
            // (Filip, Magedson and Markot, "Surface algorithms using bounds on derivatives", CAGD 3, 1986).
            Curve::Cubic { control1, control2, to } => {
                let first = (control2 - control1 * 2.0 + from).length();
                let second = (to - control2 * 2.0 + control1).length();
                (0.75 * first.max(second) / tolerance).sqrt()
            }
        };
        // A NaN or an infinity from hostile coordinates saturates here.
        (wanted.ceil() as usize).clamp(1, MAX_CHORDS)
    }

    /// The same curve travelled the other way, back to `from`.
    pub fn reversed(&self, from: Point) -> Curve {
        match *self {
            Curve::Line { .. } => Curve::Line { to: from },
            Curve::Arc { bulge, .. } => Curve::Arc { to: from, bulge: -bulge },
            Curve::Cubic { control1, control2, .. } => {
                Curve::Cubic { control1: control2, control2: control1, to: from }
            }
        }
    }

    pub fn transformed(&self, motion: &Isometry) -> Curve {
        let moved = self.map(|point| motion.apply(point));
        match moved {
            Curve::Arc { to, bulge } if motion.mirrors() => Curve::Arc { to, bulge: -bulge },
            other => other,
        }
    }

    /// Scaled about the origin; a negative factor is a half turn and a scaling.
    pub fn scaled(&self, factor: f64) -> Curve {
        self.map(|point| point * factor)
    }

    fn map(&self, image: impl Fn(Point) -> Point) -> Curve {
        match *self {
            Curve::Line { to } => Curve::Line { to: image(to) },
            Curve::Arc { to, bulge } => Curve::Arc { to: image(to), bulge },
            Curve::Cubic { control1, control2, to } => {
                Curve::Cubic { control1: image(control1), control2: image(control2), to: image(to) }
            }
        }
    }

    fn to_kurbo(self, from: Point) -> kurbo::CubicBez {
        let k = |p: Point| kurbo::Point::new(p.x, p.y);
        let (control1, control2, to) = match self {
            Curve::Cubic { control1, control2, to } => (control1, control2, to),
            Curve::Line { to } | Curve::Arc { to, .. } => {
                (from.lerp(to, 1.0 / 3.0), from.lerp(to, 2.0 / 3.0), to)
            }
        };
        kurbo::CubicBez::new(k(from), k(control1), k(control2), k(to))
    }
}

/// The chord over an angle θ leaves its circle by r (1 − cos θ/2).
fn arc_chords(arc: &ArcForm, tolerance: f64) -> f64 {
    let cosine = (1.0 - tolerance / arc.radius).clamp(-1.0, 1.0);
    // Never fewer than one chord for a quarter turn, or a half circle could vanish.
    let step = (2.0 * libm::acos(cosine)).min(FRAC_PI_2);
    arc.sweep.abs() / step
}

/// The points of an arc at which its tangent is upright or level.
fn quadrant_points(arc: &ArcForm) -> impl Iterator<Item = Point> {
    let ArcForm { centre, radius, start_angle, sweep } = *arc;
    let directions = [(0.0, pt(1.0, 0.0)), (1.0, pt(0.0, 1.0)), (2.0, pt(-1.0, 0.0)), (3.0, pt(0.0, -1.0))];
    directions.into_iter().filter_map(move |(quarter, direction)| {
        let turned = (quarter * FRAC_PI_2 - start_angle) * sweep.signum();
        (turned.rem_euclid(TAU) <= sweep.abs()).then(|| centre + direction * radius)
    })
}
