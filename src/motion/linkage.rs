//! Bodies and the joints between them, as plain data.
//!
//! A joint says how body `b` sits in the flat frame of body `a`: `T_b = T_a * motion(value) * zero`. Hinges and
//! pins take degrees, slides millimetres. Knows nothing of how a linkage is solved.

use super::iso::{Iso, Point2, Vec3, lift};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BodyId(pub usize);

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointId(pub usize);

/// A flat polygon with holes in its body's frame, in mm. Outlines run either way round and are not repeated at
/// their end.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Panel {
    pub outline: Vec<Point2>,
    pub holes: Vec<Vec<Point2>>,
}

/// A rigid piece of paper: all panels lie in the plane z = 0 of its flat frame, front towards +z.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    pub panels: Vec<Panel>,
}

impl Body {
    pub fn polygon(outline: Vec<Point2>) -> Self {
        Self { panels: vec![Panel { outline, holes: Vec::new() }] }
    }

    /// Every corner of every panel, holes too.
    pub fn corners(&self) -> impl Iterator<Item = Point2> + '_ {
        self.panels.iter().flat_map(|p| p.outline.iter().chain(p.holes.iter().flatten()).copied())
    }
}

/// The values a joint may take, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub low: f64,
    pub high: f64,
}

impl Range {
    pub const VALLEY: Self = Self { low: 0.0, high: 180.0 };
    pub const MOUNTAIN: Self = Self { low: -180.0, high: 0.0 };
    pub const ANY_FOLD: Self = Self { low: -180.0, high: 180.0 };
    pub const FREE: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// How far a value lies outside, 0 inside.
    pub fn excess(&self, value: f64) -> f64 {
        (self.low - value).max(value - self.high).max(0.0)
    }

    pub fn middle(&self) -> f64 {
        if self.low.is_finite() && self.high.is_finite() { (self.low + self.high) / 2.0 } else { 0.0 }
    }
}

/// The one freedom of a joint, in the flat frame of its body `a`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JointKind {
    /// A fold about the directed line through `point`: its value is the fold angle, positive when `b`, lying
    /// left of the line at zero, rises towards the front of `a` (valley).
    Hinge { point: Vec3, axis: Vec3 },
    /// A turn in the plane about a pin through both sheets: anticlockwise seen from where the unit vector `axis`,
    /// square to the sheets, points to.
    Pin { point: Vec3, axis: Vec3 },
    /// A translation along a unit direction, in mm.
    Slide { axis: Vec3 },
    /// Glue or foam: no freedom.
    Fixed,
}

/// A joint between two bodies.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    pub a: BodyId,
    pub b: BodyId,
    pub kind: JointKind,
    /// From the flat frame of `b` to that of `a` when the value is 0.
    pub zero: Iso,
    /// The line or point of the joint in the flat frame of `a`: where gaps and contact are looked at.
    pub anchor: [Point2; 2],
    pub range: Range,
    /// A fold with a declared direction: when it starts at an end of its range it must leave that end as soon as
    /// its loops move.
    pub must_leave: bool,
    /// Value taken when nothing drives the joint.
    pub rest: f64,
}

impl Link {
    /// A fold of one sheet along `line`; `b` lies left of the directed line.
    pub fn crease(a: BodyId, b: BodyId, line: [Point2; 2]) -> Self {
        Self::hinge(a, line, b, line)
    }

    /// A hinge between the directed line `a_line` of `a` and `b_line` of `b`. At zero the bodies lie in one
    /// plane, fronts the same way, and a positive value lifts what lies left of the line.
    pub fn hinge(a: BodyId, a_line: [Point2; 2], b: BodyId, b_line: [Point2; 2]) -> Self {
        let axis = (lift(a_line[1]) - lift(a_line[0])).try_normalize(0.0).unwrap_or(Vec3::y());
        let kind = JointKind::Hinge { point: lift(a_line[0]), axis };
        Self::new(a, b, kind, Iso::carry(b_line, a_line), a_line, Range::ANY_FOLD)
    }

    /// A pin through `a_point` of `a` and `b_point` of `b`, at zero with parallel frames; a positive value turns `b`
    /// anticlockwise seen from the front of `a`.
    pub fn pin(a: BodyId, a_point: Point2, b: BodyId, b_point: Point2) -> Self {
        let zero = Iso::translation(lift(a_point) - lift(b_point));
        Self::new(
            a,
            b,
            JointKind::Pin { point: lift(a_point), axis: Vec3::z() },
            zero,
            [a_point; 2],
            Range::FREE,
        )
    }

