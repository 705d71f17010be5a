//! Reading a text with the grammar. The only file that knows which parser generator is used: the rest of this room
//! works on `Node`s.

use super::recover;
use super::tree::Tree;
use crate::findings::Findings;
use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};
use pest::iterators::Pair;

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
        Ok(mut pairs) => {
            let whole = Node { rule, start: 0, end: text.len(), children: Vec::new() };
            Ok(pairs.next().map_or(whole, node))
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

fn node(pair: Pair<'_, Rule>) -> Node {
    let (rule, span) = (pair.as_rule(), pair.as_span());
    Node { rule, start: span.start(), end: span.end(), children: pair.into_inner().map(node).collect() }
}

/// True for a character that may begin a name.
pub(super) fn starts_word(c: char) -> bool {
    c == '_' || pest::unicode::XID_START(c)
}

/// True for a character that may continue a name.
pub(super) fn continues_word(c: char) -> bool {
    pest::unicode::XID_CONTINUE(c)
}

/// Reads one file, whose first byte has the global offset `base`. Never fails: what cannot be read is left out of the
/// tree and reported to `sink`, in file order.
pub fn parse(text: &str, base: u32, sink: &mut Findings) -> Tree {
    recover::read_file(text, base, sink)
}
