//! What to write so that the way of a joint ends earlier: its stops, or the ends of the slots that a strap runs in.

use crate::assembly::{Assembly, JointId, JointKind, SlideHow, Written};
use crate::checks::facts::moved_reading;
use crate::findings::{Shortened, Stop};
use crate::geometry::Point;
use crate::quantity::Rounding;
use crate::quantity::tolerance::COINCIDENT_MM;

/// The way of a joint, shorter by `by` at its high or at its low end. `None` where no value is written that could be
/// changed.
pub fn shortened(assembly: &Assembly, id: JointId, high: bool, by: f64) -> Option<Shortened> {
    let joint = assembly.joints.get(id)?;
    let (stops, slides) = match &joint.kind {
        JointKind::Slide { how: SlideHow::Strap { piece, rails, .. }, direction, .. } => {
            let cutouts = &assembly.pieces.get(*piece)?.cutouts;
            let inward = if high { -*direction } else { *direction };
            let ends = [rails.0, rails.1].map(|rail| {
                let cutout = cutouts.get(rail)?;
                let further = |p: &Point| inward.dot(*p);
                let end = if further(&cutout.from) < further(&cutout.to) { cutout.from } else { cutout.to };
                Some((end, &cutout.readings))
            });
            let [Some(first), Some(second)] = ends else { return None };
            // The strap stops where the first of the two slots ends; the other one may run on beyond.
            let outermost = inward.dot(first.0).max(inward.dot(second.0));
            let mut stops: Vec<Stop> = Vec::new();
            for (end, readings) in [first, second] {
                let shift = inward * (outermost + by - inward.dot(end));
                let (reading, value) = moved_reading(readings, end, shift)?;
                let at = if reading.from.is_across() { end.x } else { end.y };
                let along = readings.iter().filter(|r| r.from.is_across() == reading.from.is_across());
                // A slot of a stated length moves with either of its ends.
                if (reading.at - at).abs() > COINCIDENT_MM || along.count() < 2 {
                    return None;
                }
                let stop = stop(&reading.written, value)?;
                if !stops.contains(&stop) {
                    stops.push(stop);
                }
            }
            (stops, true)
        }
        JointKind::Slide { stops: Some(stops), .. } => (vec![at_stop(stops, high, by)?], true),
        JointKind::Pin { stops: Some(stops), .. } => (vec![at_stop(stops, high, by)?], false),
        _ => return None,
    };
    Some(Shortened { joint: joint.name.clone(), slides, stops })
}

fn at_stop((low, high): &(Written, Written), at_high: bool, by: f64) -> Option<Stop> {
    if at_high { stop(high, high.value - by) } else { stop(low, low.value + by) }
}

fn stop(written: &Written, value: f64) -> Option<Stop> {
    let rounding = if value > written.value { Rounding::Up } else { Rounding::Down };
    Some(Stop { literal: written.literal?, value, rounding })
}
