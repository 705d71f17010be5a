//! Title, envelope, post, grid and papers.

use super::design::{Envelope, GrainWord, Paper, PaperIndex, Post, Quantity, Sheet};
use super::resolve::Entity;
use super::world::{ScopeId, Value, World};
use crate::findings::catalogue::{
    PaperDoesNotSay, UnknownColour, UnknownEnvelope, UnknownGrain, UnknownPost, UnknownSheet, WrongKind,
};
use crate::quantity::{Dimension, standard};
use crate::source::{Span, Spanned, nearest};
use crate::syntax::tree::{Clause, ClauseKind, Expr, Item, ItemKind, MeasureWord, Path, Size};

impl<'t> World<'t> {
    pub fn title(&mut self, title: &Spanned<String>) {
        self.design.title = title.value.clone();
        self.design.title_span = title.span;
    }

    pub fn envelope(&mut self, scope: ScopeId, size: &'t Size) {
        let envelope = match size {
            Size::Named { words, span } => {
                let words: Vec<&str> = words.iter().map(|w| w.value.as_str()).collect();
                match standard::envelope(&words) {
                    Some(e) => Envelope {
                        name: e.name().into(),
                        width: e.long,
                        height: e.short,
                        depth: None,
                        span: *span,
                    },
                    None => {
                        let name = words.join(" ");
                        let near = nearest(&name, standard::envelope_names()).map(String::from);
                        return self.report(UnknownEnvelope { place: *span, name, near });
                    }
                }
            }
            Size::Measured { width, height, depth, span } => {
                let (w, h) = (self.positive(scope, width), self.positive(scope, height));
                let depth = match depth {
                    None => None,
                    Some(depth) => match self.positive(scope, depth) {
                        Some(d) => Some(d.exact),
                        None => return,
                    },
                };
                let (Some(w), Some(h)) = (w, h) else { return };
                Envelope { name: "your own".into(), width: w.exact, height: h.exact, depth, span: *span }
            }
        };
        self.design.envelope = Some(envelope);
    }

    pub fn post(&mut self, words: &'t [Spanned<String>]) {
        let (Some(first), Some(last)) = (words.first(), words.last()) else { return };
        let span = first.span.to(last.span);
        let class = words.iter().skip(1).map(|w| w.value.as_str()).collect::<Vec<_>>().join(" ");
        if standard::post(&first.value, &class).is_some() {
            self.design.post = Some(Post { post: first.value.clone(), class, span });
            return;
        }
        let classes: Vec<String> = standard::post_classes(&first.value).map(String::from).collect();
        let known = !classes.is_empty();
        let choices = if known { classes } else { standard::post_names().map(String::from).collect() };
        let name = if known { class.clone() } else { first.value.clone() };
        let near = nearest(&name, choices.iter().map(String::as_str)).map(String::from);
        let place = match words.get(1) {
            Some(second) if known => second.span.to(last.span),
            _ => first.span,
        };
        self.report(UnknownPost { place, name, post: known.then(|| first.value.clone()), near, choices });
    }

    pub fn grid(&mut self, scope: ScopeId, expr: &'t Expr) {
        if let Some(grid) = self.positive(scope, expr) {
            self.design.grid = Some(grid);
        }
    }

    /// The paper a path names.
    pub fn paper(&mut self, scope: ScopeId, path: &'t Path) -> Option<PaperIndex> {
        match self.resolve(scope, path, &[])? {
            Entity::Paper { key, scope, .. } => self.paper_index(scope, &key),
            other => {
                let defined = self.defined(&other);
                self.report(WrongKind::of(path.span, "a paper", other.spoken(), defined));
                None
            }
        }
    }

    /// Understands a declared paper once.
    pub fn paper_index(&mut self, scope: ScopeId, key: &str) -> Option<PaperIndex> {
        // A paper stays missing once it is: its name is in the list of what is left out.
        let name = {
            let (home, _) = self.find(scope, key)?;
            self.full_name(home, key)
        };
        if let Some(at) = self.design.papers.iter().position(|p| p.name == name) {
            return Some(at);
        }
        if self.design.missing.contains(&name) {
            return None;
        }
        let Some((_, super::world::Named { what: super::world::What::Paper(item, home), span })) =
            self.find(scope, key)
        else {
            return None;
        };
        let ItemKind::Paper { clauses, .. } = &item.kind else { return None };
        let hint = std::mem::replace(&mut self.hint, item.hint.as_ref().map(|h| h.value.clone()));
        let paper = self.understand_paper(home, name.clone(), span, clauses);
        self.hint = hint;
        match paper {
            Some(paper) => {
                self.design.papers.push(paper);
                Some(self.design.papers.len() - 1)
            }
            None => {
                self.missing(&name);
                None
            }
        }
    }

