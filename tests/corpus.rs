//! Pairs of designs that differ in one line: the faulty one stands in `tests/corpus`, its sound twin follows from it.
//! The first word of a file's name is its family.
//!
//! `#! instead of: LINE` stands right under the faulty line and gives the line of the sound twin; with no line behind it,
//! the faulty line has no counterpart there. `#! left out: LINE` stands where the sound twin has a line more.
//! `#! finds: NAME` stands under the line on which the finding, or another part that it underlines, is to be found. The
//! faulty design gives these findings and no others, its twin none; notes do not count.

use plica::compile::compile_text;
use plica::findings::catalogue::ENTRIES;
use plica::findings::{Finding, Severity};
use plica::meaning::Request;
use plica::source::Memory;
use std::collections::BTreeSet;
use std::path::PathBuf;

struct Pair {
    sound: String,
    /// Line (1-based) and name.
    expected: Vec<(usize, String)>,
}

/// Takes a file apart, or says what is wrong with its annotations.
fn read(text: &str) -> Result<Pair, String> {
    let mut sound = Vec::new();
    let (mut expected, mut exchanged) = (Vec::new(), 0);
    let mut line_of_code = 0;
    for (index, line) in text.lines().enumerate() {
        let told = line.trim();
        if let Some(name) = told.strip_prefix("#! finds:") {
            let name = name.trim();
            if !ENTRIES.iter().any(|e| e.name == name) {
                return Err(format!("line {}: the catalogue has no finding {name:?}", index + 1));
            }
            expected.push((line_of_code, name.to_string()));
        } else if let Some(instead) = told.strip_prefix("#! instead of:") {
            exchanged += 1;
            sound.pop();
            sound.push(instead.trim());
        } else if let Some(more) = told.strip_prefix("#! left out:") {
            exchanged += 1;
            sound.push(more.trim());
        } else if told.starts_with("#!") {
            return Err(format!("line {}: {told:?} is no annotation", index + 1));
        } else {
            sound.push(line);
            line_of_code = index + 1;
        }
    }
    match (exchanged, expected.is_empty()) {
        (1, false) => Ok(Pair { sound: sound.join("\n") + "\n", expected }),
        (1, true) => Err("it does not say what is to be found".to_string()),
        (count, _) => Err(format!("{count} lines are exchanged, not one")),
    }
}

/// The findings of a design that are more than notes.
fn faults(text: &str) -> Vec<Finding> {
    let request = Request { path: "design.plica".into(), ..Request::default() };
    match compile_text(text, &Memory::default(), &request) {
        Ok(compiled) => {
            compiled.findings.list().iter().filter(|f| f.severity() != Severity::Note).cloned().collect()
        }
        Err(problem) => panic!("a design in memory is read: {problem:?}"),
    }
}

/// Every line that a finding underlines.
fn lines_of(finding: &Finding, text: &str) -> BTreeSet<usize> {
    let line = |at: u32| text.bytes().take(at as usize).filter(|b| *b == b'\n').count() + 1;
    let telling = &finding.telling;
    std::iter::once(telling.place)
        .chain(telling.others.iter().map(|l| l.span))
        .flat_map(|span| line(span.start)..=line(span.end))
        .collect()
}

fn problems_of(text: &str) -> Vec<String> {
    let pair = match read(text) {
        Ok(pair) => pair,
        Err(problem) => return vec![problem],
    };
    let mut problems = Vec::new();
    let mut left = pair.expected;
    for finding in faults(text) {
        let lines = lines_of(&finding, text);
        match left.iter().position(|(line, name)| name == finding.name() && lines.contains(line)) {
            Some(met) => drop(left.remove(met)),
            None => problems.push(format!("extra: {} on lines {lines:?}", finding.name())),
        }
    }
    problems.extend(left.iter().map(|(line, name)| format!("missing: {name} on line {line}")));
    let sound = faults(&pair.sound);
    problems.extend(
        sound.iter().map(|f| format!("the sound twin: {} on {:?}", f.name(), lines_of(f, &pair.sound))),
    );
    problems
}

fn corpus() -> Vec<(String, String)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/corpus");
    let mut files: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the corpus is there")
        .map(|entry| entry.expect("an entry is read"))
        .filter(|entry| entry.path().extension().is_some_and(|e| e == "plica"))
        .map(|entry| {
            let text = std::fs::read_to_string(entry.path()).expect("a file of the corpus is read");
            (entry.file_name().to_string_lossy().into_owned(), text)
        })
        .collect();
    files.sort();
    files
}

#[test]
fn each_planted_fault_is_found_in_its_place_and_its_twin_is_silent() {
    let told: Vec<String> = corpus()
        .iter()
        .flat_map(|(name, text)| problems_of(text).into_iter().map(move |p| format!("{name}: {p}")))
        .collect();
    assert!(told.is_empty(), "{} problems:\n{}", told.len(), told.join("\n"));
}

#[test]
fn the_corpus_is_as_wide_as_it_must_be() {
    let files = corpus();
    assert!(files.len() >= 60, "{} pairs", files.len());
    let families: BTreeSet<&str> = files.iter().filter_map(|(name, _)| name.split('_').next()).collect();
    assert!(families.len() >= 10, "{families:?}");
}

#[test]
fn a_pair_without_its_fault_fails() {
    let design = "card \"x\"\npaper p: 200gsm, 0.2mm thick\n\
                  piece a of p { size 50mm by 40mm }\n\
                  #! instead of: piece a of p { size 50mm by 40mm }\n#! finds: piece-without-size\n";
    assert!(!problems_of(design).is_empty());
}
