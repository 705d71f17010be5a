use super::*;

/// A stop that a design states beyond the place where the part grows too wide for a slot that it runs in.
pub struct StopBeyondShoulder {
    pub part: Named,
    /// The slot, and how long it is, mm.
    pub slot: Named,
    pub length: f64,
    /// The stop as it is stated, and where the shoulder stops the part, mm.
    pub stated: f64,
    pub shoulder: f64,
    /// The number of the stop that may be rewritten.
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "stop-beyond-shoulder",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A part is to go further than its shoulder lets it",
    explanation: "A part that runs through slots goes as far as it is narrower than each of them is long. Here the way that the design states goes on beyond that: a shoulder of the part, or what is stuck on it, would have to go through the slot. End the way earlier, or move what is too wide.",
    wrong: r#"card "Sluice"
paper board: 250gsm, 0.32mm thick
paper thin: 200gsm, 0.26mm thick
piece page of board {
  size 105mm by 148mm
  slot mouth: 2mm wide, 32mm long, centred across, 70mm from top
  slot throat: 2mm wide, 32mm long, centred across, 100mm from top
}
piece gate of thin {
  shape polygon (0mm, 0mm) (28mm, 0mm) (28mm, 60mm) (40mm, 60mm) (40mm, 76mm) (-12mm, 76mm) (-12mm, 60mm) (0mm, 60mm)
}
slide gate through page.mouth, page.throat: from 0mm to 16mm
"#,
    right: r#"card "Sluice"
paper board: 250gsm, 0.32mm thick
paper thin: 200gsm, 0.26mm thick
piece page of board {
  size 105mm by 148mm
  slot mouth: 2mm wide, 32mm long, centred across, 70mm from top
  slot throat: 2mm wide, 32mm long, centred across, 100mm from top
}
piece gate of thin {
  shape polygon (0mm, 0mm) (28mm, 0mm) (28mm, 60mm) (40mm, 60mm) (40mm, 76mm) (-12mm, 76mm) (-12mm, 60mm) (0mm, 60mm)
}
slide gate through page.mouth, page.throat: from 0mm to 7mm
"#,
};

impl Fault for StopBeyondShoulder {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (stated, shoulder) = (say.length(self.stated), say.length(self.shoulder));
        let (part, slot) = (&self.part.name, &self.slot.name);
        let told =
            format!("`{part}` is to go to {stated}, and at {shoulder} it grows wider than slot `{slot}` is long");
        Telling::new(self.part.span, told)
            .label(format!("stops at {shoulder}"))
            .other(self.slot.span, format!("{} long, less than the part is wide there", say.length(self.length)))
            .help(format!("end its way at {shoulder}, or move what is too wide by {}", say.length((self.stated - self.shoulder).abs())))
            .measured("stated", self.stated, "mm")
            .measured("shoulder", self.shoulder, "mm")
            .rewrite(self.mend, say)
    }
}
