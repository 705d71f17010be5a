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

    pub fn is(&self, source: &str, text: &str) -> bool {
        self.text(source) == text
    }
}

/// All tokens in order, comments included.
pub fn tokens(source: &str) -> Vec<Token> {
    Scanner::new(source).collect()
}

/// Reads one token after the other; may be told to go on elsewhere.
#[derive(Debug, Clone)]
pub struct Scanner<'a> {
    source: &'a str,
    at: usize,
    /// End of a slash, behind which without a space stands no fraction: `60mm/2/3` divides twice.
    slash_end: Option<usize>,
}

impl<'a> Scanner<'a> {
    pub fn new(source: &'a str) -> Self {
        Self { source, at: 0, slash_end: None }
    }

    /// Goes on at a byte offset.
    pub fn skip_to(&mut self, at: usize) {
        self.at = at;
    }
}

impl Iterator for Scanner<'_> {
    type Item = Token;

    fn next(&mut self) -> Option<Token> {
        let rest = self.source.get(self.at..)?;
        let start = self.at + rest.len() - rest.trim_start().len();
        let rest = self.source.get(start..)?;
        let first = rest.chars().next()?;
        let (kind, length) = match first {
            '0'..='9' => (TokenKind::Number, number_length(rest, self.slash_end == Some(start))),
            _ => token(rest, first),
        };
        self.at = start + length.max(first.len_utf8());
        if first == '/' {
            self.slash_end = Some(self.at);
        }
        Some(Token { kind, start, end: self.at })
    }
}

fn token(rest: &str, first: char) -> (TokenKind, usize) {
    match first {
        '#' => (TokenKind::Comment, line_length(rest)),
        '"' => text(rest),
        '<' | '>' | '!' if rest.as_bytes().get(1) == Some(&b'=') => (TokenKind::Mark, 2),
        '{' | '}' | '(' | ')' | '[' | ']' | ':' | ',' | '.' | '=' | '<' | '>' | '+' | '-' | '*' | '/'
        | '?' => (TokenKind::Mark, 1),
        c if starts_word(c) => (TokenKind::Word, length_while(rest, continues_word)),
        c => (TokenKind::Strange, c.len_utf8()),
    }
}

fn text(rest: &str) -> (TokenKind, usize) {
    let body = rest.get(1..).unwrap_or("");
    let end = body.find(['"', '\n', '\r']).unwrap_or(body.len());
    match body.as_bytes().get(end) {
        Some(b'"') => (TokenKind::Text { closed: true }, end + 2),
        _ => (TokenKind::Text { closed: false }, rest.get(..end + 1).unwrap_or(rest).trim_end().len()),
    }
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
