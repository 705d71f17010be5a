use super::*;

/// An opening that reaches beyond its panel.
pub struct CutoutOutsidePanel {
    pub cutout: String,
    pub word: &'static str,
    pub panel: Option<String>,
    pub place: Span,
    /// How far, and over which side.
    pub over: Option<(f64, &'static str)>,
    pub size: (f64, f64),
    pub room: (f64, f64),
}

pub static ENTRY: Entry = Entry {
    name: "cutout-outside-panel",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "An opening reaches beyond its panel",
    explanation: "A slot, slit, window or hole lies on the panel it is read on. One that reaches over the edge of \
                  the panel would cut a fold or the outline.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  window pane: rectangle 30mm by 20mm, 40mm from left, 10mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  window pane: rectangle 30mm by 20mm, 20mm from left, 10mm from top
}
"#,
};

impl Fault for CutoutOutsidePanel {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let on = self.panel.as_ref().map_or("its piece".to_string(), |panel| format!("`{panel}`"));
        let message = match self.over {
            Some((over, side)) => format!(
                "{} `{}` reaches {} beyond the {side} edge of {on}",
                self.word,
                self.cutout,
                say.length(over)
            ),
            None => format!("{} `{}` reaches beyond the paper of {on}", self.word, self.cutout),
        };
        Telling::new(self.place, message)
            .label(format!(
                "{} on {}",
                say.size(self.size.0, self.size.1),
                say.size(self.room.0, self.room.1)
            ))
            .measured("over", self.over.map_or(0.0, |o| o.0), "mm")
    }
}
