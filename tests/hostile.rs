//! Texts and files that nobody means well with, or that went wrong on the way: whatever is given, the program answers
//! with findings or a plain complaint, in bounded time, and touches nothing it was not asked to.

mod program;

use plica::compile::{Compiled, compile_text, try_mends};
use plica::meaning::Request;
use plica::source::{Disk, Library, Memory};
use program::{Folder, Run};
use rayon::prelude::*;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

const HEAD: &str = "card \"Kite\"\npaper board: 200gsm, 0.25mm thick\n";
/// Far more than anything here takes on a slow machine without optimisation, far less than work without a bound.
const PATIENCE: Duration = Duration::from_secs(180);

/// Runs `check --lines` on a file and stops waiting when the work has no end.
fn check(folder: &Folder, file: &str) -> Run {
    let mut child = folder
        .program()
        .args(["check", "--lines", file])
        .stdout(std::fs::File::create(folder.path("out.txt")).unwrap())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let start = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{file} is not checked after {} s", PATIENCE.as_secs());
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let mut run = Run::of(child.wait_with_output().unwrap());
    run.out = folder.read("out.txt");
    run
}

/// Checks a text as a file and returns the names of its findings in order.
fn findings(folder: &Folder, text: impl AsRef<[u8]>) -> Vec<String> {
    folder.write("design.plica", text);
    let run = check(folder, "design.plica").harmless();
    assert!(matches!(run.code, Some(0 | 1)), "{:?}: {}", run.code, run.err);
    let name = |line: &str| {
        Some(line.splitn(4, ':').nth(3)?.split_whitespace().nth(1)?.trim_end_matches(':').to_string())
    };
    let names: Vec<String> = run.out.lines().filter_map(name).collect();
    assert_eq!(run.code == Some(1), run.out.lines().any(|l| l.contains(": error ")), "{}", run.out);
    names
}

#[track_caller]
fn has(found: &[String], name: &str) {
    let kinds: std::collections::BTreeSet<&String> = found.iter().collect();
    assert!(found.iter().any(|f| f == name), "no {name} among {kinds:?}");
}

#[test]
fn texts_that_are_no_designs() {
    let folder = Folder::new("broken");
    assert_eq!(findings(&folder, ""), Vec::<String>::new());
    assert_eq!(findings(&folder, "\n\n  \t\n# only a comment"), Vec::<String>::new());
    for text in [
        "}",
        "{",
        "((((",
        "\"",
        "piece",
        "piece {",
        "piece a of b { size",
        "\u{feff}\u{feff}",
        "? ? ?",
        "=",
        "card card card",
        "\\",
        "…",
    ] {
        assert!(!findings(&folder, text).is_empty(), "{text:?} is taken for a design");
        findings(&folder, format!("{HEAD}{text}"));
        findings(&folder, format!("{text}{HEAD}"));
    }
    findings(&folder, "\0".repeat(10_000));
    findings(&folder, "\"".repeat(10_000));
    findings(&folder, "\r".repeat(10_000));
    findings(&folder, "}{".repeat(5_000));
}

#[test]
fn line_ends_and_marks_of_other_systems_are_fine() {
    let folder = Folder::new("ends");
    let design = format!("{HEAD}piece kite of board {{\n  size 60mm by 80mm\n}}\n");
    assert_eq!(findings(&folder, design.replace('\n', "\r\n")), Vec::<String>::new());
    assert_eq!(findings(&folder, format!("\u{feff}{design}")), Vec::<String>::new());
    assert_eq!(findings(&folder, design.trim_end()), Vec::<String>::new());
}

#[test]
fn what_is_no_text_is_not_read() {
    let folder = Folder::new("bytes");
    folder.write("bytes.plica", [0xff, 0xfe, 0x00, 0xd8, b'c', b'a', b'r', b'd']);
    let run = check(&folder, "bytes.plica").comes_to(2);
    assert_eq!(run.err, "plica: cannot read bytes.plica: it is not text in UTF-8\n");
    std::fs::create_dir(folder.path("folder.plica")).unwrap();
    let run = check(&folder, "folder.plica").comes_to(2);
    assert_eq!(run.err, "plica: cannot read folder.plica: it is a folder, not a design\n");
    let run = check(&folder, "folder.plica/kite.plica").comes_to(2);
    assert!(run.err.starts_with("plica: cannot read folder.plica/kite.plica: "), "{}", run.err);
    let run = check(&folder, "missing.plica").comes_to(2);
    assert_eq!(run.err, "plica: cannot read missing.plica: there is no such file\n");
    for command in ["make", "tidy", "show"] {
        let more: &[&str] = match command {
            "make" => &["--into", "kit"],
            "show" => &["-o", "x.png"],
            _ => &[],
        };
        folder.run([command, "bytes.plica"].into_iter().chain(more.iter().copied())).comes_to(2);
    }
    if cfg!(unix) {
        let run = check(&folder, "/dev/zero").comes_to(2);
        assert_eq!(run.err, "plica: cannot read /dev/zero: it is not a plain file\n");
    }
}

