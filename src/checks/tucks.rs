//! Tongues that are tucked into an opening: in some pose the opening must lie across the tongue, and be long enough for it.

use super::Subject;
use super::stuck::panel_name;
use crate::assembly::JointKind;
use crate::findings::{Findings, Named, TuckMisses, catalogue as found};
use crate::layers::{AtOpening, at_opening, opening_line};
use crate::quantity::tolerance::CLOSURE_MM;

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    // A pose that cannot be taken may be the one in which the tongue is in its opening.
    let unsound =
        subject.states.iter().any(|s| s.fault.is_some()) || assembly.poses.iter().any(|p| p.partial);
    if !assembly.missing.is_empty() || unsound {
        return;
    }
    for joint in &assembly.joints {
        let JointKind::Tuck { cutout, piece } = joint.kind else { continue };
        let Some(opening) = assembly.pieces.get(piece).and_then(|p| p.cutouts.get(cutout)) else { continue };
        let Some(line) = opening_line(assembly, joint) else { continue };
        let seen = subject.states.iter().zip(&assembly.poses).filter_map(|(state, pose)| {
            Some((pose, misses(at_opening(assembly, state, joint)?, line.length())))
        });
        let Some((pose, misses)) = seen.min_by(|a, b| a.1.by().total_cmp(&b.1.by())) else { continue };
        if misses.by() > CLOSURE_MM {
            sink.report(found::TuckDoesNotFit {
                place: joint.span,
                tongue: panel_name(assembly, joint.b),
                opening: Named { name: opening.name.clone(), span: opening.span },
                pose: Named { name: pose.name.clone(), span: pose.span },
                length: line.length(),
                misses,
            });
        }
    }
}

/// How a tongue that lies so to an opening of this length, mm, misses it.
fn misses(at: AtOpening, length: f64) -> TuckMisses {
    match at {
        AtOpening::Apart(by) => TuckMisses::Apart(by),
        AtOpening::Across { low, high, .. } if high - low > length + CLOSURE_MM => {
            TuckMisses::Wide(high - low - length)
        }
        AtOpening::Across { low, high, .. } => TuckMisses::Beside((-low).max(high - length).max(0.0)),
    }
}
