//! Claims and steps: what the compiler must prove, and the author's own words.

use super::design::{
    Arithmetic, Claim, ClaimExpr, ClaimKind, Comparison, MISSING_CLAIM, Measure, PartOf, Predicate, Quantity,
    Step, Thing,
};
use super::resolve::Entity;
use super::world::{ScopeId, Value, World};
use crate::findings::catalogue::{
    ClaimNotYesNo, DivideByZero, UnknownFunction, UnlikeKinds, WrongArguments, WrongKind,
};
use crate::quantity::Dimension;
use crate::source::{Span, nearest};
use crate::syntax::tree::{Expr, ExprKind, Item, ItemKind, Operator};

const MEASURES: [&str; 11] =
    ["width", "height", "depth", "thickness", "mass", "travel", "rise", "lean", "angle", "visible", "gap"];
const PREDICATES: [&str; 8] =
    ["fits", "moves", "stands", "folds_flat", "hidden", "visible", "clear", "captive"];
/// Functions that stand in claims as in any arithmetic.
const ARITHMETIC: [&str; 5] = ["min", "max", "abs", "round_up", "round_down"];

/// True for a name that only a claim may ask.
pub fn is_measure(name: &str) -> bool {
    MEASURES.contains(&name) || PREDICATES.contains(&name)
}

/// What a part of a claim is: a quantity of a dimension, or yes/no.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Quantity(Dimension),
    Yes,
}

type Typed = (ClaimExpr, Kind);

impl<'t> World<'t> {
    pub fn claim_statement(&mut self, scope: ScopeId, item: &'t Item) {
        match &item.kind {
            ItemKind::Expect(expr) => match self.claim(scope, expr) {
                Some((claim, Kind::Yes)) => self.design.claims.push(Claim { expr: claim, span: item.span }),
                Some((_, Kind::Quantity(dimension))) => {
                    self.report(ClaimNotYesNo { place: expr.span, found: dimension.spoken() });
                }
                None => self.missing(MISSING_CLAIM),
            },
            ItemKind::Step { text, when } => {
                let part = match when {
                    None => None,
                    Some(when) => match self.resolve(scope, &when.part, &[]) {
                        Some(Entity::Piece(decl)) => self.pieces.get(decl).map(|p| p.name.clone()),
                        Some(Entity::Member { piece, .. } | Entity::Edge { piece, .. }) => {
                            self.pieces.get(piece).map(|p| p.name.clone())
                        }
                        Some(Entity::Joint(name) | Entity::Print(name)) => Some(name),
                        Some(other) => {
                            let defined = self.defined(&other);
                            self.report(WrongKind::of(when.part.span, "a part", other.spoken(), defined));
                            return;
                        }
                        None => return,
                    },
                };
                let before = when.as_ref().map(|w| w.before);
                self.design.steps.push(Step { text: text.value.clone(), before, part, span: item.span });
            }
            _ => {}
        }
    }

