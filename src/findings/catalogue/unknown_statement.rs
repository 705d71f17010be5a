use super::*;

/// A line that begins with no statement word.
pub struct UnknownStatement {
    pub place: Span,
    pub word: String,
    pub near: Option<String>,
    /// The usual form of the statement that was probably meant.
    pub form: Option<&'static str>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-statement",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A line begins with an unknown word",
    explanation: "Every statement begins with its statement word, such as `piece`, `glue` or `valley`. This word is none of them; often it is a slip of the pen.",
    wrong: r#"card "Kite"
paper board: 200gsm
peice kite of board {
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

impl Fault for UnknownStatement {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, format!("`{}` begins no statement", self.word)).label("unknown statement");
        match (&self.near, self.form) {
            (Some(near), _) => telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true),
            (None, Some(form)) => telling.help(format!("perhaps you mean a line such as `{form}`")),
            (None, None) => telling.help("begin the line with a statement word such as `piece`, `glue` or `let`"),
        }
    }
}
