//! Reading a text with the grammar. The only file that knows which parser generator is used: the rest of this room
//! works on `Node`s.

use super::recover;
use super::tree::Tree;
use crate::findings::Findings;
use pest::error::{ErrorVariant, InputLocation};
use pest::iterators::Pairs;
use pest::{Parser, Token};

#[derive(pest_derive::Parser)]
#[grammar = "../grammar/plica.pest"]
struct PlicaParser;

/// What a grammar rule matched: byte offsets into the text that was read.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub rule: Rule,
    pub start: usize,
    pub end: usize,
    pub children: Vec<Node>,
}

/// Where reading stopped and what could have stood there.
#[derive(Debug, Clone)]
pub(super) struct Stop {
    pub at: usize,
    pub expected: Vec<Rule>,
}

/// Reads the whole of `text` with one rule.
pub(super) fn read(rule: Rule, text: &str) -> Result<Node, Stop> {
    match PlicaParser::parse(rule, text) {
        Ok(pairs) => {
            let whole = Node { rule, start: 0, end: text.len(), children: Vec::new() };
            Ok(first_node(pairs).unwrap_or(whole))
        }
        Err(error) => {
            let at = match error.location {
                InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
            };
            let expected = match error.variant {
                ErrorVariant::ParsingError { positives, .. } => positives,
                ErrorVariant::CustomError { .. } => Vec::new(),
            };
            Err(Stop { at, expected })
        }
    }
}

/// The first node with everything under it, from one walk over the starts and ends of all matches.
fn first_node(pairs: Pairs<'_, Rule>) -> Option<Node> {
    // Where each open node starts, and how many finished ones stood before its children.
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut done: Vec<Node> = Vec::new();
    for token in pairs.tokens() {
        match token {
            Token::Start { pos, .. } => open.push((pos.pos(), done.len())),
            Token::End { rule, pos } => {
                let (start, before) = open.pop()?;
                let node = Node { rule, start, end: pos.pos(), children: done.split_off(before) };
                if open.is_empty() {
                    return Some(node);
                }
                done.push(node);
            }
        }
    }
    None
}

/// True for a character that may begin a name.
pub(super) fn starts_word(c: char) -> bool {
    if c.is_ascii() { c.is_ascii_alphabetic() || c == '_' } else { pest::unicode::XID_START(c) }
}

/// True for a character that may continue a name.
pub(super) fn continues_word(c: char) -> bool {
    if c.is_ascii() { c.is_ascii_alphanumeric() || c == '_' } else { pest::unicode::XID_CONTINUE(c) }
}

/// Reads one file, whose first byte has the global offset `base`. Never fails: what cannot be read is left out of the
/// tree and reported to `sink`, in file order.
pub fn parse(text: &str, base: u32, sink: &mut Findings) -> Tree {
    recover::read_file(text, base, sink)
}
