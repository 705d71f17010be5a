use super::*;

/// A slot or hole with a score running through it.
pub struct SlotMeetsScore {
    pub cutout: String,
    pub word: &'static str,
    pub crease: String,
    pub place: Span,
    pub score: Span,
    pub length: f64,
}

pub static ENTRY: Entry = Entry {
    name: "slot-meets-score",
    severity: Severity::Error,
    family: Family::Folding,
    title: "A score runs through a slot or a hole",
    explanation: "A strap, a tongue or a pin works on flat paper. Where the paper folds inside its opening it \
                  jams.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley keel: 30mm from left
  slot rail: 2mm wide, 20mm from top, 10mm to 50mm from left
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley keel: 30mm from left
  slot rail: 2mm wide, 20mm from top, 34mm to 54mm from left
}
"#,
};

impl Fault for SlotMeetsScore {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!("score `{}` runs through {} `{}`", self.crease, self.word, self.cutout);
        Telling::new(self.place, message)
            .label(format!("the fold crosses it over {}", say.length(self.length)))
            .other(self.score, "this score")
            .help("keep the opening on one panel")
            .measured("length", self.length, "mm")
    }
}
