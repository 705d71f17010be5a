//! Kinds of line in a grey print at half size: each is told from every other by its dashes, its weight or its grey alone.

use kurbo::{BezPath, Size};
use plica::drawing::{Drawing, LineKind, Mark, Part};
use plica::output::png;

/// What a net asks the maker to tell apart. A leader, an extension line and a dimension line are one to the eye and belong
/// together; so do the lines of pictures, which stand on no net.
const KINDS: [LineKind; 11] = [
    LineKind::Outline,
    LineKind::Cut,
    LineKind::PartialCut,
    LineKind::Perforation,
    LineKind::Valley,
    LineKind::Mountain,
    LineKind::Dimension,
    LineKind::Glue,
    LineKind::GlueBehind,
    LineKind::Position,
    LineKind::Centre,
];

/// Pixels to the mm of paper of an office printer (600 to the inch), and of the drawing at half size.
const PRINTER: f64 = 600.0 / 25.4;
const HALF: f64 = 0.5;
/// A fold of a small card.
const LONG_MM: f64 = 60.0;

/// How a line looks: ink across it, as mm of black; and the lengths of its dashes and gaps, in mm of the print.
#[derive(Debug)]
struct Look {
    weight: f64,
    dashes: Vec<f64>,
    gaps: Vec<f64>,
}

fn look(kind: LineKind) -> Look {
    let mut path = BezPath::new();
    path.move_to((5.0, 5.0));
    path.line_to((5.0 + LONG_MM, 5.0));
    let drawing = Drawing {
        title: "line".into(),
        size: Size::new(LONG_MM + 10.0, 10.0),
        parts: vec![Part { clip: None, marks: vec![Mark::line(kind, path)] }],
    };
    let raster = png::render(&drawing, PRINTER * HALF).unwrap();
    let width = raster.width as usize;
    // Ink in every column, in mm: one row of black pixels is a pixel's height of ink.
    let mut ink = vec![0.0; width];
    for (index, pixel) in raster.pixels.chunks(4).enumerate() {
        let [red, green, blue] = [pixel[0], pixel[1], pixel[2]].map(f64::from);
        ink[index % width] += (1.0 - (0.299 * red + 0.587 * green + 0.114 * blue) / 255.0) / PRINTER;
    }
    let heaviest = ink.iter().copied().fold(0.0, f64::max);
    let (mut dashes, mut gaps) = (Vec::new(), Vec::new());
    for run in ink.chunk_by(|a, b| (*a > heaviest / 2.0) == (*b > heaviest / 2.0)) {
        let length = run.len() as f64 / PRINTER;
        if run[0] > heaviest / 2.0 { dashes.push(length) } else { gaps.push(length) }
    }
    // The paper before and behind the line is no gap.
    gaps.remove(0);
    gaps.pop();
    Look { weight: heaviest, dashes, gaps }
}

/// What an eye at arm's length tells apart, 0.35 m away: a minute of arc is 0.1 mm.
const ARM_MM: f64 = 0.1;

/// Why two looks differ, if they do.
fn difference(a: &Look, b: &Look) -> Option<&'static str> {
    let sorted = |list: &[f64]| {
        let mut list = list.to_vec();
        list.sort_by(f64::total_cmp);
        list
    };
    let range = |list: &[f64]| {
        let list = sorted(list);
        (list.first().copied().unwrap_or(0.0), list.last().copied().unwrap_or(0.0))
    };
    let apart = |x: f64, y: f64| (x - y).abs() > 2.0 * ARM_MM && x.max(y) > 1.4 * x.min(y);
    let ((short, long), (other_short, other_long)) = (range(&a.dashes), range(&b.dashes));
    let ((narrow, wide), (other_narrow, other_wide)) = (range(&a.gaps), range(&b.gaps));
    if (a.dashes.len() == 1) != (b.dashes.len() == 1) {
        return Some("one is broken");
    }
    if apart(short, other_short) || apart(long, other_long) {
        return Some("dashes");
    }
    if apart(narrow, other_narrow) || apart(wide, other_wide) {
        return Some("gaps");
    }
    let dots = |look: &Look| {
        look.dashes.iter().filter(|d| **d < 2.0 * ARM_MM).count() as f64 / look.dashes.len() as f64
    };
    if (dots(a) - dots(b)).abs() > 0.12 {
        return Some("dots");
    }
    (a.weight.max(b.weight) > 1.25 * a.weight.min(b.weight)).then_some("weight")
}

#[test]
fn kinds_of_line_differ_in_a_grey_print_at_half_size() {
    let looks: Vec<(LineKind, Look)> = KINDS.into_iter().map(|kind| (kind, look(kind))).collect();
    let mut faults = String::new();
    for (n, (kind, look)) in looks.iter().enumerate() {
        for (other, theirs) in &looks[n + 1..] {
            if difference(look, theirs).is_none() {
                faults += &format!("{kind:?} looks like {other:?}: {look:?} {theirs:?}\n");
            }
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

/// No line is too thin to be seen, and no gap too short.
#[test]
fn lines_and_gaps_can_be_seen_at_half_size() {
    for kind in KINDS {
        let look = look(kind);
        assert!(look.weight >= 0.04, "{kind:?}: {}", look.weight);
        assert!(look.gaps.iter().all(|gap| *gap >= ARM_MM), "{kind:?}: {:?}", look.gaps);
    }
}

/// The comparison is no formality: a line looks like itself.
#[test]
fn a_line_does_not_differ_from_itself() {
    for kind in KINDS {
        assert_eq!(difference(&look(kind), &look(kind)), None);
    }
}
