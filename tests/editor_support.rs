//! The grammar files for editors: the same words as the compiler, and colours where they belong.

use plica::findings::Findings;
use plica::source::Span;
use plica::syntax::parse;
use plica::syntax::tree::{Item, ItemKind};
use plica::syntax::words::{CONNECTING, EDGES, ORDINARY, STATEMENTS, UNITS};
use regex::Regex;
use serde_json::Value;
use std::path::Path;

const TEXTMATE: &str = include_str!("../editor-support/textmate/plica.tmLanguage.json");
const VIM: &str = include_str!("../editor-support/vim/syntax/plica.vim");
const EMACS: &str = include_str!("../editor-support/emacs/plica-mode.el");

fn sorted<'a>(words: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let mut words: Vec<&str> = words.into_iter().collect();
    words.sort_unstable();
    words
}

/// Every list of words with the name it has in each of the three files.
fn lists() -> [(Vec<&'static str>, &'static str, &'static str, &'static str); 3] {
    let mut ordinary = sorted(ORDINARY.iter().chain(EDGES).copied());
    ordinary.dedup();
    [
        (sorted(STATEMENTS.iter().map(|s| s.word)), "statement", "plicaStatement", "plica-statement-words"),
        (sorted(CONNECTING.iter().copied()), "connecting", "plicaConnecting", "plica-connecting-words"),
        (ordinary, "ordinary", "plicaWord", "plica-ordinary-words"),
    ]
}

#[test]
fn the_vim_file_has_the_words_of_the_compiler() {
    for (words, _, group, _) in lists() {
        let prefix = format!("syn keyword {group} ");
        let found = VIM.lines().filter_map(|l| l.strip_prefix(&prefix)).flat_map(str::split_whitespace);
        assert_eq!(sorted(found), words, "{group}");
    }
    assert!(VIM.contains(&format!(r"\%({}\)", UNITS.join(r"\|"))));
}

#[test]
fn the_emacs_file_has_the_words_of_the_compiler() {
    let list = |name: &str| {
        let start = EMACS.find(&format!("(defconst {name}")).expect(name);
        let body = &EMACS[start..start + EMACS[start..].find(')').unwrap()];
        sorted(body.split('"').skip(1).step_by(2))
    };
    for (words, _, _, name) in lists() {
        assert_eq!(list(name), words, "{name}");
    }
    assert_eq!(list("plica-units"), sorted(UNITS.iter().copied()));
}

#[test]
fn the_textmate_file_has_the_words_of_the_compiler() {
    let grammar: Value = serde_json::from_str(TEXTMATE).expect("JSON");
    for (words, rule, _, _) in lists() {
        let pattern = grammar["repository"][rule]["match"].as_str().expect(rule);
        let body = pattern.strip_prefix(r"\b(?:").and_then(|p| p.strip_suffix(r")\b")).expect(pattern);
        assert_eq!(sorted(body.split('|')), words, "{rule}");
    }
    let measure = grammar["repository"]["measure"]["match"].as_str().unwrap();
    assert!(measure.contains(&format!("({})", UNITS.join("|"))));
}

/// A rule of the TextMate grammar.
struct Pattern {
    regex: Regex,
    name: Option<String>,
    captures: Vec<(usize, String)>,
}

/// The rules in their order; the patterns use only what regular expressions of all editors share.
fn patterns() -> Vec<Pattern> {
    let grammar: Value = serde_json::from_str(TEXTMATE).expect("JSON");
    let include =
        |p: &Value| p["include"].as_str().and_then(|i| i.strip_prefix('#')).expect("an include").to_string();
    let names: Vec<String> = grammar["patterns"].as_array().expect("patterns").iter().map(include).collect();
    assert_eq!(names.len(), grammar["repository"].as_object().unwrap().len(), "every rule is used");
    let pattern = |name: &String| {
        let rule = &grammar["repository"][name];
        let captures = rule["captures"].as_object().into_iter().flatten();
        Pattern {
            regex: Regex::new(rule["match"].as_str().expect(name)).expect(name),
            name: rule["name"].as_str().map(String::from),
            captures: captures
                .map(|(n, c)| (n.parse().unwrap(), c["name"].as_str().unwrap().into()))
                .collect(),
        }
    };
    names.iter().map(pattern).collect()
}

