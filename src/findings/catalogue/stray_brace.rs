use super::*;

/// A closing brace that closes nothing.
pub struct StrayBrace {
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "stray-brace",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A brace closes nothing",
    explanation: "Every } closes the block that the nearest { before it began. Here no block is open: either there is one } too many, or a { is missing further up.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for StrayBrace {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this `}` closes nothing")
            .label("no block is open here")
            .help("take it out, or look for a missing `{` above")
            .propose(self.place, "", false)
    }
}
