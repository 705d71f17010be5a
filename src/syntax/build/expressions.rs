//! Expressions.

use super::*;

impl Builder<'_> {
    pub(super) fn expr(&self, node: &Node) -> Option<Expr> {
        let inner = node.children.first()?;
        match inner.rule {
            Rule::not_expr => {
                let claim = self.comparison(inner.one(Rule::comparison)?)?;
                Some(Expr { span: self.span(inner), kind: ExprKind::Not(Box::new(claim)) })
            }
            _ => self.comparison(inner),
        }
    }

    pub(super) fn expr_in(&self, node: &Node) -> Option<Expr> {
        self.expr(node.one(Rule::expr)?)
    }

    fn comparison(&self, node: &Node) -> Option<Expr> {
        self.chain(node, |part| self.value(part))
    }

    pub(super) fn value(&self, node: &Node) -> Option<Expr> {
        self.chain(node, |part| self.product(part))
    }

    pub(super) fn value_in(&self, node: &Node) -> Option<Expr> {
        self.value(node.one(Rule::value)?)
    }

    pub(super) fn values<const N: usize>(&self, node: &Node) -> Option<[Expr; N]> {
        self.each(node, Rule::value, Self::value)
    }

    fn product(&self, node: &Node) -> Option<Expr> {
        self.chain(node, |part| match part.rule {
            Rule::plain_number => self.number(part),
            _ => self.unary(part),
        })
    }

    /// Operands with signs between them, grouped from the left.
    fn chain(&self, node: &Node, operand: impl Fn(&Node) -> Option<Expr>) -> Option<Expr> {
        if node.children.len() > 2 * LONGEST_CHAIN {
            return None;
        }
        let mut parts = node.children.iter();
        let mut left = operand(parts.next()?)?;
        while let Some(sign) = parts.next() {
            let operator = Spanned::new(operator(self.source(sign))?, self.span(sign));
            let right = operand(parts.next()?)?;
            let span = left.span.to(right.span);
            left = Expr {
                span,
                kind: ExprKind::Binary { operator, left: Box::new(left), right: Box::new(right) },
            };
        }
        Some(left)
    }

    fn unary(&self, node: &Node) -> Option<Expr> {
        let operand = self.atom(node.children.iter().find(|c| c.rule != Rule::minus_sign)?, node)?;
        match node.one(Rule::minus_sign) {
            Some(_) => Some(Expr { span: self.span(node), kind: ExprKind::Negate(Box::new(operand)) }),
            None => Some(operand),
        }
    }

    fn atom(&self, node: &Node, unary: &Node) -> Option<Expr> {
        let kind = match node.rule {
            Rule::blank => ExprKind::Blank,
            Rule::number => return self.number(node),
            Rule::text => ExprKind::Text(self.text_of(node)?.value),
            Rule::call => self.call(node)?,
            Rule::path => ExprKind::Path(self.path(node)?),
            Rule::part_word => ExprKind::Path(self.part_word(node)),
            // A group: its span holds the parentheses.
            Rule::open_paren => {
                let group = Node { start: node.start, ..unary.clone() };
                return Some(Expr { span: self.span(&group), ..self.expr_in(unary)? });
            }
            _ => return None,
        };
        Some(Expr { span: self.span(node), kind })
    }

    fn part_word(&self, node: &Node) -> Path {
        let span = self.span(node);
        Path { segments: vec![Name { text: self.source(node).to_string(), index: None, span }], span }
    }

    fn number(&self, node: &Node) -> Option<Expr> {
        let digits = node.children.first()?;
        let digits = match self.source(digits) {
            mixed if mixed.contains([' ', '\t']) => mixed.split_whitespace().collect::<Vec<_>>().join(" "),
            digits => digits.to_string(),
        };
        let unit = self.word_in(node, Rule::unit).or_else(|| self.word_in(node, Rule::pound));
        let grade = self.word_in(node, Rule::grade);
        Some(Expr { span: self.span(node), kind: ExprKind::Number { digits, unit, grade } })
    }

    fn call(&self, node: &Node) -> Option<ExprKind> {
        let function = self.word_in(node, Rule::word)?;
        let arguments = node
            .children
            .iter()
            .filter(|c| matches!(c.rule, Rule::expr | Rule::part_word))
            .map(|c| self.argument_value(c))
            .collect::<Option<Vec<_>>>()?;
        Some(ExprKind::Call { function, arguments })
    }

    /// An expression, or a bare `envelope`, `post` or `card`.
    pub(super) fn argument_value(&self, node: &Node) -> Option<Expr> {
        match node.rule {
            Rule::part_word => {
                Some(Expr { span: self.span(node), kind: ExprKind::Path(self.part_word(node)) })
            }
            _ => self.expr(node),
        }
    }
}

fn operator(sign: &str) -> Option<Operator> {
    Some(match sign {
        "+" => Operator::Add,
        "-" => Operator::Subtract,
        "*" => Operator::Multiply,
        "/" => Operator::Divide,
        "=" => Operator::Equal,
        "!=" => Operator::NotEqual,
        "<" => Operator::Less,
        "<=" => Operator::LessOrEqual,
        ">" => Operator::Greater,
        ">=" => Operator::GreaterOrEqual,
        _ => return None,
    })
}
