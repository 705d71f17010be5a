//! Nesting of true outlines: the checker against planted faults, and published irregular strip sets.

use plica::geometry::{Isometry, Polygon, pt};
use plica::stock::plan::nest::{Bed, NestFault, NestViolation, Nesting, Shape, nest, verify_nesting};
use serde_json::Value;

fn square(side: f64, qty: u32) -> Shape {
    let outline = Polygon::simple(vec![pt(0.0, 0.0), pt(side, 0.0), pt(side, side), pt(0.0, side)]);
    Shape { outline, qty, turns_deg: vec![0.0] }
}

#[test]
fn nesting_uses_the_windows_of_frames() {
    let bed = Bed { w: 110.0, h: 110.0, margin: 2.0, gap: 1.0, cell: 1.0 };
    let ring = |from: f64, to: f64| vec![pt(from, from), pt(to, from), pt(to, to), pt(from, to)];
    let frame = Polygon::new(ring(0.0, 100.0), vec![ring(20.0, 80.0)]);
    let shapes = [Shape { outline: frame, qty: 1, turns_deg: vec![0.0] }, square(50.0, 1)];
    let nesting = nest(&bed, &shapes, 4).expect("a nesting");
    assert_eq!(nesting.sheets.len(), 1);
}

#[test]
fn nesting_checker_sees_planted_faults() {
    let bed = Bed { w: 100.0, h: 100.0, margin: 0.0, gap: 2.0, cell: 1.0 };
    let shapes = [square(20.0, 6)];
    let good = nest(&bed, &shapes, 2).expect("a nesting");
    assert_eq!(verify_nesting(&bed, &shapes, &good), Ok(()));
    let moved = |by: f64| {
        let mut bad: Nesting = good.clone();
        let origin = bad.sheets[0][1].motion.origin();
        let to = good.sheets[0][0].motion.origin() + pt(by, 0.0);
        let shift = Isometry::translation(to - origin);
        bad.sheets[0][1].motion = bad.sheets[0][1].motion.then(&shift);
        verify_nesting(&bed, &shapes, &bad)
    };
    let near = Err(NestViolation::TooNear { sheet: 0, first: 0, second: 1 });
    assert_eq!((moved(19.0), moved(21.0)), (near.clone(), near));
    let missing = verify_nesting(&bed, &[square(20.0, 7)], &good);
    assert_eq!(missing, Err(NestViolation::Quantity { shape: 0, wanted: 7, laid: 6 }));
    assert_eq!(nest(&bed, &[square(101.0, 1)], 1), Err(NestFault::TooLarge { shape: 0 }));
}

/// The smaller irregular strip sets of the folder: laid, checked, and the length printed beside the record of J. Gardeyn,
/// G. Vanden Berghe, T. Wauters (arXiv 2509.13329). Lengths must not be below the record (it would be a mistake of ours
/// or a new record: either is worth a look) nor worse than what was measured.
#[test]
fn irregular_strips() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/packing/irregular_esicup.json");
    let text = std::fs::read_to_string(path).expect("the file of irregular sets");
    let family: Value = serde_json::from_str(&text).expect("JSON");
    let mut excess = Vec::new();
    for instance in family["instances"].as_array().expect("instances") {
        let items = instance["items"].as_array().expect("items");
        let total: u64 = items.iter().map(|item| item["qty"].as_u64().unwrap_or(1)).sum();
        if total > 30 {
            println!("skipped {}: {total} shapes", instance["name"]);
            continue;
        }
        let number = |value: &Value| value.as_f64().expect("a number");
        let shape = |item: &Value| Shape {
            outline: Polygon::simple(
                item["polygon"]
                    .as_array()
                    .expect("a polygon")
                    .iter()
                    .map(|p| pt(number(&p[0]), number(&p[1])))
                    .collect(),
            ),
            qty: item["qty"].as_u64().unwrap_or(1) as u32,
            turns_deg: item["allowed_rotations_deg"]
                .as_array()
                .expect("rotations")
                .iter()
                .map(number)
                .collect(),
        };
        let shapes: Vec<Shape> = items.iter().map(shape).collect();
        let record = number(&instance["best_known"]["length"]);
        let width = number(&instance["strip_height"]);
        // Scaled to a strip 200 mm wide, which is laid along the height of the bed.
        let scale = 200.0 / width;
        let scaled: Vec<Shape> = shapes.iter().map(|shape| turned_and_scaled(shape, scale)).collect();
        let bed = Bed { w: 200.0, h: record * scale * 2.0, margin: 0.0, gap: 0.0, cell: 0.5 };
        let nesting = nest(&bed, &scaled, 8).expect("a nesting");
        assert_eq!(nesting.sheets.len(), 1);
        let length = nesting.used_h / scale;
        println!(
            "{}: length {length:.1}, record {record:.1}, {:+.0} %",
            instance["name"],
            100.0 * (length / record - 1.0)
        );
        assert!(length > record * 0.999, "{} below the record", instance["name"]);
        excess.push(length / record - 1.0);
    }
    let mean = excess.iter().sum::<f64>() / excess.len() as f64;
    println!("irregular strips: mean excess {:.1} % over {} sets", 100.0 * mean, excess.len());
    assert!(mean < 0.17, "mean excess {mean}");
}

/// The strip of the files grows to the right; the bed is filled downwards: x and y change places.
fn turned_and_scaled(shape: &Shape, scale: f64) -> Shape {
    let outline = Polygon::simple(shape.outline.outer.iter().map(|p| pt(p.y * scale, p.x * scale)).collect());
    Shape { outline, ..shape.clone() }
}
