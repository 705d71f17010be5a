//! `plica explain`: the catalogue of findings, and what one of them means.

use super::Outcome;
use super::args::ExplainArguments;
use super::console::Console;
use crate::findings::catalogue::{ENTRIES, entry};
use crate::findings::{Entry, Family, Severity};
use crate::report::{Look, Style, wrap};
use crate::source::nearest;

pub fn run(arguments: &ExplainArguments, console: &mut Console) -> Outcome {
    let Some(name) = &arguments.name else {
        console.print(&list(&console.out));
        return Outcome::Sound;
    };
    match entry(name) {
        Some(entry) => {
            console.print(&explanation(entry, &console.out));
            Outcome::Sound
        }
        None => {
            let near = nearest(name, ENTRIES.iter().map(|e| e.name));
            let hint = near.map_or("`plica explain` lists them all".into(), |n| format!("did you mean {n}?"));
            console.complain(&format!("there is no finding {name}; {hint}"));
            Outcome::CouldNotRun
        }
    }
}

/// Every finding by family.
fn list(look: &Look) -> String {
    let mut entries: Vec<&Entry> = ENTRIES.to_vec();
    entries.sort_by_key(|e| (e.family, e.name));
    let name_width = entries.iter().map(|e| e.name.len()).max().unwrap_or(0);
    let mut out = String::new();
    let mut family = None;
    for entry in entries {
        if family != Some(entry.family) {
            let gap = if family.is_some() { "\n" } else { "" };
            out.push_str(&format!("{gap}{}\n", look.paint(Style::Heading, heading(entry.family))));
            family = Some(entry.family);
        }
        let severity = look.paint(style(entry.severity), &format!("{:7}", entry.severity.word()));
        let words = format!("{:name_width$}  {severity}  {}", entry.name, look.text(entry.title));
        out.push_str(&format!("  {words}\n"));
    }
    out
}

fn explanation(entry: &Entry, look: &Look) -> String {
    let severity = look.paint(style(entry.severity), entry.severity.word());
    let mut out = format!("{severity} {}\n", look.paint(Style::Heading, entry.name));
    out.push_str(&format!("{}\n\n", look.text(entry.title)));
    for line in wrap(&look.text(entry.explanation), look.width) {
        out.push_str(&format!("{line}\n"));
    }
    for (head, design) in [("Wrong", entry.wrong), ("Right", entry.right)] {
        if design.is_empty() {
            continue;
        }
        out.push_str(&format!("\n{}\n", look.paint(Style::Heading, &format!("{head}:"))));
        for line in design.trim_end().lines() {
            out.push_str(format!("    {}", look.text(line)).trim_end());
            out.push('\n');
        }
    }
    out
}

fn style(severity: Severity) -> Style {
    match severity {
        Severity::Error => Style::Error,
        Severity::Caution => Style::Caution,
        Severity::Note => Style::Note,
    }
}

fn heading(family: Family) -> &'static str {
    match family {
        Family::Syntax => "Reading",
        Family::Names => "Names",
        Family::Kinds => "Kinds of thing",
        Family::Values => "Values",
        Family::Cutting => "Cutting",
        Family::Joints => "Joints",
        Family::Folding => "Folding",
        Family::Motion => "Motion",
        Family::Layers => "Layers",
        Family::Envelope => "Envelope",
        Family::Post => "Post",
        Family::Standing => "Standing",
        Family::Expectations => "Expectations",
        Family::Tolerance => "Tolerance",
    }
}
