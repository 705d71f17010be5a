//! Drawing interchange for cutting machines: a [`Job`] as an ASCII DXF file of release 12 (AC1009), the oldest release
//! that every program reads. Lines, circles and polylines with bulges only, one layer per operation, millimetres, y up.
//!
//! Group codes follow the DXF reference for release 12: a code line, a value line. The release has no variable for the
//! unit, so a comment says it.

use std::fmt::Write as _;

use super::cutting::{Job, Operation, Track};
use crate::geometry::{Contour, Curve, Point, Segment};
use crate::quantity::tolerance;

/// The layer's name: release 12 allows capitals, digits and `$ - _`.
pub fn layer(operation: Operation) -> &'static str {
    match operation {
        Operation::ScoreValley => "SCORE_VALLEY",
        Operation::ScoreMountain => "SCORE_MOUNTAIN",
        Operation::CutInside => "CUT_INSIDE",
        Operation::CutOutline => "CUT_OUTLINE",
    }
}

/// Index of the layer's colour in the standard palette of 255.
fn colour(operation: Operation) -> u8 {
    match operation {
        Operation::ScoreValley => 5,
        Operation::ScoreMountain => 6,
        Operation::CutInside => 3,
        Operation::CutOutline => 7,
    }
}

pub fn write(job: &Job) -> String {
    let mut file = Writer { text: String::new(), height: job.height };
    file.pair(999, "millimetres");
    file.header(job);
    file.tables();
    file.pair(0, "SECTION");
    file.pair(2, "ENTITIES");
    for (operation, track) in &job.tracks {
        match track {
            Track::Open(line) => file.line(layer(*operation), line),
            Track::Closed(contour) => file.closed(layer(*operation), contour),
        }
    }
    file.pair(0, "ENDSEC");
    file.pair(0, "EOF");
    file.text
}

struct Writer {
    text: String,
    /// Of the job: y is turned up about it.
    height: f64,
}

impl Writer {
    fn pair(&mut self, code: u16, value: &str) {
        // Writing to a string cannot fail.
        let _ = write!(self.text, "{code:>3}\r\n{value}\r\n");
    }

    fn real(&mut self, code: u16, value: f64) {
        let finite = if value.is_finite() { value } else { 0.0 };
        let text = format!("{finite:.6}");
        self.pair(code, if text == "-0.000000" { "0.000000" } else { &text });
    }

    fn point(&mut self, code: u16, p: Point) {
        self.real(code, p.x);
        self.real(code + 10, self.height - p.y);
    }

    fn header(&mut self, job: &Job) {
        self.pair(0, "SECTION");
        self.pair(2, "HEADER");
        self.pair(9, "$ACADVER");
        self.pair(1, "AC1009");
        for (name, x, y) in [("$EXTMIN", 0.0, 0.0), ("$EXTMAX", job.width, job.height)] {
            self.pair(9, name);
            self.real(10, x);
            self.real(20, y);
            self.real(30, 0.0);
        }
        for (name, x, y) in [("$LIMMIN", 0.0, 0.0), ("$LIMMAX", job.width, job.height)] {
            self.pair(9, name);
            self.real(10, x);
            self.real(20, y);
        }
        self.pair(0, "ENDSEC");
    }

    fn tables(&mut self) {
        self.pair(0, "SECTION");
        self.pair(2, "TABLES");
        self.pair(0, "TABLE");
        self.pair(2, "LTYPE");
        self.pair(70, "1");
        self.pair(0, "LTYPE");
        self.pair(2, "CONTINUOUS");
        self.pair(70, "64");
        self.pair(3, "Solid line");
        self.pair(72, "65");
        self.pair(73, "0");
        self.real(40, 0.0);
        self.pair(0, "ENDTAB");
        self.pair(0, "TABLE");
        self.pair(2, "LAYER");
        self.pair(70, &Operation::ALL.len().to_string());
        for operation in Operation::ALL {
            self.pair(0, "LAYER");
            self.pair(2, layer(operation));
            self.pair(70, "0");
            self.pair(62, &colour(operation).to_string());
            self.pair(6, "CONTINUOUS");
        }
        self.pair(0, "ENDTAB");
        self.pair(0, "ENDSEC");
    }

    fn entity(&mut self, kind: &str, layer: &str) {
        self.pair(0, kind);
        self.pair(8, layer);
    }

    fn line(&mut self, layer: &str, line: &Segment) {
        self.entity("LINE", layer);
        self.point(10, line.start);
        self.real(30, 0.0);
        self.point(11, line.end);
        self.real(31, 0.0);
    }

    fn closed(&mut self, layer: &str, contour: &Contour) {
        if let Some((centre, radius)) = circle(contour) {
            self.entity("CIRCLE", layer);
            self.point(10, centre);
            self.real(30, 0.0);
            self.real(40, radius);
            return;
        }
        self.entity("POLYLINE", layer);
        self.pair(66, "1");
        for code in [10, 20, 30] {
            self.real(code, 0.0);
        }
        // 1: closed.
        self.pair(70, "1");
        for (at, bulge) in vertices(contour) {
            self.entity("VERTEX", layer);
            self.point(10, at);
            self.real(30, 0.0);
            if bulge != 0.0 {
                self.real(42, bulge);
            }
        }
        self.entity("SEQEND", layer);
    }
}

/// Corners, each with the bulge of the segment that leaves it: the tangent of a quarter of the swept angle, positive
/// anticlockwise with y up, which is the negative of the contour's own. Béziers become chords.
fn vertices(contour: &Contour) -> Vec<(Point, f64)> {
    let mut all = Vec::new();
    for (from, curve) in contour.curves() {
        match curve {
            Curve::Line { .. } => all.push((from, 0.0)),
            Curve::Arc { bulge, .. } => all.push((from, -bulge)),
            Curve::Cubic { .. } => {
                let mut chords = vec![from];
                curve.flatten_into(from, tolerance::CHORD_MM, &mut chords);
                chords.pop();
                all.extend(chords.into_iter().map(|p| (p, 0.0)));
            }
        }
    }
    // The closing segment is implied: an end that repeats the start is left out.
    let mut kept: Vec<(Point, f64)> = Vec::with_capacity(all.len());
    for (at, bulge) in all {
        match kept.last_mut() {
            Some(last) if last.0.is_near(at, tolerance::COINCIDENT_MM / 10.0) => *last = (at, bulge),
            _ => kept.push((at, bulge)),
        }
    }
    kept
}

/// Centre and radius when every segment is an arc of one circle turning one way.
fn circle(contour: &Contour) -> Option<(Point, f64)> {
    let mut arcs = contour.curves().map(|(from, curve)| curve.arc_form(from));
    let first = arcs.next()??;
    let mut turned = first.sweep;
    for arc in arcs {
        let arc = arc?;
        let same = arc.centre.is_near(first.centre, tolerance::COINCIDENT_MM / 10.0)
            && (arc.radius - first.radius).abs() < tolerance::COINCIDENT_MM / 10.0
            && arc.sweep.signum() == first.sweep.signum();
        if !same {
            return None;
        }
        turned += arc.sweep;
    }
    ((turned.abs() - std::f64::consts::TAU).abs() < 1e-6).then_some((first.centre, first.radius))
}
