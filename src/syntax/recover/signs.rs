//! Signs that look right and are not: what word processors, web pages and other habits put into a design. Each is
//! reported, and read as what it stands for.

use super::Repairs;
use super::draft::Repair;
use crate::findings::catalogue::{
    CommentMark, CurlyQuotes, DecimalComma, ForeignSign, InchMark, TimesForBy, UnclosedText,
};
use crate::syntax::scan::{Scanner, Token, TokenKind};
use std::ops::Range;

/// Marks for inches behind a number.
const INCH_MARKS: [&str; 7] =
    ["\"", "\u{2033}", "\u{201d}", "\u{201c}", "''", "\u{2019}\u{2019}", "\u{2032}\u{2032}"];

/// Reports and repairs every such sign of a text.
pub(super) fn repair_signs(repairs: &mut Repairs<'_>) {
    let source = repairs.text();
    let mut scanner = Scanner::new(source);
    let mut before: Option<Token> = None;
    let mut parentheses = 0usize;
    while let Some(token) = scanner.next() {
        match token.text(source) {
            "(" => parentheses += 1,
            ")" => parentheses = parentheses.saturating_sub(1),
            "{" | "}" => parentheses = 0,
            _ => {}
        }
        let rest = source.get(token.end..).unwrap_or("");
        let resume = match token.kind {
            TokenKind::Number => number(repairs, token, rest, parentheses == 0),
            TokenKind::Strange => strange(repairs, token, before, rest),
            TokenKind::Text { closed: false } => unclosed_text(repairs, token),
            TokenKind::Mark => comment_mark(repairs, token),
            _ => None,
        };
        if let Some(at) = resume {
            scanner.skip_to(at);
        }
        before = Some(token);
    }
}

/// `12"`, `2,5mm`, `5x7in`
fn number(repairs: &mut Repairs<'_>, token: Token, rest: &str, outside: bool) -> Option<usize> {
    let source = repairs.text();
    let text = token.text(source);
    let bare = text.ends_with(|c: char| c.is_ascii_digit()) && !text.contains(|c: char| c.is_alphabetic());
    if bare && let Some(end) = inch_mark(repairs, token, rest) {
        return Some(end);
    }
    let digit = |t: &str| t.starts_with(|c: char| c.is_ascii_digit());
    if bare
        && outside
        && !text.contains(['/', '.'])
        && let Some(decimals) = rest.strip_prefix(',')
        && digit(decimals)
    {
        let length = decimals.find(|c: char| !c.is_alphanumeric()).unwrap_or(decimals.len());
        let place = repairs.place(token.start..token.end + 1 + length);
        let comma = token.end..token.end + 1;
        let written = format!("{text}.{}", decimals.get(..length).unwrap_or(""));
        repairs.report(DecimalComma { place, comma: repairs.place(comma.clone()), number: written });
        repairs.repair(Repair::replace(comma, "."));
        return Some(token.end + 1 + length);
    }
    let (width, height) = text.split_once(['x', 'X'])?;
    let unit = height.trim_start_matches(|c: char| c.is_ascii_digit());
    if width.is_empty() || !width.bytes().all(|b| b.is_ascii_digit()) || !digit(height) {
        return None;
    }
    let written = format!("{width}{unit} by {height}");
    repairs.report(TimesForBy {
        place: repairs.place(token.range()),
        sign: "x".into(),
        mend: written.clone(),
    });
    repairs.repair(Repair::replace(token.range(), &written));
    None
}

/// The mark for inches right behind a number.
fn inch_mark(repairs: &mut Repairs<'_>, number: Token, rest: &str) -> Option<usize> {
    let mark = INCH_MARKS.into_iter().find(|m| rest.starts_with(m))?;
    let range = number.end..number.end + mark.len();
    repairs.report(InchMark {
        place: repairs.place(number.start..range.end),
        sign: repairs.place(range.clone()),
        number: number.text(repairs.text()).into(),
        mark: mark.into(),
    });
    repairs.repair(Repair::replace(range.clone(), "in"));
    Some(range.end)
}

fn unclosed_text(repairs: &mut Repairs<'_>, token: Token) -> Option<usize> {
    let (quote, end) = (token.start..token.start + 1, token.end..token.end);
    repairs.report(UnclosedText { place: repairs.place(end.clone()), quote: repairs.place(quote) });
    repairs.repair(Repair::replace(end, "\""));
    repairs.guess(token.range());
    None
}

/// `// …` and `/* … */`
fn comment_mark(repairs: &mut Repairs<'_>, token: Token) -> Option<usize> {
    let source = repairs.text();
    let rest = source.get(token.start..)?;
    let mark = ["//", "/*"].into_iter().find(|m| rest.starts_with(m))?;
    let line = token.start + rest.find(['\n', '\r']).unwrap_or(rest.len());
    if mark == "/*" && !source.get(token.start..line)?.trim_end().ends_with("*/") {
        return None;
    }
    let range = token.start..token.start + mark.len();
    repairs.report(CommentMark { place: repairs.place(range.clone()), mark: mark.into() });
    repairs.repair(Repair::replace(range, "#"));
    Some(line)
}

