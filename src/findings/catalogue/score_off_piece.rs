use super::*;

/// A score line that does not lie on its piece.
pub struct ScoreOffPiece {
    pub crease: String,
    pub piece: String,
    pub place: Span,
    /// How far it overshoots the paper; `None` when it misses it.
    pub over: Option<f64>,
    /// The reading and the side it is taken from.
    pub reading: Option<(f64, &'static str)>,
    /// Where the end of its extent is written.
    pub extent: Option<(Span, Option<Span>)>,
    /// The largest end that still lies on the paper.
    pub extent_end: Option<f64>,
    pub size: (f64, f64),
}

pub static ENTRY: Entry = Entry {
    name: "score-off-piece",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A score does not lie on its piece",
    explanation: "A score reads from an edge of its piece and runs over the paper. One that misses the paper, or \
                  runs on beyond it, comes from a reading that is larger than the piece.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 70mm from left
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 30mm from left
}
"#,
};

impl Fault for ScoreOffPiece {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let size = say.size(self.size.0, self.size.1);
        let message = match (self.over, self.reading) {
            (Some(over), _) => {
                format!("`{}` runs {} beyond the paper of `{}`", self.crease, say.length(over), self.piece)
            }
            (None, Some((value, side))) => format!(
                "`{}` lies {} from {side}, and `{}` measures {size}",
                self.crease,
                say.length(value),
                self.piece
            ),
            (None, None) => {
                format!("`{}` does not cross `{}`, which measures {size}", self.crease, self.piece)
            }
        };
        let telling = Telling::new(self.place, message)
            .label(if self.over.is_some() { "too long" } else { "beside the paper" })
            .measured("over", self.over.unwrap_or(0.0), "mm");
        match (self.extent, self.extent_end) {
            (Some((span, literal)), Some(end)) => {
                let telling = telling.other(span, "it ends here");
                telling.propose(literal.unwrap_or(span), say.write(end, Rounding::Down), false)
            }
            _ => telling.help("read it from the edge you measured from"),
        }
    }
}
