use super::*;

/// A colon that is left out.
pub struct MissingColon {
    /// The wrong sign, or the gap.
    pub place: Span,
    pub found: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "missing-colon",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A colon is missing",
    explanation: "A colon divides a statement: what is made or joined stands before it, how and where behind it.",
    wrong: r#"card "Kite"
paper board 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for MissingColon {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = match &self.found {
            Some(found) => Telling::new(self.place, format!("expected `:` and found `{found}`")).propose(self.place, ":", true),
            None => Telling::new(self.place, "`:` is missing").propose(self.place, ":", true),
        };
        telling.label("expected `:` here").help("write `:` here")
    }
}
