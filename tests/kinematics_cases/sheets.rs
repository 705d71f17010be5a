//! Creased sheets: single vertices, Miura patches, twists.

use plica::motion::{FaultKind, Fold, JointId, Linkage, Pose, Sheet, State, Stop, Vec3};
use serde_json::{Map, Value, json};

/// A creased sheet with the names its case uses.
pub struct Named {
    pub sheet: Sheet,
    pub names: Vec<String>,
    pub fixed_face: usize,
}

pub fn read(input: &Value) -> Result<Named, String> {
    let index = |v: &Value| v.as_u64().map(|n| n as usize).ok_or("an index is not a number");
    let pair = |v: &Value| Ok::<_, &str>([index(&v[0])?, index(&v[1])?]);
    let list = |v: &Value| v.as_array().cloned().unwrap_or_default();
    let mut sheet = Sheet::default();
    for vertex in list(&input["vertices"]) {
        sheet.vertices.push([vertex[0].as_f64().ok_or("x")?, vertex[1].as_f64().ok_or("y")?]);
    }
    for face in list(&input["faces"]) {
        sheet.faces.push(list(&face).iter().map(index).collect::<Result<_, _>>()?);
    }
    let mut names = Vec::new();
    for crease in list(&input["creases"]) {
        let fold = match crease["mv"].as_str() {
            Some("V") => Fold::Valley,
            Some("M") => Fold::Mountain,
            _ => Fold::Either,
        };
        let (ends, faces) = (pair(&crease["v"])?, pair(&crease["faces"])?);
        sheet.creases.push(plica::motion::Crease { ends, faces, fold });
        names.push(crease["id"].as_str().unwrap_or_default().to_owned());
    }
    Ok(Named { sheet, names, fixed_face: index(&input["fixed_face"]).unwrap_or(0) })
}

impl Named {
    pub fn linkage(&self) -> Result<Linkage, String> {
        self.sheet.linkage(self.fixed_face).map_err(|f| format!("crease {} does not fit", f.crease))
    }

    pub fn crease(&self, name: &str) -> Result<JointId, String> {
        self.names.iter().position(|n| n == name).map(JointId).ok_or(format!("no crease {name}"))
    }

    pub fn folds(&self, values: &[f64]) -> Value {
        self.names.iter().cloned().zip(values.iter().map(|&v| json!(v))).collect::<Map<_, _>>().into()
    }

    /// Every vertex in space, from the first face that has it.
    pub fn vertices(&self, pose: &Pose) -> Vec<[f64; 3]> {
        let place = |v: usize| {
            let face = self.sheet.faces.iter().position(|f| f.contains(&v)).unwrap_or(0);
            pose.bodies[face].place(self.sheet.vertices[v])
        };
        (0..self.sheet.vertices.len()).map(place).collect()
    }
}

pub fn answer(input: &Value, asked: &Value) -> Result<Value, String> {
    let named = read(input)?;
    let linkage = named.linkage()?;
    let driver = match input["driver"].as_str() {
        Some(name) => named.crease(name)?,
        None => JointId(0),
    };
    let flat = linkage.rest();
    let mut answer = Map::new();

    let (mut states, locked) = states(input, &named, &linkage, driver)?;
    if input["params"]["gamma_deg"].is_number() {
        cells(&named, &input["params"], &mut states);
    }
    answer.insert("states".into(), states.clone().into());
    answer.insert("rigid_foldable_with_given_mv".into(), (!locked).into());
    answer.insert("rigid_foldable".into(), (!locked).into());
    answer.insert("locked_at_flat".into(), locked.into());
    if asked["dof"].is_number()
        && let Some(freedom) = linkage.free_motions()
    {
        answer.insert("dof".into(), freedom.nullity.into());
    }

    let stars = named.sheet.stars();
    if let [star] = &stars[..] {
        answer.insert("sector_angles_deg".into(), json!(star.sectors));
        if asked["feasible_rigid_mv"].is_array() {
            answer.insert("feasible_rigid_mv".into(), feasible(&named)?.into());
        }
        answer.insert("half_angle_ratio_to_c1".into(), ratios(&named, &states));
    }
    // The whole motion is followed only for a case that asks where it ends.
    if !locked && asked["motion_limit"].is_object() {
        let sign = if named.sheet.creases[driver.0].fold == Fold::Mountain { -1.0 } else { 1.0 };
        let (path, end) = linkage.sweep(driver, &flat, 180.0 * sign).map_err(|f| format!("{f:?}"))?;
        let crosses = self_intersects(&linkage, driver, &path)?;
        answer.insert("motion_limit".into(), limit(&named, &path, end.stop, crosses));
    }
    super::flat::verdicts(&named, &mut answer);
    // The product farthest from 1 decides whether the mesh folds rigidly.
    let products = named.sheet.loop_products();
    let farthest = products.iter().map(|p| p.1).max_by(|p, q| p.ln().abs().total_cmp(&q.ln().abs()));
    answer.insert("loop_multiplier_product".into(), json!(farthest));
    Ok(answer.into())
}

