//! Compares an answer with what a case expects, field by field, with the tolerances of the schema.

use serde_json::Value;

/// Allowed differences, by kind of quantity.
#[derive(Clone, Copy)]
pub struct Tolerance {
    pos_mm: f64,
    angle_deg: f64,
    ratio: f64,
    mass_g: f64,
    period_s: f64,
    near_pos_mm: f64,
    near_angle_deg: f64,
}

impl Tolerance {
    /// The set's tolerances, overridden by the case's own.
    pub fn of(set: &Value, case: &Value) -> Self {
        let pick = |key: &str, default: f64| case[key].as_f64().or(set[key].as_f64()).unwrap_or(default);
        let near = |key: &str| set["near_singular"][key].as_f64().unwrap_or(1e-2);
        Self {
            pos_mm: pick("pos_mm", 1e-4),
            angle_deg: pick("angle_deg", 1e-4),
            ratio: pick("ratio", 1e-6),
            mass_g: pick("mass_g", 1e-6),
            period_s: pick("period_s", 1e-6),
            near_pos_mm: near("pos_mm"),
            near_angle_deg: near("angle_deg"),
        }
    }

    fn for_field(&self, path: &str, near_singular: bool) -> f64 {
        let has = |words: &[&str]| words.iter().any(|w| path.contains(w));
        if has(&["ratio", "product"]) {
            self.ratio
        } else if has(&["mass_g"]) {
            self.mass_g
        } else if has(&["period_s"]) {
            self.period_s
        } else if has(&["_deg", "angle"]) {
            if near_singular { self.near_angle_deg.max(self.angle_deg) } else { self.angle_deg }
        } else if near_singular {
            self.near_pos_mm.max(self.pos_mm)
        } else {
            self.pos_mm
        }
    }
}

pub struct Judge {
    tolerance: Tolerance,
    near_singular: bool,
    pub faults: Vec<String>,
}

impl Judge {
    pub fn new(tolerance: Tolerance) -> Self {
        Self { tolerance, near_singular: false, faults: Vec::new() }
    }

    pub fn fail(&mut self, reason: String) {
        self.faults.push(reason);
    }

    pub fn summary(&self) -> String {
        let shown: Vec<_> = self.faults.iter().take(4).map(String::as_str).collect();
        let more = self.faults.len().saturating_sub(4);
        let rest = if more > 0 { format!("; and {more} more") } else { String::new() };
        shown.join("; ") + &rest
    }

    /// Every expected field must be answered; answers that were not asked for are ignored.
    pub fn compare(&mut self, path: &str, expected: &Value, found: &Value) {
        match (expected, found) {
            (Value::Object(wanted), Value::Object(given)) => {
                let outer = self.near_singular;
                self.near_singular |= is_near_singular(expected);
                // "rule" explains the other fields in prose.
                for (key, value) in wanted.iter().filter(|(key, _)| *key != "rule") {
                    let inner = format!("{path}.{key}");
                    match given.get(key) {
                        Some(answer) => self.compare(&inner, value, answer),
                        None => self.fail(format!("{inner} is not answered")),
                    }
                }
                self.near_singular = outer;
            }
            (Value::Array(wanted), Value::Array(given)) => {
                let (wanted, given) = (in_order(path, wanted), in_order(path, given));
                let given = if is_ring(path) { self.turned(&wanted, given) } else { given };
                if wanted.len() != given.len() {
                    return self.fail(format!("{path}: {} entries, expected {}", given.len(), wanted.len()));
                }
                for (index, (value, answer)) in wanted.iter().zip(&given).enumerate() {
                    self.compare(&format!("{path}[{index}]"), value, answer);
                }
            }
            (Value::Number(wanted), Value::Number(given)) => {
                let (wanted, given) =
                    (wanted.as_f64().unwrap_or(f64::NAN), given.as_f64().unwrap_or(f64::NAN));
                let allowed = self.tolerance.for_field(path, self.near_singular);
                let difference = (wanted - given).abs();
                // A difference that is not a number fails too.
                if difference.is_nan() || difference > allowed {
                    self.fail(format!("{path}: {given}, expected {wanted} ± {allowed}"));
                }
            }
            _ if expected == found => {}
            _ => self.fail(format!("{path}: {found}, expected {expected}")),
        }
    }

    /// A ring of corners or edges, begun where the expected one begins.
    fn turned(&self, wanted: &[Value], mut given: Vec<Value>) -> Vec<Value> {
        let agrees = |first: &Value| {
            let mut probe = Judge { tolerance: self.tolerance, near_singular: false, faults: Vec::new() };
            probe.compare("", &wanted[0], first);
            probe.faults.is_empty()
        };
        if let Some(start) = given.iter().position(|first| !wanted.is_empty() && agrees(first)) {
            given.rotate_left(start);
        }
        given
    }
}

fn is_ring(path: &str) -> bool {
    path.ends_with("support_polygon") || path.ends_with(".edges")
}

/// Within 2 degrees of flat, closed or fully folded, by the schema.
fn is_near_singular(state: &Value) -> bool {
    let near = |deg: f64| deg.abs() <= 2.0 || (deg.abs() - 180.0).abs() <= 2.0;
    let folds = state["fold_deg"].as_object().into_iter().flatten().filter_map(|(_, v)| v.as_f64());
    state["opening_deg"].as_f64().into_iter().chain(folds).any(near)
}

/// Lists that are sets come in any order.
fn in_order(path: &str, list: &[Value]) -> Vec<Value> {
    let mut list = list.to_vec();
    if path.ends_with("forced_above")
        || path.ends_with("points_outside")
        || path.ends_with("feasible_rigid_mv")
        || path.ends_with("order_bottom_to_top")
    {
        list.sort_by_key(ToString::to_string);
    }
    list
}
