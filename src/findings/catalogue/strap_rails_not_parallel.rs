use super::*;

/// Rails that a strap cannot slide along.
pub struct StrapRailsNotParallel {
    pub strap: String,
    pub place: Span,
    pub rails: (Span, Span),
    pub degrees: f64,
    pub same_panel: bool,
}

pub static ENTRY: Entry = Entry {
    name: "strap-rails-not-parallel",
    severity: Severity::Error,
    family: Family::Motion,
    title: "The rails of a strap do not run beside each other",
    explanation: "A strap slides along two slots of one panel that are parallel and apart. Otherwise the bar \
                  between them changes its width and the strap jams.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, from (50mm, 20mm) to (45mm, 60mm)
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

impl Fault for StrapRailsNotParallel {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = if !self.same_panel {
            format!("the rails of strap `{}` lie on two panels", self.strap)
        } else if self.degrees >= 0.01 {
            format!("the rails of strap `{}` run {} out of parallel", self.strap, say.angle(self.degrees))
        } else {
            format!("the rails of strap `{}` lie in one line", self.strap)
        };
        Telling::new(self.place, message)
            .label("these two rails")
            .other(self.rails.0, "one rail")
            .other(self.rails.1, "the other rail")
            .help("read both rails from opposite sides of one panel")
            .measured("angle", self.degrees, "degrees")
    }
}
