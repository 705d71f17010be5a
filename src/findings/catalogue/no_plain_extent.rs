use super::*;

/// A width or height that cannot be told without geometry.
pub struct NoPlainExtent {
    pub place: Span,
    pub name: String,
    pub word: String,
}

pub static ENTRY: Entry = Entry {
    name: "no-plain-extent",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A part has no plain width or height to calculate with",
    explanation: "Widths and heights in calculations are exact, so they are only known for pieces with a plain size and for panels between full scores square to the edges. For others, name the measurement with `let` and use the name in both places.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley from (0mm, 20mm) to (60mm, 50mm)
  panel head at (30mm, 5mm)
  panel tail at (30mm, 75mm)
}
let half = kite.head.width
"#,
    right: r#"card "Kite"
paper board: 200gsm
let wide = 60mm
let half = wide / 2
piece kite of board {
  size wide by 80mm
  valley from (0mm, 20mm) to (half * 2, 50mm)
  panel head at (30mm, 5mm)
  panel tail at (30mm, 75mm)
}
"#,
};

impl Fault for NoPlainExtent {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` has no plain {} to calculate with", self.name, self.word))
            .label("not known exactly")
            .help("name the measurement with `let` and use the name here and there")
    }
}
