//! Tidying: one true layout that changes nothing but the layout.

use plica::findings::Findings;
use plica::findings::catalogue::ENTRIES;
use plica::syntax::{parse, tidy};
use proptest::prelude::*;
use std::path::Path;

/// Everything that is written, without the white space between words, and the comments by themselves.
fn squeezed(text: &str) -> (String, Vec<String>) {
    let (mut words, mut comments) = (String::new(), Vec::new());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = match c {
            '#' => rest.find(['\n', '\r']).unwrap_or(rest.len()),
            '"' => rest[1..].find('"').map_or(rest.len(), |i| i + 2),
            c => c.len_utf8(),
        };
        let (piece, behind) = rest.split_at(length);
        match c {
            '#' => comments.push(piece.trim_end().to_string()),
            c if c.is_whitespace() => {}
            _ => words.push_str(piece),
        }
        rest = behind;
    }
    (words, comments)
}

/// The tree of a text without its places.
fn meaning(text: &str) -> String {
    let mut sink = Findings::default();
    let tree = parse(text, 0, &mut sink);
    assert!(sink.list().is_empty(), "{text}");
    let mut told = String::new();
    let debug = format!("{:?}", tree.items);
    let mut rest = debug.as_str();
    while let Some(at) = rest.find("Span {") {
        told.push_str(&rest[..at]);
        rest = rest[at..].split_once('}').map_or("", |(_, behind)| behind);
    }
    told + rest
}

fn keeps_its_promises(text: &str) {
    let once = tidy(text).unwrap_or_else(|f| panic!("{text}\n{:?}", f.list()));
    let twice = tidy(&once).unwrap_or_else(|f| panic!("{once}\n{:?}", f.list()));
    assert_eq!(twice, once, "tidying twice, of:\n{text}");
    assert_eq!(squeezed(&once), squeezed(text), "the words and comments of:\n{text}");
    assert_eq!(meaning(&once), meaning(text), "the meaning of:\n{text}");
    assert!(!once.contains("\n\n\n"), "{once}");
    assert!(once.lines().all(|l| l.trim_end() == l), "no spaces at line ends:\n{once}");
    assert!(once.is_empty() || once.ends_with('\n') && !once.ends_with("\n\n"), "{once}");
}

fn designs(folder: &Path, list: &mut Vec<String>) {
    let mut entries: Vec<_> =
        std::fs::read_dir(folder).into_iter().flatten().flatten().map(|e| e.path()).collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
        if path.is_dir() && name != "target" && !name.starts_with('.') {
            designs(&path, list);
        } else if name.ends_with(".plica") {
            list.extend(std::fs::read_to_string(&path));
        }
    }
}

fn sound(text: &str) -> bool {
    let mut sink = Findings::default();
    parse(text, 0, &mut sink);
    sink.list().is_empty()
}

/// Every design of the repository and of the catalogue that can be read.
fn all_designs() -> Vec<String> {
    let mut list = Vec::new();
    designs(Path::new(env!("CARGO_MANIFEST_DIR")), &mut list);
    list.extend(ENTRIES.iter().flat_map(|e| [e.wrong.to_string(), e.right.to_string()]));
    list.push(SAMPLE.to_string());
    list.retain(|t| sound(t));
    list
}

const SAMPLE: &str = r#"# top


card   "Kite"   # a first try

envelope us   10
envelope C6/C5
let a=-( 3 )*b[ i+1 ].c/2/3   # c
let d = 1/2 / 3 - -4   1/2in
piece   kite of board{# sail

  size   60mm   by 80mm   valley 10mm from left


  # last
}
pose shut{kite.keel 180deg axle -30deg}
pose open {
 kite.keel 180deg axle at - 30deg   # x
}
motion m { a b to c and d 1 to 2 then e f to g }
motion m {
 a b to c and d 1 to 2 then e f to g }
