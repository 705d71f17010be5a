use super::*;

/// A part without a joint that a pose could set.
pub struct NothingToMove {
    pub place: Span,
    pub name: String,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "nothing-to-move",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A part has nothing that moves",
    explanation: "A pose sets folds, slides, straps and brads. This part has none of them of its own: name the score, the strap or the slide that moves it.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
pose open { kite 90deg }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
pose open { kite 90deg }
"#,
};

impl Fault for NothingToMove {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` has no fold, slide or brad to set", self.name))
            .label("nothing moves here")
            .other(self.defined, "declared here")
    }
}
