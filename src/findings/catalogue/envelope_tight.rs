use super::*;

/// A card that goes into its envelope with nothing to spare.
pub struct EnvelopeTight(pub EnvelopeFit);

pub static ENTRY: Entry = Entry {
    name: "envelope-tight",
    severity: Severity::Caution,
    family: Family::Envelope,
    title: "The card sits tight in its envelope",
    explanation: "The card goes in, but with less to spare than the trade leaves (1/8 in or more in all, with a thin card). It catches at the seams and bends at a corner.",
    wrong: r#"card "Snow globe"
envelope C6
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 226mm by 150mm
  valley 113mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Snow globe"
envelope C6
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 212mm by 150mm
  valley 106mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for EnvelopeTight {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let fit = &self.0;
        let (card, envelope) = (fit.card_said(say), fit.envelope_said(say));
        let least = say.length(fit.left.0.min(fit.left.1));
        let ease = say.length(ENVELOPE_EASE_MM);
        fit.telling(format!("{card} and sits tight in {envelope}: {least} to spare"))
            .label(format!("{least} to spare"))
            .help(format!("leave {ease} or more beyond the card's thickness"))
    }
}
