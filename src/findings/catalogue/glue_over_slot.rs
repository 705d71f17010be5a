use super::*;

/// Glue over an opening in which something runs or turns.
pub struct GlueOverSlot {
    /// The glue statement.
    pub glue: Named,
    pub slot: Named,
    /// What runs or turns in it.
    pub user: String,
}

pub static ENTRY: Entry = Entry {
    name: "glue-over-slot",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Glue lies over an opening that something moves in",
    explanation: "Glue round a slot or a pin hole creeps into it and holds what runs there. Leave a millimetre or more free of glue on every side: stick the part along its edges only.",
    wrong: r#"card "Barometer"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 100mm by 140mm
  hole hub: 3mm, centred
}
piece dial of cover {
  shape circle 40mm
  hole hub: 3mm, centred
}
piece liner of cover { size 80mm by 80mm }
brad axle through dial.hub, page.hub
glue back of liner to back of page: centred
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
piece liner of cover { size 80mm by 80mm }
brad axle through dial.hub, page.hub
glue back of liner to back of page: centred, along edges 10mm
"#,
};

impl Fault for GlueOverSlot {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(
            self.glue.span,
            format!("the glue of `{}` lies over {}, where `{}` moves", self.glue.name, self.slot.name, self.user),
        )
        .label("sticks over the opening")
        .other(self.slot.span, "the opening")
        .why(format!("glue creeps into the opening and holds `{}` fast", self.user))
        .help("stick the part along its edges only, clear of the opening: `along edges 6mm`")
    }
}
