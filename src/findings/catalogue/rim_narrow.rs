use super::*;

/// An opening with little paper outside it.
pub struct RimNarrow {
    pub opening: Named,
    pub piece: Named,
    /// mm of paper outside the opening.
    pub rim: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "rim-narrow",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "Little paper is left between an opening and the edge",
    explanation: "The strip of paper between an opening and the edge of its piece is narrower than 3 mm (1/8 in). It can be cut with care, but it bends and tears easily.",
    wrong: r#"card "Barn"
paper board: 250gsm, 0.3mm thick
piece wall of board {
  size 80mm by 60mm
  window hatch: rectangle 20mm by 15mm, 2mm from left, 20mm from top
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

impl Fault for RimNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let rim = say.length(self.rim);
        Telling::new(
            self.opening.span,
            format!("{rim} of paper between {} and the edge of `{}` is delicate", self.opening.name, self.piece.name),
        )
        .label(format!("{rim} from the edge"))
        .other(self.piece.span, "the piece it is cut in")
        .help(format!("{} or more holds in daily use", say.length(BRIDGE_MM)))
        .measured("rim", self.rim, "mm")
        .rewrite(self.mend, say)
    }
}
