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
        let telling = Telling::new(self.place, format!("`{}` does not belong here", self.mark)).label("one too many");
        if self.mark == "not" {
            // Whether one of two is one too many, or both, changes what is claimed.
            return telling.help("deny a claim once, or not at all");
        }
        telling.help("take it out").propose(self.place, "", true)
    }
}
