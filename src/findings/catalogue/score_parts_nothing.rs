use super::*;

/// A score that ends inside a panel and parts nothing.
pub struct ScorePartsNothing {
    pub crease: String,
    pub piece: String,
    pub place: Span,
    pub length: f64,
}

pub static ENTRY: Entry = Entry {
    name: "score-parts-nothing",
    severity: Severity::Error,
    family: Family::Folding,
    title: "A score parts nothing",
    explanation: "A fold needs paper on both sides that can turn: a score must run from edge to edge, or between \
                  cuts and other scores. One that ends inside a panel cannot fold.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley dart: 30mm from left, 10mm to 40mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley dart: 30mm from left
}
"#,
};

impl Fault for ScorePartsNothing {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(
            self.place,
            format!("`{}` of `{}` cannot fold: it ends inside a panel", self.crease, self.piece),
        )
        .label(format!("{} long, with the same panel on both sides", say.length(self.length)))
        .help("run it from edge to edge, or cut slits that meet its ends")
        .measured("length", self.length, "mm")
    }
}
