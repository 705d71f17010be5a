//! A piece drawn by hand for the kit tests: a panelled blank with slots, glue, folds of both kinds, readings and names.
#![allow(dead_code)] // Each test file uses its own part of the sample.

use kurbo::{BezPath, Point, Rect};
use plica::drawing::clearance::Clearance;
use plica::drawing::dimension::{self, Reading, Side, Style};
use plica::drawing::label::{self, Name};
use plica::drawing::{Figure, LineKind, Mark, curve, hatch};
use plica::geometry::{self, Contour, Outline};
use plica::output::font;

pub fn segment(x0: f64, y0: f64, x1: f64, y1: f64) -> BezPath {
    curve::segment(Point::new(x0, y0), Point::new(x1, y1))
}

/// A reading along the top or the bottom (x) or the left or the right (y), from `from` to `to`.
pub fn reading(side: Side, from: Point, to: Point, text: &str) -> Reading {
    Reading { side, datum: from, feature: to, text: text.to_owned() }
}

/// The blank of a small stage: 160 × 100 mm.
pub fn blank_marks() -> Vec<Mark> {
    let mut marks = vec![Mark::line(LineKind::Outline, curve::rectangle(Rect::new(0.0, 0.0, 160.0, 100.0)))];
    marks.push(Mark::line(LineKind::Valley, segment(40.0, 0.0, 40.0, 100.0)));
    marks.push(Mark::line(LineKind::Mountain, segment(80.0, 0.0, 80.0, 100.0)));
    marks.push(Mark::line(LineKind::Valley, segment(120.0, 0.0, 120.0, 100.0)));
    marks.push(Mark::line(LineKind::Mountain, segment(150.0, 0.0, 150.0, 100.0)));
    marks.push(Mark::line(LineKind::Cut, curve::rectangle(Rect::new(55.0, 20.0, 58.0, 70.0))));
    marks.push(Mark::line(LineKind::Cut, curve::circle(Point::new(100.0, 50.0), 12.0)));
    marks.push(Mark::line(LineKind::PartialCut, segment(85.0, 90.0, 115.0, 90.0)));
    marks.push(Mark::line(LineKind::Perforation, segment(5.0, 85.0, 35.0, 85.0)));
    marks.push(Mark::line(LineKind::Centre, segment(100.0, 33.0, 100.0, 67.0)));
    let glue = curve::rectangle(Rect::new(151.0, 1.0, 159.0, 99.0));
    marks.push(Mark::line(LineKind::Glue, hatch::hatch(&glue, 45.0, 2.0)));
    marks
}

pub fn blank_readings() -> Vec<Reading> {
    let at = |x: f64, y: f64| Point::new(x, y);
    vec![
        reading(Side::Top, at(0.0, 0.0), at(40.0, 0.0), "40 mm"),
        reading(Side::Top, at(0.0, 0.0), at(80.0, 0.0), "80 mm"),
        reading(Side::Top, at(0.0, 0.0), at(120.0, 0.0), "120 mm"),
        reading(Side::Top, at(0.0, 0.0), at(150.0, 0.0), "150 mm"),
        reading(Side::Bottom, at(0.0, 100.0), at(160.0, 100.0), "160 mm"),
        reading(Side::Bottom, at(40.0, 100.0), at(55.0, 70.0), "15 mm"),
        reading(Side::Bottom, at(55.0, 70.0), at(58.0, 70.0), "3 mm"),
        reading(Side::Bottom, at(80.0, 100.0), at(100.0, 62.0), "20 mm"),
        reading(Side::Bottom, at(160.0, 100.0), at(150.0, 100.0), "10 mm"),
        reading(Side::Left, at(0.0, 0.0), at(0.0, 100.0), "100 mm"),
        reading(Side::Left, at(0.0, 0.0), at(5.0, 85.0), "85 mm"),
        reading(Side::Right, at(160.0, 0.0), at(58.0, 20.0), "20 mm"),
        reading(Side::Right, at(160.0, 0.0), at(58.0, 70.0), "70 mm"),
        reading(Side::Right, at(160.0, 0.0), at(112.0, 50.0), "50 mm"),
    ]
}

