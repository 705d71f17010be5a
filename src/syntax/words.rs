//! The words of the language, for recovery and for editors. A test holds them against the grammar.

use super::scan::{Token, TokenKind};
use std::ops::Range;

/// A word that begins a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StatementWord {
    pub word: &'static str,
    /// The statement in its usual form, to be shown to somebody who does not remember it.
    pub form: &'static str,
    pub declares: Declares,
}

/// What names a statement declares.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Declares {
    Nothing,
    /// The name behind the statement word.
    One,
    /// Names with commas between them behind the statement word.
    List,
    /// The name behind `as`.
    As,
}

const fn say(word: &'static str, declares: Declares, form: &'static str) -> StatementWord {
    StatementWord { word, form, declares }
}

use Declares::{As, List, Nothing, One};

/// Every statement word.
pub const STATEMENTS: &[StatementWord] = &[
    say("card", Nothing, "card \"Night heron\""),
    say("envelope", Nothing, "envelope C6"),
    say("post", Nothing, "post royal_mail letter"),
    say("grid", Nothing, "grid 1/16in"),
    say("view", Nothing, "view front of garden.lawn"),
    say("paper", One, "paper cover: 300gsm, 0.40mm thick"),
    say("let", One, "let bar = 40mm"),
    say("adjust", One, "adjust rise = 60mm from 40mm to 80mm"),
    say("variant", One, "variant square { side = 150mm }"),
    say("piece", One, "piece shell of cover { ... }"),
    say("strap", One, "strap runner of cover around shell.track: 6mm wide, 12mm overlap"),
    say("mat", One, "mat sky of scene on front of shell.face: 3mm border"),
    say("glue", Nothing, "glue back of heron to front of runner: bottom to bottom, centred"),
    say("foam", Nothing, "foam 2mm back of leaf to front of shell.face: centred"),
    say("slide", Nothing, "slide tongue through page.mouth, page.throat"),
    say("brad", One, "brad axle through wheel.hub, page.hub"),
    say("tuck", Nothing, "tuck lid.tongue into box.mouth"),
    say("pose", One, "pose open { page.spine 90deg }"),
    say("motion", One, "motion pull { runner bottom to top }"),
    say("expect", Nothing, "expect fits(shut, envelope)"),
    say("step", Nothing, "step \"Ink the edges\" before glue heron"),
    say("mechanism", One, "mechanism lift(base: panel, rise: length = 30mm) { ... }"),
    say("use", As, "use lift(page.front) as shelf"),
    say("repeat", One, "repeat i from 1 to 4 { ... }"),
    say("include", Nothing, "include \"other.plica\""),
    say("size", Nothing, "size 148mm by 105mm"),
    say("shape", Nothing, "shape circle 24mm"),
    say("valley", List, "valley spine: 105mm from left"),
    say("mountain", List, "mountain lip: 42mm from top"),
    say("panels", List, "panels track, face from left"),
    say("panel", One, "panel sky at (10mm, 10mm)"),
    say("slot", One, "slot rail on track: 2mm wide, 10mm from left, 12mm to 80mm from top"),
    say("slit", One, "slit mouth on front: 20mm to 60mm from left, 30mm from top"),
    say("window", One, "window porthole on front: circle 1in, centred"),
    say("hole", One, "hole hub: 1/8in, centred"),
    say("tab", One, "tab foot 9mm off port.bottom"),
    say("mark", One, "mark greeting on face: 30mm from top"),
    say("print", One, "print wish \"Fair winds\" on front of dusk: centred"),
];

/// Words that join the parts of a statement; like statement words they are never names.
pub const CONNECTING: &[&str] = &[
    "from", "to", "by", "of", "on", "and", "then", "between", "through", "along", "around", "as", "into",
    "off", "at", "hint", "under", "not",
];

/// What is usually glued to a number; which units there are is decided elsewhere.
pub const UNITS: &[&str] = &["mm", "cm", "in", "pt", "deg", "gsm", "g", "lb"];

/// Words with a meaning in their place; they may be names, but for [`NO_NAMES`].
pub const ORDINARY: &[&str] = &[
    "about",
    "above",
    "across",
    "after",
    "apart",
    "arc",
    "back",
    "before",
    "behind",
    "below",
    "border",
    "centre",
    "centred",
    "circle",
    "colour",
    "corner",
    "curve",
    "down",
    "end",
    "ends",
    "first",
    "flat",
    "folded",
    "front",
    "grain",
    "high",
    "in",
    "left",
    "line",
    "long",
    "loose",
    "mirrored",
    "overlap",
    "path",
    "picture",
    "polygon",
    "price",
    "rectangle",
    "right",
    "rounded",
    "sheet",
    "square",
    "tapered",
    "thick",
    "towards",
    "turned",
    "upside",
    "us",
    "wide",
];

/// Of these, the ones that join or turn what stands beside them and name nothing: a clause with such a name in it would
/// be read as something else.
pub const NO_NAMES: &[&str] = &[
    "about", "above", "behind", "below", "centred", "folded", "in", "mirrored", "tapered", "towards",
    "turned", "upside",
];

