use super::table::{Row, rows, spells};
use crate::quantity::Exact;
use std::sync::LazyLock;

/// A sheet of paper as it is sold.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The words of the language, the usual name first.
    pub names: Vec<&'static str>,
    /// mm.
    pub short: Exact,
    /// mm.
    pub long: Exact,
    /// True when the size is a round one in inches.
    pub inch: bool,
    pub standard: &'static str,
    pub source: &'static str,
}

impl Sheet {
    pub fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or("")
    }
}

static SHEETS: LazyLock<Vec<Sheet>> =
    LazyLock::new(|| rows(include_str!("sheets.csv")).filter_map(|row| read(&row)).collect());

fn read(row: &Row<'static>) -> Option<Sheet> {
    Some(Sheet {
        names: row.names(),
        short: row.length("short")?,
        long: row.length("long")?,
        inch: row.is_inch(),
        standard: row.text("standard"),
        source: row.text("source"),
    })
}

/// Every sheet, in the order of the table.
pub fn sheets() -> &'static [Sheet] {
    &SHEETS
}

/// The sheet of a name: `["A4"]`, `["letter"]`, `["craft", "12"]`.
pub fn sheet(words: &[&str]) -> Option<&'static Sheet> {
    SHEETS.iter().find(|s| s.names.iter().any(|n| spells(words, n)))
}

/// Every name a sheet may be called by.
pub fn sheet_names() -> impl Iterator<Item = &'static str> {
    SHEETS.iter().flat_map(|s| s.names.iter().copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert_eq!(SHEETS.len(), include_str!("sheets.csv").lines().count() - 1);
        assert!(SHEETS.iter().all(|s| s.short.is_positive() && s.short <= s.long && !s.source.is_empty()));
    }

    #[test]
    fn names_are_told_apart() {
        let mut names: Vec<_> = sheet_names().collect();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
