use super::*;

/// Two tabs that need the same paper.
pub struct TabsOverlap {
    pub first: String,
    pub second: String,
    pub before: Span,
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "tabs-overlap",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Two tabs need the same paper",
    explanation: "Tabs are cut from the sheet beside their edges. Two of them share paper when they hang on one \
                  edge, or in an inner corner.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 9mm off bottom: 5mm to 40mm from left, square ends
  tab heel 9mm off bottom: 30mm to 55mm from left, square ends
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 9mm off bottom: 5mm to 28mm from left, square ends
  tab heel 9mm off bottom: 30mm to 55mm from left, square ends
}
"#,
};

impl Fault for TabsOverlap {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("tabs `{}` and `{}` overlap", self.first, self.second))
            .label("needs the same paper")
            .other(self.before, format!("`{}`", self.first))
            .help("shorten one of them along the edge")
    }
}
