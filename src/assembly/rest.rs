//! Panels in space with every fold at a given angle: only what lowering needs, to see where folds bring two faces
//! together. A flat point (x, y) of a piece stands at (x, −y, 0) in its own frame, the printed side towards +z.

use super::model::{Assembly, Face, JointKind, PanelId, Placement};
use crate::geometry::{Isometry, Point, pt};
use crate::quantity::tolerance::{CLOSURE_MM, PARALLEL_DEG};
use nalgebra::{Matrix3, Vector3};
use std::collections::VecDeque;

/// `p ↦ rotation · p + shift`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    rotation: Matrix3<f64>,
    shift: Vector3<f64>,
}

impl Frame {
    const fn identity() -> Self {
        Self {
            rotation: Matrix3::new(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0),
            shift: Vector3::new(0.0, 0.0, 0.0),
        }
    }

    fn then(&self, outer: &Frame) -> Frame {
        Frame { rotation: outer.rotation * self.rotation, shift: outer.rotation * self.shift + outer.shift }
    }

    fn inverse(&self) -> Frame {
        let rotation = self.rotation.transpose();
        Frame { rotation, shift: -(rotation * self.shift) }
    }

    /// A turn by `degrees` about the line from `from` to `to`, right-handed.
    fn fold(from: Point, to: Point, degrees: f64) -> Frame {
        let (a, b) = (lift(from), lift(to));
        let axis = (b - a).try_normalize(0.0).unwrap_or(Vector3::x());
        let radians = degrees.to_radians();
        let (sin, cos) = (libm::sin(radians), libm::cos(radians));
        let rotation =
            Matrix3::identity() * cos + axis.cross_matrix() * sin + axis * axis.transpose() * (1.0 - cos);
        Frame { rotation, shift: a - rotation * a }
    }

    /// From the part's flat frame to the target's.
    pub fn placed(placement: &Placement) -> Frame {
        let motion = placement.isometry();
        let column = |v: Point| {
            let image = motion.apply_vector(v);
            Vector3::new(image.x, -image.y, 0.0)
        };
        let x = column(pt(1.0, 0.0));
        // The flat y axis points down.
        let y = column(pt(0.0, -1.0));
        let z = x.cross(&y);
        let raise = if placement.side == Face::Front { placement.raise } else { -placement.raise };
        let origin = motion.origin();
        Frame { rotation: Matrix3::from_columns(&[x, y, z]), shift: Vector3::new(origin.x, -origin.y, raise) }
    }
}

fn lift(p: Point) -> Vector3<f64> {
    Vector3::new(p.x, -p.y, 0.0)
}

/// How two faces lie when the folds have brought them together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Meeting {
    /// In one plane: how the part lies on the target, and whether it is turned over.
    Flat(Isometry),
    /// Apart: degrees between the planes and mm between them.
    Apart { degrees: f64, gap: f64 },
    /// No joint leads from one to the other.
    Unconnected,
}

/// How `part` lies on `target` when every joint has its value in `values` (degrees for folds, signed by their kind).
pub(super) fn meeting(assembly: &Assembly, values: &[f64], target: PanelId, part: PanelId) -> Meeting {
    let Some(relative) = relative(assembly, values, target, part) else { return Meeting::Unconnected };
    let normal = relative.rotation.column(2);
    let across = (normal.x * normal.x + normal.y * normal.y).sqrt();
    let degrees = libm::atan2(across, normal.z.abs()).to_degrees();
    let gap = relative.shift.z.abs();
    if degrees > PARALLEL_DEG || gap > CLOSURE_MM {
        return Meeting::Apart { degrees, gap };
    }
    let mirrors = normal.z < 0.0;
    let x_axis = relative.rotation.column(0);
    let flip = if mirrors { Isometry::mirror_x(0.0) } else { Isometry::IDENTITY };
    let own_x = if mirrors { pt(-x_axis.x, x_axis.y) } else { pt(x_axis.x, -x_axis.y) };
    let turn = Isometry::rotation(Point::ORIGIN, own_x.angle());
    let shift = pt(relative.shift.x, -relative.shift.y);
    Meeting::Flat(flip.then(&turn).then(&Isometry::translation(shift)))
}

fn relative(assembly: &Assembly, values: &[f64], target: PanelId, part: PanelId) -> Option<Frame> {
    let mut frames: Vec<Option<Frame>> = vec![None; assembly.panels.len()];
    *frames.get_mut(target)? = Some(Frame::identity());
    let mut queue = VecDeque::from([target]);
    while let Some(here) = queue.pop_front() {
        if here == part {
            break;
        }
        let at = frames.get(here).copied().flatten()?;
        for (index, joint) in assembly.joints.iter().enumerate() {
            let there = match here {
                _ if joint.a == here => joint.b,
                _ if joint.b == here => joint.a,
                _ => continue,
            };
            let Some(slot @ None) = frames.get_mut(there) else { continue };
            let Some(step) = step(&joint.kind, values.get(index).copied().unwrap_or(0.0)) else { continue };
            let step = if joint.a == here { step } else { step.inverse() };
            *slot = Some(step.then(&at));
            queue.push_back(there);
        }
    }
    frames.get(part).copied().flatten()
}

/// From the frame of `b` to that of `a`.
fn step(kind: &JointKind, value: f64) -> Option<Frame> {
    match kind {
        // `a` lies on the left hand: turning `b` towards +z is a turn about the reversed line.
        JointKind::Fold { from, to, .. } => Some(Frame::fold(*to, *from, value)),
        JointKind::Fixed { placement, closing: false, .. } | JointKind::Pin { placement, .. } => {
            Some(Frame::placed(placement))
        }
        JointKind::Slide { placement, direction, .. } => {
            let shift = Vector3::new(direction.x, -direction.y, 0.0) * value;
            let frame = Frame::placed(placement);
            Some(Frame { shift: frame.shift + shift, ..frame })
        }
        JointKind::Fixed { .. } | JointKind::Tuck { .. } => None,
    }
}