/// Words behind a measurement that say what it measures.
pub const MEASURES: &[&str] = &["wide", "high", "long", "thick", "overlap", "border", "loose", "apart"];

/// The edges of a panel; they are names like any other.
pub const EDGES: &[&str] = &["left", "right", "top", "bottom"];

/// Statement words that stand inside a piece only.
const INNER: &[&str] = &[
    "size", "shape", "valley", "mountain", "panels", "panel", "slot", "slit", "window", "hole", "tab",
    "mark", "print",
];

pub fn statement(word: &str) -> Option<&'static StatementWord> {
    STATEMENTS.iter().find(|s| s.word == word)
}

pub fn is_reserved(word: &str) -> bool {
    statement(word).is_some() || CONNECTING.contains(&word)
}

/// True for a statement word that no piece holds.
pub fn is_outer(word: &str) -> bool {
    statement(word).is_some() && !INNER.contains(&word)
}

/// The statement word that was probably meant.
pub fn nearest_statement(word: &str) -> Option<&'static str> {
    crate::source::nearest(word, STATEMENTS.iter().map(|s| s.word))
}

/// The names that the statements in a range declare, however broken they are. If the first of them declares none, its
/// statement word stands for it.
pub fn declared(source: &str, tokens: &[Token], range: Range<usize>) -> Vec<String> {
    let first = tokens.partition_point(|t| t.start < range.start);
    let last = tokens.partition_point(|t| t.start < range.end);
    let tokens = tokens.get(first..last).unwrap_or(&[]);
    let mut names = Vec::new();
    let leads_on = |t: &Token| {
        let text = t.text(source);
        is_reserved(text) || matches!(text, "," | ":" | "." | "=" | "+" | "-" | "*" | "/" | "(")
    };
    for (i, token) in tokens.iter().enumerate() {
        let rest = tokens.get(i + 1..).unwrap_or(&[]);
        let first = i.checked_sub(1).and_then(|b| tokens.get(b)).is_none_or(|before| !leads_on(before));
        match statement(token.text(source)).filter(|_| first) {
            Some(s) if i == 0 && s.declares == Declares::Nothing => names.push(s.word.to_string()),
            Some(statement) => declared_by(statement.declares, source, rest, &mut names),
            None if i == 0 => declared_by(Declares::One, source, rest, &mut names),
            None => {}
        }
        if token.kind == TokenKind::Word && rest.first().is_some_and(|t| t.is(source, "=")) {
            names.push(token.text(source).to_string());
        }
    }
    names
}

fn declared_by(declares: Declares, source: &str, rest: &[Token], names: &mut Vec<String>) {
    let mut push = |tokens: &[Token]| {
        // A name with a hyphen: its parts are no names of their own either.
        let parts = glued(source, tokens).iter().filter(|t| t.kind == TokenKind::Word);
        names.extend(parts.map(|t| t.text(source).to_string()));
    };
    match declares {
        Declares::Nothing => {}
        Declares::One => push(rest),
        Declares::As => {
            if let Some(at) = rest.iter().position(|t| t.is(source, "as")) {
                push(rest.get(at + 1..).unwrap_or(&[]));
            }
        }
        Declares::List => {
            for (i, token) in rest.iter().enumerate() {
                let text = token.text(source);
                if token.kind == TokenKind::Number || matches!(text, ":" | "from") {
                    break;
                }
                push(rest.get(i..i + 1).unwrap_or(&[]));
            }
        }
    }
}

/// The words, numbers and hyphens that stand in one piece at the beginning.
fn glued<'t>(source: &str, tokens: &'t [Token]) -> &'t [Token] {
    let mut end = tokens.first().map_or(0, |t| t.start);
    let part = |t: &Token| matches!(t.kind, TokenKind::Word | TokenKind::Number) || t.is(source, "-");
    let mut count = 0;
    for token in tokens.iter().take_while(|t| part(t)) {
        if token.start != end {
            break;
        }
        end = token.end;
        count += 1;
    }
    tokens.get(..count).unwrap_or(&[])
}

/// What other trades call a statement.
pub fn synonym(word: &str) -> Option<&'static str> {
    Some(match word {
        "title" | "name" => "card",
        "score" | "fold" | "crease" => "valley",
        "sheet" | "stock" | "cardstock" | "card_stock" => "paper",
        "set" | "var" | "const" | "value" => "let",
        "part" | "layer" => "piece",
        "paste" | "stick" | "tape" | "adhere" => "glue",
        "pin" | "fastener" | "rivet" | "pivot" => "brad",
        "band" | "belt" | "sleeve" => "strap",
        "state" | "position" => "pose",
        "move" | "animate" | "action" => "motion",
        "check" | "claim" | "test" => "expect",
        "text" | "write" | "picture" => "print",
        "cut" => "slit",
        "opening" | "cutout" => "window",
        "import" => "include",
        "loop" | "for" => "repeat",
        _ => return None,
    })
}
