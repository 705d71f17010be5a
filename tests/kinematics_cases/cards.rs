//! Pop-up cards: parallel folds, V-folds, folds in each other's way, closed stacks.

use plica::layers::FlatState;
use plica::motion::{
    Body, BodyId, Clash, JointId, Link, Linkage, Point2, Pose, State, Stop, Travel, TravelEnd,
};
use serde_json::{Map, Value, json};

/// A card model with the names its case uses.
pub struct Model {
    pub linkage: Linkage,
    bodies: Vec<String>,
    joints: Vec<String>,
    parts: Map<String, Value>,
}

fn point(v: &Value) -> Result<Point2, String> {
    Ok([v[0].as_f64().ok_or("x is missing")?, v[1].as_f64().ok_or("y is missing")?])
}

fn line(v: &Value) -> Result<[Point2; 2], String> {
    Ok([point(&v[0])?, point(&v[1])?])
}

fn text(v: &Value) -> String {
    v.as_str().unwrap_or_default().to_owned()
}

/// The directed line that has most of the outline on its left, and whether it was turned round for that.
fn with_left(line: [Point2; 2], outline: &[Point2]) -> bool {
    let [p, q] = line;
    let side = |r: &Point2| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    outline.iter().map(side).sum::<f64>() > 0.0
}

impl Model {
    pub fn read(input: &Value) -> Result<Self, String> {
        let mut model =
            Self { linkage: Linkage::default(), bodies: Vec::new(), joints: Vec::new(), parts: Map::new() };
        let parts = input["model"]["parts"].as_array().ok_or("no parts")?;
        for part in parts {
            model.add_part(part, input["branch"] == "inner")?;
        }
        for joint in input["model"]["joints"].as_array().into_iter().flatten() {
            let name = |v: &Value| format!("{}.{}", text(&v[0]), text(&v[1]));
            let (a, b) = (name(&joint["a"]), name(&joint["b"]));
            model.hinge(&text(&joint["id"]), &a, line(&joint["a_line"])?, &b, line(&joint["b_line"])?)?;
        }
        Ok(model)
    }

    fn add_part(&mut self, part: &Value, inner: bool) -> Result<(), String> {
        let name = text(&part["id"]);
        self.parts.insert(name.clone(), part["vertices"].clone());
        for (face, cycle) in part["faces"].as_object().into_iter().flatten() {
            let corner = |v: &Value| point(&part["vertices"][v.as_u64().unwrap_or(0) as usize]);
            let outline = cycle.as_array().into_iter().flatten().map(corner).collect::<Result<_, _>>()?;
            let body = self.linkage.add_body(Body::polygon(outline));
            self.bodies.push(format!("{name}.{face}"));
            if part["fixed_face"] == face.as_str() {
                self.linkage.root = body.0;
            }
        }
        for crease in part["creases"].as_array().into_iter().flatten() {
            let end = |k: usize| point(&part["vertices"][crease["v"][k].as_u64().unwrap_or(0) as usize]);
            let face = |k: usize| format!("{name}.{}", text(&crease["faces"][k]));
            let fold = [end(0)?, end(1)?];
            let id = text(&crease["id"]);
            self.hinge(&id, &face(0), fold, &face(1), fold)?;
            // An inverted fold is the same piece folded the other way.
            if (crease["mv"] == "M") != (inner && id == "T")
                && let Some(link) = self.linkage.joints.last_mut()
            {
                *link = link.clone().mountain();
            }
        }
        Ok(())
    }

    /// A hinge whose positive values lift `b` off the front of `a`.
    fn hinge(
        &mut self,
        id: &str,
        a: &str,
        a_line: [Point2; 2],
        b: &str,
        b_line: [Point2; 2],
    ) -> Result<(), String> {
        let (a, b) = (self.body(a)?, self.body(b)?);
        let outline = self.linkage.bodies[b.0].panels[0].outline.clone();
        let turned = |l: [Point2; 2]| [l[1], l[0]];
        let (a_line, b_line) =
            if with_left(b_line, &outline) { (a_line, b_line) } else { (turned(a_line), turned(b_line)) };
        self.linkage.add_joint(Link::hinge(a, a_line, b, b_line).valley());
        self.joints.push(id.to_owned());
        Ok(())
    }

    fn body(&self, name: &str) -> Result<BodyId, String> {
        self.bodies.iter().position(|b| b == name).map(BodyId).ok_or(format!("no face {name}"))
    }