    /// A slide along `direction` of `a`; `zero` places `b` at value 0.
    pub fn slide(a: BodyId, b: BodyId, direction: Point2, zero: Iso) -> Self {
        let axis = lift(direction).try_normalize(0.0).unwrap_or(Vec3::x());
        let origin = zero.place([0.0, 0.0]);
        Self::new(a, b, JointKind::Slide { axis }, zero, [[origin[0], origin[1]]; 2], Range::FREE)
    }

    /// `b` stuck to `a` at `zero`.
    pub fn fixed(a: BodyId, b: BodyId, zero: Iso) -> Self {
        let origin = zero.place([0.0, 0.0]);
        Self::new(a, b, JointKind::Fixed, zero, [[origin[0], origin[1]]; 2], Range { low: 0.0, high: 0.0 })
    }

    fn new(a: BodyId, b: BodyId, kind: JointKind, zero: Iso, anchor: [Point2; 2], range: Range) -> Self {
        Self { a, b, kind, zero, anchor, range, must_leave: false, rest: 0.0 }
    }

    /// A fold that may only be a valley.
    pub fn valley(self) -> Self {
        Self { range: Range::VALLEY, must_leave: true, ..self }
    }

    /// A fold that may only be a mountain.
    pub fn mountain(self) -> Self {
        Self { range: Range::MOUNTAIN, must_leave: true, ..self }
    }

    /// A pin whose positive values turn `b` clockwise.
    pub fn clockwise(self) -> Self {
        let kind = match self.kind {
            JointKind::Pin { point, .. } => JointKind::Pin { point, axis: -Vec3::z() },
            other => other,
        };
        Self { kind, ..self }
    }

    /// Stops at both ends.
    pub fn within(self, low: f64, high: f64) -> Self {
        Self { range: Range { low, high }, ..self }
    }

    pub fn resting_at(self, rest: f64) -> Self {
        Self { rest, ..self }
    }

    /// The same joint with `b` turned over about the joint's line first, so that the front of `b` meets the back
    /// of `a` at zero.
    pub fn turned_over(self) -> Self {
        let line = if self.anchor[0] == self.anchor[1] {
            [self.anchor[0], [self.anchor[0][0], self.anchor[0][1] + 1.0]]
        } else {
            self.anchor
        };
        Self { zero: Iso::turned_over(line) * self.zero, ..self }
    }

    /// The transform from `b` to `a` at a value (degrees or mm).
    pub fn transform(&self, value: f64) -> Iso {
        let motion = match self.kind {
            JointKind::Hinge { point, axis } | JointKind::Pin { point, axis } => {
                Iso::turn(point, axis, value.to_radians())
            }
            JointKind::Slide { axis } => Iso::translation(axis * value),
            JointKind::Fixed => return self.zero,
        };
        motion * self.zero
    }

    pub fn is_fixed(&self) -> bool {
        self.kind == JointKind::Fixed
    }
}

/// Bodies and joints. Body 0 stays at rest in space unless `root` says otherwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Linkage {
    pub bodies: Vec<Body>,
    pub joints: Vec<Link>,
    /// The body that stays where its flat frame is.
    pub root: usize,
}

/// A joint that names a body the linkage does not have, or a number that is not finite.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LinkageFault {
    pub joint: JointId,
}

impl Linkage {
    pub fn add_body(&mut self, body: Body) -> BodyId {
        self.bodies.push(body);
        BodyId(self.bodies.len() - 1)
    }

    pub fn add_joint(&mut self, joint: Link) -> JointId {
        self.joints.push(joint);
        JointId(self.joints.len() - 1)
    }

    /// Checks that every joint names bodies of this linkage and holds finite numbers.
    pub fn check(&self) -> Result<(), LinkageFault> {
        let sound = |j: &Link| {
            j.a.0 < self.bodies.len()
                && j.b.0 < self.bodies.len()
                && j.rest.is_finite()
                && j.zero.shift.iter().chain(j.zero.rotation.iter()).all(|x| x.is_finite())
                && j.range.low <= j.range.high
        };
        match self.joints.iter().position(|j| !sound(j)) {
            Some(index) => Err(LinkageFault { joint: JointId(index) }),
            None => Ok(()),
        }
    }
}
