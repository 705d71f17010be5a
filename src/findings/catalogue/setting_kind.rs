use super::*;

/// A setting that its joint cannot take.
pub struct SettingKind {
    pub place: Span,
    pub slides: bool,
    pub turns: bool,
}

pub static ENTRY: Entry = Entry {
    name: "setting-kind",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A joint is set to something it cannot do",
    explanation: "Folds and brads are set to an angle, folds also to `folded flat`; straps and slides to a stop (`at top`) or to a distance (`at 20mm from bottom`).",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
pose open { kite.dip at top }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
pose open { kite.dip 90deg }
"#,
};

impl Fault for SettingKind {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let (what, example) = match (self.slides, self.turns) {
            (true, _) => ("this part slides", "`at top` or `at 20mm from bottom`"),
            (false, true) => ("this part turns", "an angle such as `30deg`"),
            (false, false) => ("this is a fold", "an angle such as `90deg`, or `folded flat`"),
        };
        Telling::new(self.place, format!("{what} and cannot be set to this")).label("does not fit").help(format!("write {example}"))
    }
}
