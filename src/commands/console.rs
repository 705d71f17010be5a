//! The two output streams of a command, each with its own look. Writing never fails loudly: whoever closed the pipe
//! has seen enough.

use super::args::{ColourChoice, LookOptions};
use crate::report::{Colour, Look, Surroundings};
use std::io::{IsTerminal, Write};

pub struct Console {
    /// Look of the output.
    pub out: Look,
    /// Look of the messages.
    pub err: Look,
    /// Messages go to a terminal, so that progress may be shown there.
    pub watched: bool,
}

impl Console {
    pub fn of_process(options: LookOptions) -> Self {
        let colour = match options.colour {
            ColourChoice::Auto => Colour::Auto,
            ColourChoice::Always => Colour::Always,
            ColourChoice::Never => Colour::Never,
        };
        let columns = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
        let look = |terminal: bool, columns: Option<usize>| {
            Look::decide(colour, options.ascii, &Surroundings::of_process(terminal, columns))
        };
        let (out, err) = (std::io::stdout().is_terminal(), std::io::stderr().is_terminal());
        Self { out: look(out, columns), err: look(err, columns), watched: err }
    }

    /// Writes to the output; `false` when nobody reads it any more.
    pub fn print(&self, text: &str) -> bool {
        let mut out = std::io::stdout().lock();
        out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_ok()
    }

    /// Writes to the messages.
    pub fn tell(&self, text: &str) {
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
    }

    /// A message about something that could not be done: `cannot read kite.plica: there is no such file`.
    pub fn complain(&self, what: &str) {
        self.tell(&complaint(what, &self.err));
    }
}

/// The line that [`Console::complain`] writes.
pub fn complaint(what: &str, look: &Look) -> String {
    format!("{} {}\n", look.paint(crate::report::Style::Error, "plica:"), look.text(&what.replace('\n', " ")))
}
