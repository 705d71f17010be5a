use super::*;

/// A piece longer than any sheet of card.
pub struct PieceTooLarge {
    pub piece: String,
    pub place: Span,
    pub width: f64,
    pub height: f64,
}

pub static ENTRY: Entry = Entry {
    name: "piece-too-large",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A piece is too large to be a card",
    explanation: "A length was probably written in the wrong unit, or with a point or a nought too many: no sheet \
                  of card is longer than three metres.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60in by 6000mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for PieceTooLarge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` measures {}", self.piece, say.size(self.width, self.height)))
            .label("no sheet is that large")
            .help("check the unit of this length")
            .measured("width", self.width, "mm")
            .measured("height", self.height, "mm")
    }
}
