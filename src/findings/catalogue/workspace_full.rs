use super::*;

/// More text than the compiler holds.
pub struct WorkspaceFull {
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "workspace-full",
    severity: Severity::Error,
    family: Family::Names,
    title: "There is more text than the compiler can hold",
    explanation: "All files of one design together may be at most four gigabytes long. A design is a few pages; something else has been named by mistake.",
    wrong: r#""#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for WorkspaceFull {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "this design and its files are too long to be read together").label("did not fit")
    }
}
