//! Recovery: every fault of a text is found in one run and in its place; hostile texts are survived.

mod language_support;

use language_support::{read, under};
use plica::findings::Findings;
use plica::source::Span;
use plica::syntax::parse;
use plica::syntax::tree::*;
use proptest::prelude::*;

#[test]
fn independent_faults_are_all_reported_in_file_order() {
    let (tree, told) = read(
        "card \"Kite\"\n\
         paper board 200gsm\n\
         let bar = 40 mm\n\
         envelope C6\n\
         piece kite off board {\n  size 60mm by\n  valley 30mm from left folded flat\n  panels port starboard from left\n}\n\
         glue back of kite.port to front of kite.starboard: centred,\n\
         expect fits(shut, envelope\n\
         pose shut { kite.keel 180deg }\n",
    );
    assert_eq!(
        told,
        [
            "2:12 missing-colon",
            "3:11 detached-unit",
            "5:12 missing-word",
            "6:15 unreadable-line",
            "7:24 missing-comma",
            "8:14 missing-comma",
            "10:59 stray-mark",
            "11:27 unclosed-parenthesis",
        ]
    );
    assert_eq!(tree.items.len(), 8, "all but the size are understood");
}

/// Text, and where the one finding stands.
const ONE_FAULT: &[(&str, &str)] = &[
    ("size 60mm by\nvalley 3mm from left", "1:13 unreadable-line"),
    ("size 60mm by   # what\nvalley 3mm from left", "1:13 unreadable-line"),
    ("glue back of a to front of b:\n  bottom to to bottom,\n  centred\nlet a = 1", "2:13 stray-mark"),
    ("glue a to b:\n  centred,\n  above\n  3mm\nlet a = 1", "4:6 unreadable-line"),
    ("peice a of b { size 1mm by 1mm }", "1:1 unknown-statement"),
    ("Piece a of b { size 1mm by 1mm }", "1:1 unknown-statement"),
    ("score spine: 105mm from left", "1:1 unknown-statement"),
    ("let slot = 5mm", "1:5 reserved-name"),
    ("piece panel of board { size 1mm by 1mm }", "1:7 reserved-name"),
    ("let to = 5mm", "1:5 reserved-name"),
    ("let behind = 5mm", "1:5 reserved-name"),
    ("let behind = 5mm\nglue back of a to front of b: toe behind below spine, centred", "1:5 reserved-name"),
    ("glue back of a to front of b: behind left of spine\nlet behind = 5mm", "2:5 reserved-name"),
    ("panels above, below from top", "1:8 reserved-name; 1:15 reserved-name"),
    ("valley folded: 5mm from left", "1:8 reserved-name"),
    ("mechanism lift(turned: angle = 3deg) { size 1mm by 1mm }", "1:16 reserved-name"),
    ("use lift(a) as upside", "1:16 reserved-name"),
    ("repeat in from 1 to 2 { size 1mm by 1mm }", "1:8 reserved-name"),
    ("glue back of strap to front of page: centred", "1:14 reserved-name"),
    ("let rail-l = 5mm", "1:5 unfit-name"),
    ("let 2nd = 5mm", "1:5 unfit-name"),
    ("size 60mm 80mm", "1:10 missing-word"),
    ("size 60mm x 80mm", "1:11 times-for-by"),
    ("size 60mm × 80mm", "1:11 times-for-by"),
    ("size 60mm * 80mm", "1:17 unreadable-line"),
    ("envelope 5x7in", "1:10 times-for-by"),
    ("let a = 2 × 80mm", "1:11 foreign-sign"),
    ("let a = 4½in", "1:10 foreign-sign"),
    ("let a = 3 − 2", "1:11 foreign-sign"),
    ("pose p { a 45° }", "1:14 foreign-sign"),
    ("paper x：300gsm", "1:8 foreign-sign"),
    ("let a = \u{200b}5mm", "1:9 foreign-sign"),
    ("card “Kite”", "1:6 curly-quotes"),
    ("card „Kite“", "1:6 curly-quotes"),
    ("card 'Kite'", "1:6 curly-quotes"),
    ("card \"Kite", "1:11 unclosed-text"),
    ("print wish \"Fair winds on dusk: centred\nlet a = 1", "1:40 unclosed-text"),
    ("size 12\" by 5in", "1:6 inch-mark"),
    ("size 12″ by 5in", "1:6 inch-mark"),
    ("size 12 mm by 5in", "1:6 detached-unit"),
    ("let a = 2,5mm", "1:9 decimal-comma"),
    ("// a note\nlet a = 1", "1:1 comment-mark"),
    ("let a = 1 /* a note */\nlet b = 1", "1:11 comment-mark"),
    ("let a = 1;", "1:10 stray-mark"),
    ("let a = (1 + 2\nlet b = 3", "1:15 unclosed-parenthesis"),
    ("let a = 1)", "1:10 stray-mark"),
    ("let a 5mm", "1:6 missing-equals"),
    ("let a: 5mm", "1:6 missing-equals"),
    ("valley spine 105mm from left", "1:13 missing-colon"),
    ("paper board; 200gsm", "1:12 missing-colon"),
    ("panels a b from left", "1:9 missing-comma"),
    ("strap s of c around a between b and c: 6mm wide", "1:33 missing-comma"),
    ("slot r on t: 2mm wyde, 10mm from left", "1:18 misspelt-word"),
    ("slot r on t: center 20mm from top", "1:14 misspelt-word"),
    ("slot r on t: from left 10mm", "1:14 reversed-reading"),
    ("slot r on t: 30mm left, 2mm wide", "1:18 missing-word"),
    ("piece a of b {\n  size 1mm by 1mm\n\npiece c of b { size 1mm by 1mm }", "2:18 unclosed-block"),
    ("pose shut { a at top\nmotion m { a top to bottom }", "1:21 unclosed-block"),
    ("piece a of b { size 1mm by 1mm }\n}\nlet a = 1", "2:1 stray-brace"),
    ("piece a of b\n  size 1mm by 1mm\n}\nlet a = 1", "1:13 missing-brace"),
    ("motion m { a top bottom }", "1:17 missing-word"),
    ("motion m { a top to }", "1:20 unreadable-line"),
    ("pose p { a at top, b at top }", "1:18 stray-mark"),
    ("strap a of b around c: 6mm wide, overlap 12mm", "1:34 reversed-measure"),
    ("mat a of b on front of c: border lip * 2 + 1mm", "1:27 reversed-measure"),
    ("slot a on b: wide 2mm, 10mm from left, 12mm to 80mm from top", "1:14 reversed-measure"),
    ("{ size 1mm by 1mm }", "1:1 unreadable-line"),
    ("@", "1:1 unreadable-line"),
    ("let a = - - 3", "1:11 stray-mark"),
];

