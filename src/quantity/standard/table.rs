//! Reading the tables: comma-separated rows under a line of column names; no quoting, no commas in values.

use crate::quantity::{Exact, Unit};

/// One row with the names of its columns.
pub struct Row<'a> {
    columns: &'a str,
    values: &'a str,
}

/// The rows of a table whose first line names the columns.
pub fn rows(text: &'static str) -> impl Iterator<Item = Row<'static>> {
    let (columns, body) = text.split_once('\n').unwrap_or((text, ""));
    body.lines().filter(|l| !l.trim().is_empty()).map(move |values| Row { columns, values })
}

impl<'a> Row<'a> {
    /// The text of a column; empty when there is no such column.
    pub fn text(&self, column: &str) -> &'a str {
        let at = self.columns.split(',').position(|c| c.trim() == column);
        at.and_then(|i| self.values.split(',').nth(i)).map_or("", str::trim)
    }

    /// A plain number; `None` when the cell is empty or no number.
    pub fn number(&self, column: &str) -> Option<Exact> {
        Exact::parse(self.text(column))
    }

    /// A length in mm, read in the row's unit.
    pub fn length(&self, column: &str) -> Option<Exact> {
        let unit = Unit::from_suffix(self.text("unit"))?;
        self.number(column)?.times(unit.scale())
    }

    /// Names of the row, the usual one first.
    pub fn names(&self) -> Vec<&'a str> {
        self.text("names").split('|').collect()
    }

    pub fn is_inch(&self) -> bool {
        self.text("unit") == "in"
    }
}

/// Whether the words of a design spell `name`.
pub fn spells(words: &[&str], name: &str) -> bool {
    words.iter().flat_map(|w| w.split_whitespace()).eq(name.split_whitespace())
}
