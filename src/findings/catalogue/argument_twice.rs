use super::*;

/// An argument given twice.
pub struct ArgumentTwice {
    pub place: Span,
    pub name: String,
    pub before: Span,
}

pub static ENTRY: Entry = Entry {
    name: "argument-twice",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A mechanism is given the same value twice",
    explanation: "The same value is given once by place and once by name, or twice by name. Take one of them out.",
    wrong: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm, 30mm, tall: 50mm) as kite
"#,
    right: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm, 30mm) as kite
"#,
};

impl Fault for ArgumentTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` is given twice", self.name))
            .label("given again here")
            .other(self.before, "given here before")
    }
}
