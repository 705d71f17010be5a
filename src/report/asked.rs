//! What was asked beyond findings, in words: room for the hand, and how many values fit a blank.

use super::Look;
use crate::compile::{Answer, Extra, Room, WIDEST_MM};
use crate::findings::Say;
use crate::quantity::{Dimension, Rounding};
use crate::source::SourceMap;
use std::fmt::Write as _;

/// Measurements listed when none is tighter than the hand.
const LISTED: usize = 3;

pub fn words(extra: &Extra, sources: &SourceMap, say: Say, look: &Look) -> String {
    let mut out = String::new();
    if let Some((give, answers)) = &extra.answers {
        for answer in answers {
            let _ = writeln!(out, "{}", look.text(&answer_words(answer, *give, sources, say)));
        }
    }
    if let Some((hand, rooms)) = &extra.hand {
        out.push_str(&look.text(&hand_words(*hand, rooms, sources, say)));
    }
    out
}

fn answer_words(answer: &Answer, give: bool, sources: &SourceMap, say: Say) -> String {
    let line = sources.place(answer.span).map_or(0, |(_, place)| place.line);
    let count = match answer.ranges.as_slice() {
        [] => "no value fits".to_string(),
        [(low, high)] if high - low < 1e-9 => "exactly one value fits".to_string(),
        [_] => "the values that fit lie in one range".to_string(),
        more => format!("the values that fit lie in {} ranges", more.len()),
    };
    if !give || answer.ranges.is_empty() {
        return format!("blank in line {line}: {count}");
    }
    let value = |v: f64, rounding| match answer.dimension {
        Dimension::Length => say.write(v, rounding),
        _ => format!("{v:.1}deg"),
    };
    let ranges: Vec<String> = answer
        .ranges
        .iter()
        .map(|(low, high)| {
            let (a, b) = (value(*low, Rounding::Up), value(*high, Rounding::Down));
            if a == b || high - low < 1e-9 { value(*low, Rounding::Nearest) } else { format!("{a} to {b}") }
        })
        .collect();
    format!("blank in line {line}: {count}: {}", ranges.join(", "))
}

fn hand_words(hand: f64, rooms: &[Room], sources: &SourceMap, say: Say) -> String {
    let mut out = String::new();
    if rooms.is_empty() {
        return "how far a hand may be off is only asked of a sound design\n".into();
    }
    let tight = rooms.iter().filter(|r| r.least() < hand).count();
    let _ = match tight {
        0 => writeln!(
            out,
            "a hand that is off by {} makes no difference; the least room is:",
            say.length(hand)
        ),
        1 => writeln!(out, "one measurement has less room than {}:", say.length(hand)),
        n => writeln!(out, "{n} measurements have less room than {}; the least is:", say.length(hand)),
    };
    for room in rooms.iter().take(LISTED) {
        let line = sources.place(room.span).map_or(0, |(_, place)| place.line);
        let way = |mm: f64| if mm >= WIDEST_MM { "much".to_string() } else { say.length(mm) };
        let _ = writeln!(
            out,
            "  line {line}, `{}` ({}): {} less or {} more",
            sources.text(room.span),
            say.length(room.value),
            way(room.less),
            way(room.more)
        );
        if let Some(then) = &room.then {
            let _ = writeln!(out, "    beyond that: {then}");
        }
    }
    out.push_str("each was moved by itself, by bisection to 0.05 mm\n");
    out
}
