//! Words, numbers, texts and marks with their places: what tidying, recovery and exact spans need to know of a text
//! without reading its statements. Every byte that is not white space belongs to exactly one token.

use super::parse::{continues_word, starts_word};
use std::ops::Range;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    Word,
    /// Digits, a fraction or a mixed number, with everything that is glued to its end: `4 1/2in`, `12mn`.
    Number,
    /// `"…"`; without its closing quote when the line ends first.
    Text {
        closed: bool,
    },
    /// One of the signs of the language; `<=`, `>=` and `!=` are one mark.
    Mark,
    /// From `#` to the end of the line.
    Comment,
    /// A character that has no place outside texts and comments.
    Strange,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    pub kind: TokenKind,
    pub start: usize,
    pub end: usize,
}

impl Token {
    pub fn range(&self) -> Range<usize> {
        self.start..self.end
    }

    pub fn text<'a>(&self, source: &'a str) -> &'a str {
        source.get(self.range()).unwrap_or("")
    }
}

/// All tokens in order, comments included.
pub fn tokens(source: &str) -> Vec<Token> {
    let mut list = Vec::new();
    let mut at = 0;
    while let Some(c) = source.get(at..).and_then(|rest| rest.chars().next()) {
        if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        }
        let rest = source.get(at..).unwrap_or("");
        let (kind, length) = match c {
            '0'..='9' => (TokenKind::Number, number_length(rest, follows_slash(source, &list, at))),
            c => token(rest, c),
        };
        let end = at + length.max(c.len_utf8());
        list.push(Token { kind, start: at, end });
        at = end;
    }
    list
}

fn token(rest: &str, first: char) -> (TokenKind, usize) {
    match first {
        '#' => (TokenKind::Comment, line_length(rest)),
        '"' => text(rest),
        '<' | '>' | '!' if rest[1..].starts_with('=') => (TokenKind::Mark, 2),
        '{' | '}' | '(' | ')' | '[' | ']' | ':' | ',' | '.' | '=' | '<' | '>' | '+' | '-' | '*' | '/'
        | '?' => (TokenKind::Mark, 1),
        c if starts_word(c) => (TokenKind::Word, length_while(rest, continues_word)),
        c => (TokenKind::Strange, c.len_utf8()),
    }
}

fn text(rest: &str) -> (TokenKind, usize) {
    let line = line_length(rest);
    match rest.get(1..line).and_then(|body| body.find('"')) {
        Some(quote) => (TokenKind::Text { closed: true }, quote + 2),
        None => (TokenKind::Text { closed: false }, rest[..line].trim_end().len()),
    }
}

/// `60mm/2/3` divides twice: behind a slash without a space stands no fraction.
fn follows_slash(source: &str, before: &[Token], at: usize) -> bool {
    before.last().is_some_and(|t| t.end == at && t.text(source) == "/")
}

/// Length of a number with its glued suffix: `12`, `0.4mm`, and unless `plain`, `1/2in` and `4 1/2in`.
fn number_length(rest: &str, plain: bool) -> usize {
    let digits = |from: usize| length_while(rest.get(from..).unwrap_or(""), |c| c.is_ascii_digit());
    let fraction = |from: usize| {
        let over = digits(from);
        let slash = from + over;
        let under = if over > 0 && rest.get(slash..).is_some_and(|r| r.starts_with('/')) {
            digits(slash + 1)
        } else {
            0
        };
        let end = slash + 1 + under;
        let decimal = rest.get(end..).is_some_and(|r| r.starts_with('.')) && digits(end + 1) > 0;
        (!plain && under > 0 && !decimal).then_some(end)
    };
    let whole = digits(0);
    let blanks = length_while(rest.get(whole..).unwrap_or(""), |c| c == ' ' || c == '\t');
    let mixed = if blanks > 0 { fraction(whole + blanks) } else { None };
    let end = mixed.or_else(|| fraction(0)).unwrap_or_else(|| {
        let point = rest.get(whole..).is_some_and(|r| r.starts_with('.'));
        let decimals = if point { digits(whole + 1) } else { 0 };
        if decimals > 0 { whole + 1 + decimals } else { whole }
    });
    end + length_while(rest.get(end..).unwrap_or(""), continues_word)
}

/// Length of the first line without its line break.
fn line_length(rest: &str) -> usize {
    rest.find(['\n', '\r']).unwrap_or(rest.len())
}

fn length_while(rest: &str, keep: impl Fn(char) -> bool) -> usize {
    rest.find(|c| !keep(c)).unwrap_or(rest.len())
}
