//! What was asked beyond findings, as JSON.

use super::Place;
use crate::compile::{Answer, Room, WIDEST_MM};
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

#[derive(Debug, Serialize)]
pub(super) struct AnswerForm {
    place: Option<Place>,
    /// From–to in mm or degrees.
    ranges: Vec<(f64, f64)>,
}

impl AnswerForm {
    pub fn of(answer: &Answer, sources: &SourceMap) -> Self {
        Self { place: Place::of(answer.span, sources), ranges: answer.ranges.clone() }
    }
}
