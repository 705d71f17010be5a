use super::*;

/// A unit that stands apart from its number.
pub struct DetachedUnit {
    pub place: Span,
    pub gap: Span,
    /// The measurement in one piece.
    pub written: String,
}

pub static ENTRY: Entry = Entry {
    name: "detached-unit",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A unit stands apart from its number",
    explanation: "A number and its unit are written in one piece, as in 60mm. Only a fraction has a space, between the whole and the fraction: 4 1/2in.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60 mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for DetachedUnit {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "a number and its unit are written in one piece")
            .label("a space before the unit")
            .help(format!("write `{}`", self.written))
            .propose_mend(Mend {
                says: format!("write `{}`", self.written),
                edits: vec![Edit { span: self.gap, text: String::new() }],
                safe: true,
            })
    }
}