#[test]
fn every_single_fault_is_named_once_and_in_its_place() {
    for (text, wanted) in ONE_FAULT {
        assert_eq!(read(text).1.join("; "), *wanted, "{text}");
    }
}

#[test]
fn words_that_name_things_may_be_names() {
    for text in [
        "let left = 5mm",
        "let wide = 5mm",
        "piece front of grain { size 1mm by 1mm }",
        "panels back, line, end from left",
        "valley 5mm from left",
        "pose before { a 0deg }",
        "pose folded { a 0deg }",
        "motion turned { a 0deg to 3deg }",
        "mechanism lift(down: length, across: length = 3mm) { size 1mm by 1mm }",
        "step \"Turn it over.\" before glue heron",
        "brad axle through a.b, c.d: a behind, turned 3deg",
        "valley in_2: folded flat, 5mm from left",
    ] {
        let (tree, told) = read(text);
        assert_eq!((tree.items.len(), told), (1, vec![]), "{text}");
    }
}

#[test]
fn a_repaired_statement_is_understood() {
    for text in [
        "peice a of b { size 1mm by 1mm }",
        "size 12\" by 5in",
        "card “Kite”",
        "valley spine 105mm from left",
    ] {
        let (tree, told) = read(text);
        assert_eq!((tree.items.len(), told.len()), (1, 1), "{text}");
    }
    let text = "size 12\" by 5in";
    let (tree, _) = read(text);
    let ItemKind::Size { width, .. } = &tree.items[0].kind else { panic!() };
    assert_eq!(under(text, width.span), "12\"", "spans are those of the written text");
}

