//! The lines of a design that a finding points at, made fit for printing: control characters spelled out, long lines
//! cut to the part that matters, labels kept from overlapping. Knows nothing of how they are printed.

use super::{Look, text, wrap};
use crate::findings::Label;
use crate::source::{SourceFile, SourceMap, Span};
use std::collections::BTreeMap;
use std::ops::Range;

/// Columns between the stops of a tabulator.
const TAB: usize = 4;
/// Columns kept to the left of a label when a line is cut.
const LEAD: usize = 6;
/// A label's words are never squeezed below this many columns.
const NARROWEST_LABEL: usize = 16;
/// Columns from the middle of the underlined words to the label's words.
const BEND: usize = 5;

/// Lines with labels, laid end to end (each with its line break) as if they were one text.
#[derive(Debug, Default)]
pub(super) struct Excerpt {
    pub text: String,
    pub lines: Vec<ExcerptLine>,
    pub labels: Vec<ExcerptLabel>,
}

#[derive(Debug)]
pub(super) struct ExcerptLine {
    pub file: String,
    /// 1-based.
    pub number: u32,
    /// Range in the excerpt's text, line break included.
    pub range: Range<usize>,
}

#[derive(Debug)]
pub(super) struct ExcerptLabel {
    /// Range in the excerpt's text.
    pub range: Range<usize>,
    pub text: String,
    pub main: bool,
    /// 1-based column in the original line, in characters.
    pub column: u32,
}

/// A label brought to one line of its file; `bytes` are offsets in that line.
#[derive(Debug, Clone)]
struct Spot {
    bytes: Range<usize>,
    text: String,
    main: bool,
    column: u32,
}

impl Excerpt {
    /// The lines of the main place and of the others, the main file first.
    pub fn of(sources: &SourceMap, main: &Label, others: &[Label], look: &Look) -> Self {
        let mut spots: BTreeMap<(bool, u32, u32), Vec<Spot>> = BTreeMap::new();
        let main_base = sources.file_at(main.span.start).map_or(0, |f| f.base);
        let all = std::iter::once((main, true)).chain(others.iter().map(|o| (o, false)));
        for (label, is_main) in all {
            let Some(file) = sources.file_at(label.span.start) else { continue };
            let (line, spot) = spot(file, label, is_main);
            spots.entry((file.base != main_base, file.base, line)).or_default().push(spot);
        }
        let mut excerpt = Excerpt::default();
        for ((_, base, line), spots) in spots {
            if let Some(file) = sources.file_at(base) {
                excerpt.push_line(file, line, separate(spots), look);
            }
        }
        excerpt
    }

    fn push_line(&mut self, file: &SourceFile, number: u32, spots: Vec<Spot>, look: &Look) {
        let gutter = number.to_string().len() + 5;
        let room = look.width.saturating_sub(gutter).max(NARROWEST_LABEL);
        let shown = ShownLine::new(file.line(number), look);
        let (first, last) = shown.window(&spots, room);
        let start = self.text.len();
        let cut = if look.ascii { "..." } else { "…" };
        if first > 0 {
            self.text.push_str(cut);
        }
        let lead = self.text.len() - start;
        let from = shown.cells.get(first).map_or(shown.text.len(), |c| c.shown);
        let to = shown.cells.get(last).map_or(shown.text.len(), |c| c.shown);
        self.text.push_str(shown.text.get(from..to).unwrap_or(""));
        if last < shown.cells.len() {
            self.text.push_str(cut);
        }
        let end = self.text.len();
        self.text.push('\n');
        self.lines.push(ExcerptLine { file: look.text(&file.name), number, range: start..self.text.len() });
        let place = |byte: usize| (start + lead + shown.offset(byte).saturating_sub(from)).min(end);
        for spot in spots {
            let range = place(spot.bytes.start)..place(spot.bytes.end).max(place(spot.bytes.start));
            let words = room.saturating_sub(shown.middle(&spot, from) + BEND).max(NARROWEST_LABEL);
            let text = wrap(&look.text(&spot.text), words).join("\n");
            self.labels.push(ExcerptLabel { range, text, main: spot.main, column: spot.column });
        }
    }

    /// Index of the line that holds an offset.
    pub fn line_at(&self, offset: usize) -> usize {
        self.lines.partition_point(|l| l.range.end <= offset)
    }
}

/// Brings a label to the line it starts on; one that has slipped past the last words of the file goes back to them.
fn spot(file: &SourceFile, label: &Label, main: bool) -> (u32, Spot) {
    let Range { start, end } = file.local(label.span);
    let visible_end = file.text.trim_end().len();
    let start = boundary(&file.text, start.min(visible_end));
    let at = file.place(file.base + start as u32);
    let line = file.line(at.line);
    let line_start = start - column_bytes(line, at.column);
    let line_end = line_start + line.len();
    let end = boundary(&file.text, end.clamp(start, line_end.max(start)));
    // The blanks before a line break are not worth a line under them.
    let end = start + file.text.get(start..end).map_or(0, |t| t.trim_end().len());
    let spot = Spot {
        bytes: start - line_start..end - line_start,
        text: label.text.clone(),
        main,
        column: at.column,
    };
    (at.line, spot)
}

