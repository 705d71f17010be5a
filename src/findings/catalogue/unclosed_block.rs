use super::*;

/// A block without its closing brace.
pub struct UnclosedBlock {
    /// Where the block should have ended.
    pub place: Span,
    pub open: Span,
    /// What is missing, with the white space before it.
    pub mend: String,
    /// There is no other place where it could stand.
    pub sure: bool,
}

pub static ENTRY: Entry = Entry {
    name: "unclosed-block",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A block has no closing brace",
    explanation: "A block begins with { and ends with }. This one never ends; where it was meant to end is read from the indentation.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for UnclosedBlock {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this block has no closing `}`")
            .label("expected `}` here")
            .other(self.open, "the block begins here")
            .help("close the block with `}`")
            .propose_mend(Mend {
                says: "close the block with `}`".into(),
                edits: vec![Edit { span: self.place, text: self.mend.clone() }],
                safe: self.sure,
            })
    }
}
