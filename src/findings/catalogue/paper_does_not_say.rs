use super::*;

/// A fact a paper does not state.
pub struct PaperDoesNotSay {
    pub place: Span,
    pub name: String,
    pub word: String,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "paper-does-not-say",
    severity: Severity::Error,
    family: Family::Values,
    title: "A paper does not state what a line asks of it",
    explanation: "A calculation asks for the thickness or the weight of a paper, and the paper's own line does not give it. Thickness is never guessed in a calculation: measure ten sheets and divide.",
    wrong: r#"card "Kite"
paper board: 200gsm
let gap = 2 * board.thickness
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.25mm thick
let gap = 2 * board.thickness
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for PaperDoesNotSay {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` does not state its {}", self.name, self.word))
            .label("asked here")
            .other(self.defined, format!("no {} stated", self.word))
            .help("state it where the paper is declared, for example `0.25mm thick` or `200gsm`")
    }
}