fn strange(repairs: &mut Repairs<'_>, token: Token, before: Option<Token>, rest: &str) -> Option<usize> {
    let source = repairs.text();
    let sign = token.text(source).chars().next()?;
    if is_quote(sign) {
        return quotes(repairs, token, rest);
    }
    let glued = before.filter(|b| b.end == token.start && b.kind == TokenKind::Number);
    if let Some(fraction) = vulgar_fraction(sign) {
        let text = if glued.is_some() { format!(" {fraction}") } else { fraction.to_string() };
        foreign(repairs, token, &text, "a fraction is written with a stroke");
        return inch_mark(repairs, token, rest);
    }
    if let '×' | '✕' | '✖' | '⨯' = sign {
        return times(repairs, token, before, rest);
    }
    let (text, why) = match sign {
        '−' | '–' | '—' | '‐' | '‑' | '﹣' => ("-", "it looks like a minus and is another sign"),
        '÷' | '⁄' | '∕' => ("/", "division is written with a stroke"),
        '·' | '∙' | '⋅' => ("*", "multiplication is written with a star"),
        '≤' => ("<=", "it is written with two signs"),
        '≥' => (">=", "it is written with two signs"),
        '≠' => ("!=", "it is written with two signs"),
        '°' | 'º' if glued.is_some() => ("deg", "degrees are written `deg`"),
        '、' => (",", "it looks like a comma and is another sign"),
        '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{ad}' | '\u{202a}'..='\u{202e}' => {
            ("", "it cannot be seen")
        }
        '\u{ff01}'..='\u{ff5e}' => {
            let narrow = char::from_u32(sign as u32 - 0xfee0)?;
            return foreign(repairs, token, &narrow.to_string(), "it is the wide form of the sign");
        }
        _ => return None,
    };
    foreign(repairs, token, text, why)
}

fn foreign(repairs: &mut Repairs<'_>, token: Token, mend: &str, why: &'static str) -> Option<usize> {
    let sign = token.text(repairs.text()).to_string();
    repairs.report(ForeignSign { place: repairs.place(token.range()), sign, mend: mend.trim().into(), why });
    repairs.repair(Repair::replace(token.range(), mend));
    None
}

/// `60mm × 80mm` is a size, `2 × 80mm` a product.
fn times(repairs: &mut Repairs<'_>, token: Token, before: Option<Token>, rest: &str) -> Option<usize> {
    let source = repairs.text();
    let with_unit = |t: Token, text: &str| {
        let behind = text.get(t.end..).unwrap_or("");
        let mark = INCH_MARKS.iter().any(|m| behind.starts_with(m));
        t.kind == TokenKind::Number && (mark || t.text(text).ends_with(|c: char| !c.is_ascii_digit()))
    };
    let after = Scanner::new(rest).next();
    if before.is_some_and(|t| with_unit(t, source)) && after.is_some_and(|t| with_unit(t, rest)) {
        let place = repairs.place(token.range());
        repairs.report(TimesForBy { place, sign: token.text(source).into(), mend: "by".into() });
        repairs.repair(Repair::replace(token.range(), " by "));
        return None;
    }
    foreign(repairs, token, "*", "multiplication is written with a star")
}

/// A text in curly, pointed or single quotes, up to the closing quote on the same line.
fn quotes(repairs: &mut Repairs<'_>, open: Token, rest: &str) -> Option<usize> {
    let source = repairs.text();
    let single = is_single(open.text(source).chars().next()?);
    let ends = |c: char| matches!(c, '\n' | '\r') || (is_quote(c) || c == '"') && is_single(c) == single;
    let close = rest.char_indices().find(|(_, c)| ends(*c)).filter(|(_, c)| !matches!(c, '\n' | '\r'));
    let Some((at, sign)) = close else {
        return foreign(repairs, open, "\"", "texts stand in straight double quotes");
    };
    let close: Range<usize> = open.end + at..open.end + at + sign.len_utf8();
    repairs.report(CurlyQuotes {
        place: repairs.place(open.start..close.end),
        open: repairs.place(open.range()),
        close: repairs.place(close.clone()),
    });
    repairs.repair(Repair::replace(open.range(), "\""));
    repairs.repair(Repair::replace(close.clone(), "\""));
    Some(close.end)
}

fn is_quote(c: char) -> bool {
    matches!(c, '“' | '”' | '„' | '‟' | '«' | '»' | '″' | '＂') || is_single(c)
}

fn is_single(c: char) -> bool {
    matches!(c, '‘' | '’' | '‚' | '‛' | '‹' | '›' | '′' | '\'' | '`' | '´' | '＇')
}

fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}
