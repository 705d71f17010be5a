use super::*;

/// A statement with a block whose opening brace is left out.
pub struct MissingBrace {
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "missing-brace",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A block has no opening brace",
    explanation: "What belongs to a piece, a pose, a motion or another block stands between { and }.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board
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

impl Fault for MissingBrace {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "the `{` that begins the block is missing")
            .label("expected `{` here")
            .help("write `{` here, and `}` where the block ends")
            .propose(self.place, " {", false)
    }
}