variant v { side=150mm envelope 155mm by 155mm }
piece k of b { size 1mm by 1mm } hint "x"
piece k of b { size 1mm by 1mm valley 2mm from left }
glue back of a to   # why
   front of b:
   # inner
   centred  ,   # because
   at right
expect  fits ( shut , envelope )
shape polygon(0mm,0mm)(  1mm,2mm)   (3mm , -4mm)
repeat i from 1 to 4 { piece p[i] of b { size 1mm by 1mm } }
piece z of b {}
piece y of b {

}
use lift ( page , rise : 4   1/2in ) as x
mechanism lift(base:panel,rise:length=30mm){ size 1mm by 1mm}   # end
paper p: 80lb   cover, sheet B6/C4
pose a_pose_with_a_long_name { page.spine 90deg page.other_spine 90deg page.third_spine 90deg page.fourth 0deg }
"#;

const TIDY: &str = r#"# top

card "Kite"  # a first try

envelope us 10
envelope C6/C5
let a = -(3) * b[i + 1].c / 2 / 3  # c
let d = 1/2 / 3 - -4 1/2in
piece kite of board {  # sail
  size 60mm by 80mm
  valley 10mm from left

  # last
}
pose shut { kite.keel 180deg  axle -30deg }
pose open {
  kite.keel 180deg
  axle at -30deg  # x
}
motion m { a b to c and d 1 to 2 then e f to g }
motion m {
  a b to c and d 1 to 2
  then e f to g
}
variant v { side = 150mm  envelope 155mm by 155mm }
piece k of b { size 1mm by 1mm } hint "x"
piece k of b {
  size 1mm by 1mm
  valley 2mm from left
}
glue back of a to  # why
    front of b:
    # inner
    centred,  # because
    at right
expect fits(shut, envelope)
shape polygon (0mm, 0mm) (1mm, 2mm) (3mm, -4mm)
repeat i from 1 to 4 { piece p[i] of b { size 1mm by 1mm } }
piece z of b {}
piece y of b {}
use lift(page, rise: 4 1/2in) as x
mechanism lift(base: panel, rise: length = 30mm) { size 1mm by 1mm }  # end
paper p: 80lb cover, sheet B6/C4
pose a_pose_with_a_long_name {
  page.spine 90deg
  page.other_spine 90deg
  page.third_spine 90deg
  page.fourth 0deg
}
"#;

#[test]
fn there_is_one_layout() {
    assert_eq!(tidy(SAMPLE).unwrap(), TIDY);
    assert_eq!(tidy(&TIDY.replace('\n', "\r\n")).unwrap(), TIDY, "line ends of another system");
    assert_eq!(tidy("").unwrap(), "");
    assert_eq!(tidy("\n\n# alone").unwrap(), "# alone\n");
}

