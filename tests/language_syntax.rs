//! Reading designs: every spelling of the language, recovery from faults, hostile texts.

use plica::findings::Findings;
use plica::syntax::{parse, tree::Tree};

/// The tree of a text and its findings as `line: name: message`.
fn read(text: &str) -> (Tree, Vec<String>) {
    let mut sink = Findings::default();
    let tree = parse(text, 0, &mut sink);
    let line = |at: u32| text[..at as usize].matches('\n').count() + 1;
    let told = sink
        .list()
        .iter()
        .map(|f| format!("{}: {}: {}", line(f.place().start), f.name(), f.telling.message))
        .collect();
    (tree, told)
}

#[test]
fn a_small_design_is_read_whole() {
    let (tree, told) = read(
        "card \"Kite\"   # a first try\nenvelope C6\npaper board: 200gsm, sheet A4\npiece kite of board {\n  size 60mm by 80mm\n  \
         valley keel: 30mm from left, folded flat\n  panels port, starboard from left\n}\npose shut { kite.keel 180deg }\n\
         expect fits(shut, envelope)\n",
    );
    assert_eq!(told, Vec::<String>::new());
    assert_eq!(tree.items.len(), 6);
    assert_eq!(tree.comments[0].value, "# a first try");
}

#[test]
fn a_broken_line_leaves_the_others_standing() {
    let (tree, told) = read("card \"Kite\"\npiece kite of board { size 60mm by }\nenvelope C6\n");
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("2: unreadable-line"), "{told:?}");
    assert_eq!(tree.items.len(), 3);
}
