use super::{Dimension, Exact};

/// A unit that may follow a number in a design.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    Millimetre,
    Centimetre,
    Inch,
    Point,
    Degree,
    Gsm,
    Gram,
    /// US basis weight: pounds for 500 sheets of the grade's basic size.
    Pound(Grade),
}

/// The grades whose pound weights the language reads, each with its basic size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    Bond,
    Text,
    Cover,
    Bristol,
    Index,
    Tag,
}

impl Grade {
    pub const ALL: [Grade; 6] = [Self::Bond, Self::Text, Self::Cover, Self::Bristol, Self::Index, Self::Tag];

    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "bond" | "writing" => Self::Bond,
            "text" | "book" => Self::Text,
            "cover" => Self::Cover,
            "bristol" => Self::Bristol,
            "index" => Self::Index,
            "tag" => Self::Tag,
            _ => return None,
        })
    }

    pub fn word(self) -> &'static str {
        match self {
            Self::Bond => "bond",
            Self::Text => "text",
            Self::Cover => "cover",
            Self::Bristol => "bristol",
            Self::Index => "index",
            Self::Tag => "tag",
        }
    }

    /// Area of the basic size in quarter square inches, so that every grade is a whole number
    /// (bond 17 × 22 in, text 25 × 38, cover 20 × 26, bristol 22 1/2 × 28 1/2, index 25 1/2 × 30 1/2, tag 24 × 36).
    const fn quarter_square_inches(self) -> i128 {
        match self {
            Self::Bond => 34 * 44,
            Self::Text => 50 * 76,
            Self::Cover => 40 * 52,
            Self::Bristol => 45 * 57,
            Self::Index => 51 * 61,
            Self::Tag => 48 * 72,
        }
    }

    /// Exact g/m² of one pound: 453.59237 g / (500 sheets × basic area), with 1 lb = 453.59237 g and
    /// 1 in = 25.4 mm exactly.
    pub fn gsm_per_pound(self) -> Exact {
        // 453.59237 g / 500 / (q/4 in² × 0.00064516 m²/in²) = 45359237 × 4 × 10³ / (500 × q × 64516)
        Exact::ratio(45_359_237 * 4_000, 500 * self.quarter_square_inches() * 64_516).unwrap_or(Exact::ZERO)
    }
}

impl Unit {
    /// The unit of a suffix other than pounds.
    pub fn from_suffix(text: &str) -> Option<Self> {
        Some(match text {
            "mm" => Self::Millimetre,
            "cm" => Self::Centimetre,
            "in" => Self::Inch,
            "pt" => Self::Point,
            "deg" => Self::Degree,
            "gsm" => Self::Gsm,
            "g" => Self::Gram,
            _ => return None,
        })
    }

    pub fn dimension(self) -> Dimension {
        match self {
            Self::Millimetre | Self::Centimetre | Self::Inch | Self::Point => Dimension::Length,
            Self::Degree => Dimension::Angle,
            Self::Gsm | Self::Pound(_) => Dimension::Grammage,
            Self::Gram => Dimension::Mass,
        }
    }

    /// How many base units one of this unit is. The printer's point is 1/72 in.
    pub fn scale(self) -> Exact {
        let ratio = |a, b| Exact::ratio(a, b).unwrap_or(Exact::ONE);
        match self {
            Self::Millimetre | Self::Degree | Self::Gsm | Self::Gram => Exact::ONE,
            Self::Centimetre => Exact::whole(10),
            Self::Inch => ratio(127, 5),
            Self::Point => ratio(127, 360),
            Self::Pound(grade) => grade.gsm_per_pound(),
        }
    }
}
