use super::*;

/// A pin hole through which no fastener goes.
pub struct PinHoleTight {
    pub pin: Named,
    /// mm, the smaller of the two holes.
    pub hole: f64,
}

pub static ENTRY: Entry = Entry {
    name: "pin-hole-tight",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "A pin hole is too small for a paper fastener",
    explanation: "The legs of a usual paper fastener need a hole of 2 mm or more (1/8 in is common). In a tighter hole the part does not turn; in a much larger one it wobbles.",
    wrong: r#"card "Barometer"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 100mm by 140mm
  hole hub: 1mm, centred
}
piece dial of cover {
  shape circle 40mm
  hole hub: 1mm, centred
}
brad axle through dial.hub, page.hub
"#,
    right: r#"card "Barometer"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 100mm by 140mm
  hole hub: 3mm, centred
}
piece dial of cover {
  shape circle 40mm
  hole hub: 3mm, centred
}
brad axle through dial.hub, page.hub
"#,
};

impl Fault for PinHoleTight {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let hole = say.length(self.hole);
        Telling::new(self.pin.span, format!("the hole of `{}` is only {hole} across", self.pin.name))
            .label(format!("a hole of {hole}"))
            .help(format!("make both holes {} or larger", say.length(PIN_HOLE_MM)))
            .measured("hole", self.hole, "mm")
    }
}
