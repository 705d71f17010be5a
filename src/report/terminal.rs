//! The report for people: a finding with its place underlined in the text of the design.
//!
//! The only room that knows the diagnostic renderer. It is given finished text and finished lines: everything that
//! comes from the user was made harmless before, and the width, the colours and the characters are ours, so nothing
//! of its own detection is relied on.

use super::excerpt::{Excerpt, main_label};
use super::look::Style;
use super::{Look, wrap};
use crate::compile::patch;
use crate::findings::{Finding, Mend, Severity};
use crate::source::SourceMap;
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents,
};

/// One finding: message, place and other places underlined, why it matters, what to do, and the tried mend as the
/// lines to write. Ends with a line break.
pub fn render(finding: &Finding, sources: &SourceMap, look: &Look) -> String {
    let telling = &finding.telling;
    let main = main_label(telling.place, &telling.label);
    let shown = Shown {
        message: headline(finding, look),
        severity: finding.severity(),
        excerpt: Excerpt::of(sources, &main, &telling.others, look),
    };
    let mut out = String::new();
    // Writing to a text cannot fail; should the renderer give up on its own, the one-line form still says it all.
    if handler(look).render_report(&mut out, &shown).is_err() {
        out = super::line::render(finding, sources, look) + "\n";
    }
    let mut out: String = out.lines().flat_map(|l| [l.trim_end(), "\n"]).collect();
    for (head, words) in [("why", &telling.why), ("help", &telling.help)] {
        if let Some(words) = words {
            out.push_str(&paragraph(head, words, look));
        }
    }
    if let Some(mend) = &finding.mend {
        out.push_str(&self::mend(mend, sources, look));
    }
    out
}

/// The message under its severity, wrapped, with the name to ask `explain` for.
fn headline(finding: &Finding, look: &Look) -> String {
    let (word, style) = match finding.severity() {
        Severity::Error => ("error", Style::Error),
        Severity::Caution => ("caution", Style::Caution),
        Severity::Note => ("note", Style::Note),
    };
    let words = look.text(&format!("{word}: {} [{}]", finding.telling.message, finding.name()));
    let mut text = wrap(&words, look.width.saturating_sub(6)).join("\n");
    let name = format!("[{}]", finding.name());
    if let Some(rest) = text.strip_suffix(name.as_str()) {
        text = format!("{rest}{}", look.paint(Style::Faint, &name));
    }
    match text.strip_prefix(word) {
        Some(rest) => format!("{}{rest}", look.paint(style, word)),
        None => text,
    }
}

fn paragraph(head: &str, words: &str, look: &Look) -> String {
    let indent = head.len() + 4;
    let lines = wrap(&look.text(words), look.width.saturating_sub(indent));
    let mut out = String::new();
    for (i, line) in lines.iter().enumerate() {
        match i {
            0 => out.push_str(&format!("  {} {line}\n", look.paint(Style::Heading, &format!("{head}:")))),
            _ => out.push_str(&format!("{:indent$}{line}\n", "")),
        }
    }
    out
}

/// What to write, and the lines as they then stand.
fn mend(mend: &Mend, sources: &SourceMap, look: &Look) -> String {
    let mut out = paragraph("mend", &mend.says, look);
    for hunk in patch::hunks(sources, &mend.edits) {
        let new = hunk.new.iter().map(|text| ('+', Style::Good, text));
        let gone = hunk.old.iter().filter(|_| hunk.new.is_empty()).map(|text| ('-', Style::Faint, text));
        for ((sign, style, text), number) in gone.chain(new).zip(hunk.line..) {
            let line = look.text(&format!("{number} {sign} {text}"));
            out.push_str(&format!("    {}\n", look.paint(style, &line)));
        }
    }
    out
}

/// The renderer with our own settings. The text was wrapped before: its wrapping would break names at hyphens.
fn handler(look: &Look) -> GraphicalReportHandler {
    let theme = match (look.ascii, look.colour) {
        (false, true) => GraphicalTheme::unicode(),
        (false, false) => GraphicalTheme::unicode_nocolor(),
        (true, true) => GraphicalTheme::ascii(),
        (true, false) => GraphicalTheme::none(),
    };
    GraphicalReportHandler::new_themed(theme)
        .with_width(look.width.max(Look::NARROWEST))
        .with_wrap_lines(false)
        .with_context_lines(CONTEXT)
        .with_links(false)
        .without_syntax_highlighting()
}

