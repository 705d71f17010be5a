//! Poses that cannot be reached, motions that jump, and layers that contradict each other.

use super::Subject;
use super::sums::ring_sum;
use crate::assembly::{JointId, JointKind};
use crate::findings::{Findings, Named, Severity, catalogue as found};
use crate::motion::FaultKind;
use crate::quantity::tolerance::REPORTED_MM;

pub fn check(subject: &Subject, sink: &mut Findings) {
    poses(subject, sink);
    jumps(subject, sink);
    layers_of_poses(subject, sink);
}

fn joint_name(subject: &Subject, id: JointId) -> Option<Named> {
    subject.assembly.joints.get(id).map(|j| Named { name: j.name.clone(), span: j.span })
}

fn poses(subject: &Subject, sink: &mut Findings) {
    for (pose, state) in subject.assembly.poses.iter().zip(subject.states) {
        let Some(fault) = &state.fault else { continue };
        sink.report(found::PoseDoesNotClose {
            pose: Named { name: pose.name.clone(), span: pose.span },
            joint: fault.joint.and_then(|j| joint_name(subject, j)),
            gap: fault.gap_mm,
            sum: ring_sum(subject.assembly, &pose.values),
            certain: !matches!(fault.kind, FaultKind::Locked { certain: false }),
        });
    }
}

/// A leg of a motion begins where the joint was left.
fn jumps(subject: &Subject, sink: &mut Findings) {
    for motion in &subject.assembly.motions {
        let mut left: Vec<(JointId, f64, crate::source::Span)> = Vec::new();
        for leg in &motion.legs {
            for step in leg {
                let before = left.iter().find(|(joint, ..)| *joint == step.joint).copied();
                if let (Some((_, value, span)), Some(joint)) = (before, joint_name(subject, step.joint))
                    && (value - step.from).abs() > REPORTED_MM
                    && span != step.span
                {
                    let kind = subject.assembly.joints.get(step.joint).map(|j| &j.kind);
                    sink.report(found::MotionJumps {
                        joint: joint.name,
                        place: step.span,
                        before: span,
                        left: value,
                        from: step.from,
                        slides: matches!(kind, Some(JointKind::Slide { .. })),
                    });
                }
            }
            for step in leg {
                left.retain(|(joint, ..)| *joint != step.joint);
                left.push((step.joint, step.to, step.span));
            }
        }
    }
}

/// Each set of joints that contradict each other is told once, in the first pose that shows it.
fn layers_of_poses(subject: &Subject, sink: &mut Findings) {
    let mut told: Vec<Vec<JointId>> = Vec::new();
    for ((pose, state), card) in subject.assembly.poses.iter().zip(subject.states).zip(subject.cards) {
        if state.fault.is_some() {
            continue;
        }
        let Some(contradiction) = &card.contradiction else { continue };
        // What a joint's own finding says already explains why it cannot lie.
        let explained = |&j: &JointId| {
            let span = subject.assembly.joints.get(j).map(|joint| joint.span);
            sink.list().iter().any(|f| f.severity() == Severity::Error && Some(f.place()) == span)
        };
        if told.contains(&contradiction.joints) || contradiction.joints.iter().any(explained) {
            continue;
        }
        sink.report(found::LayersContradict {
            pose: Named { name: pose.name.clone(), span: pose.span },
            joints: contradiction.joints.iter().filter_map(|&j| joint_name(subject, j)).collect(),
        });
        told.push(contradiction.joints.clone());
    }
}