    fn joint(&self, name: &str) -> JointId {
        JointId(self.joints.iter().position(|j| j == name).unwrap_or(0))
    }

    fn flat(&self, part: &str, vertex: usize) -> Point2 {
        point(&self.parts[part][vertex]).unwrap_or([f64::NAN; 2])
    }

    fn at(&self, pose: &Pose, body: &str, p: Point2) -> Result<[f64; 3], String> {
        Ok(pose.body(self.body(body)?).place(p))
    }
}

impl Model {
    /// The corners of every panel that is not a page.
    fn closed_corners(&self, pose: &Pose) -> Vec<[f64; 3]> {
        let panels = (0..self.bodies.len()).filter(|&k| !self.bodies[k].starts_with("card."));
        let placed = |k: usize| {
            let at = pose.body(BodyId(k));
            self.linkage.bodies[k].corners().map(move |p| at.place(p)).collect::<Vec<_>>()
        };
        panels.flat_map(placed).collect()
    }

    /// How far the piece sticks out of the closed card, in mm.
    fn overhang(&self, input: &Value, pose: &Pose) -> f64 {
        let out = self.closed_corners(pose).iter().map(|&p| overhang(&input["page"], p)).fold(0.0, f64::max);
        if out > OUTSIDE_MM { out } else { 0.0 }
    }
}

/// The sweep of the opening: what ends it, in the words of the schema.
struct Opening {
    travel: Travel,
}

impl Opening {
    fn of(model: &Model) -> Result<Self, String> {
        let gutter = model.joint("O");
        let travel = model.linkage.travel(gutter, None).map_err(|f| format!("{f:?}"))?;
        Ok(Self { travel })
    }

    fn pose(&self, model: &Model, opening: f64) -> Result<Pose, String> {
        self.travel.pose(&model.linkage, 180.0 - opening).map_err(|f| format!("at {opening}: {f:?}"))
    }

    fn describe(&self, model: &Model, panel: &str, answer: &mut Map<String, Value>) {
        // The gutter's fold angle rises as the card closes.
        let word = |end: &TravelEnd, flat: &str| match end.stop {
            Stop::Reached => flat.to_owned(),
            Stop::Taut => format!("{panel}s_taut"),
            Stop::JointEnd { joint, .. } if joint == model.joint("A") => format!("{panel}_R_flush_with_page"),
            Stop::JointEnd { joint, .. } if joint == model.joint("B") => format!("{panel}_L_flush_with_page"),
            Stop::JointEnd { .. } => format!("{panel}s_taut"),
            other => format!("{other:?}"),
        };
        let (open, close) = (&self.travel.low, &self.travel.high);
        answer.insert("closes_flat".into(), self.closes_flat().into());
        answer.insert("closes_to_deg".into(), (180.0 - close.value).into());
        answer.insert("opens_to_deg".into(), (180.0 - open.value).into());
        answer.insert("close_stop".into(), word(close, "flat_closed").into());
        answer.insert("open_stop".into(), word(open, "flat_open").into());
        let lies_flat = self.travel.states.first().is_some_and(|s| open.stop == Stop::Reached && all_flat(s));
        answer.insert("lies_flat_when_open".into(), lies_flat.into());
        if let Some(freedom) = model.linkage.free_motions() {
            answer.insert("dof".into(), freedom.nullity.into());
        }
    }

    fn closes_flat(&self) -> bool {
        self.travel.high.stop == Stop::Reached && self.travel.states.last().is_some_and(all_flat)
    }

    fn driver_values(&self, input: &Value) -> Vec<f64> {
        input["driver_values_deg"].as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
    }
}

fn all_flat(state: &State) -> bool {
    let flat = |v: &f64| v.abs() < 1e-2 || (v.abs() - 180.0).abs() < 1e-2;
    state.values.iter().all(flat)
}

/// How far a point lies outside the closed card, in mm.
fn overhang(page: &Value, p: [f64; 3]) -> f64 {
    let (w, h) = (page["width"].as_f64().unwrap_or(0.0), page["height"].as_f64().unwrap_or(0.0));
    (p[0] - w).max(-p[0]).max(p[1] - h).max(-p[1]).max(0.0)
}

/// Rounding leaves points on the edge of the page a hair outside it.
const OUTSIDE_MM: f64 = 1e-6;