/// Each text and what tidying makes of it; lines have at most a hundred columns.
const LONG: &[(&str, &str)] = &[
    // Too long for a line: every part on its own.
    (
        "piece sail of thin { shape path (0mm, 0mm) line to (104mm, 0mm) line to (104mm, 190mm) \
         curve (85mm, 215mm) (70mm, 190mm) to (45mm, 205mm) arc through (30mm, 214mm) to (0mm, 196mm) \
         line to (0mm, 0mm) hint \"x\" }\n",
        "piece sail of thin {\n  shape path (0mm, 0mm)\n      line to (104mm, 0mm)\n      line to (104mm, 190mm)\n      \
         curve (85mm, 215mm) (70mm, 190mm) to (45mm, 205mm)\n      arc through (30mm, 214mm) to (0mm, 196mm)\n      \
         line to (0mm, 0mm) hint \"x\"\n}\n",
    ),
    // Written on several lines: it stays so, whatever its length.
    (
        "shape path (0mm, 0mm)\n  line to (9mm, 0mm) line to (9mm,\n 9mm)\nmirrored about 9mm from left\n",
        "shape path (0mm, 0mm)\n    line to (9mm, 0mm)\n    line to (9mm, 9mm)\n    mirrored about 9mm from left\n",
    ),
    // Written on one line that holds it.
    ("shape path (0mm, 0mm) line to  (9mm, 0mm)\n", "shape path (0mm, 0mm) line to (9mm, 0mm)\n"),
    // A comment on the way.
    (
        "shape path (0mm, 0mm) line to (9mm, 0mm) # out\n line to (9mm, 9mm) line to (0mm, 0mm)\n",
        "shape path (0mm, 0mm)\n    line to (9mm, 0mm)  # out\n    line to (9mm, 9mm)\n    line to (0mm, 0mm)\n",
    ),
    // The points of a polygon fill their lines.
    (
        "shape polygon (0mm, 0mm) (70mm, 0mm) (70mm, 9mm) (176mm, 9mm) (176mm, 31mm) (70mm, 31mm) (70mm, 40mm) (0mm, 40mm)\n",
        "shape polygon (0mm, 0mm) (70mm, 0mm) (70mm, 9mm) (176mm, 9mm) (176mm, 31mm) (70mm, 31mm)\n    \
         (70mm, 40mm) (0mm, 40mm)\n",
    ),
    // Other statements: one fact a line, unless the author broke it and it does not fit in one.
    (
        "glue back of peak.shade_foot to front of page.sky: shade.bottom along (60mm, 105mm) through (90mm, 65mm), \
         ridge end first\n",
        "glue back of peak.shade_foot to front of page.sky: shade.bottom along (60mm, 105mm) through (90mm, 65mm), \
         ridge end first\n",
    ),
    (
        "glue back of peak.shade_foot to front of page.sky:\n shade.bottom along (60mm, 105mm) through (90mm, 65mm), \
         ridge end first\n",
        "glue back of peak.shade_foot to front of page.sky: shade.bottom along (60mm, 105mm) through (90mm, 65mm),\n    \
         ridge end first\n",
    ),
    (
        "glue back of a to front of b:\n centred,\n  at right\n",
        "glue back of a to front of b: centred, at right\n",
    ),
];

#[test]
fn outlines_keep_within_the_width() {
    for (text, expected) in LONG {
        assert_eq!(tidy(text).unwrap(), *expected);
        keeps_its_promises(text);
    }
    let wide = |t: &str| t.lines().any(|l| l.chars().count() > plica::syntax::LINE);
    for design in all_designs() {
        let once = tidy(&design).unwrap();
        let shapes = once.split("shape ").skip(1).filter_map(|rest| rest.split('\n').next());
        shapes.for_each(|s| assert!(!wide(&format!("  shape {s}")), "{s}"));
    }
}

#[test]
fn a_text_that_cannot_be_read_is_refused() {
    let findings = tidy("card \"Kite\"\nsize 60mm by\n").unwrap_err();
    assert_eq!(findings.list().len(), 1);
    assert_eq!(findings.list()[0].name(), "unreadable-line");
}

#[test]
fn every_design_of_the_repository_keeps_its_words_and_its_meaning() {
    let designs = all_designs();
    assert!(designs.len() > ENTRIES.len(), "only {} designs were found", designs.len());
    designs.iter().for_each(|d| keeps_its_promises(d));
}

