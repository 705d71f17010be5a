//! Values as people read them: inches as fractions, mm to the tenth.

use super::{Exact, Rounding};

/// The units a design is spoken of in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Units {
    #[default]
    Mm,
    Inch,
}

const MM_PER_INCH: f64 = 25.4;

/// A length in mm as spoken: `12.3 mm`, `4 1/2 in`. Inches go to the sixteenth; what would vanish or lose more than
/// a hundredth of an inch of a small gap goes to the sixty-fourth, and below that to decimals.
pub fn say_length(mm: f64, units: Units) -> String {
    match units {
        Units::Mm => format!("{} mm", trim(mm, if mm.abs() < 0.095 && mm.abs() > 1e-9 { 2 } else { 1 })),
        Units::Inch => {
            let inches = mm / MM_PER_INCH;
            match fraction(inches) {
                Some(text) => format!("{text} in"),
                None => format!("{} in", trim(inches, 3)),
            }
        }
    }
}

/// A length as it is written in a design: `12.3mm`, `4 1/2in`; rounded to the unit's grid (0.1 mm, 1/64 in).
pub fn source_length(mm: f64, units: Units, rounding: Rounding) -> String {
    let (value, grid, suffix) = match units {
        Units::Mm => (mm, 10.0, "mm"),
        Units::Inch => (mm / MM_PER_INCH, 64.0, "in"),
    };
    let steps = steps(value * grid, rounding);
    match units {
        Units::Mm => format!("{}{suffix}", trim(steps / grid, 1)),
        Units::Inch => format!("{}{suffix}", mixed(steps as i64, grid as i64)),
    }
}

/// An angle as it is written in a design: `12.3deg`; rounded to 0.1°.
pub fn source_angle(degrees: f64, rounding: Rounding) -> String {
    format!("{}deg", trim(steps(degrees * 10.0, rounding) / 10.0, 1))
}

/// A value within a millionth of the grid is on the grid: float noise must not push it one step further.
fn steps(scaled: f64, rounding: Rounding) -> f64 {
    match rounding {
        Rounding::Down => (scaled + 1e-6).floor(),
        Rounding::Up => (scaled - 1e-6).ceil(),
        Rounding::Nearest => scaled.round(),
    }
}

pub fn say_angle(degrees: f64) -> String {
    format!("{}°", trim(degrees, 1))
}

pub fn say_mass(grams: f64) -> String {
    format!("{} g", trim(grams, 1))
}

pub fn say_area(mm2: f64, units: Units) -> String {
    match units {
        Units::Mm => format!("{} cm²", trim(mm2 / 100.0, 1)),
        Units::Inch => format!("{} sq in", trim(mm2 / (MM_PER_INCH * MM_PER_INCH), 2)),
    }
}

pub fn say_number(value: f64) -> String {
    trim(value, 3)
}

/// Sixteenths when they are within a 1/100 in, otherwise sixty-fourths when these are.
fn fraction(inches: f64) -> Option<String> {
    for denominator in [16i64, 64] {
        let steps = (inches * denominator as f64).round();
        let off = (steps / denominator as f64 - inches).abs();
        let close = if denominator == 16 { off < 0.01 } else { off <= 1.0 / 128.0 };
        let vanished = steps == 0.0 && inches.abs() > 1e-6;
        if close && !vanished && steps.abs() < 1e12 {
            return Some(mixed(steps as i64, denominator));
        }
    }
    None
}

/// `steps / denominator` as a mixed fraction in lowest terms.
fn mixed(steps: i64, denominator: i64) -> String {
    let sign = if steps < 0 { "-" } else { "" };
    let (whole, rest) = (steps.abs() / denominator, steps.abs() % denominator);
    let reduced = Exact::ratio(rest as i128, denominator as i128).unwrap_or(Exact::ZERO);
    let part = format!("{}/{}", reduced.numerator(), reduced.denominator());
    match (whole, rest) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{part}"),
        _ => format!("{sign}{whole} {part}"),
    }
}

/// Decimal with at most `places` digits and no trailing zeros; never `-0`.
fn trim(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spoken_lengths() {
        assert_eq!(say_length(114.3, Units::Inch), "4 1/2 in");
        assert_eq!(say_length(114.3, Units::Mm), "114.3 mm");
        assert_eq!(say_length(0.1, Units::Inch), "0.004 in");
        assert_eq!(say_length(-1.5875, Units::Inch), "-1/16 in");
        assert_eq!(say_length(0.02, Units::Mm), "0.02 mm");
        assert_eq!(say_length(-0.0, Units::Mm), "0 mm");
    }

    #[test]
    fn written_lengths() {
        assert_eq!(source_length(104.0, Units::Mm, Rounding::Down), "104mm");
        assert_eq!(source_length(103.98, Units::Mm, Rounding::Down), "103.9mm");
        assert_eq!(source_length(107.95, Units::Inch, Rounding::Up), "4 1/4in");
        assert_eq!(source_length(3.175, Units::Inch, Rounding::Nearest), "1/8in");
    }
}