pub fn parallel_fold(input: &Value) -> Result<Value, String> {
    let model = Model::read(input)?;
    let opening = Opening::of(&model)?;
    let mut answer = Map::new();
    opening.describe(&model, "panel", &mut answer);

    let tip = |pose: &Pose, face: &str, end: usize| model.at(pose, face, model.flat("piece", [1, 4][end]));
    let mut states = Vec::new();
    for value in opening.driver_values(input) {
        let pose = opening.pose(&model, value)?;
        let joint = |name: &str| &model.linkage.joints[model.joint(name).0];
        let foot = |name: &str, page: &str| {
            let anchor = joint(name).anchor;
            let lower = if anchor[0][1] < anchor[1][1] { anchor[0] } else { anchor[1] };
            model.at(&pose, page, lower)
        };
        let fold = |name: &str| pose.values[model.joint(name).0];
        states.push(json!({
            "opening_deg": value,
            "xyz": {
                "T0": tip(&pose, "piece.R", 0)?, "T1": tip(&pose, "piece.R", 1)?,
                "A0": foot("A", "card.right")?, "B0": foot("B", "card.left")?,
            },
            "interior_deg": { "A": fold("A"), "T": 180.0 - fold("T").abs(), "B": fold("B") },
        }));
    }
    answer.insert("states".into(), states.into());

    // Each panel laid down on its own page, as in the closed card.
    let down = if input["branch"] == "inner" { 0.0 } else { 180.0 };
    let mut laid = model.linkage.rest();
    laid.values[model.joint("A").0] = down;
    laid.values[model.joint("B").0] = down;
    let laid = model.linkage.place(&laid).map_err(|f| format!("{f:?}"))?;
    let reach = |face| Ok::<_, String>(tip(&laid, face, 0)?[0].abs());
    answer.insert("length_sums".into(), json!({ "right": reach("piece.R")?, "left": reach("piece.L")? }));

    let mut closed = [Value::Null, Value::Null, Value::Null];
    if opening.closes_flat() {
        let pose = opening.pose(&model, 0.0)?;
        let corners = model.parts["piece"].as_array().map_or(0, Vec::len);
        let points = (0..corners)
            .map(|k| model.at(&pose, if k % 3 == 0 { "piece.L" } else { "piece.R" }, model.flat("piece", k)));
        let points = points.collect::<Result<Vec<_>, _>>()?;
        let out = points.iter().map(|&p| overhang(&input["page"], p)).fold(0.0, f64::max);
        let reach = points.iter().map(|p| p[0]).fold(0.0, f64::max);
        closed = [json!(reach), json!(out > OUTSIDE_MM), json!(if out > OUTSIDE_MM { out } else { 0.0 })];
    }
    let [reach, sticks_out, overhang] = closed;
    answer.insert("closed_reach_mm".into(), reach);
    answer.insert("sticks_out_when_closed".into(), sticks_out);
    answer.insert("overhang_mm".into(), overhang);
    Ok(answer.into())
}

