//! Points, straight segments and upright rectangles of the plane, in millimetres.
//!
//! The frame is a piece's own: x to the right, y **down**, printed side up. "Left" and "right" of a direction are meant
//! as the eye sees them in that frame. An angle is measured from the x axis towards the y axis, so a positive angle
//! turns clockwise as seen.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A point, or a vector, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

/// Shorthand for [`Point::new`].
pub const fn pt(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Point {
    pub const ORIGIN: Point = pt(0.0, 0.0);

    pub const fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    /// The unit vector at `radians` from the x axis towards the y axis.
    pub fn from_angle(radians: f64) -> Point {
        pt(libm::cos(radians), libm::sin(radians))
    }

    pub fn dot(self, other: Point) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The z component of the cross product; positive when `other` lies clockwise (as seen) of `self`.
    pub fn cross(self, other: Point) -> f64 {
        self.x * other.y - self.y * other.x
    }

    pub fn length_squared(self) -> f64 {
        self.dot(self)
    }

    pub fn length(self) -> f64 {
        self.length_squared().sqrt()
    }

    pub fn distance(self, other: Point) -> f64 {
        (other - self).length()
    }

    /// The unit vector of the same direction; `None` for a zero or non-finite vector.
    pub fn unit(self) -> Option<Point> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self / length)
    }

    /// Angle from the x axis towards the y axis, in (−π, π].
    pub fn angle(self) -> f64 {
        libm::atan2(self.y, self.x)
    }

    /// The vector turned a quarter to the right hand (x axis onto y axis).
    pub fn turned_right(self) -> Point {
        pt(-self.y, self.x)
    }

    /// The vector turned a quarter to the left hand.
    pub fn turned_left(self) -> Point {
        pt(self.y, -self.x)
    }

    pub fn lerp(self, other: Point, t: f64) -> Point {
        self + (other - self) * t
    }

    pub fn midpoint(self, other: Point) -> Point {
        (self + other) * 0.5
    }

    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }

    pub fn is_near(self, other: Point, tolerance: f64) -> bool {
        (other - self).length_squared() <= tolerance * tolerance
    }

    /// Total order from left to right, then from top to bottom.
    pub fn left_to_right(&self, other: &Point) -> std::cmp::Ordering {
        self.x.total_cmp(&other.x).then(self.y.total_cmp(&other.y))
    }
}

impl Add for Point {
    type Output = Point;
    fn add(self, other: Point) -> Point {
        pt(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Point;
    fn sub(self, other: Point) -> Point {
        pt(self.x - other.x, self.y - other.y)
    }
}

impl AddAssign for Point {
    fn add_assign(&mut self, other: Point) {
        *self = *self + other;
    }
}

impl SubAssign for Point {
    fn sub_assign(&mut self, other: Point) {
        *self = *self - other;
    }
}

impl Neg for Point {
    type Output = Point;
    fn neg(self) -> Point {
        pt(-self.x, -self.y)
    }
}

impl Mul<f64> for Point {
    type Output = Point;
    fn mul(self, factor: f64) -> Point {
        pt(self.x * factor, self.y * factor)
    }
}

impl Mul<Point> for f64 {
    type Output = Point;
    fn mul(self, point: Point) -> Point {
        point * self
    }
}

impl Div<f64> for Point {
    type Output = Point;
    fn div(self, divisor: f64) -> Point {
        pt(self.x / divisor, self.y / divisor)
    }
}

impl From<(f64, f64)> for Point {
    fn from((x, y): (f64, f64)) -> Point {
        pt(x, y)
    }
}

/// A directed straight segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    pub start: Point,
    pub end: Point,
}

impl Segment {
    pub const fn new(start: Point, end: Point) -> Segment {
        Segment { start, end }
    }

    pub fn vector(&self) -> Point {
        self.end - self.start
    }

    pub fn length(&self) -> f64 {
        self.vector().length()
    }

    pub fn midpoint(&self) -> Point {
        self.start.midpoint(self.end)
    }

    pub fn reversed(&self) -> Segment {
        Segment::new(self.end, self.start)
    }

    pub fn at(&self, t: f64) -> Point {
        self.start.lerp(self.end, t)
    }

