use super::*;

/// A value outside its stated range.
pub struct ValueOutOfRange {
    pub name: String,
    pub value: Stated,
    pub low: Stated,
    pub high: Stated,
}

pub static ENTRY: Entry = Entry {
    name: "value-out-of-range",
    severity: Severity::Error,
    family: Family::Values,
    title: "A value lies outside its own range",
    explanation: "An `adjust` line says between which values the maker may turn it. The value itself, or the one a variant or `--set` gives, must lie in that range.",
    wrong: r#"card "Kite"
paper board: 200gsm
adjust wide = 90mm from 40mm to 80mm
piece kite of board { size wide by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
adjust wide = 70mm from 40mm to 80mm
piece kite of board { size wide by 80mm }
"#,
};

impl Fault for ValueOutOfRange {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let end = if self.value.value < self.low.value { &self.low } else { &self.high };
        let telling = Telling::new(
            self.value.span,
            format!("`{}` is {} and may only be {} to {}", self.name, self.value.say(say), self.low.say(say), self.high.say(say)),
        )
        .label(self.value.say(say))
        .other(self.low.span.to(self.high.span), "its range")
        .measured("value", self.value.value, "base")
        .measured("low", self.low.value, "base")
        .measured("high", self.high.value, "base");
        match (end.dimension, self.value.literal) {
            (Dimension::Length, Some(literal)) => {
                telling.propose(literal, say.write(end.value, Rounding::Nearest), false)
            }
            _ => telling,
        }
    }
}