/// Bytes before a 1-based column of a line.
fn column_bytes(line: &str, column: u32) -> usize {
    line.char_indices().nth(column.saturating_sub(1) as usize).map_or(line.len(), |(i, _)| i)
}

fn boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Two lines under the same words cannot be told apart: what starts first ends where the next begins, and labels of
/// the very same words are told together.
fn separate(mut spots: Vec<Spot>) -> Vec<Spot> {
    spots.sort_by_key(|s| (s.bytes.start, s.bytes.end, !s.main));
    let mut out: Vec<Spot> = Vec::new();
    for mut spot in spots {
        let Some(last) = out.last_mut() else {
            out.push(spot);
            continue;
        };
        if last.bytes == spot.bytes {
            last.main |= spot.main;
            if !spot.text.is_empty() && last.text != spot.text {
                let joint = if last.text.is_empty() { "" } else { "; " };
                last.text = format!("{}{joint}{}", last.text, spot.text);
            }
            continue;
        }
        if last.bytes.start == spot.bytes.start {
            spot.bytes.start = last.bytes.end;
        } else if last.bytes.end > spot.bytes.start {
            last.bytes.end = spot.bytes.start.max(last.bytes.start);
        }
        out.push(spot);
    }
    out
}

/// A line as it is printed, and where each of its characters went.
struct ShownLine {
    text: String,
    cells: Vec<Cell>,
    bytes: usize,
}

/// One character of the original line.
struct Cell {
    /// Offset in the original line.
    byte: usize,
    /// Offset in the shown text.
    shown: usize,
}

impl ShownLine {
    fn new(line: &str, look: &Look) -> Self {
        let mut shown = ShownLine { text: String::new(), cells: Vec::new(), bytes: line.len() };
        let mut column = 0;
        for (byte, c) in line.char_indices() {
            let before = shown.text.len();
            shown.cells.push(Cell { byte, shown: before });
            match c {
                '\t' => shown.text.extend(std::iter::repeat_n(' ', TAB - column % TAB)),
                c if look.ascii => text::push_ascii(&mut shown.text, c),
                c => text::push_printable(&mut shown.text, c),
            }
            column += shown.text.get(before..).map_or(0, |t| t.chars().count());
        }
        shown
    }

    /// Where a byte of the original line went.
    fn offset(&self, byte: usize) -> usize {
        if byte >= self.bytes {
            return self.text.len();
        }
        let after = self.cells.partition_point(|c| c.byte <= byte);
        after.checked_sub(1).and_then(|i| self.cells.get(i)).map_or(0, |c| c.shown)
    }

    /// Column of the middle of a label's words when the line is shown from an offset on.
    fn middle(&self, spot: &Spot, from: usize) -> usize {
        let columns = |to: usize| self.text.get(from..to).map_or(0, |t| t.chars().count());
        (columns(self.offset(spot.bytes.start)) + columns(self.offset(spot.bytes.end))) / 2
    }

    /// The characters to show (first, last) so that the line fits into `room` columns with its first label in sight.
    fn window(&self, spots: &[Spot], room: usize) -> (usize, usize) {
        let count = self.cells.len();
        let first_label = spots.iter().find(|s| s.main).or(spots.first());
        let roomy = first_label.is_none_or(|s| self.middle(s, 0) + BEND + NARROWEST_LABEL <= room);
        if roomy && self.text.chars().count() <= room {
            return (0, count);
        }
        let at = self.cells.partition_point(|c| first_label.is_some_and(|s| c.byte < s.bytes.start));
        let end_of = |first: usize| {
            let from = self.cells.get(first).map_or(0, |c| c.shown);
            let mut last = first;
            // Spelled-out characters are wider than one column, so the columns are counted in the shown text.
            while last < count {
                let to = self.cells.get(last + 1).map_or(self.text.len(), |c| c.shown);
                if self.text.get(from..to).map_or(0, |t| t.chars().count()) + 2 * TAB > room {
                    break;
                }
                last += 1;
            }
            last
        };
        let from_start = end_of(0);
        let label_end = first_label.map_or(0, |s| s.bytes.end);
        if roomy && self.cells.get(from_start).is_none_or(|c| c.byte >= label_end) {
            return (0, from_start);
        }
        let first = at.saturating_sub(LEAD);
        (first, end_of(first).max((first + 1).min(count)))
    }
}

/// A label for the main place of a finding.
pub(super) fn main_label(span: Span, text: &str) -> Label {
    Label { span, text: text.into() }
}
