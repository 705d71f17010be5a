//! One true layout: one statement a line, two spaces for every block, single spaces between words. Comments and single
//! blank lines stay; the words and signs stay in their order, so the meaning cannot change.
//!
//! A statement with a comment inside it goes on in the next line, four spaces further in. So does one that was written
//! on several lines and has more than [`LINE`] columns, between its clauses or terms; and every outline that has more,
//! between its points. The lines and curves of an outline stand each on a line of their own if they are too long for
//! one, or were written on several. A block that was written in one line stays so if it belongs to a pose, a motion or a
//! variant or holds at most one statement, and if the line has at most [`LINE`] columns; its parts then stand two
//! spaces apart.

use super::parse::{Node, Rule, parse, read};
use super::scan::{self, Token, TokenKind};
use crate::findings::Findings;
use std::collections::BTreeSet;
use std::ops::Range;

/// The most columns of a line that could be broken.
pub const LINE: usize = 100;

const INDENT: usize = 2;
/// How much further in a statement goes on in a new line.
const CONTINUATION: usize = 4;

/// The text in its true layout, or what keeps it from being read.
pub fn tidy(text: &str) -> Result<String, Findings> {
    let mut sink = Findings::default();
    parse(text, 0, &mut sink);
    if !sink.list().is_empty() {
        return Err(sink);
    }
    let Ok(file) = read(Rule::file, text) else { return Err(sink) };
    let tokens = scan::tokens(text);
    let mut printer = Printer {
        source: text,
        tokens: &tokens,
        glue: Glue::of(&file),
        breaks: Breaks::of(&file),
        wraps: false,
        next: 0,
        indent: 0,
        out: String::with_capacity(text.len()),
        fresh: true,
    };
    let parts = printer.parts(&file);
    printer.list(&parts, text.len());
    if !printer.out.is_empty() {
        printer.out.push('\n');
    }
    Ok(printer.out)
}

/// Where no space stands although the signs alone would not tell.
#[derive(Default)]
struct Glue {
    /// Signs of negative values.
    minus: BTreeSet<usize>,
    /// Parentheses of calls.
    paren: BTreeSet<usize>,
    /// Strokes within the names of sizes: `C6/C5`.
    stroke: BTreeSet<usize>,
}

impl Glue {
    fn of(file: &Node) -> Self {
        let mut glue = Self::default();
        glue.gather(file);
        glue
    }

    fn gather(&mut self, node: &Node) {
        match node.rule {
            Rule::minus_sign => drop(self.minus.insert(node.start)),
            Rule::size_word => self.stroke.extend(node.start..node.end),
            Rule::call | Rule::use_item | Rule::mechanism => {
                self.paren.extend(node.all(Rule::open_paren).map(|n| n.start));
            }
            _ => {}
        }
        for child in &node.children {
            self.gather(child);
        }
    }
}

/// Where a statement that does not stand in one line goes on in a new one.
#[derive(Default)]
struct Breaks {
    /// Always: the lines and curves of an outline.
    hard: BTreeSet<usize>,
    /// Where the line would be too long else: the points of an outline.
    points: BTreeSet<usize>,
    /// Where the line would be too long else, in a statement that was written on several.
    soft: BTreeSet<usize>,
}

impl Breaks {
    fn of(file: &Node) -> Self {
        let mut breaks = Self::default();
        breaks.gather(file, None);
        breaks
    }

    fn gather(&mut self, node: &Node, parent: Option<&Node>) {
        let first = parent.and_then(|p| p.children.iter().find(|c| c.rule == node.rule));
        let is_first = first.is_some_and(|f| f.start == node.start);
        match node.rule {
            Rule::line_to | Rule::arc_to | Rule::curve_to => drop(self.hard.insert(node.start)),
            Rule::mirrored if parent.is_some_and(|p| p.one(Rule::outline).is_some()) => {
                self.hard.insert(node.start);
            }
            Rule::point if !is_first && parent.is_some_and(|p| p.rule == Rule::polygon) => {
                self.points.insert(node.start);
            }
            Rule::clause | Rule::parameter | Rule::argument if !is_first => {
                self.soft.insert(node.start);
            }
            Rule::name if !is_first && parent.is_some_and(|p| p.rule == Rule::name_list) => {
                self.soft.insert(node.start);
            }
            Rule::path if !is_first && parent.is_some_and(|p| p.rule == Rule::path_list) => {
                self.soft.insert(node.start);
            }
            Rule::mirrored | Rule::hint | Rule::kw_and | Rule::compare_sign | Rule::add_sign => {
                self.soft.insert(node.start);
            }
            _ => {}
        }
        for child in &node.children {
            self.gather(child, Some(node));
        }
    }
}

/// One thing that stands on a line of its own.
struct Part<'n> {
    range: Range<usize>,
    body: Option<&'n Node>,
    /// The block may stand in the line of its head, whatever it holds.
    short: bool,
}

