use super::*;

/// A tongue neither of whose ends goes through its slot.
pub struct EndsTooWideToThread {
    pub tongue: Named,
    /// The statement that threads it.
    pub place: Span,
    pub slot: Named,
    /// Width of the narrower end, mm.
    pub ends: f64,
    /// Length of the slot, mm.
    pub length: f64,
}

pub static ENTRY: Entry = Entry {
    name: "ends-too-wide-to-thread",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "Neither end of a tongue goes through its slot",
    explanation: "Shoulders at both ends keep a tongue from falling out, but they also keep it from going in. Cut one end no wider than the slot and stick its stop on once it is threaded.",
    wrong: r#"card "Signal"
paper cover: 200gsm, 0.26mm thick
piece page of cover {
  size 120mm by 100mm
  slot mouth: 2mm wide, 22mm long, centred, 50mm from top
}
piece arm of cover {
  shape polygon (0mm, 0mm) (40mm, 0mm) (40mm, 15mm) (30mm, 15mm) (30mm, 65mm) (40mm, 65mm) (40mm, 80mm) (0mm, 80mm) (0mm, 65mm) (10mm, 65mm) (10mm, 15mm) (0mm, 15mm)
}
slide arm through page.mouth: arm.top 25mm above page.mouth, from -10mm to 10mm
"#,
    right: r#"card "Signal"
paper cover: 200gsm, 0.26mm thick
piece page of cover {
  size 120mm by 100mm
  slot mouth: 2mm wide, 22mm long, centred, 50mm from top
}
piece arm of cover {
  shape polygon (0mm, 0mm) (40mm, 0mm) (40mm, 15mm) (30mm, 15mm) (30mm, 80mm) (10mm, 80mm) (10mm, 15mm) (0mm, 15mm)
}
slide arm through page.mouth: arm.top 25mm above page.mouth, from -10mm to 10mm
"#,
};

impl Fault for EndsTooWideToThread {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (ends, length) = (say.length(self.ends), say.length(self.length));
        Telling::new(
            self.place,
            format!(
                "both ends of `{}` are at least {ends} wide and its slot is {length} long",
                self.tongue.name
            ),
        )
        .label("cannot be threaded flat")
        .other(self.slot.span, format!("{length} long"))
        .other(self.tongue.span, format!("narrower end {ends} wide"))
        .help(format!(
            "cut one end of `{}` no wider than {length} and glue a stop on once it is threaded",
            self.tongue.name
        ))
        .measured("ends", self.ends, "mm")
        .measured("length", self.length, "mm")
    }
}
