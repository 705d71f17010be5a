//! Recovery: finds every fault of a text in one run and reads on behind each.
//!
//! The text is read in rounds. Each round reads a [`Draft`] with the grammar; what the grammar calls junk is gathered
//! into broken statements, and for each of them the smallest repair is sought with which it can be read on. The next
//! round reads the repaired draft, so that one slip hides nothing else. When no repair is left, what is still broken is
//! reported as it stands and left out of the tree.

mod attempts;
mod braces;
mod diagnose;
mod draft;
mod expected;
mod names;
mod signs;
mod trouble;

use super::build::Builder;
use super::parse::{Node, Rule, read};
use super::scan::{Token, TokenKind};
use super::tree::Tree;
use super::words;
use crate::findings::catalogue::NestedTooDeep;
use crate::findings::{Fault, Findings};
use crate::source::{Span, Spanned};
use draft::{Draft, Repair};
use std::collections::BTreeSet;
use std::ops::Range;
use trouble::Trouble;

/// The most rounds; each can repair one fault of every broken statement.
const ROUNDS: usize = 12;

/// Reads a text; the findings come in file order.
pub(super) fn read_file(text: &str, base: u32, sink: &mut Findings) -> Tree {
    let mut found = Findings::speaking(sink.say);
    let mut guesses = Vec::new();
    let mut draft = prepared(text, base, &mut found, &mut guesses);
    let mut repairs = Repairs::new(&draft, base, &mut found, &mut guesses);
    names::refuse_names(&mut repairs);
    let refused = Refused { left_out: repairs.left_out, words: repairs.reserved };
    let tree = loop_rounds(text, base, &mut draft, &mut found, &mut guesses, refused);
    found.sort();
    sink.extend(found);
    tree
}

/// The text with its foreign signs, its nesting and its braces repaired.
fn prepared(text: &str, base: u32, found: &mut Findings, guesses: &mut Vec<Range<usize>>) -> Draft {
    let mut draft = Draft::new(text);
    for step in [signs::repair_signs, braces::limit_depth, braces::balance] {
        let mut repairs = Repairs::new(&draft, base, found, guesses);
        step(&mut repairs);
        let edits = std::mem::take(&mut repairs.edits);
        if !edits.is_empty() {
            draft = draft.repaired(edits);
        }
    }
    draft
}

fn loop_rounds(
    text: &str,
    base: u32,
    draft: &mut Draft,
    found: &mut Findings,
    guesses: &mut Vec<Range<usize>>,
    refused: Refused,
) -> Tree {
    let Refused { mut left_out, words } = refused;
    for round in 0.. {
        let current: &Draft = draft;
        let tokens = current.tokens();
        let file = match read(Rule::file, &current.text) {
            Ok(file) => file,
            Err(stop) => {
                // Everything is an item or junk, so only the parser's own limit on its stack can stop it.
                let at = current.origin(stop.at..stop.at);
                let place = Span::new(base + at.start as u32, base + at.end as u32);
                found.report(NestedTooDeep { place, deepest: braces::DEEPEST });
                break;
            }
        };
        let troubles = trouble::troubles(&file, &current.text, tokens);
        let mut repairs = Repairs::new(current, base, found, guesses);
        repairs.reserved.clone_from(&words);
        diagnose::diagnose(&troubles, &mut repairs);
        left_out.append(&mut repairs.left_out);
        let edits = std::mem::take(&mut repairs.edits);
        let unmended = std::mem::take(&mut repairs.unmended);
        if edits.is_empty() || round == ROUNDS {
            found.extend(unmended);
            return tree(text, base, current, &file, &troubles, &left_out);
        }
        *draft = current.repaired(edits);
    }
    Tree { span: Span::new(base, base + text.len() as u32), ..Tree::default() }
}

