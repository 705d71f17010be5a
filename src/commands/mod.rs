//! The command line: arguments as types, and one file for each command.
//!
//! Every command returns an [`Outcome`], the worst of what it saw; nothing here ends the process.

mod args;
mod check;
mod completions;
mod console;
mod explain;
mod make;
mod man;
mod mending;
mod new;
mod printed;
mod progress;
mod replace;
mod show;
mod tidy;
mod watch;

/// Everything `make` writes for a compiled design, by file name.
pub use make::files as kit_files;

use crate::meaning::Request;
use crate::quantity::Units;
use args::{Arguments, Command, DesignOptions, UnitsChoice};
use clap::Parser;
use console::Console;
use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

/// What a command comes to, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// No finding of severity error.
    Sound,
    /// At least one finding of severity error.
    Findings,
    /// A file could not be read or written, or the command line is wrong.
    CouldNotRun,
}

impl Outcome {
    pub fn code(self) -> u8 {
        match self {
            Self::Sound => 0,
            Self::Findings => 1,
            Self::CouldNotRun => 2,
        }
    }
}

/// Runs the program with its arguments (the program's name first).
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(told) => {
            // Help and version come this way too; a closed pipe is no reason to complain.
            let _ = told.print();
            let wrong = told.use_stderr();
            return ExitCode::from(if wrong { Outcome::CouldNotRun } else { Outcome::Sound }.code());
        }
    };
    let mut console = Console::of_process(arguments.look);
    let outcome = match arguments.command {
        Command::Check(it) => check::run(&it, &mut console),
        Command::Make(it) => make::run(&it, &mut console),
        Command::Show(it) => show::run(&it, &mut console),
        Command::Tidy(it) => tidy::run(&it, &mut console),
        Command::Explain(it) => explain::run(&it, &mut console),
        Command::New(it) => new::run(&it, &mut console),
        Command::Completions(it) => completions::run(&it, &mut console),
        Command::Man(it) => man::run(&it, &mut console),
    };
    ExitCode::from(outcome.code())
}

/// What the options ask of the compiler for one file.
fn request(path: &Path, options: &DesignOptions) -> Request {
    Request {
        path: path.to_path_buf(),
        set: options.set.clone(),
        variant: options.variant.clone(),
        units: options.units.map(|units| match units {
            UnitsChoice::Mm => Units::Mm,
            UnitsChoice::In => Units::Inch,
        }),
        filled: Vec::new(),
    }
}
