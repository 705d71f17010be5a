use super::*;

/// A number beyond what can be held exactly.
pub struct NumberTooLarge {
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "number-too-large",
    severity: Severity::Error,
    family: Family::Values,
    title: "A number is too large or too fine",
    explanation: "Lengths are kept as exact fractions. This number, or what it is multiplied with, needs more digits than can be held exactly; no card needs as many.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 99999999999999999999999999999999999999999mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for NumberTooLarge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this number is too large or too fine to be held exactly").label("this number")
    }
}