fn tree(text: &str, base: u32, draft: &Draft, file: &Node, troubles: &[Trouble], left_out: &[usize]) -> Tree {
    let global = |r: Range<usize>| Span::new(base + r.start as u32, base + r.end as u32);
    let place = |start: usize, end: usize| global(draft.origin(start..end));
    let tokens = draft.tokens();
    let mut broken_names = Vec::new();
    let mut broken = Vec::new();
    let mut broken_shapes = Vec::new();
    let mut unread: BTreeSet<usize> = troubles.iter().filter_map(|t| t.item).collect();
    let items = if left_out.is_empty() { Vec::new() } else { file_items(file) };
    for item in items {
        if left_out.contains(&draft.origin(item.start..item.start + 1).start) {
            unread.insert(item.start);
            broken_names.extend(words::declared(&draft.text, tokens, item.clone()));
            broken.push(place(item.start, item.end));
            broken_shapes.extend(is_shape(&draft.text, item.start).then(|| place(item.start, item.end)));
        }
    }
    for trouble in troubles {
        broken_names.extend(words::declared(&draft.text, tokens, trouble.names.clone()));
        let span = place(trouble.range.start, trouble.range.end);
        broken.push(span);
        broken_shapes.extend(is_shape(&draft.text, trouble.range.start).then_some(span));
    }
    broken_names.sort();
    broken_names.dedup();
    broken.sort();
    let builder = Builder { text: &draft.text, tokens, place: &place, unread: &unread };
    let items = builder.items(file);
    let comments = tokens
        .iter()
        .filter(|t| t.kind == TokenKind::Comment)
        .map(|t| Spanned::new(t.text(&draft.text).to_string(), place(t.start, t.end)))
        .collect();
    let span = Span::new(base, base + text.len() as u32);
    Tree { items, comments, broken_names, broken, broken_shapes, span }
}

/// True when a size or a shape begins there.
fn is_shape(text: &str, at: usize) -> bool {
    let rest = text.get(at..).unwrap_or("");
    let word = rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or("");
    matches!(word, "size" | "shape")
}

/// Where every statement of a file stands.
fn file_items(node: &Node) -> Vec<Range<usize>> {
    let mut items = Vec::new();
    let mut todo = vec![node];
    while let Some(node) = todo.pop() {
        if node.rule == Rule::item {
            items.push(node.start..node.end);
        }
        todo.extend(node.children.iter().filter(|c| !c.children.is_empty()));
    }
    items
}

/// What came of names that are words of the language.
struct Refused {
    /// Written places of statements that declare one.
    left_out: Vec<usize>,
    words: BTreeSet<String>,
}

/// What one pass over a draft finds: reports, and the repairs with which to read on.
pub(super) struct Repairs<'a> {
    draft: &'a Draft,
    base: u32,
    /// Faults that were repaired.
    found: &'a mut Findings,
    /// Faults that no repair was found for; only those of the last round count.
    unmended: Findings,
    edits: Vec<Repair>,
    /// Written ranges of repairs that rest on a guess: what is wrong there besides is not reported.
    guesses: &'a mut Vec<Range<usize>>,
    /// Where statements start that are not to enter the tree although they can now be read.
    left_out: Vec<usize>,
    /// Reserved words that were reported as names: each is, once.
    reserved: BTreeSet<String>,
}

impl<'a> Repairs<'a> {
    fn new(draft: &'a Draft, base: u32, found: &'a mut Findings, guesses: &'a mut Vec<Range<usize>>) -> Self {
        let unmended = Findings::speaking(found.say);
        let reserved = BTreeSet::new();
        Self { draft, base, found, unmended, edits: Vec::new(), guesses, left_out: Vec::new(), reserved }
    }

    fn text(&self) -> &'a str {
        &self.draft.text
    }

    fn tokens(&self) -> &'a [Token] {
        self.draft.tokens()
    }

    /// A range of the draft in the global space.
    fn place(&self, range: Range<usize>) -> Span {
        let written = self.draft.origin(range);
        Span::new(self.base + written.start as u32, self.base + written.end as u32)
    }

    fn report(&mut self, fault: impl Fault) {
        self.found.report(fault);
    }

    fn report_unmended(&mut self, fault: impl Fault) {
        self.unmended.report(fault);
    }

    fn repair(&mut self, repair: Repair) {
        self.edits.push(repair);
    }

    fn first_time(&mut self, reserved: &str) -> bool {
        self.reserved.insert(reserved.to_string())
    }

    fn is_refused(&self, word: &str) -> bool {
        self.reserved.contains(word)
    }

    fn guess(&mut self, range: Range<usize>) {
        self.guesses.push(self.draft.origin(range));
    }

    /// Keeps the statement that starts there out of the tree.
    fn leave_out(&mut self, start: usize) {
        let written = self.draft.origin(start..start + 1);
        self.left_out.push(written.start);
    }

    fn is_guess(&self, range: Range<usize>) -> bool {
        let written = self.draft.origin(range);
        self.guesses.iter().any(|g| g.start < written.end && written.start < g.end)
    }
}
