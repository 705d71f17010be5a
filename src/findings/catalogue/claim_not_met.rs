use super::*;

/// A measured claim that is not met.
pub struct ClaimNotMet {
    pub place: Span,
    /// What was measured, as the design writes it.
    pub left: String,
    pub found: f64,
    pub claimed: f64,
    pub dimension: Dimension,
    /// "at least".
    pub asks: &'static str,
    /// The parts that decide the value.
    pub governs: Vec<crate::findings::Label>,
    /// The claim with the value found.
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "claim-not-met",
    severity: Severity::Error,
    family: Family::Expectations,
    title: "A claim about a measure is not met",
    explanation: "An `expect` line is a promise that the compiler proves. It has measured the card and found another value. Either the design or the claim is wrong: the parts that decide the value are underlined.",
    wrong: r#"card "Hill village"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
expect width(shut) = 105mm
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
expect width(shut) = 100mm
"#,
};

impl Fault for ClaimNotMet {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: found, second: claimed, by } = say.compared(self.found, self.claimed, self.dimension);
        let way = if self.found > self.claimed { "more" } else { "less" };
        let by = by.map(|by| format!(": {by} {way}")).unwrap_or_default();
        let unit = self.dimension.unit();
        let mut telling = Telling::new(
            self.place,
            format!("`{}` is {found}, and the claim is {} {claimed}{by}", self.left, self.asks),
        )
        .label(format!("found {found}"))
        .help(if self.governs.is_empty() { "change the design, or the claim" } else { "change the parts underlined, or the claim" })
        .measured("found", self.found, unit)
        .measured("claimed", self.claimed, unit)
        .measured("difference", self.found - self.claimed, unit)
        .rewrite(self.mend, say);
        for label in &self.governs {
            telling = telling.other(label.span, label.text.clone());
        }
        telling
    }
}
