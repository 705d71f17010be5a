//! Gathers what the grammar called junk into broken statements.

use crate::syntax::build::LONGEST_CHAIN;
use crate::syntax::parse::{Node, Rule, read};
use crate::syntax::scan::{Token, TokenKind};
use crate::syntax::words;
use std::ops::Range;

/// One thing that could not be read.
#[derive(Debug, Clone)]
pub(super) struct Trouble {
    pub kind: TroubleKind,
    pub range: Range<usize>,
    /// Start of the statement that is not read whole because of it.
    pub item: Option<usize>,
    /// Where names that it declares may stand: its block included.
    pub names: Range<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TroubleKind {
    Statement {
        /// A `{` follows.
        block: bool,
        /// A `}` that closes nothing follows somewhere.
        stray_ahead: bool,
    },
    PoseSetting,
    MotionLegs,
    OpenBrace,
    StrayBrace,
    /// A chain of signs with too many operands.
    LongChain,
}

/// Everything in a file that could not be read, in no special order.
pub(super) fn troubles(file: &Node, source: &str, tokens: &[Token]) -> Vec<Trouble> {
    let last_stray = file.all(Rule::stray_brace).last().map_or(0, |n| n.start);
    let mut gather = Gather { source, tokens, last_stray, list: Vec::new() };
    gather.list_of(file, None);
    gather.list
}

struct Gather<'a> {
    source: &'a str,
    tokens: &'a [Token],
    last_stray: usize,
    list: Vec<Trouble>,
}

/// A broken statement while its lines are gathered.
struct Group {
    start: usize,
    end: usize,
    item: Option<usize>,
}

