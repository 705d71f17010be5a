//! What was asked beyond findings, in words: room for the hand, and how many values fit a blank.

use super::Look;
use crate::compile::{Answer, Compiled, Edges, Extra, Hand, NoSuchFace, PRECISION_MM, Together, WIDEST_MM};
use crate::findings::Say;
use crate::geometry::Point;
use crate::layers::EdgeOn;
use crate::quantity::tolerance::COINCIDENT_MM;
use crate::quantity::{Dimension, Rounding, say_number};
use crate::source::SourceMap;
use std::fmt::Write as _;

/// Measurements listed when none is tighter than the hand.
const LISTED: usize = 3;

pub fn words(extra: &Extra, compiled: &Compiled, say: Say, look: &Look) -> String {
    let sources = &compiled.sources;
    let mut out = String::new();
    if let Some((give, answers)) = &extra.answers {
        for answer in answers {
            let _ = writeln!(out, "{}", look.text(&answer_words(answer, *give, sources, say)));
        }
    }
    if let Some(hand) = &extra.hand {
        out.push_str(&look.text(&hand_words(hand, sources, say)));
    }
    if let Some(Ok(edges)) = &extra.edges {
        out.push_str(&look.text(&edges_words(edges, compiled, say)));
    }
    out
}

pub fn no_such_face(unknown: &NoSuchFace) -> String {
    let near = unknown.near.as_ref().map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
    format!("no part is called `{}`{near}", unknown.name)
}

/// Lengths from the left and the top of the face, as readings of a design are.
fn edges_words(edges: &Edges, compiled: &Compiled, say: Say) -> String {
    let mut out = String::new();
    let assembly = &compiled.assembly;
    let corner = edges.bounds.min;
    let _ = writeln!(out, "the {}, read from its left and from its top:", edges.face);
    let mut marks: Vec<String> = Vec::new();
    for pose in &edges.poses {
        let name = assembly.poses.get(pose.pose).map_or("", |p| p.name.as_str());
        let Some(seen) = &pose.seen else {
            let _ = writeln!(out, "  in `{name}` the card does not lie flat");
            continue;
        };
        if seen.is_empty() {
            let _ = writeln!(out, "  in `{name}` it is hidden");
        }
        for part in seen {
            let b = part.bounds();
            let across = span(say, b.min.x - corner.x, b.max.x - corner.x);
            let down = span(say, b.min.y - corner.y, b.max.y - corner.y);
            let _ = writeln!(out, "  in `{name}` it is seen from {across} across, {down} down");
        }
        for edge in &pose.edges {
            let part = assembly.panel_name(edge.panel);
            let place = edge_place(edge, corner, say);
            let _ = writeln!(out, "    `{part}` ends {place}");
            let middle = edge.middle() - corner;
            let write = |mm: f64| say.write(mm, Rounding::Nearest);
            marks.push(format!("{} from left, {} from top", write(middle.x), write(middle.y)));
            let number = marks.len();
            if let Some(mark) = marks.last_mut() {
                *mark = format!("  mark {}_{name}_{number}: {mark}", part.replace('.', "_"));
            }
        }
    }
    if !marks.is_empty() {
        let _ = writeln!(out, "marks for the piece, in the middle of each edge:");
        for mark in marks {
            let _ = writeln!(out, "{mark}");
        }
    }
    out
}

fn span(say: Say, from: f64, to: f64) -> String {
    format!("{} to {}", say.length(from), say.length(to))
}

/// `12 mm from top, 0 mm to 84 mm across`
fn edge_place(edge: &EdgeOn, corner: Point, say: Say) -> String {
    let Some(line) = edge.straight() else {
        let b = edge.bounds();
        let across = span(say, b.min.x - corner.x, b.max.x - corner.x);
        let down = span(say, b.min.y - corner.y, b.max.y - corner.y);
        return format!("along a curve, {across} across, {down} down");
    };
    let (a, b) = (line.start - corner, line.end - corner);
    if (a.y - b.y).abs() <= COINCIDENT_MM {
        format!("{} from top, {} across", say.length(a.y), span(say, a.x.min(b.x), a.x.max(b.x)))
    } else if (a.x - b.x).abs() <= COINCIDENT_MM {
        format!("{} from left, {} down", say.length(a.x), span(say, a.y.min(b.y), a.y.max(b.y)))
    } else {
        let point = |p: Point| format!("({}, {})", say.length(p.x), say.length(p.y));
        format!("from {} to {}", point(a), point(b))
    }
}

fn answer_words(answer: &Answer, give: bool, sources: &SourceMap, say: Say) -> String {
    let line_of = |span| sources.place(span).map_or(0, |(_, place)| place.line);
    let mut beside: Vec<String> = answer.beside.iter().map(|span| line_of(*span).to_string()).collect();
    beside.dedup();
    let lines = if beside.len() > 1 { "lines" } else { "line" };
    let beside = match beside.as_slice() {
        [] => String::new(),
        open => format!(", with that in {lines} {} still open", open.join(", ")),
    };
    let blank = format!("blank in line {}{beside}", line_of(answer.span));
    let count = match answer.ranges.as_slice() {
        [] => "no value fits".to_string(),
        [(low, high)] if high - low < 1e-9 => "exactly one value fits".to_string(),
        [_] => "the values that fit lie in one range".to_string(),
        more => format!("the values that fit lie in {} ranges", more.len()),
    };
    if !give || answer.ranges.is_empty() {
        return format!("{blank}: {count}");
    }
    let value = |v: f64, rounding| match answer.dimension {
        Dimension::Length => say.write(v, rounding),
        Dimension::Angle => say.write_angle(v, rounding),
        _ => say_number(v),
    };
    let last = answer.ranges.len() - 1;
    let ranges = answer.ranges.iter().enumerate().map(|(n, (low, high))| {
        let (a, b) = (value(*low, Rounding::Up), value(*high, Rounding::Down));
        match answer.beyond && n == last {
            true => format!("{a} or more (no more than {b} was tried)"),
            false if a == b || high - low < 1e-9 => value(*low, Rounding::Nearest),
            false => format!("{a} to {b}"),
        }
    });
    format!("{blank}: {count}: {}", ranges.collect::<Vec<String>>().join(", "))
}

fn hand_words(Hand { off: hand, rooms, together }: &Hand, sources: &SourceMap, say: Say) -> String {
    let (hand, mut out) = (*hand, String::new());
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
        // No more than was found to hold.
        let steps = |mm: f64| (mm / PRECISION_MM + 1e-6).floor();
        let way =
            |mm: f64| if mm >= WIDEST_MM { "much".into() } else { say.thickness(steps(mm) * PRECISION_MM) };
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
    let precision = say.length(PRECISION_MM);
    let _ = writeln!(out, "each was moved by itself, by bisection to {precision}");
    if let Some(Together { up_to, ways, then }) = together {
        let _ = writeln!(
            out,
            "all of them off at once, in {ways} ways of a fixed sequence: up to {} nothing gives",
            say.length(*up_to)
        );
        if let Some(then) = then {
            let _ = writeln!(out, "    beyond that: {then}");
        }
    }
    out
}
