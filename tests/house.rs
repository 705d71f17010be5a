//! The rules of the house, kept by reading the sources: which room may know which, where each library is let in,
//! that no input can end the program, and that the catalogue of findings is whole.

use plica::findings::catalogue::ENTRIES;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The rooms in the order in which they may use one another: each uses only rooms before it.
const ROOMS: [&str; 19] = [
    "source", "kept", "quantity", "findings", "geometry", "syntax", "meaning", "assembly", "motion",
    "layers", "stock", "checks", "making", "compile", "drawing", "output", "report", "editor", "commands",
];

/// Libraries that only one place may know, so that they can be changed in one place.
const LET_IN: [(&str, &str); 3] =
    [("pest", "src/syntax/parse.rs"), ("miette", "src/report/terminal.rs"), ("clap", "src/commands/")];

/// Findings whose smallest example is gigabytes long.
const TOO_LARGE_TO_SHOW: [&str; 1] = ["workspace-full"];

/// One source file: its path from the root of the project, and its text without comments, texts in quotes and tests.
struct Source {
    path: String,
    code: String,
}

#[test]
fn rooms_are_listed_in_their_order() {
    let lib = std::fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let listed: Vec<&str> =
        lib.lines().filter_map(|l| l.strip_prefix("pub mod ")?.strip_suffix(';')).collect();
    assert_eq!(listed, ROOMS, "src/lib.rs lists the rooms in the order in which they may use one another");
}

