use super::*;

/// A number with a mark for inches.
pub struct InchMark {
    pub place: Span,
    /// The mark alone.
    pub sign: Span,
    pub number: String,
    pub mark: String,
}

pub static ENTRY: Entry = Entry {
    name: "inch-mark",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "Inches are written with a mark",
    explanation: "The double stroke is a sign for inches on paper, but in a design it begins a text. Inches are written `in`, right behind the number: 12in, 3/4in, 4 1/2in.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 4" by 6in
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 4in by 6in
}
"#,
};

impl Fault for InchMark {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("inches are written `{0}in`, not `{0}{1}`", self.number, self.mark))
            .label("a number with an inch mark")
            .help(format!("write `{}in`", self.number))
            .propose(self.sign, "in", true)
    }
}