struct Printer<'a> {
    source: &'a str,
    tokens: &'a [Token],
    glue: Glue,
    breaks: Breaks,
    /// The statement that is being written may go on in a new line wherever it would be too long.
    wraps: bool,
    /// The first token that is not written yet.
    next: usize,
    indent: usize,
    out: String,
    /// Nothing stands yet in the block: no blank line before its first part.
    fresh: bool,
}

impl Printer<'_> {
    /// What stands in a file or a block, line by line.
    fn parts<'n>(&self, list: &'n Node) -> Vec<Part<'n>> {
        let mut parts = Vec::new();
        let mut start = None;
        let legs = list.one(Rule::legs).unwrap_or(list);
        for child in &legs.children {
            match child.rule {
                Rule::item => {
                    let statement = child.children.first();
                    let body = statement.and_then(|s| {
                        let body = |r: &Rule| s.one(*r);
                        [Rule::block, Rule::pose_body, Rule::motion_body].iter().find_map(body)
                    });
                    let short = statement.is_some_and(|s| s.rule == Rule::variant)
                        || body.is_some_and(|b| b.rule != Rule::block);
                    parts.push(Part { range: self.range(child), body, short });
                }
                Rule::pose_setting => parts.push(Part { range: self.range(child), body: None, short: false }),
                Rule::kw_then => start = Some(child.start),
                Rule::leg => {
                    let range = self.range(child);
                    let start = start.take().unwrap_or(range.start);
                    parts.push(Part { range: start..range.end, body: None, short: false });
                }
                _ => {}
            }
        }
        parts
    }

    /// A node's range without the white space and comments that the grammar passed over at its end.
    fn range(&self, node: &Node) -> Range<usize> {
        let after = self.tokens.partition_point(|t| t.start < node.end);
        let before = self.tokens.get(..after).unwrap_or(&[]);
        let last = before.iter().rev().find(|t| t.kind != TokenKind::Comment);
        node.start..last.map_or(node.end, |t| t.end.min(node.end)).max(node.start)
    }

    /// Writes parts with what stands before, between and behind them, up to `end`.
    fn list(&mut self, parts: &[Part<'_>], end: usize) {
        for part in parts {
            self.comments(part.range.start);
            self.line(part.range.start);
            self.part(part);
        }
        self.comments(end);
    }

    fn part(&mut self, part: &Part<'_>) {
        if let Some(flat) = self.flat(part)
            && self.column() + flat.chars().count() <= LINE
        {
            self.out.push_str(&flat);
            self.skip_to(part.range.end);
            return;
        }
        let head = part.range.start..part.body.map_or(part.range.end, |body| body.start);
        self.wraps = self.newlines(head.start, head.end) > 0;
        let Some(body) = part.body else { return self.broken(part.range.end) };
        self.broken(body.start + 1);
        self.indent += INDENT;
        self.fresh = true;
        let parts = self.parts(body);
        let close = self.range(body).end.saturating_sub(1);
        self.list(&parts, close);
        self.indent -= INDENT;
        self.fresh = true;
        self.line(close);
        self.fresh = false;
        self.broken(part.range.end);
    }

    /// The part in one line, if it may stand so.
    fn flat(&self, part: &Part<'_>) -> Option<String> {
        let Some(body) = part.body else { return self.words(part.range.clone()) };
        let range = self.range(body);
        let parts = self.parts(body);
        if !parts.is_empty() && self.newlines(range.start, range.end) > 0 {
            return None;
        }
        self.words(range.clone())?;
        if parts.len() > 1 && !part.short {
            return None;
        }
        let inner = parts.iter().map(|p| self.flat(p)).collect::<Option<Vec<_>>>()?;
        // The legs of a motion are joined by `then`.
        let inner = inner.join(if body.rule == Rule::motion_body { " " } else { "  " });
        let head = self.words(part.range.start..range.start)?;
        let tail = self.words(range.end..part.range.end)?;
        let block = if inner.is_empty() { "{}".to_string() } else { format!("{{ {inner} }}") };
        let tail = if tail.is_empty() { tail } else { format!(" {tail}") };
        Some(format!("{head} {block}{tail}"))
    }

    /// The tokens of a range with their spaces; `None` when a comment is among them, or an outline on several lines.
    fn words(&self, range: Range<usize>) -> Option<String> {
        let first = self.tokens.partition_point(|t| t.start < range.start);
        let last = self.tokens.partition_point(|t| t.start < range.end);
        let mut text = String::new();
        let mut before: Option<&Token> = None;
        for token in self.tokens.get(first..last)? {
            let goes_on = |b: &Token| self.newlines(b.end, token.start) > 0;
            if token.kind == TokenKind::Comment
                || self.breaks.hard.contains(&token.start) && before.is_some_and(goes_on)
            {
                return None;
            }
            if before.is_some_and(|b| self.apart(b, token)) {
                text.push(' ');
            }
            text.push_str(&self.written(token));
            before = Some(token);
        }
        Some(text)
    }

    /// Writes the tokens up to `end` from the beginning of a line; they go on in a new one behind a comment, where the
    /// parts of an outline begin, and where a line would be too long.
    fn broken(&mut self, end: usize) {
        let mut before: Option<Token> = None;
        while let Some(token) = self.tokens.get(self.next).copied().filter(|t| t.start < end) {
            let comment = |t: &Token| t.kind == TokenKind::Comment;
            let own_line = self.newlines(self.last_end(), token.start) > 0;
            match before {
                None => {}
                Some(b)
                    if comment(&b) || comment(&token) && own_line || self.breaks_before(&b, &token, end) =>
                {
                    self.out.push('\n');
                    self.out.push_str(&" ".repeat(self.indent + CONTINUATION));
                }
                Some(_) if comment(&token) => self.out.push_str("  "),
                Some(b) if self.apart(&b, &token) => self.out.push(' '),
                Some(_) => {}
            }
            let written = self.written(&token);
            self.out.push_str(&written);
            before = Some(token);
            self.next += 1;
        }
    }

    /// True when `token` begins a new line of a statement that does not stand in one.
    fn breaks_before(&self, before: &Token, token: &Token, end: usize) -> bool {
        let hard = |t: &Token| self.breaks.hard.contains(&t.start);
        let soft = |t: &Token| {
            self.breaks.points.contains(&t.start) || self.wraps && self.breaks.soft.contains(&t.start)
        };
        if hard(token) || !soft(token) {
            return hard(token);
        }
        // What would stand together with it, up to the next place for a break.
        let behind = self.tokens.get(self.next + 1..).unwrap_or(&[]).iter();
        let together = behind.take_while(|t| {
            let ends = t.start >= end || t.kind == TokenKind::Comment;
            !ends && !hard(t) && !soft(t)
        });
        let mut columns =
            self.column() + usize::from(self.apart(before, token)) + self.written(token).chars().count();
        let mut last = token;
        for token in together {
            columns += usize::from(self.apart(last, token)) + self.written(token).chars().count();
            last = token;
        }
        columns > LINE
    }

    /// Columns of the line that is being written.
    fn column(&self) -> usize {
        let start = self.out.rfind('\n').map_or(0, |i| i + 1);
        self.out.get(start..).unwrap_or("").chars().count()
    }

    /// Writes the comments before `end`: behind the line above, or on lines of their own.
    fn comments(&mut self, end: usize) {
        while let Some(token) = self.tokens.get(self.next).copied().filter(|t| t.start < end) {
            let trails = self.next > 0 && self.newlines(self.last_end(), token.start) == 0;
            if trails {
                self.out.push_str("  ");
            } else {
                self.line(token.start);
            }
            let written = self.written(&token);
            self.out.push_str(&written);
            self.next += 1;
        }
    }

    /// Begins a line for what was written at `start`, with a blank line before it if there was one.
    fn line(&mut self, start: usize) {
        if !self.out.is_empty() {
            self.out.push('\n');
            if !self.fresh && self.newlines(self.last_end(), start) > 1 {
                self.out.push('\n');
            }
        }
        self.fresh = false;
        self.out.push_str(&" ".repeat(self.indent));
    }

    fn skip_to(&mut self, end: usize) {
        self.next = self.tokens.partition_point(|t| t.start < end);
    }

    /// End of the last token that is written.
    fn last_end(&self) -> usize {
        self.next.checked_sub(1).and_then(|i| self.tokens.get(i)).map_or(0, |t| t.end)
    }

    fn newlines(&self, from: usize, to: usize) -> usize {
        let gap = self.source.get(from..to).unwrap_or("");
        gap.replace("\r\n", "\n").matches(['\n', '\r']).count()
    }

    fn written(&self, token: &Token) -> String {
        let text = token.text(self.source);
        match token.kind {
            TokenKind::Number => text.split_whitespace().collect::<Vec<_>>().join(" "),
            TokenKind::Comment => text.trim_end().to_string(),
            _ => text.to_string(),
        }
    }

    /// True when a space belongs between two neighbours.
    fn apart(&self, left: &Token, right: &Token) -> bool {
        let glued_left = matches!(left.text(self.source), "(" | "[" | ".")
            || self.glue.minus.contains(&left.start)
            || self.glue.stroke.contains(&left.start) && self.glue.stroke.contains(&right.start);
        let glued_right = matches!(right.text(self.source), ")" | "]" | "[" | "." | "," | ":")
            || self.glue.paren.contains(&right.start);
        !glued_left && !glued_right
    }
}
