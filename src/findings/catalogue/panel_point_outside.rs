use super::*;

/// A panel named at a point beside the paper.
pub struct PanelPointOutside {
    pub panel: String,
    pub piece: String,
    pub place: Span,
    pub distance: f64,
}

pub static ENTRY: Entry = Entry {
    name: "panel-point-outside",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A panel is named beside the paper",
    explanation: "A panel can be named by any point that lies in it. This point lies beside the piece, or in an \
                  opening.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  panel body at (70mm, 10mm)
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  panel body at (30mm, 10mm)
}
"#,
};

impl Fault for PanelPointOutside {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(
            self.place,
            format!(
                "`{}` is named {} beside the paper of `{}`",
                self.panel,
                say.length(self.distance),
                self.piece
            ),
        )
        .label("no panel here")
        .help("give a point inside the panel, from the top left corner")
        .measured("distance", self.distance, "mm")
    }
}