#[test]
fn rooms_use_only_rooms_above_them() {
    let mut faults = Vec::new();
    for source in sources() {
        let Some(here) = room_of(&source.path) else { continue };
        for room in rooms_used(&source.code) {
            match ROOMS.iter().position(|r| *r == room) {
                None => faults.push(format!("{}: crate::{room} is no room", source.path)),
                Some(there) if there > here => faults.push(format!("{} uses crate::{room}", source.path)),
                Some(_) => {}
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_layering_test_can_fail() {
    let used = rooms_used(&code_of(
        "use crate::{source::Span, report};\nlet x = crate::motion::stand(a); // crate::nothing",
    ));
    assert_eq!(used, ["motion", "report", "source"].map(String::from).into());
}

#[test]
fn libraries_are_let_in_at_one_place() {
    let sources = sources();
    for (library, place) in LET_IN {
        let users: Vec<&str> =
            sources.iter().filter(|s| mentions_crate(&s.code, library)).map(|s| s.path.as_str()).collect();
        assert!(!users.is_empty(), "nothing uses {library}: the table of this test is out of date");
        let strays: Vec<_> = users.iter().filter(|u| !u.starts_with(place)).collect();
        assert!(strays.is_empty(), "{library} belongs to {place} alone; also in {strays:?}");
    }
}

#[test]
fn no_source_ends_the_program_by_name() {
    let panics =
        [".unwrap()", ".expect(", "todo!", "unimplemented!", "unreachable!", "panic!(", "process::exit"];
    let mut faults = Vec::new();
    for source in sources() {
        for (number, line) in (1..).zip(source.code.lines()) {
            let constant = line.trim_start().trim_start_matches("pub ").starts_with("const ");
            if !constant && let Some(found) = panics.iter().find(|p| line.contains(**p)) {
                faults.push(format!("{}:{number}: {found}", source.path));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Same input, same bytes out: no hash order, no clock, and no function of the platform's mathematics library, which
/// differs in the last bit from one machine to another.
#[test]
fn nothing_varies_from_run_to_run() {
    let varying = ["HashMap", "HashSet", "SystemTime", "Instant::now", "thread_rng", "RandomState"];
    let platform = [
        ".sin()",
        ".cos()",
        ".tan()",
        ".sin_cos()",
        ".asin()",
        ".acos()",
        ".atan()",
        ".atan2(",
        ".exp()",
        ".ln()",
        ".powf(",
        ".hypot(",
        ".cbrt()",
    ];
    let mut faults = Vec::new();
    for source in sources() {
        for (number, line) in (1..).zip(source.code.lines()) {
            // A vector's own length takes no argument and is a plain square root.
            let line = line.replace(".hypot()", "");
            for found in varying.iter().chain(&platform).filter(|w| line.contains(**w)) {
                faults.push(format!("{}:{number}: {found}", source.path));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn finding_names_are_unique_and_kebab_case() {
    let mut names = BTreeSet::new();
    for entry in ENTRIES {
        let name = entry.name;
        let word = |w: &str| !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
        assert!(name.split('-').all(word), "{name} is not kebab-case");
        assert!(names.insert(name), "{name} is there twice");
        assert!(!entry.title.ends_with('.') && !entry.title.is_empty(), "{name}: title {:?}", entry.title);
        assert!(entry.explanation.len() >= 40, "{name} is not explained");
        if !TOO_LARGE_TO_SHOW.contains(&name) {
            assert!(!entry.wrong.is_empty() && !entry.right.is_empty(), "{name} has no examples");
            assert_ne!(entry.wrong, entry.right, "{name}");
        }
    }
}

#[test]
fn every_finding_has_its_file_and_every_file_is_listed() {
    let files: BTreeSet<String> = files_under(&root().join("src/findings/catalogue"))
        .iter()
        .filter_map(|p| Some(p.file_stem()?.to_str()?.to_string()))
        .filter(|stem| stem != "mod")
        .collect();
    let listed: BTreeSet<String> = ENTRIES.iter().map(|e| e.name.replace('-', "_")).collect();
    assert_eq!(files, listed);
}

#[test]
fn comments_and_texts_are_no_code() {
    let code = code_of(
        "a /* b \n c */ d // e\n\"f \\\" g\" 'h' '\\'' r#\"i \" j\"# k b\"l\" 'm: loop { n }\n#[cfg(test)]\nmod tests { o }",
    );
    let words: Vec<&str> = code.split_whitespace().collect();
    let letters: String = words.concat().chars().filter(|c| c.is_alphabetic()).collect();
    assert_eq!(letters, "adkbmloopn");
    assert_eq!(code_of("a\n// b\nc").lines().count(), 3, "lines keep their numbers");
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sources() -> Vec<Source> {
    let read = |path: PathBuf| {
        let code = code_of(&std::fs::read_to_string(&path).unwrap());
        let path = path.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/");
        Source { path, code }
    };
    files_under(&root().join("src"))
        .into_iter()
        .filter(|p| p.file_stem().unwrap() != "tests")
        .map(read)
        .collect()
}

/// Every Rust file of a folder, in order.
fn files_under(folder: &Path) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            out.extend(files_under(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
    out
}

/// Position of a file's room; `None` for `lib.rs` and `main.rs`.
fn room_of(path: &str) -> Option<usize> {
    let room = path.strip_prefix("src/")?.split_once('/')?.0;
    Some(ROOMS.iter().position(|r| *r == room).unwrap_or_else(|| panic!("{path} is in no known room")))
}

/// Rooms named after `crate::` in a text, groups in braces included.
fn rooms_used(code: &str) -> BTreeSet<String> {
    let name = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut out = BTreeSet::new();
    for (at, found) in code.match_indices("crate::") {
        if code[..at].ends_with('$') {
            continue;
        }
        let rest = &code[at + found.len()..];
        match rest.strip_prefix('{') {
            None => _ = out.insert(name(rest)),
            Some(group) => out.extend(group_heads(group).iter().map(|part| name(part.trim_start()))),
        }
    }
    out
}

/// The parts of a group in braces at its own level.
fn group_heads(group: &str) -> Vec<&str> {
    let (mut depth, mut start, mut parts) = (0, 0, Vec::new());
    for (i, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => {
                parts.push(&group[start..i]);
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&group[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    parts.into_iter().filter(|p| !p.trim().is_empty()).collect()
}

/// Whether a crate is used: its name as a path's head, or as the head of its derive crate's name.
fn mentions_crate(code: &str, name: &str) -> bool {
    code.match_indices(name).any(|(at, _)| {
        let before = code[..at].chars().next_back();
        let after = code[at + name.len()..].trim_start_matches("_derive");
        !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') && after.starts_with("::")
    })
}

/// The text with comments and the insides of literals blanked, up to its tests. Lines keep their numbers.
fn code_of(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod ").next().unwrap_or(text);
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if rest.starts_with("r\"") || rest.starts_with("r#") {
            raw_text(rest)
        } else if c == '"' {
            quoted(rest, '"')
        } else if c == '\'' && is_character(rest) {
            quoted(rest, '\'')
        } else {
            0
        };
        if skipped == 0 {
            out.push(c);
            rest = &rest[c.len_utf8()..];
        } else {
            out.push_str("  ");
            out.extend(rest[..skipped].chars().filter(|c| *c == '\n'));
            rest = &rest[skipped..];
        }
    }
    out
}

/// Bytes of a literal between two marks, with `\` before what does not end it.
fn quoted(text: &str, mark: char) -> usize {
    let mut escaped = false;
    for (i, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            c if c == mark => return i + 1,
            _ => {}
        }
    }
    text.len()
}

/// Bytes of a raw text; 0 for a raw name.
fn raw_text(text: &str) -> usize {
    let marks = text[1..].chars().take_while(|c| *c == '#').count();
    if !text[1 + marks..].starts_with('"') {
        return 0;
    }
    let end = format!("\"{}", "#".repeat(marks));
    text[2 + marks..].find(&end).map_or(text.len(), |at| 2 + marks + at + end.len())
}

/// Whether a mark begins a character and not a lifetime.
fn is_character(text: &str) -> bool {
    let mut after = text.chars().skip(1);
    matches!((after.next(), after.next()), (Some('\\'), _) | (Some(_), Some('\'')))
}
