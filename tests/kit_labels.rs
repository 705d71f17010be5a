//! Readings and names keep clear of lines and of one another, for whatever readings a design has.

mod kit_sample;

use kit_sample::{blank_marks, blank_readings, crowded, crowded_readings, names, segment};
use kurbo::{Point, Rect, Shape};
use plica::drawing::clearance::Clearance;
use plica::drawing::dimension::{self, Reading, Side, Style};
use plica::drawing::label::{self, Name};
use plica::drawing::{Ink, LineKind, Mark, curve};
use plica::geometry::{self, Polygon};
use plica::output::font;
use proptest::prelude::*;

const PIECE: Rect = Rect::new(0.0, 0.0, 160.0, 100.0);

/// Whether a point lies inside a convex quadrilateral, by a margin.
fn inside(point: Point, corners: &[Point; 4], margin: f64) -> bool {
    let turn = |index: usize| {
        let (from, to) = (corners[index], corners[(index + 1) % 4]);
        (to - from).normalize().cross(point - from)
    };
    (0..4).all(|index| turn(index) > margin)
}

fn text_boxes(marks: &[Mark]) -> Vec<(String, [Point; 4])> {
    marks
        .iter()
        .filter_map(|mark| match &mark.ink {
            Ink::Text(text) => Some((text.content().to_owned(), text.corners(font::typeface()))),
            _ => None,
        })
        .collect()
}

fn segments(marks: &[Mark]) -> Vec<(Point, Point)> {
    let paths = marks.iter().filter_map(|mark| match &mark.ink {
        Ink::Line { path, .. } => Some(path),
        _ => None,
    });
    paths.flat_map(|path| curve::edges(path, 0.01)).collect()
}

/// A point of the segment inside the box, looked for every tenth of a millimetre.
fn point_inside(from: Point, to: Point, corners: &[Point; 4]) -> Option<Point> {
    let bounds = |points: &[Point]| {
        points
            .iter()
            .fold(Rect::from_points(points[0], points[0]), |rect, point| rect.union_pt(*point))
            .inflate(0.1, 0.1)
    };
    if bounds(&[from, to]).intersect(bounds(corners)).is_zero_area() {
        return None;
    }
    let count = (from.distance(to) / 0.1).ceil().max(1.0) as usize;
    (0..=count)
        .map(|index| from.lerp(to, index as f64 / count as f64))
        .find(|point| inside(*point, corners, 0.02))
}

/// The fault found, if any: a text over a line, or over another text.
fn overlap(marks: &[Mark]) -> Option<String> {
    let boxes = text_boxes(marks);
    let segments = segments(marks);
    for (index, (text, corners)) in boxes.iter().enumerate() {
        if let Some(point) = segments.iter().find_map(|(from, to)| point_inside(*from, *to, corners)) {
            return Some(format!("{text:?} lies on a line at {point:?}"));
        }
        for (other_text, other) in &boxes[index + 1..] {
            let grid =
                (0..=20).flat_map(|i| (0..=20).map(move |j| (f64::from(i) / 20.0, f64::from(j) / 20.0)));
            let meets = grid
                .map(|(u, v)| other[0].lerp(other[1], u).lerp(other[3].lerp(other[2], u), v))
                .any(|point| inside(point, corners, 0.02));
            if meets {
                return Some(format!("{text:?} lies on {other_text:?}"));
            }
        }
    }
    None
}

fn dimensioned(readings: &[Reading]) -> Vec<Mark> {
    let mut marks = blank_marks();
    let mut taken = Clearance::of(&marks, font::typeface());
    let added = dimension::dimension(PIECE, readings, Style::default(), &mut taken, font::typeface());
    marks.extend(added);
    marks.extend(label::place_names(&names(), &mut taken, font::typeface()));
    marks
}

#[test]
fn the_overlap_test_finds_overlaps() {
    let mut marks = dimensioned(&blank_readings());
    marks.push(Mark::line(LineKind::Cut, segment(0.0, -200.0, 160.0, 300.0)));
    marks.push(Mark::line(LineKind::Cut, segment(-50.0, 50.0, 300.0, 50.0)));
    assert!(overlap(&marks).is_some());
}

#[test]
fn readings_and_names_keep_clear_of_everything() {
    let marks = dimensioned(&blank_readings());
    assert_eq!(overlap(&marks), None);
    let shown: Vec<String> = text_boxes(&marks).into_iter().map(|(text, _)| text).collect();
    for reading in blank_readings() {
        assert!(shown.contains(&reading.text), "{} is not shown", reading.text);
    }
    for name in names() {
        assert!(shown.contains(&name.text), "{} is not shown", name.text);
    }
}

