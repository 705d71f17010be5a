use super::*;

/// A name given twice.
pub struct NameTaken {
    pub place: Span,
    pub name: String,
    pub before: Span,
}

pub static ENTRY: Entry = Entry {
    name: "name-taken",
    severity: Severity::Error,
    family: Family::Names,
    title: "A name is given to two things",
    explanation: "Two things in one place have the same name, so nobody could tell which one a later line speaks of. Rename one of them.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley fold: 20mm from top
  valley fold: 50mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley fold: 20mm from top
  valley dip: 50mm from top
}
"#,
};

impl Fault for NameTaken {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("the name `{}` is already taken", self.name))
            .label("given again here")
            .other(self.before, "given here first")
            .help("give one of the two another name")
    }
}
