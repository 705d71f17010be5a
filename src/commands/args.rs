//! The command line, as types only: what can be asked for, and nothing of how it is done.

use crate::quantity::{Dimension, Exact, Unit};
use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  sound: no finding of severity error
  1  at least one finding of severity error
  2  could not run: a file cannot be read or written, or the command line is wrong";

/// A small language for folded and moving paper cards: checks that a card works before any paper is cut, and writes
/// what it takes to make it.
#[derive(Debug, Parser)]
#[command(name = "plica", version, propagate_version = true, after_help = EXIT_CODES, arg_required_else_help = true)]
pub struct Arguments {
    #[command(flatten)]
    pub look: LookOptions,
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Clone, Copy, Args)]
pub struct LookOptions {
    /// When to colour; NO_COLOR, CLICOLOR_FORCE and TERM=dumb are heeded under auto
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t, alias = "color")]
    pub colour: ColourChoice,
    /// Write ASCII characters only
    #[arg(long, global = true)]
    pub ascii: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum ColourChoice {
    #[default]
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check designs and report whatever will not fit, fold, move, stand, close or post
    #[command(after_help = EXIT_CODES)]
    Check(CheckArguments),
    /// Write everything needed to make a card: nets, previews, cut list
    #[command(after_help = EXIT_CODES)]
    Make(MakeArguments),
    /// Draw one pose of a card as a picture
    #[command(after_help = EXIT_CODES)]
    Show(ShowArguments),
    /// Bring the layout of designs into order; comments and meaning stay
    #[command(after_help = EXIT_CODES)]
    Tidy(TidyArguments),
    /// Explain a finding, with a wrong and a right example; without a name, list them all
    Explain(ExplainArguments),
    /// Start a design from a small sound one
    New(NewArguments),
    /// Print the completions for a shell
    Completions(CompletionsArguments),
    /// Print the manual page, of the whole or of one command (roff; read it with `man -l -`)
    Man(ManArguments),
}

/// How a design is to be read.
#[derive(Debug, Clone, Default, Args)]
pub struct DesignOptions {
    /// Give a `let` or `adjust` of the design another value: `--set rise=55mm`; may be repeated
    #[arg(long = "set", value_name = "NAME=VALUE", value_parser = assignment)]
    pub set: Vec<(String, String)>,
    /// Use the values of one of the design's variants
    #[arg(long, value_name = "NAME")]
    pub variant: Option<String>,
    /// Units to speak in; those of the design's first length when absent
    #[arg(long, value_enum, value_name = "UNITS")]
    pub units: Option<UnitsChoice>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitsChoice {
    Mm,
    In,
}

#[derive(Debug, Args)]
pub struct CheckArguments {
    /// Designs to check; several are checked at once and reported in this order
    #[arg(required_unless_present = "printed_as", value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Tell the scale to print at when a test bar measures this: `98mm` of the bar of 100 mm, or inches of the bar of 4 in
    #[arg(long, value_name = "LENGTH", value_parser = bar, conflicts_with_all = ["files", "json", "lines", "hand", "mend"])]
    pub printed_as: Option<Bar>,
    #[command(flatten)]
    pub design: DesignOptions,
    /// Report everything that is known of the designs as one JSON document
    #[arg(long, conflicts_with = "lines")]
    pub json: bool,
    /// One line for each finding: `file:line:column: severity name: message`
    #[arg(long)]
    pub lines: bool,
    /// Say how far off each cut, score and placement may be, and warn of those with less room than this: `0.5mm`
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub hand: Option<f64>,
    /// Say where the edges of other parts fall on a face in every pose, to place words by: `shell.track`,
    /// `back of shell.track`
    #[arg(long, value_name = "FACE")]
    pub edges_on: Option<String>,
    /// Say which values fit the blanks, not only in how many ranges they lie
    #[arg(long)]
    pub answers: bool,
    /// Stay, and report again whenever a design or a file that it reads is saved; end with Ctrl-C
    #[arg(long, conflicts_with_all = ["printed_as", "json", "mend"])]
    pub watch: bool,
    /// List the mends that were tried and found to help, as a diff; `--mend=write` writes those that cannot alter
    /// what you meant, after showing them
    #[arg(
        long, value_enum, value_name = "WHAT", num_args = 0..=1, require_equals = true,
        default_missing_value = "list"
    )]
    pub mend: Option<MendChoice>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MendChoice {
    List,
    Write,
}

