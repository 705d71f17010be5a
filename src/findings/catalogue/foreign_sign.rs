use super::*;

/// A sign that looks like one of the language and is another.
pub struct ForeignSign {
    pub place: Span,
    pub sign: String,
    /// What it stands for; empty for a sign that cannot be seen.
    pub mend: String,
    pub why: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "foreign-sign",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A sign only looks right",
    explanation: "Text copied from a web page or a word processor often holds signs that look like plain ones and are not: a long minus, a printed half, a wide colon, a space that cannot be seen. A design is written with the plain signs of the keyboard.",
    wrong: r#"card "Kite"
paper board: 200gsm
let trim = 4½mm
piece kite of board {
  size 60mm - trim by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
let trim = 4 1/2mm
piece kite of board {
  size 60mm - trim by 80mm
}
"#,
};

impl Fault for ForeignSign {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message = match self.mend.is_empty() {
            true => "a sign that cannot be seen stands here".to_string(),
            false => format!("`{}` is not the sign `{}`", self.sign, self.mend),
        };
        let help = match self.mend.is_empty() {
            true => "take it out".to_string(),
            false => format!("write `{}`", self.mend),
        };
        Telling::new(self.place, message)
            .label(self.why)
            .help(help)
            .propose(self.place, self.mend.clone(), true)
    }
}
