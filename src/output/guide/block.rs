//! What a guide is made of, before any format: headings, paragraphs, lists, tables, pictures, steps, motions.

use crate::drawing::Drawing;
use crate::making::{Bit, Phrase};
use crate::quantity::{Units, say_length};

/// A line of text whose lengths can be read in inches and in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    pub spans: Vec<SpanOf>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum SpanOf {
    Text(String),
    /// The same measure, as each ruler says it.
    Both {
        inch: String,
        metric: String,
    },
}

impl Line {
    pub fn text(text: &str) -> Self {
        Self::default().then(text)
    }

    pub fn then(mut self, text: &str) -> Self {
        if !text.is_empty() {
            self.spans.push(SpanOf::Text(text.into()));
        }
        self
    }

    pub fn both(mut self, inch: &str, metric: &str) -> Self {
        if inch == metric {
            return self.then(inch);
        }
        self.spans.push(SpanOf::Both { inch: inch.into(), metric: metric.into() });
        self
    }

    /// A length in mm.
    pub fn length(self, mm: f64) -> Self {
        self.both(&say_length(mm, Units::Inch), &say_length(mm, Units::Mm))
    }

    pub fn join(mut self, other: Line) -> Self {
        self.spans.extend(other.spans);
        self
    }
}

impl From<&Phrase> for Line {
    fn from(phrase: &Phrase) -> Self {
        phrase.bits.iter().fold(Self::default(), |line, bit| match bit {
            Bit::Text(text) => line.then(text),
            Bit::Length(mm) => line.length(*mm),
        })
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The PNG in the kit that shows the same.
    pub file: String,
    pub title: String,
    pub description: String,
    pub drawing: Drawing,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Says what it is to those who hear the page.
    pub caption: String,
    pub head: Vec<String>,
    pub rows: Vec<Vec<Line>>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    Text(Line),
    List(Vec<Line>),
    /// Numbers and lines.
    Numbered(Vec<(usize, Line)>),
    Table(Table),
    /// Beside each other where there is room.
    Pictures(Vec<Picture>),
    Step {
        title: String,
        lines: Vec<Line>,
        picture: Option<Picture>,
    },
    Motion {
        title: String,
        description: String,
        /// What the slider is called.
        slider: String,
        /// The animated picture in the kit.
        file: String,
        frames: Vec<Drawing>,
    },
    Subheading(String),
}

#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Unique in the guide.
    pub id: &'static str,
    pub title: String,
    pub blocks: Vec<Block>,
}

/// A whole guide.
#[derive(Debug, Clone, PartialEq)]
pub struct Guide {
    pub title: String,
    pub heading: String,
    /// The units the design speaks in: those that are shown first.
    pub units: Units,
    pub sections: Vec<Section>,
}
