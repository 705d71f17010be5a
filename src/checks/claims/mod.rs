//! Claims: every `expect` of the design is worked out and compared with what it says.
//!
//! A claim that another check has spoken of already (a card that does not go into its envelope) is not told twice. A
//! claim that cannot be decided is reported as such: it does not count as proven.

mod covers;
mod measure;
mod moving;
mod predicate;
mod seen;
mod words;

use super::Subject;
use crate::assembly::claims::{Arithmetic, Claim, ClaimExpr, ClaimKind, Comparison, Measure, Predicate};
use crate::findings::{Findings, Label, Named, Rewrite, catalogue as found};
use crate::quantity::{Dimension, Rounding};
use crate::source::Span;
use rayon::prelude::*;

/// What hinders a motion in which no order of the layers allows what the design asks.
pub const LAYERS_BLOCK: &str = "the layers get in each other's way";

/// What a claim's expression comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// In base units, with the parts that decide it.
    Number { value: f64, dimension: Dimension, governs: Vec<Label> },
    /// Whether it holds, and why not when it does not.
    Truth { holds: bool, because: String, others: Vec<Label> },
    /// It cannot be decided, in words.
    Unknown(String),
    /// It is the way of a slide that nothing stops.
    Endless(Named),
    /// Another finding has told it.
    Told,
}

impl Found {
    fn number(value: f64, dimension: Dimension) -> Self {
        Self::Number { value, dimension, governs: Vec::new() }
    }

    fn truth(holds: bool, because: impl Into<String>) -> Self {
        Self::Truth { holds, because: because.into(), others: Vec::new() }
    }
}

/// What became of a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    Holds,
    Fails,
    /// It cannot be decided.
    Unproven,
    /// A finding about what it speaks of stands in its way.
    Told,
}

/// A claim, and what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    pub span: Span,
    /// The claim in words, as a design writes it.
    pub said: String,
    pub standing: Standing,
    /// What was measured and what the claim compares it with, in base units.
    pub measured: Option<(f64, f64, Dimension)>,
}

/// Claims in the order of the design.
pub fn check(subject: &Subject, sink: &mut Findings) -> Vec<Outcome> {
    let say = sink.say;
    let told: Vec<(Outcome, Findings)> = subject
        .assembly
        .claims
        .par_iter()
        .map(|claim| {
            let mut own = Findings::speaking(say);
            (judge(subject, claim, &mut own), own)
        })
        .collect();
    let (outcomes, findings): (Vec<Outcome>, Vec<Findings>) = told.into_iter().unzip();
    findings.into_iter().for_each(|own| sink.extend(own));
    outcomes
}

/// What a claim of a size asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// Pieces and stops alone: no pose need be known.
    OfPieces,
    /// Where things are in a pose, but not how they lie over each other.
    OfPoses,
}

/// As [`check`], of the claims that compare sizes and ask this.
pub fn check_sizes(subject: &Subject, asked: Asked, sink: &mut Findings) {
    let wanted = |claim: &&Claim| match &claim.expr.kind {
        ClaimKind::Compare(_, left, right) => {
            asks(left).zip(asks(right)).is_some_and(|(a, b)| a.max(b) == Some(asked))
        }
        _ => false,
    };
    for claim in subject.assembly.claims.iter().filter(wanted) {
        judge(subject, claim, sink);
    }
}

/// The most that an expression asks for; `None` when that is no size, `Some(None)` when it asks for nothing.
fn asks(expr: &ClaimExpr) -> Option<Option<Asked>> {
    match &expr.kind {
        ClaimKind::Value { .. } => Some(None),
        ClaimKind::Measure(measure) => match measure {
            Measure::Mass | Measure::Travel(_) | Measure::PieceWidth(_) | Measure::PieceHeight(_) => {
                Some(Some(Asked::OfPieces))
            }
            Measure::Thickness(_) | Measure::Visible(..) => None,
            _ => Some(Some(Asked::OfPoses)),
        },
        ClaimKind::Negate(inner) | ClaimKind::Absolute(inner) => asks(inner),
        ClaimKind::Arithmetic(_, a, b) => Some(asks(a)?.max(asks(b)?)),
        ClaimKind::Yes(_) | ClaimKind::Predicate(_) | ClaimKind::Not(_) | ClaimKind::Compare(..) => None,
    }
}

