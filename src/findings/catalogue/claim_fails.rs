use super::*;

/// A claim of yes or no that does not hold.
pub struct ClaimFails {
    pub place: Span,
    /// The claim, as the design writes it.
    pub said: String,
    /// Why it does not hold.
    pub because: String,
    pub others: Vec<crate::findings::Label>,
}

pub static ENTRY: Entry = Entry {
    name: "claim-fails",
    severity: Severity::Error,
    family: Family::Expectations,
    title: "A claim does not hold",
    explanation: "An `expect` line is a promise that the compiler proves. It has looked, and the claim does not hold; the message says why.",
    wrong: r#"card "Hill village"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
expect folds_flat(stage)
"#,
    right: r#"card "Hill village"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
expect folds_flat(shut)
"#,
};

impl Fault for ClaimFails {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("`{}` does not hold: {}", self.said, self.because))
            .label("does not hold")
            .help("change the design, or the claim");
        for label in &self.others {
            telling = telling.other(label.span, label.text.clone());
        }
        telling
    }
}
