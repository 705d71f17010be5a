//! Pictures that run over several panels: the picture lies in the plane of a flat pose, as the viewer sees it, and every
//! panel takes the part that falls on it. Where the panels part again, each keeps its part.

use std::collections::BTreeMap;

use super::iso::{Iso, Vec3};
use super::stand::PoseState;
use crate::assembly::claims::PoseId;
use crate::assembly::{Assembly, Face, Laid, PanelId, Spread};
use crate::geometry::{Isometry, Point, Polygon, Rect, Segment, pt};
use crate::quantity::tolerance::PARALLEL_DEG;

/// Lays every picture that runs over several panels, as they lie in its pose. Parts of a picture whose pose cannot be
/// reached, or does not lie flat there, stay as they are.
pub fn join_pictures(assembly: &mut Assembly, states: &[PoseState]) {
    let mut groups: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (id, print) in assembly.prints.iter().enumerate().filter(|(_, p)| p.spread.is_some()) {
        groups.entry(print.name.clone()).or_default().push(id);
    }
    for parts in groups.values() {
        for (id, face, laid) in laid(assembly, states, parts).unwrap_or_default() {
            let Some(print) = assembly.prints.get_mut(id) else { continue };
            print.face = face;
            if let Some(spread) = &mut print.spread {
                spread.laid = Some(laid);
            }
        }
        for id in parts {
            let Some(print) = assembly.prints.get(*id) else { continue };
            let covered = crate::geometry::region_bounds(&print.region(assembly));
            if let (Some(print), Some(covered)) = (assembly.prints.get_mut(*id), covered) {
                print.area = covered;
            }
        }
    }
}

/// Face and place of every part of one picture; `None` when one of them is not flat before the viewer.
fn laid(assembly: &Assembly, states: &[PoseState], parts: &[usize]) -> Option<Vec<(usize, Face, Laid)>> {
    let mut seats = Vec::new();
    let mut bounds: Option<Rect> = None;
    let mut wish: Option<(&Spread, PoseId)> = None;
    for &id in parts {
        let print = assembly.prints.get(id)?;
        let spread = print.spread.as_ref()?;
        let state = states.get(spread.pose).filter(|s| s.fault.is_none())?;
        let frame = state.frames.get(print.panel)?.as_ref()?;
        let (face, seat) = seat(frame)?;
        let lying: Polygon = assembly.panels.get(print.panel)?.polygon.transformed(&seat);
        bounds = Some(bounds.map_or(lying.bounds(), |b| b.union(&lying.bounds())));
        seats.push((id, face, seat));
        wish = Some((spread, spread.pose));
    }
    let whole = filling(bounds?, wish?.0);
    let lay = |(id, face, seat): (usize, Face, Isometry)| (id, face, Laid { whole, place: seat.inverse() });
    Some(seats.into_iter().map(lay).collect())
}

/// Degrees between a panel and the viewer's plane; `None` for one that nothing holds to the card.
pub fn tilt_deg(state: &PoseState, panel: PanelId) -> Option<f64> {
    state.frames.get(panel)?.as_ref().map(Iso::tilt_deg)
}

/// From the piece's frame to the viewer's plane (y down), for a panel that lies flat before the viewer, and the face it
/// shows.
fn seat(frame: &Iso) -> Option<(Face, Isometry)> {
    if frame.tilt_deg() > PARALLEL_DEG {
        return None;
    }
    let place = |p: Point| {
        let placed = frame.point(Vec3::new(p.x, -p.y, 0.0));
        pt(placed.x, -placed.y)
    };
    let to = Segment::new(place(pt(0.0, 0.0)), place(pt(1.0, 0.0)));
    let from = |x: f64| Segment::new(Point::ORIGIN, pt(x, 0.0));
    Some(if frame.front().z > 0.0 {
        (Face::Front, Isometry::carrying(from(1.0), to)?)
    } else {
        (Face::Back, Isometry::mirror_x(0.0).then(&Isometry::carrying(from(-1.0), to)?))
    })
}

/// The box of the whole picture: as large as it was asked for, or so large that it covers the panels; its middle on
/// theirs.
fn filling(panels: Rect, spread: &Spread) -> Rect {
    let aspect = spread.aspect;
    let (width, height) = match (spread.wide, spread.high) {
        (Some(wide), Some(high)) => (wide, high),
        (Some(wide), None) => (wide, wide / aspect),
        (None, Some(high)) => (high * aspect, high),
        (None, None) => {
            let width = panels.width().max(panels.height() * aspect);
            (width, width / aspect)
        }
    };
    let corner = panels.centre() - pt(width / 2.0, height / 2.0);
    Rect::new(corner.x, corner.y, width, height)
}
