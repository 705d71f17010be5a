use super::*;

/// A word that is no side.
pub struct NotASide {
    pub place: Span,
    pub word: String,
}

pub static ENTRY: Entry = Entry {
    name: "not-a-side",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "This is no side of a panel",
    explanation: "Readings are taken from left, right, top or bottom of a panel lying printed side up.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
  panels head, tail from tpo
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
  panels head, tail from top
}
"#,
};

impl Fault for NotASide {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let near = crate::source::nearest(&self.word, ["left", "right", "top", "bottom"]);
        let telling = Telling::new(self.place, format!("`{}` is no side: use left, right, top or bottom", self.word)).label("no side");
        match near {
            Some(near) => telling.propose(self.place, near, true),
            None => telling,
        }
    }
}