#[test]
fn a_huge_file_is_refused_and_a_large_one_is_read() {
    let folder = Folder::new("huge");
    let file = std::fs::File::create(folder.path("huge.plica")).unwrap();
    file.set_len(Disk::LIMIT + 1).unwrap();
    let run = check(&folder, "huge.plica").comes_to(2);
    assert!(run.err.contains("the most that is read is 16777216"), "{}", run.err);
    let comment = format!("# {}\n", "x".repeat(98));
    let found = findings(&folder, format!("{HEAD}{}let a = nowhere\n", comment.repeat(5_000)));
    assert_eq!(found, ["unknown-name"]);
    let found = findings(&folder, format!("{HEAD}# {}\nlet a = nowhere\n", "x".repeat(500_000)));
    assert_eq!(found, ["unknown-name"]);
    let long = "x".repeat(200_000);
    has(&findings(&folder, format!("{HEAD}let {long} = 1mm\nlet b = {long}y\n")), "unknown-name");
}

#[test]
fn ten_thousand_pieces() {
    let folder = Folder::new("many");
    let pieces: String =
        (0..10_000).map(|i| format!("piece p{i} of board {{ size 30mm by 20mm }}\n")).collect();
    let found = findings(&folder, format!("{HEAD}{pieces}"));
    has(&found, "loose-part");
}

#[test]
fn deep_nesting_is_told_and_not_followed() {
    let folder = Folder::new("deep");
    let deep = |open: &str, inside: &str, close: &str, times: usize| {
        format!("{HEAD}{}{inside}{}\n", open.repeat(times), close.repeat(times))
    };
    has(
        &findings(&folder, format!("{HEAD}let a = {}1mm{}\n", "(".repeat(20_000), ")".repeat(20_000))),
        "nested-too-deep",
    );
    has(
        &findings(&folder, format!("{HEAD}let a = {}1mm{}\n", "min(".repeat(5_000), ", 2mm)".repeat(5_000))),
        "nested-too-deep",
    );
    has(&findings(&folder, deep("repeat i from 1 to 2 { ", "", "}", 5_000)), "nested-too-deep");
    has(&findings(&folder, deep("piece p of board { ", "", "}", 5_000)), "nested-too-deep");
    has(&findings(&folder, format!("{HEAD}let a = {}\n", ["1mm"; 20_000].join(" + "))), "chain-too-long");
    assert!(!findings(&folder, format!("{HEAD}let a = {}1mm\n", "-".repeat(20_000))).is_empty());
    assert!(!findings(&folder, format!("{HEAD}expect {}yes\n", "not ".repeat(20_000))).is_empty());
    let path: String = ["kite"; 20_000].join(".");
    assert!(!findings(&folder, format!("{HEAD}let a = {path}\n")).is_empty());
    let chain: String = (0..2_000).map(|i| format!("let a{i} = a{}\n", i + 1)).collect();
    has(&findings(&folder, format!("{HEAD}{chain}let a2000 = 1mm\n")), "too-deep");
}

#[test]
fn what_multiplies_is_bounded() {
    let folder = Folder::new("multiply");
    has(
        &findings(&folder, format!("{HEAD}repeat i from 1 to 1000000000 {{ let a[i] = 1mm }}\n")),
        "repeat-too-long",
    );
    let nested =
        "repeat i from 1 to 500 { repeat j from 1 to 500 { repeat k from 1 to 500 { let a[i] = 1mm } } }\n";
    has(&findings(&folder, format!("{HEAD}{nested}")), "repeat-too-long");
    let inside = "piece p of board {\n size 60mm by 80mm\n repeat i from 1 to 900 { repeat j from 1 to 900 { mark m[i]: 1mm from left, 1mm from top } }\n}\n";
    has(&findings(&folder, format!("{HEAD}{inside}")), "repeat-too-long");
    // Each mechanism uses the one before it twice: 2^40 in all.
    let mut doubling = String::from("mechanism m0(a: length) { }\n");
    for i in 1..=40 {
        doubling +=
            &format!("mechanism m{i}(a: length) {{ use m{}(a) as x\nuse m{}(a) as y }}\n", i - 1, i - 1);
    }
    has(&findings(&folder, format!("{HEAD}{doubling}use m40(1mm) as all\n")), "repeat-too-long");
}

