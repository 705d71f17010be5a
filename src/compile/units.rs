//! The units a design speaks in when nobody says: those of the first length in its text.

use crate::quantity::{Unit, Units};

/// Inches or millimetres, whichever the text uses first outside its comments and its texts in quotes; millimetres
/// when it uses neither. Points are no answer: both kinds of maker give a paper's thickness in them.
pub fn of_text(text: &str) -> Units {
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '#' => rest.find('\n').unwrap_or(rest.len()),
            '"' => 1 + rest[1..].find(['"', '\n']).map_or(rest.len() - 1, |end| end + 1),
            c if c.is_ascii_digit() => {
                let digits = run(rest, |c| c.is_ascii_digit() || c == '.' || c == '/');
                let suffix = &rest[digits..];
                let word = &suffix[..run(suffix, char::is_alphanumeric)];
                match Unit::from_suffix(word) {
                    Some(Unit::Millimetre | Unit::Centimetre) => return Units::Mm,
                    Some(Unit::Inch) => return Units::Inch,
                    _ => digits + word.len(),
                }
            }
            c if c.is_alphabetic() || c == '_' => run(rest, |c| c.is_alphanumeric() || c == '_'),
            c => c.len_utf8(),
        };
        rest = &rest[length..];
    }
    Units::default()
}

/// Bytes at the start of a text whose characters all pass.
fn run(text: &str, passes: impl Fn(char) -> bool) -> usize {
    text.find(|c| !passes(c)).unwrap_or(text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_length_decides() {
        assert_eq!(of_text("size 4 1/2in by 60mm"), Units::Inch);
        assert_eq!(of_text("size 1.5cm by 3in"), Units::Mm);
        assert_eq!(of_text("card \"12in of rain\" # 3in\npaper p: 0.4mm thick\n"), Units::Mm);
        assert_eq!(of_text("let rail2in = 40mm"), Units::Mm);
        assert_eq!(of_text("paper p: 14pt thick\nsize 3in by 5in"), Units::Inch);
        assert_eq!(of_text("envelope C6\ncard \"unfinished"), Units::Mm);
        assert_eq!(of_text("\"é\" 80lb # °\n3/4in"), Units::Inch);
    }
}