fn judge(subject: &Subject, claim: &Claim, sink: &mut Findings) -> Outcome {
    let said = words::expr(subject.assembly, &claim.expr);
    let outcome = |standing, measured| Outcome { span: claim.span, said: said.clone(), standing, measured };
    if let Some((comparison, left, right)) = compared(&claim.expr)
        && let (
            Found::Number { value, dimension, governs },
            Found::Number { value: claimed, governs: others, .. },
        ) = (evaluate(subject, left), evaluate(subject, right))
    {
        let measured = Some((value, claimed, dimension));
        if holds(comparison, value, claimed, dimension) {
            return outcome(Standing::Holds, measured);
        }
        let mend = match (&right.kind, comparison) {
            (ClaimKind::Value { written, .. }, Comparison::Equal) if dimension == Dimension::Length => {
                written.literal.map(|literal| Rewrite { literal, value, rounding: Rounding::Nearest })
            }
            _ => None,
        };
        sink.report(found::ClaimNotMet {
            place: claim.span,
            left: words::expr(subject.assembly, left),
            found: value,
            claimed,
            dimension,
            asks: words::asked(comparison),
            governs: governs.into_iter().chain(others).collect(),
            mend,
        });
        return outcome(Standing::Fails, measured);
    }
    match evaluate(subject, &claim.expr) {
        Found::Truth { holds: true, .. } => outcome(Standing::Holds, None),
        Found::Told | Found::Number { .. } => outcome(Standing::Told, None),
        Found::Truth { because, others, .. } => {
            // A card that falls, goes into no envelope or is not posted has a finding of its own.
            let is_told = matches!(&claim.expr.kind, ClaimKind::Predicate(p) if is_told_apart(p));
            let outcome = outcome(Standing::Fails, None);
            if !is_told {
                sink.report(found::ClaimFails { place: claim.span, said, because, others });
            }
            outcome
        }
        Found::Unknown(why) => {
            let outcome = outcome(Standing::Unproven, None);
            sink.report(found::CannotProveYet { place: claim.span, said, why, slide: None });
            outcome
        }
        Found::Endless(slide) => {
            let outcome = outcome(Standing::Unproven, None);
            let why = format!("nothing stops `{}`", slide.name);
            sink.report(found::CannotProveYet { place: claim.span, said, why, slide: Some(slide) });
            outcome
        }
    }
}

fn is_told_apart(predicate: &Predicate) -> bool {
    matches!(predicate, Predicate::Stands { .. } | Predicate::Fits { .. } | Predicate::Posts { .. })
}

/// The two sides of a comparison, what is measured first.
fn compared(expr: &ClaimExpr) -> Option<(Comparison, &ClaimExpr, &ClaimExpr)> {
    let ClaimKind::Compare(comparison, left, right) = &expr.kind else { return None };
    if is_measured(left) || !is_measured(right) {
        return Some((*comparison, left, right));
    }
    let turned = match comparison {
        Comparison::Less => Comparison::Greater,
        Comparison::LessOrEqual => Comparison::GreaterOrEqual,
        Comparison::Greater => Comparison::Less,
        Comparison::GreaterOrEqual => Comparison::LessOrEqual,
        Comparison::Equal | Comparison::NotEqual => *comparison,
    };
    Some((turned, right, left))
}

fn is_measured(expr: &ClaimExpr) -> bool {
    match &expr.kind {
        ClaimKind::Measure(_) | ClaimKind::Predicate(_) => true,
        ClaimKind::Value { .. } | ClaimKind::Yes(_) => false,
        ClaimKind::Not(inner) | ClaimKind::Negate(inner) | ClaimKind::Absolute(inner) => is_measured(inner),
        ClaimKind::Arithmetic(_, a, b) | ClaimKind::Compare(_, a, b) => is_measured(a) || is_measured(b),
    }
}

