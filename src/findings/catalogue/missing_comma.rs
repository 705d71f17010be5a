use super::*;

/// A comma that is left out.
pub struct MissingComma {
    /// The wrong sign, or the gap.
    pub place: Span,
    pub found: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "missing-comma",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A comma is missing",
    explanation: "The parts of a list stand with commas between them: the clauses behind a colon, names, readings, points of a list.",
    wrong: r#"card "Kite"
paper board: 200gsm 0.25mm thick
piece kite of board {
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.25mm thick
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for MissingComma {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = match &self.found {
            Some(found) => Telling::new(self.place, format!("expected `,` and found `{found}`")).propose(self.place, ",", true),
            None => Telling::new(self.place, "`,` is missing").propose(self.place, ",", true),
        };
        telling.label("expected `,` here").help("write `,` here")
    }
}
