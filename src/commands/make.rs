//! `plica make`: everything needed to make a card, in one folder, whole or not at all.

use super::Outcome;
use super::args::MakeArguments;
use super::check::{need_sound, told};
use super::console::Console;
use super::{progress, request};
use crate::compile::{Compiled, rounded, variants};
use crate::output::cut_list::Ruler;
use crate::output::folder::{self, Files};
use crate::output::kit::{self, KitError, Source, Variant};
use crate::quantity::Units;
use crate::source::Disk;
use serde_json::json;

pub fn run(arguments: &MakeArguments, console: &mut Console) -> Outcome {
    let compiled = match need_sound(&arguments.file, &arguments.design, &console.err) {
        Ok(compiled) => compiled,
        Err((words, outcome)) => {
            console.tell(&words);
            return outcome;
        }
    };
    if let Some(blank) = compiled.design.blanks.first() {
        let line = compiled.sources.place(blank.span).map_or(0, |(_, place)| place.line);
        console.complain(&format!("the blank in line {line} must be filled in before a kit can be made"));
        return Outcome::Findings;
    }
    if compiled.assembly.pieces.is_empty() {
        console.complain("the design has no piece, so there is nothing to make");
        return Outcome::Findings;
    }
    // What cannot be written is told before the work is done.
    if let Err(error) = folder::check(&arguments.into) {
        console.complain(&error.to_string());
        return Outcome::CouldNotRun;
    }
    let request = request(&arguments.file, &arguments.design);
    let made = progress::during(console, "making the kit", 1, |_| {
        let variants = variants(&compiled, &Disk, &request);
        files(&compiled, &variants, arguments.copies)
    });
    let files = match made {
        Ok(files) => files,
        Err(error) => {
            console.complain(&format!("{} cannot be drawn: {}", error.file, error.why));
            return Outcome::CouldNotRun;
        }
    };
    if let Err(error) = folder::replace(&arguments.into, &files) {
        console.complain(&error.to_string());
        return Outcome::CouldNotRun;
    }
    report(arguments, &compiled, &files, console);
    Outcome::Sound
}

/// The files of the kit, its sheets planned for a number of cards. The guide tells the sizes of the variants.
pub fn files(compiled: &Compiled, variants: &[(String, Compiled)], copies: u32) -> Result<Files, KitError> {
    let assembly = &compiled.assembly;
    let (inch, metric) = rayon::join(|| rounded(compiled, Units::Inch), || rounded(compiled, Units::Mm));
    let ruler = |rounded: &'_ crate::compile::Rounded| (rounded.units, rounded.step, rounded.faults.clone());
    let ((iu, is, if_), (mu, ms, mf)) = (ruler(&inch), ruler(&metric));
    kit::kit(&Source {
        assembly,
        states: &compiled.states,
        cards: &compiled.cards,
        inch: Ruler { assembly: &inch.assembly, units: iu, step: is, faults: if_ },
        metric: Ruler { assembly: &metric.assembly, units: mu, step: ms, faults: mf },
        copies,
        variants: variants.iter().map(|(name, other)| variant(name, other)).collect(),
    })
}

fn variant<'a>(name: &str, compiled: &'a Compiled) -> Variant<'a> {
    Variant {
        name: name.into(),
        assembly: &compiled.assembly,
        states: &compiled.states,
        sound: !compiled.findings.has_errors(),
    }
}

fn report(arguments: &MakeArguments, compiled: &Compiled, files: &Files, console: &Console) {
    let folder = arguments.into.to_string_lossy().replace('\\', "/");
    if arguments.json {
        let names: Vec<&String> = files.keys().collect();
        let value = json!({ "folder": folder, "files": names });
        console.print(&format!("{value:#}\n"));
        return;
    }
    console.tell(&told(&arguments.file, compiled, &console.err));
    console.print(&format!(
        "{}: {} files; begin with net.pdf and cut-list.md\n",
        console.out.text(&folder),
        files.len()
    ));
}
