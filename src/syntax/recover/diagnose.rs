//! Names a fault by the smallest repair with which the statement can be read on.

use super::Repairs;
use super::attempts::{Attempt, Mistake};
use super::draft::Repair;
use super::expected;
use super::trouble::{Trouble, TroubleKind};
use crate::findings::catalogue::*;
use crate::syntax::build::LONGEST_CHAIN;
use crate::syntax::parse::{Rule, Stop, read};
use crate::syntax::scan::{self, Scanner, Token, TokenKind};
use crate::syntax::words;
use std::ops::Range;

/// Reports every trouble, with a repair where there is one.
pub(super) fn diagnose(troubles: &[Trouble], repairs: &mut Repairs<'_>) {
    let mut brace_added = false;
    for trouble in troubles.iter().filter(|t| !repairs.is_guess(t.range.clone())).collect::<Vec<_>>() {
        match trouble.kind {
            TroubleKind::Statement { .. } | TroubleKind::PoseSetting | TroubleKind::MotionLegs => {
                brace_added |= Case::of(trouble, repairs.text()).diagnose(repairs);
            }
            TroubleKind::LongChain => {
                let place = repairs.place(trouble.range.clone());
                repairs.report_unmended(ChainTooLong { place, longest: LONGEST_CHAIN });
            }
            TroubleKind::OpenBrace => {
                let place = repairs.place(trouble.range.end - 1..trouble.range.end);
                repairs.report_unmended(UnreadableLine {
                    place,
                    expected: "a statement that has a block, such as `piece`, before it".into(),
                    found: "`{`".into(),
                    form: None,
                });
            }
            TroubleKind::StrayBrace => {}
        }
    }
    if !brace_added {
        stray_braces(troubles, repairs);
    }
}

/// A `}` too many may belong to a `{` that is missing; only when none was added is it a fault of its own.
fn stray_braces(troubles: &[Trouble], repairs: &mut Repairs<'_>) {
    for trouble in troubles.iter().filter(|t| t.kind == TroubleKind::StrayBrace) {
        repairs.report(StrayBrace { place: repairs.place(trouble.range.clone()) });
        repairs.repair(Repair::remove(trouble.range.clone()));
    }
}

/// One broken statement.
pub(super) struct Case<'a> {
    pub slice: &'a str,
    /// Tokens of the slice, without comments.
    pub tokens: Vec<Token>,
    /// Where the slice starts in the draft.
    offset: usize,
    rule: Rule,
    /// A block follows.
    pub block: bool,
    pub stray_ahead: bool,
    /// What follows on the same line.
    follow: Option<&'a str>,
}

impl<'a> Case<'a> {
    fn of(trouble: &Trouble, source: &'a str) -> Self {
        let slice = source.get(trouble.range.clone()).unwrap_or("");
        let tokens = scan::tokens(slice).into_iter().filter(|t| t.kind != TokenKind::Comment).collect();
        let (block, stray_ahead) = match trouble.kind {
            TroubleKind::Statement { block, stray_ahead } => (block, stray_ahead),
            _ => (false, false),
        };
        let rule = match trouble.kind {
            TroubleKind::PoseSetting => Rule::lone_settings,
            TroubleKind::MotionLegs => Rule::lone_legs,
            _ => Rule::lone_item,
        };
        let rest = source.get(trouble.range.end..).unwrap_or("");
        let follow = Scanner::new(rest).next().filter(|t| t.kind != TokenKind::Comment);
        let same_line = |t: &Token| !rest.get(..t.start).unwrap_or("").contains(['\n', '\r']);
        let follow = follow.filter(same_line).map(|t| t.text(rest));
        Self { slice, tokens, offset: trouble.range.start, rule, block, stray_ahead, follow }
    }

    /// Reads a text in place of the slice.
    pub fn read(&self, text: &str) -> Result<(), Stop> {
        let body = if self.block { " {}" } else { "" };
        read(self.rule, &format!("{text}{body}")).map(|_| ())
    }

