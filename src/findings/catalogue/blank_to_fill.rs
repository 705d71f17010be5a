use super::*;

/// A `?` in the design.
pub struct BlankToFill {
    pub place: Span,
    pub expected: Option<Dimension>,
    pub hint: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "blank-to-fill",
    severity: Severity::Note,
    family: Family::Values,
    title: "A blank is still to be filled in",
    explanation: "A question mark stands for a value that is yet to be found. Everything that does not depend on it is checked as usual. Write the value in its place.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by ?
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for BlankToFill {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let kind = self.expected.map_or("a value", Dimension::spoken);
        let mut telling = Telling::new(self.place, format!("{kind} is still to be filled in here")).label(kind);
        if let Some(hint) = &self.hint {
            telling = telling.help(format!("hint: {hint}"));
        }
        telling
    }
}
