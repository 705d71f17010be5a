use super::*;

/// Two scores with less paper between them than two thicknesses.
pub struct ScoresTooClose {
    pub scores: [Named; 2],
    /// mm between them.
    pub gap: f64,
    /// mm that two thicknesses take.
    pub least: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "scores-too-close",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Two scores are too close to be folded apart",
    explanation: "Between two scores there must be at least two thicknesses of paper: a narrower strip does not fold, it is crushed into one broken line.",
    wrong: r#"card "Map folder"
paper board: 300gsm, 0.4mm thick
piece cover of board {
  size 200.5mm by 120mm
  valley 100mm, 100.5mm from left
  panels front, spine, back from left
}
"#,
    right: r#"card "Map folder"
paper board: 300gsm, 0.4mm thick
piece cover of board {
  size 203mm by 120mm
  valley 100mm, 103mm from left
  panels front, spine, back from left
}
"#,
};

impl Fault for ScoresTooClose {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [first, second] = &self.scores;
        let (gap, least) = (say.length(self.gap), say.length(self.least));
        Telling::new(second.span, format!("{} and {} are only {gap} apart", first.name, second.name))
            .label(format!("{gap} from the other score"))
            .other(first.span, "the other score")
            .why(format!("two thicknesses of this paper are {least}: a narrower strip is crushed, not folded"))
            .help(format!("leave {least} or more, or score once"))
            .measured("gap", self.gap, "mm")
            .measured("least", self.least, "mm")
            .rewrite(self.mend, say)
    }
}
