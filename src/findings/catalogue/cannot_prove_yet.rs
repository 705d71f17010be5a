use super::*;

/// A claim that this version of the compiler cannot decide.
pub struct CannotProveYet {
    pub place: Span,
    /// The claim, as the design writes it.
    pub said: String,
    /// What is missing.
    pub why: String,
    /// The slide that nothing stops, where that is what is missing.
    pub slide: Option<Named>,
}

pub static ENTRY: Entry = Entry {
    name: "cannot-prove-yet",
    severity: Severity::Error,
    family: Family::Expectations,
    title: "A claim cannot be decided",
    explanation: "An `expect` line is a promise that the compiler proves. Here something is missing that it would need: a number the design does not give, or a kind of question this version does not answer. The claim may be true, but it is not proven, and so it does not count.",
    wrong: r#"card "Hill village"
paper board: 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
expect mass() <= 20g
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
expect mass() <= 20g
"#,
};

impl Fault for CannotProveYet {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, format!("`{}` cannot be proven: {}", self.said, self.why))
            .label("not proven")
            .help("say what is missing, or leave the claim out");
        match &self.slide {
            Some(slide) => telling.other(slide.span, COMES_OUT),
            None => telling,
        }
    }
}
