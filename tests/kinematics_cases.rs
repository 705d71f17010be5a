//! Runs every case of a kinematics check set (schema `card-kinematics-checks/1`) through the engine.
//!
//! `PLICA_CASES=FILE cargo test --test kinematics_cases -- --nocapture` runs another set of the same schema. The
//! set in `tests/data` was worked out independently of this project (closed forms, numeric closure, a physics
//! engine, exhaustive search; each case names its methods under `verified`). `kinematics_more.json` there holds cases of
//! the same schema that the set lacks: other numberings, partly decided creases, several pieces on one card, motions
//! that do not begin.
//!
//! The adapters beside this file turn a case into the engine's plain data and name the answers; every answer
//! itself comes from the engine.

#[path = "kinematics_cases/cards.rs"]
mod cards;
#[path = "kinematics_cases/compare.rs"]
mod compare;
#[path = "kinematics_cases/flat.rs"]
mod flat;
#[path = "kinematics_cases/formulas.rs"]
mod formulas;
#[path = "kinematics_cases/freedom.rs"]
mod freedom;
#[path = "kinematics_cases/sheets.rs"]
mod sheets;

use compare::{Judge, Tolerance};
use serde_json::Value;

/// Answers one case: the fields of `expected` as the engine finds them, or why it cannot.
fn answer(case: &Value) -> Result<Value, String> {
    let input = &case["input"];
    match case["category"].as_str().unwrap_or_default() {
        "vertex4" | "miura" | "mesh" => sheets::answer(input, &case["expected"]),
        "parallel_fold" => cards::parallel_fold(input),
        "v_fold" => cards::v_fold(input),
        "collision" => cards::collision(input),
        "closed_card_layers" => cards::closed_layers(input),
        "flat_fold" => flat::assigned(input),
        "flat_fold_unassigned" => flat::unassigned(input),
        "slider" => formulas::slider(input),
        "stability" => formulas::stability(input),
        "extra" => formulas::extra(input),
        "mobility" => freedom::answer(input),
        other => Err(format!("unknown category {other}")),
    }
}

/// The cases of a file.
fn read(path: &str) -> Value {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{path}: {e}"))
}

#[test]
fn every_case_of_the_set() {
    let data = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data");
    let sets: Vec<Value> = match std::env::var("PLICA_CASES") {
        Ok(path) => vec![read(&path)],
        Err(_) => ["public", "more"].map(|name| read(&format!("{data}/kinematics_{name}.json"))).into(),
    };
    let only = std::env::var("PLICA_CASE").unwrap_or_default();
    // The harness may have begun a line of its own.
    println!();
    let (mut passed, mut failed) = (0, 0);
    let cases = |set: &Value| set["cases"].as_array().cloned().expect("a set has cases");
    for (set, case) in sets.iter().flat_map(|set| cases(set).into_iter().map(move |case| (set, case))) {
        let id = case["id"].as_str().unwrap_or("?");
        if !only.is_empty() && !id.starts_with(&only) {
            continue;
        }
        let mut judge = Judge::new(Tolerance::of(&set["tolerance"], &case["tolerance"]));
        match answer(&case) {
            Ok(found) => judge.compare("", &case["expected"], &found),
            Err(reason) => judge.fail(reason),
        }
        if judge.faults.is_empty() {
            passed += 1;
        } else {
            failed += 1;
            println!("{id} {}: {}", case["category"].as_str().unwrap_or("?"), judge.summary());
        }
    }
    println!("{passed} passed, {failed} failed");
    assert_eq!(failed, 0, "cases failed, see above");
}