#[test]
fn crowded_readings_keep_clear_of_one_another() {
    let marks = crowded().marks;
    assert_eq!(overlap(&marks), None);
    assert_eq!(text_boxes(&marks).len(), crowded_readings().len());
}

/// The outermost dimension line of four nested spans stays within four levels of the piece.
#[test]
fn nested_readings_stack_without_waste() {
    let readings: Vec<Reading> =
        blank_readings().into_iter().filter(|reading| reading.side == Side::Top).collect();
    let mut taken = Clearance::default();
    let marks = dimension::dimension(PIECE, &readings, Style::default(), &mut taken, font::typeface());
    let top = marks.iter().map(|mark| mark.bounds(font::typeface()).y0).fold(0.0, f64::min);
    let style = Style::default();
    assert!(-top <= style.first + 3.0 * style.pitch + 4.5, "{top}");
}

#[test]
fn dimension_lines_show_the_distance_they_state() {
    let readings = [Reading {
        side: Side::Bottom,
        datum: Point::new(10.0, 100.0),
        feature: Point::new(70.0, 80.0),
        text: "60 mm".to_owned(),
    }];
    let marks =
        dimension::dimension(PIECE, &readings, Style::default(), &mut Clearance::default(), font::typeface());
    let drawn = marks.iter().any(|mark| match &mark.ink {
        Ink::Line { path, kind: LineKind::Dimension } => {
            let bounds = path.bounding_box();
            (bounds.width() - 60.0).abs() < 1e-9 && bounds.height() < 1e-9 && bounds.y0 > 100.0
        }
        _ => false,
    });
    assert!(drawn);
}

#[test]
fn a_name_stands_in_the_middle_of_an_empty_panel() {
    let area = Polygon::rectangle(geometry::Rect::new(0.0, 0.0, 40.0, 100.0));
    let name = Name { text: "wing".to_owned(), area };
    let text = label::inside(&name, &Clearance::default(), font::typeface()).unwrap();
    let corners = text.corners(font::typeface());
    let middle = corners[0].midpoint(corners[2]);
    assert!(middle.distance(Point::new(20.0, 50.0)) < 1.0, "{middle:?}");
}

#[test]
fn a_name_too_long_for_its_panel_is_led_out() {
    let area = Polygon::rectangle(geometry::Rect::new(0.0, 0.0, 6.0, 6.0));
    let marks = vec![Mark::line(LineKind::Outline, curve::region(&area))];
    let mut taken = Clearance::of(&marks, font::typeface());
    let name = Name { text: "hinge of the lid".to_owned(), area };
    let placed = label::place_names(&[name], &mut taken, font::typeface());
    assert!(placed.iter().any(|mark| matches!(mark.ink, Ink::Line { kind: LineKind::Leader, .. })));
    let text = text_boxes(&placed);
    assert_eq!(text.len(), 1);
    assert_eq!(overlap(&[marks, placed].concat()), None);
}

fn any_reading() -> impl Strategy<Value = Reading> {
    let side = prop_oneof![Just(Side::Top), Just(Side::Bottom), Just(Side::Left), Just(Side::Right)];
    (side, any::<bool>(), 0.02_f64..0.98, 0.0_f64..1.0, prop_oneof![Just(" mm"), Just(" 15/16 in")]).prop_map(
        |(side, from_far_edge, along, depth, unit)| {
            let share = |share: f64, low: f64, high: f64| low + share * (high - low);
            let edge = if from_far_edge { 1.0 } else { 0.0 };
            let point = |along: f64, depth: f64| match side {
                Side::Top | Side::Bottom => {
                    Point::new(share(along, PIECE.x0, PIECE.x1), share(depth, PIECE.y0, PIECE.y1))
                }
                Side::Left | Side::Right => {
                    Point::new(share(depth, PIECE.x0, PIECE.x1), share(along, PIECE.y0, PIECE.y1))
                }
            };
            let on_edge = if matches!(side, Side::Top | Side::Left) { 0.0 } else { 1.0 };
            let (datum, feature) = (point(edge, on_edge), point(along, depth));
            let distance = match side {
                Side::Top | Side::Bottom => (datum.x - feature.x).abs(),
                Side::Left | Side::Right => (datum.y - feature.y).abs(),
            };
            Reading { side, datum, feature, text: format!("{distance:.1}{unit}") }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Any handful of readings from either edge: every one is shown, and none lies on a line or on another.
    #[test]
    fn any_readings_keep_clear(readings in prop::collection::vec(any_reading(), 1..14)) {
        let marks = dimensioned(&readings);
        prop_assert_eq!(overlap(&marks), None);
        let shown = text_boxes(&marks).len();
        prop_assert_eq!(shown, readings.len() + names().len());
    }
}
