//! Claims in words, as the design writes them.

use crate::assembly::claims::*;
use crate::assembly::{Assembly, JointId};
use crate::findings::Say;
use crate::quantity::{Dimension, say_angle, say_mass, say_number};

/// "at least", "exactly".
pub fn asked(comparison: Comparison) -> &'static str {
    match comparison {
        Comparison::Equal => "exactly",
        Comparison::NotEqual => "anything but",
        Comparison::Less => "less than",
        Comparison::LessOrEqual => "at most",
        Comparison::Greater => "more than",
        Comparison::GreaterOrEqual => "at least",
    }
}

fn sign(comparison: Comparison) -> &'static str {
    match comparison {
        Comparison::Equal => "=",
        Comparison::NotEqual => "!=",
        Comparison::Less => "<",
        Comparison::LessOrEqual => "<=",
        Comparison::Greater => ">",
        Comparison::GreaterOrEqual => ">=",
    }
}

pub fn expr(assembly: &Assembly, expression: &ClaimExpr) -> String {
    let inner = |e: &ClaimExpr| expr(assembly, e);
    match &expression.kind {
        ClaimKind::Value { name: Some(name), .. } => name.clone(),
        ClaimKind::Value { written, dimension, .. } => value(assembly, written.value, *dimension),
        ClaimKind::Yes(yes) => (if *yes { "yes" } else { "no" }).into(),
        ClaimKind::Measure(measure) => measured(assembly, measure),
        ClaimKind::Predicate(predicate) => predicated(assembly, predicate),
        ClaimKind::Not(e) => format!("not {}", inner(e)),
        ClaimKind::Negate(e) => format!("-{}", inner(e)),
        ClaimKind::Absolute(e) => format!("abs({})", inner(e)),
        ClaimKind::Arithmetic(operation, a, b) => {
            let (a, b) = (inner(a), inner(b));
            match operation {
                Arithmetic::Add => format!("{a} + {b}"),
                Arithmetic::Subtract => format!("{a} - {b}"),
                Arithmetic::Multiply => format!("{a} * {b}"),
                Arithmetic::Divide => format!("{a} / {b}"),
                Arithmetic::Min => format!("min({a}, {b})"),
                Arithmetic::Max => format!("max({a}, {b})"),
                Arithmetic::RoundUp => format!("round_up({a}, {b})"),
                Arithmetic::RoundDown => format!("round_down({a}, {b})"),
            }
        }
        ClaimKind::Compare(comparison, a, b) => format!("{} {} {}", inner(a), sign(*comparison), inner(b)),
    }
}

fn value(assembly: &Assembly, value: f64, dimension: Dimension) -> String {
    match dimension {
        Dimension::Angle => say_angle(value),
        Dimension::Mass => say_mass(value),
        Dimension::Number => say_number(value),
        _ => Say { units: assembly.units }.value(value, dimension),
    }
}

fn pose(assembly: &Assembly, id: PoseId) -> &str {
    assembly.poses.get(id).map_or("?", |p| &p.name)
}

fn motion(assembly: &Assembly, id: MotionId) -> &str {
    assembly.motions.get(id).map_or("?", |m| &m.name)
}

fn joint(assembly: &Assembly, id: JointId) -> &str {
    assembly.joints.get(id).map_or("?", |j| &j.name)
}

pub fn part(assembly: &Assembly, part: &Part) -> String {
    let piece = assembly.pieces.get(part.piece).map_or("?", |p| &p.name);
    match part.panel.and_then(|p| assembly.panels.get(p)) {
        Some(panel) => format!("{piece}.{}", panel.name),
        None => piece.into(),
    }
}

pub fn thing(assembly: &Assembly, thing: &Thing) -> String {
    match thing {
        Thing::Part(p) => part(assembly, p),
        Thing::Print(id) => assembly.prints.get(*id).map_or("?".into(), |p| p.name.clone()),
    }
}

fn measured(assembly: &Assembly, measure: &Measure) -> String {
    match measure {
        Measure::Width(p) => format!("width({})", pose(assembly, *p)),
        Measure::Height(p) => format!("height({})", pose(assembly, *p)),
        Measure::Depth(p) => format!("depth({})", pose(assembly, *p)),
        Measure::Thickness(p) => format!("thickness({})", pose(assembly, *p)),
        Measure::Mass => "mass()".into(),
        Measure::Travel(j) => format!("travel({})", joint(assembly, *j)),
        Measure::Rise(p) => format!("rise({})", part(assembly, p)),
        Measure::Lean(a, p) => format!("lean({}, {})", part(assembly, a), pose(assembly, *p)),
        Measure::Angle(j, p) => format!("angle({}, {})", joint(assembly, *j), pose(assembly, *p)),
        Measure::Visible(t, p) => format!("visible({}, {})", thing(assembly, t), pose(assembly, *p)),
        Measure::Gap(a, b, p) => {
            format!("gap({}, {}, {})", part(assembly, a), part(assembly, b), pose(assembly, *p))
        }
        Measure::PieceWidth(p) => format!("width({})", part(assembly, p)),
        Measure::PieceHeight(p) => format!("height({})", part(assembly, p)),
    }
}

fn predicated(assembly: &Assembly, predicate: &Predicate) -> String {
    match predicate {
        Predicate::Fits { pose: p } => format!("fits({}, envelope)", pose(assembly, *p)),
        Predicate::Posts { pose: p } => format!("fits({}, post)", pose(assembly, *p)),
        Predicate::Moves { motion: m } => format!("moves({})", motion(assembly, *m)),
        Predicate::Stands { pose: p } => format!("stands({})", pose(assembly, *p)),
        Predicate::FoldsFlat { pose: p } => format!("folds_flat({})", pose(assembly, *p)),
        Predicate::Hidden { thing: t, pose: p } => {
            format!("hidden({}, {})", thing(assembly, t), pose(assembly, *p))
        }
        Predicate::Visible { thing: t, pose: p } => {
            format!("visible({}, {})", thing(assembly, t), pose(assembly, *p))
        }
        Predicate::Clear { part: p, of } => format!("clear({}, {})", part(assembly, p), of.name),
        Predicate::Captive { part: p, motion: m } => {
            format!("captive({}, {})", part(assembly, p), motion(assembly, *m))
        }
    }
}