/// The same design in another layout: other white space, and comments at its line ends.
fn respaced(text: &str, choices: &[u8]) -> String {
    let mut choices = choices.iter().cycle();
    let mut spaced = String::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = match c {
            '#' => rest.find('\n').unwrap_or(rest.len()),
            '"' => rest[1..].find('"').map_or(rest.len(), |i| i + 2),
            c if c.is_whitespace() => rest.find(|c: char| !c.is_whitespace()).unwrap_or(rest.len()),
            c => c.len_utf8(),
        };
        let (piece, behind) = rest.split_at(length);
        let (digit, fraction) = (
            spaced.ends_with(|c: char| c.is_ascii_digit()),
            behind.starts_with(|c: char| c.is_ascii_digit()),
        );
        if !c.is_whitespace() || digit && fraction {
            // A mixed number keeps its space.
            spaced.push_str(piece);
        } else if piece.contains('\n') {
            spaced.push_str(
                ["\n", "\n\n\n", "\n  \n", "  # note\n", "\r\n", "\n\t# note\n  "]
                    [usize::from(choices.next().unwrap() % 6)],
            );
        } else {
            spaced.push_str(
                [" ", "   ", "\t", "\n", "\n    ", " # why\n"][usize::from(choices.next().unwrap() % 6)],
            );
        }
        rest = behind;
    }
    spaced
}

/// A statement made of parts that may stand in any order and number.
fn statement() -> impl Strategy<Value = String> {
    let value = || {
        let leaf = prop_oneof![
            Just("12mm"),
            Just("4 1/2in"),
            Just("rise"),
            Just("a.b[i - 1].c"),
            Just("f(2, x)"),
            Just("(1/2)"),
            Just("?")
        ];
        (
            leaf.clone(),
            prop_oneof![Just(" + "), Just("-"), Just(" * "), Just(" / "), Just("/")],
            leaf,
            any::<bool>(),
        )
            .prop_map(|(a, sign, b, both)| if both { format!("{a}{sign}({b})") } else { a.to_string() })
    };
    let clause = prop_oneof![
        value().prop_map(|v| format!("{v} from left")),
        value().prop_map(|v| format!("{v} wide")),
        Just("centred  down".to_string()),
        Just("along edges   3mm".to_string()),
        Just("from(1mm,2mm)to (3mm , 4mm)".to_string()),
    ];
    let clauses = || proptest::collection::vec(clause.clone(), 1..4).prop_map(|c| c.join(","));
    let plain = prop_oneof![
        value().prop_map(|v| format!("let a={v}")),
        (value(), value()).prop_map(|(a, b)| format!("size {a} by {b}")),
        clauses().prop_map(|c| format!("glue back of a to b:{c}")),
        clauses().prop_map(|c| format!("valley a ,b: {c} hint \"x  y\"")),
        value().prop_map(|v| format!("expect not {v} <= 3")),
        Just("envelope   us 6 3/4".to_string()),
        proptest::collection::vec(
            prop_oneof![
                Just("line to (100mm , 20mm)"),
                Just("arc through (1mm, 2mm) to (3mm, 4mm)"),
                Just("curve (1mm, 2mm) (3mm, 4mm) to (-5mm, 6mm)")
            ],
            1..6
        )
        .prop_map(|s| format!("shape path (0mm, 0mm) {} mirrored about 9mm from left", s.join(" "))),
        (1usize..20).prop_map(|n| format!("shape polygon {}", "(100mm, 200mm) ".repeat(n))),
        Just("pose p{a 3 b -4mm c at top}".to_string()),
        Just("motion m {a 1 to 2 and b 1 to 2 then c 1 to 2}".to_string()),
    ];
    plain.prop_recursive(3, 12, 4, |inner| {
        (
            prop_oneof![Just("piece a of b"), Just("variant v"), Just("repeat i from 1 to 3")],
            proptest::collection::vec(inner, 0..4),
            any::<bool>(),
        )
            .prop_map(|(head, items, lines)| {
                format!("{head} {{{}}}", items.join(if lines { "\n" } else { " " }))
            })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_layout_of_a_design_is_tidied(choices in proptest::collection::vec(any::<u8>(), 40)) {
        keeps_its_promises(&respaced(TIDY, &choices));
    }

    #[test]
    fn any_made_up_design_is_tidied(items in proptest::collection::vec(statement(), 1..6), choices in proptest::collection::vec(any::<u8>(), 20)) {
        let text = items.join("\n");
        keeps_its_promises(&text);
        keeps_its_promises(&respaced(&text, &choices));
    }
}