    fn claim(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Typed> {
        let span = expr.span;
        match &expr.kind {
            ExprKind::Call { function, arguments } if is_measure(&function.value) => {
                self.question(scope, span, &function.value, arguments)
            }
            ExprKind::Call { function, arguments } => {
                let name = function.value.as_str();
                if !ARITHMETIC.contains(&name) {
                    let near = nearest(name, MEASURES.into_iter().chain(PREDICATES).chain(ARITHMETIC))
                        .map(String::from);
                    self.report(UnknownFunction { place: function.span, name: name.to_string(), near });
                    return None;
                }
                if arguments.iter().any(asks) {
                    return self.function_of_claims(scope, span, name, arguments);
                }
                self.plain_claim(scope, expr)
            }
            ExprKind::Not(inner) => match self.claim(scope, inner)? {
                (claim, Kind::Yes) => {
                    Some((ClaimExpr { kind: ClaimKind::Not(Box::new(claim)), span }, Kind::Yes))
                }
                (_, Kind::Quantity(d)) => {
                    self.report(ClaimNotYesNo { place: inner.span, found: d.spoken() });
                    None
                }
            },
            ExprKind::Negate(inner) if asks(inner) => match self.claim(scope, inner)? {
                (claim, kind @ Kind::Quantity(_)) => {
                    Some((ClaimExpr { kind: ClaimKind::Negate(Box::new(claim)), span }, kind))
                }
                (_, Kind::Yes) => {
                    self.report(WrongKind::of(inner.span, "a measurement", "yes or no", None));
                    None
                }
            },
            ExprKind::Binary { operator, left, right } => {
                let a = self.claim(scope, left);
                let b = self.claim(scope, right);
                self.note_claim_blank(left, b.as_ref());
                self.note_claim_blank(right, a.as_ref());
                let ((a, ka), (b, kb)) = (as_share(a?), as_share(b?));
                self.combine(span, operator.value, operator.span, (a, ka), (b, kb))
            }
            _ => self.plain_claim(scope, expr),
        }
    }

    /// A blank beside a measure is of the measure's kind.
    fn note_claim_blank(&mut self, expr: &Expr, other: Option<&Typed>) {
        if let (ExprKind::Blank, Some((_, Kind::Quantity(dimension)))) = (&expr.kind, other) {
            self.note_blank(expr.span, Some(*dimension));
        }
    }

    fn plain_claim(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Typed> {
        match self.evaluate(scope, expr) {
            Value::Quantity(q) => {
                let kind = Kind::Quantity(q.dimension);
                Some((ClaimExpr { kind: ClaimKind::Value(q, named(expr)), span: expr.span }, kind))
            }
            Value::Yes(yes, _) => Some((ClaimExpr { kind: ClaimKind::Yes(yes), span: expr.span }, Kind::Yes)),
            Value::Text(..) => {
                self.report(WrongKind::of(expr.span, "a measurement or a claim", "words", None));
                None
            }
            Value::Missing => None,
        }
    }

    /// `min`, `max`, `abs`, `round_up` or `round_down` of what is measured.
    fn function_of_claims(
        &mut self,
        scope: ScopeId,
        span: Span,
        name: &str,
        arguments: &'t [Expr],
    ) -> Option<Typed> {
        let wanted = match name {
            "abs" => 1,
            "min" | "max" => arguments.len(),
            _ => 2,
        };
        if arguments.len() != wanted {
            self.report(WrongArguments { place: span, name: name.into(), wanted, found: arguments.len() });
            return None;
        }
        match (name, arguments) {
            ("abs", [inner]) => match self.claim(scope, inner)? {
                (claim, kind @ Kind::Quantity(_)) => {
                    Some((ClaimExpr { kind: ClaimKind::Absolute(Box::new(claim)), span }, kind))
                }
                (_, Kind::Yes) => {
                    self.report(WrongKind::of(inner.span, "a measurement", "yes or no", None));
                    None
                }
            },
            ("min", _) => self.fold_claims(scope, span, Arithmetic::Min, arguments),
            ("max", _) => self.fold_claims(scope, span, Arithmetic::Max, arguments),
            ("round_up", _) => self.fold_claims(scope, span, Arithmetic::RoundUp, arguments),
            _ => self.fold_claims(scope, span, Arithmetic::RoundDown, arguments),
        }
    }

    fn fold_claims(
        &mut self,
        scope: ScopeId,
        span: Span,
        operator: Arithmetic,
        list: &'t [Expr],
    ) -> Option<Typed> {
        let mut result: Option<Typed> = None;
        for expr in list {
            let (next, kind) = self.claim(scope, expr)?;
            result = Some(match result {
                None => (next, kind),
                Some((before, k)) if k == kind && kind != Kind::Yes => {
                    let kind_of = ClaimKind::Arithmetic(operator, Box::new(before), Box::new(next));
                    (ClaimExpr { kind: kind_of, span }, kind)
                }
                Some((_, k)) => {
                    self.report(WrongKind::of(expr.span, spoken(k), spoken(kind), None));
                    return None;
                }
            });
        }
        result
    }

    fn combine(&mut self, span: Span, operator: Operator, at: Span, a: Typed, b: Typed) -> Option<Typed> {
        use Operator::*;
        let ((a, ka), (b, kb)) = (a, b);
        let comparison = match operator {
            Equal => Some(Comparison::Equal),
            NotEqual => Some(Comparison::NotEqual),
            Less => Some(Comparison::Less),
            LessOrEqual => Some(Comparison::LessOrEqual),
            Greater => Some(Comparison::Greater),
            GreaterOrEqual => Some(Comparison::GreaterOrEqual),
            _ => None,
        };
        let (Kind::Quantity(da), Kind::Quantity(db)) = (ka, kb) else {
            let place = if ka == Kind::Yes { a.span } else { b.span };
            self.report(WrongKind::of(place, "a measurement", "yes or no", None));
            return None;
        };
        if operator == Divide
            && let ClaimKind::Value(q, _) = &b.kind
            && q.exact.is_zero()
        {
            self.report(DivideByZero { place: b.span, literal: q.literal });
            return None;
        }
        let combined = match operator {
            Multiply => da.times(db),
            Divide => da.over(db),
            _ => (da == db).then_some(da),
        };
        let Some(dimension) = combined else {
            let of = |claim: &ClaimExpr, dimension| Quantity {
                exact: crate::quantity::Exact::ZERO,
                dimension,
                span: claim.span,
                literal: literal(claim),
            };
            let (left, right) = (of(&a, da), of(&b, db));
            self.report(UnlikeKinds {
                place: at,
                operator: super::evaluate::sign(operator),
                left: left.stated(),
                right: right.stated(),
            });
            return None;
        };
        let (a, b) = (Box::new(a), Box::new(b));
        if let Some(comparison) = comparison {
            return Some((ClaimExpr { kind: ClaimKind::Compare(comparison, a, b), span }, Kind::Yes));
        }
        let arithmetic = match operator {
            Add => Arithmetic::Add,
            Subtract => Arithmetic::Subtract,
            Multiply => Arithmetic::Multiply,
            _ => Arithmetic::Divide,
        };
        let kind = ClaimKind::Arithmetic(arithmetic, a, b);
        Some((ClaimExpr { kind, span }, Kind::Quantity(dimension)))
    }

    /// A measure or a claim word with its arguments.
    fn question(&mut self, scope: ScopeId, span: Span, name: &str, arguments: &'t [Expr]) -> Option<Typed> {
        let wanted: &[usize] = match name {
            "mass" => &[0],
            "width" | "height" | "depth" | "thickness" | "travel" | "rise" | "moves" | "stands"
            | "folds_flat" => &[1],
            "gap" => &[3],
            _ => &[2],
        };
        if !wanted.contains(&arguments.len()) {
            let wanted = wanted.first().copied().unwrap_or(1);
            self.report(WrongArguments { place: span, name: name.into(), wanted, found: arguments.len() });
            return None;
        }
        let length = Kind::Quantity(Dimension::Length);
        let (first, second, third) = (arguments.first(), arguments.get(1), arguments.get(2));
        let measure = |m: Measure, kind: Kind| Some((ClaimExpr { kind: ClaimKind::Measure(m), span }, kind));
        let predicate = |p: Predicate| Some((ClaimExpr { kind: ClaimKind::Predicate(p), span }, Kind::Yes));
        match (name, first, second, third) {
            ("mass", ..) => measure(Measure::Mass, Kind::Quantity(Dimension::Mass)),
            ("width" | "height", Some(a), ..) => {
                // `width(shell)` is a cut size, `width(shut)` the card's in a pose.
                if let Some(part) = self.maybe_part(scope, a) {
                    let m =
                        if name == "width" { Measure::PieceWidth(part) } else { Measure::PieceHeight(part) };
                    return measure(m, length);
                }
                let pose = self.pose_of(scope, a)?;
                measure(if name == "width" { Measure::Width(pose) } else { Measure::Height(pose) }, length)
            }
            ("depth", Some(a), ..) => measure(Measure::Depth(self.pose_of(scope, a)?), length),
            ("thickness", Some(a), ..) => measure(Measure::Thickness(self.pose_of(scope, a)?), length),
            ("travel", Some(a), ..) => {
                let ExprKind::Path(path) = &a.kind else { return self.not_a_part(a) };
                let joint = self.joint_of(scope, path)?;
                let kind = if self.slides(&joint) { length } else { Kind::Quantity(Dimension::Angle) };
                measure(Measure::Travel(joint), kind)
            }
            ("rise", Some(a), ..) => measure(Measure::Rise(self.claim_part(scope, a)?), length),
            ("lean", Some(a), Some(b), _) => {
                let (part, pose) = (self.claim_part(scope, a), self.pose_of(scope, b));
                measure(Measure::Lean(part?, pose?), Kind::Quantity(Dimension::Angle))
            }
            ("angle", Some(a), Some(b), _) => {
                let ExprKind::Path(path) = &a.kind else { return self.not_a_part(a) };
                let (joint, pose) = (self.joint_of(scope, path), self.pose_of(scope, b));
                let joint = joint?;
                if self.slides(&joint) {
                    self.report(WrongKind::of(a.span, "a score, a tab or a brad", "a strap or slide", None));
                    return None;
                }
                measure(Measure::Angle(joint, pose?), Kind::Quantity(Dimension::Angle))
            }
            ("gap", Some(a), Some(b), Some(c)) => {
                let (one, two) = (self.claim_part(scope, a), self.claim_part(scope, b));
                let pose = self.pose_of(scope, c);
                measure(Measure::Gap(one?, two?, pose?), length)
            }
            ("visible", Some(a), Some(b), _) => {
                let (thing, pose) = (self.thing(scope, a), self.pose_of(scope, b));
                predicate(Predicate::Visible { thing: thing?, pose: pose? })
            }
            ("hidden", Some(a), Some(b), _) => {
                let (thing, pose) = (self.thing(scope, a), self.pose_of(scope, b));
                predicate(Predicate::Hidden { thing: thing?, pose: pose? })
            }
            ("fits", Some(a), Some(b), _) => {
                let pose = self.pose_of(scope, a);
                let word = match &b.kind {
                    ExprKind::Path(path) => path.segments.first().map(|s| s.text.clone()).unwrap_or_default(),
                    _ => String::new(),
                };
                match word.as_str() {
                    "envelope" => {
                        if self.design.envelope.is_none() {
                            return self.nothing_stated(b.span, "envelope", "envelope C6");
                        }
                        predicate(Predicate::Fits { pose: pose? })
                    }
                    "post" => {
                        if self.design.post.is_none() {
                            return self.nothing_stated(b.span, "post", "post usps letter");
                        }
                        predicate(Predicate::Posts { pose: pose? })
                    }
                    _ => {
                        self.report(WrongKind::of(b.span, "`envelope` or `post`", "something else", None));
                        None
                    }
                }
            }
            ("moves", Some(a), ..) => predicate(Predicate::Moves { motion: self.motion_of(scope, a)? }),
            ("stands", Some(a), ..) => predicate(Predicate::Stands { pose: self.pose_of(scope, a)? }),
            ("folds_flat", Some(a), ..) => predicate(Predicate::FoldsFlat { pose: self.pose_of(scope, a)? }),
            ("clear", Some(a), Some(b), _) => {
                let part = self.claim_part(scope, a);
                let ExprKind::Path(path) = &b.kind else { return self.not_a_part(b) };
                let entity = self.resolve(scope, path, &[])?;
                let of = self.feature_or_report(entity, path.span);
                predicate(Predicate::Clear { part: part?, of: of? })
            }
            ("captive", Some(a), Some(b), _) => {
                let (part, motion) = (self.claim_part(scope, a), self.motion_of(scope, b));
                predicate(Predicate::Captive { part: part?, motion: motion? })
            }
            _ => None,
        }
    }

    fn nothing_stated(&mut self, place: Span, what: &'static str, example: &'static str) -> Option<Typed> {
        // A statement that could not be read is no reason to say that there is none.
        if !self.broken.iter().any(|b| b == what) {
            self.report(crate::findings::catalogue::NotStated { place, what, example });
        }
        None
    }

    fn not_a_part<T>(&mut self, expr: &Expr) -> Option<T> {
        self.report(WrongKind::of(expr.span, "the name of a part", "a value", None));
        None
    }

    fn entity_of(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Entity<'t>> {
        let ExprKind::Path(path) = &expr.kind else { return self.not_a_part(expr) };
        self.resolve(scope, path, &[])
    }

    fn maybe_part(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<PartOf> {
        let ExprKind::Path(path) = &expr.kind else { return None };
        let first = path.segments.first()?;
        let key = self.key(scope, first)?;
        match self.find(scope, &key).map(|(_, n)| n.what) {
            Some(super::world::What::Piece(_) | super::world::What::Instance(_)) => {}
            _ => return None,
        }
        match self.resolve(scope, path, &[])? {
            Entity::Piece(decl) => {
                Some(PartOf { piece: self.piece_index(decl)?, panel: None, span: path.span })
            }
            Entity::Member { piece, name, member } if member.kind.is_panel() => {
                Some(PartOf { piece: self.piece_index(piece)?, panel: Some(name), span: path.span })
            }
            _ => None,
        }
    }

    fn claim_part(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<PartOf> {
        let ExprKind::Path(path) = &expr.kind else { return self.not_a_part(expr) };
        let (decl, panel) = self.part_decl(scope, path)?;
        Some(PartOf { piece: self.piece_index(decl)?, panel, span: path.span })
    }

    fn thing(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Thing> {
        match self.entity_of(scope, expr)? {
            Entity::Print(name) => self.design.prints.iter().position(|p| p.name == name).map(Thing::Print),
            Entity::Piece(decl) => {
                Some(Thing::Part(PartOf { piece: self.piece_index(decl)?, panel: None, span: expr.span }))
            }
            Entity::Member { piece, name, member } if member.kind.is_panel() => {
                let piece = self.piece_index(piece)?;
                Some(Thing::Part(PartOf { piece, panel: Some(name), span: expr.span }))
            }
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(
                    expr.span,
                    "a print, a mat or another part",
                    other.spoken(),
                    defined,
                ));
                None
            }
        }
    }

    fn pose_of(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<usize> {
        match self.entity_of(scope, expr)? {
            Entity::Pose(name) => self.design.poses.iter().position(|p| p.name == name),
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(expr.span, "a pose", other.spoken(), defined));
                None
            }
        }
    }

    fn motion_of(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<usize> {
        match self.entity_of(scope, expr)? {
            Entity::Motion(name) => self.design.motions.iter().position(|m| m.name == name),
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(expr.span, "a motion", other.spoken(), defined));
                None
            }
        }
    }
}

fn spoken(kind: Kind) -> &'static str {
    match kind {
        Kind::Quantity(d) => d.spoken(),
        Kind::Yes => "yes or no",
    }
}

