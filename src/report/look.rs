//! How a report is to look: colours, characters and width, decided once from the options and the surroundings.

use super::text;

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Colour {
    #[default]
    Auto,
    Always,
    Never,
}

/// What the decision needs to know of the world, so that it can be made without touching it.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// The output goes to a terminal.
    pub terminal: bool,
    /// Columns of that terminal, when it says.
    pub columns: Option<usize>,
    /// `NO_COLOR`, see no-color.org: anything but the empty text forbids colour.
    pub no_color: Option<String>,
    /// `CLICOLOR_FORCE`: anything but `0` asks for colour even when the output is not a terminal.
    pub force: Option<String>,
    /// `TERM`; `dumb` has no colour.
    pub term: Option<String>,
    /// `COLUMNS`.
    pub wanted_columns: Option<String>,
}

impl Surroundings {
    /// Of this process; `terminal` and `columns` describe the stream that is written to.
    pub fn of_process(terminal: bool, columns: Option<usize>) -> Self {
        let read = |name: &str| std::env::var(name).ok();
        Self {
            terminal,
            columns,
            no_color: read("NO_COLOR"),
            force: read("CLICOLOR_FORCE"),
            term: read("TERM"),
            wanted_columns: read("COLUMNS"),
        }
    }
}

/// The decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    pub colour: bool,
    /// Only ASCII characters are written, whatever the texts hold.
    pub ascii: bool,
    /// Columns, at least [`Look::NARROWEST`].
    pub width: usize,
}

impl Default for Look {
    fn default() -> Self {
        Self { colour: false, ascii: false, width: Self::USUAL }
    }
}

impl Look {
    /// The renderer cannot lay out less.
    pub const NARROWEST: usize = 40;
    /// Lines longer than this are hard to read, however wide the terminal.
    pub const WIDEST: usize = 120;
    /// When nothing says how wide the output is.
    pub const USUAL: usize = 100;

    pub fn decide(colour: Colour, ascii: bool, around: &Surroundings) -> Self {
        let colour = match colour {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => around.wants_colour(),
        };
        let columns = around.wanted_columns.as_deref().and_then(|c| c.trim().parse().ok());
        let width = columns.or(around.columns).unwrap_or(Self::USUAL);
        Self { colour, ascii, width: width.clamp(Self::NARROWEST, Self::WIDEST) }
    }

    /// A text in the characters of this look, with nothing in it that a terminal would act on.
    pub fn text(&self, text: &str) -> String {
        let printable = text::printable(text);
        if self.ascii { text::ascii(&printable) } else { printable }
    }

    /// Puts a style around a text that has gone through [`Look::text`].
    pub fn paint(&self, style: Style, text: &str) -> String {
        if self.colour { format!("\u{1b}[{}m{text}\u{1b}[0m", style.code()) } else { text.into() }
    }
}

impl Surroundings {
    fn wants_colour(&self) -> bool {
        if self.no_color.as_deref().is_some_and(|v| !v.is_empty()) {
            return false;
        }
        if self.force.as_deref().is_some_and(|v| !v.is_empty() && v != "0") {
            return true;
        }
        self.terminal && self.term.as_deref() != Some("dumb")
    }
}

/// The few styles in use, in the sixteen colours that every theme of a terminal keeps legible.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    Error,
    Caution,
    Note,
    Good,
    Heading,
    Faint,
}

impl Style {
    fn code(self) -> &'static str {
        match self {
            Self::Error => "1;31",
            Self::Caution => "1;33",
            Self::Note => "1;36",
            Self::Good => "32",
            Self::Heading => "1",
            Self::Faint => "2",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on_terminal() -> Surroundings {
        Surroundings { terminal: true, ..Surroundings::default() }
    }

    fn coloured(around: &Surroundings) -> bool {
        Look::decide(Colour::Auto, false, around).colour
    }

    // no-color.org, bixense.com/clicolors (both from memory).
    #[test]
    fn colour_follows_the_conventions() {
        let text = |s: &str| Some(s.to_string());
        assert!(coloured(&on_terminal()));
        assert!(!coloured(&Surroundings::default()));
        assert!(!coloured(&Surroundings { no_color: text("1"), ..on_terminal() }));
        assert!(coloured(&Surroundings { no_color: text(""), ..on_terminal() }));
        assert!(!coloured(&Surroundings { term: text("dumb"), ..on_terminal() }));
        assert!(coloured(&Surroundings { force: text("1"), ..Surroundings::default() }));
        assert!(!coloured(&Surroundings { force: text("0"), ..Surroundings::default() }));
        assert!(!coloured(&Surroundings { force: text("1"), no_color: text("1"), ..on_terminal() }));
        assert!(Look::decide(Colour::Always, false, &Surroundings::default()).colour);
        assert!(!Look::decide(Colour::Never, false, &on_terminal()).colour);
    }

    #[test]
    fn width_is_clamped() {
        let width = |columns: &str, real| {
            let around =
                Surroundings { wanted_columns: Some(columns.into()), columns: real, ..on_terminal() };
            Look::decide(Colour::Auto, false, &around).width
        };
        assert_eq!(width("7", None), 40);
        assert_eq!(width("0", Some(80)), 40);
        assert_eq!(width("72", Some(80)), 72);
        assert_eq!(width("wide", Some(80)), 80);
        assert_eq!(width("", None), 100);
        assert_eq!(width("99999", None), 120);
    }
}
