use super::*;

/// A joining word that is left out or mistaken for another.
pub struct MissingWord {
    /// The wrong word, or the gap.
    pub place: Span,
    pub word: String,
    pub found: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "missing-word",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A joining word is missing",
    explanation: "Small words join the parts of a statement and say what each part is for: size 60mm by 80mm, piece kite of board, glue a to b. One of them is missing here, or another stands in its place.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for MissingWord {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = match &self.found {
            Some(found) => Telling::new(self.place, format!("expected `{}` and found `{found}`", self.word))
                .propose(self.place, self.word.clone(), true),
            None => Telling::new(self.place, format!("the word `{}` is missing", self.word))
                .propose(self.place, format!(" {}", self.word), true),
        };
        telling.label(format!("expected `{}` here", self.word)).help(format!("write `{}`", self.word))
    }
}
