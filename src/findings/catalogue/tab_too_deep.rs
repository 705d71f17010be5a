use super::*;

/// A tab whose tapered ends meet before its full depth.
pub struct TabTooDeep {
    pub tab: String,
    pub depth: Stated,
    pub edge: Span,
    pub length: f64,
    pub taper: f64,
    pub deepest: f64,
}

pub static ENTRY: Entry = Entry {
    name: "tab-too-deep",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A tab is too deep for its taper",
    explanation: "The ends of a tab lean in. On a short edge they meet before the tab has its full depth.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 40mm off bottom: tapered 45deg
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  tab foot 9mm off bottom: tapered 45deg
}
"#,
};

impl Fault for TabTooDeep {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "tab `{}` is {} deep on an edge of {}: ends that lean in by {} meet at {}",
            self.tab,
            say.length(self.depth.value),
            say.length(self.length),
            say.angle(self.taper),
            say.length(self.deepest)
        );
        let place = self.depth.literal.unwrap_or(self.depth.span);
        // Two thirds of the way leaves a third of the edge's length at the tip.
        let depth = self.deepest * 2.0 / 3.0;
        Telling::new(self.depth.span, message)
            .label("too deep")
            .other(self.edge, format!("this edge is {} long", say.length(self.length)))
            .help("make it shallower, or give it square ends")
            .measured("deepest", self.deepest, "mm")
            .propose(place, say.write(depth, Rounding::Down), false)
    }
}
