//! A design as a hand cuts it: every measurement on a ruler's grid.
//!
//! What must go into something else is rounded down, what must let something through is rounded up, and positions go
//! to the nearest mark, so that the rounded design works whenever a rounding can make it work. It is lowered and
//! checked again like any other design.

use super::design::{
    Body, CutoutForm, CutoutWord, Design, Glue, GlueArea, JointKind, Line, PathSegment, Place, PlaceKind,
    Point, Quantity, RangeReading, Shape,
};
use crate::quantity::{Dimension, Exact, Rounding};

/// The design with every length on a multiple of `step` (mm).
pub fn rounded(design: &Design, step: Exact) -> Design {
    let mut design = design.clone();
    let grid = Grid { step };
    for piece in &mut design.pieces {
        match &mut piece.body {
            Body::Cut(cut) => {
                grid.shape(&mut cut.shape);
                for crease in &mut cut.creases {
                    grid.line(&mut crease.line, false);
                }
                for point in &mut cut.panel_points {
                    grid.point(&mut point.at);
                }
                for cutout in &mut cut.cutouts {
                    grid.form(&mut cutout.form, cutout.kind);
                    grid.places(&mut cutout.place);
                }
                for tab in &mut cut.tabs {
                    grid.to(&mut tab.depth, Rounding::Nearest);
                    if let Some(extent) = &mut tab.extent {
                        grid.range(extent, Rounding::Up, Rounding::Down);
                    }
                }
                for mark in &mut cut.marks {
                    grid.places(&mut mark.place);
                }
            }
            Body::Strap(strap) => {
                grid.to(&mut strap.wide, Rounding::Down);
                grid.to(&mut strap.overlap, Rounding::Nearest);
            }
            Body::Mat(mat) => grid.to(&mut mat.border, Rounding::Up),
        }
    }
    for joint in &mut design.joints {
        match &mut joint.kind {
            JointKind::Glue(Glue { place, area, .. }) => {
                grid.places(place);
                if let GlueArea::Along { width: Some(width), .. } = area {
                    grid.to(width, Rounding::Down);
                }
            }
            JointKind::SlideThrough { place, .. }
            | JointKind::SlideOn { place, .. }
            | JointKind::Tuck { place, .. } => grid.places(place),
            JointKind::Strap { .. } | JointKind::Brad { .. } => {}
        }
    }
    for print in &mut design.prints {
        grid.places(&mut print.place);
    }
    // Claims of an exact value cannot hold of a rounded card; what must hold is that it still works.
    design.claims.retain(|c| !is_equality(&c.expr));
    design
}

fn is_equality(claim: &super::design::ClaimExpr) -> bool {
    use super::design::{ClaimKind, Comparison};
    matches!(&claim.kind, ClaimKind::Compare(Comparison::Equal | Comparison::NotEqual, ..))
}

struct Grid {
    step: Exact,
}

impl Grid {
    fn to(&self, q: &mut Quantity, rounding: Rounding) {
        if q.dimension != Dimension::Length {
            return;
        }
        let Some(exact) = q.exact.round_to(self.step, rounding) else { return };
        // Something narrower than one step keeps its own measure: nothing would be left of it.
        if !exact.is_zero() || q.exact.is_zero() {
            q.exact = exact;
        }
    }

    fn point(&self, point: &mut Point) {
        self.to(&mut point.x, Rounding::Nearest);
        self.to(&mut point.y, Rounding::Nearest);
    }

    fn shape(&self, shape: &mut Shape) {
        match shape {
            Shape::Rectangle { width, height } => {
                self.to(width, Rounding::Down);
                self.to(height, Rounding::Down);
            }
            Shape::Rounded { width, height, corner } => {
                self.to(width, Rounding::Down);
                self.to(height, Rounding::Down);
                self.to(corner, Rounding::Down);
            }
            Shape::Circle { diameter } => self.to(diameter, Rounding::Down),
            Shape::Polygon(points) => points.iter_mut().for_each(|p| self.point(p)),
            Shape::Path { start, segments } => {
                self.point(start);
                for segment in segments {
                    match segment {
                        PathSegment::Line(to) => self.point(to),
                        PathSegment::Arc { through, to } => {
                            self.point(through);
                            self.point(to);
                        }
                        PathSegment::Curve { first, second, to } => {
                            self.point(first);
                            self.point(second);
                            self.point(to);
                        }
                    }
                }
            }
            Shape::Svg { .. } => {}
        }
    }

    fn line(&self, line: &mut Line, widen: bool) {
        match line {
            Line::Reading { at, extent } => {
                self.to(&mut at.value, Rounding::Nearest);
                if let Some(extent) = extent {
                    let (start, end) = if widen {
                        (Rounding::Down, Rounding::Up)
                    } else {
                        (Rounding::Nearest, Rounding::Nearest)
                    };
                    self.range(extent, start, end);
                }
            }
            Line::Segment { from, to } => {
                self.point(from);
                self.point(to);
            }
        }
    }

    fn range(&self, range: &mut RangeReading, low: Rounding, high: Rounding) {
        if range.start.exact <= range.end.exact {
            self.to(&mut range.start, low);
            self.to(&mut range.end, high);
        } else {
            self.to(&mut range.start, high);
            self.to(&mut range.end, low);
        }
    }

    fn form(&self, form: &mut CutoutForm, kind: CutoutWord) {
        match form {
            CutoutForm::Line { width, line, length } => {
                if let Some(width) = width {
                    self.to(width, Rounding::Up);
                }
                if let Some(line) = line {
                    self.line(line, kind == CutoutWord::Slot);
                }
                if let Some(length) = length {
                    self.to(length, Rounding::Up);
                }
            }
            // Punches come in their own sizes: a hole keeps its diameter.
            CutoutForm::Circle { diameter } if kind == CutoutWord::Window => self.to(diameter, Rounding::Up),
            CutoutForm::Circle { .. } => {}
            CutoutForm::Rectangle { width, height } => {
                self.to(width, Rounding::Up);
                self.to(height, Rounding::Up);
            }
            CutoutForm::Rounded { width, height, corner } => {
                self.to(width, Rounding::Up);
                self.to(height, Rounding::Up);
                self.to(corner, Rounding::Down);
            }
            CutoutForm::Polygon(points) => points.iter_mut().for_each(|p| self.point(p)),
        }
    }

    fn places(&self, places: &mut [Place]) {
        for place in places {
            match &mut place.kind {
                PlaceKind::Reading { at, .. } => self.to(&mut at.value, Rounding::Nearest),
                PlaceKind::Range(range) => self.range(range, Rounding::Nearest, Rounding::Nearest),
                PlaceKind::Beside { value, .. } => self.to(value, Rounding::Nearest),
                PlaceKind::Along { start, through, .. } => {
                    self.point(start);
                    self.point(through);
                }
                PlaceKind::Centred(_)
                | PlaceKind::At(_)
                | PlaceKind::EdgeToEdge { .. }
                | PlaceKind::Turned(_)
                | PlaceKind::UpsideDown => {}
            }
        }
    }
}
