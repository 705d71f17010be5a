use super::*;

/// A cut that divides a panel.
pub struct CutPartsPanel {
    pub panel: String,
    pub piece: String,
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "cut-parts-panel",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A cut parts a panel",
    explanation: "An opening or a slit read on a panel runs right across it, so that it falls in two.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panels wing, body from left
  slit s on body: 30mm from left, 0mm to 80mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panels wing, body from left
  slit s on body: 30mm from left, 10mm to 70mm from top
}
"#,
};

impl Fault for CutPartsPanel {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("panel `{}` of `{}` is cut in two", self.panel, self.piece))
            .label("this panel")
            .help("end the cut before the edge, or make two pieces of it")
    }
}
