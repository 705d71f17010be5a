use super::*;

/// A fact a statement cannot do without.
pub struct MeasureMissing {
    pub place: Span,
    pub statement: &'static str,
    pub what: &'static str,
    pub example: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "measure-missing",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A statement lacks a fact it needs",
    explanation: "Some facts cannot be guessed: a slot's width, a strap's overlap, a hole's diameter. The finding names the one that is missing and shows how it is written.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  hole eye: centred, 20mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  hole eye: 3mm, centred, 20mm from top
}
"#,
};

impl Fault for MeasureMissing {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("{} needs {}", self.statement, self.what))
            .label(format!("{} is missing", self.what))
            .help(format!("add it, for example {}", self.example))
    }
}
