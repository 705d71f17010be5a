use super::*;

/// A slide that nothing keeps in.
pub struct NoStop {
    pub slide: Named,
    /// The side, or both, towards which it comes out.
    pub side: String,
    /// It lies on a face, in no slot.
    pub on_face: bool,
}

pub static ENTRY: Entry = Entry {
    name: "no-stop",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "Nothing stops a slide",
    explanation: "Nothing keeps the slide from coming right out. If it is a letter to be taken out, that is as it should be; a pull tab needs a shoulder wider than its slot, something stuck in its way, or stops in its statement.",
    wrong: r#"card "Letter box"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 100mm by 140mm
  slot mouth: 2mm wide, 70mm from top, 30mm to 70mm from left
}
piece letter of cover { size 36mm by 60mm }
slide letter through page.mouth
"#,
    right: r#"card "Letter box"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 100mm by 140mm
  slot mouth: 2mm wide, 70mm from top, 30mm to 70mm from left
}
piece letter of cover { size 36mm by 60mm }
slide letter through page.mouth: from 0mm to 20mm
"#,
};

impl Fault for NoStop {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.slide.span, format!("nothing stops `{}` towards the {}", self.slide.name, self.side))
            .label(COMES_OUT)
            .help(if self.on_face {
                "stick something in its way, or say how far it goes: `from 0mm to 30mm`"
            } else {
                "give it a shoulder wider than its slot, or say how far it goes: `from 0mm to 30mm`"
            })
    }
}
