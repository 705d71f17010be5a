//! `model.json`: the assembly as data for other programs. Its JSON Schema is `model.schema.json` beside this file; the
//! suite validates every example against it. Lengths are mm, angles degrees, grammage g/m², mass g.

use serde_json::{Map, Value, json};

use crate::assembly::{
    Assembly, Cutout, CutoutKind, Face, Fold, Joint, JointKind, Panel, Piece, PieceKind, Placement,
    PrintContent, SlideHow,
};
use crate::geometry::{Contour, Curve, Point, Polygon, Rect};

/// The published schema of `model.json`.
pub const SCHEMA: &str = include_str!("model.schema.json");

pub fn write(assembly: &Assembly) -> String {
    let mut text = serde_json::to_string_pretty(&model(assembly)).unwrap_or_default();
    text.push('\n');
    text
}

pub fn model(assembly: &Assembly) -> Value {
    let list = |values: Vec<Value>| Value::Array(values);
    json!({
        "format": "plica-model",
        "version": 1,
        "title": assembly.title,
        "papers": list(assembly.papers.iter().map(|p| json!({
            "name": p.name,
            "grammage_gsm": p.grammage.map(number),
            "thickness_mm": number(p.caliper),
            "thickness_is_estimate": !p.caliper_stated,
            "sheet_mm": p.sheet.as_ref().map(|s| json!([number(s.width), number(s.height)])),
            "colour": format!("#{:02x}{:02x}{:02x}", p.colour.red, p.colour.green, p.colour.blue),
        })).collect()),
        "pieces": list(assembly.pieces.iter().map(|p| piece(assembly, p)).collect()),
        "panels": list(assembly.panels.iter().map(|p| panel(assembly, p)).collect()),
        "joints": list(assembly.joints.iter().map(|j| joint(assembly, j)).collect()),
        "prints": list(assembly.prints.iter().map(|p| json!({
            "name": p.name,
            "panel": p.panel,
            "face": p.face.word(),
            "text": match &p.content { PrintContent::Text(t) => Some(t.clone()), PrintContent::Picture { .. } => None },
            "picture": match &p.content { PrintContent::Picture { file, .. } => Some(file.clone()), PrintContent::Text(_) => None },
            "area_mm": rect(&p.area),
        })).collect()),
        "poses": list(assembly.poses.iter().map(|p| json!({
            "name": p.name,
            "values": p.values.iter().map(|(joint, value)| json!({ "joint": joint, "value": number(*value) })).collect::<Vec<_>>(),
        })).collect()),
        "motions": list(assembly.motions.iter().map(|m| json!({
            "name": m.name,
            "legs": m.legs.iter().map(|leg| leg.iter().map(|step| json!({
                "joint": step.joint, "from": number(step.from), "to": number(step.to),
            })).collect::<Vec<_>>()).collect::<Vec<_>>(),
        })).collect()),
    })
}

fn piece(assembly: &Assembly, piece: &Piece) -> Value {
    json!({
        "name": piece.name,
        "letter": piece.letter,
        "kind": match piece.kind { PieceKind::Cut => "cut", PieceKind::Strap => "strap", PieceKind::Mat => "mat" },
        "paper": assembly.papers.get(piece.paper).map(|p| p.name.clone()).unwrap_or_default(),
        "size_mm": [number(piece.bounds.width()), number(piece.bounds.height())],
        "box_mm": rect(&piece.bounds),
        "outline": contour(&piece.contour),
        "panels": piece.panels,
        "creases": piece.creases.iter().map(|c| json!({
            "name": c.name,
            "fold": match c.fold { Fold::Valley => "valley", Fold::Mountain => "mountain" },
            "from_mm": point(c.from),
            "to_mm": point(c.to),
            "joints": c.hinges,
            "rest_deg": c.rest.map(number),
        })).collect::<Vec<_>>(),
        "openings": piece.cutouts.iter().map(opening).collect::<Vec<_>>(),
        "marks": piece.marks.iter().map(|m| json!({ "name": m.name, "at_mm": point(m.at) })).collect::<Vec<_>>(),
    })
}

fn opening(cutout: &Cutout) -> Value {
    json!({
        "name": cutout.name,
        "kind": match cutout.kind {
            CutoutKind::Slot => "slot",
            CutoutKind::Slit => "slit",
            CutoutKind::Window => "window",
            CutoutKind::Hole => "hole",
        },
        "panel": cutout.panel,
        "outline": cutout.contour.as_ref().map(contour),
        "from_mm": point(cutout.from),
        "to_mm": point(cutout.to),
        "centre_mm": point(cutout.centre),
        "length_mm": number(cutout.length),
        "width_mm": number(cutout.width),
    })
}

fn panel(assembly: &Assembly, panel: &Panel) -> Value {
    let piece = assembly.pieces.get(panel.piece).map(|p| p.name.clone()).unwrap_or_default();
    json!({ "name": panel.name, "piece": piece, "area": polygon(&panel.polygon) })
}

