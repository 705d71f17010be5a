use super::*;

/// A ruler reading with the edge before the length.
pub struct ReversedReading {
    pub place: Span,
    /// The reading in its order.
    pub reading: String,
}

pub static ENTRY: Entry = Entry {
    name: "reversed-reading",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A ruler reading is in the wrong order",
    explanation: "A ruler reading has its length first and its edge behind it: 10mm from left.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  valley keel: from left 30mm
  panels port, starboard from left
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  valley keel: 30mm from left
  panels port, starboard from left
  size 60mm by 80mm
}
"#,
};

impl Fault for ReversedReading {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "a ruler reading has its length first")
            .label("the edge stands before the length")
            .help(format!("write `{}`", self.reading))
            .propose(self.place, self.reading.clone(), true)
    }
}
