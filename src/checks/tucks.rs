//! Tongues that are tucked into an opening: in some pose the opening must lie across the tongue, and be long enough for it.

use super::Subject;
use super::stuck::panel_name;
use crate::assembly::{Assembly, JointKind, PanelId};
use crate::findings::{Findings, Named, TuckMisses, catalogue as found};
use crate::geometry::{Point, Polygon, Segment, clip_segment, pt};
use crate::motion::{PoseState, Vec3};
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
        // A window or a hole is no line that a tongue fills.
        if opening.from.is_near(opening.to, CLOSURE_MM) {
            continue;
        }
        let line = Segment::new(opening.from, opening.to);
        let seen = subject
            .states
            .iter()
            .zip(&assembly.poses)
            .filter_map(|(state, pose)| Some((pose, misses(assembly, state, (joint.a, line), joint.b)?)));
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

/// How a tongue stands to the line of an opening in a pose.
fn misses(
    assembly: &Assembly,
    state: &PoseState,
    (home, line): (PanelId, Segment),
    tongue: PanelId,
) -> Option<TuckMisses> {
    let frame = |panel: PanelId| state.frames.get(panel).copied().flatten();
    let to_tongue = frame(tongue)?.inverse() * frame(home)?;
    let polygon = &assembly.panels.get(tongue)?.polygon;
    let place = |p: Point| {
        let q = to_tongue.point(Vec3::new(p.x, -p.y, 0.0));
        (pt(q.x, -q.y), q.z.abs())
    };
    let ((from, off), (to, also_off)) = (place(line.start), place(line.end));
    let off = off.max(also_off);
    if off > CLOSURE_MM {
        let near = Segment::new(from, to);
        return Some(TuckMisses::Apart(libm::hypot(off, apart(polygon, &near))));
    }
    let length = line.length();
    let along = Segment::new(from, to).vector().unit()?;
    let reach =
        polygon.bounds().width() + polygon.bounds().height() + from.distance(polygon.bounds().centre());
    let start = from - along * reach;
    // Tucked in to its very root, the tongue ends at the line.
    let section = [0.0, CLOSURE_MM, -CLOSURE_MM].into_iter().find_map(|aside| {
        let start = start + along.turned_left() * aside;
        let spans = clip_segment(polygon, &Segment::new(start, start + along * (2.0 * reach + length)));
        Some((spans.first()?.from - reach, spans.last()?.to - reach))
    });
    let Some((low, high)) = section else {
        return Some(TuckMisses::Apart(apart(
            polygon,
            &Segment::new(from - along * reach, to + along * reach),
        )));
    };
    let wide = high - low;
    Some(if wide > length + CLOSURE_MM {
        TuckMisses::Wide(wide - length)
    } else {
        TuckMisses::Beside((-low).max(high - length).max(0.0))
    })
}

/// mm.
fn apart(polygon: &Polygon, line: &Segment) -> f64 {
    polygon.edges().map(|edge| edge.distance_to(line)).fold(f64::INFINITY, f64::min)
}