#[test]
fn names_of_broken_statements_are_remembered() {
    for (text, names) in [
        ("piece shell from 3mm { size 1mm by 1mm  slot rail: 2mm wide }", &["rail", "shell"][..]),
        ("let slot = 5mm", &["slot"]),
        ("let rail-l = 5mm", &["l", "rail"]),
        ("panels a, b, c", &["a", "b", "c"]),
        ("valley a, b: 5mm above", &["a", "b"]),
        ("size 60mm by", &["size"]),
        ("use lift(page,, 3) as shelf +", &["shelf"]),
        ("slot rail on track: 2mm wide, 10mm +", &["rail"]),
    ] {
        let (tree, told) = read(text);
        assert!(!told.is_empty(), "{text}");
        assert_eq!(tree.broken_names, names, "{text}");
    }
}

#[test]
fn sound_statements_on_the_line_of_a_broken_one_are_kept() {
    let (tree, told) = read("piece a of b { size 60mm by  valley 10mm from left  panels p, q from left }");
    assert_eq!(told, ["1:28 unreadable-line"]);
    let ItemKind::Piece { items, .. } = &tree.items[0].kind else { panic!() };
    assert_eq!(items.len(), 2);
    assert_eq!(tree.broken.len(), 1);
}

#[test]
fn nesting_has_a_limit() {
    let deep = |open: &str, close: &str, n: usize| format!("{}1{}", open.repeat(n), close.repeat(n));
    assert!(read(&format!("let a = {}", deep("(", ")", 64))).1.is_empty());
    for text in [
        format!("let a = {}\nlet b = 2", deep("(", ")", 65)),
        format!("let a = {}\nlet b = 2", deep("(", ")", 10_000)),
        format!("let a = {}\nlet b = 2", "(".repeat(10_000)),
        format!("let a = x{}\nlet b = 2", "[x".repeat(10_000)),
        format!("let a = {}\nlet b = 2", deep("f(", ")", 10_000)),
        // Statement words that may stand as values, first of their lines.
        format!("let a = {}\nlet b = 2", deep("f(\ncard, ", ")", 10_000)),
        format!("let a = {}\nlet b = 2", deep("f(\nenvelope # C6\n, ", ")", 10_000)),
        format!("let a = {}\nlet b = 2", deep("f(\npost, ", ")", 10_000)),
        format!("let a = {}\nlet b = 2", deep("f(\ncard.x + ", ")", 10_000)),
        format!("let a = {}\nlet b = 2", deep("(\ncard.x[\n", "])", 10_000)),
    ] {
        let (tree, told) = read(&text);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].ends_with("nested-too-deep"), "{told:?}");
        assert_eq!(tree.items.len(), 1, "the next statement is read");
    }
    for text in [
        "{".repeat(10_000),
        "piece a of b {".repeat(10_000),
        "repeat i from 1 to 2 {".repeat(10_000) + &"}".repeat(10_000),
    ] {
        let told = read(&text).1;
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].ends_with("nested-too-deep"), "{told:?}");
    }
    // What was never opened is told line by line and closes no block.
    for text in ["piece a of b {\n)\n", "piece a of b { ]\n"] {
        let told = read(&(text.repeat(10_000) + &"}".repeat(10_000))).1;
        assert_eq!(told.iter().filter(|t| t.ends_with("nested-too-deep")).count(), 1, "{told:?}");
    }
}

#[test]
fn long_chains_have_a_limit() {
    let sum = |n: usize| format!("let a = 1{}\nlet b = 2", " + 1".repeat(n));
    assert!(read(&sum(200)).1.is_empty());
    let (tree, told) = read(&sum(20_000));
    assert_eq!(told, ["1:9 chain-too-long"]);
    assert_eq!(tree.items.len(), 1);
    for text in
        ["let a = ".to_string() + &"-".repeat(10_000), "let a = ".to_string() + &"not ".repeat(10_000)]
    {
        assert_eq!(read(&text).1.len(), 1);
    }
}

/// Every span lies in the text and between characters, findings come in order, and nothing panics.
fn survives(text: &str) {
    let mut sink = Findings::default();
    let tree = parse(text, 0, &mut sink);
    let inside = |span: Span| {
        assert!(text.get(span.start as usize..span.end as usize).is_some(), "{span:?} in {text:?}")
    };
    for finding in sink.list() {
        inside(finding.place());
        finding.telling.others.iter().for_each(|l| inside(l.span));
        finding.telling.proposals.iter().flat_map(|m| &m.edits).for_each(|e| inside(e.span));
    }
    assert!(sink.list().windows(2).all(|w| w[0].place() <= w[1].place()), "{text:?}");
    tree.items.iter().for_each(|i| inside(i.span));
    tree.comments.iter().for_each(|c| inside(c.span));
    tree.broken.iter().for_each(|s| inside(*s));
}