impl Gather<'_> {
    /// Looks through a list of statements or of a pose's settings; `pose` is where the statement with the settings starts.
    fn list_of(&mut self, list: &Node, pose: Option<usize>) {
        let mut group: Option<Group> = None;
        let mut sound: Option<&Node> = None;
        for child in &list.children {
            match child.rule {
                Rule::item | Rule::pose_setting => {
                    self.flush(&mut group, pose);
                    self.inside(child);
                    sound = Some(child);
                }
                Rule::junk | Rule::pose_junk => {
                    let end = self.end_of(child);
                    match &mut group {
                        Some(open) if self.continues(open.start, open.end, child) => open.end = end,
                        _ => {
                            self.flush(&mut group, pose);
                            let broken = sound.filter(|s| self.continues(s.start, self.end_of(s), child));
                            group = Some(Group {
                                start: broken.map_or(child.start, |s| s.start),
                                end,
                                item: broken.map(|s| s.start),
                            });
                        }
                    }
                    sound = None;
                }
                Rule::junk_block => {
                    let known = group.as_ref().is_none_or(|g| self.holds_statements(g.start));
                    self.block(child, group.take(), sound.take(), pose);
                    if known {
                        self.list_of(child, None);
                    }
                }
                Rule::stray_brace => {
                    self.flush(&mut group, pose);
                    sound = None;
                    self.push(TroubleKind::StrayBrace, child.start..child.end, None);
                }
                _ => {}
            }
        }
        self.flush(&mut group, pose);
    }

    /// True when the broken statement is of those whose blocks hold statements.
    fn holds_statements(&self, start: usize) -> bool {
        const HOLDERS: [&str; 4] = ["piece", "variant", "mechanism", "repeat"];
        self.token_at(start).is_some_and(|t| HOLDERS.contains(&t.text(self.source)))
    }

    fn has_block(&self, start: usize) -> bool {
        self.holds_statements(start)
            || self.token_at(start).is_some_and(|t| matches!(t.text(self.source), "pose" | "motion"))
    }

    /// A block that belongs to no statement that could be read.
    fn block(&mut self, block: &Node, group: Option<Group>, sound: Option<&Node>, pose: Option<usize>) {
        let Some(group) = group else {
            let ahead = sound.filter(|s| !self.breaks(self.end_of(s), block.start) && !self.closes(s));
            let start = ahead.map_or(block.start, |s| s.start);
            self.push(TroubleKind::OpenBrace, start..block.start + 1, ahead.map(|s| s.start));
            return;
        };
        let kind = TroubleKind::Statement { block: true, stray_ahead: false };
        self.list.push(Trouble {
            kind,
            range: group.start..group.end,
            item: pose.or(group.item),
            names: group.start..block.end,
        });
    }

    /// Looks into a statement that was read.
    fn inside(&mut self, item: &Node) {
        if let Some(chain) = long_chain(item) {
            let end = self.end_of(item);
            self.push(TroubleKind::LongChain, chain.start..self.end_of(chain), Some(item.start));
            if let Some(trouble) = self.list.last_mut() {
                trouble.names = item.start..end;
            }
        }
        for statement in &item.children {
            for part in &statement.children {
                match part.rule {
                    Rule::block => self.list_of(part, None),
                    Rule::pose_body => self.list_of(part, Some(item.start)),
                    Rule::motion_body => self.motion(part, item),
                    _ => {}
                }
            }
        }
    }

    /// The legs of a motion are read all or none.
    fn motion(&mut self, body: &Node, item: &Node) {
        if body.has(Rule::legs) {
            return;
        }
        let range = match (body.one(Rule::motion_junk), body.children.first()) {
            (Some(junk), _) => junk.start..self.end_of(junk),
            (None, Some(brace)) => brace.end..brace.end,
            (None, None) => body.start..body.start,
        };
        self.list.push(Trouble {
            kind: TroubleKind::MotionLegs,
            range,
            item: Some(item.start),
            names: item.start..item.end,
        });
    }

    fn flush(&mut self, group: &mut Option<Group>, pose: Option<usize>) {
        let Some(group) = group.take() else { return };
        let kind = match pose {
            Some(_) => TroubleKind::PoseSetting,
            None => TroubleKind::Statement { block: false, stray_ahead: self.last_stray > group.end },
        };
        self.push(kind, group.start..group.end, pose.or(group.item));
    }

    fn push(&mut self, kind: TroubleKind, range: Range<usize>, item: Option<usize>) {
        let names = item.map_or(range.start, |i| i.min(range.start))..range.end;
        self.list.push(Trouble { kind, range, item, names });
    }

    /// True when junk goes on with what ends at `end` and belongs to the statement at `start`.
    fn continues(&self, start: usize, end: usize, junk: &Node) -> bool {
        let Some(first) = self.token_at(junk.start) else { return true };
        let text = first.text(self.source);
        if self.token_before(end).is_some_and(|t| t.is(self.source, "}")) {
            return false;
        }
        if !self.breaks(end, junk.start) {
            return !self.misspelt_start(junk, first);
        }
        let leads_on = |t: &Token| {
            let text = t.text(self.source);
            matches!(text, "," | ":" | "=" | "+" | "-" | "*" | "/" | "(") || words::CONNECTING.contains(&text)
        };
        let block = self.source.get(junk.end..).unwrap_or("").starts_with('{');
        if block && !self.has_block(start) {
            return false;
        }
        if self.token_before(end).is_some_and(leads_on)
            || first.kind != TokenKind::Word
            || words::CONNECTING.contains(&text)
        {
            return true;
        }
        words::statement(text).is_none()
            && !self.misspelt_start(junk, first)
            && self.indentation(junk.start) > self.indentation(start)
    }

    /// True when junk reads like a statement whose first word is misspelt.
    fn misspelt_start(&self, junk: &Node, first: &Token) -> bool {
        /// So many words must make sense behind the corrected one.
        const SENSE: usize = 3;
        if first.kind != TokenKind::Word {
            return false;
        }
        let Some(word) = words::nearest_statement(first.text(self.source)) else { return false };
        let rest = self.source.get(first.end..junk.end).unwrap_or("");
        match read(Rule::lone_item, &format!("{word}{rest}")) {
            Ok(_) => true,
            Err(stop) => {
                let at = (first.end + stop.at).saturating_sub(word.len());
                let read = self
                    .tokens
                    .partition_point(|t| t.end <= at)
                    .saturating_sub(self.tokens.partition_point(|t| t.start < first.start));
                read >= SENSE
            }
        }
    }

    fn closes(&self, node: &Node) -> bool {
        self.token_before(node.end).is_some_and(|t| t.is(self.source, "}"))
    }

    fn breaks(&self, end: usize, start: usize) -> bool {
        self.source.get(end..start).unwrap_or("").contains(['\n', '\r'])
    }

    fn end_of(&self, node: &Node) -> usize {
        self.token_before(node.end).map_or(node.end, |t| t.end.min(node.end)).max(node.start)
    }

    fn token_at(&self, start: usize) -> Option<&Token> {
        self.tokens.get(self.tokens.partition_point(|t| t.end <= start))
    }

    fn token_before(&self, end: usize) -> Option<&Token> {
        let after = self.tokens.partition_point(|t| t.start < end);
        self.tokens.get(..after)?.iter().rev().find(|t| t.kind != TokenKind::Comment)
    }

    fn indentation(&self, at: usize) -> usize {
        let before = self.source.get(..at).unwrap_or("");
        let line = self.source.get(before.rfind(['\n', '\r']).map_or(0, |i| i + 1)..).unwrap_or("");
        line.chars().take_while(|c| *c == ' ' || *c == '\t').count()
    }
}

/// A chain of signs in a statement (blocks not included) with more than [`LONGEST_CHAIN`] operands.
fn long_chain(node: &Node) -> Option<&Node> {
    if matches!(node.rule, Rule::block | Rule::pose_body) {
        return None;
    }
    let chain = matches!(node.rule, Rule::value | Rule::product) && node.children.len() > 2 * LONGEST_CHAIN;
    if chain { Some(node) } else { node.children.iter().find_map(long_chain) }
}
