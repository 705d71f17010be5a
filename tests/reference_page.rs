//! The language reference: every snippet compiles, and every word of the language stands in a snippet.

use plica::compile::compile_text;
use plica::findings::Severity;
use plica::meaning::Request;
use plica::source::Memory;
use plica::syntax::words::STATEMENTS;

const REFERENCE: &str = include_str!("../grammar/reference.md");

/// What the page's tables of measures, claims and functions list.
const ASKED: &[&str] = &[
    "width",
    "height",
    "depth",
    "thickness",
    "mass",
    "travel",
    "rise",
    "lean",
    "angle",
    "visible",
    "gap",
    "fits",
    "moves",
    "stands",
    "folds_flat",
    "hidden",
    "clear",
    "captive",
    "min",
    "max",
    "abs",
    "round_up",
    "round_down",
];

struct Snippet {
    /// Line of its fence.
    line: usize,
    info: &'static str,
    text: String,
}

fn snippets() -> Vec<Snippet> {
    let mut all = Vec::new();
    let mut open: Option<Snippet> = None;
    for (number, line) in REFERENCE.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (Some(_), Some(_)) => all.extend(open.take()),
            (Some(snippet), None) => snippet.text += &format!("{line}\n"),
            (None, Some(info)) => open = Some(Snippet { line: number + 1, info, text: String::new() }),
            (None, None) => {}
        }
    }
    all
}

/// A design around a snippet, as the page says where it stands.
fn whole(snippet: &Snippet, frame: &str) -> String {
    let text = &snippet.text;
    match snippet.info {
        "plica" | "plica frame" => text.clone(),
        "plica top" => format!("{frame}{text}"),
        "plica piece" => format!("card \"Frame\"\npaper board: 250gsm\npiece sample of board {{\n{text}}}\n"),
        other => panic!("line {}: a snippet says `{other}`", snippet.line),
    }
}

/// The files that snippets name.
fn library() -> Memory<'static> {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='30mm' height='20mm' viewBox='0 0 30 20'>\
               <path d='M0 20L15 0L30 20Z'/></svg>";
    Memory::default()
        .with("gull.svg", svg)
        .with("gull.png", include_bytes!("../lang-examples/pictures/gate-ajar.png"))
        .with("papers.plica", "paper tint: 160gsm, 0.20mm thick, colour \"mint\"\n")
}

#[test]
fn every_snippet_compiles() {
    let snippets = snippets();
    let frame = snippets.iter().find(|s| s.info == "plica frame").expect("the page shows its frame");
    let mut faults = String::new();
    for snippet in &snippets {
        let request = Request { path: "snippet.plica".into(), ..Request::default() };
        let text = whole(snippet, &frame.text);
        let compiled = compile_text(&text, &library(), &request).expect("in memory");
        let list = compiled.findings.list().iter();
        for finding in list.filter(|f| f.severity() == Severity::Error) {
            let (place, said) = (compiled.sources.text(finding.place()), &finding.telling.message);
            faults += &format!("line {}: {} at `{place}`: {said}\n", snippet.line, finding.name());
        }
    }
    assert!(snippets.len() >= 15, "{} snippets", snippets.len());
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn every_word_stands_in_a_snippet() {
    let snippets = snippets();
    let code = snippets.iter().flat_map(|s| s.text.lines()).map(|line| line.split('#').next().unwrap_or(""));
    let code: String = code.map(|line| format!("{line}\n")).collect();
    let begins =
        |word: &str| code.split(['\n', '{']).any(|part| part.trim_start().split(' ').next() == Some(word));
    let called = |word: &str| {
        let call = format!("{word}(");
        let before = |at: usize| code.get(..at).and_then(|c| c.chars().next_back());
        code.match_indices(&call).any(|(at, _)| before(at).is_none_or(|c| !c.is_alphanumeric() && c != '_'))
    };
    let words = STATEMENTS.iter().map(|s| s.word).filter(|w| !begins(w));
    let missing: Vec<&str> = words.chain(ASKED.iter().copied().filter(|w| !called(w))).collect();
    assert!(missing.is_empty(), "no snippet shows {missing:?}");
}
