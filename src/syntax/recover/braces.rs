//! Nesting: a limit to its depth, and braces that are never closed.

use super::Repairs;
use super::draft::Repair;
use crate::findings::catalogue::{NestedTooDeep, UnclosedBlock};
use crate::syntax::scan::{Token, TokenKind};
use crate::syntax::words;

/// How many brackets and blocks may stand inside one another.
pub const DEEPEST: usize = 64;

/// Cuts out what is nested deeper than [`DEEPEST`], so that everything behind can work by plain recursion.
pub(super) fn limit_depth(repairs: &mut Repairs<'_>) {
    let source = repairs.text();
    let tokens = repairs.tokens();
    let lines = Line::all(source, tokens);
    let mut open: Vec<Token> = Vec::new();
    let mut next = 0;
    while let Some(token) = tokens.get(next).copied() {
        next += 1;
        let brace = matches!(token.text(source), "{" | "}");
        if brace || starts_statement(source, &lines, next - 1) {
            // No parenthesis reaches over the end of a statement.
            while open.last().is_some_and(|o| !o.is(source, "{")) {
                open.pop();
            }
        }
        match token.text(source) {
            "{" | "(" | "[" if open.len() == DEEPEST => {
                let end = end_of_nest(source, &lines, next - 1);
                let unclosed = brace && end == tokens.len();
                let first = if unclosed { open.first().copied().unwrap_or(token) } else { token };
                let last = tokens.get(end.saturating_sub(1)).copied().unwrap_or(token);
                let cut = first.start..last.end.max(token.end);
                repairs.report(NestedTooDeep { place: repairs.place(token.range()), deepest: DEEPEST });
                repairs.guess(cut.clone());
                repairs.repair(Repair::replace(cut, "\0"));
                next = end.max(next);
                if unclosed {
                    open.clear();
                }
            }
            "{" | "(" | "[" => open.push(token),
            // A parenthesis that was never opened leaves the block around it open.
            ")" | "]" if open.last().is_none_or(|o| o.is(source, "{")) => {}
            "}" | ")" | "]" => {
                open.pop();
            }
            _ => {}
        }
    }
}

/// Index behind the token that closes the bracket at `first`; a parenthesis ends at the latest with its statement.
fn end_of_nest(source: &str, lines: &[Line], first: usize) -> usize {
    let block = lines.get(first).is_some_and(|l| l.token.is(source, "{"));
    let mut depth = 0usize;
    for (i, line) in lines.iter().enumerate().skip(first) {
        let text = line.token.text(source);
        if !block && (matches!(text, "{" | "}") || starts_statement(source, lines, i)) {
            return i;
        }
        match text {
            "{" | "(" | "[" if !block || text == "{" => depth += 1,
            "}" | ")" | "]" if !block || text == "}" => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return i + 1;
                }
            }
            _ => {}
        }
    }
    lines.len()
}

/// Closes blocks that are never closed: where the indentation says so, else at the end of the file.
pub(super) fn balance(repairs: &mut Repairs<'_>) {
    let source = repairs.text();
    let tokens: Vec<Token> =
        repairs.tokens().iter().copied().filter(|t| t.kind != TokenKind::Comment).collect();
    let lines = Line::all(source, &tokens);
    let mut missing = unclosed(source, &tokens);
    let mut open: Vec<Line> = Vec::new();
    let mut before: Option<Token> = None;
    for line in lines {
        while let (true, Some(top), Some(last)) = (missing > 0 && line.first, open.last().copied(), before) {
            if !ends_before(source, &open, line) {
                break;
            }
            close(repairs, top, last);
            open.pop();
            missing -= 1;
        }
        match line.token.text(source) {
            "{" => open.push(line),
            "}" => {
                open.pop();
            }
            _ => {}
        }
        before = Some(line.token);
    }
    if let Some(last) = before {
        for top in open.into_iter().rev() {
            close(repairs, top, last);
        }
    }
}

fn unclosed(source: &str, tokens: &[Token]) -> usize {
    tokens.iter().fold(0usize, |depth, t| match t.text(source) {
        "{" => depth + 1,
        "}" => depth.saturating_sub(1),
        _ => depth,
    })
}

/// True when the token, first of its line, shows that the innermost open block should have ended before it.
fn ends_before(source: &str, open: &[Line], line: Line) -> bool {
    let Some((top, under)) = open.split_last() else { return false };
    let token = line.token;
    if token.is(source, "}") {
        return line.indent < top.indent && under.iter().any(|o| o.indent == line.indent);
    }
    token.kind == TokenKind::Word && words::is_outer(token.text(source)) && line.indent <= top.indent
}

fn close(repairs: &mut Repairs<'_>, open: Line, last: Token) {
    let source = repairs.text();
    let indent = open.indent;
    let open = open.token;
    let inline = !source.get(open.start..last.end).unwrap_or("").contains(['\n', '\r']);
    let at_end = source.get(last.end..).unwrap_or("").trim().is_empty();
    let text = match inline {
        true => " }".to_string(),
        false => format!("\n{}}}", " ".repeat(indent)),
    };
    repairs.report(UnclosedBlock {
        place: repairs.place(last.end..last.end),
        open: repairs.place(open.range()),
        mend: text.clone(),
        sure: inline || at_end,
    });
    repairs.repair(Repair::insert(last.end, &text));
}

/// A token and the line that it stands on.
#[derive(Debug, Clone, Copy)]
struct Line {
    token: Token,
    /// It is the first of its line.
    first: bool,
    /// How far in the line's first token stands.
    indent: usize,
}

impl Line {
    fn all(source: &str, tokens: &[Token]) -> Vec<Line> {
        let mut list: Vec<Line> = Vec::with_capacity(tokens.len());
        let mut end = 0;
        for token in tokens {
            let gap = source.get(end..token.start).unwrap_or("");
            let broken = gap.rfind(['\n', '\r']).map(|i| gap.get(i + 1..).unwrap_or(""));
            let first = broken.is_some() || list.is_empty();
            let indent = match list.last() {
                Some(before) if !first => before.indent,
                _ => broken.unwrap_or(gap).chars().count(),
            };
            list.push(Line { token: *token, first, indent });
            end = token.end;
        }
        list
    }
}

/// True when a statement begins there. Some of its words may stand as values too, in parentheses that reach over a line
/// break: `card.width`, `fits(shut, envelope)`.
fn starts_statement(source: &str, lines: &[Line], at: usize) -> bool {
    let Some(line) = lines.get(at) else { return false };
    let word = line.token.text(source);
    if !line.first || line.token.kind != TokenKind::Word || words::statement(word).is_none() {
        return false;
    }
    let mut behind = lines.iter().skip(at + 1).map(|l| l.token).filter(|t| t.kind != TokenKind::Comment);
    let value = matches!(word, "card" | "envelope" | "post")
        && behind.next().is_some_and(|t| matches!(t.text(source), "," | ")" | "."));
    !value
}