#[test]
fn absurd_sizes() {
    let folder = Folder::new("absurd");
    let numbers = [
        "0",
        "-5",
        "0.0000000001",
        "1000000000",
        "123456789012345678901234567890",
        "1/0",
        "1/3",
        "999999999999999999999999999999999999999999999",
    ];
    for a in numbers {
        for b in ["40", "0", "1000000000000"] {
            let design = format!(
                "{HEAD}piece kite of board {{\n  size {a}mm by {b}mm\n  valley keel: {a}mm from left\n  slot s: {b}mm wide, {a}mm from left, 1mm to {b}mm from top\n  hole h: {a}mm, centred\n}}\npose flat {{ kite.keel {a}deg }}\nmotion m {{ kite.keel 0deg to {b}deg }}\n"
            );
            findings(&folder, design);
        }
    }
}

/// A title, a name or a file name that would colour, clear or retitle a terminal is shown as plain text.
#[test]
fn nothing_reaches_the_terminal_that_steers_it() {
    let folder = Folder::new("escapes");
    let evil = "\u{1b}]0;owned\u{7}\u{1b}[2J\u{9b}31m\u{202e}\u{2066}\u{8}\r";
    let design = format!(
        "card \"{evil}\"\npaper board: 200gsm\nlet a = {evil}\nprint p \"{evil}\" on nowhere\ninclude \"{evil}.plica\"\n"
    );
    folder.write("design.plica", &design);
    for arguments in [
        &["check", "design.plica"][..],
        &["check", "--lines", "design.plica"],
        &["check", "--mend", "design.plica"],
        &["tidy", "design.plica"],
        &["make", "design.plica", "--into", "kit"],
    ] {
        let run = folder.run(arguments.iter().copied()).harmless();
        for hidden in ['\u{202e}', '\u{2066}'] {
            assert!(!run.out.contains(hidden) && !run.err.contains(hidden), "{arguments:?}");
        }
    }
    let json = folder.run(["check", "--json", "design.plica"]).harmless();
    serde_json::from_str::<serde_json::Value>(&json.out).unwrap();
    let name = "kite\u{1b}[31m.plica";
    folder.write(name, "let a = nowhere\n");
    folder.run(["check", name]).comes_to(1).harmless();
    folder.run(["check", "--lines", name]).comes_to(1).harmless();
    folder.run(["check", "missing\u{1b}[31m.plica"]).comes_to(2).harmless();
    folder.run(["tidy", "missing\u{1b}[31m.plica"]).comes_to(2).harmless();
    folder.run(["explain", "\u{1b}[31m"]).comes_to(2).harmless();
    folder.run(["new", "-o", "no\u{1b}[31m/such.plica"]).comes_to(2).harmless();
}

#[cfg(unix)]
#[test]
fn a_file_name_that_is_no_text() {
    use std::os::unix::ffi::OsStrExt;
    let folder = Folder::new("name");
    let name = std::ffi::OsStr::from_bytes(b"k\xffte.plica");
    if std::fs::write(folder.path(".").join(name), "let a = nowhere\n").is_err() {
        println!("skipped: this file system takes no such names");
        return;
    }
    let run = Run::of(folder.program().arg("check").arg(name).output().unwrap()).comes_to(1);
    assert!(run.out.contains("[unknown-name]"), "{}", run.out);
}

#[test]
fn includes_stay_in_the_folder() {
    let folder = Folder::new("include");
    folder.write("secret.plica", "let secret = 1mm\n");
    folder.write("designs/kite.plica", format!("{HEAD}include \"../secret.plica\"\n"));
    let run = check(&folder, "designs/kite.plica").comes_to(1);
    assert!(run.out.contains("error include-outside"), "{}", run.out);
    let absolute = folder.path("secret.plica");
    folder.write("designs/kite.plica", format!("{HEAD}include \"{}\"\n", absolute.display()));
    let run = check(&folder, "designs/kite.plica").comes_to(1);
    assert!(run.out.contains("error include-outside"), "{}", run.out);
    folder.write("designs/kite.plica", format!("{HEAD}include \"more/../../secret.plica\"\n"));
    assert!(check(&folder, "designs/kite.plica").comes_to(1).out.contains("error include-outside"));
}