pub fn v_fold(input: &Value) -> Result<Value, String> {
    let model = Model::read(input)?;
    let opening = Opening::of(&model)?;
    let mut answer = Map::new();
    opening.describe(&model, "plate", &mut answer);

    let names =
        [("apex", "R"), ("tip", "R"), ("baseR", "R"), ("cornerR", "R"), ("baseL", "L"), ("cornerL", "L")];
    let points = |pose: &Pose| {
        let at = |(k, (name, face)): (usize, &(&str, &str))| {
            Ok((name.to_string(), model.at(pose, &format!("piece.{face}"), model.flat("piece", k))?))
        };
        names.iter().enumerate().map(at).collect::<Result<Vec<(String, [f64; 3])>, String>>()
    };
    let centre = |pose: &Pose, face: &str| {
        let apex = model.at(pose, face, model.flat("piece", 0))?;
        let tip = model.at(pose, face, model.flat("piece", 1))?;
        let d = [tip[0] - apex[0], tip[1] - apex[1], tip[2] - apex[2]];
        let length = d.iter().map(|x| x * x).sum::<f64>().sqrt();
        Ok::<_, String>(d.map(|x| x / length))
    };
    let mut states = Vec::new();
    for value in opening.driver_values(input) {
        let pose = opening.pose(&model, value)?;
        let xyz: Map<_, _> = points(&pose)?.into_iter().map(|(n, p)| (n, json!(p))).collect();
        states.push(json!({
            "opening_deg": value,
            "centre_dir": centre(&pose, "piece.R")?,
            "plate_interior_deg": 180.0 - pose.values[model.joint("C").0].abs(),
            "xyz": xyz,
        }));
    }
    answer.insert("states".into(), states.into());

    let mut laid = model.linkage.rest();
    laid.values[model.joint("A").0] = 180.0;
    laid.values[model.joint("B").0] = 180.0;
    let laid = model.linkage.place(&laid).map_err(|f| format!("{f:?}"))?;
    // Angle from the gutter, on the card lying open.
    let angle = |face: &str| {
        let d = centre(&laid, face)?;
        Ok::<_, String>(d[0].abs().atan2(d[1]).to_degrees())
    };
    answer.insert("angle_sums_deg".into(), json!({ "right": angle("piece.R")?, "left": angle("piece.L")? }));

    for key in ["sticks_out_when_closed", "overhang_mm", "points_outside", "closed_xy"] {
        answer.insert(key.into(), Value::Null);
    }
    if opening.closes_flat() {
        let closed = points(&opening.pose(&model, 0.0)?)?;
        let out: Vec<(&str, f64)> = closed
            .iter()
            .map(|(n, p)| (n.as_str(), overhang(&input["page"], *p)))
            .filter(|o| o.1 > OUTSIDE_MM)
            .collect();
        answer.insert("sticks_out_when_closed".into(), (!out.is_empty()).into());
        answer.insert("overhang_mm".into(), json!(out.iter().map(|o| o.1).fold(0.0, f64::max)));
        answer.insert("points_outside".into(), json!(out.iter().map(|o| o.0).collect::<Vec<_>>()));
        let flat: Map<_, _> = closed.iter().map(|(n, p)| (n.clone(), json!([p[0], p[1]]))).collect();
        answer.insert("closed_xy".into(), flat.into());
    }
    Ok(answer.into())
}

/// The schema's model of a card with parallel folds, each `(a, b, p, q, y0, w)`; joints are named `A0`, `T0`, `B0`, ...
fn parallel_model(page: [f64; 2], folds: &[[f64; 6]]) -> Value {
    let [width, height] = page;
    let mut parts = vec![json!({
        "id": "card",
        "vertices": [[0, 0], [width, 0], [width, height], [0, height], [-width, 0], [-width, height]],
        "faces": { "right": [0, 1, 2, 3], "left": [4, 0, 3, 5] },
        "creases": [{ "id": "O", "v": [0, 3], "faces": ["right", "left"], "mv": "V" }],
        "fixed_face": "right",
    })];
    let mut joints = Vec::new();
    for (k, &[a, b, p, q, y0, w]) in folds.iter().enumerate() {
        let part = format!("piece{k}");
        parts.push(json!({
            "id": part,
            "vertices": [[0, 0], [q, 0], [q + p, 0], [0, w], [q, w], [q + p, w]],
            "faces": { "L": [0, 1, 4, 3], "R": [1, 2, 5, 4] },
            "creases": [{ "id": format!("T{k}"), "v": [1, 4], "faces": ["L", "R"], "mv": "M" }],
        }));
        for (name, page, foot, face, edge) in [("A", "right", a, "R", q + p), ("B", "left", -b, "L", 0.0)] {
            joints.push(json!({
                "id": format!("{name}{k}"),
                "a": ["card", page], "a_line": [[foot, y0], [foot, y0 + w]],
                "b": [part, face], "b_line": [[edge, 0.0], [edge, w]],
            }));
        }
    }
    json!({ "model": { "parts": parts, "joints": joints } })
}

fn fold_numbers(fold: &Value, y0: f64) -> Result<[f64; 6], String> {
    let n = |key: &str| fold[key].as_f64().ok_or(format!("{key} is missing"));
    Ok([n("a")?, n("b")?, n("p")?, n("q")?, y0, 40.0])
}