/// Scopes of a text as an editor finds them: line by line, the leftmost match of all rules, the first rule first.
fn scopes(text: &str) -> Vec<(std::ops::Range<usize>, String)> {
    let patterns = patterns();
    let mut scopes = Vec::new();
    let mut line_start = 0;
    for line in text.split_inclusive('\n') {
        let body = line.trim_end_matches('\n');
        let mut at = 0;
        while let Some((pattern, found)) = patterns
            .iter()
            .filter_map(|p| Some((p, p.regex.captures_at(body, at)?)))
            .min_by_key(|(_, c)| c.get(0).unwrap().start())
        {
            let whole = found.get(0).unwrap();
            assert!(!whole.is_empty(), "a rule that matches nothing: {}", pattern.regex);
            let global = |m: regex::Match<'_>| line_start + m.start()..line_start + m.end();
            if let Some(name) = &pattern.name {
                scopes.push((global(whole), name.clone()));
            }
            for (index, name) in &pattern.captures {
                scopes.extend(found.get(*index).map(|m| (global(m), name.clone())));
            }
            at = whole.end();
        }
        line_start += line.len();
    }
    scopes
}

fn designs() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lang-examples");
    let mut list: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the examples")
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|e| e == "plica"))
        .map(|p| (p.display().to_string(), std::fs::read_to_string(&p).unwrap()))
        .collect();
    list.sort();
    assert!(!list.is_empty());
    list
}

fn all_items<'t>(items: &'t [Item], list: &mut Vec<&'t Item>) {
    for item in items {
        list.push(item);
        match &item.kind {
            ItemKind::Piece { items, .. }
            | ItemKind::Variant { items, .. }
            | ItemKind::Mechanism { items, .. }
            | ItemKind::Repeat { items, .. } => all_items(items, list),
            _ => {}
        }
    }
}

#[test]
fn the_textmate_grammar_colours_the_examples_as_the_compiler_reads_them() {
    for (name, text) in designs() {
        let scopes = scopes(&text);
        let scope = |span: Span| {
            let range = span.start as usize..span.end as usize;
            scopes.iter().rfind(|(r, _)| *r == range).map_or("nothing", |(_, s)| s.as_str())
        };
        let mut sink = Findings::default();
        let tree = parse(&text, 0, &mut sink);
        assert!(sink.list().is_empty(), "{name}");
        let mut items = Vec::new();
        all_items(&tree.items, &mut items);
        for item in items.iter().filter(|i| !matches!(i.kind, ItemKind::Assign { .. })) {
            assert_eq!(scope(item.word), "keyword.control.plica", "{name}: {:?}", item.word);
        }
        for item in &items {
            match &item.kind {
                ItemKind::Piece { name: piece, .. } | ItemKind::Let { name: piece, .. }
                    if piece.index.is_none() =>
                {
                    assert_eq!(scope(piece.span), "entity.name.type.plica", "{name}: {}", piece.text);
                }
                ItemKind::Card(title) => {
                    assert_eq!(scope(title.span), "string.quoted.double.plica", "{name}")
                }
                ItemKind::Size { width, .. }
                    if matches!(width.kind, plica::syntax::tree::ExprKind::Number { .. }) =>
                {
                    assert_eq!(scope(width.span), "constant.numeric.plica", "{name}");
                }
                _ => {}
            }
        }
        for comment in &tree.comments {
            assert_eq!(scope(comment.span), "comment.line.number-sign.plica", "{name}: {}", comment.value);
        }
    }
}

#[test]
fn the_textmate_grammar_tells_alike_signs_apart() {
    let told = |text: &str| -> Vec<(String, String)> {
        let scope = |s: &str| s.trim_end_matches(".plica").to_string();
        scopes(text).into_iter().map(|(r, s)| (text[r].to_string(), scope(&s))).collect()
    };
    let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
    assert_eq!(
        told("size 4 1/2in by 3 / 4"),
        [
            pair("size", "keyword.control"),
            pair("4 1/2in", "constant.numeric"),
            pair("in", "keyword.other.unit"),
            pair("by", "keyword.operator.word"),
            pair("3", "constant.numeric"),
            pair("/", "keyword.operator"),
            pair("4", "constant.numeric"),
        ]
    );
    assert_eq!(told("\"size # 3\" # let")[0], pair("\"size # 3\"", "string.quoted.double"));
    assert_eq!(told("\"size # 3\" # let")[1], pair("# let", "comment.line.number-sign"));
    assert_eq!(told("panels")[0], pair("panels", "keyword.control"), "no panel and an s");
    assert_eq!(told("off")[0], pair("off", "keyword.operator.word"));
    assert!(told("panel_a offset sized").is_empty(), "parts of names are no words");
    assert_eq!(told("fits(shut")[0], pair("fits", "support.function"));
    assert_eq!(told("80lb cover")[0], pair("80lb cover", "constant.numeric"));
}
