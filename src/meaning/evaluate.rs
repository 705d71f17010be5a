//! Values on demand: literals, names, arithmetic with dimensions.

use super::design::{Adjust, Quantity};
use super::resolve::Entity;
use super::world::{Pending, PendingKey, ScopeId, Value, What, World};
use crate::findings::catalogue::{
    DivideByZero, LengthWithoutUnit, MeasureOutsideClaim, NumberTooLarge, PoundsWithoutGrade, RangeReversed,
    UnknownFunction, UnknownUnit, UnlikeKinds, ValueOutOfRange, WrongArguments, WrongKind,
};
use crate::quantity::{Dimension, Exact, Grade, Rounding, Unit};
use crate::source::{Span, Spanned, nearest};
use crate::syntax::tree::{Expr, ExprKind, ItemKind, Operator};

/// Functions over values.
const FUNCTIONS: [&str; 5] = ["min", "max", "abs", "round_up", "round_down"];

impl<'t> World<'t> {
    /// Evaluates every named value, so that a fault in one that nothing uses is found too.
    pub fn understand_values(&mut self) {
        for scope in 0..self.scopes.len() {
            let named: Vec<(String, What<'t>)> = match self.scopes.get(scope) {
                Some(s) => s.names.iter().map(|(k, n)| (k.clone(), n.what)).collect(),
                None => continue,
            };
            for (name, what) in named {
                if let What::Value { expr, scope: home } = what
                    && !self.is_part(home, expr)
                {
                    self.value_of(scope, &name);
                }
            }
        }
        for (scope, expr, kind) in std::mem::take(&mut self.expected_kinds) {
            self.argument_kind(scope, expr, &kind);
        }
        for (scope, item) in self.statements.clone() {
            if let ItemKind::Adjust { name, from, to, about, .. } = &item.kind {
                let about = about.as_ref().map(|a| a.value.clone());
                self.adjust(scope, &name.text, name.span, from, to, about);
            }
        }
    }

    fn adjust(
        &mut self,
        scope: ScopeId,
        name: &str,
        span: Span,
        from: &'t Expr,
        to: &'t Expr,
        about: Option<String>,
    ) {
        let Value::Quantity(value) = self.value_of(scope, name) else { return };
        let low = self.quantity(scope, from, value.dimension);
        let high = self.quantity(scope, to, value.dimension);
        let (Some(low), Some(high)) = (low, high) else { return };
        if low.exact > high.exact {
            return self.report(RangeReversed {
                place: from.span.to(to.span),
                low: low.stated(),
                high: high.stated(),
            });
        }
        if value.exact < low.exact || value.exact > high.exact {
            self.report(ValueOutOfRange {
                name: name.to_string(),
                value: value.stated(),
                low: low.stated(),
                high: high.stated(),
            });
        }
        self.design.adjusts.push(Adjust { name: name.to_string(), value, from: low, to: high, about, span });
    }

    /// The value of a name declared in `scope`.
    pub fn value_of(&mut self, scope: ScopeId, name: &str) -> Value {
        let key = (scope, name.to_string());
        if let Some(value) = self.values.get(&key) {
            return value.clone();
        }
        let Some(named) = self.scopes.get(scope).and_then(|s| s.names.get(name)).copied() else {
            return Value::Missing;
        };
        let value = match named.what {
            What::Value { expr, scope: home } => {
                let entry = Pending {
                    key: PendingKey::Value(scope, name.to_string()),
                    name: name.to_string(),
                    span: named.span,
                };
                self.guarded(entry, |world| Some(world.evaluate(home, expr))).unwrap_or(Value::Missing)
            }
            What::Index(i) => Value::Quantity(Quantity {
                exact: Exact::whole(i),
                dimension: Dimension::Number,
                span: named.span,
                literal: None,
            }),
            _ => Value::Missing,
        };
        self.values.insert(key, value.clone());
        value
    }

