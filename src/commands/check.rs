//! `plica check`: compiles designs and reports their findings for people, for scripts or for programs.

use super::args::{CheckArguments, DesignOptions, MendChoice};
use super::console::{Console, complaint};
use super::{Outcome, mending, printed, progress, request, watch};
use crate::compile::{self, Compiled, Extra};
use crate::findings::{Finding, Say, Severity};
use crate::report::{Look, Style, asked, json, line, terminal};
use crate::source::{Disk, Library, LibraryError};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// Findings of one design that are shown to people; nobody reads more before mending some.
const MOST_SHOWN: usize = 60;
/// Stack of a worker, bytes: enough for the deepest nesting that the parser lets through.
const STACK: usize = 16 << 20;

/// One design as far as it could be compiled.
pub(super) struct Checked<'a> {
    path: &'a Path,
    pub(super) compiled: Result<Compiled, LibraryError>,
    extra: Extra,
}

pub fn run(arguments: &CheckArguments, console: &mut Console) -> Outcome {
    if let Some(bar) = arguments.printed_as {
        return printed::run(bar, console);
    }
    if arguments.watch {
        return in_pool(|| watch::run(arguments, console));
    }
    let mut all = check_all(arguments, console);
    let mut outcome = Outcome::Sound;
    if arguments.mend.is_some() {
        for checked in &mut all {
            outcome = outcome.max(mend(checked, arguments, console));
        }
    }
    if arguments.json {
        let designs = all.iter().map(|c| json::design(&shown(c.path), c.compiled.as_ref(), &c.extra));
        console.print(&json::document(designs.collect()));
    }
    for checked in &all {
        outcome = outcome.max(report(checked, arguments, console).0);
    }
    outcome
}

/// Writes what there is to say of one design; gives what it comes to, and whether somebody still reads.
pub(super) fn report(checked: &Checked, arguments: &CheckArguments, console: &Console) -> (Outcome, bool) {
    let whole = !arguments.json && arguments.mend != Some(MendChoice::List);
    let mut outcome = outcome_of(&checked.compiled);
    let mut read_on = true;
    match &checked.compiled {
        Err(error) => console.complain(&format!("cannot read {}: {error}", shown(checked.path))),
        Ok(compiled) if whole && arguments.lines => read_on = console.print(&lines(compiled, &console.out)),
        Ok(compiled) if whole => {
            let say = Say { units: compiled.design.units };
            let asked = asked::words(&checked.extra, compiled, say, &console.out);
            read_on = console.print(&(for_people(checked.path, compiled, &console.out) + &asked));
        }
        Ok(_) => {}
    }
    if let Some(Err(unknown)) = &checked.extra.edges {
        console.complain(&asked::no_such_face(unknown));
        outcome = outcome.max(Outcome::CouldNotRun);
    }
    (outcome, read_on)
}

/// Compiles every file and tries its mends, on all cores; the results stand in the order of the files.
fn check_all<'a>(arguments: &'a CheckArguments, console: &Console) -> Vec<Checked<'a>> {
    progress::during(console, "checking", arguments.files.len(), |counter| {
        let work = || {
            let check = |path: &'a PathBuf| {
                let checked = check(path, arguments, &Disk, None);
                counter.step();
                checked
            };
            arguments.files.par_iter().map(check).collect()
        };
        in_pool(work)
    })
}

/// Works where there is stack enough for deep nesting.
fn in_pool<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    match rayon::ThreadPoolBuilder::new().stack_size(STACK).build() {
        Ok(pool) => pool.install(work),
        Err(_) => work(),
    }
}

/// Compiles one design, tries its mends, and works out what was asked; `before` is the design before an edit.
pub(super) fn check<'a>(
    path: &'a Path,
    arguments: &CheckArguments,
    library: &dyn Library,
    before: Option<&Compiled>,
) -> Checked<'a> {
    let compiled = compile_and_try(path, &arguments.design, library, before);
    let extra = compiled.as_ref().map(|c| extra(path, c, arguments)).unwrap_or_default();
    Checked { path, compiled, extra }
}

/// What was asked beyond findings. Blanks are always counted; their values are given away only on request.
fn extra(path: &Path, compiled: &Compiled, arguments: &CheckArguments) -> Extra {
    let hand = arguments.hand.map(|off| compile::hand(compiled, off));
    let text = compiled.sources.files().first().map(|f| f.text.as_str()).unwrap_or_default();
    let answers = (!compiled.design.blanks.is_empty()).then(|| {
        let request = request(path, &arguments.design);
        (arguments.answers, compile::answers(text, compiled, &Disk, &request))
    });
    let edges = arguments.edges_on.as_ref().map(|face| compile::edges(compiled, face));
    Extra { hand, answers, edges }
}