    pub fn text(&self, token: &Token) -> &'a str {
        self.slice.get(token.range()).unwrap_or("")
    }

    fn shifted(&self, range: Range<usize>) -> Range<usize> {
        range.start + self.offset..range.end + self.offset
    }

    /// True when the repair adds a brace.
    fn diagnose(&self, repairs: &mut Repairs<'_>) -> bool {
        if let Some(first) = self.tokens.first().filter(|t| !self.is_known_start(t)) {
            self.unknown_statement(first, repairs);
            return false;
        }
        let stop = match self.read(self.slice) {
            Err(stop) => stop,
            Ok(()) => Stop { at: self.slice.len(), expected: Vec::new() },
        };
        match Attempt::best(self, &stop, repairs) {
            Some(attempt) => self.report(attempt, repairs),
            None if self.pass_over_clause(&stop, repairs) => false,
            None => {
                let fault = self.unreadable(&stop, repairs);
                repairs.report_unmended(fault);
                false
            }
        }
    }

    fn is_known_start(&self, first: &Token) -> bool {
        let text = self.text(first);
        let assigns = self.tokens.get(1).is_some_and(|t| matches!(self.text(t), "=" | "["));
        self.rule != Rule::lone_item || words::statement(text).is_some() || assigns
    }

    fn unknown_statement(&self, first: &Token, repairs: &mut Repairs<'_>) {
        let word = self.text(first).to_string();
        let range = self.shifted(first.range());
        let place = repairs.place(range.clone());
        if first.kind != TokenKind::Word || words::CONNECTING.contains(&word.as_str()) {
            repairs.report_unmended(UnreadableLine {
                place,
                expected: "a statement word such as `piece` or `glue`".into(),
                found: format!("`{word}`"),
                form: None,
            });
            return;
        }
        let near = words::nearest_statement(&word);
        let form = near.or_else(|| words::synonym(&word)).and_then(words::statement).map(|s| s.form);
        let fault = UnknownStatement { place, word, near: near.map(String::from), form };
        match near {
            Some(near) => {
                repairs.report(fault);
                repairs.guess(range.clone());
                repairs.repair(Repair::replace(range, near));
            }
            None => repairs.report_unmended(fault),
        }
    }

    /// The token at which reading stopped.
    pub fn found(&self, stop: &Stop) -> usize {
        self.tokens.partition_point(|t| t.end <= stop.at)
    }

    /// Where a fault is shown: the token, or when that stands on a later line, just behind the last good word.
    fn fault_range(&self, found: usize) -> Range<usize> {
        let before = found.checked_sub(1).and_then(|i| self.tokens.get(i));
        let breaks = |from: usize, to: usize| self.slice.get(from..to).unwrap_or("").contains(['\n', '\r']);
        match (self.tokens.get(found), before) {
            (Some(token), Some(before)) if breaks(before.end, token.start) => before.end..before.end,
            (Some(token), _) => token.range(),
            (None, Some(before)) => before.end..before.end,
            (None, None) => 0..self.slice.len(),
        }
    }

    fn unreadable(&self, stop: &Stop, repairs: &Repairs<'_>) -> UnreadableLine {
        let found = self.found(stop);
        let what = match (self.tokens.get(found), self.follow) {
            (Some(token), _) if matches!(token.kind, TokenKind::Text { .. }) => {
                "a text in quotes".to_string()
            }
            (Some(token), _) => format!("`{}`", shown(self.text(token))),
            (None, Some(follow)) => format!("`{}`", shown(follow)),
            (None, None) => "the end of the line".to_string(),
        };
        let word = match self.rule {
            Rule::lone_settings => Some("pose"),
            Rule::lone_legs => Some("motion"),
            _ => self.tokens.first().map(|t| self.text(t)),
        };
        let form = word.and_then(words::statement).map(|s| s.form);
        UnreadableLine {
            place: repairs.place(self.shifted(self.fault_range(found))),
            expected: expected::in_words(&stop.expected),
            found: what,
            form,
        }
    }

    /// Reports a clause that cannot be read and reads on without it; the statement does not enter the tree.
    fn pass_over_clause(&self, stop: &Stop, repairs: &mut Repairs<'_>) -> bool {
        /// Stands in for the clause; it can be read in every statement.
        const STAND_IN: &str = "centred";
        let Some(clause) = self.clause_around(self.found(stop)) else { return false };
        let rest = format!(
            "{}{STAND_IN}{}",
            self.slice.get(..clause.start).unwrap_or(""),
            self.slice.get(clause.end..).unwrap_or("")
        );
        if self.slice.get(clause.clone()).is_some_and(|c| c.trim() == STAND_IN) {
            return false;
        }
        if self.read(&rest).is_err_and(|further| further.at <= clause.start + STAND_IN.len()) {
            return false;
        }
        let fault = self.unreadable(stop, repairs);
        repairs.report(fault);
        repairs.leave_out(self.offset);
        repairs.repair(Repair::replace(self.shifted(clause), STAND_IN));
        true
    }

    /// The clause that holds the token which starts at a place.
    pub fn clause_of(&self, start: usize) -> Option<Range<usize>> {
        self.clause_around(self.tokens.partition_point(|t| t.start < start))
    }

    /// The clause that holds a token: from a comma or colon to a comma outside parentheses.
    fn clause_around(&self, found: usize) -> Option<Range<usize>> {
        let mut depth = 0usize;
        let mut start = None;
        for (i, token) in self.tokens.iter().enumerate() {
            match self.text(token) {
                "(" | "[" => depth += 1,
                ")" | "]" => depth = depth.saturating_sub(1),
                ":" if depth == 0 && start.is_none() && i < found => start = Some(token.end),
                "," if depth == 0 && start.is_some() && i < found => start = Some(token.end),
                "," if depth == 0 && start.is_some() => return Some(start?..token.start),
                _ => {}
            }
        }
        Some(start?..self.slice.len()).filter(|r| !self.slice.get(r.clone()).unwrap_or("").trim().is_empty())
    }

    /// Reports what an attempt found out; true when it adds a brace.
    fn report(&self, attempt: Attempt, repairs: &mut Repairs<'_>) -> bool {
        let edit = Repair::replace(self.shifted(attempt.edit.range.clone()), &attempt.edit.text);
        let place = repairs.place(edit.range.clone());
        let at = |range: &Range<usize>| repairs.place(self.shifted(range.clone()));
        let brace = matches!(attempt.mistake, Mistake::MissingBrace);
        match attempt.mistake {
            Mistake::DetachedUnit { measure } => {
                let fault = DetachedUnit {
                    place: at(&measure),
                    gap: place,
                    written: self.slice.get(measure).unwrap_or("").split_whitespace().collect(),
                };
                repairs.report(fault);
            }
            Mistake::MissingBrace if attempt.keep => repairs.report(MissingBrace { place }),
            Mistake::MissingBrace => repairs.report_unmended(MissingBrace { place }),
            Mistake::ReservedName { word } => {
                if repairs.first_time(&word) {
                    repairs.report_unmended(ReservedName { place, word });
                }
            }
            Mistake::ReversedReading { reading } => repairs.report(ReversedReading { place, reading }),
            Mistake::ReversedMeasure { word, measure } => {
                repairs.report(ReversedMeasure { place, word, measure });
            }
            Mistake::UnfitName { name, mend } => {
                repairs.report_unmended(UnfitName { place, name, mend });
            }
            Mistake::TimesForBy { sign } => repairs.report(TimesForBy { place, sign, mend: "by".into() }),
            Mistake::MissingWord { word, found } => repairs.report(MissingWord { place, word, found }),
            Mistake::MissingComma { found } => repairs.report(MissingComma { place, found }),
            Mistake::MissingColon { found } => repairs.report(MissingColon { place, found }),
            Mistake::MissingEquals { found } => repairs.report(MissingEquals { place, found }),
            Mistake::UnclosedParenthesis { open } => {
                let open = at(&open);
                repairs.report(UnclosedParenthesis { place, open });
            }
            Mistake::StrayMark { mark } => repairs.report(StrayMark { place, mark }),
            Mistake::MisspeltWord { word, near } => repairs.report(MisspeltWord { place, word, near }),
        }
        if attempt.keep {
            repairs.repair(edit);
        }
        brace && attempt.keep
    }
}

/// A piece of text for a message, short and without what cannot be seen.
fn shown(text: &str) -> String {
    /// Longer ones are cut.
    const LONGEST: usize = 24;
    let clean: String = text.chars().filter(|c| !c.is_control()).take(LONGEST).collect();
    if text.chars().count() > LONGEST { format!("{clean}…") } else { clean }
}