fn joint(assembly: &Assembly, joint: &Joint) -> Value {
    let mut object = Map::new();
    let mut put = |key: &str, value: Value| {
        object.insert(key.to_string(), value);
    };
    put("name", json!(joint.name));
    put("a", json!(joint.a));
    put("b", json!(joint.b));
    match &joint.kind {
        JointKind::Fold { from, to, fold, rest, .. } => {
            put("kind", json!("fold"));
            put(
                "fold",
                json!(match fold {
                    Fold::Valley => "valley",
                    Fold::Mountain => "mountain",
                }),
            );
            put("from_mm", point(*from));
            put("to_mm", point(*to));
            put("rest_deg", number(*rest));
        }
        JointKind::Fixed { placement, faces, area, closing, foam, .. } => {
            put("kind", json!(if *foam { "foam" } else { "glue" }));
            put("placement", placed(placement));
            put("part_face", json!(faces.0.word()));
            put("target_face", json!(faces.1.word()));
            put("area", Value::Array(area.iter().map(polygon).collect()));
            put("closing", json!(closing));
        }
        JointKind::Slide { placement, direction, range, how, .. } => {
            put("kind", json!("slide"));
            put("placement", placed(placement));
            put("direction", point(*direction));
            put("range_mm", json!([finite(range.0), finite(range.1)]));
            let way = match how {
                SlideHow::Strap { piece, bar, wide, .. } => json!({
                    "kind": "strap",
                    "piece": assembly.pieces.get(*piece).map(|p| p.name.clone()),
                    "bar_mm": number(*bar),
                    "wide_mm": number(*wide),
                }),
                SlideHow::Through { .. } => json!({ "kind": "through" }),
                SlideHow::On { .. } => json!({ "kind": "on" }),
            };
            put("way", way);
        }
        JointKind::Pin { placement, centre, part_centre, range, holes, between, .. } => {
            put("kind", json!("pin"));
            put("placement", placed(placement));
            put("centre_mm", point(*centre));
            put("part_centre_mm", point(*part_centre));
            put("range_deg", json!(range.map(|(low, high)| [number(low), number(high)])));
            put("holes_mm", json!([number(holes.0), number(holes.1)]));
            let between: Vec<Value> = between
                .iter()
                .map(|(panel, at)| json!({ "panel": assembly.panel_name(*panel), "centre_mm": point(*at) }))
                .collect();
            put("between", json!(between));
        }
        JointKind::Tuck { .. } => put("kind", json!("tuck")),
    }
    Value::Object(object)
}

fn placed(placement: &Placement) -> Value {
    json!({
        "turned_deg": number(placement.turned),
        "flipped": placement.flipped,
        "shift_mm": point(placement.shift),
        "side": match placement.side { Face::Front => "front", Face::Back => "back" },
        "raise_mm": number(placement.raise),
    })
}

/// Curves kept: `["start", x, y]`, then `["line", x, y]`, `["arc", bulge, x, y]` (bulge: tangent of a quarter of the
/// swept angle, positive clockwise as seen) and `["cubic", x1, y1, x2, y2, x, y]`.
fn contour(contour: &Contour) -> Value {
    let mut segments = vec![json!(["start", number(contour.start.x), number(contour.start.y)])];
    for (_, curve) in contour.curves() {
        segments.push(match curve {
            Curve::Line { to } => json!(["line", number(to.x), number(to.y)]),
            Curve::Arc { to, bulge } => json!(["arc", number(*bulge), number(to.x), number(to.y)]),
            Curve::Cubic { control1: a, control2: b, to } => {
                let numbers = [a.x, a.y, b.x, b.y, to.x, to.y].map(number);
                Value::Array([json!("cubic")].into_iter().chain(numbers).collect())
            }
        });
    }
    Value::Array(segments)
}

fn polygon(polygon: &Polygon) -> Value {
    let ring = |ring: &Vec<Point>| Value::Array(ring.iter().map(|p| point(*p)).collect());
    json!({ "outer": ring(&polygon.outer), "holes": polygon.holes.iter().map(ring).collect::<Vec<_>>() })
}

fn point(p: Point) -> Value {
    json!([number(p.x), number(p.y)])
}

fn rect(r: &Rect) -> Value {
    json!([number(r.min.x), number(r.min.y), number(r.max.x), number(r.max.y)])
}

/// A number to a millionth: far below any tolerance, and the same text everywhere.
fn number(value: f64) -> Value {
    let rounded = (value * 1e6).round() / 1e6;
    // No minus zero, which prints differently and means nothing.
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    serde_json::Number::from_f64(rounded).map_or(Value::Null, Value::Number)
}

/// `null` where nothing stops the part.
fn finite(value: f64) -> Value {
    if value.is_finite() { number(value) } else { Value::Null }
}
