use super::*;

/// A number with a comma before its decimals.
pub struct DecimalComma {
    pub place: Span,
    pub comma: Span,
    /// The number with a point.
    pub number: String,
}

pub static ENTRY: Entry = Entry {
    name: "decimal-comma",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A number has a decimal comma",
    explanation: "A comma separates the parts of a list, so a measurement takes a point before its decimals: 2.5mm.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 62,5mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 62.5mm by 80mm
}
"#,
};

impl Fault for DecimalComma {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("decimals stand behind a point: `{}`", self.number))
            .label("a comma within a number")
            .why("a comma begins the next part of a list")
            .help(format!("write `{}`", self.number))
            .propose(self.comma, ".", false)
    }
}
