//! Text edits applied in memory, and told as lines taken out and put in. Knows nothing of what the edits are for.

use crate::findings::Edit;
use crate::source::{SourceFile, SourceMap};
use std::collections::BTreeMap;
use std::ops::Range;

/// The texts of the files that the edits touch, with the edits made, by the name of the file. `None` when two edits
/// overlap, an edit lies in no file, or one would cut a character in two.
pub fn apply(sources: &SourceMap, edits: &[Edit]) -> Option<BTreeMap<String, String>> {
    let mut out = BTreeMap::new();
    for (file, edits) in by_file(sources, edits)? {
        out.insert(file.name.clone(), replace(&file.text, 0..file.text.len(), &edits)?);
    }
    Some(out)
}

/// Lines that change together: neighbours in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hunk {
    pub file: String,
    /// 1-based number of the first line, before the change.
    pub line: u32,
    pub old: Vec<String>,
    pub new: Vec<String>,
}

/// The lines that change, in file order; lines that come out as they were are left out. Empty when the edits cannot
/// be applied.
pub fn hunks(sources: &SourceMap, edits: &[Edit]) -> Vec<Hunk> {
    let Some(files) = by_file(sources, edits) else { return Vec::new() };
    let mut out = Vec::new();
    for (file, edits) in files {
        let mut rest = edits.as_slice();
        while let Some((first, _)) = rest.split_first() {
            let mut lines = lines_of(file, &first.0);
            let mut count = 1;
            while let Some(next) =
                rest.get(count).map(|e| lines_of(file, &e.0)).filter(|n| n.0 <= lines.1 + 1)
            {
                lines.1 = lines.1.max(next.1);
                count += 1;
            }
            let (now, later) = rest.split_at(count);
            rest = later;
            out.extend(hunk(file, lines, now));
        }
    }
    out
}

/// An edit within one file.
type Local<'a> = (Range<usize>, &'a str);

/// The edits of each file in order.
fn by_file<'s>(sources: &'s SourceMap, edits: &'s [Edit]) -> Option<Vec<(&'s SourceFile, Vec<Local<'s>>)>> {
    let mut files: BTreeMap<u32, (&SourceFile, Vec<Local>)> = BTreeMap::new();
    for edit in edits {
        let file = sources.file_at(edit.span.start)?;
        if edit.span.end > file.span().end || edit.span.end < edit.span.start {
            return None;
        }
        let entry = files.entry(file.base).or_insert((file, Vec::new()));
        entry.1.push((file.local(edit.span), &edit.text));
    }
    let mut out: Vec<_> = files.into_values().collect();
    for (_, edits) in &mut out {
        edits.sort_by_key(|(range, _)| (range.start, range.end));
    }
    Some(out)
}

/// A part of a text with sorted edits made. `None` when they overlap or leave the part.
fn replace(text: &str, part: Range<usize>, edits: &[Local]) -> Option<String> {
    let mut out = String::new();
    let mut at = part.start;
    for (range, new) in edits {
        out.push_str(text.get(at..range.start)?);
        out.push_str(new);
        at = range.end;
    }
    out.push_str(text.get(at..part.end)?);
    Some(out)
}

/// First and last line (1-based) of a range.
fn lines_of(file: &SourceFile, range: &Range<usize>) -> (u32, u32) {
    let line = |at: usize| file.place(file.base + at as u32).line;
    (line(range.start), line(range.end))
}

fn hunk(file: &SourceFile, (first, last): (u32, u32), edits: &[Local]) -> Option<Hunk> {
    let start = file.text.get(..edits.first()?.0.start)?.rfind('\n').map_or(0, |i| i + 1);
    let end = edits.iter().map(|e| e.0.end).max()?;
    let end = file.text.get(end..)?.find('\n').map_or(file.text.len(), |i| end + i);
    let new = replace(&file.text, start..end, edits)?;
    let mut old: Vec<String> = (first..=last).map(|l| file.line(l).to_string()).collect();
    let mut new: Vec<String> = new.split('\n').map(|l| l.trim_end_matches('\r').to_string()).collect();
    while !old.is_empty() && old.last() == new.last() {
        old.pop();
        new.pop();
    }
    let same = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    old.drain(..same);
    new.drain(..same);
    let changed = !old.is_empty() || !new.is_empty();
    changed.then(|| Hunk { file: file.name.clone(), line: first + same as u32, old, new })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Span;

    fn map(text: &str) -> SourceMap {
        let mut map = SourceMap::default();
        map.add("first", "untouched\n");
        map.add("kite", text);
        map
    }

    fn edit(map: &SourceMap, what: &str, text: &str) -> Edit {
        let file = &map.files()[1];
        let start = file.base + file.text.find(what).unwrap() as u32;
        Edit { span: Span::new(start, start + what.len() as u32), text: text.into() }
    }

    #[test]
    fn edits_are_made_in_any_order() {
        let map = map("one\ntwo\nthree\n");
        let edits = [edit(&map, "three", "3"), edit(&map, "one", "1")];
        let texts = apply(&map, &edits).unwrap();
        assert_eq!(texts.into_iter().collect::<Vec<_>>(), [("kite".to_string(), "1\ntwo\n3\n".to_string())]);
        let hunks = hunks(&map, &edits);
        assert_eq!(hunks.iter().map(|h| h.line).collect::<Vec<_>>(), [1, 3]);
        assert_eq!(
            (&hunks[1].old[..], &hunks[1].new[..]),
            (&["three".to_string()][..], &["3".to_string()][..])
        );
    }

    #[test]
    fn a_line_taken_out_is_one_line() {
        let map = map("one\ntwo\nthree\n");
        let edits = [edit(&map, "two\n", "")];
        let all = hunks(&map, &edits);
        assert_eq!(all, [Hunk { file: "kite".into(), line: 2, old: vec!["two".into()], new: vec![] }]);
    }

    #[test]
    fn neighbours_change_together() {
        let map = map("a = 1\nb = 2\nc = 3");
        let all = hunks(&map, &[edit(&map, "1", "10"), edit(&map, "2", "20\nx = 0")]);
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].new, ["a = 10", "b = 20", "x = 0"]);
    }

    #[test]
    fn what_cannot_be_applied_is_refused() {
        let map = map("gull é");
        let base = map.files()[1].base;
        let at = |start, end| Edit { span: Span::new(base + start, base + end), text: String::new() };
        assert_eq!(apply(&map, &[at(0, 3), at(2, 4)]), None, "overlapping");
        assert_eq!(apply(&map, &[at(0, 99)]), None, "past the end");
        assert_eq!(apply(&map, &[at(6, 7)]), None, "inside a character");
        assert!(hunks(&map, &[at(0, 3), at(2, 4)]).is_empty());
    }
}