fn compile_and_try(
    path: &Path,
    options: &DesignOptions,
    library: &dyn Library,
    before: Option<&Compiled>,
) -> Result<Compiled, LibraryError> {
    let request = request(path, options);
    let mut compiled = match before {
        Some(before) => compile::compile_after(before, &library.text(path)?, library, &request)?,
        None => compile::compile(library, &request)?,
    };
    compile::try_mends(&mut compiled, library, &request);
    Ok(compiled)
}

fn outcome_of(compiled: &Result<Compiled, LibraryError>) -> Outcome {
    match compiled {
        Err(_) => Outcome::CouldNotRun,
        Ok(compiled) if compiled.findings.has_errors() => Outcome::Findings,
        Ok(_) => Outcome::Sound,
    }
}

/// Lists the mends of one design, or writes the safe ones and compiles what is then there.
fn mend(checked: &mut Checked, arguments: &CheckArguments, console: &Console) -> Outcome {
    let Ok(compiled) = &checked.compiled else { return Outcome::Sound };
    let show = |text: &str| match arguments.json {
        true => console.tell(text),
        false => {
            console.print(text);
        }
    };
    if arguments.mend != Some(MendChoice::Write) {
        show(&mending::list(compiled, &console.out));
        return Outcome::Sound;
    }
    let edits = compile::safe_edits(&compiled.findings);
    if edits.is_empty() {
        return Outcome::Sound;
    }
    show(&mending::diff(&compiled.sources, &edits, &console.out));
    if let Err(fault) = mending::write(compiled, &edits, checked.path) {
        console.complain(&fault);
        return Outcome::CouldNotRun;
    }
    checked.compiled = compile_and_try(checked.path, &arguments.design, &Disk, None);
    Outcome::Sound
}

/// Cautions and notes of a sound design, for commands that go on with it; nothing when there are none.
pub(super) fn told(path: &Path, compiled: &Compiled, look: &Look) -> String {
    if compiled.findings.list().is_empty() { String::new() } else { for_people(path, compiled, look) }
}

fn lines(compiled: &Compiled, look: &Look) -> String {
    compiled.findings.list().iter().map(|f| line::render(f, &compiled.sources, look) + "\n").collect()
}

fn for_people(path: &Path, compiled: &Compiled, look: &Look) -> String {
    let list = compiled.findings.list();
    let mut out = String::new();
    for finding in list.iter().take(MOST_SHOWN) {
        out.push_str(&terminal::render(finding, &compiled.sources, look));
        out.push('\n');
    }
    if list.len() > MOST_SHOWN {
        let rest = list.len() - MOST_SHOWN;
        out.push_str(&format!("{rest} more are not shown; --lines lists them all\n"));
    }
    out.push_str(&summary(path, list, look));
    out
}

/// `kite.plica: 2 errors, 1 note`
fn summary(path: &Path, list: &[Finding], look: &Look) -> String {
    let count = |severity: Severity| list.iter().filter(|f| f.severity() == severity).count();
    let (errors, cautions, notes) = (count(Severity::Error), count(Severity::Caution), count(Severity::Note));
    let mut parts = Vec::new();
    if errors == 0 {
        parts.push(look.paint(Style::Good, "sound"));
    }
    for (number, word, style) in
        [(errors, "error", Style::Error), (cautions, "caution", Style::Caution), (notes, "note", Style::Note)]
    {
        match number {
            0 => {}
            1 => parts.push(look.paint(style, &format!("1 {word}"))),
            n => parts.push(look.paint(style, &format!("{n} {word}s"))),
        }
    }
    format!("{}: {}\n", look.text(&shown(path)), parts.join(", "))
}

fn shown(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// The complaints and findings of a design that has errors, for commands that need a sound one. `Err` holds what to
/// say and what it comes to.
pub(super) fn need_sound(
    path: &Path,
    options: &DesignOptions,
    look: &Look,
) -> Result<Compiled, (String, Outcome)> {
    match compile_and_try(path, options, &Disk, None) {
        Err(error) => {
            Err((complaint(&format!("cannot read {}: {error}", shown(path)), look), Outcome::CouldNotRun))
        }
        Ok(compiled) if compiled.findings.has_errors() => {
            Err((for_people(path, &compiled, look), Outcome::Findings))
        }
        Ok(compiled) => Ok(compiled),
    }
}
