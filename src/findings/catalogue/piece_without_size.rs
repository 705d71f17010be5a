use super::*;

/// A piece that does not say how large it is.
pub struct PieceWithoutSize {
    pub place: Span,
    pub name: String,
    pub statement: Span,
}

pub static ENTRY: Entry = Entry {
    name: "piece-without-size",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A piece does not say how large it is",
    explanation: "Every piece starts with its size, width by height, or with a shape.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  valley dip: 40mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
"#,
};

impl Fault for PieceWithoutSize {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` does not say how large it is", self.name))
            .label("no size or shape")
            .help("add `size 100mm by 80mm` or a shape such as `shape circle 40mm` inside its braces")
    }
}
