//! Every tolerance of the project, named and in one place (mm and degrees unless said otherwise).

/// Two points closer than this are the same point.
pub const COINCIDENT_MM: f64 = 0.01;
/// A curve's chord may leave the curve by this much when it is flattened for computation.
pub const CHORD_MM: f64 = 0.01;
/// A loop of folds is closed when its gap is at most this.
pub const CLOSURE_MM: f64 = 0.05;
/// Lengths are reported to this step in metric designs.
pub const REPORTED_MM: f64 = 0.1;
/// Two directions closer than this are parallel.
pub const PARALLEL_DEG: f64 = 0.01;
/// Overlaps smaller than this area are not overlaps.
pub const AREA_MM2: f64 = 1e-4;
/// A piece longer than this is a slip of the pen, not a card.
pub const LARGEST_PIECE_MM: f64 = 3000.0;