    /// A quantity of one dimension, or a finding (or silence, when it waits for a blank) and `None`.
    pub fn quantity(&mut self, scope: ScopeId, expr: &'t Expr, dimension: Dimension) -> Option<Quantity> {
        match self.evaluate_as(scope, expr, Some(dimension)) {
            Value::Quantity(q) => Some(q),
            _ => None,
        }
    }

    pub fn length(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Quantity> {
        self.quantity(scope, expr, Dimension::Length)
    }

    pub fn angle(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<Quantity> {
        self.quantity(scope, expr, Dimension::Angle)
    }

    /// Evaluates and holds the value to a kind.
    pub fn evaluate_as(&mut self, scope: ScopeId, expr: &'t Expr, wanted: Option<Dimension>) -> Value {
        if let (ExprKind::Blank, false) = (&expr.kind, self.filled.contains_key(&expr.span)) {
            return self.blank(expr.span, wanted);
        }
        let value = self.evaluate(scope, expr);
        let Some(wanted) = wanted else { return value };
        let found = match &value {
            Value::Quantity(q) if q.dimension == wanted => return value,
            Value::Missing => return value,
            Value::Quantity(q) => q.dimension.spoken().to_string(),
            Value::Text(..) => "words".to_string(),
            Value::Yes(..) => "yes or no".to_string(),
        };
        match (&expr.kind, &value) {
            (ExprKind::Number { digits, unit: None, .. }, _) if wanted == Dimension::Length => {
                self.report(LengthWithoutUnit { place: expr.span, digits: digits.clone() });
            }
            // A name for a bare number: the number is where the unit is missing, however often the name is used.
            (_, Value::Quantity(q)) if wanted == Dimension::Length && is_bare(q) => self.without_unit(q),
            (_, Value::Quantity(q)) => {
                let source = q.literal.filter(|l| *l != expr.span);
                self.report(WrongKind::of(expr.span, wanted.spoken(), found, source));
            }
            _ => self.report(WrongKind::of(expr.span, wanted.spoken(), found, None)),
        }
        Value::Missing
    }

    pub fn evaluate(&mut self, scope: ScopeId, expr: &'t Expr) -> Value {
        match &expr.kind {
            ExprKind::Number { digits, unit, grade } => {
                self.number(expr.span, digits, unit.as_ref(), grade.as_ref())
            }
            ExprKind::Text(text) => Value::Text(text.clone(), expr.span),
            ExprKind::Blank => self.blank(expr.span, None),
            ExprKind::Path(path) => match self.resolve(scope, path, &[]) {
                Some(Entity::Value(Value::Quantity(q))) => Value::Quantity(Quantity { span: expr.span, ..q }),
                Some(Entity::Value(value)) => value,
                Some(Entity::Edge { piece, panel, side }) => {
                    self.edge_value(piece, panel.as_deref(), side, expr.span).unwrap_or(Value::Missing)
                }
                Some(entity) => {
                    let found = entity.spoken();
                    let defined = self.defined(&entity);
                    self.report(WrongKind::of(expr.span, "a value", found, defined));
                    Value::Missing
                }
                None => Value::Missing,
            },
            ExprKind::Call { function, arguments } => self.call(scope, expr.span, function, arguments),
            ExprKind::Negate(inner) => match self.evaluate(scope, inner) {
                Value::Quantity(q) => Value::Quantity(Quantity {
                    exact: q.exact.negated(),
                    span: expr.span,
                    // A measurement with its sign is written anew as a whole; one behind a name is not.
                    literal: (q.literal == Some(inner.span) && q.dimension != Dimension::Number)
                        .then_some(expr.span),
                    ..q
                }),
                Value::Missing => Value::Missing,
                _ => {
                    self.report(WrongKind::of(inner.span, "a number or a measurement", "words", None));
                    Value::Missing
                }
            },
            ExprKind::Not(inner) => match self.evaluate(scope, inner) {
                Value::Yes(yes, _) => Value::Yes(!yes, expr.span),
                Value::Missing => Value::Missing,
                _ => {
                    self.report(WrongKind::of(inner.span, "yes or no", "a value", None));
                    Value::Missing
                }
            },
            ExprKind::Binary { operator, left, right } => {
                self.binary(scope, expr.span, operator, left, right)
            }
        }
    }

    fn number(
        &mut self,
        span: Span,
        digits: &str,
        unit: Option<&Spanned<String>>,
        grade: Option<&Spanned<String>>,
    ) -> Value {
        let unit = match unit {
            None => None,
            Some(word) if word.value == "lb" => match grade.and_then(|g| Grade::from_word(&g.value)) {
                Some(grade) => Some(Unit::Pound(grade)),
                None => {
                    self.report(PoundsWithoutGrade { place: span, digits: digits.to_string() });
                    return Value::Missing;
                }
            },
            Some(word) => match Unit::from_suffix(&word.value) {
                Some(unit) => Some(unit),
                None => {
                    let near = nearest(&word.value, ["mm", "cm", "in", "pt", "deg", "gsm", "g", "lb"]);
                    let near = near.map(String::from);
                    self.report(UnknownUnit { place: word.span, unit: word.value.clone(), near });
                    return Value::Missing;
                }
            },
        };
        let (scale, dimension) = unit.map_or((Exact::ONE, Dimension::Number), |u| (u.scale(), u.dimension()));
        match Exact::parse(digits).and_then(|n| n.times(scale)) {
            Some(exact) => Value::Quantity(Quantity { exact, dimension, span, literal: Some(span) }),
            None => {
                self.report(NumberTooLarge { place: span });
                Value::Missing
            }
        }
    }

    fn binary(
        &mut self,
        scope: ScopeId,
        span: Span,
        operator: &Spanned<Operator>,
        left: &'t Expr,
        right: &'t Expr,
    ) -> Value {
        let (a, b) = (self.evaluate(scope, left), self.evaluate(scope, right));
        // A blank on one side of a sum is of the other side's kind.
        let additive = !matches!(operator.value, Operator::Multiply | Operator::Divide);
        for (blank, other) in [(left, &b), (right, &a)] {
            if let (ExprKind::Blank, Value::Quantity(q), true) = (&blank.kind, other, additive) {
                self.note_blank(blank.span, Some(q.dimension));
            }
        }
        let (a, b) = match (a, b) {
            (Value::Quantity(a), Value::Quantity(b)) => (a, b),
            (Value::Missing, _) | (_, Value::Missing) => return Value::Missing,
            (Value::Text(..) | Value::Yes(..), _) => {
                self.report(WrongKind::of(left.span, "a number or a measurement", "words", None));
                return Value::Missing;
            }
            _ => {
                self.report(WrongKind::of(right.span, "a number or a measurement", "words", None));
                return Value::Missing;
            }
        };
        self.arithmetic(span, operator, a, b)
    }

    fn arithmetic(&mut self, span: Span, operator: &Spanned<Operator>, a: Quantity, b: Quantity) -> Value {
        use Operator::*;
        let additive = !matches!(operator.value, Multiply | Divide);
        for (number, length) in [(a, b), (b, a)] {
            let named = number.literal.is_some_and(|l| l != number.span);
            if additive && named && length.dimension == Dimension::Length && is_bare(&number) {
                self.without_unit(&number);
                return Value::Missing;
            }
        }
        let unlike = |world: &mut Self| {
            world.report(UnlikeKinds {
                place: operator.span,
                operator: sign(operator.value),
                left: a.stated(),
                right: b.stated(),
            });
            Value::Missing
        };
        let dimension = match operator.value {
            Multiply => a.dimension.times(b.dimension),
            Divide => a.dimension.over(b.dimension),
            _ => (a.dimension == b.dimension).then_some(a.dimension),
        };
        let Some(dimension) = dimension else { return unlike(self) };
        let exact = match operator.value {
            Add => a.exact.plus(b.exact),
            Subtract => a.exact.minus(b.exact),
            Multiply => a.exact.times(b.exact),
            Divide if b.exact.is_zero() => {
                self.report(DivideByZero { place: b.span, literal: b.literal });
                return Value::Missing;
            }
            Divide => a.exact.over(b.exact),
            Equal => return Value::Yes(a.exact == b.exact, span),
            NotEqual => return Value::Yes(a.exact != b.exact, span),
            Less => return Value::Yes(a.exact < b.exact, span),
            LessOrEqual => return Value::Yes(a.exact <= b.exact, span),
            Greater => return Value::Yes(a.exact > b.exact, span),
            GreaterOrEqual => return Value::Yes(a.exact >= b.exact, span),
        };
        match exact {
            Some(exact) => Value::Quantity(Quantity { exact, dimension, span, literal: None }),
            None => {
                self.report(NumberTooLarge { place: span });
                Value::Missing
            }
        }
    }

    fn without_unit(&mut self, q: &Quantity) {
        let digits = crate::quantity::say_number(q.value());
        self.report(LengthWithoutUnit { place: q.literal.unwrap_or(q.span), digits });
    }

    fn call(
        &mut self,
        scope: ScopeId,
        span: Span,
        function: &Spanned<String>,
        arguments: &'t [Expr],
    ) -> Value {
        let name = function.value.as_str();
        if super::claims::is_measure(name) {
            self.report(MeasureOutsideClaim { place: function.span, name: name.to_string() });
            return Value::Missing;
        }
        if !FUNCTIONS.contains(&name) {
            let near = nearest(name, FUNCTIONS).map(String::from);
            self.report(UnknownFunction { place: function.span, name: name.to_string(), near });
            return Value::Missing;
        }
        let wanted: std::ops::RangeInclusive<usize> = match name {
            "abs" => 1..=1,
            "round_up" | "round_down" => 2..=2,
            _ => 1..=100,
        };
        if !wanted.contains(&arguments.len()) {
            let name = name.to_string();
            self.report(WrongArguments {
                place: span,
                name,
                wanted: *wanted.start(),
                found: arguments.len(),
            });
            return Value::Missing;
        }
        let Some(first) = arguments.first() else { return Value::Missing };
        let Value::Quantity(a) = self.number_or_measure(scope, first) else { return Value::Missing };
        let mut values = vec![a];
        for other in arguments.iter().skip(1) {
            match self.quantity(scope, other, a.dimension) {
                Some(q) => values.push(q),
                None => return Value::Missing,
            }
        }
        let exact = match name {
            "abs" => Some(a.exact.abs()),
            "min" => values.iter().map(|q| q.exact).min(),
            "max" => values.iter().map(|q| q.exact).max(),
            _ => {
                let rounding = if name == "round_up" { Rounding::Up } else { Rounding::Down };
                let step = values.get(1).copied().unwrap_or(a);
                if !step.exact.is_positive() {
                    self.report(WrongKind::of(step.span, "a step greater than zero", "zero or less", None));
                    return Value::Missing;
                }
                a.exact.round_to(step.exact, rounding)
            }
        };
        match exact {
            Some(exact) => Value::Quantity(Quantity { exact, span, literal: None, ..a }),
            None => {
                self.report(NumberTooLarge { place: span });
                Value::Missing
            }
        }
    }

    fn number_or_measure(&mut self, scope: ScopeId, expr: &'t Expr) -> Value {
        let value = self.evaluate(scope, expr);
        if let Value::Text(_, span) | Value::Yes(_, span) = value {
            self.report(WrongKind::of(span, "a number or a measurement", "words", None));
            return Value::Missing;
        }
        value
    }

    /// Text, or a finding and `None`.
    pub fn text(&mut self, scope: ScopeId, expr: &'t Expr) -> Option<String> {
        match self.evaluate(scope, expr) {
            Value::Text(text, _) => Some(text),
            Value::Missing => None,
            Value::Quantity(q) => {
                self.report(WrongKind::of(expr.span, "words in quotes", q.dimension.spoken(), None));
                None
            }
            Value::Yes(..) => {
                self.report(WrongKind::of(expr.span, "words in quotes", "yes or no", None));
                None
            }
        }
    }

    /// True when an expression names a part rather than a value.
    fn is_part(&mut self, scope: ScopeId, expr: &'t Expr) -> bool {
        let ExprKind::Path(path) = &expr.kind else { return false };
        let Some(first) = path.segments.first() else { return false };
        if first.index.is_some() || self.find_member(scope, &first.text).is_some() {
            return path.segments.len() < 2 || !super::resolve::is_property(path);
        }
        match self.find(scope, &first.text).map(|(_, n)| n.what) {
            Some(What::Value { expr: inner, scope: home }) if !std::ptr::eq(inner, expr) => {
                path.segments.len() > 1 || self.is_part_within(home, inner, 8)
            }
            Some(What::Value { .. } | What::Index(_)) | None => false,
            Some(_) => !super::resolve::is_property(path),
        }
    }

    fn is_part_within(&mut self, scope: ScopeId, expr: &'t Expr, depth: u32) -> bool {
        let ExprKind::Path(path) = &expr.kind else { return false };
        let Some(first) = path.segments.first() else { return false };
        match self.find(scope, &first.text).map(|(_, n)| n.what) {
            Some(What::Value { expr: inner, scope: home }) => {
                depth > 0 && self.is_part_within(home, inner, depth - 1)
            }
            Some(What::Index(_)) | None => false,
            Some(_) => !super::resolve::is_property(path),
        }
    }

    /// Holds an argument to the kind its mechanism declares.
    fn argument_kind(&mut self, scope: ScopeId, expr: &'t Expr, kind: &Spanned<String>) {
        let dimension = match kind.value.as_str() {
            "length" => Some(Dimension::Length),
            "angle" => Some(Dimension::Angle),
            "number" => Some(Dimension::Number),
            _ => None,
        };
        if let Some(dimension) = dimension {
            self.evaluate_as(scope, expr, Some(dimension));
            return;
        }
        match kind.value.as_str() {
            "text" => {
                self.text(scope, expr);
            }
            "paper" | "panel" | "piece" => {
                let ExprKind::Path(path) = &expr.kind else {
                    let wanted = format!("a {}", kind.value);
                    return self.report(WrongKind::of(expr.span, wanted, "a value", Some(kind.span)));
                };
                let Some(entity) = self.resolve(scope, path, &[]) else { return };
                if !entity.is_kind(&kind.value) {
                    let (wanted, found) = (format!("a {}", kind.value), entity.spoken());
                    self.report(WrongKind::of(expr.span, wanted, found, Some(kind.span)));
                }
            }
            other => {
                let near = nearest(other, ["length", "angle", "number", "text", "paper", "panel", "piece"]);
                let near = near.map(String::from);
                self.report(crate::findings::catalogue::UnknownName {
                    place: kind.span,
                    name: other.to_string(),
                    near,
                    what: "kind of argument",
                });
            }
        }
    }
}

/// A plain number that was written as one literal.
fn is_bare(q: &Quantity) -> bool {
    q.dimension == Dimension::Number && q.literal.is_some()
}

/// An operator as it is written.
pub fn sign(operator: Operator) -> &'static str {
    match operator {
        Operator::Add => "+",
        Operator::Subtract => "-",
        Operator::Multiply => "*",
        Operator::Divide => "/",
        Operator::Equal => "=",
        Operator::NotEqual => "!=",
        Operator::Less => "<",
        Operator::LessOrEqual => "<=",
        Operator::Greater => ">",
        Operator::GreaterOrEqual => ">=",
    }
}
