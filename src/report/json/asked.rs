//! What was asked beyond findings, as JSON.

use super::Place;
use crate::assembly::Assembly;
use crate::compile::{Answer, Edges, Room, Together, WIDEST_MM};
use crate::geometry::Point;
use crate::layers::EdgesOn;
use crate::source::SourceMap;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct RoomForm {
    place: Option<Place>,
    value_mm: f64,
    /// `null` when there is more room than any hand needs.
    less_mm: Option<f64>,
    more_mm: Option<f64>,
    then: Option<String>,
}

impl RoomForm {
    pub fn of(room: &Room, sources: &SourceMap) -> Self {
        let way = |mm: f64| (mm < WIDEST_MM).then_some(mm);
        Self {
            place: Place::of(room.span, sources),
            value_mm: room.value,
            less_mm: way(room.less),
            more_mm: way(room.more),
            then: room.then.clone(),
        }
    }
}

/// All measurements off at once.
#[derive(Debug, Serialize)]
pub(super) struct TogetherForm {
    up_to_mm: f64,
    ways: usize,
    then: Option<String>,
}

impl TogetherForm {
    pub fn of(together: &Together) -> Self {
        Self { up_to_mm: rounded(together.up_to), ways: together.ways, then: together.then.clone() }
    }
}

#[derive(Debug, Serialize)]
pub(super) struct AnswerForm {
    place: Option<Place>,
    /// From–to in mm or degrees.
    ranges: Vec<(f64, f64)>,
    unit: &'static str,
    beyond: bool,
    beside: Vec<Place>,
}

impl AnswerForm {
    pub fn of(answer: &Answer, sources: &SourceMap) -> Self {
        Self {
            place: Place::of(answer.span, sources),
            ranges: answer.ranges.clone(),
            unit: answer.dimension.unit(),
            beyond: answer.beyond,
            beside: answer.beside.iter().filter_map(|span| Place::of(*span, sources)).collect(),
        }
    }
}

/// What is seen of a face in one pose, and where other parts end on it; lengths from its left and its top.
#[derive(Debug, Serialize)]
pub(super) struct EdgesForm {
    pose: String,
    flat: bool,
    seen: Vec<SeenForm>,
    edges: Vec<EdgeForm>,
}

/// A box about a part of the face that is seen, and its true area.
#[derive(Debug, Serialize)]
struct SeenForm {
    from_mm: [f64; 2],
    to_mm: [f64; 2],
    area_mm2: f64,
}

#[derive(Debug, Serialize)]
struct EdgeForm {
    part: String,
    /// Two points of a straight edge, more of a curved one.
    line_mm: Vec<[f64; 2]>,
}

impl EdgesForm {
    pub fn all(edges: &Edges, assembly: &Assembly) -> Vec<Self> {
        let corner = edges.bounds.min;
        let at = |p: Point| [p.x - corner.x, p.y - corner.y].map(rounded);
        let form = |pose: &EdgesOn| Self {
            pose: assembly.poses.get(pose.pose).map(|p| p.name.clone()).unwrap_or_default(),
            flat: pose.seen.is_some(),
            seen: pose
                .seen
                .iter()
                .flatten()
                .map(|part| SeenForm {
                    from_mm: at(part.bounds().min),
                    to_mm: at(part.bounds().max),
                    area_mm2: rounded(part.area()),
                })
                .collect(),
            edges: pose
                .edges
                .iter()
                .map(|edge| EdgeForm {
                    part: assembly.panel_name(edge.panel),
                    line_mm: edge.line.iter().map(|p| at(*p)).collect(),
                })
                .collect(),
        };
        edges.poses.iter().map(form).collect()
    }
}

/// To the micrometre.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}
