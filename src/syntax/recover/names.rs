//! Names that are words of the language: found before anything is read, because a statement that uses such a name may
//! be read as something else.

use super::Repairs;
use crate::findings::catalogue::ReservedName;
use crate::syntax::scan::{Token, TokenKind};
use crate::syntax::words::{self, Declares};

/// Statements whose names never stand in a clause: a pose may well be called `folded`.
const APART: [&str; 4] = ["pose", "motion", "variant", "print"];

/// Reports every word that is no name where it is declared as one, once, and leaves its statements out.
pub(super) fn refuse_names(repairs: &mut Repairs<'_>) {
    let source = repairs.text();
    let tokens: Vec<Token> =
        repairs.tokens().iter().copied().filter(|t| t.kind != TokenKind::Comment).collect();
    for (i, token) in tokens.iter().enumerate() {
        if token.kind != TokenKind::Word {
            continue;
        }
        let Some(statement) = words::statement(token.text(source)) else { continue };
        let led_on = i.checked_sub(1).and_then(|b| tokens.get(b)).is_some_and(|b| leads_on(b.text(source)));
        if led_on || APART.contains(&statement.word) {
            continue;
        }
        let rest = tokens.get(i + 1..).unwrap_or(&[]);
        for name in declared(source, statement, rest) {
            let word = name.text(source);
            if !words::NO_NAMES.contains(&word) {
                continue;
            }
            repairs.leave_out(token.start);
            if repairs.first_time(word) {
                repairs.report(ReservedName { place: repairs.place(name.range()), word: word.into() });
            }
        }
    }
}

/// True when a word behind it begins no statement: `step "…" before glue heron`.
fn leads_on(text: &str) -> bool {
    words::CONNECTING.contains(&text) || matches!(text, "," | ":" | "." | "=" | "before" | "after")
}

/// The names that a statement declares.
fn declared(source: &str, statement: &words::StatementWord, rest: &[Token]) -> Vec<Token> {
    let text = |t: &Token| t.text(source);
    let mut names: Vec<Token> = Vec::new();
    match statement.declares {
        Declares::Nothing => {}
        Declares::One => names.extend(rest.first()),
        Declares::As => {
            let near = rest.iter().take_while(|t| words::statement(text(t)).is_none());
            names.extend(near.skip_while(|t| text(t) != "as").nth(1));
        }
        Declares::List => {
            let end = rest.iter().position(|t| !listed(source, t));
            // Scores need no names: without a colon these are no names but the first clause.
            let list = end.filter(|&e| rest.get(e).is_some_and(|t| matches!(text(t), ":" | "from")));
            names.extend(rest.get(..list.unwrap_or(0)).unwrap_or(&[]));
        }
    }
    if statement.word == "mechanism" {
        let head = rest.iter().take_while(|t| !matches!(text(t), "{" | ")")).count();
        let parameters = rest.get(..head).unwrap_or(&[]).windows(3);
        names.extend(parameters.filter_map(|w| match w {
            [sign, name, colon] if matches!(text(sign), "(" | ",") && text(colon) == ":" => Some(*name),
            _ => None,
        }));
    }
    names
}

/// True for what stands in a list of names.
fn listed(source: &str, token: &Token) -> bool {
    let text = token.text(source);
    token.kind == TokenKind::Word && !words::is_reserved(text) || matches!(text, "," | "[" | "]")
}
