use super::*;

/// A card that does not go into its envelope.
pub struct EnvelopeTooSmall(pub EnvelopeFit);

pub static ENTRY: Entry = Entry {
    name: "envelope-too-small",
    severity: Severity::Error,
    family: Family::Envelope,
    title: "The card does not go into its envelope",
    explanation: "The closed card was laid into the envelope in both turns. A flat envelope gives up as much of its width as the card is thick, because the paper has to go round it. Make the card smaller or thinner, or take a larger envelope.",
    wrong: r#"card "Snow globe"
envelope C6
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 240mm by 150mm
  valley 120mm from left
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

impl Fault for EnvelopeTooSmall {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let fit = &self.0;
        let (card, envelope) = (fit.card_said(say), fit.envelope_said(say));
        let (long, short, depth) = fit.left;
        let worst = long.min(short).min(depth.unwrap_or(f64::INFINITY));
        let side = match depth {
            Some(d) if d <= long && d <= short => "thick",
            _ if long < short => "long",
            _ => "wide",
        };
        let turns = if depth.is_some() { "whichever way it lies" } else { "in either turn" };
        let telling = fit
            .telling(format!("{card} and does not go into {envelope}, {turns}: {} too {side}", say.length(-worst)))
            .label(format!("{} too small", say.length(-worst)));
        let less = format!("make the card {} {}", say.length(-worst), if side == "thick" { "thinner" } else { "smaller" });
        match &fit.better {
            Some(better) => telling.help(format!("`{better}` takes it, or {less}")),
            None => telling.help(less),
        }
    }
}
