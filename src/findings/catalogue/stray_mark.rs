use super::*;

/// A mark or word too many.
pub struct StrayMark {
    pub place: Span,
    pub mark: String,
}

pub static ENTRY: Entry = Entry {
    name: "stray-mark",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A mark stands where none belongs",
    explanation: "A statement ends with its last word: no semicolon, comma or full stop closes it, and no mark stands twice.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm;
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for StrayMark {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` does not belong here", self.mark))
            .label("one too many")
            .help("take it out")
            .propose(self.place, "", true)
    }
}
