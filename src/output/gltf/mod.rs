//! Poses and motions as bodies in space: glTF 2.0 in one file, its numbers in an embedded buffer (base64, RFC 4648).
//!
//! Every panel is a node with a flat mesh in its piece's frame, seen from both sides, in the colour of its paper. A pose
//! places the nodes; a motion moves them by an animation, one second to each of its legs. Lengths are metres, as the
//! format wants; y is up, and the card looks along +z, which is the format's front.

mod buffer;
mod triangles;

pub use triangles::triangulate;

use serde_json::{Map, Value, json};

use super::along;
use crate::assembly::{Assembly, Motion, PanelId};
use crate::layers::Card;
use crate::motion::{Iso, PoseState, Vec3};
use buffer::{Buffer, Kind};

const METRES_PER_MM: f64 = 1e-3;
/// Keys to each leg of a motion, its beginning not counted.
const KEYS_PER_LEG: usize = 16;
/// Seconds that a leg of a motion takes.
const LEG_SECONDS: f64 = 1.0;

/// The card in a pose. Layers of a flat card lie as far apart as `card` says, so that they do not fall into one plane.
pub fn pose(assembly: &Assembly, state: &PoseState, card: &Card) -> String {
    let lifts = lifts(state, card);
    let mut scene = Scene::default();
    for (panel, frame) in state.frames.iter().enumerate() {
        let Some(frame) = frame else { continue };
        let lift = lifts.get(panel).copied().unwrap_or(0.0);
        let placed = Iso::translation(Vec3::new(0.0, 0.0, lift)) * *frame;
        scene.panel(assembly, panel, &placed);
    }
    scene.finish(&format!("{}: {}", assembly.title, state.name))
}

/// The card at the beginning of a motion, with the motion as its animation.
pub fn motion(assembly: &Assembly, motion: &Motion) -> String {
    let (legs, states): (Vec<f64>, Vec<PoseState>) =
        along::states(assembly, motion, KEYS_PER_LEG).into_iter().unzip();
    let times: Vec<f64> = legs.iter().map(|legs| legs * LEG_SECONDS).collect();
    let mut scene = Scene::default();
    let mut nodes = Vec::new();
    for panel in 0..assembly.panels.len() {
        let frames: Option<Vec<Iso>> =
            states.iter().map(|s| s.frames.get(panel).copied().flatten()).collect();
        let Some(frames) = frames.filter(|f| !f.is_empty()) else { continue };
        if let Some(node) = frames.first().and_then(|first| scene.panel(assembly, panel, first)) {
            nodes.push((node, frames));
        }
    }
    scene.animate(&motion.name, &times, &nodes);
    scene.finish(&format!("{}: {}", assembly.title, motion.name))
}

/// By panel, how far its highest leaf is raised along the viewer's axis in a flat card.
fn lifts(state: &PoseState, card: &Card) -> Vec<f64> {
    let mut lifts = vec![0.0; state.frames.len()];
    for (leaf, height) in card.leaves.iter().zip(&card.heights) {
        let frame = state.frames.get(leaf.panel).copied().flatten();
        if let (Some(lift), Some(frame)) = (lifts.get_mut(leaf.panel), frame) {
            *lift = height - frame.shift.z;
        }
    }
    lifts
}

#[derive(Default)]
struct Scene {
    buffer: Buffer,
    materials: Vec<Value>,
    meshes: Vec<Value>,
    nodes: Vec<Value>,
    animations: Vec<Value>,
    /// By paper: its material.
    papers: Vec<(usize, usize)>,
}

impl Scene {
    /// Adds a panel and gives its node; `None` for a panel without area.
    fn panel(&mut self, assembly: &Assembly, panel: PanelId, frame: &Iso) -> Option<usize> {
        let shape = assembly.panels.get(panel)?;
        let piece = assembly.pieces.get(shape.piece)?;
        let mesh = triangulate(&shape.polygon);
        if mesh.triangles.is_empty() {
            return None;
        }
        let corners: Vec<[f64; 3]> =
            mesh.points.iter().map(|p| [p.x * METRES_PER_MM, -p.y * METRES_PER_MM, 0.0]).collect();
        // The flat frame has y up, so the order of corners that is anticlockwise there faces the front.
        let order: Vec<u32> =
            mesh.triangles.iter().flatten().map(|index| u32::try_from(*index).unwrap_or(0)).collect();
        let position = self.buffer.floats(Kind::Vec3, corners.iter().flatten().copied(), true);
        let indices = self.buffer.indices(&order);
        let material = self.material(assembly, piece.paper);
        let name = if piece.panels.len() > 1 {
            format!("{}.{}", piece.name, shape.name)
        } else {
            piece.name.clone()
        };
        self.meshes.push(json!({
            "name": name,
            "primitives": [{
                "attributes": { "POSITION": position }, "indices": indices, "material": material, "mode": 4,
            }],
        }));
        self.nodes.push(json!({
            "name": name,
            "mesh": self.meshes.len() - 1,
            "translation": translation(frame).map(number),
            "rotation": quaternion(frame).map(number),
        }));
        Some(self.nodes.len() - 1)
    }