/// Creases that fold less than this while the driver folds by a degree stay flat.
const AT_REST_DEG: f64 = 1e-6;

fn states(
    input: &Value,
    named: &Named,
    linkage: &Linkage,
    driver: JointId,
) -> Result<(Vec<Value>, bool), String> {
    let flat = linkage.rest();
    let values: Vec<f64> =
        input["driver_values_deg"].as_array().into_iter().flatten().filter_map(Value::as_f64).collect();
    let first = values.iter().copied().find(|v| *v != 0.0).unwrap_or(1.0);
    let sign = match named.sheet.creases[driver.0].fold {
        Fold::Mountain => -1.0,
        Fold::Valley => 1.0,
        Fold::Either => first.signum(),
    };
    // A small fold tells whether the sheet moves at all, and whether every crease that has a direction takes part.
    match linkage.pose(&[(driver, sign)], &flat) {
        Ok(pose) => {
            let mut folds = named.sheet.creases.iter().zip(&pose.values);
            if folds.any(|(crease, value)| crease.fold != Fold::Either && value.abs() < AT_REST_DEG) {
                return Ok((Vec::new(), true));
            }
        }
        // Where other creases run to their ends before the driver has folded by a degree, it is locked as well.
        Err(fault)
            if matches!(fault.kind, FaultKind::Locked { .. } | FaultKind::Stopped(Stop::JointEnd { .. })) =>
        {
            return Ok((Vec::new(), true));
        }
        Err(fault) => return Err(format!("{fault:?}")),
    }
    let mut states = Vec::new();
    for value in values {
        let pose = linkage.pose(&[(driver, value)], &flat).map_err(|f| format!("at {value}: {f:?}"))?;
        states.push(json!({
            "driver_deg": value,
            "fold_deg": named.folds(&pose.values),
            "xyz": named.vertices(&pose),
        }));
    }
    Ok((states, false))
}

/// The direction patterns that leave the flat state, each asked of the engine.
fn feasible(named: &Named) -> Result<Vec<String>, String> {
    let count = named.sheet.creases.len();
    let mut found = Vec::new();
    for pattern in 0..1u32 << count {
        let mut sheet = named.sheet.clone();
        let mut word = String::new();
        for (k, crease) in sheet.creases.iter_mut().enumerate() {
            let valley = pattern >> k & 1 == 1;
            crease.fold = if valley { Fold::Valley } else { Fold::Mountain };
            word.push(if valley { 'V' } else { 'M' });
        }
        let linkage = sheet.linkage(named.fixed_face).map_err(|f| format!("{f:?}"))?;
        let first = if pattern & 1 == 1 { 1.0 } else { -1.0 };
        if linkage.leaves(JointId(0), first, &linkage.rest()) {
            found.push(word);
        }
    }
    found.sort();
    Ok(found)
}

fn ratios(named: &Named, states: &[Value]) -> Value {
    let half = |state: &Value, name: &str| {
        let deg = state["fold_deg"][name].as_f64().unwrap_or(f64::NAN);
        (deg / 2.0).to_radians().tan()
    };
    let Some(middle) = states.get(states.len() / 2) else { return Value::Null };
    let first = half(middle, &named.names[0]);
    named.names.iter().map(|n| (n.clone(), json!(half(middle, n) / first))).collect::<Map<_, _>>().into()
}