#[test]
fn includes_in_a_ring() {
    let folder = Folder::new("ring");
    folder.write("a.plica", format!("{HEAD}include \"b.plica\"\n"));
    folder.write("b.plica", "include \"c.plica\"\n");
    folder.write("c.plica", "include \"a.plica\"\n");
    let run = check(&folder, "a.plica").comes_to(1);
    assert_eq!(run.out.matches("include-ring").count(), 1, "{}", run.out);
    folder.write("self.plica", format!("{HEAD}include \"self.plica\"\n"));
    assert!(check(&folder, "self.plica").comes_to(1).out.contains("include-ring"));
    std::fs::create_dir(folder.path("d.plica")).unwrap();
    folder.write("dir.plica", format!("{HEAD}include \"d.plica\"\n"));
    assert!(check(&folder, "dir.plica").comes_to(1).out.contains("file-not-read"));
}

#[cfg(unix)]
#[test]
fn links_out_of_the_folder_are_not_followed() {
    use std::os::unix::fs::symlink;
    let folder = Folder::new("links");
    folder.write("secret.plica", "let secret = 1mm\n");
    folder.write("designs/kite.plica", format!("{HEAD}include \"link.plica\"\n"));
    symlink("../secret.plica", folder.path("designs/link.plica")).unwrap();
    assert!(check(&folder, "designs/kite.plica").comes_to(1).out.contains("error include-outside"));
    symlink("..", folder.path("designs/up")).unwrap();
    folder.write("designs/kite.plica", format!("{HEAD}include \"up/secret.plica\"\n"));
    assert!(check(&folder, "designs/kite.plica").comes_to(1).out.contains("error include-outside"));
    symlink("loop.plica", folder.path("loop.plica")).unwrap();
    check(&folder, "loop.plica").comes_to(2);
    folder.run(["tidy", "loop.plica"]).comes_to(2);
    symlink("kite.plica", folder.path("designs/alias.plica")).unwrap();
    folder.write("designs/kite.plica", HEAD);
    assert_eq!(check(&folder, "designs/alias.plica").comes_to(0).out, "");
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("readonly");
    folder.run(["new", "folded", "-o", "kite.plica"]).comes_to(0);
    let untidy = format!("  {}", folder.read("kite.plica"));
    folder.write("sub/kite.plica", &untidy);
    let lock = |mode| {
        std::fs::set_permissions(folder.path("sub"), std::fs::Permissions::from_mode(mode)).unwrap();
    };
    lock(0o555);
    if std::fs::write(folder.path("sub/probe"), "").is_ok() {
        lock(0o755);
        println!("skipped: this user may write everywhere");
        return;
    }
    folder.run(["tidy", "sub/kite.plica"]).comes_to(2);
    folder.run(["new", "-o", "sub/new.plica"]).comes_to(2);
    folder.run(["make", "kite.plica", "--into", "sub/kit"]).comes_to(2);
    folder.run(["show", "kite.plica", "-o", "sub/x.png"]).comes_to(2);
    assert_eq!(folder.read("sub/kite.plica"), untidy);
    lock(0o755);
}

/// A file marked read-only is left alone, whoever asks.
#[test]
fn a_file_marked_read_only_is_left_alone() {
    let folder = Folder::new("marked");
    let path = folder.write("kite.plica", format!("   {HEAD}"));
    let mut permissions = std::fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).unwrap();
    folder.run(["tidy", "kite.plica"]).comes_to(2);
    assert_eq!(folder.read("kite.plica"), format!("   {HEAD}"));
    assert_eq!(folder.names(), ["kite.plica"]);
}

/// A small generator (xorshift64*, Vigna 2016; from memory), seeded by the number of the case.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize % limit.max(1)
    }

    fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.below(list.len())]
    }
}

/// Cases of the smoke run; the fuzz target beside the tests has no such bound.
const CASES: u64 = 300;

