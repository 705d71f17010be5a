//! Proper rigid motions of space and the point types shared by the room.
//!
//! Knows no bodies and no joints. Sines and cosines come from `libm`, so that positions are the same bytes on
//! every machine.

use nalgebra::{Matrix3, Vector3};

/// A point of a flat frame: x and y in mm.
pub type Point2 = [f64; 2];
/// A point in space: x, y and z in mm.
pub type Point3 = [f64; 3];
/// A vector of space.
pub type Vec3 = Vector3<f64>;

/// A rigid transform without mirroring: `p -> rotation * p + shift`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Iso {
    pub rotation: Matrix3<f64>,
    /// Millimetres.
    pub shift: Vec3,
}

impl Iso {
    pub fn identity() -> Self {
        Self { rotation: Matrix3::identity(), shift: Vec3::zeros() }
    }

    pub fn translation(shift: Vec3) -> Self {
        Self { rotation: Matrix3::identity(), shift }
    }

    /// The right-handed turn by `radians` about the line through `point` along the unit vector `axis`
    /// (Rodrigues' formula).
    pub fn turn(point: Vec3, axis: Vec3, radians: f64) -> Self {
        let (sin, cos) = (libm::sin(radians), libm::cos(radians));
        // 1 - cos by the half angle keeps small turns accurate.
        let half = libm::sin(radians / 2.0);
        let versine = 2.0 * half * half;
        let [x, y, z] = axis.data.0[0];
        let (vx, vy, vz) = (x * versine, y * versine, z * versine);
        let rotation = Matrix3::new(
            cos + x * vx,
            x * vy - z * sin,
            x * vz + y * sin,
            y * vx + z * sin,
            cos + y * vy,
            y * vz - x * sin,
            z * vx - y * sin,
            z * vy + x * sin,
            cos + z * vz,
        );
        Self { rotation, shift: point - turned(&rotation, point.data.0[0]) }
    }

    /// The motion of the plane onto itself that carries the directed line `from` onto the directed line `to`,
    /// first point on first point. A line shorter than the smallest float turns nothing.
    pub fn carry(from: [Point2; 2], to: [Point2; 2]) -> Self {
        let heading = |l: [Point2; 2]| libm::atan2(l[1][1] - l[0][1], l[1][0] - l[0][0]);
        let (start, goal) = (lift(from[0]), lift(to[0]));
        let turn = if from == to { 0.0 } else { heading(to) - heading(from) };
        let spin = Self::turn(Vec3::zeros(), Vec3::z(), turn);
        Self { rotation: spin.rotation, shift: goal - spin.rotation * start }
    }

    /// Half a turn about a line of the plane: what lay face up lies face down.
    pub fn turned_over(line: [Point2; 2]) -> Self {
        let along = (lift(line[1]) - lift(line[0])).try_normalize(0.0).unwrap_or(Vec3::x());
        Self::turn(lift(line[0]), along, std::f64::consts::PI)
    }

    pub fn inverse(&self) -> Self {
        let rotation = self.rotation.transpose();
        Self { rotation, shift: -turned(&rotation, self.shift.data.0[0]) }
    }

    pub fn point(&self, p: Vec3) -> Vec3 {
        turned(&self.rotation, p.data.0[0]) + self.shift
    }

    pub fn direction(&self, d: Vec3) -> Vec3 {
        turned(&self.rotation, d.data.0[0])
    }

    /// Where a point of the flat frame goes.
    pub fn place(&self, p: Point2) -> Point3 {
        self.point(lift(p)).into()
    }

    /// Where the front normal (+z of the flat frame) points.
    pub fn front(&self) -> Vec3 {
        self.rotation.column(2).into()
    }

    /// Degrees between the flat frame's plane and the ground, whichever side is up.
    pub fn tilt_deg(&self) -> f64 {
        let front = self.front();
        libm::atan2(libm::hypot(front.x, front.y), front.z.abs()).to_degrees()
    }

    /// The rotation vector (axis times angle in radians, at most pi long) of the rotation part.
    pub fn rotation_vector(&self) -> Vec3 {
        let r = &self.rotation;
        let skew = Vec3::new(r[(2, 1)] - r[(1, 2)], r[(0, 2)] - r[(2, 0)], r[(1, 0)] - r[(0, 1)]);
        let sin2 = skew.norm();
        let angle = libm::atan2(sin2, r.trace() - 1.0);
        if sin2 > 1e-9 {
            return skew * (angle / sin2);
        }
        if r.trace() > 0.0 {
            return skew / 2.0;
        }
        // Half a turn: the axis is the longest column of R + 1.
        let sum = r + Matrix3::identity();
        let longest =
            (0..3).max_by(|&i, &j| sum.column(i).norm().total_cmp(&sum.column(j).norm())).unwrap_or(0);
        let axis: Vec3 = sum.column(longest).into();
        axis.try_normalize(0.0).unwrap_or(Vec3::x()) * angle
    }
}

impl std::ops::Mul for Iso {
    type Output = Self;

    /// `(a * b).point(p) == a.point(b.point(p))`.
    fn mul(self, other: Self) -> Self {
        let columns = other.rotation.data.0.map(|column| turned(&self.rotation, column));
        let rotation = Matrix3::from_columns(&columns);
        Self { rotation, shift: self.point(other.shift) }
    }
}

/// Matrix times vector, written out: the kinematics spend most of their time here.
fn turned(rotation: &Matrix3<f64>, [x, y, z]: [f64; 3]) -> Vec3 {
    let [a, b, c] = &rotation.data.0;
    Vec3::new(a[0] * x + b[0] * y + c[0] * z, a[1] * x + b[1] * y + c[1] * z, a[2] * x + b[2] * y + c[2] * z)
}

/// A point of the flat frame in space, at z = 0.
pub(crate) fn lift(p: Point2) -> Vec3 {
    Vec3::new(p[0], p[1], 0.0)
}
