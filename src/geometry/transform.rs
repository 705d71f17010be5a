//! Rigid motions of the plane: turns, shifts and mirrorings. Lengths and angles are kept, so arcs stay arcs.

use super::point::{Point, Segment, pt};

/// `p ↦ origin + p.x · x_axis ± p.y · x_axis turned right`; the sign is minus when the motion mirrors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isometry {
    origin: Point,
    x_axis: Point,
    mirrors: bool,
}

impl Default for Isometry {
    fn default() -> Isometry {
        Isometry::IDENTITY
    }
}

impl Isometry {
    pub const IDENTITY: Isometry = Isometry { origin: Point::ORIGIN, x_axis: pt(1.0, 0.0), mirrors: false };

    pub fn translation(by: Point) -> Isometry {
        Isometry { origin: by, ..Isometry::IDENTITY }
    }

    /// Turn about `centre`, clockwise as seen for a positive angle; quarter turns are exact.
    pub fn rotation_deg(centre: Point, degrees: f64) -> Isometry {
        let x_axis = match degrees.rem_euclid(360.0) {
            0.0 => pt(1.0, 0.0),
            90.0 => pt(0.0, 1.0),
            180.0 => pt(-1.0, 0.0),
            270.0 => pt(0.0, -1.0),
            other => Point::from_angle(other.to_radians()),
        };
        Isometry { origin: Point::ORIGIN, x_axis, mirrors: false }.fixing(centre)
    }

    pub fn rotation(centre: Point, radians: f64) -> Isometry {
        Isometry { origin: Point::ORIGIN, x_axis: Point::from_angle(radians), mirrors: false }.fixing(centre)
    }

    /// Mirroring about the line that carries `axis`; `None` when `axis` has no length.
    pub fn mirror(axis: Segment) -> Option<Isometry> {
        let unit = axis.vector().unit()?;
        // A reflection about a direction at angle a sends the x axis to the angle 2a.
        let x_axis = pt(unit.x * unit.x - unit.y * unit.y, 2.0 * unit.x * unit.y);
        Some(Isometry { origin: Point::ORIGIN, x_axis, mirrors: true }.fixing(axis.start))
    }

    /// Mirroring left to right about the upright line at `x`.
    pub fn mirror_x(x: f64) -> Isometry {
        Isometry { origin: pt(2.0 * x, 0.0), x_axis: pt(-1.0, 0.0), mirrors: true }
    }

    /// Mirroring top to bottom about the level line at `y`.
    pub fn mirror_y(y: f64) -> Isometry {
        Isometry { origin: pt(0.0, 2.0 * y), x_axis: pt(1.0, 0.0), mirrors: true }
    }

    /// The motion without mirroring that carries `from` onto the start and direction of `to`; `None` when either has
    /// no length.
    pub fn carrying(from: Segment, to: Segment) -> Option<Isometry> {
        let (a, b) = (from.vector().unit()?, to.vector().unit()?);
        let turn = Isometry { origin: Point::ORIGIN, x_axis: pt(a.dot(b), a.cross(b)), mirrors: false };
        Some(Isometry { origin: to.start - turn.apply_vector(from.start), ..turn })
    }

    /// The same linear part, shifted so that `centre` stays where it is.
    fn fixing(self, centre: Point) -> Isometry {
        Isometry { origin: centre - self.apply_vector(centre), ..self }
    }

    pub fn apply(&self, point: Point) -> Point {
        self.origin + self.apply_vector(point)
    }

    /// The image of a direction: the shift is left out.
    pub fn apply_vector(&self, vector: Point) -> Point {
        self.x_axis * vector.x + self.y_axis() * vector.y
    }

    pub fn apply_segment(&self, segment: Segment) -> Segment {
        Segment::new(self.apply(segment.start), self.apply(segment.end))
    }

    /// This motion first, `next` after it.
    pub fn then(&self, next: &Isometry) -> Isometry {
        Isometry {
            origin: next.apply(self.origin),
            x_axis: next.apply_vector(self.x_axis),
            mirrors: self.mirrors != next.mirrors,
        }
    }

    pub fn inverse(&self) -> Isometry {
        let y_axis = self.y_axis();
        // The linear part is orthogonal: its inverse is its transpose.
        let linear =
            Isometry { origin: Point::ORIGIN, x_axis: pt(self.x_axis.x, y_axis.x), mirrors: self.mirrors };
        Isometry { origin: -linear.apply_vector(self.origin), ..linear }
    }

    /// Whether the motion turns the plane over.
    pub fn mirrors(&self) -> bool {
        self.mirrors
    }

    /// Where the origin goes.
    pub fn origin(&self) -> Point {
        self.origin
    }

    pub fn x_axis(&self) -> Point {
        self.x_axis
    }

    pub fn y_axis(&self) -> Point {
        if self.mirrors { self.x_axis.turned_left() } else { self.x_axis.turned_right() }
    }

    /// Angle of the image of the x axis, radians in (−π, π].
    pub fn angle(&self) -> f64 {
        self.x_axis.angle()
    }
}
