//! Plane geometry in millimetres, x to the right and y **down**: pure functions that know nothing of paper or of the
//! language. Every tolerance is a parameter; every angle turns from the x axis to the y axis, clockwise as seen.
//!
//! | file | holds |
//! |---|---|
//! | `point` | points, straight segments, upright rectangles |
//! | `transform` | rigid motions |
//! | `curve`, `contour` | lines, arcs and Bézier curves, closed contours, outlines |
//! | `polygon` | polygons with holes: measures and distances |
//! | `exact` | exact predicates on an integer grid, test for simple contours |
//! | `boolean` | set operations and offsets: the one file that knows the overlay library |
//! | `planar` | planar graphs: snap rounding and the walk round faces |
//! | `arrange` | the panels of a piece divided by creases and slits |
//! | `overlay` | the cells of many polygons laid over each other |
//! | `hull`, `section`, `sweep`, `label` | hulls and widths, straight cuts, straight motion, places for labels |

mod arrange;
mod boolean;
mod contour;
mod curve;
mod exact;
mod hull;
mod label;
mod overlay;
mod planar;
mod point;
mod polygon;
mod section;
mod sweep;
mod transform;

pub use arrange::{Arrangement, OutOfReach, Stretch, arrange};
pub use boolean::{
    GRID_MM, Join, SLIVER_MM, difference, interiors_intersect, intersection, offset, union, union_all, xor,
};
pub use contour::{Contour, Outline};
pub use curve::{ArcForm, Curve};
pub use exact::first_self_crossing;
pub use hull::{Width, convex_hull, minimum_width};
pub use label::{Pole, label_pole};
pub use overlay::{Cell, overlay_cells};
pub use point::{Point, Rect, Segment, pt};
pub use polygon::{
    Polygon, Region, Ring, reading_order, region_area, region_bounds, region_centroid, ring_area, ring_edges,
    tidy_ring,
};
pub use section::{Slab, Span, clip_segment, line_spans, narrowest_extent, widest_extent, width_profile};
pub use sweep::{swept_region, travel_to_contact, travel_to_first};
pub use transform::Isometry;
