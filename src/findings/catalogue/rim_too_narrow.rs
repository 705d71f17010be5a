use super::*;

/// An opening that almost breaks through the edge.
pub struct RimTooNarrow {
    pub opening: Named,
    pub piece: Named,
    /// mm of paper outside the opening.
    pub rim: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "rim-too-narrow",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Too little paper is left between an opening and the edge",
    explanation: "The strip of paper between an opening and the edge of its piece is narrower than 1.5 mm (1/16 in). It tears while it is cut. Move the opening in, or let it run out through the edge on purpose as a notch.",
    wrong: r#"card "Barn"
paper board: 250gsm, 0.3mm thick
piece wall of board {
  size 80mm by 60mm
  window hatch: rectangle 20mm by 15mm, 1mm from left, 20mm from top
}
"#,
    right: r#"card "Barn"
paper board: 250gsm, 0.3mm thick
piece wall of board {
  size 80mm by 60mm
  window hatch: rectangle 20mm by 15mm, 4mm from left, 20mm from top
}
"#,
};

impl Fault for RimTooNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let rim = say.length(self.rim);
        Telling::new(
            self.opening.span,
            format!("only {rim} of paper is left between {} and the edge of `{}`", self.opening.name, self.piece.name),
        )
        .label(format!("{rim} from the edge"))
        .other(self.piece.span, "the piece it is cut in")
        .why("so thin a strip tears while it is cut")
        .help(format!("leave {} or more, or let the opening run out through the edge", say.length(BRIDGE_MM)))
        .measured("rim", self.rim, "mm")
        .rewrite(self.mend, say)
    }
}
