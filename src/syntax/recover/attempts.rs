//! Repairs worth trying on a broken statement.

use super::Repairs;
use super::diagnose::Case;
use super::draft::Repair;
use super::expected::keyword;
use crate::source::nearest;
use crate::syntax::parse::{Rule, Stop};
use crate::syntax::scan::{self, Token, TokenKind};
use crate::syntax::words;
use std::ops::Range;

/// What a repair stands for. Ranges are in the statement's text.
#[derive(Debug, Clone)]
pub(super) enum Mistake {
    DetachedUnit { measure: Range<usize> },
    MissingBrace,
    ReservedName { word: String },
    UnfitName { name: String, mend: Option<String> },
    TimesForBy { sign: String },
    MissingWord { word: String, found: Option<String> },
    MissingComma { found: Option<String> },
    MissingColon { found: Option<String> },
    MissingEquals { found: Option<String> },
    UnclosedParenthesis { open: Range<usize> },
    ReversedReading { reading: String },
    ReversedMeasure { word: String, measure: String },
    StrayMark { mark: String },
    MisspeltWord { word: String, near: String },
}

/// A repair to be tried.
#[derive(Debug, Clone)]
pub(super) struct Attempt {
    pub mistake: Mistake,
    pub edit: Repair,
    /// The repaired statement may be read on.
    pub keep: bool,
    need: Need,
}

/// How much better the statement must read for the repair to be believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Need {
    /// It can be read whole.
    Whole,
    /// It can be read whole or some words farther.
    Farther,
    Nothing,
}

/// So many words farther are more than chance.
const FARTHER: usize = 2;

/// Stands in for a name while trying.
const STAND_IN: &str = "x_";

impl Attempt {
    /// The first attempt that lets the statement be read whole, else the one that leads farthest.
    pub fn best(case: &Case<'_>, stop: &Stop, repairs: &Repairs<'_>) -> Option<Attempt> {
        let attempts = Attempts::new(case, stop).list(&|word| repairs.is_refused(word));
        let gains: Vec<usize> = attempts.iter().map(|a| a.gain(case, stop)).collect();
        let most = gains.iter().copied().max().filter(|g| *g > 0)?;
        attempts.into_iter().zip(gains).find(|(_, gain)| *gain == most).map(|(attempt, _)| attempt)
    }

    /// Words read behind the repair; 0 when it is not to be believed.
    fn gain(&self, case: &Case<'_>, before_it: &Stop) -> usize {
        let (before, after) =
            (case.slice.get(..self.edit.range.start), case.slice.get(self.edit.range.end..));
        let repaired = format!("{}{}{}", before.unwrap_or(""), self.edit.text, after.unwrap_or(""));
        let end = self.edit.range.start + self.edit.text.len();
        // What could be read without the repair is no gain.
        let known = (before_it.at.max(self.edit.range.end) - self.edit.range.end) + end;
        match case.read(&repaired) {
            Ok(()) => usize::MAX,
            Err(_) if self.need == Need::Whole => 0,
            Err(stop) => {
                let mended = usize::from(!self.edit.range.is_empty());
                let words = mended
                    + scan::tokens(&repaired).iter().filter(|t| t.start >= known && t.end <= stop.at).count();
                let least = if self.need == Need::Nothing { 1 } else { 0 };
                if words >= FARTHER + mended { words } else { least }
            }
        }
    }
}

struct Attempts<'c, 'a> {
    case: &'c Case<'a>,
    expected: &'c [Rule],
    /// The token at which reading stopped, the one before it and the one behind it.
    found: Option<Token>,
    before: Option<Token>,
    behind: Option<Token>,
    /// Tokens up to `found`.
    read: &'c [Token],
    list: Vec<Attempt>,
}

impl<'c, 'a> Attempts<'c, 'a> {
    fn new(case: &'c Case<'a>, stop: &'c Stop) -> Self {
        let at = case.found(stop);
        Self {
            case,
            expected: &stop.expected,
            found: case.tokens.get(at).copied(),
            before: at.checked_sub(1).and_then(|i| case.tokens.get(i)).copied(),
            behind: case.tokens.get(at + 1).copied(),
            read: case.tokens.get(..at).unwrap_or(&[]),
            list: Vec::new(),
        }
    }

