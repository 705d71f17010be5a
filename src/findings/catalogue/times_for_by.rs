use super::*;

/// A size with a cross between its measurements.
pub struct TimesForBy {
    pub place: Span,
    pub sign: String,
    /// What stands in its place.
    pub mend: String,
}

pub static ENTRY: Entry = Entry {
    name: "times-for-by",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A size has a cross between its measurements",
    explanation: "Width and height are joined by the word `by`: size 60mm by 80mm. Width comes first.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm x 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for TimesForBy {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("width and height are joined by the word `by`, not by `{}`", self.sign))
            .label("expected `by`")
            .help(format!("write `{}`", self.mend))
            .propose(self.place, self.mend.clone(), true)
    }
}