    /// Parameter of the foot of the perpendicular from `point` (0 at the start, 1 at the end, not clamped); 0 for a
    /// segment without length.
    pub fn project(&self, point: Point) -> f64 {
        let vector = self.vector();
        let squared = vector.length_squared();
        if squared > 0.0 { (point - self.start).dot(vector) / squared } else { 0.0 }
    }

    /// The point of the segment nearest to `point`.
    pub fn nearest(&self, point: Point) -> Point {
        self.at(self.project(point).clamp(0.0, 1.0))
    }

    pub fn distance(&self, point: Point) -> f64 {
        self.nearest(point).distance(point)
    }

    /// Signed distance of `point` from the carrying line, positive on the right hand of the direction.
    pub fn offset_of(&self, point: Point) -> f64 {
        match self.vector().unit() {
            Some(direction) => direction.cross(point - self.start),
            None => self.start.distance(point),
        }
    }

    /// Where the two segments cross, as parameters on each; `None` when they are parallel or do not meet.
    pub fn crossing(&self, other: &Segment) -> Option<(f64, f64)> {
        let (u, v) = (self.vector(), other.vector());
        let denominator = u.cross(v);
        if denominator == 0.0 {
            return None;
        }
        let between = other.start - self.start;
        let (s, t) = (between.cross(v) / denominator, between.cross(u) / denominator);
        ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then_some((s, t))
    }

    /// Least distance between two segments; 0 when they meet.
    pub fn distance_to(&self, other: &Segment) -> f64 {
        if self.crossing(other).is_some() {
            return 0.0;
        }
        let ends = [
            self.distance(other.start),
            self.distance(other.end),
            other.distance(self.start),
            other.distance(self.end),
        ];
        ends.into_iter().fold(f64::INFINITY, f64::min)
    }

    pub fn bounds(&self) -> Rect {
        Rect::of_corners(self.start, self.end)
    }
}

/// An upright rectangle, `min` its top left and `max` its bottom right corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    pub min: Point,
    pub max: Point,
}

impl Rect {
    pub fn of_corners(a: Point, b: Point) -> Rect {
        Rect { min: pt(a.x.min(b.x), a.y.min(b.y)), max: pt(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// The rectangle with its top left corner at `(x, y)`.
    pub fn new(x: f64, y: f64, width: f64, height: f64) -> Rect {
        Rect::of_corners(pt(x, y), pt(x + width, y + height))
    }

    /// The least rectangle round some points; `None` when there are none.
    pub fn of_points(points: impl IntoIterator<Item = Point>) -> Option<Rect> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(Rect::of_corners(first, first), |rect, point| rect.including(point)))
    }

    pub fn including(&self, point: Point) -> Rect {
        self.union(&Rect::of_corners(point, point))
    }

    pub fn union(&self, other: &Rect) -> Rect {
        Rect {
            min: pt(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: pt(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// The common part; `None` when the rectangles do not even touch.
    pub fn intersection(&self, other: &Rect) -> Option<Rect> {
        self.touches(other, 0.0).then(|| Rect {
            min: pt(self.min.x.max(other.min.x), self.min.y.max(other.min.y)),
            max: pt(self.max.x.min(other.max.x), self.max.y.min(other.max.y)),
        })
    }

    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    pub fn area(&self) -> f64 {
        self.width() * self.height()
    }

    pub fn centre(&self) -> Point {
        self.min.midpoint(self.max)
    }

    /// The corners from the top left, clockwise as seen.
    pub fn corners(&self) -> [Point; 4] {
        [self.min, pt(self.max.x, self.min.y), self.max, pt(self.min.x, self.max.y)]
    }

    pub fn contains(&self, point: Point, tolerance: f64) -> bool {
        point.x >= self.min.x - tolerance
            && point.x <= self.max.x + tolerance
            && point.y >= self.min.y - tolerance
            && point.y <= self.max.y + tolerance
    }

    /// Whether the rectangles come within `tolerance` of each other in both directions.
    pub fn touches(&self, other: &Rect, tolerance: f64) -> bool {
        self.min.x <= other.max.x + tolerance
            && other.min.x <= self.max.x + tolerance
            && self.min.y <= other.max.y + tolerance
            && other.min.y <= self.max.y + tolerance
    }

    /// The rectangle grown by `margin` on every side.
    pub fn expanded(&self, margin: f64) -> Rect {
        Rect { min: self.min - pt(margin, margin), max: self.max + pt(margin, margin) }
    }
}
