use super::*;

/// A clause the statement does not take.
pub struct ClauseNotHere {
    pub place: Span,
    pub what: &'static str,
    pub statement: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "clause-not-here",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A statement does not take this",
    explanation: "Each statement takes its own facts: a strap its width and overlap, a mat its border, a joint where the part lies. This one says something the statement has no use for, or says it twice.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top, 3mm border
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
"#,
};

impl Fault for ClauseNotHere {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("{} does not take {} here", self.statement, self.what))
            .label("not part of this statement")
            .help("take it out, or look the statement up in the reference")
    }
}
