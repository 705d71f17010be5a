use super::*;

/// A score so near an edge that nothing is left to fold.
pub struct ScoreNearEdge {
    pub score: Named,
    pub piece: Named,
    /// mm of the strip outside the score.
    pub gap: f64,
    /// mm that two thicknesses take.
    pub least: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "score-near-edge",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A score is too near an edge to be folded",
    explanation: "A strip narrower than two thicknesses of its paper cannot be folded over: there is nothing to hold, and the score breaks out.",
    wrong: r#"card "Tent sign"
paper board: 300gsm, 0.4mm thick
piece sign of board {
  size 100mm by 80mm
  valley 0.5mm from left
  panels hem, face from left
}
"#,
    right: r#"card "Tent sign"
paper board: 300gsm, 0.4mm thick
piece sign of board {
  size 100mm by 80mm
  valley 10mm from left
  panels hem, face from left
}
"#,
};

impl Fault for ScoreNearEdge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (gap, least) = (say.length(self.gap), say.length(self.least));
        Telling::new(self.score.span, format!("{} leaves a strip of only {gap} on `{}`", self.score.name, self.piece.name))
            .label(format!("{gap} to the edge"))
            .other(self.piece.span, "the piece")
            .why(format!("two thicknesses of this paper are {least}: a narrower strip cannot be folded"))
            .help("move the score in, or leave it out")
            .measured("gap", self.gap, "mm")
            .measured("least", self.least, "mm")
            .rewrite(self.mend, say)
    }
}