fn limit(named: &Named, path: &[State], stop: Stop, crosses: bool) -> Value {
    let last = path.last().map(|s| s.values.clone()).unwrap_or_default();
    let full: Vec<usize> = (0..last.len()).filter(|&k| last[k].abs() > 180.0 - 1e-2).collect();
    let first = if full.len() == last.len() {
        "all".to_owned()
    } else {
        full.iter().map(|&k| named.names[k].as_str()).collect::<Vec<_>>().join("+")
    };
    let kind = match stop {
        Stop::Reached | Stop::JointEnd { .. } if !full.is_empty() => "full_fold",
        _ => "other",
    };
    json!({ "stop": kind, "first_crease_at_180": first, "fold_deg": named.folds(&last), "self_intersects_before": crosses })
}

/// Folds this near to flat or closed are left to the layer order, in degrees.
const NEAR_FLAT_DEG: f64 = 1.0;

/// Whether faces pass through each other between the flat state and the end of the motion.
fn self_intersects(linkage: &Linkage, driver: JointId, path: &[State]) -> Result<bool, String> {
    let steepest = |s: &&State| s.values.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    let driven = |s: &State| s.values[driver.0];
    let spatial = |s: &&State| steepest(s) < 180.0 - NEAR_FLAT_DEG && driven(s).abs() > NEAR_FLAT_DEG;
    let (Some(first), Some(last)) = (path.iter().find(spatial), path.iter().rfind(spatial)) else {
        return Ok(false);
    };
    let (from, to) = (driven(first), driven(last));
    let nearest = |v: f64| {
        let distance = |s: &&State| (driven(s) - v).abs();
        path.iter().min_by(|s, t| distance(s).total_cmp(&distance(t))).cloned().unwrap_or_default()
    };
    let pose_at = |v: f64| linkage.pose(&[(driver, v)], &nearest(v));
    let report = linkage
        .contacts(&pose_at, (from, to), 1e-2, &plica::motion::Pairs::default())
        .map_err(|f| format!("{f:?}"))?;
    Ok(!report.clashes.is_empty())
}

/// The cell of a Miura patch in each state, measured on its vertices: half the step along two panels and how far the
/// middle vertex stands off that line, along the straight creases (L, H) and along the zigzags (S, V). Vertices may be
/// listed in any order.
fn cells(named: &Named, params: &Value, states: &mut [Value]) {
    let number = |key: &str| params[key].as_f64().unwrap_or(f64::NAN);
    let (a, b, gamma) = (number("a"), number("b"), number("gamma_deg").to_radians());
    let (run, rise) = (b * gamma.cos(), b * gamma.sin());
    let vertices = &named.sheet.vertices;
    let beside = |v: &[f64; 2], x: f64, y: f64| {
        vertices.iter().position(|w| (w[0] - v[0] - x).hypot(w[1] - v[1] - y) < 1e-3)
    };
    let line = |middle: [f64; 2], end: [f64; 2]| {
        let from = |(k, v)| Some([k, beside(v, middle[0], middle[1])?, beside(v, end[0], end[1])?]);
        vertices.iter().enumerate().find_map(from)
    };
    let along = line([a, 0.0], [2.0 * a, 0.0]);
    let zigzag = |run: f64| line([run, rise], [0.0, 2.0 * rise]);
    let across = zigzag(run).or_else(|| zigzag(-run));
    for state in states {
        let at = |k: usize| Vec3::from([0, 1, 2].map(|i| state["xyz"][k][i].as_f64().unwrap_or(f64::NAN)));
        let measured = |line: Option<[usize; 3]>| {
            line.map_or((f64::NAN, f64::NAN), |[start, middle, end]| {
                half_and_offset(at(start), at(middle), at(end))
            })
        };
        let ((length, height), (span, shift)) = (measured(along), measured(across));
        state["cell"] = json!({ "L": length, "S": span, "H": height, "V": shift });
    }
}

fn half_and_offset(start: Vec3, middle: Vec3, end: Vec3) -> (f64, f64) {
    let chord = end - start;
    let offset = chord.cross(&(middle - start)).norm() / chord.norm();
    (chord.norm() / 2.0, offset)
}
