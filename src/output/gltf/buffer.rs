//! The one buffer of a file: floats and indices one after another, each run with its view and its accessor.

use crate::output::data;
use serde_json::{Value, json};

/// Component types of the format.
const UNSIGNED_INT: u32 = 5125;
const FLOAT: u32 = 5126;
/// What a view is for: `ARRAY_BUFFER` and `ELEMENT_ARRAY_BUFFER`.
const VERTICES: u32 = 34962;
const INDICES: u32 = 34963;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Scalar,
    Vec3,
    Vec4,
}

impl Kind {
    fn parts(self) -> usize {
        match self {
            Self::Scalar => 1,
            Self::Vec3 => 3,
            Self::Vec4 => 4,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Scalar => "SCALAR",
            Self::Vec3 => "VEC3",
            Self::Vec4 => "VEC4",
        }
    }
}

#[derive(Default)]
pub(super) struct Buffer {
    bytes: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
}

/// Rounded to a ten-millionth (a ten-thousandth of a millimetre) and never minus zero: the last bits of a rotation are
/// no one's business.
pub(super) fn single(value: f64) -> f32 {
    let rounded = (value * 1e7).round() / 1e7;
    if rounded == 0.0 { 0.0 } else { rounded as f32 }
}

impl Buffer {
    /// Adds floats and gives their accessor; `bounded` states the least and the greatest of each component.
    pub fn floats(&mut self, kind: Kind, values: impl Iterator<Item = f64>, bounded: bool) -> usize {
        let values: Vec<f32> = values.map(single).collect();
        let offset = self.bytes.len();
        values.iter().for_each(|value| self.bytes.extend(value.to_le_bytes()));
        let target = (kind == Kind::Vec3 && bounded).then_some(VERTICES);
        let view = self.view(offset, target);
        let mut accessor = json!({
            "bufferView": view,
            "componentType": FLOAT,
            "count": values.len() / kind.parts(),
            "type": kind.word(),
        });
        if bounded && let Some(object) = accessor.as_object_mut() {
            let of = |start: f32, pick: fn(f32, f32) -> f32| -> Vec<f32> {
                (0..kind.parts())
                    .map(|part| values.iter().skip(part).step_by(kind.parts()).copied().fold(start, pick))
                    .collect()
            };
            object.insert("min".into(), json!(of(f32::INFINITY, f32::min)));
            object.insert("max".into(), json!(of(f32::NEG_INFINITY, f32::max)));
        }
        self.accessors.push(accessor);
        self.accessors.len() - 1
    }

    pub fn indices(&mut self, indices: &[u32]) -> usize {
        let offset = self.bytes.len();
        indices.iter().for_each(|index| self.bytes.extend(index.to_le_bytes()));
        let view = self.view(offset, Some(INDICES));
        self.accessors.push(json!({
            "bufferView": view, "componentType": UNSIGNED_INT, "count": indices.len(), "type": "SCALAR",
        }));
        self.accessors.len() - 1
    }

    /// Everything is four bytes wide, so that every view is aligned.
    fn view(&mut self, offset: usize, target: Option<u32>) -> usize {
        let mut view = json!({ "buffer": 0, "byteOffset": offset, "byteLength": self.bytes.len() - offset });
        if let (Some(target), Some(object)) = (target, view.as_object_mut()) {
            object.insert("target".into(), json!(target));
        }
        self.views.push(view);
        self.views.len() - 1
    }

    pub fn accessors(&self) -> Vec<Value> {
        self.accessors.clone()
    }

    pub fn views(&self) -> Vec<Value> {
        self.views.clone()
    }

    pub fn data(&self) -> Vec<Value> {
        if self.bytes.is_empty() {
            return Vec::new();
        }
        let uri = data::uri("application/octet-stream", &self.bytes);
        vec![json!({ "byteLength": self.bytes.len(), "uri": uri })]
    }
}
