//! Every finding of the catalogue against its own two designs: `wrong` shows exactly that finding, `right` none.

use plica::findings::{Finding, Findings, Severity, catalogue::ENTRIES};
use plica::meaning::Request;
use plica::source::Memory;
use plica::{assembly, checks, meaning, motion, source, syntax};

/// Entries whose designs do not yet do what they should. An entry that does must leave the list.
const PENDING_WRONG: &[&str] = &[
    "blank-to-fill",
    "include-outside",
    "include-ring",
    "svg-outline",
    "svg-without-size",
    "too-deep",
    "workspace-full",
];
const PENDING_RIGHT: &[&str] = &[];

/// Everything found in a design, cautions and errors only.
fn found_in(text: &str) -> Vec<Finding> {
    let mut sources = source::SourceMap::default();
    sources.add("design.plica", text).expect("a small text");
    let mut sink = Findings::default();
    let tree = syntax::parse(text, 0, &mut sink);
    let request = Request::default();
    let library = Memory::default();
    let design = meaning::understand(&tree, &request, &library, &mut sources, &mut sink);
    let assembly = assembly::assemble(&design, &mut sink);
    let states: Vec<_> = assembly.poses.iter().map(|pose| motion::stand(&assembly, pose)).collect();
    checks::run(&checks::Subject { assembly: &assembly, states: &states }, &mut sink);
    sink.sort();
    sink.list().iter().filter(|f| f.severity() != Severity::Note).cloned().collect()
}

fn told(found: &[Finding]) -> String {
    found.iter().map(|f| format!("\n    {}: {}", f.name(), f.telling.message)).collect()
}

#[test]
fn each_wrong_design_shows_its_finding_alone() {
    let mut faults = String::new();
    for entry in ENTRIES {
        let found = found_in(entry.wrong);
        let alone = matches!(found.as_slice(), [only] if only.name() == entry.name);
        if alone == PENDING_WRONG.contains(&entry.name) {
            faults += &format!("{}{}\n", entry.name, told(&found));
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn each_right_design_shows_none() {
    let mut faults = String::new();
    for entry in ENTRIES {
        let found = found_in(entry.right);
        if found.is_empty() == PENDING_RIGHT.contains(&entry.name) {
            faults += &format!("{}{}\n", entry.name, told(&found));
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}