/// A card with one parallel fold, and its closed state if it closes flat.
pub fn lone_parallel_fold(input: &Value) -> Result<(Linkage, Option<State>), String> {
    let model = Model::read(&parallel_model([105.0, 148.0], &[fold_numbers(input, 30.0)?]))?;
    let opening = Opening::of(&model)?;
    // Sums that agree only to the rounding of the input close only to its square root.
    let right_over = |v: f64| if v.abs() < 90.0 { 0.0 } else { 180.0_f64.copysign(v) };
    let over = |state: &State| State { values: state.values.iter().map(|&v| right_over(v)).collect() };
    let closed = opening.travel.states.last().filter(|_| opening.closes_flat()).map(over);
    Ok((model.linkage, closed))
}

/// Contact between the folds of one card while it opens.
pub fn collision(input: &Value) -> Result<Value, String> {
    let page = ["width", "height"].map(|key| input["page"][key].as_f64().unwrap_or(100.0));
    let mut folds = Vec::new();
    for (k, fold) in input["folds"].as_array().into_iter().flatten().enumerate() {
        let y0 = if input["y_overlap"] == true { 30.0 } else { 10.0 + 45.0 * k as f64 };
        folds.push(fold_numbers(fold, y0)?);
    }
    let model = Model::read(&parallel_model(page, &folds))?;
    let opening = Opening::of(&model)?;
    let limit = |k: usize| input["search_range_deg"][k].as_f64().ok_or("no search range");
    let (from, to) = (limit(0)?, limit(1)?);
    // Only as far as the folds themselves allow.
    let from = from.max(180.0 - opening.travel.high.value);
    let to = to.min(180.0 - opening.travel.low.value);
    let pose_at = |t: f64| opening.travel.pose(&model.linkage, 180.0 - t);
    let report = model
        .linkage
        .contacts(&pose_at, (from, to), 1e-3, &plica::motion::Pairs::default())
        .map_err(|f| format!("{f:?}"))?;
    // An edge that touches another at the very moment of a crossing adds nothing to it.
    let beside = |g: &Clash| report.clashes.iter().any(|c| g.from <= c.to + 1e-2 && g.to >= c.from - 1e-2);
    if let Some(grazing) = report.grazing.iter().find(|g| !beside(g)) {
        return Err(format!("open whether they touch: {grazing:?}"));
    }
    let mut colliding: Vec<(f64, f64)> = Vec::new();
    for clash in &report.clashes {
        match colliding.last_mut() {
            Some(last) if clash.from <= last.1 + 1e-3 => last.1 = last.1.max(clash.to),
            _ => colliding.push((clash.from, clash.to)),
        }
    }
    let mut transitions = Vec::new();
    for &(start, end) in &colliding {
        if start > from {
            transitions.push(json!({ "opening_deg": start, "then": "collides" }));
        }
        if end < to {
            transitions.push(json!({ "opening_deg": end, "then": "clear" }));
        }
    }
    Ok(json!({
        "collides": !colliding.is_empty(),
        "collides_at_small_opening": colliding.first().is_some_and(|c| c.0 == from),
        "transitions": transitions,
    }))
}

/// The order of the closed card, from the bottom up.
pub fn closed_layers(input: &Value) -> Result<Value, String> {
    let model = Model::read(input)?;
    let opening = Opening::of(&model)?;
    let mut answer = Map::new();
    if !opening.closes_flat() {
        return Err("the card does not close flat".into());
    }
    let pose = opening.pose(&model, 0.0)?;
    let state = FlatState::of(&model.linkage, &pose).map_err(|f| format!("{f:?}"))?;
    let layering = state.layering();
    let orders = layering.orders(&state.fold_facts(), 1000).orders;
    // Panels of several pieces carry the name of theirs.
    let lone = model.parts.len() == 2;
    let name = |&face: &usize| match model.bodies[state.origin[face].0].split_once('.') {
        Some(("card", side)) => format!("{side}_page"),
        Some((_, panel)) if lone => format!("panel_{panel}"),
        Some((piece, panel)) => format!("{piece}_panel_{panel}"),
        None => String::new(),
    };
    let all: Vec<usize> = (0..state.faces.len()).collect();
    let stacks: Vec<Vec<String>> = orders.iter().map(|o| o.sorted(&all).iter().map(name).collect()).collect();
    answer.insert("flat_foldable".into(), (!orders.is_empty()).into());
    answer.insert("layer_orders".into(), orders.len().into());
    answer.insert("order_bottom_to_top".into(), json!(stacks));
    answer.insert("max_layers".into(), layering.area_by_layers().len().into());
    answer.insert("overhang_mm".into(), json!(model.overhang(input, &pose)));
    Ok(answer.into())
}
