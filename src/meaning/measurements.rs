//! Every length a hand measures on paper, for rounding and for asking how far a hand may be off.

use super::design::{
    Body, CutoutForm, CutoutWord, Design, Glue, GlueArea, JointKind, Line, PathSegment, Place, PlaceKind,
    Point, Quantity, RangeReading, Shape,
};
use crate::quantity::Dimension;
use crate::quantity::tolerance::COINCIDENT_MM;

/// What a measurement does in the finished card.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The size of something that must go into something else.
    Enters,
    /// The size of something that lets another through.
    Admits,
    /// Where something lies.
    Position,
}

/// Calls `visit` with every measurement, in order of declaration.
pub fn visit(design: &mut Design, visit: &mut dyn FnMut(Role, &mut Quantity)) {
    let mut visitor = Visitor { visit };
    for piece in &mut design.pieces {
        visitor.body(&mut piece.body);
    }
    for joint in &mut design.joints {
        visitor.joint(&mut joint.kind);
    }
    for print in &mut design.prints {
        visitor.places(&mut print.place);
    }
}

struct Visitor<'a> {
    visit: &'a mut dyn FnMut(Role, &mut Quantity),
}

impl Visitor<'_> {
    fn on(&mut self, role: Role, quantity: &mut Quantity) {
        if quantity.dimension == Dimension::Length {
            (self.visit)(role, quantity);
        }
    }

    fn body(&mut self, body: &mut Body) {
        match body {
            Body::Cut(cut) => {
                self.shape(&mut cut.shape);
                for crease in &mut cut.creases {
                    self.line(&mut crease.line, (Role::Position, Role::Position));
                }
                for point in &mut cut.panel_points {
                    self.point(&mut point.at);
                }
                for cutout in &mut cut.cutouts {
                    self.form(&mut cutout.form, cutout.kind);
                    self.places(&mut cutout.place);
                }
                for tab in &mut cut.tabs {
                    self.on(Role::Position, &mut tab.depth);
                    if let Some(extent) = &mut tab.extent {
                        // A tab is narrower when it starts later and ends sooner.
                        self.range(extent, (Role::Admits, Role::Enters));
                    }
                }
                for mark in &mut cut.marks {
                    self.places(&mut mark.place);
                }
            }
            Body::Strap(strap) => {
                self.on(Role::Enters, &mut strap.wide);
                self.on(Role::Position, &mut strap.overlap);
            }
            Body::Mat(mat) => self.on(Role::Admits, &mut mat.border),
        }
    }

    fn joint(&mut self, kind: &mut JointKind) {
        match kind {
            JointKind::Glue(Glue { place, area, .. }) => {
                self.places(place);
                if let GlueArea::Along { width: Some(width), .. } = area {
                    self.on(Role::Enters, width);
                }
            }
            JointKind::SlideThrough { place, .. }
            | JointKind::SlideOn { place, .. }
            | JointKind::Tuck { place, .. } => self.places(place),
            JointKind::Strap { .. } | JointKind::Brad { .. } => {}
        }
    }

    fn point(&mut self, point: &mut Point) {
        self.on(Role::Position, &mut point.x);
        self.on(Role::Position, &mut point.y);
    }

    fn points(&mut self, points: &mut [Point]) {
        points.iter_mut().for_each(|p| self.point(p));
    }

    fn shape(&mut self, shape: &mut Shape) {
        match shape {
            Shape::Rectangle { width, height } => {
                self.on(Role::Enters, width);
                self.on(Role::Enters, height);
            }
            Shape::Rounded { width, height, corner } => {
                self.on(Role::Enters, width);
                self.on(Role::Enters, height);
                self.on(Role::Enters, corner);
            }
            Shape::Circle { diameter } => self.on(Role::Enters, diameter),
            Shape::Polygon(points) => self.points(points),
            Shape::Path { start, segments } => {
                let closes = segments.last().is_some_and(|last| meets(start, last.end()));
                self.point(start);
                let closing = segments.len().checked_sub(1).filter(|_| closes);
                for (index, segment) in segments.iter_mut().enumerate() {
                    match segment {
                        PathSegment::Line(_) => {}
                        PathSegment::Arc { through, .. } => self.point(through),
                        PathSegment::Curve { first, second, .. } => {
                            self.point(first);
                            self.point(second);
                        }
                    }
                    let end = segment.end_mut();
                    if closing == Some(index) {
                        // Where the path closes it is the same point again: it goes where the start goes.
                        end.x.exact = start.x.exact;
                        end.y.exact = start.y.exact;
                    } else {
                        self.point(end);
                    }
                }
            }
            Shape::Svg { .. } => {}
        }
    }

    /// `ends`: roles of the lower and of the upper end of a line's extent.
    fn line(&mut self, line: &mut Line, ends: (Role, Role)) {
        match line {
            Line::Reading { at, extent, .. } => {
                self.on(Role::Position, &mut at.value);
                if let Some(extent) = extent {
                    self.range(extent, ends);
                }
            }
            Line::Segment { from, to } => {
                self.point(from);
                self.point(to);
            }
        }
    }

    fn range(&mut self, range: &mut RangeReading, (low, high): (Role, Role)) {
        let (first, last) = if range.start.exact <= range.end.exact { (low, high) } else { (high, low) };
        self.on(first, &mut range.start);
        self.on(last, &mut range.end);
    }

    fn form(&mut self, form: &mut CutoutForm, kind: CutoutWord) {
        match form {
            CutoutForm::Line { width, line, length } => {
                if let Some(width) = width {
                    self.on(Role::Admits, width);
                }
                if let Some(line) = line {
                    // A slot is longer when it starts sooner and ends later.
                    let longer = (Role::Enters, Role::Admits);
                    let ends =
                        if kind == CutoutWord::Slot { longer } else { (Role::Position, Role::Position) };
                    self.line(line, ends);
                }
                if let Some(length) = length {
                    self.on(Role::Admits, length);
                }
            }
            // Punches come in their own sizes: a hole keeps its diameter.
            CutoutForm::Circle { diameter } if kind == CutoutWord::Window => self.on(Role::Admits, diameter),
            CutoutForm::Circle { .. } => {}
            CutoutForm::Rectangle { width, height } => {
                self.on(Role::Admits, width);
                self.on(Role::Admits, height);
            }
            CutoutForm::Rounded { width, height, corner } => {
                self.on(Role::Admits, width);
                self.on(Role::Admits, height);
                self.on(Role::Enters, corner);
            }
            CutoutForm::Polygon(points) => self.points(points),
        }
    }

    fn places(&mut self, places: &mut [Place]) {
        for place in places {
            match &mut place.kind {
                PlaceKind::Reading { at, .. } => self.on(Role::Position, &mut at.value),
                PlaceKind::Range(range) => self.range(range, (Role::Position, Role::Position)),
                PlaceKind::Beside { value, .. } => self.on(Role::Position, value),
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

fn meets(a: &Point, b: &Point) -> bool {
    let near = |a: &Quantity, b: &Quantity| (a.value() - b.value()).abs() <= COINCIDENT_MM;
    near(&a.x, &b.x) && near(&a.y, &b.y)
}