    fn understand_paper(
        &mut self,
        scope: ScopeId,
        name: String,
        span: Span,
        clauses: &'t [Clause],
    ) -> Option<Paper> {
        let mut clauses = self.clauses_of(clauses, "a paper");
        let mut sound = true;
        let caliper = self.measure(scope, &mut clauses, MeasureWord::Thick);
        let weight = clauses.one(|k| match k {
            ClauseKind::Bare(value) => Some(value),
            _ => None,
        });
        let grammage = weight.and_then(|(_, value)| {
            let q = self.quantity(scope, value, Dimension::Grammage);
            sound &= q.is_some();
            q
        });
        let sheet = clauses.one(|k| match k {
            ClauseKind::Sheet(size) => Some(size),
            _ => None,
        });
        let sheet = sheet.and_then(|(_, size)| {
            let sheet = self.sheet(scope, size);
            sound &= sheet.is_some();
            sheet
        });
        let grain = clauses.one(|k| match k {
            ClauseKind::Grain(word) => Some(word),
            _ => None,
        });
        let grain = grain.and_then(|(_, word)| match word.value.as_str() {
            "long" => Some(GrainWord::Long),
            "short" => Some(GrainWord::Short),
            _ => {
                self.report(UnknownGrain { place: word.span, word: word.value.clone() });
                None
            }
        });
        let colour = clauses.one(|k| match k {
            ClauseKind::Colour(text) => Some(text),
            _ => None,
        });
        let colour = colour.and_then(|(_, text)| self.colour(text));
        let price = clauses.one(|k| match k {
            ClauseKind::Price(value) => Some(value),
            _ => None,
        });
        let price = price.and_then(|(_, value)| self.quantity(scope, value, Dimension::Number));
        clauses.finish(self);
        let caliper: Option<Quantity> = caliper.ok()?;
        sound.then_some(Paper { name, grammage, caliper, sheet, grain, colour, price, span })
    }

    fn sheet(&mut self, scope: ScopeId, size: &'t Size) -> Option<Sheet> {
        match size {
            Size::Named { words, span } => {
                let plain: Vec<&str> = words.iter().map(|w| w.value.as_str()).collect();
                match standard::sheet(&plain) {
                    Some(s) => Some(Sheet { name: s.name().into(), width: s.short, height: s.long }),
                    None => {
                        let name = plain.join(" ");
                        let near = nearest(&name, standard::sheet_names()).map(String::from);
                        self.report(UnknownSheet { place: *span, name, near });
                        None
                    }
                }
            }
            Size::Measured { width, height, .. } => {
                let (w, h) = (self.positive(scope, width), self.positive(scope, height));
                let (w, h) = (w?.exact, h?.exact);
                Some(Sheet { name: "your own".into(), width: w.min(h), height: w.max(h) })
            }
        }
    }

    fn colour(&mut self, text: &Spanned<String>) -> Option<(u8, u8, u8)> {
        let word = text.value.trim().to_lowercase();
        let colour = hex(&word).or_else(|| COLOURS.iter().find(|(n, _)| *n == word).map(|(_, c)| *c));
        if colour.is_none() {
            let near = nearest(&word, COLOURS.iter().map(|(n, _)| *n)).map(String::from);
            self.report(UnknownColour { place: text.span, colour: text.value.clone(), near });
        }
        colour
    }

    /// `cover.thickness` and `cover.weight`, when the design states them.
    pub fn paper_property(
        &mut self,
        scope: ScopeId,
        item: &'t Item,
        key: &str,
        word: &str,
        span: Span,
    ) -> Option<Value> {
        let _ = item;
        let index = self.paper_index(scope, key)?;
        let paper = self.design.papers.get(index)?;
        let (stated, dimension) = match word {
            "thickness" => (paper.caliper, Dimension::Length),
            _ => (paper.grammage, Dimension::Grammage),
        };
        match stated {
            Some(q) => Some(Value::Quantity(Quantity { exact: q.exact, dimension, span, literal: None })),
            None => {
                let (name, defined) = (paper.name.clone(), paper.span);
                let place = span;
                self.report(PaperDoesNotSay { place, name, word: word.into(), defined });
                None
            }
        }
    }
}

fn hex(word: &str) -> Option<(u8, u8, u8)> {
    let digits = word.strip_prefix('#')?;
    if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    let byte = |i: usize| digits.get(i..i + 2).and_then(|d| u8::from_str_radix(d, 16).ok());
    Some((byte(0)?, byte(2)?, byte(4)?))
}

/// Colour words: a small palette of card colours of our own.
const COLOURS: [(&str, (u8, u8, u8)); 24] = [
    ("white", (0xff, 0xff, 0xff)),
    ("cream", (0xf6, 0xef, 0xdc)),
    ("ivory", (0xfb, 0xf7, 0xea)),
    ("kraft", (0xb9, 0x93, 0x6a)),
    ("grey", (0xa6, 0xa8, 0xab)),
    ("charcoal", (0x3f, 0x44, 0x4a)),
    ("black", (0x1c, 0x1c, 0x1e)),
    ("navy", (0x23, 0x36, 0x5c)),
    ("blue", (0x3f, 0x72, 0xb0)),
    ("sky", (0xa9, 0xcf, 0xe8)),
    ("teal", (0x2e, 0x7f, 0x80)),
    ("mint", (0xb7, 0xdd, 0xc6)),
    ("green", (0x4e, 0x8b, 0x4f)),
    ("moss", (0x74, 0x7d, 0x45)),
    ("forest", (0x2a, 0x4d, 0x38)),
    ("yellow", (0xf0, 0xcf, 0x57)),
    ("mustard", (0xc8, 0x99, 0x2f)),
    ("orange", (0xdf, 0x87, 0x3d)),
    ("coral", (0xe5, 0x7f, 0x6b)),
    ("red", (0xb8, 0x3b, 0x37)),
    ("rose", (0xd9, 0x8c, 0x9c)),
    ("plum", (0x6d, 0x3f, 0x63)),
    ("lilac", (0xbe, 0xab, 0xd6)),
    ("brown", (0x6f, 0x4e, 0x37)),
];
