use super::*;

/// A word with a meaning in its place, misspelt.
pub struct MisspeltWord {
    pub place: Span,
    pub word: String,
    pub near: String,
}

pub static ENTRY: Entry = Entry {
    name: "misspelt-word",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A word is misspelt",
    explanation: "In this place a statement takes certain words only. The word that stands here is none of them, and with the nearest one the line can be read.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.25mm thik
piece kite of board {
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.25mm thick
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for MisspeltWord {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` has no meaning here", self.word))
            .label("perhaps a slip of the pen")
            .help(format!("did you mean `{}`?", self.near))
            .propose(self.place, self.near.clone(), true)
    }
}
