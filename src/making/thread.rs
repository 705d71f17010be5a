//! Whether a tongue can be threaded at all: one of its ends must go through the slot.

use super::works::piece_of;
use crate::assembly::{Assembly, CutoutKind, JointKind, SlideHow};
use crate::findings::catalogue::EndsTooWideToThread;
use crate::findings::{Findings, Named};
use crate::geometry::{Point, Segment};
use crate::quantity::tolerance::COINCIDENT_MM;

/// Reports tongues with shoulders at both ends.
pub fn check(assembly: &Assembly, sink: &mut Findings) {
    for joint in &assembly.joints {
        let JointKind::Slide { placement, how: SlideHow::Through { piece, cutouts }, .. } = &joint.kind
        else {
            continue;
        };
        let tongue = piece_of(assembly, joint.b).and_then(|p| assembly.pieces.get(p));
        let (Some(home), Some(tongue)) = (assembly.pieces.get(*piece), tongue) else { continue };
        let to_home = placement.isometry();
        let outline: Vec<Point> = tongue.polygon.outer.iter().map(|p| to_home.apply(*p)).collect();
        // A piece that folds is folded small and threaded.
        if !tongue.creases.is_empty() {
            continue;
        }
        for cutout in cutouts.iter().filter_map(|c| home.cutouts.get(*c)) {
            if !matches!(cutout.kind, CutoutKind::Slot | CutoutKind::Slit) {
                continue;
            }
            let line = Segment::new(cutout.from, cutout.to);
            let ends = [1.0, -1.0].map(|side| width_beyond(&outline, &line, side));
            let narrower = ends[0].min(ends[1]);
            if narrower > cutout.length + COINCIDENT_MM {
                sink.report(EndsTooWideToThread {
                    tongue: Named { name: tongue.name.clone(), span: tongue.span },
                    place: joint.span,
                    slot: Named { name: format!("{}.{}", home.name, cutout.name), span: cutout.span },
                    ends: narrower,
                    length: cutout.length,
                });
                break;
            }
        }
    }
}

/// How wide an outline gets on one side of a line, measured along the line, mm.
fn width_beyond(outline: &[Point], line: &Segment, side: f64) -> f64 {
    let Some(along) = line.vector().unit() else { return 0.0 };
    let beyond = outline.iter().filter(|p| line.offset_of(**p) * side > COINCIDENT_MM);
    let (low, high) = beyond
        .map(|p| along.dot(*p - line.start))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
    if high > low { high - low } else { 0.0 }
}
