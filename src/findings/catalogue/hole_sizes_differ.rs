use super::*;

/// Two holes of different size on one brad.
pub struct HoleSizesDiffer {
    pub brad: String,
    /// Where it is named, where it is cut, its diameter.
    pub first: (Span, Span, f64),
    pub second: (Span, Span, f64),
}

pub static ENTRY: Entry = Entry {
    name: "hole-sizes-differ",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "Two holes on one brad differ in size",
    explanation: "A brad holds its parts in line by its shank. In the larger of two holes it has play, and the \
                  part wobbles.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece page of board {
  size 60mm by 80mm
  hole hub: 5mm, centred, 40mm from top
}
piece wheel of board {
  shape circle 40mm
  hole hub: 3mm, centred
}
brad axle through wheel.hub, page.hub
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece page of board {
  size 60mm by 80mm
  hole hub: 3mm, centred, 40mm from top
}
piece wheel of board {
  shape circle 40mm
  hole hub: 3mm, centred
}
brad axle through wheel.hub, page.hub
"#,
};

impl Fault for HoleSizesDiffer {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (first, second) = (say.length(self.first.2), say.length(self.second.2));
        Telling::new(self.first.0, format!("brad `{}` goes through holes of {first} and {second}", self.brad))
            .label(first)
            .other(self.second.0, second)
            .other(self.first.1, "cut here")
            .other(self.second.1, "and here")
            .help(if self.first.2.min(self.second.2) < PIN_HOLE_MM {
                format!("make both holes fit the shank: a fastener needs one of {} or more", say.length(PIN_HOLE_MM))
            } else {
                "make both holes fit the shank".into()
            })
            .measured("first", self.first.2, "mm")
            .measured("second", self.second.2, "mm")
    }
}
