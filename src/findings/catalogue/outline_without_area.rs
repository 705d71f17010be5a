use super::*;

/// An outline that encloses nothing.
pub struct OutlineWithoutArea {
    pub piece: String,
    pub place: Span,
    pub width: f64,
    pub height: f64,
}

pub static ENTRY: Entry = Entry {
    name: "outline-without-area",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "An outline encloses nothing",
    explanation: "All corners of the outline lie on one line, so there is no piece to cut.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape polygon (0mm, 0mm) (30mm, 40mm) (60mm, 80mm) }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape polygon (0mm, 0mm) (60mm, 40mm) (0mm, 80mm) }
"#,
};

impl Fault for OutlineWithoutArea {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(self.place, format!("the outline of `{}` encloses no paper", self.piece))
            .label(format!("{} with nothing inside", say.size(self.width, self.height)))
            .help("move one corner off the line")
    }
}
