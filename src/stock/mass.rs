//! What a card weighs: paper from its grammage. Glue, foam and fasteners are left out of account.

use crate::assembly::Assembly;

/// Mass of all pieces in g, or the name of a paper whose grammage the design does not say.
pub fn mass(assembly: &Assembly) -> Result<f64, String> {
    let mut grams = 0.0;
    for piece in &assembly.pieces {
        let Some(paper) = assembly.papers.get(piece.paper) else { continue };
        let grammage = paper.grammage.ok_or_else(|| paper.name.clone())?;
        // ISO 536: grammage is mass per area; mm² to m².
        grams += grammage * piece.polygon.area() * 1e-6;
    }
    Ok(grams)
}

/// Grammage of the paper that an envelope is taken to be made of, g/m² (80 lb text is 118; common practice 80 to 120).
const ENVELOPE_GSM: f64 = 110.0;
/// Thickness of one wall of an envelope, mm, for the same paper.
const ENVELOPE_WALL_MM: f64 = 0.15;
/// Paper in an envelope, flaps and seams included, for one side of it.
const ENVELOPE_SIDES: f64 = 2.4;

/// Estimated mass in g and thickness in mm that an envelope of this size (mm) adds.
pub fn envelope_adds(width: f64, height: f64) -> (f64, f64) {
    (ENVELOPE_GSM * ENVELOPE_SIDES * width * height * 1e-6, 2.0 * ENVELOPE_WALL_MM)
}