/// Lines asked for around a label. An excerpt gives only the lines with labels, but the renderer tells its two kinds
/// of question apart by this number.
const CONTEXT: usize = 1;

/// A finding in the renderer's terms.
#[derive(Debug)]
struct Shown {
    message: String,
    severity: Severity,
    excerpt: Excerpt,
}

impl std::fmt::Display for Shown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Caution => miette::Severity::Warning,
            Severity::Note => miette::Severity::Advice,
        })
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        (!self.excerpt.lines.is_empty()).then_some(&self.excerpt as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.excerpt.labels.iter().map(|l| {
            let text = (!l.text.is_empty()).then(|| l.text.clone());
            let span = SourceSpan::from(l.range.clone());
            match l.main {
                true => LabeledSpan::new_primary_with_span(text, span),
                false => LabeledSpan::new_with_span(text, span),
            }
        })))
    }
}

/// The excerpt answers as a text whose lines keep the name and the number they have in their own files. Lines are
/// read together only when they are neighbours in one file.
impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let end = span.offset() + span.len().saturating_sub(1);
        let (first, last) = (self.line_at(span.offset()), self.line_at(end));
        let lines = self.lines.get(first..=last).ok_or(MietteError::OutOfBounds)?;
        let (Some(head), Some(tail)) = (lines.first(), lines.last()) else {
            return Err(MietteError::OutOfBounds);
        };
        let neighbours = lines
            .windows(2)
            .all(|w| w[0].file == w[1].file && w[0].number.checked_add(1) == Some(w[1].number));
        if !neighbours {
            return Err(MietteError::OutOfBounds);
        }
        let range = head.range.start..tail.range.end;
        let data = self.text.get(range.clone()).ok_or(MietteError::OutOfBounds)?;
        let label = self.labels.iter().find(|l| l.range.start == span.offset());
        Ok(Box::new(MietteSpanContents::new_named(
            head.file.clone(),
            data.as_bytes(),
            SourceSpan::from(range),
            head.number.saturating_sub(1) as usize,
            label.map_or(0, |l| l.column.saturating_sub(1) as usize),
            lines.len(),
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::{Entry, Family, Telling};
    use crate::source::Span;
    use proptest::prelude::*;

    static ENTRY: Entry = Entry {
        name: "slot-too-short",
        severity: Severity::Error,
        family: Family::Joints,
        title: "A slot is too short",
        explanation: "",
        wrong: "",
        right: "",
    };

    fn finding(telling: Telling) -> Finding {
        Finding { entry: &ENTRY, telling, mend: None }
    }

    fn sources(texts: &[(&str, &str)]) -> SourceMap {
        let mut map = SourceMap::default();
        texts.iter().for_each(|(name, text)| assert!(map.add(name, text).is_some()));
        map
    }

    /// The place of a word, by file.
    fn at(map: &SourceMap, file: usize, word: &str) -> Span {
        let file = &map.files()[file];
        let start = file.base + file.text.find(word).unwrap() as u32;
        Span::new(start, start + word.len() as u32)
    }

    #[test]
    fn places_in_two_files_are_both_shown() {
        let map = sources(&[
            ("kite.plica", "card \"Kite\"\n\tslot rail: 2mm wide\n"),
            ("parts/straps.plica", "\n\nstrap runner: 6mm wide"),
        ]);
        let telling = Telling::new(at(&map, 0, "2mm"), "the slot is 2 mm and the strap 6 mm")
            .label("too short")
            .other(at(&map, 1, "6mm wide"), "the strap")
            .why("it binds")
            .help("make the slot longer");
        let text = render(&finding(telling), &map, &Look::default());
        let expected = [
            "  × error: the slot is 2 mm and the strap 6 mm [slot-too-short]",
            "   ╭─[kite.plica:2:13]",
            " 2 │     slot rail: 2mm wide",
            "   ·                ─┬─",
            "   ·                 ╰── too short",
            "   ╰────",
            "   ╭─[parts/straps.plica:3:15]",
            " 3 │ strap runner: 6mm wide",
            "   ·               ────┬───",
            "   ·                   ╰── the strap",
            "   ╰────",
            "  why: it binds",
            "  help: make the slot longer",
        ];
        assert_eq!(text.lines().collect::<Vec<_>>(), expected);
    }

    #[test]
    fn the_last_line_and_nested_places_are_underlined() {
        let map = sources(&[("kite.plica", "piece kite of board { size 2mm by }\n\n\n")]);
        let end = map.files()[0].span().after();
        let text =
            render(&finding(Telling::new(end, "a brace is missing").label("here")), &map, &Look::default());
        assert!(text.contains("[kite.plica:1:36]"), "{text}");
        assert!(text.contains("╰── here"), "{text}");
        let nested =
            Telling::new(at(&map, 0, "size 2mm by"), "m").label("outer").other(at(&map, 0, "2mm"), "inner");
        let text = render(&finding(nested), &map, &Look::default());
        let under = text.lines().find(|l| l.contains('┬')).unwrap();
        assert_eq!(under, "   ·                       ──┬───┬─", "{text}");
    }

    #[test]
    fn names_are_never_broken_over_lines() {
        let map = sources(&[("kite.plica", "x")]);
        let message = "a message that is just long enough to bring the name to the end of a narrow line";
        for width in 40..110 {
            let look = Look { width, ..Look::default() };
            let text = render(&finding(Telling::new(Span::new(0, 1), message)), &map, &look);
            assert!(text.contains("[slot-too-short]"), "{width}:\n{text}");
        }
    }

    #[test]
    fn a_mend_is_shown_as_the_line_to_write() {
        let map = sources(&[("kite.plica", "slot rail: 2mm wide\nslot b: 1mm wide\n")]);
        let mut finding = finding(Telling::new(at(&map, 0, "2mm"), "m"));
        let edit =
            |word: &str, text: &str| crate::findings::Edit { span: at(&map, 0, word), text: text.into() };
        let mend = |edits| Some(Mend { says: "write `6mm`".into(), edits, safe: false });
        finding.mend = mend(vec![edit("2mm", "6mm")]);
        let text = render(&finding, &map, &Look::default());
        assert!(text.ends_with("  mend: write `6mm`\n    1 + slot rail: 6mm wide\n"), "{text}");
        finding.mend = mend(vec![edit("slot b: 1mm wide\n", "")]);
        let text = render(&finding, &map, &Look::default());
        assert!(text.ends_with("    2 - slot b: 1mm wide\n"), "{text}");
    }

    proptest! {
        /// Whatever the text and wherever the places: no panic, nothing that steers a terminal, ASCII when asked.
        #[test]
        fn any_place_in_any_text_is_rendered(
            text in "([a-z(){}:, 0-9]|\t|\n|\r|é|\u{1b}|\u{202e}|🪁|\"){0,120}",
            more in "(\n|[a-z]{0,40}|漢){0,8}",
            spans in proptest::collection::vec((0u32..260, 0u32..90), 1..6),
            width in 40usize..120,
            ascii: bool,
            colour: bool,
        ) {
            let map = sources(&[("kite.plica", &text), ("more\u{7}.plica", &more)]);
            let mut telling = Telling::new(Span::default(), "message\u{1b}[2J").label("main");
            for (i, (start, length)) in spans.iter().enumerate() {
                let span = Span::new(*start, start + length);
                if i == 0 { telling.place = span; } else { telling = telling.other(span, "other words"); }
            }
            let out = render(&finding(telling), &map, &Look { colour, ascii, width });
            prop_assert!(out.ends_with('\n'));
            prop_assert!(!ascii || out.is_ascii(), "{}", out);
            if !colour {
                prop_assert!(!out.chars().any(|c| c.is_control() && c != '\n'), "{:?}", out);
            }
            prop_assert!(!out.contains('\u{202e}'), "{:?}", out);
        }
    }
}
