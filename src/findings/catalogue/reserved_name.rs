use super::*;

/// A word of the language where a name belongs.
pub struct ReservedName {
    pub place: Span,
    pub word: String,
}

pub static ENTRY: Entry = Entry {
    name: "reserved-name",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A word of the language is used as a name",
    explanation: "Statement words such as `slot` and joining words such as `to` and `behind` have a fixed meaning and cannot be names. Add something of your own to them: slot_left, panel_a.",
    wrong: r#"card "Kite"
paper board: 200gsm
let slot = 60mm
piece kite of board {
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
let slot_wide = 60mm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for ReservedName {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` is a word of the language and cannot be a name", self.word))
            .label("a name of your own belongs here")
            .help(format!("choose another name, such as `{}_a`, wherever it is used", self.word))
    }
}
