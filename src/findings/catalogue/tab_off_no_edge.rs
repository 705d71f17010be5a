use super::*;

/// A tab that has no straight edge of paper to hang on.
pub struct TabOffNoEdge {
    pub tab: String,
    pub place: Span,
    /// How far its extent reaches beyond the edge, mm.
    pub over: Option<f64>,
}

pub static ENTRY: Entry = Entry {
    name: "tab-off-no-edge",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A tab has no edge to hang on",
    explanation: "A tab is folded off a straight edge of the paper. A curved side, a score inside the piece, or a \
                  stretch longer than the edge cannot carry one.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 9mm off bottom: 10mm to 70mm from left
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 9mm off bottom: 10mm to 50mm from left
}
"#,
};

impl Fault for TabOffNoEdge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        match self.over {
            Some(over) => Telling::new(
                self.place,
                format!("tab `{}` is {} longer than its edge", self.tab, say.length(over)),
            )
            .label("beyond the edge")
            .measured("over", over, "mm"),
            None => {
                Telling::new(self.place, format!("tab `{}` has no straight edge of paper here", self.tab))
                    .label("no straight outer edge")
                    .help("hang it on a straight side of the outline")
            }
        }
    }
}
