use super::*;

/// A strap that fills its rails.
pub struct StrapTooWide {
    pub strap: String,
    pub wide: Stated,
    pub rails: Span,
    /// Length that both rails share, mm.
    pub common: f64,
}

pub static ENTRY: Entry = Entry {
    name: "strap-too-wide",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A strap is too wide to slide",
    explanation: "A strap slides along its two rails as far as they run on beyond its own width. A strap as wide \
                  as the rails are long cannot move.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 30mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 30mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
"#,
};

impl Fault for StrapTooWide {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "strap `{}` is {} wide and its rails share {}: it cannot slide",
            self.strap,
            say.length(self.wide.value),
            say.length(self.common)
        );
        let telling = Telling::new(self.wide.span, message)
            .label("too wide")
            .other(self.rails, format!("{} in common", say.length(self.common)))
            .measured("common", self.common, "mm")
            .measured("wide", self.wide.value, "mm");
        if self.common > 0.0 {
            let place = self.wide.literal.unwrap_or(self.wide.span);
            // Half of the rail for the strap leaves the other half for its travel.
            telling.propose(place, say.write(self.common / 2.0, Rounding::Down), false)
        } else {
            telling.help("let both rails run beside each other")
        }
    }
}
