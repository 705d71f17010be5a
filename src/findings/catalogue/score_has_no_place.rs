use super::*;

/// A score read from something that has no place yet.
pub struct ScoreHasNoPlace {
    pub crease: String,
    pub piece: String,
    pub place: Span,
    pub from: Span,
}

pub static ENTRY: Entry = Entry {
    name: "score-has-no-place",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A score is read from something that is not there yet",
    explanation: "A score is read from an edge of its piece or from another score. It cannot be read from a panel \
                  that it makes itself, nor two scores from each other.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley a: 10mm from b
  valley b: 10mm from a
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley a: 20mm from left
  valley b: 10mm from a
}
"#,
};

impl Fault for ScoreHasNoPlace {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message = format!(
            "`{}` of `{}` is read from something that is not fixed before it",
            self.crease, self.piece
        );
        Telling::new(self.place, message)
            .label("no place")
            .other(self.from, "read from here")
            .help("read it from an edge of the piece")
    }
}
