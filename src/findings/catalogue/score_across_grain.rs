use super::*;

/// Heavy paper that can only be scored across its grain.
pub struct ScoreAcrossGrain {
    pub score: Named,
    pub piece: Named,
    pub paper: Named,
    /// mm of the piece.
    pub size: (f64, f64),
    pub sheet: String,
}

pub static ENTRY: Entry = Entry {
    name: "score-across-grain",
    severity: Severity::Caution,
    family: Family::Folding,
    title: "Heavy paper is scored across its grain",
    explanation: "The fibres of a sheet run one way, its grain. Heavy paper folded across the grain cracks along the fold and springs open. Here the piece is too long for its sheet to be laid so that the score runs with the grain: take a sheet whose grain runs the other way, a larger sheet, or a lighter paper.",
    wrong: r#"card "Garden gate"
paper cover: 300gsm, 0.4mm thick, sheet A4, grain long
piece page of cover {
  size 280mm by 100mm
  valley spine: 140mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
"#,
    right: r#"card "Garden gate"
paper cover: 300gsm, 0.4mm thick, sheet A4, grain short
piece page of cover {
  size 280mm by 100mm
  valley spine: 140mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
"#,
};

impl Fault for ScoreAcrossGrain {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let size = say.size(self.size.0, self.size.1);
        Telling::new(
            self.score.span,
            format!("on a sheet {}, {} of `{}` can only run across the grain", self.sheet, self.score.name, self.piece.name),
        )
        .label("across the grain")
        .other(self.piece.span, format!("{size}: fits the sheet one way only"))
        .other(self.paper.span, "heavy paper")
        .why("heavy paper folded across its grain cracks and springs open")
        .help("take paper whose grain runs the other way, a larger sheet, or a lighter paper")
        .measured("width", self.size.0, "mm")
        .measured("height", self.size.1, "mm")
    }
}