    fn material(&mut self, assembly: &Assembly, paper: usize) -> usize {
        if let Some((_, material)) = self.papers.iter().find(|(known, _)| *known == paper) {
            return *material;
        }
        let (name, channels) = match assembly.papers.get(paper) {
            Some(p) => (p.name.as_str(), [p.colour.red, p.colour.green, p.colour.blue]),
            None => ("paper", [255; 3]),
        };
        let [red, green, blue] = channels.map(|channel| number(linear(channel)));
        self.materials.push(json!({
            "name": name,
            "doubleSided": true,
            "pbrMetallicRoughness": {
                "baseColorFactor": [red, green, blue, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.9,
            },
        }));
        self.papers.push((paper, self.materials.len() - 1));
        self.materials.len() - 1
    }

    fn animate(&mut self, name: &str, times: &[f64], nodes: &[(usize, Vec<Iso>)]) {
        let moving: Vec<&(usize, Vec<Iso>)> =
            nodes.iter().filter(|(_, frames)| frames.windows(2).any(|pair| pair[0] != pair[1])).collect();
        if times.len() < 2 || moving.is_empty() {
            return;
        }
        let input = self.buffer.floats(Kind::Scalar, times.iter().copied(), true);
        let (mut samplers, mut channels) = (Vec::new(), Vec::new());
        for (node, frames) in moving {
            let shifts: Vec<[f64; 3]> = frames.iter().map(translation).collect();
            let turns = without_jumps(frames.iter().map(quaternion));
            let shifts = self.buffer.floats(Kind::Vec3, shifts.into_iter().flatten(), false);
            let turns = self.buffer.floats(Kind::Vec4, turns.into_iter().flatten(), false);
            for (output, path) in [(shifts, "translation"), (turns, "rotation")] {
                samplers.push(json!({ "input": input, "output": output, "interpolation": "LINEAR" }));
                channels.push(json!({
                    "sampler": samplers.len() - 1, "target": { "node": node, "path": path },
                }));
            }
        }
        self.animations.push(json!({ "name": name, "samplers": samplers, "channels": channels }));
    }

    fn finish(self, title: &str) -> String {
        let mut root = Map::new();
        let nodes: Vec<usize> = (0..self.nodes.len()).collect();
        root.insert("asset".into(), json!({ "version": "2.0", "generator": "plica" }));
        root.insert("scene".into(), json!(0));
        let mut scene = Map::new();
        scene.insert("name".into(), json!(title));
        // The format allows no empty lists.
        let lists = [
            ("nodes", self.nodes),
            ("meshes", self.meshes),
            ("materials", self.materials),
            ("animations", self.animations),
            ("accessors", self.buffer.accessors()),
            ("bufferViews", self.buffer.views()),
            ("buffers", self.buffer.data()),
        ];
        if !nodes.is_empty() {
            scene.insert("nodes".into(), json!(nodes));
        }
        root.insert("scenes".into(), json!([scene]));
        for (name, list) in lists {
            if !list.is_empty() {
                root.insert(name.into(), Value::Array(list));
            }
        }
        let mut text = serde_json::to_string(&Value::Object(root)).unwrap_or_default();
        text.push('\n');
        text
    }
}

fn translation(frame: &Iso) -> [f64; 3] {
    [frame.shift.x, frame.shift.y, frame.shift.z].map(|mm| mm * METRES_PER_MM)
}

/// The turn as a unit quaternion x, y, z, w: half-angle formula on the rotation vector.
fn quaternion(frame: &Iso) -> [f64; 4] {
    let vector = frame.rotation_vector();
    let angle = vector.norm();
    if angle < 1e-12 {
        return [0.0, 0.0, 0.0, 1.0];
    }
    let (sin, cos) = (libm::sin(angle / 2.0), libm::cos(angle / 2.0));
    let axis = vector / angle;
    [axis.x * sin, axis.y * sin, axis.z * sin, cos]
}

/// A turn is the same with all signs changed; neighbours in time get the signs that lie together.
fn without_jumps(turns: impl Iterator<Item = [f64; 4]>) -> Vec<[f64; 4]> {
    let mut all: Vec<[f64; 4]> = Vec::new();
    for turn in turns {
        let against =
            all.last().is_some_and(|last| last.iter().zip(&turn).map(|(a, b)| a * b).sum::<f64>() < 0.0);
        all.push(if against { turn.map(|part| -part) } else { turn });
    }
    all
}

/// A channel of sRGB (IEC 61966-2-1) as the linear value the format wants.
fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
}

/// As a float of the buffer would hold it, so that a pose and the first key of a motion agree.
fn number(value: f64) -> Value {
    let single = buffer::single(value);
    serde_json::Number::from_f64(f64::from(single)).map_or(Value::Null, Value::Number)
}
