use super::*;

/// A fact stated twice.
pub struct SaidTwice {
    pub place: Span,
    pub what: &'static str,
    pub before: Span,
}

pub static ENTRY: Entry = Entry {
    name: "said-twice",
    severity: Severity::Error,
    family: Family::Values,
    title: "Something that is said once is said twice",
    explanation: "A design has one title, one envelope and one grid, and a piece one size or shape. Take out the line that no longer holds.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  size 50mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for SaidTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("the {} is said twice", self.what))
            .label("said again here")
            .other(self.before, "said here before")
            .help("take one of the two out")
    }
}
