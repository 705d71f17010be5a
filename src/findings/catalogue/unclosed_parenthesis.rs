use super::*;

/// A parenthesis that is not closed.
pub struct UnclosedParenthesis {
    /// Where it should have been closed.
    pub place: Span,
    pub open: Span,
}

pub static ENTRY: Entry = Entry {
    name: "unclosed-parenthesis",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A parenthesis is not closed",
    explanation: "Every ( needs its ) before the statement goes on.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size (40mm + 20mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size (40mm + 20mm) by 80mm
}
"#,
};

impl Fault for UnclosedParenthesis {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this parenthesis is not closed")
            .label("expected `)` here")
            .other(self.open, "opened here")
            .help("close it with `)`")
            .propose(self.place, ")", false)
    }
}