#[test]
fn spoilt_examples_never_end_the_compiler() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lang-examples");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|p| p.extension().is_some_and(|e| e == "plica"));
    files.sort();
    let texts: Vec<String> = files.iter().map(|p| Disk.text(p).unwrap()).collect();
    assert!(texts.len() >= 5);
    let faulty: usize = (1..=CASES)
        .into_par_iter()
        .map(|case| {
            let mut dice = Dice(case.wrapping_mul(0x9E37_79B9_7F4A_7C15));
            let text = spoil(&texts, &mut dice);
            let outcome = std::panic::catch_unwind(|| compile(&text));
            match outcome {
                Ok(compiled) => usize::from(compiled.findings.has_errors()),
                Err(_) => panic!("case {case} ends the compiler:\n{text}"),
            }
        })
        .sum();
    // The cases are worth something: most are faulty, and some are not.
    assert!(faulty > CASES as usize / 2 && faulty < CASES as usize, "{faulty} of {CASES}");
}

fn compile(text: &str) -> Compiled {
    let request = Request { path: "spoilt.plica".into(), ..Request::default() };
    let library = Memory::default();
    let mut compiled = compile_text(text, &library, &request).unwrap();
    // Trying mends compiles again several times; one case in eight is enough.
    if text.len().is_multiple_of(8) {
        try_mends(&mut compiled, &library, &request);
    }
    for finding in compiled.findings.list() {
        let place = finding.place();
        assert!(place.start <= place.end, "{} has its ends the wrong way round", finding.name());
        assert!(compiled.sources.file_at(place.start).is_some(), "{} lies in no file", finding.name());
    }
    compiled
}

/// An example with a few lines, words, numbers or characters spoilt.
fn spoil(texts: &[String], dice: &mut Dice) -> String {
    let mut text = texts[dice.below(texts.len())].clone();
    for _ in 0..1 + dice.below(4) {
        let other = &texts[dice.below(texts.len())];
        text = match dice.below(7) {
            0 => without_a_line(&text, dice),
            1 => with_a_line_of(&text, other, dice),
            2 => with_another_word(&text, other, dice),
            3 | 4 => with_another_number(&text, dice),
            5 => with_a_stray(&text, dice),
            _ => cut_short(&text, dice),
        };
    }
    text
}

fn without_a_line(text: &str, dice: &mut Dice) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let out = dice.below(lines.len());
    lines.iter().enumerate().filter(|(i, _)| *i != out).map(|(_, l)| format!("{l}\n")).collect()
}

fn with_a_line_of(text: &str, other: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let more: Vec<&str> = other.lines().collect();
    lines.insert(dice.below(lines.len() + 1), dice.pick(&more));
    lines.join("\n")
}

/// Ranges of the text whose characters pass.
fn runs(text: &str, passes: impl Fn(char) -> bool) -> Vec<std::ops::Range<usize>> {
    let mut out: Vec<std::ops::Range<usize>> = Vec::new();
    for (i, c) in text.char_indices().filter(|(_, c)| passes(*c)) {
        match out.last_mut() {
            Some(last) if last.end == i => last.end = i + c.len_utf8(),
            _ => out.push(i..i + c.len_utf8()),
        }
    }
    out
}

fn with_another_word(text: &str, other: &str, dice: &mut Dice) -> String {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let (places, words) = (runs(text, is_word), runs(other, is_word));
    let (Some(place), Some(word)) =
        (places.get(dice.below(places.len())), words.get(dice.below(words.len())))
    else {
        return text.into();
    };
    format!("{}{}{}", &text[..place.start], &other[word.clone()], &text[place.end..])
}

fn with_another_number(text: &str, dice: &mut Dice) -> String {
    const NUMBERS: [&str; 12] = [
        "0",
        "-1",
        "1/3",
        "7",
        "0.001",
        "1000000",
        "1/0",
        "?",
        "99999999999999999999",
        "45deg",
        "2in",
        "360",
    ];
    let places = runs(text, |c| c.is_ascii_digit() || c == '.');
    let Some(place) = places.get(dice.below(places.len())) else { return text.into() };
    format!("{}{}{}", &text[..place.start], dice.pick(&NUMBERS), &text[place.end..])
}

fn with_a_stray(text: &str, dice: &mut Dice) -> String {
    const STRAYS: [&str; 14] =
        ["{", "}", "(", ")", "\"", "#", ",", ":", "\n", "?", ".", "é", "\u{0}", "\u{1F426}"];
    let at = boundary(text, dice);
    format!("{}{}{}", &text[..at], dice.pick(&STRAYS), &text[at..])
}

fn cut_short(text: &str, dice: &mut Dice) -> String {
    let at = boundary(text, dice);
    // Mostly a few lines are missing, seldom nearly all.
    text[..at.max(boundary(text, dice)).max(boundary(text, dice))].to_string()
}

fn boundary(text: &str, dice: &mut Dice) -> usize {
    let mut at = dice.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
