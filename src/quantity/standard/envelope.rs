use super::table::{Row, rows, spells};
use crate::quantity::Exact;
use std::sync::LazyLock;

/// An envelope by its outside size, which for a flat one is the size of its pocket.
#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    /// The words of the language, the usual name first. US names begin with `us`: plain `A6` is ISO.
    pub names: Vec<&'static str>,
    /// mm.
    pub short: Exact,
    /// mm.
    pub long: Exact,
    /// The largest card the trade puts in it, short and long side, where the trade's tables name one; mm.
    pub card: Option<(Exact, Exact)>,
    /// True when the size is a round one in inches.
    pub inch: bool,
    pub standard: &'static str,
    pub source: &'static str,
}

impl Envelope {
    pub fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or("")
    }
}

static ENVELOPES: LazyLock<Vec<Envelope>> =
    LazyLock::new(|| rows(include_str!("envelopes.csv")).filter_map(|row| read(&row)).collect());

fn read(row: &Row<'static>) -> Option<Envelope> {
    Some(Envelope {
        names: row.names(),
        short: row.length("short")?,
        long: row.length("long")?,
        card: row.length("card_short").zip(row.length("card_long")),
        inch: row.is_inch(),
        standard: row.text("standard"),
        source: row.text("source"),
    })
}

/// Every envelope, in the order of the table.
pub fn envelopes() -> &'static [Envelope] {
    &ENVELOPES
}

/// The envelope of a name: `["C6"]`, `["us", "A2"]`, `["us", "6", "3/4"]`. A sheet's name that is no envelope's
/// (`["A6"]`) finds nothing.
pub fn envelope(words: &[&str]) -> Option<&'static Envelope> {
    ENVELOPES.iter().find(|e| e.names.iter().any(|n| spells(words, n)))
}

/// Every name an envelope may be called by.
pub fn envelope_names() -> impl Iterator<Item = &'static str> {
    ENVELOPES.iter().flat_map(|e| e.names.iter().copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert_eq!(ENVELOPES.len(), include_str!("envelopes.csv").lines().count() - 1);
        assert!(ENVELOPES.iter().all(|e| e.short.is_positive() && e.short <= e.long && !e.source.is_empty()));
    }

    #[test]
    fn a_card_is_smaller_than_its_envelope() {
        for e in envelopes() {
            if let Some((short, long)) = e.card {
                assert!(short < e.short && long < e.long, "{}", e.name());
            }
        }
    }

    #[test]
    fn names_are_told_apart() {
        let mut names: Vec<_> = envelope_names().collect();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
