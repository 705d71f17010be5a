//! What could have stood somewhere, in trade words.

use crate::syntax::parse::Rule;

/// A list such as "`by` or a sign such as `+`" of what a grammar expected, the most telling first.
pub(super) fn in_words(rules: &[Rule]) -> String {
    /// More than that tells nobody anything.
    const MOST: usize = 4;
    let mut phrases: Vec<(u8, String)> = rules.iter().filter_map(|r| phrase(*r)).collect();
    phrases.sort();
    phrases.dedup();
    let telling = phrases.iter().any(|(rank, _)| *rank < LEAST);
    let mut words: Vec<String> = phrases
        .into_iter()
        .filter(|(rank, _)| !telling || *rank < LEAST)
        .map(|(_, words)| words)
        .take(MOST)
        .collect();
    match (words.pop(), words.is_empty()) {
        (None, _) => "the end of the statement".into(),
        (Some(last), true) => last,
        (Some(last), false) => format!("{} or {last}", words.join(", ")),
    }
}

/// Rank of what is named only when there is nothing better to name.
const LEAST: u8 = 9;

fn phrase(rule: Rule) -> Option<(u8, String)> {
    let (rank, words) = match rule {
        Rule::word | Rule::name | Rule::name_list => (1, "a name"),
        Rule::path | Rule::path_list | Rule::card_root => (1, "the name of a part such as `shell.track`"),
        Rule::face => (1, "a face such as `front of shell.track`"),
        Rule::text | Rule::text_body => (1, "a text in quotes"),
        Rule::point => (1, "a point such as `(10mm, 20mm)`"),
        Rule::size | Rule::named_size | Rule::measured_size | Rule::size_word => {
            (1, "a size such as `C6` or `5in by 7in`")
        }
        Rule::value
        | Rule::product
        | Rule::unary
        | Rule::number
        | Rule::plain_number
        | Rule::blank
        | Rule::call
        | Rule::expr
        | Rule::comparison
        | Rule::index => (1, "a measurement or a value such as `12mm`"),
        Rule::clauses | Rule::clause => (1, "a clause such as `35mm from left`"),
        Rule::kind => (1, "what the parameter is, such as `length` or `panel`"),
        Rule::reading | Rule::flat => (1, "a position such as `90deg` or `top`"),
        Rule::pose_setting | Rule::leg | Rule::travel => {
            (1, "a joint with its position such as `page.spine 90deg`")
        }
        Rule::direction => (2, "`above`, `below`, `left of`, `right of`"),
        Rule::measure_word => (2, "a word such as `wide` or `overlap`"),
        Rule::circle
        | Rule::rectangle
        | Rule::rounded
        | Rule::polygon
        | Rule::outline
        | Rule::outline_file => (2, "a shape such as `circle 24mm`"),
        Rule::item | Rule::block_item | Rule::plain_item => (1, "a statement word such as `piece` or `glue`"),
        Rule::open_brace | Rule::block | Rule::pose_body => (3, "`{`"),
        Rule::close_brace => (3, "`}`"),
        Rule::open_paren => (3, "`(`"),
        Rule::close_paren => (3, "`)`"),
        Rule::colon => (4, "`:`"),
        Rule::comma => (4, "`,`"),
        Rule::equals => (3, "`=`"),
        Rule::compare_sign => (LEAST, "`=`, `<` or `>`"),
        Rule::EOI | Rule::hint | Rule::kw_hint => (LEAST + 1, "the end of the statement"),
        _ => return keyword(rule).map(|word| (3, format!("`{word}`"))),
    };
    Some((rank, words.to_string()))
}

/// The word a rule stands for: `kw_by` and `behind_word` are words, all other rules are not.
pub(super) fn keyword(rule: Rule) -> Option<String> {
    let name = format!("{rule:?}");
    match (name.strip_prefix("kw_"), name.strip_suffix("_word")) {
        (Some(word), _) => Some(word.to_string()),
        (None, Some(word))
            if !matches!(word, "size" | "plain" | "part" | "measure" | "statement" | "connecting") =>
        {
            Some(word.to_string())
        }
        _ => None,
    }
}
