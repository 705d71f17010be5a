use super::*;

/// A division by nothing.
pub struct DivideByZero {
    pub place: Span,
    pub literal: Option<Span>,
}

pub static ENTRY: Entry = Entry {
    name: "divide-by-zero",
    severity: Severity::Error,
    family: Family::Values,
    title: "Something is divided by zero",
    explanation: "A measurement cannot be divided by zero. Often the zero hides behind a name.",
    wrong: r#"card "Kite"
paper board: 200gsm
let steps = 0
let tall = 80mm / steps
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
let steps = 2
let tall = 80mm / steps
piece kite of board { size 60mm by tall }
"#,
};

impl Fault for DivideByZero {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, "this divides by zero").label("zero");
        match self.literal {
            Some(literal) if literal != self.place => telling.other(literal, "the zero comes from here"),
            _ => telling,
        }
    }
}
