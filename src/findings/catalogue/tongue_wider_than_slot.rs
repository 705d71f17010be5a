use super::*;

/// A tongue that goes through no slot.
pub struct TongueWiderThanSlot {
    pub part: String,
    pub place: Span,
    pub slot: Span,
    pub defined: Span,
    /// Narrowest width of the tongue, mm.
    pub wide: f64,
    pub length: f64,
}

pub static ENTRY: Entry = Entry {
    name: "tongue-wider-than-slot",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A tongue is wider than its slot",
    explanation: "A part that slides through a slot must be narrower than the slot is long.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece page of board {
  size 60mm by 80mm
  slot mouth: 1mm wide, 15mm long, centred, 40mm from top
}
piece tongue of board { size 20mm by 60mm }
slide tongue through page.mouth: from 0mm to 10mm
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece page of board {
  size 60mm by 80mm
  slot mouth: 1mm wide, 21mm long, centred, 40mm from top
}
piece tongue of board { size 20mm by 60mm }
slide tongue through page.mouth: from 0mm to 10mm
"#,
};

impl Fault for TongueWiderThanSlot {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "`{}` is {} wide and its slot {} long",
            self.part,
            say.length(self.wide),
            say.length(self.length)
        );
        Telling::new(self.place, message)
            .label("too wide")
            .other(self.slot, format!("{} long", say.length(self.length)))
            .other(self.defined, "cut here")
            .help(format!("make the slot longer than {}", say.length(self.wide)))
            .measured("wide", self.wide, "mm")
            .measured("length", self.length, "mm")
    }
}
