//! The face on which a maker wants to know the edges, found by the name it has in the design.

use super::Compiled;
use crate::assembly::Face;
use crate::geometry::Rect;
use crate::layers::{self, EdgesOn};
use crate::source::nearest;

/// The edges on one face.
#[derive(Debug, Clone)]
pub struct Edges {
    /// As asked for: `shell.track`, `back of shell.track`.
    pub face: String,
    /// Where readings are taken from: the panel's box in its piece's frame.
    pub bounds: Rect,
    pub poses: Vec<EdgesOn>,
}

/// No panel has that name; the nearest that there is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchFace {
    pub name: String,
    pub near: Option<String>,
}

/// Where edges fall on a face in every pose.
pub fn edges(compiled: &Compiled, face: &str) -> Result<Edges, NoSuchFace> {
    let words: Vec<&str> = face.split_whitespace().collect();
    let (side, name) = match words.as_slice() {
        ["back", "of", name] => (Face::Back, *name),
        ["front", "of", name] | [name] => (Face::Front, *name),
        _ => (Face::Front, face),
    };
    let assembly = &compiled.assembly;
    let names: Vec<String> = (0..assembly.panels.len()).map(|id| assembly.panel_name(id)).collect();
    let found = names.iter().position(|n| n == name);
    let Some((id, panel)) = found.and_then(|id| Some((id, assembly.panels.get(id)?))) else {
        let near = nearest(name, names.iter().map(String::as_str)).map(String::from);
        return Err(NoSuchFace { name: name.into(), near });
    };
    let poses = layers::edges_on(assembly, &compiled.states, &compiled.cards, id, side);
    Ok(Edges { face: format!("{} of {name}", side.word()), bounds: panel.polygon.bounds(), poses })
}
