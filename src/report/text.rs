//! Texts made safe and fit for a terminal: nothing that it would act on, ASCII when asked, wrapped at blanks.

/// The text with every character that steers a terminal, or hides in a line, spelled out: `\x1b`, `\u{202e}`.
/// A tabulator becomes a blank and a line break stays.
pub fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' => out.push('\n'),
            '\t' => out.push(' '),
            c => push_printable(&mut out, c),
        }
    }
    out
}

/// One character, spelled out when it cannot be seen.
pub(super) fn push_printable(out: &mut String, c: char) {
    if c.is_control() && u32::from(c) < 0x100 {
        out.push_str(&format!("\\x{:02x}", u32::from(c)));
    } else if is_hidden(c) {
        out.push_str(&format!("\\u{{{:x}}}", u32::from(c)));
    } else {
        out.push(c);
    }
}

/// Characters without a shape of their own that change how their neighbours are read: directional marks, joiners,
/// line and paragraph separators.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// The text in printable ASCII: signs of the trade by their usual spelling, everything else as `\u{e9}`. A line break
/// stays.
pub fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        push_ascii(&mut out, c);
    }
    out
}

/// One character in printable ASCII; a line break stays.
pub(super) fn push_ascii(out: &mut String, c: char) {
    let spelled = match c {
        '\n' => "\n",
        c if c.is_ascii() => return push_printable(out, c),
        '°' => " deg",
        '²' => "2",
        '×' => "x",
        '·' => "*",
        '–' | '—' | '−' | '‐' | '‑' => "-",
        '‘' | '’' => "'",
        '“' | '”' | '„' => "\"",
        '…' => "...",
        '≥' => ">=",
        '≤' => "<=",
        '±' => "+-",
        '≈' => "~",
        '→' => "->",
        'µ' => "u",
        c => return out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
    };
    out.push_str(spelled);
}

/// Breaks a text at blanks so that no line is longer than `width` characters, unless one word alone is. Line breaks
/// of the text stay; the lines carry no indent.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    text.split('\n').flat_map(|line| wrap_line(line, width.max(1))).collect()
}

fn wrap_line(line: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut current = String::new();
    let mut used = 0;
    for word in line.split(' ').filter(|w| !w.is_empty()) {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            lines.push(std::mem::take(&mut current));
            used = 0;
        }
        if used > 0 {
            current.push(' ');
            used += 1;
        }
        current.push_str(word);
        used += length;
    }
    lines.push(current);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_spelled_out() {
        assert_eq!(printable("a\u{1b}[31mb"), "a\\x1b[31mb");
        assert_eq!(printable("a\u{9b}2J"), "a\\x9b2J");
        assert_eq!(printable("gull\u{202e}txt"), "gull\\u{202e}txt");
        assert_eq!(printable("a\tb\nc\r"), "a b\nc\\x0d");
        assert_eq!(printable("90° é"), "90° é");
    }

    #[test]
    fn ascii_is_ascii() {
        assert_eq!(ascii("90° ≥ 3 × 2 “é”"), "90 deg >= 3 x 2 \"\\u{e9}\"");
        assert!(ascii("→ ± 🦆 …").is_ascii());
    }

    #[test]
    fn wraps_at_blanks() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("extraordinary word", 4), ["extraordinary", "word"]);
        assert_eq!(wrap("a\n\nb", 10), ["a", "", "b"]);
    }
}
