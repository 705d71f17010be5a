//! Sliders, standing, thickness and turning: numbers in, numbers out.

use plica::motion::allowance::{bend_allowance, creep, loop_allowance, strap_loop, swing_period, thumb_edge};
use plica::motion::slide::{
    Follower, Interval, flap_angle, followers, gutter_pull, gutter_pull_opening, strap_in_guide,
    strap_in_slot, telescope, yoke,
};
use plica::motion::{Plate, stance};
use serde_json::{Value, json};

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
}

fn number(input: &Value, key: &str) -> Result<f64, String> {
    input[key].as_f64().ok_or(format!("{key} is missing"))
}

fn range(interval: Interval) -> Value {
    if interval.exists() { json!([interval.low, interval.high]) } else { Value::Null }
}

pub fn slider(input: &Value) -> Result<Value, String> {
    let n = |key| number(input, key);
    Ok(match input["kind"].as_str().unwrap_or_default() {
        "along_slot" => {
            let centre = strap_in_slot(0.0, n("slot_len")?, n("strap_w")?, n("clearance")?);
            json!({ "travel": centre.length(), "fits": centre.exists(), "centre_range": range(centre) })
        }
        "through_guide" => {
            let origin = strap_in_guide(
                n("guide_from")?,
                n("guide_len")?,
                [n("stop1")?, n("stop2")?],
                n("clearance")?,
            );
            json!({ "travel": origin.length(), "fits": origin.exists(), "origin_range": range(origin) })
        }
        "parallel_slots" => {
            let follower = |item: &Value| {
                Ok(Follower {
                    slot_from: number(item, "slot_from")?,
                    slot_length: number(item, "slot_len")?,
                    offset: number(item, "follower_offset")?,
                    width: number(item, "follower_w")?,
                    clearance: number(item, "clearance")?,
                })
            };
            let items = input["items"].as_array().into_iter().flatten().map(follower);
            let shared =
                followers(&items.collect::<Result<Vec<_>, String>>()?, 1e-6).ok_or("no followers")?;
            json!({
                "travel": shared.origin.length(), "fits": shared.origin.exists(), "origin_range": range(shared.origin),
                "limiting_low": shared.stopped_low_by, "limiting_high": shared.stopped_high_by,
            })
        }
        "chain" => chain(input)?,
        "flap_lifter" => {
            let (radius, link, travel) = (n("flap_radius")?, n("link_len")?, n("slider_travel")?);
            let angle = |pull: f64| flap_angle(radius, link, pull);
            let needed = 2.0 * radius;
            let states: Vec<Value> = numbers(&input["slider_values_mm"])
                .into_iter()
                .map(|pull| json!({ "slider_mm": pull, "flap_deg": angle(pull) }))
                .collect();
            json!({
                "travel_needed_for_180": needed, "max_flap_deg": angle(travel.min(needed)),
                "reaches_180": travel >= needed, "states": states,
            })
        }
        "auto_pull" => {
            let (glued, slot, available) = (n("e")?, n("f")?, n("available_travel")?);
            let full = gutter_pull(glued, slot, 180.0);
            let states: Vec<Value> = numbers(&input["opening_values_deg"])
                .into_iter()
                .map(|t| json!({ "opening_deg": t, "strap_pull_mm": gutter_pull(glued, slot, t) }))
                .collect();
            json!({
                "full_pull": full, "max_opening_deg": gutter_pull_opening(glued, slot, available),
                "blocks_opening": available < full, "states": states,
            })
        }
        "yoke" => {
            let found = yoke(n("crank_radius")?, n("cross_slot_len")?, n("pin_diameter")?, n("clearance")?);
            json!({
                "max_crank_deg_each_side": found.swing, "strap_displacement_range": range(found.strap),
                "full_turn": found.swing >= 180.0,
            })
        }
        other => return Err(format!("unknown slider {other}")),
    })
}

fn chain(input: &Value) -> Result<Value, String> {
    let stage = |s: &Value| {
        Ok(strap_in_slot(0.0, number(s, "slot_len")?, number(s, "strap_w")?, number(s, "clearance")?)
            .length())
    };
    let travels =
        input["stages"].as_array().into_iter().flatten().map(stage).collect::<Result<Vec<f64>, String>>()?;
    let driven = if input["driver"] == "first" { 0 } else { travels.len().saturating_sub(1) };
    let state = |goal: f64| {
        let found = telescope(&travels, driven, goal);
        json!({ "driver_mm": goal, "reached": found.reached, "absolute_mm": found.positions })
    };
    let states: Vec<Value> = numbers(&input["driver_values_mm"]).into_iter().map(state).collect();
    Ok(json!({ "stage_travel": travels, "total_travel": travels.iter().sum::<f64>(), "states": states }))
}

pub fn stability(input: &Value) -> Result<Value, String> {
    let grammages = numbers(&input["grammage_gsm"]);
    let corner = |c: &Value| {
        let c = numbers(c);
        <[f64; 3]>::try_from(c).map_err(|_| "a corner has three numbers".to_owned())
    };
    let mut plates = Vec::new();
    for (k, plate) in input["plates"].as_array().into_iter().flatten().enumerate() {
        let corners = plate.as_array().into_iter().flatten().map(corner).collect::<Result<Vec<_>, _>>()?;
        let grammage = *grammages.get(k).ok_or("a plate has no grammage")?;
        plates.push(Plate { corners, holes: Vec::new(), grammage });
    }
    let found = stance(&plates).ok_or("no area")?;
    let edges: Vec<Value> = found
        .edges
        .iter()
        .map(|e| json!({ "edge": e.ends, "margin_mm": e.margin, "tipping_angle_deg": e.tipping }))
        .collect();
    Ok(json!({
        "mass_g": found.mass, "com": found.centre, "support_polygon": found.support, "edges": edges,
        "stable": found.is_stable(),
        "min_margin_mm": found.edges.iter().map(|e| e.margin).fold(f64::INFINITY, f64::min),
        "min_tipping_angle_deg": found.weakest().map(|e| e.tipping),
    }))
}

pub fn extra(input: &Value) -> Result<Value, String> {
    let n = |key| number(input, key);
    Ok(match input["kind"].as_str().unwrap_or_default() {
        "strap_loop" => json!({
            "loop_length":
                strap_loop(n("bar_w")?, n("bar_t")?, n("strap_t")?, n("overlap")?, n("clearance")?),
            "thickness_allowance": loop_allowance(n("bar_t")?, n("strap_t")?),
        }),
        "creep" => {
            let step = creep(n("thickness")?);
            let sheets = n("sheets")? as u32;
            json!({
                "edge_setback_mm": (0..sheets).map(|k| f64::from(k) * step.concentric).collect::<Vec<_>>(),
                "per_sheet_concentric": step.concentric, "per_sheet_sharp": step.sharp,
            })
        }
        "bend_allowance" => json!({
            "allowance_mm": bend_allowance(n("angle_deg")?, n("inner_radius")?, n("thickness")?, n("k_factor")?),
        }),
        "pendulum" => json!({
            "period_s": swing_period(n("w")?, n("h")?, n("pivot_above_centre")?, n("g")? * 1000.0),
        }),
        "volvelle" => {
            let edge = thumb_edge(n("disc_radius")?, n("centre_to_edge")?);
            json!({
                "protrusion_mm": edge.protrusion, "thumb_chord_mm": edge.chord, "step_deg": 360.0 / n("positions")?,
            })
        }
        other => return Err(format!("unknown kind {other}")),
    })
}
