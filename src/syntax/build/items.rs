//! Statements.

use super::clauses::crease_word;
use super::*;

impl Builder<'_> {
    pub fn item(&self, node: &Node) -> Option<Item> {
        let statement = node.children.first()?;
        let hint = match node.one(Rule::hint) {
            Some(hint) => Some(self.text_in(hint)?),
            None => None,
        };
        let word = self.span(statement.children.first()?);
        Some(Item { span: self.span(node), word, kind: self.kind(statement)?, hint })
    }

    fn kind(&self, n: &Node) -> Option<ItemKind> {
        Some(match n.rule {
            Rule::card => ItemKind::Card(self.text_in(n)?),
            Rule::envelope => ItemKind::Envelope(self.size(n)?),
            Rule::post => {
                let word = |w: &Node| self.word_in(w, Rule::word);
                ItemKind::Post(n.all(Rule::plain_word).map(word).collect::<Option<Vec<_>>>()?)
            }
            Rule::grid => ItemKind::Grid(self.value_in(n)?),
            Rule::view => ItemKind::View(self.face_in(n)?),
            Rule::paper => ItemKind::Paper { name: self.name_in(n)?, clauses: self.clauses(n)? },
            Rule::let_item => ItemKind::Let { name: self.name_in(n)?, value: self.expr_in(n)? },
            Rule::adjust => self.adjust(n)?,
            Rule::assign => ItemKind::Assign { name: self.name_in(n)?, value: self.expr_in(n)? },
            Rule::variant => ItemKind::Variant { name: self.name_in(n)?, items: self.block(n)? },
            Rule::piece => {
                ItemKind::Piece { name: self.name_in(n)?, paper: self.path_in(n)?, items: self.block(n)? }
            }
            Rule::mechanism => ItemKind::Mechanism {
                name: self.name_in(n)?,
                parameters: n.all(Rule::parameter).map(|p| self.parameter(p)).collect::<Option<Vec<_>>>()?,
                items: self.block(n)?,
            },
            Rule::repeat => {
                let [from, to] = self.values(n)?;
                ItemKind::Repeat { index: self.name_in(n)?, from, to, items: self.block(n)? }
            }
            Rule::include => ItemKind::Include(self.text_in(n)?),
            Rule::use_item => self.use_item(n)?,
            Rule::expect => ItemKind::Expect(self.expr_in(n)?),
            Rule::step => ItemKind::Step { text: self.text_in(n)?, when: self.when(n)? },
            Rule::pose => self.pose(n)?,
            Rule::motion => self.motion(n)?,
            _ => return self.joint_kind(n).or_else(|| self.piece_kind(n)),
        })
    }

    /// Statements that join parts.
    fn joint_kind(&self, n: &Node) -> Option<ItemKind> {
        let clauses = self.clauses(n)?;
        Some(match n.rule {
            Rule::strap => {
                let [paper, around] = self.paths(n)?;
                let between = self.between(n)?;
                ItemKind::Strap { name: self.name_in(n)?, paper, around, between, clauses }
            }
            Rule::mat => ItemKind::Mat {
                name: self.name_in(n)?,
                paper: self.path_in(n)?,
                on: self.face_in(n)?,
                clauses,
            },
            Rule::glue => {
                let [part, to] = self.faces(n)?;
                ItemKind::Glue { part, to, clauses }
            }
            Rule::foam => {
                let [part, to] = self.faces(n)?;
                ItemKind::Foam { height: self.value_in(n)?, part, to, clauses }
            }
            Rule::slide_through => {
                ItemKind::SlideThrough { part: self.path_in(n)?, slots: self.path_list(n)?, clauses }
            }
            Rule::slide_on => ItemKind::SlideOn {
                part: self.path_in(n)?,
                on: self.face_in(n)?,
                between: self.between(n)?,
                clauses,
            },
            Rule::brad => ItemKind::Brad { name: self.name_in(n)?, through: self.path_list(n)?, clauses },
            Rule::tuck => {
                let [part, into] = self.paths(n)?;
                ItemKind::Tuck { part, into, clauses }
            }
            _ => return None,
        })
    }

    /// Statements inside a piece.
    fn piece_kind(&self, n: &Node) -> Option<ItemKind> {
        Some(match n.rule {
            Rule::size_item => {
                let [width, height] = self.values(n)?;
                ItemKind::Size { width, height }
            }
            Rule::shape_item => ItemKind::Shape { shape: self.shape(n)?, mirror: self.mirror(n)? },
            Rule::crease => {
                let names = match n.one(Rule::name_list) {
                    Some(list) => self.names(list)?,
                    None => Vec::new(),
                };
                ItemKind::Crease { kind: crease_word(n), names, clauses: self.clauses(n)? }
            }
            Rule::panels => ItemKind::Panels {
                names: self.names(n.one(Rule::name_list)?)?,
                from: self.word_in(n, Rule::word)?,
            },
            Rule::panel_at => {
                ItemKind::PanelAt { name: self.name_in(n)?, at: self.point(n.one(Rule::point)?)? }
            }
            Rule::cutout => ItemKind::Cutout {
                kind: cutout_word(n),
                name: self.name_in(n)?,
                on: self.optional_path(n)?,
                clauses: self.clauses(n)?,
            },
            Rule::tab => ItemKind::Tab {
                name: self.name_in(n)?,
                depth: self.value_in(n)?,
                off: self.path_in(n)?,
                clauses: self.clauses(n)?,
            },
            Rule::mark => ItemKind::Mark {
                name: self.name_in(n)?,
                on: self.optional_path(n)?,
                clauses: self.clauses(n)?,
            },
            Rule::print => {
                let text = self.text_in(n)?;
                let picture = n.has(Rule::picture_word);
                let content = if picture { PrintContent::Picture(text) } else { PrintContent::Text(text) };
                let on = match n.one(Rule::spread) {
                    Some(spread) => PrintGround::Spread {
                        parts: self.path_list(spread)?,
                        pose: self.path_in(spread)?,
                        span: self.span(spread),
                    },
                    None => PrintGround::Face(self.face_in(n)?),
                };
                ItemKind::Print { name: self.name_in(n)?, content, on, clauses: self.clauses(n)? }
            }
            _ => return None,
        })
    }

    /// The statements of a block that could be read.
    fn block(&self, n: &Node) -> Option<Vec<Item>> {
        Some(self.items(n.one(Rule::block)?))
    }

    /// The statements of a list that were read whole.
    pub fn items(&self, list: &Node) -> Vec<Item> {
        list.all(Rule::item)
            .filter(|n| !self.unread.contains(&n.start))
            .filter_map(|n| self.item(n))
            .collect()
    }

    fn optional_path(&self, n: &Node) -> Option<Option<Path>> {
        match n.one(Rule::path) {
            Some(path) => Some(Some(self.path(path)?)),
            None => Some(None),
        }
    }

    fn adjust(&self, n: &Node) -> Option<ItemKind> {
        let [value, from, to] = self.values(n)?;
        let about = match n.one(Rule::text) {
            Some(text) => Some(self.text_of(text)?),
            None => None,
        };
        Some(ItemKind::Adjust { name: self.name_in(n)?, value, from, to, about })
    }

    fn parameter(&self, n: &Node) -> Option<Parameter> {
        let default = match n.one(Rule::expr) {
            Some(expr) => Some(self.expr(expr)?),
            None => None,
        };
        Some(Parameter { name: self.name_in(n)?, kind: self.word_in(n, Rule::kind)?, default })
    }

    fn use_item(&self, n: &Node) -> Option<ItemKind> {
        let argument = |a: &Node| {
            let name = self.word_in(a, Rule::word);
            Some(Argument { name, value: self.argument_value(a.children.last()?)? })
        };
        let arguments = n.all(Rule::argument).map(argument).collect::<Option<Vec<_>>>()?;
        let [mechanism, name] = self.each(n, Rule::name, Self::name)?;
        Some(ItemKind::Use { mechanism, arguments, name })
    }

    fn when(&self, n: &Node) -> Option<Option<When>> {
        let Some(when) = n.one(Rule::when) else { return Some(None) };
        let before = when.has(Rule::before_word);
        Some(Some(When { before, verb: self.word_in(when, Rule::verb), part: self.path_in(when)? }))
    }

    fn pose(&self, n: &Node) -> Option<ItemKind> {
        let body = n.one(Rule::pose_body)?;
        let settings =
            body.all(Rule::pose_setting).map(|s| self.pose_setting(s)).collect::<Option<Vec<_>>>()?;
        let open = self.span(body.one(Rule::open_brace)?);
        Some(ItemKind::Pose { name: self.name_in(n)?, open, settings })
    }

    fn pose_setting(&self, n: &Node) -> Option<PoseSetting> {
        let value = self.setting(n.children.last()?)?;
        Some(PoseSetting { joint: self.path_in(n)?, value, span: self.span(n) })
    }

    fn setting(&self, n: &Node) -> Option<Setting> {
        if n.rule == Rule::flat {
            return Some(Setting::Flat(self.span(n)));
        }
        let value = self.value_in(n)?;
        Some(match n.one(Rule::word) {
            Some(from) => Setting::Reading { value, from: self.spanned(from) },
            None => Setting::Value(value),
        })
    }

    fn motion(&self, n: &Node) -> Option<ItemKind> {
        let leg = |leg: &Node| leg.all(Rule::travel).map(|t| self.travel(t)).collect::<Option<Vec<_>>>();
        let legs =
            n.one(Rule::motion_body)?.one(Rule::legs)?.all(Rule::leg).map(leg).collect::<Option<Vec<_>>>()?;
        Some(ItemKind::Motion { name: self.name_in(n)?, legs })
    }

    fn travel(&self, n: &Node) -> Option<Move> {
        let mut settings = n.children.iter().filter(|c| matches!(c.rule, Rule::flat | Rule::reading));
        let (from, to) = (self.setting(settings.next()?)?, self.setting(settings.next()?)?);
        Some(Move { joint: self.path_in(n)?, from, to, span: self.span(n) })
    }

    fn shape(&self, n: &Node) -> Option<Shape> {
        let form = n.children.get(1)?;
        Some(match form.rule {
            Rule::circle => Shape::Circle(self.value_in(form)?),
            Rule::rectangle => {
                let [width, height] = self.values(form)?;
                Shape::Rectangle { width, height }
            }
            Rule::rounded => {
                let [width, height, corner] = self.values(form)?;
                Shape::Rounded { width, height, corner }
            }
            Rule::polygon => {
                Shape::Polygon(form.all(Rule::point).map(|p| self.point(p)).collect::<Option<Vec<_>>>()?)
            }
            Rule::outline => self.outline(form)?,
            Rule::outline_file => Shape::File(self.text_in(form)?),
            _ => return None,
        })
    }

    fn outline(&self, n: &Node) -> Option<Shape> {
        let start = self.point(n.one(Rule::point)?)?;
        let segment = |s: &Node| {
            Some(match s.rule {
                Rule::line_to => PathSegment::Line(self.point(s.one(Rule::point)?)?),
                Rule::arc_to => {
                    let [through, to] = self.points(s)?;
                    PathSegment::Arc { through, to }
                }
                _ => {
                    let [first, second, to] = self.points(s)?;
                    PathSegment::Curve { first, second, to }
                }
            })
        };
        let drawn = |s: &&Node| matches!(s.rule, Rule::line_to | Rule::arc_to | Rule::curve_to);
        let segments = n.children.iter().filter(drawn).map(segment).collect::<Option<Vec<_>>>()?;
        Some(Shape::Path { start, segments })
    }

    fn mirror(&self, n: &Node) -> Option<Option<MirrorLine>> {
        let Some(line) = n.one(Rule::mirrored) else { return Some(None) };
        if line.has(Rule::point) {
            let [first, second] = self.points(line)?;
            return Some(Some(MirrorLine::Points(first, second)));
        }
        let (value, from) = (self.value_in(line)?, self.word_in(line, Rule::word)?);
        Some(Some(MirrorLine::Reading { value, from }))
    }
}

fn cutout_word(n: &Node) -> CutoutWord {
    if n.has(Rule::kw_slit) {
        CutoutWord::Slit
    } else if n.has(Rule::kw_window) {
        CutoutWord::Window
    } else if n.has(Rule::kw_hole) {
        CutoutWord::Hole
    } else {
        CutoutWord::Slot
    }
}
