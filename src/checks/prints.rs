//! Pictures that run over several parts: is there a pose in which they can be cut apart?

use super::Subject;
use super::stuck::panel_name;
use crate::findings::{Findings, Named, catalogue as found};
use crate::motion::{PoseState, tilt_deg};
use crate::quantity::tolerance::PARALLEL_DEG;

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    let mut told: Vec<&str> = Vec::new();
    for print in &assembly.prints {
        let Some(spread) = &print.spread else { continue };
        let Some(state) = subject.states.get(spread.pose).filter(|s| s.fault.is_none()) else { continue };
        let Some(tilt) = tilt_deg(state, print.panel).filter(|t| *t > PARALLEL_DEG) else { continue };
        if told.contains(&print.name.as_str()) {
            continue;
        }
        told.push(&print.name);
        let all = || assembly.prints.iter().filter(|p| p.name == print.name);
        let is_flat = |state: &&PoseState| {
            state.fault.is_none()
                && all().all(|p| tilt_deg(state, p.panel).is_some_and(|t| t <= PARALLEL_DEG))
        };
        sink.report(found::PictureNotFlat {
            print: Named { name: print.name.clone(), span: print.span },
            pose: state.name.clone(),
            place: spread.pose_span,
            part: panel_name(assembly, print.panel),
            tilt,
            flat: subject.states.iter().filter(is_flat).map(|s| s.name.clone()).collect(),
        });
    }
}
