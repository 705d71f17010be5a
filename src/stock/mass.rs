//! What a card weighs: paper from its grammage. Glue, foam and fasteners are left out of account.

use crate::assembly::{Assembly, Piece};

/// Mass of all pieces in g, or the name of a paper whose grammage the design does not say.
pub fn mass(assembly: &Assembly) -> Result<f64, String> {
    assembly.pieces.iter().try_fold(0.0, |grams, piece| Ok(grams + mass_of(assembly, piece)?))
}

/// Mass of one piece in g, or the name of its paper when that does not say its grammage.
pub fn mass_of(assembly: &Assembly, piece: &Piece) -> Result<f64, String> {
    let Some(paper) = assembly.papers.get(piece.paper) else { return Ok(0.0) };
    let grammage = paper.grammage.ok_or_else(|| paper.name.clone())?;
    // ISO 536: grammage is mass per area; mm² to m².
    Ok(grammage * piece.polygon.area() * 1e-6)
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
