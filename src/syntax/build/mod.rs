//! From grammar nodes to the owned tree. Every function answers `None` when a node has not the parts it should have;
//! the caller then treats the statement as one that could not be read.

mod clauses;
mod expressions;
mod items;
mod parts;

use super::parse::{Node, Rule};
use super::scan::{Token, TokenKind};
use super::tree::*;
use crate::source::{Span, Spanned};
use std::collections::BTreeSet;

/// The most operands that one chain of signs may have; keeps the tree shallow.
pub(super) const LONGEST_CHAIN: usize = 256;

pub(super) struct Builder<'a> {
    pub text: &'a str,
    /// Tokens of `text`.
    pub tokens: &'a [Token],
    /// From offsets in `text` to the global space.
    pub place: &'a dyn Fn(usize, usize) -> Span,
    /// Where statements start that are left out of the tree.
    pub unread: &'a BTreeSet<usize>,
}

impl Builder<'_> {
    fn source(&self, node: &Node) -> &str {
        self.text.get(node.start..node.end).unwrap_or("")
    }

    /// The node's place without the white space and comments at its end, which the grammar may have passed over.
    pub fn span(&self, node: &Node) -> Span {
        (self.place)(node.start, self.end(node))
    }

    pub fn end(&self, node: &Node) -> usize {
        let after = self.tokens.partition_point(|t| t.start < node.end);
        let last =
            self.tokens.get(..after).unwrap_or(&[]).iter().rev().find(|t| t.kind != TokenKind::Comment);
        last.map_or(node.end, |t| t.end.min(node.end)).max(node.start)
    }

    fn spanned(&self, node: &Node) -> Spanned<String> {
        Spanned::new(self.source(node).to_string(), self.span(node))
    }

    /// The content of a quoted text.
    fn text_of(&self, node: &Node) -> Option<Spanned<String>> {
        let body = node.one(Rule::text_body)?;
        Some(Spanned::new(self.source(body).to_string(), self.span(node)))
    }

    fn text_in(&self, node: &Node) -> Option<Spanned<String>> {
        self.text_of(node.one(Rule::text)?)
    }

    /// The one word of that rule among the node's children.
    fn word_in(&self, node: &Node, rule: Rule) -> Option<Spanned<String>> {
        node.one(rule).map(|n| self.spanned(n))
    }
}

impl Node {
    pub(super) fn all(&self, rule: Rule) -> impl Iterator<Item = &Node> {
        self.children.iter().filter(move |c| c.rule == rule)
    }

    pub(super) fn one(&self, rule: Rule) -> Option<&Node> {
        self.all(rule).next()
    }

    pub(super) fn has(&self, rule: Rule) -> bool {
        self.one(rule).is_some()
    }
}
