//! `model.json` of every example against its published JSON Schema, and against the assembly it was written from.

mod made;

use made::{EXAMPLES, Made};
use plica::output::model;
use serde_json::Value;

fn schema() -> Value {
    serde_json::from_str(model::SCHEMA).unwrap()
}

fn written(made: &Made) -> Value {
    serde_json::from_slice(&made.files["model.json"]).unwrap()
}

#[test]
fn the_schema_follows_the_draft_it_names() {
    jsonschema::meta::validate(&schema()).unwrap();
}

#[test]
fn every_model_follows_the_schema() {
    let validator = jsonschema::validator_for(&schema()).unwrap();
    for (name, made) in EXAMPLES.iter() {
        let faults: Vec<String> = validator
            .iter_errors(&written(made))
            .map(|error| format!("{name}: {}: {error}", error.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
    }
}

#[test]
fn a_model_with_a_fault_does_not_follow_the_schema() {
    let validator = jsonschema::validator_for(&schema()).unwrap();
    let model = written(&EXAMPLES["lighthouse"]);
    for key in ["format", "pieces", "panels", "joints", "poses"] {
        let mut without = model.clone();
        without.as_object_mut().unwrap().remove(key);
        assert!(!validator.is_valid(&without), "{key} may be left out");
        let mut wrong = model.clone();
        wrong[key] = Value::from(7);
        assert!(!validator.is_valid(&wrong), "{key} may be a number");
    }
}

/// Panels and joints are named by their place in the lists: every number points into its list.
#[test]
fn numbers_point_into_their_lists() {
    for (name, made) in EXAMPLES.iter() {
        let model = written(made);
        let count = |key: &str| model[key].as_array().unwrap().len() as u64;
        let (panels, joints) = (count("panels"), count("joints"));
        for joint in model["joints"].as_array().unwrap() {
            assert!(joint["a"].as_u64().unwrap() < panels && joint["b"].as_u64().unwrap() < panels, "{name}");
        }
        for pose in model["poses"].as_array().unwrap() {
            for value in pose["values"].as_array().unwrap() {
                assert!(value["joint"].as_u64().unwrap() < joints, "{name}");
            }
        }
        let named: Vec<u64> = model["pieces"]
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|piece| piece["panels"].as_array().unwrap())
            .map(|panel| panel.as_u64().unwrap())
            .collect();
        let mut sorted = named.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (0..panels).collect::<Vec<u64>>(), "{name}: every panel belongs to one piece");
    }
}

/// Shoelace formula on the written areas: no panel is larger than its piece's box, and together they are the piece.
#[test]
fn panels_fill_their_pieces() {
    let shoelace = |ring: &Value| -> f64 {
        let points: Vec<(f64, f64)> = ring
            .as_array()
            .unwrap()
            .iter()
            .map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap()))
            .collect();
        let next = points.iter().cycle().skip(1);
        (points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0).abs()
    };
    for (name, made) in EXAMPLES.iter() {
        let model = written(made);
        for (piece, known) in model["pieces"].as_array().unwrap().iter().zip(&made.compiled.assembly.pieces) {
            let total: f64 = piece["panels"]
                .as_array()
                .unwrap()
                .iter()
                .map(|id| &model["panels"][id.as_u64().unwrap() as usize]["area"])
                .map(|area| {
                    let holes: f64 = area["holes"].as_array().unwrap().iter().map(shoelace).sum();
                    shoelace(&area["outer"]) - holes
                })
                .sum();
            let of_piece = known.polygon.area();
            assert!(
                (total - of_piece).abs() < 0.01 + 1e-4 * of_piece,
                "{name}: {} {total} {of_piece}",
                known.name
            );
        }
    }
}