#[derive(Debug, Args)]
pub struct MakeArguments {
    /// The design
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Folder to write into; written whole or not at all
    #[arg(long, value_name = "DIR")]
    pub into: PathBuf,
    /// Plan the sheets for this many cards
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=200))]
    pub copies: u32,
    #[command(flatten)]
    pub design: DesignOptions,
    /// Report the outcome as JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct ShowArguments {
    /// The design
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Pose to show; the first of the design when absent
    #[arg(long, value_name = "NAME")]
    pub pose: Option<String>,
    /// Picture to write (PNG)
    #[arg(short, long, value_name = "PICTURE")]
    pub output: PathBuf,
    #[command(flatten)]
    pub design: DesignOptions,
}

#[derive(Debug, Args)]
pub struct TidyArguments {
    /// Designs to tidy in place; a design that cannot be read whole is left as it is
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Write nothing; exit with 1 when a file is not tidy
    #[arg(long)]
    pub check: bool,
}

#[derive(Debug, Args)]
pub struct ExplainArguments {
    /// Name of a finding, as it stands in brackets behind its message
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
}

#[derive(Debug, Args)]
pub struct NewArguments {
    /// What to start from
    #[arg(value_enum, default_value_t)]
    pub kind: Scene,
    /// File to write, `-` for the output; never one that is there already. The kind with `.plica` when absent
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Scene {
    /// A card with one fold, a mat and a greeting
    #[default]
    Folded,
    /// A kite that climbs on a paper strap
    Slider,
    /// A disc that turns behind a window
    Wheel,
}

#[derive(Debug, Args)]
pub struct CompletionsArguments {
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub struct ManArguments {
    /// Command to print the page of; the whole when absent
    #[arg(value_name = "COMMAND", value_parser = PossibleValuesParser::new(COMMANDS))]
    pub command: Option<String>,
}

/// The commands that have a page of their own.
const COMMANDS: [&str; 8] = ["check", "make", "show", "tidy", "explain", "new", "completions", "man"];

/// A length with its unit, in mm.
/// A test bar as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// mm.
    pub measured: f64,
    /// Measured in inches, so it is the bar of 4 in.
    pub inches: bool,
}

fn bar(text: &str) -> Result<Bar, String> {
    let text = text.trim();
    // "3 15/16in" is a whole number and a fraction.
    let (whole, rest) = text.split_once(' ').filter(|(_, r)| r.contains('/')).unwrap_or(("0", text));
    let (Ok(whole), Ok(part)) = (whole.parse::<u16>(), length(rest)) else {
        return Err("write what the bar measures with its unit, as in 98mm or 3 15/16in".into());
    };
    let inches = rest.ends_with("in");
    let unit = if inches { Unit::from_suffix("in") } else { Unit::from_suffix("mm") };
    let scale = unit.map_or(1.0, |u| u.scale().to_f64());
    Ok(Bar { measured: f64::from(whole) * scale + part, inches })
}

fn length(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let split = text.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (digits, unit) = text.split_at(split);
    let unit = Unit::from_suffix(unit).filter(|u| u.dimension() == Dimension::Length);
    match (Exact::parse(digits), unit) {
        (Some(value), Some(unit)) if value.is_positive() => Ok(value.to_f64() * unit.scale().to_f64()),
        _ => Err("write a length with its unit, as in 0.5mm or 1/32in".into()),
    }
}

fn assignment(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() && !value.trim().is_empty() => {
            Ok((name.trim().into(), value.trim().into()))
        }
        _ => Err("write it as NAME=VALUE, as in rise=55mm".into()),
    }
}