pub fn evaluate(subject: &Subject, expr: &ClaimExpr) -> Found {
    match &expr.kind {
        ClaimKind::Value { written, dimension, .. } => Found::number(written.value, *dimension),
        ClaimKind::Yes(yes) => Found::truth(*yes, "it says so"),
        ClaimKind::Measure(measure) => measure::measure(subject, measure),
        ClaimKind::Predicate(predicate) => predicate::predicate(subject, predicate),
        ClaimKind::Not(inner) => match evaluate(subject, inner) {
            Found::Truth { holds, others, .. } => Found::Truth {
                holds: !holds,
                because: format!("{} holds", words::expr(subject.assembly, inner)),
                others,
            },
            other => other,
        },
        ClaimKind::Negate(inner) => match evaluate(subject, inner) {
            Found::Number { value, dimension, governs } => {
                Found::Number { value: -value, dimension, governs }
            }
            other => other,
        },
        ClaimKind::Absolute(inner) => match evaluate(subject, inner) {
            Found::Number { value, dimension, governs } => {
                Found::Number { value: value.abs(), dimension, governs }
            }
            other => other,
        },
        ClaimKind::Arithmetic(operation, a, b) => {
            both(evaluate(subject, a), evaluate(subject, b), |a, b| computed(*operation, a, b))
        }
        ClaimKind::Compare(comparison, a, b) => {
            both(evaluate(subject, a), evaluate(subject, b), |(x, d), (y, _)| {
                Found::truth(holds(*comparison, x, y, d), "the two sides differ")
            })
        }
    }
}

/// Joins two numbers; what is not known stays so.
fn both(a: Found, b: Found, join: impl Fn((f64, Dimension), (f64, Dimension)) -> Found) -> Found {
    match (a, b) {
        (
            Found::Number { value: x, dimension: d, governs: mut g },
            Found::Number { value: y, dimension: e, governs: h },
        ) => match join((x, d), (y, e)) {
            Found::Number { value, dimension, .. } => {
                g.extend(h);
                Found::Number { value, dimension, governs: g }
            }
            other => other,
        },
        // Two claims compared with each other: yes and no are compared as they are.
        (Found::Truth { holds: x, .. }, Found::Truth { holds: y, .. }) => {
            Found::truth(x == y, "one of the two holds and the other does not")
        }
        (Found::Told, _) | (_, Found::Told) => Found::Told,
        (Found::Unknown(why), _) | (_, Found::Unknown(why)) => Found::Unknown(why),
        (Found::Endless(slide), _) | (_, Found::Endless(slide)) => Found::Endless(slide),
        _ => Found::Unknown("a number is compared with a yes or no".into()),
    }
}

/// A value this near to a whole number of steps is one: what was measured is no exact fraction.
const SAME_STEP: f64 = 1e-6;

fn computed(operation: Arithmetic, (x, d): (f64, Dimension), (y, e): (f64, Dimension)) -> Found {
    let (value, dimension) = match operation {
        Arithmetic::Add => (x + y, Some(d)),
        Arithmetic::Subtract => (x - y, Some(d)),
        Arithmetic::Multiply => (x * y, d.times(e)),
        Arithmetic::Divide if y == 0.0 => return Found::Unknown("it divides by zero".into()),
        Arithmetic::RoundUp | Arithmetic::RoundDown if y <= 0.0 => {
            return Found::Unknown("a step must be greater than zero".into());
        }
        Arithmetic::Divide => (x / y, d.over(e)),
        Arithmetic::RoundUp => ((x / y - SAME_STEP).ceil() * y, Some(d)),
        Arithmetic::RoundDown => ((x / y + SAME_STEP).floor() * y, Some(d)),
        Arithmetic::Min => (x.min(y), Some(d)),
        Arithmetic::Max => (x.max(y), Some(d)),
    };
    match dimension {
        Some(dimension) if value.is_finite() => Found::number(value, dimension),
        _ => Found::Unknown("the result is beyond all measure".into()),
    }
}

/// Two measures closer than this are equal: half of what is reported.
fn tolerance(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::Number => 5e-4,
        Dimension::Area => 0.5,
        Dimension::Length | Dimension::Angle | Dimension::Mass | Dimension::Grammage => 0.05,
    }
}

/// What is less or more differs by more than loops and sums of fractions are off, in every dimension's base unit.
const STRICT: f64 = 1e-6;

fn holds(comparison: Comparison, x: f64, y: f64, dimension: Dimension) -> bool {
    // A sum of thicknesses may miss the half itself by what it is rounded by.
    let near = tolerance(dimension) * (1.0 + 1e-9);
    match comparison {
        Comparison::Equal => (x - y).abs() <= near,
        Comparison::NotEqual => (x - y).abs() > near,
        Comparison::Less => x < y - STRICT,
        Comparison::LessOrEqual => x <= y + near,
        Comparison::Greater => x > y + STRICT,
        Comparison::GreaterOrEqual => x >= y - near,
    }
}
