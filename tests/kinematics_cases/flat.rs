//! Flat folds: verdicts at vertices, folded positions, layer orders.

use super::sheets::{Named, read};
use plica::layers::{FlatState, Layering, is_kawasaki, is_maekawa};
use plica::motion::Pose;
use plica::quantity::tolerance::PARALLEL_DEG;
use serde_json::{Map, Value, json};

/// Orders counted before a case is given up.
const MOST_ORDERS: usize = 200_000;

/// The flat state of a sheet, if it closes.
pub fn folded(named: &Named) -> Option<(FlatState, Pose)> {
    FlatState::of_sheet(&named.sheet, named.fixed_face).ok()
}

/// Verdicts shared by every category that has a creased sheet.
pub fn verdicts(named: &Named, answer: &mut Map<String, Value>) {
    let stars = named.sheet.stars();
    let kawasaki = stars.iter().all(|s| is_kawasaki(&s.sectors, PARALLEL_DEG));
    let folds =
        |s: &plica::motion::Star| s.creases.iter().map(|&c| named.sheet.creases[c].fold).collect::<Vec<_>>();
    let maekawa = stars.iter().all(|s| is_maekawa(&folds(s)));
    let local = named.sheet.is_locally_flat(PARALLEL_DEG);
    let state = folded(named);
    let foldable =
        local && state.as_ref().is_some_and(|(state, _)| state.layering().solve(&state.fold_facts()).is_ok());
    for (key, value) in [
        ("kawasaki", kawasaki),
        ("kawasaki_everywhere", kawasaki),
        ("maekawa", maekawa),
        ("maekawa_everywhere", maekawa),
        ("locally_flat_foldable", local),
        ("folded_geometry_closes", state.is_some()),
        ("flat_foldable", foldable),
    ] {
        answer.insert(key.into(), value.into());
    }
    answer.insert("interior_vertices".into(), stars.len().into());
}

pub fn assigned(input: &Value) -> Result<Value, String> {
    let named = read(input)?;
    let mut answer = Map::new();
    verdicts(&named, &mut answer);
    answer.insert("layer_orders".into(), 0.into());
    let Some((state, pose)) = folded(&named) else { return Ok(answer.into()) };
    let layering = state.layering();
    let facts = state.fold_facts();
    let orders = layering.orders(&facts, MOST_ORDERS);
    if !orders.complete {
        return Err(format!("more than {MOST_ORDERS} orders"));
    }
    let counts = layering.counts();
    let xy = |p: [f64; 3]| [p[0], p[1]];
    answer.insert("layer_orders".into(), orders.orders.len().into());
    answer.insert("overlapping_pairs".into(), layering.overlapping().len().into());
    answer.insert(
        "constraint_counts".into(),
        json!({
            "adjacent": counts.folded_joints, "taco_taco": counts.taco_taco, "taco_tortilla": counts.taco_tortilla,
            "tortilla_tortilla": counts.tortilla_tortilla, "transitivity": counts.transitivity,
        }),
    );
    answer.insert("folded_xy".into(), json!(named.vertices(&pose).into_iter().map(xy).collect::<Vec<_>>()));
    answer.insert("face_up".into(), json!(state.faces.iter().map(|f| f.up).collect::<Vec<_>>()));
    let forced = layering.forced(&facts);
    answer.insert(
        "forced_above".into(),
        json!(forced.iter().map(|(i, j)| format!("{i}>{j}")).collect::<Vec<_>>()),
    );
    answer.insert("area_by_layer_count".into(), areas(&layering));
    answer.insert("max_layers".into(), layering.area_by_layers().len().into());
    Ok(answer.into())
}

fn areas(layering: &Layering<'_>) -> Value {
    let areas = layering.area_by_layers().into_iter().enumerate().filter(|a| a.1 > 0.0);
    areas.map(|(k, area)| ((k + 1).to_string(), json!(area))).collect::<Map<_, _>>().into()
}

pub fn unassigned(input: &Value) -> Result<Value, String> {
    let named = read(input)?;
    let mut answer = Map::new();
    verdicts(&named, &mut answer);
    let folds =
        |s: &plica::motion::Star| s.creases.iter().map(|&c| named.sheet.creases[c].fold).collect::<Vec<_>>();
    let single = |star: &plica::motion::Star| {
        let count = plica::layers::flat_patterns(&star.sectors, &folds(star), PARALLEL_DEG).len();
        (star.vertex.to_string(), json!(count))
    };
    let per_vertex: Map<_, _> = named.sheet.stars().iter().map(single).collect();
    let globally = folded(&named).map_or(0, |(state, _)| {
        let every: Vec<usize> = (0..state.joints.len()).collect();
        state.layering().count_folds(&state.fold_facts(), &every, MOST_ORDERS)
    });
    answer.insert("assignments_ok_per_vertex".into(), per_vertex.into());
    answer.insert("assignments_locally_ok".into(), named.sheet.count_locally_flat(PARALLEL_DEG).into());
    answer.insert("assignments_globally_ok".into(), globally.into());
    answer.insert("flat_foldable".into(), (globally > 0).into());
    Ok(answer.into())
}
