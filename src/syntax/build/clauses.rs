//! What stands after a statement's colon.

use super::*;

impl Builder<'_> {
    /// The clauses of a statement; none when it has no colon.
    pub(super) fn clauses(&self, node: &Node) -> Option<Vec<Clause>> {
        let Some(list) = node.one(Rule::clauses) else { return Some(Vec::new()) };
        list.all(Rule::clause).map(|n| self.clause(n)).collect()
    }

    fn clause(&self, node: &Node) -> Option<Clause> {
        Some(Clause { span: self.span(node), kind: self.clause_kind(node.children.first()?)? })
    }

    fn clause_kind(&self, n: &Node) -> Option<ClauseKind> {
        Some(match n.rule {
            Rule::centred => ClauseKind::Centred(n.one(Rule::axis).map(|a| self.axis(a))),
            Rule::upside_down => ClauseKind::UpsideDown,
            Rule::at_edge => ClauseKind::At(self.word_in(n, Rule::word)?),
            Rule::turned => ClauseKind::Turned(self.value_in(n)?),
            Rule::glue_along => self.glue_along(n)?,
            Rule::segment => {
                let [from, to] = self.points(n)?;
                ClauseKind::Segment { from, to }
            }
            Rule::stops => {
                let [from, to] = self.values(n)?;
                ClauseKind::Stops { from, to }
            }
            Rule::folded => ClauseKind::Folded(self.optional_value(n)?),
            Rule::circle => ClauseKind::Circle(self.value_in(n)?),
            Rule::rectangle => {
                let [width, height] = self.values(n)?;
                ClauseKind::Rectangle { width, height }
            }
            Rule::rounded => {
                let [width, height, corner] = self.values(n)?;
                ClauseKind::Rounded { width, height, corner }
            }
            Rule::polygon => {
                ClauseKind::Polygon(n.all(Rule::point).map(|p| self.point(p)).collect::<Option<Vec<_>>>()?)
            }
            Rule::tapered => ClauseKind::Tapered(self.optional_value(n)?),
            Rule::square_ends => ClauseKind::SquareEnds,
            Rule::fold => ClauseKind::Fold(crease_word(n)),
            Rule::under => ClauseKind::Under(self.path_in(n)?),
            Rule::around => ClauseKind::Around(self.path_in(n)?),
            Rule::towards => ClauseKind::Towards(self.word_in(n, Rule::word)?),
            Rule::sheet => ClauseKind::Sheet(self.size(n)?),
            Rule::grain => ClauseKind::Grain(self.word_in(n, Rule::word)?),
            Rule::colour => ClauseKind::Colour(self.text_in(n)?),
            Rule::price => ClauseKind::Price(self.value_in(n)?),
            Rule::centre_reading => {
                ClauseKind::Reading { centre: true, value: self.value_in(n)?, from: self.path_in(n)? }
            }
            Rule::end_first => ClauseKind::EndFirst(self.path_in(n)?),
            Rule::order => ClauseKind::Order { part: self.path_in(n)?, behind: n.has(Rule::behind_word) },
            Rule::along => {
                let [start, through] = self.points(n)?;
                ClauseKind::Along { own: self.path_in(n)?, start, through }
            }
            Rule::edge_to_edge => {
                let [own, other] = self.paths(n)?;
                ClauseKind::EdgeToEdge { own, other }
            }
            Rule::beside_with => {
                let [subject, of] = self.paths(n)?;
                self.beside(n, Some(subject), of)?
            }
            Rule::by_value => self.by_value(n)?,
            _ => return None,
        })
    }

    /// A clause that begins with a value: the word behind it tells what it is.
    fn by_value(&self, n: &Node) -> Option<ClauseKind> {
        if let Some(word) = n.one(Rule::measure_word) {
            let word = Spanned::new(measure_word(self.source(word))?, self.span(word));
            return Some(ClauseKind::Measure { value: self.value_in(n)?, word });
        }
        if n.has(Rule::direction) {
            return self.beside(n, None, self.path_in(n)?);
        }
        if n.has(Rule::kw_to) {
            let [from, to] = self.values(n)?;
            return Some(ClauseKind::Range { from, to, edge: self.path_in(n)? });
        }
        let value = self.value_in(n)?;
        Some(match n.one(Rule::path) {
            Some(from) => ClauseKind::Reading { centre: false, value, from: self.path(from)? },
            None => ClauseKind::Bare(value),
        })
    }

    fn beside(&self, n: &Node, subject: Option<Path>, of: Path) -> Option<ClauseKind> {
        let word = n.one(Rule::direction)?;
        let direction = if word.has(Rule::left_word) {
            Direction::LeftOf
        } else if word.has(Rule::right_word) {
            Direction::RightOf
        } else if word.has(Rule::above_word) {
            Direction::Above
        } else {
            Direction::Below
        };
        let direction = Spanned::new(direction, self.span(word));
        Some(ClauseKind::Beside { subject, value: self.value_in(n)?, direction, of })
    }

    fn glue_along(&self, n: &Node) -> Option<ClauseKind> {
        let mut edges: Vec<_> = n.all(Rule::word).map(|w| self.spanned(w)).collect();
        if let [only] = edges.as_slice()
            && only.value == "edges"
        {
            edges.clear();
        }
        Some(ClauseKind::GlueAlong { edges, width: self.optional_value(n)? })
    }

    fn axis(&self, n: &Node) -> Spanned<Axis> {
        let across = self.source(n) == "across";
        Spanned::new(if across { Axis::Across } else { Axis::Down }, self.span(n))
    }

    fn optional_value(&self, n: &Node) -> Option<Option<Expr>> {
        match n.one(Rule::value) {
            Some(value) => Some(Some(self.value(value)?)),
            None => Some(None),
        }
    }
}

pub(super) fn crease_word(n: &Node) -> CreaseWord {
    if n.has(Rule::kw_mountain) { CreaseWord::Mountain } else { CreaseWord::Valley }
}

fn measure_word(word: &str) -> Option<MeasureWord> {
    Some(match word {
        "wide" => MeasureWord::Wide,
        "high" => MeasureWord::High,
        "long" => MeasureWord::Long,
        "thick" => MeasureWord::Thick,
        "overlap" => MeasureWord::Overlap,
        "border" => MeasureWord::Border,
        "loose" => MeasureWord::Loose,
        "apart" => MeasureWord::Apart,
        _ => return None,
    })
}
