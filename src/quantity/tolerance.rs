//! Every tolerance of the project, named and in one place (mm and degrees unless said otherwise).

/// Two points closer than this are the same point.
pub const COINCIDENT_MM: f64 = 0.01;
/// A curve's chord may leave the curve by this much when it is flattened for computation.
pub const CHORD_MM: f64 = 0.01;
/// A loop of folds is closed when its gap is at most this.
pub const CLOSURE_MM: f64 = 0.05;
/// Lengths are reported to this step in metric designs.
pub const REPORTED_MM: f64 = 0.1;
/// Angles are reported to this step.
pub const REPORTED_DEG: f64 = 0.1;
/// Two directions closer than this are parallel.
pub const PARALLEL_DEG: f64 = 0.01;
/// Overlaps smaller than this area are not overlaps.
pub const AREA_MM2: f64 = 1e-4;
/// A piece longer than this is a slip of the pen, not a card.
pub const LARGEST_PIECE_MM: f64 = 3000.0;
/// A bridge of paper a hand knife leaves whole (1/8 in is wider); below it, care is wanted.
pub const BRIDGE_MM: f64 = 3.0;
/// A bridge narrower than this tears in the cutting (1/16 in is wider).
pub const BRIDGE_LEAST_MM: f64 = 1.5;
/// The centre of a hole stays this far from the edge: 1/4 in.
pub const HOLE_FROM_EDGE_MM: f64 = 6.35;
/// A piece narrower than this slips out of the fingers.
pub const SMALLEST_PIECE_MM: f64 = 5.0;
/// A strip of glue that a hand can lay and that holds (1/4 in is wider).
pub const GLUE_MM: f64 = 6.0;
/// A strip of glue narrower than this does not hold.
pub const GLUE_LEAST_MM: f64 = 2.0;
/// Two areas that share less than this, mm², only touch.
pub const SHARED_MM2: f64 = 1.0;
/// The smallest hole that the legs of a paper fastener go through (common practice).
pub const PIN_HOLE_MM: f64 = 2.0;
/// Two holes on one pin may differ by this much.
pub const HOLES_ALIKE_MM: f64 = 0.1;
/// A fold this near to closed is closed.
pub const FLAT_DEG: f64 = 5.0;
/// A part that ends nearer than this to a fold binds in it.
pub const BIND_MM: f64 = 0.3;
/// …when it does so over at least this length.
pub const BIND_LENGTH_MM: f64 = 5.0;
/// Paper from this grammage (g/m²) on is folded along its grain, or it cracks.
pub const HEAVY_GSM: f64 = 200.0;
/// The same where only the caliper is known.
pub const HEAVY_CALIPER_MM: f64 = 0.25;
/// Leaves whose planes are closer than this lie in one plane.
pub const SAME_PLANE_MM: f64 = 0.02;
/// A card sits well in its envelope with this much to spare beyond its thickness (the trade leaves 1/8 in or more in all).
pub const ENVELOPE_EASE_MM: f64 = 1.5;
/// A card with more to spare than this slides about in its envelope.
pub const ENVELOPE_LOOSE_MM: f64 = 25.0;
/// …or, in a large envelope, with more than this share of its side.
pub const ENVELOPE_LOOSE_SHARE: f64 = 0.1;
/// What stands bears being tilted by this much, degrees: a table that is not level, a draught.
pub const STEADY_DEG: f64 = 5.0;
/// A card that is let go finds its own level when it turns by no more than this, degrees: a millimetre, which a hand may be
/// off, over feet 57 mm apart.
pub const SETTLES_DEG: f64 = 1.0;
