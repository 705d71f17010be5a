use super::*;

/// A card that slides about in its envelope.
pub struct EnvelopeLoose(pub EnvelopeFit);

pub static ENTRY: Entry = Entry {
    name: "envelope-loose",
    severity: Severity::Caution,
    family: Family::Envelope,
    title: "The card is much smaller than its envelope",
    explanation: "More than 25 mm (1 in) to spare on one side: the card slides about in the post, and its corners are bent. Posts ask for a closer envelope round stiff contents.",
    wrong: r#"card "Snow globe"
envelope C6
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 160mm by 110mm
  valley 80mm from left
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

impl Fault for EnvelopeLoose {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let fit = &self.0;
        let (card, envelope) = (fit.card_said(say), fit.envelope_said(say));
        let most = say.length(fit.left.0.max(fit.left.1));
        fit.telling(format!("{card} and slides about in {envelope}: {most} to spare"))
            .label(format!("{most} to spare"))
            .help("take a closer envelope")
    }
}
