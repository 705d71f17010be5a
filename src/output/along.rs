//! A card at places along a motion.

use crate::assembly::{Assembly, JointId, Motion};
use crate::motion::{PoseState, lower, stand_lowered};

/// Places along a motion, `per_leg` to each of its legs and its beginning, each with how many legs were gone through till
/// then. A place that cannot be reached is left out; the checks tell of it.
pub fn states(assembly: &Assembly, motion: &Motion, per_leg: usize) -> Vec<(f64, PoseState)> {
    let lowered = lower(assembly);
    keys(assembly, motion, per_leg)
        .into_iter()
        .map(|(legs, values)| (legs, stand_lowered(assembly, &lowered, &motion.name, &values)))
        .filter(|(_, state)| state.fault.is_none())
        .collect()
}

/// Joint values along a motion: a joint waits at its first value until its leg comes, and keeps its last.
fn keys(assembly: &Assembly, motion: &Motion, per_leg: usize) -> Vec<(f64, Vec<(JointId, f64)>)> {
    let mut values = assembly.beginning(motion);
    let mut keys = vec![(0.0, values.clone())];
    for (number, leg) in motion.legs.iter().enumerate() {
        for key in 1..=per_leg {
            let share = key as f64 / per_leg as f64;
            for step in leg {
                let value = step.from + (step.to - step.from) * share;
                values.iter_mut().filter(|(joint, _)| *joint == step.joint).for_each(|(_, v)| *v = value);
            }
            keys.push((number as f64 + share, values.clone()));
        }
    }
    keys
}
