//! Values as people read them: inches as fractions, mm to the tenth.

use super::{Dimension, Exact, Rounding};

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

/// How thick paper or a stack of it is: hundredths of a mm, thousandths of an inch where it is thinner than 1/8 in and no
/// whole number of sixteenths.
pub fn say_thickness(mm: f64, units: Units) -> String {
    let sixteenths = mm / MM_PER_INCH * 16.0;
    let whole = sixteenths.round() != 0.0 && (sixteenths - sixteenths.round()).abs() < 0.01;
    match units {
        Units::Mm => format!("{} mm", trim(mm, 2)),
        Units::Inch if sixteenths.abs() < 2.0 && !whole => format!("{} in", trim(mm / MM_PER_INCH, 3)),
        Units::Inch => say_length(mm, units),
    }
}

/// Two values beside each other, spoken alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Compared {
    pub first: String,
    pub second: String,
    /// By how much they differ; `None` when they do not.
    pub by: Option<String>,
}

/// What a value is compared with is rounded by no more than this share of their difference.
const MOST_ROUNDED: f64 = 0.05;

/// Two values and their difference, in base units, with as many digits as it takes for the difference of the spoken ones
/// to be the spoken difference.
pub fn say_compared(first: f64, second: f64, dimension: Dimension, units: Units) -> Compared {
    let difference = (first - second).abs();
    let (scale, unit, fewest) = match (dimension, units) {
        (Dimension::Number, _) => (1.0, "", 3),
        (Dimension::Length, Units::Mm) => (1.0, " mm", 1),
        (Dimension::Length, Units::Inch) => (MM_PER_INCH, " in", 3),
        (Dimension::Area, Units::Mm) => (100.0, " cm²", 1),
        (Dimension::Area, Units::Inch) => (MM_PER_INCH * MM_PER_INCH, " sq in", 2),
        (Dimension::Angle, _) => (1.0, "°", 1),
        (Dimension::Grammage, _) => (1.0, " g/m²", 1),
        (Dimension::Mass, _) => (1.0, " g", 1),
    };
    let finest = fewest + 3;
    let differ = difference > 0.5 * scale * 10f64.powi(-finest);
    let fractions = dimension == Dimension::Length && units == Units::Inch;
    // Fractions of an inch: of what is not thin, and of a difference that a ruler shows.
    let ruled = |mm: f64| mm == 0.0 || mm.abs() >= MM_PER_INCH / 16.0;
    if fractions && ruled(first) && ruled(second) && (!differ || difference >= MM_PER_INCH / 32.0) {
        let by = differ.then(|| say_length(difference, units));
        return Compared { first: say_length(first, units), second: say_length(second, units), by };
    }
    let grid = |places: i32, value: f64| (value / scale * 10f64.powi(places)).round();
    let agrees = |places: &i32| {
        let (a, b, by) = (grid(*places, first), grid(*places, second), grid(*places, difference));
        let unit = scale * 10f64.powi(-places);
        let off = (b * unit - second).abs();
        (a - b).abs() == by && (by != 0.0) == differ && off <= MOST_ROUNDED * difference.max(unit)
    };
    let places = (fewest..finest).find(agrees).unwrap_or(finest);
    let said =
        |value: f64| format!("{}{unit}", trim(grid(places, value) / 10f64.powi(places), places as usize));
    Compared { first: said(first), second: said(second), by: differ.then(|| said(difference)) }
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
    fn a_difference_is_that_of_the_values_beside_it() {
        let said = |a, b, dimension, units| {
            let Compared { first, second, by } = say_compared(a, b, dimension, units);
            (first, second, by.unwrap_or_default())
        };
        let texts = |a: &str, b: &str, by: &str| (a.to_string(), b.to_string(), by.to_string());
        let (mm, inch) = (Units::Mm, Units::Inch);
        assert_eq!(said(0.15, 0.18, Dimension::Length, mm), texts("0.15 mm", "0.18 mm", "0.03 mm"));
        assert_eq!(said(2.9, 2.84, Dimension::Length, mm), texts("2.9 mm", "2.84 mm", "0.06 mm"));
        assert_eq!(said(100.04, 101.0, Dimension::Length, mm), texts("100 mm", "101 mm", "1 mm"));
        assert_eq!(said(2.36, 1.31, Dimension::Length, mm), texts("2.36 mm", "1.31 mm", "1.05 mm"));
        assert_eq!(said(296.5, 296.0, Dimension::Length, mm), texts("296.5 mm", "296 mm", "0.5 mm"));
        assert_eq!(said(140.0, 140.0, Dimension::Length, mm), texts("140 mm", "140 mm", ""));
        assert_eq!(said(0.2032, 0.2286, Dimension::Length, inch), texts("0.008 in", "0.009 in", "0.001 in"));
        assert_eq!(said(114.3, 107.95, Dimension::Length, inch), texts("4 1/2 in", "4 1/4 in", "1/4 in"));
        assert_eq!(said(7.403, 7.38, Dimension::Mass, mm), texts("7.4 g", "7.38 g", "0.02 g"));
        assert_eq!(said(30.0, -30.0, Dimension::Angle, mm), texts("30°", "-30°", "60°"));
    }

    #[test]
    fn thin_paper_is_spoken_of_finely() {
        assert_eq!(say_thickness(0.32, Units::Mm), "0.32 mm");
        assert_eq!(say_thickness(0.2032, Units::Inch), "0.008 in");
        assert_eq!(say_thickness(1.5875, Units::Inch), "1/16 in");
        assert_eq!(say_thickness(6.35, Units::Inch), "1/4 in");
    }

    #[test]
    fn written_lengths() {
        assert_eq!(source_length(104.0, Units::Mm, Rounding::Down), "104mm");
        assert_eq!(source_length(103.98, Units::Mm, Rounding::Down), "103.9mm");
        assert_eq!(source_length(107.95, Units::Inch, Rounding::Up), "4 1/4in");
        assert_eq!(source_length(3.175, Units::Inch, Rounding::Nearest), "1/8in");
    }
}
