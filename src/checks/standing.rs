//! How a card stands in a pose: on the ground below its lowest point, the world's y axis up.

use super::stuck::piece_of;
use crate::assembly::Assembly;
use crate::geometry::Point;
use crate::motion::{Plate, Point3, PoseState, Stance, stance};

/// How the whole card balances in a pose, what is cut out of it left out; `None` when it weighs nothing.
///
/// # Errors
/// The name of a paper whose grammage the design does not say.
pub fn balance(assembly: &Assembly, state: &PoseState) -> Result<Option<Stance>, String> {
    let mut plates = Vec::new();
    for (id, panel) in assembly.panels.iter().enumerate() {
        let paper = piece_of(assembly, id).and_then(|p| assembly.papers.get(p.paper));
        let Some(paper) = paper else { continue };
        let grammage = paper.grammage.ok_or_else(|| paper.name.clone())?;
        // The ground is level at height zero, so the world's y becomes the height.
        let ring = |ring: &Vec<Point>| -> Vec<Point3> {
            ring.iter().filter_map(|p| state.point(id, *p)).map(|c| [c.x, -c.z, c.y]).collect()
        };
        let holes = panel.polygon.holes.iter().map(ring).collect();
        plates.push(Plate { corners: ring(&panel.polygon.outer), holes, grammage });
    }
    let low = plates.iter().flat_map(|p| &p.corners).map(|c| c[2]).fold(f64::INFINITY, f64::min);
    for plate in &mut plates {
        let rings = plate.holes.iter_mut().chain([&mut plate.corners]);
        rings.flatten().for_each(|corner| corner[2] -= low);
    }
    Ok(stance(&plates))
}