#[test]
fn hostile_texts_are_survived() {
    for text in [
        "",
        "\n\n",
        "\u{feff}",
        "\0",
        "\"",
        "#",
        "# only a comment",
        "}",
        "{",
        "(",
        ")",
        "[",
        "card",
        "let",
        "½",
        "12",
        "12½\"",
        "“",
        "''",
        "\u{202e}card\u{202c}",
        "piece a of b { { } }",
        "\r\r\n\u{2028}\u{85}",
        "let e\u{301} = 1",
        "let Ωmega = 1",
        "0.",
        "1/",
        "1 1/",
        "9x9",
        "a.",
        "a[",
        "a]",
        "a.b.",
        "f(",
        "f(,)",
        "pose",
        "pose p",
        "pose p {",
        "motion m {",
        "motion m { then }",
        "use",
        "hint",
        "hint \"x\"",
        "/*",
        "//",
    ] {
        survives(text);
        survives(&text.repeat(50));
        survives(&format!("let a = {text}\nlet b = 2\n"));
        survives(&format!("piece a of b {{ {text} }}"));
    }
}

/// A design with most statements, to be damaged.
const SOUND: &str = "card \"Kite\"  # a first try\nenvelope us A2\npaper board: 80lb cover, 0.010in thick, sheet letter\n\
    let span = (40mm + 4 1/2in) / 2\npiece kite of board {\n  size 222mm by 120mm\n  valley 105mm, 211mm from left, folded flat\n\
    \x20 panels track, face, flap from left\n  slot rail on track: 2mm wide, (track.width - span) / 2 from left, 12mm to 80mm from top\n}\n\
    strap runner of board around kite.track between rail, rail: 6mm wide\npose shut { kite.keel 180deg  runner at top }\n\
    motion pull { runner bottom to top then kite.keel 0deg to 90deg }\nexpect fits(shut, envelope)\n\
    glue back of kite to front of runner: grip.top 8mm above heron.top, centred\n";

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_survived(text in "\\PC{0,80}") {
        survives(&text);
    }

    #[test]
    fn any_words_are_survived(words in proptest::collection::vec(prop_oneof![
        Just("piece"), Just("of"), Just("a"), Just("{"), Just("}"), Just("("), Just(")"), Just(","), Just(":"), Just("="), Just("12mm"),
        Just("\n"), Just("valley"), Just("\"t\""), Just("from"), Just("-"), Just("pose"), Just("motion"), Just("to"), Just("4 1/2in"), Just("“"), Just("#c\n"),
    ], 0..60)) {
        survives(&words.join(" "));
    }

    #[test]
    fn any_damage_is_survived(at in 0..SOUND.len(), length in 0usize..20, put in prop_oneof![
        Just(""), Just("{"), Just("}"), Just("("), Just("\""), Just(","), Just("piece"), Just("\n"), Just("½"), Just("x"),
    ]) {
        let end = (at + length).min(SOUND.len());
        survives(&format!("{}{put}{}", &SOUND[..at], &SOUND[end..]));
    }
}

#[test]
fn a_missing_word_anywhere_gives_one_finding_or_none() {
    assert!(read(SOUND).1.is_empty());
    let words: Vec<(usize, usize)> = SOUND
        .match_indices(|c: char| c.is_alphanumeric())
        .filter(|(i, _)| {
            *i == 0 || !SOUND[..*i].ends_with(|c: char| c.is_alphanumeric() || "_./#\"".contains(c))
        })
        .map(|(i, _)| {
            (i, i + SOUND[i..].find(|c: char| !c.is_alphanumeric() && !"_./".contains(c)).unwrap_or(1))
        })
        .collect();
    let mut most = Vec::new();
    for (start, end) in words {
        let text = format!("{}{}", &SOUND[..start], &SOUND[end..]);
        let told = read(&text).1;
        if told.len() > 1 {
            most.push(format!("without `{}`: {told:?}", &SOUND[start..end]));
        }
    }
    assert!(most.is_empty(), "{most:#?}");
}
