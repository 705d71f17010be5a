use super::*;

/// A text in other than straight double quotes.
pub struct CurlyQuotes {
    pub place: Span,
    pub open: Span,
    pub close: Span,
}

pub static ENTRY: Entry = Entry {
    name: "curly-quotes",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A text stands in the wrong quotation marks",
    explanation: "Word processors and web pages turn straight quotation marks into curly ones. A design writes every text in straight double quotes, as in \"Night heron\". Inside them any sign may stand, curly quotes too.",
    wrong: r#"card “Kite”
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

impl Fault for CurlyQuotes {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let edit = |span| Edit { span, text: "\"".into() };
        Telling::new(self.place, "this text stands in the wrong quotation marks")
            .label("needs straight double quotes")
            .help("write straight double quotes at both ends")
            .propose_mend(Mend {
                says: "write straight double quotes".into(),
                edits: vec![edit(self.open), edit(self.close)],
                safe: true,
            })
    }
}
