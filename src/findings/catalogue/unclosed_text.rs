use super::*;

/// A text without its closing quote.
pub struct UnclosedText {
    /// Just behind the last word of the line.
    pub place: Span,
    pub quote: Span,
}

pub static ENTRY: Entry = Entry {
    name: "unclosed-text",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A text has no closing quotation mark",
    explanation: "A text begins and ends with a straight double quote on the same line.",
    wrong: r#"card "Kite
paper board: 200gsm
piece kite of board {
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

impl Fault for UnclosedText {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this text has no closing quotation mark")
            .label("the line ends here")
            .other(self.quote, "the text begins here")
            .help("put a straight double quote where the text ends")
            .propose(self.place, "\"", false)
    }
}
