//! Text on paper, and its measure. A [`Typeface`] is plain data (advance widths and heights in ems); whoever owns the
//! font file fills it in. No kerning and no ligatures: every back end advances by the same widths.

use kurbo::{Affine, Point, Vec2};
use std::collections::BTreeMap;

/// Which point of the baseline the text hangs from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    #[default]
    Start,
    Middle,
    End,
}

/// One line of text. `size` is the em in mm; `rotation` in degrees, clockwise on paper; `at` lies on the baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    content: String,
    pub at: Point,
    pub anchor: Anchor,
    pub size: f64,
    pub rotation: f64,
    /// From 0 (black) to 1 (white).
    pub grey: f64,
}

impl Text {
    /// Black horizontal text. Characters that cannot be printed become spaces.
    pub fn new(content: &str, at: Point, size: f64) -> Text {
        Text { content: printable(content), at, anchor: Anchor::Start, size, rotation: 0.0, grey: 0.0 }
    }

    pub fn content(&self) -> &str {
        &self.content
    }

    pub fn anchored(mut self, anchor: Anchor) -> Text {
        self.anchor = anchor;
        self
    }

    pub fn rotated(mut self, degrees: f64) -> Text {
        self.rotation = degrees;
        self
    }

    pub fn grey(mut self, grey: f64) -> Text {
        self.grey = grey;
        self
    }

    /// Text whose capitals are centred on `centre`.
    pub fn centred(content: &str, centre: Point, size: f64, rotation: f64, typeface: &Typeface) -> Text {
        let drop = rotate(Vec2::new(0.0, typeface.cap_height * size / 2.0), rotation);
        Text::new(content, centre + drop, size).anchored(Anchor::Middle).rotated(rotation)
    }

    /// From baseline coordinates (x along the text from its start, y downward) to the paper.
    pub fn placement(&self, typeface: &Typeface) -> Affine {
        let width = typeface.width(&self.content, self.size);
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let (x, y) = (rotate(Vec2::new(1.0, 0.0), self.rotation), rotate(Vec2::new(0.0, 1.0), self.rotation));
        let start = self.at - x * back;
        Affine::new([x.x, x.y, y.x, y.y, start.x, start.y])
    }

    /// The corners of the box from the cap line (or the ascenders, whichever is higher) to the descenders.
    pub fn corners(&self, typeface: &Typeface) -> [Point; 4] {
        let width = typeface.width(&self.content, self.size);
        let (top, bottom) = (-typeface.ascender * self.size, typeface.descender * self.size);
        let to_paper = self.placement(typeface);
        [(0.0, top), (width, top), (width, bottom), (0.0, bottom)].map(|(x, y)| to_paper * Point::new(x, y))
    }
}

/// Measures of a typeface, all in ems (fractions of the text size).
#[derive(Debug, Clone, PartialEq)]
pub struct Typeface {
    pub family: &'static str,
    /// The width each character advances by.
    pub advances: BTreeMap<char, f64>,
    /// For a character the typeface has not.
    pub missing: f64,
    pub cap_height: f64,
    /// Height of `b`, `d`, `l` above the baseline.
    pub ascender: f64,
    /// Depth of `p`, `g` below the baseline, positive.
    pub descender: f64,
}

impl Typeface {
    /// The width of a line of text in mm.
    pub fn width(&self, text: &str, size: f64) -> f64 {
        text.chars().map(|character| self.advance(character)).sum::<f64>() * size
    }

    pub fn advance(&self, character: char) -> f64 {
        self.advances.get(&character).copied().unwrap_or(self.missing)
    }

    /// Whether every character can be shown.
    pub fn covers(&self, text: &str) -> bool {
        text.chars().all(|character| self.advances.contains_key(&character))
    }

    /// Breaks text at spaces into lines no wider than `width` mm; a single longer word keeps its own line.
    pub fn wrap(&self, text: &str, size: f64, width: f64) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in text.split_whitespace() {
            match lines.last_mut() {
                Some(line) if self.width(&format!("{line} {word}"), size) <= width => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(word.to_owned()),
            }
        }
        lines
    }

    /// Shortens text with an ellipsis until it is no wider than `width` mm.
    pub fn shorten(&self, text: &str, size: f64, width: f64) -> String {
        if self.width(text, size) <= width {
            return text.to_owned();
        }
        let mut kept: Vec<char> = text.chars().collect();
        while !kept.is_empty() {
            kept.pop();
            let short = format!("{}…", kept.iter().collect::<String>().trim_end());
            if self.width(&short, size) <= width {
                return short;
            }
        }
        String::new()
    }
}

/// Turns a vector by degrees, clockwise on paper (from x towards y). Quarter turns are exact.
pub fn rotate(vector: Vec2, degrees: f64) -> Vec2 {
    let (sin, cos) = match degrees {
        0.0 => (0.0, 1.0),
        90.0 | -270.0 => (1.0, 0.0),
        180.0 | -180.0 => (0.0, -1.0),
        270.0 | -90.0 => (-1.0, 0.0),
        other => (libm::sin(other.to_radians()), libm::cos(other.to_radians())),
    };
    Vec2::new(vector.x * cos - vector.y * sin, vector.x * sin + vector.y * cos)
}

/// Control characters, line ends and characters that no text file may hold become spaces.
pub fn printable(text: &str) -> String {
    text.chars().map(|character| if is_printable(character) { character } else { ' ' }).collect()
}

fn is_printable(character: char) -> bool {
    // U+FFFE and U+FFFF of each plane are not characters; bidirectional controls would reorder what follows.
    let non_character =
        (character as u32) & 0xFFFE == 0xFFFE || ('\u{FDD0}'..='\u{FDEF}').contains(&character);
    let reorders =
        matches!(character, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    !(character.is_control() || matches!(character, '\u{2028}' | '\u{2029}') || non_character || reorders)
}