fn literal(claim: &ClaimExpr) -> Option<Span> {
    match &claim.kind {
        ClaimKind::Value(q, _) => q.literal,
        _ => None,
    }
}

/// A value's name as the design writes it.
fn named(expr: &Expr) -> Option<String> {
    let ExprKind::Path(path) = &expr.kind else { return None };
    let words: Option<Vec<&str>> =
        path.segments.iter().map(|s| s.index.is_none().then_some(s.text.as_str())).collect();
    Some(words?.join("."))
}

/// True when an expression holds a measure.
fn asks(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Call { function, arguments } => is_measure(&function.value) || arguments.iter().any(asks),
        ExprKind::Negate(inner) | ExprKind::Not(inner) => asks(inner),
        ExprKind::Binary { left, right, .. } => asks(left) || asks(right),
        _ => false,
    }
}

/// `visible(wish, open)` alone is a claim; compared with a number it is the share that is seen.
fn as_share((claim, kind): Typed) -> Typed {
    match claim.kind {
        ClaimKind::Predicate(Predicate::Visible { thing, pose }) => {
            let kind = ClaimKind::Measure(Measure::Visible(thing, pose));
            (ClaimExpr { kind, span: claim.span }, Kind::Quantity(Dimension::Number))
        }
        _ => (claim, kind),
    }
}
