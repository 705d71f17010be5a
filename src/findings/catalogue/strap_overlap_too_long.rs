use super::*;

/// A strap whose overlap is longer than its bar.
pub struct StrapOverlapTooLong {
    pub strap: String,
    pub overlap: Stated,
    pub rails: Span,
    pub bar: f64,
}

pub static ENTRY: Entry = Entry {
    name: "strap-overlap-too-long",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A strap overlaps itself by more than its bar",
    explanation: "The two ends of a strap are stuck over each other behind the bar. An overlap longer than the bar \
                  would reach out through the rails again.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 20mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 20mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 25mm overlap
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 20mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 20mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
"#,
};

impl Fault for StrapOverlapTooLong {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "strap `{}` overlaps by {} behind a bar of {}",
            self.strap,
            say.length(self.overlap.value),
            say.length(self.bar)
        );
        Telling::new(self.overlap.span, message)
            .label("longer than the bar")
            .other(self.rails, format!("{} between the rails", say.length(self.bar)))
            .measured("bar", self.bar, "mm")
            .propose(
                self.overlap.literal.unwrap_or(self.overlap.span),
                say.write(self.bar / 2.0, Rounding::Down),
                false,
            )
    }
}
