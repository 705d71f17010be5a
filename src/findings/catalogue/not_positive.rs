use super::*;

/// A size of nothing or less.
pub struct NotPositive {
    pub place: Span,
    pub value: f64,
}

pub static ENTRY: Entry = Entry {
    name: "not-positive",
    severity: Severity::Error,
    family: Family::Values,
    title: "A size is zero or less",
    explanation: "Sizes, widths and diameters must be greater than zero. When the value comes from a calculation, one of the measurements in it is larger than it should be.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm - 70mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for NotPositive {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(self.place, format!("this size comes to {}", say.length(self.value)))
            .label("must be greater than zero")
            .measured("value", self.value, "mm")
    }
}
