//! Free motions of vertices, patches and cards, and the classical counts.

use plica::motion::{
    Body, BodyId, Crease, Fold, Freedom, JointId, Link, Linkage, Point2, Sheet, State, gruebler_planar,
    gruebler_spatial, gruebler_spherical,
};
use serde_json::{Value, json};

/// Below this ratio of singular values the count would be a guess.
const CLEAR_CONTRAST: f64 = 1e3;

fn number(input: &Value, key: &str) -> Result<f64, String> {
    input[key].as_f64().ok_or(format!("{key} is missing"))
}

fn counted(freedom: Option<Freedom>) -> Result<usize, String> {
    let freedom = freedom.ok_or("no state closes")?;
    if freedom.contrast < CLEAR_CONTRAST {
        Err(format!("uncertain: {freedom:?}"))
    } else {
        Ok(freedom.nullity)
    }
}

pub fn answer(input: &Value) -> Result<Value, String> {
    let (linkage, singular) = match input["kind"].as_str().unwrap_or_default() {
        "vertex4" | "vertex" => (vertex(input)?, None),
        "miura" => (miura(input)?, None),
        "parallel_fold" => {
            let (linkage, closed) = super::cards::lone_parallel_fold(input)?;
            (linkage, Some(closed))
        }
        "floating_plane" => return floating_plane(input),
        other => return Err(format!("unknown kind {other}")),
    };
    let at_singular = |state: &State| counted(linkage.freedom(state));
    let mut answer = json!({
        "panels": linkage.bodies.len(),
        "hinges": linkage.joints.len(),
        "gruebler_spatial": gruebler_spatial(&linkage),
        "gruebler_spherical": gruebler_spherical(&linkage),
        "gruebler_planar": gruebler_planar(&linkage),
        "dof": counted(linkage.free_motions())?,
    });
    match singular {
        Some(Some(closed)) => answer["nullity_at_closed"] = at_singular(&closed)?.into(),
        Some(None) => {}
        None => answer["nullity_at_flat"] = at_singular(&linkage.rest())?.into(),
    }
    Ok(answer)
}

fn vertex(input: &Value) -> Result<Linkage, String> {
    let sectors: Vec<f64> = match (input["sector_angles_deg"].as_array(), input["degree"].as_u64()) {
        (Some(given), _) => given.iter().filter_map(Value::as_f64).collect(),
        (None, Some(count)) => (0..count).map(|_| 360.0 / count as f64).collect(),
        (None, None) => return Err("sector_angles_deg is missing".into()),
    };
    let word: Vec<char> = input["mv"].as_str().unwrap_or_default().chars().collect();
    let fold = |k: usize| match word.get(k) {
        Some('V') => Fold::Valley,
        Some('M') => Fold::Mountain,
        _ => Fold::Either,
    };
    let folds: Vec<Fold> = (0..sectors.len()).map(fold).collect();
    Sheet::fan(&sectors, &folds).linkage(0).map_err(|f| format!("{f:?}"))
}

/// A patch of 3 × 3 parallelograms: straight creases along the rows, zigzags across them.
fn miura(input: &Value) -> Result<Linkage, String> {
    let (a, b) = (number(input, "a")?, number(input, "b")?);
    let gamma = number(input, "gamma_deg")?.to_radians();
    let size = 3;
    let vertex = |i: usize, j: usize| j * (size + 1) + i;
    let face = |i: usize, j: usize| j * size + i;
    let mut sheet = Sheet::default();
    for j in 0..=size {
        for i in 0..=size {
            let shift = if j % 2 == 1 { b * gamma.cos() } else { 0.0 };
            sheet.vertices.push([a * i as f64 + shift, b * gamma.sin() * j as f64]);
        }
    }
    let either_way = |valley: bool| if valley { Fold::Valley } else { Fold::Mountain };
    for j in 0..size {
        for i in 0..size {
            sheet.faces.push(vec![vertex(i, j), vertex(i + 1, j), vertex(i + 1, j + 1), vertex(i, j + 1)]);
            if j > 0 {
                let (ends, faces) = ([vertex(i, j), vertex(i + 1, j)], [face(i, j - 1), face(i, j)]);
                sheet.creases.push(Crease { ends, faces, fold: either_way((i + j) % 2 == 0) });
            }
            if i > 0 {
                let (ends, faces) = ([vertex(i, j), vertex(i, j + 1)], [face(i - 1, j), face(i, j)]);
                sheet.creases.push(Crease { ends, faces, fold: either_way(i % 2 == 1) });
            }
        }
    }
    sheet.linkage(face(1, 1)).map_err(|f| format!("{f:?}"))
}

fn plate(from: f64, to: f64) -> Body {
    Body::polygon(vec![[from, 0.0], [to, 0.0], [to, 1.0], [from, 1.0]])
}

fn up(x: f64) -> [Point2; 2] {
    [[x, 0.0], [x, 1.0]]
}

fn down(x: f64) -> [Point2; 2] {
    [[x, 1.0], [x, 0.0]]
}

/// A plane carried by three parallel legs: at rest the card lies open with the legs standing square on it, a state
/// that closes by construction; the opening and the middle leg then drive it.
fn floating_plane(input: &Value) -> Result<Value, String> {
    let (right_at, left_at) = (number(input, "attach_right")?, number(input, "attach_left")?);
    let leg = number(input, "leg")?;
    let mut linkage = Linkage::default();
    let [right, left, leg_r, leg_c, leg_l, top_r, top_l] = [
        (0.0, 1.5 * right_at),
        (-1.5 * left_at, 0.0),
        (0.0, leg),
        (0.0, leg),
        (0.0, leg),
        (0.0, right_at),
        (-left_at, 0.0),
    ]
    .map(|(from, to)| linkage.add_body(plate(from, to)));
    let gutter = linkage.add_joint(Link::crease(right, left, up(0.0)).valley());
    let mut square = |link: Link| linkage.add_joint(link.resting_at(90.0));
    square(Link::hinge(right, down(right_at), leg_r, down(0.0)));
    let middle = square(Link::hinge(right, down(0.0), leg_c, down(0.0)));
    square(Link::hinge(left, down(-left_at), leg_l, down(0.0)));
    square(Link::hinge(leg_r, up(leg), top_r, up(right_at)));
    square(Link::hinge(leg_c, up(leg), top_r, up(0.0)));
    square(Link::hinge(leg_l, up(leg), top_l, up(-left_at)));
    linkage.add_joint(Link::crease(top_r, top_l, up(0.0)));

    let drivers: [(JointId, f64); 2] = [
        (gutter, 180.0 - number(input, "opening_deg")?),
        (middle, number(input, "centre_leg_from_right_page_deg")?),
    ];
    let pose = linkage.pose(&drivers, &linkage.rest()).map_err(|f| format!("{f:?}"))?;
    let parallel = |a: BodyId, b: BodyId| pose.body(a).front().cross(&pose.body(b).front()).norm() < 1e-6;
    Ok(json!({
        "panels": linkage.bodies.len(),
        "hinges": linkage.joints.len(),
        "gruebler_spatial": gruebler_spatial(&linkage),
        "gruebler_planar": gruebler_planar(&linkage),
        "dof": counted(linkage.freedom(&pose.state()))?,
        "xyz": {
            "C": pose.body(leg_c).place([leg, 0.0]),
            "P": pose.body(leg_r).place([leg, 0.0]),
            "Q": pose.body(leg_l).place([leg, 0.0]),
        },
        "top_parallel_to_pages": parallel(top_r, right) && parallel(top_l, left),
    }))
}