/// The panels' names; a panel's area leaves out its slot or its hole.
pub fn names() -> Vec<Name> {
    let rectangle = |x0: f64, y0: f64, x1: f64, y1: f64| geometry::Rect::new(x0, y0, x1 - x0, y1 - y0);
    let panel = |text: &str, x0: f64, x1: f64, hole: Option<Contour>| {
        let mut outline = Outline::from(Contour::rectangle(rectangle(x0, 0.0, x1, 100.0)));
        outline.holes.extend(hole);
        Name { text: text.to_owned(), area: outline.flatten(0.1) }
    };
    let slot = Contour::rectangle(rectangle(55.0, 20.0, 58.0, 70.0));
    vec![
        panel("left wing", 0.0, 40.0, None),
        panel("track", 40.0, 80.0, Some(slot)),
        panel("moon", 80.0, 120.0, Some(Contour::circle(geometry::pt(100.0, 50.0), 12.0))),
        panel("right wing", 120.0, 150.0, None),
    ]
}

/// The blank with its readings and names.
pub fn blank(title: &str) -> Figure {
    let typeface = font::typeface();
    let mut marks = blank_marks();
    let mut taken = Clearance::of(&marks, typeface);
    let piece = Rect::new(0.0, 0.0, 160.0, 100.0);
    marks.extend(dimension::dimension(piece, &blank_readings(), Style::default(), &mut taken, typeface));
    marks.extend(label::place_names(&names(), &mut taken, typeface));
    Figure::around(title, marks, 2.0, typeface)
}

/// A poster of 380 × 300 mm with a wave across it: larger than any page.
pub fn poster() -> Figure {
    let mut wave = BezPath::new();
    wave.move_to((0.0, 150.0));
    for index in 0..4 {
        let x = 95.0 * f64::from(index);
        wave.curve_to((x + 30.0, 60.0), (x + 65.0, 240.0), (x + 95.0, 150.0));
    }
    let marks = vec![
        Mark::line(LineKind::Outline, curve::rectangle(Rect::new(0.0, 0.0, 380.0, 300.0))),
        Mark::line(LineKind::Valley, segment(190.0, 0.0, 190.0, 300.0)),
        Mark::line(LineKind::Cut, wave),
    ];
    Figure::around("Sea wall", marks, 1.0, font::typeface())
}

/// A small leaf.
pub fn leaf(number: usize) -> Figure {
    let mut path = BezPath::new();
    path.move_to((0.0, 20.0));
    path.curve_to((10.0, 0.0), (30.0, 0.0), (40.0, 20.0));
    path.curve_to((30.0, 40.0), (10.0, 40.0), (0.0, 20.0));
    path.close_path();
    let marks = vec![
        Mark::line(LineKind::Outline, path),
        Mark::line(LineKind::Mountain, segment(0.0, 20.0, 40.0, 20.0)),
    ];
    Figure::around(&format!("Leaf {number}"), marks, 1.0, font::typeface())
}

/// Readings close together, from both ends of an edge, in long fractions.
pub fn crowded_readings() -> Vec<Reading> {
    let from_left = [4.0, 6.5, 9.0, 13.0, 17.0, 90.0].map(|x| (0.0, x));
    let from_right = [157.0, 153.0, 148.0, 95.0].map(|x| (160.0, x));
    let between = [(80.0, 83.0), (83.0, 88.0)];
    let spans = from_left.into_iter().chain(from_right).chain(between);
    spans
        .map(|(from, to): (f64, f64)| {
            let sixteenths = ((to - from).abs() / 25.4 * 16.0).round() as i64;
            let text = format!("{} {}/16 in", sixteenths / 16, sixteenths % 16);
            reading(Side::Top, Point::new(from, 0.0), Point::new(to, 20.0), &text)
        })
        .collect()
}

pub fn crowded() -> Figure {
    let typeface = font::typeface();
    let mut marks = vec![Mark::line(LineKind::Outline, curve::rectangle(Rect::new(0.0, 0.0, 160.0, 100.0)))];
    let mut taken = Clearance::of(&marks, typeface);
    let piece = Rect::new(0.0, 0.0, 160.0, 100.0);
    marks.extend(dimension::dimension(piece, &crowded_readings(), Style::default(), &mut taken, typeface));
    Figure::around("Crowded", marks, 2.0, typeface)
}