    /// `refused`: words that were refused as names elsewhere.
    fn list(mut self, refused: &dyn Fn(&str) -> bool) -> Vec<Attempt> {
        self.refused_name(refused);
        self.detached_unit();
        self.missing_brace();
        self.reserved_name();
        self.unfit_name();
        self.reversed_reading();
        self.reversed_measure();
        self.reading_without_from();
        self.misspelt_word();
        let crease = self.case.tokens.first().is_some_and(|t| matches!(self.text(t), "valley" | "mountain"));
        if crease {
            self.missing_sign(Rule::comma, ",");
        }
        self.missing_words();
        self.missing_sign(Rule::comma, ",");
        self.missing_sign(Rule::colon, ":");
        self.missing_sign(Rule::equals, "=");
        self.crease_colon();
        self.unclosed_parenthesis();
        self.stray_mark();
        self.list
    }

    fn text(&self, token: &Token) -> &'a str {
        self.case.text(token)
    }

    fn expects(&self, rule: Rule) -> bool {
        self.expected.contains(&rule)
    }

    fn attempt(&mut self, mistake: Mistake, edit: Repair, keep: bool, need: Need) {
        self.list.push(Attempt { mistake, edit, keep, need });
    }

    /// `12 mm`
    fn detached_unit(&mut self) {
        let (Some(number), Some(unit)) = (self.before, self.found) else { return };
        let bare =
            number.kind == TokenKind::Number && self.text(&number).ends_with(|c: char| c.is_ascii_digit());
        let gap = number.end..unit.start;
        let same_line = !self.case.slice.get(gap.clone()).unwrap_or("").contains(['\n', '\r']);
        if bare && same_line && words::UNITS.contains(&self.text(&unit)) {
            let mistake = Mistake::DetachedUnit { measure: number.start..unit.end };
            self.attempt(mistake, Repair::remove(gap), true, Need::Farther);
        }
    }

    /// `piece shell of cover` without a block.
    fn missing_brace(&mut self) {
        let (None, Some(before), false) = (self.found, self.before, self.case.block) else { return };
        if self.expects(Rule::open_brace) {
            let keep = self.case.stray_ahead;
            self.attempt(Mistake::MissingBrace, Repair::insert(before.end, " {"), keep, Need::Whole);
        }
    }

    fn expects_name(&self) -> bool {
        const NAMING: [Rule; 6] =
            [Rule::name, Rule::word, Rule::path, Rule::name_list, Rule::path_list, Rule::face];
        self.expected.iter().any(|r| NAMING.contains(r))
    }

    /// `let slot = 5mm`
    fn reserved_name(&mut self) {
        let Some(found) = self.found else { return };
        let word = self.text(&found);
        let value =
            self.expected.iter().any(|r| matches!(r, Rule::value | Rule::expr | Rule::product | Rule::unary));
        if found.kind != TokenKind::Word || !words::is_reserved(word) || !(self.expects_name() || value) {
            return;
        }
        let need = if words::statement(word).is_some() && self.expects_name() {
            Need::Nothing
        } else {
            Need::Farther
        };
        let mistake = Mistake::ReservedName { word: word.into() };
        self.attempt(mistake, Repair::replace(found.range(), STAND_IN), false, need);
    }

    /// `toe behind below spine` where `behind` is a name of the author's.
    fn refused_name(&mut self, refused: &dyn Fn(&str) -> bool) {
        let read = self.read.iter().rev().copied().collect::<Vec<_>>();
        for token in self.found.into_iter().chain(read) {
            let word = self.text(&token);
            if refused(word) && words::NO_NAMES.contains(&word) {
                let mistake = Mistake::ReservedName { word: word.into() };
                self.attempt(mistake, Repair::replace(token.range(), STAND_IN), false, Need::Farther);
            }
        }
    }

    /// `let rail-l = 5mm`, `piece 2nd of cover { … }`
    fn unfit_name(&mut self) {
        let Some(found) = self.found else { return };
        if found.kind == TokenKind::Number && self.expects_name() {
            let mistake = Mistake::UnfitName { name: self.text(&found).into(), mend: None };
            self.attempt(mistake, Repair::replace(found.range(), STAND_IN), false, Need::Farther);
        }
        let (Some(before), Some(behind)) = (self.before, self.behind) else { return };
        let hyphen = self.text(&found) == "-" && before.end == found.start && found.end == behind.start;
        if !hyphen || before.kind != TokenKind::Word {
            return;
        }
        let mut end = found.end;
        for token in self.case.tokens.iter().filter(|t| t.start >= found.end) {
            let part =
                token.kind == TokenKind::Word || token.kind == TokenKind::Number || self.text(token) == "-";
            if token.start != end || !part {
                break;
            }
            end = token.end;
        }
        let name = self.case.slice.get(before.start..end).unwrap_or("").to_string();
        let mend = name.replace('-', "_");
        let mistake = Mistake::UnfitName { name, mend: Some(mend.clone()) };
        self.attempt(mistake, Repair::replace(before.start..end, &mend), false, Need::Farther);
    }

    /// `from left 10mm`
    fn reversed_reading(&mut self) {
        let [.., from, edge] = self.read else { return };
        let Some(found) = self.found.filter(|t| t.kind == TokenKind::Number) else { return };
        if self.text(from) == "from" && edge.kind == TokenKind::Word {
            let reading = format!("{} from {}", self.text(&found), self.text(edge));
            let edit = Repair::replace(from.start..found.end, &reading);
            self.attempt(Mistake::ReversedReading { reading }, edit, true, Need::Farther);
        }
    }

    /// `overlap 12mm`
    fn reversed_measure(&mut self) {
        let begins = |t: &Token| matches!(self.text(t), ":" | ",");
        let words = self.read.windows(2).rev().find_map(|pair| match pair {
            [sign, word] if begins(sign) && words::MEASURES.contains(&self.text(word)) => Some(*word),
            _ => None,
        });
        let Some(word) = words else { return };
        let clause = self.case.clause_of(word.start).unwrap_or(word.range());
        let value = self.case.slice.get(word.end..clause.end).unwrap_or("").trim();
        if value.is_empty() || value.contains(['\n', '\r', '#']) {
            return;
        }
        let (name, measure) = (self.text(&word).to_string(), format!("{value} {}", self.text(&word)));
        let end = word.end + self.case.slice.get(word.end..clause.end).map_or(0, |s| s.trim_end().len());
        let edit = Repair::replace(word.start..end, &measure);
        self.attempt(Mistake::ReversedMeasure { word: name, measure }, edit, true, Need::Farther);
    }

    /// `30mm left` for `30mm from left`
    fn reading_without_from(&mut self) {
        let [.., value, edge] = self.read else { return };
        if matches!(self.text(edge), "left" | "right") && self.expects(Rule::kw_of) {
            let edit = Repair::insert(value.end, " from");
            let mistake = Mistake::MissingWord { word: "from".into(), found: None };
            self.attempt(mistake, edit, true, Need::Farther);
        }
    }

    /// A word that joins two parts, left out or mistaken for another.
    fn missing_words(&mut self) {
        let expected = self.expected;
        for rule in expected.iter().copied() {
            let Some(word) = keyword(rule).filter(|w| joins(w)) else { continue };
            if let Some(found) = self.found {
                let text = self.text(&found);
                let times = word == "by" && matches!(text, "x" | "X" | "*");
                let comma = word == "and" && text == ",";
                if found.kind == TokenKind::Word || times || comma {
                    let mistake = match times {
                        true => Mistake::TimesForBy { sign: text.into() },
                        false => Mistake::MissingWord { word: word.clone(), found: Some(text.into()) },
                    };
                    let need = if times { Need::Farther } else { Need::Whole };
                    self.attempt(mistake, Repair::replace(found.range(), &word), true, need);
                }
            }
            if let Some(before) = self.before {
                let edit = Repair::insert(before.end, &format!(" {word}"));
                self.attempt(Mistake::MissingWord { word, found: None }, edit, true, Need::Farther);
            }
        }
    }

    /// `,`, `:` or `=` left out, or another mark in its place.
    fn missing_sign(&mut self, rule: Rule, sign: &str) {
        if !self.expects(rule) {
            return;
        }
        let mistake = |found: Option<String>| match rule {
            Rule::comma => Mistake::MissingComma { found },
            Rule::colon => Mistake::MissingColon { found },
            _ => Mistake::MissingEquals { found },
        };
        if let Some(found) = self.found {
            let text = self.text(&found);
            if matches!(text, ";" | "," | ":" | "=" | "." | "and") {
                self.attempt(
                    mistake(Some(text.into())),
                    Repair::replace(found.range(), sign),
                    true,
                    Need::Whole,
                );
            }
        }
        if let (Some(before), Some(_)) = (self.before, self.found) {
            let text = if sign == "=" { " =" } else { sign };
            self.attempt(mistake(None), Repair::insert(before.end, text), true, Need::Farther);
        }
    }

    /// `valley spine 105mm from left`: the name was taken for a value.
    fn crease_colon(&mut self) {
        let (Some(word), Some(name)) = (self.case.tokens.first(), self.case.tokens.get(1)) else { return };
        if matches!(self.text(word), "valley" | "mountain") && name.kind == TokenKind::Word {
            let edit = Repair::insert(name.end, ":");
            self.attempt(Mistake::MissingColon { found: None }, edit, true, Need::Whole);
        }
    }

    fn unclosed_parenthesis(&mut self) {
        let Some(before) = self.before else { return };
        if !self.expects(Rule::close_paren) {
            return;
        }
        let mut open = Vec::new();
        for token in self.read {
            match self.text(token) {
                "(" => open.push(*token),
                ")" => {
                    open.pop();
                }
                _ => {}
            }
        }
        if let Some(open) = open.pop() {
            let mistake = Mistake::UnclosedParenthesis { open: open.range() };
            self.attempt(mistake, Repair::insert(before.end, ")"), true, Need::Farther);
        }
    }

    /// A mark that stands where none belongs, or a word said twice.
    fn stray_mark(&mut self) {
        let mark = |t: &Token| {
            t.kind == TokenKind::Strange || matches!(self.text(t), "," | ":" | "." | ")" | "]" | "=" | "(")
        };
        let twice = |t: &Token| self.before.is_some_and(|b| self.text(&b) == self.text(t));
        let found = self.found.filter(|t| mark(t) || twice(t));
        let before = self.before.filter(|t| mark(t));
        for token in [found, before].into_iter().flatten() {
            let mark = self.text(&token);
            // A claim denied twice may mean either: it is not judged.
            let keep = mark != "not";
            let mistake = Mistake::StrayMark { mark: mark.into() };
            self.attempt(mistake, Repair::remove(token.range()), keep, Need::Whole);
        }
    }

    /// A word with a meaning in its place, misspelt.
    fn misspelt_word(&mut self) {
        /// How far back the misspelt word may stand.
        const BACK: usize = 3;
        let back = self.read.iter().rev().take(BACK).copied().collect::<Vec<_>>();
        for token in self.found.into_iter().chain(back) {
            let word = self.text(&token);
            if token.kind != TokenKind::Word || words::is_reserved(word) || words::ORDINARY.contains(&word) {
                continue;
            }
            if let Some(near) = nearest(word, words::ORDINARY.iter().chain(words::CONNECTING).copied()) {
                let mistake = Mistake::MisspeltWord { word: word.into(), near: near.into() };
                self.attempt(mistake, Repair::replace(token.range(), near), true, Need::Farther);
            }
        }
    }
}

/// True for words that are read as left out when they are missing.
fn joins(word: &str) -> bool {
    words::CONNECTING.contains(&word) && word != "hint" || matches!(word, "corner" | "ends" | "about")
}
