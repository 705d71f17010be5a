//! A text under repair: what would be read had the faults found so far been mended, with the way back to the places
//! of the text as it was written.

use crate::syntax::scan::{self, Token};
use std::cell::OnceCell;
use std::ops::Range;

/// A text and where each of its bytes came from.
#[derive(Debug, Clone)]
pub struct Draft {
    pub text: String,
    /// In order and without gaps.
    runs: Vec<Run>,
    /// The tokens of the text, once somebody has asked for them.
    tokens: OnceCell<Vec<Token>>,
}

#[derive(Debug, Clone)]
struct Run {
    at: usize,
    length: usize,
    /// Where it stands in the written text; for a repair, what it stands for.
    origin: Range<usize>,
    repaired: bool,
}

/// A replacement of a range of a draft's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repair {
    pub range: Range<usize>,
    pub text: String,
}

impl Repair {
    pub fn insert(at: usize, text: &str) -> Self {
        Self::replace(at..at, text)
    }

    pub fn replace(range: Range<usize>, text: &str) -> Self {
        Self { range, text: text.into() }
    }

    pub fn remove(range: Range<usize>) -> Self {
        Self::replace(range, "")
    }
}

impl Draft {
    pub fn new(text: &str) -> Self {
        let whole = Run { at: 0, length: text.len(), origin: 0..text.len(), repaired: false };
        Self { text: text.into(), runs: vec![whole], tokens: OnceCell::new() }
    }

    /// All tokens of the text in order, comments included.
    pub fn tokens(&self) -> &[Token] {
        self.tokens.get_or_init(|| scan::tokens(&self.text))
    }

    /// Written place of a range of the draft. A range that begins or ends in a repair holds all that it stands for.
    pub fn origin(&self, range: Range<usize>) -> Range<usize> {
        if range.is_empty() {
            let at = self.origin_end(range.start);
            return at..at;
        }
        let (start, end) = (self.origin_start(range.start), self.origin_end(range.end));
        start..end.max(start)
    }

    fn origin_start(&self, at: usize) -> usize {
        let next = self.runs.partition_point(|r| r.at + r.length <= at);
        match self.runs.get(next) {
            Some(run) if run.repaired => run.origin.start,
            Some(run) => run.origin.start + at.saturating_sub(run.at),
            None => self.runs.last().map_or(at, |r| r.origin.end),
        }
    }

    fn origin_end(&self, at: usize) -> usize {
        let next = self.runs.partition_point(|r| r.at + r.length < at);
        match self.runs.get(next) {
            Some(run) if run.repaired => run.origin.end,
            Some(run) => run.origin.start + at.saturating_sub(run.at),
            None => self.runs.last().map_or(at, |r| r.origin.end),
        }
    }

    /// The draft with all repairs made. Of repairs that overlap, the first is made.
    pub fn repaired(&self, mut repairs: Vec<Repair>) -> Self {
        repairs.sort_by_key(|r| (r.range.start, r.range.end));
        let text = String::with_capacity(self.text.len());
        let mut next = Self { text, runs: Vec::new(), tokens: OnceCell::new() };
        let mut copied = 0;
        for repair in repairs {
            if repair.range.start < copied || self.text.get(repair.range.clone()).is_none() {
                continue;
            }
            self.copy(copied..repair.range.start, &mut next);
            let run = Run {
                at: next.text.len(),
                length: repair.text.len(),
                origin: self.origin(repair.range.clone()),
                repaired: true,
            };
            next.runs.push(run);
            next.text.push_str(&repair.text);
            copied = repair.range.end;
        }
        self.copy(copied..self.text.len(), &mut next);
        next
    }

    /// Copies a range with its origins to the end of another draft.
    fn copy(&self, range: Range<usize>, to: &mut Self) {
        let first = self.runs.partition_point(|r| r.at + r.length <= range.start);
        for run in self.runs.iter().skip(first).take_while(|r| r.at < range.end) {
            let (start, end) = (run.at.max(range.start), (run.at + run.length).min(range.end));
            let origin = if run.repaired {
                run.origin.clone()
            } else {
                let skipped = start - run.at;
                run.origin.start + skipped..run.origin.start + skipped + (end - start)
            };
            to.runs.push(Run {
                at: to.text.len() + (start - range.start),
                length: end - start,
                origin,
                repaired: run.repaired,
            });
        }
        to.text.push_str(self.text.get(range).unwrap_or(""));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn repairs_keep_the_way_back() {
        let first = Draft::new("peice a of b { size 12\" by 3in }");
        let second = first.repaired(vec![
            Repair::replace(0..5, "piece"),
            Repair::replace(22..23, "in"),
            Repair::insert(32, " }"),
        ]);
        assert_eq!(second.text, "piece a of b { size 12in by 3in } }");
        assert_eq!(second.origin(0..5), 0..5);
        assert_eq!(second.origin(20..24), 20..23, "the number with its mark");
        assert_eq!(second.origin(25..27), 24..26, "`by`");
        let third = second.repaired(vec![Repair::remove(33..35)]);
        assert_eq!(third.text, "piece a of b { size 12in by 3in }");
        assert_eq!(third.origin(32..33), 31..32);
    }
}
