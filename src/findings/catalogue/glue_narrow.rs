use super::*;

/// A strip of glue that is hard to lay.
pub struct GlueNarrow {
    pub part: Named,
    pub target: Named,
    pub place: Span,
    /// mm at its widest.
    pub width: f64,
}

pub static ENTRY: Entry = Entry {
    name: "glue-narrow",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "A strip of glue is narrow",
    explanation: "A strip of glue or a tab narrower than 6 mm (1/4 in is wider) is hard to lay by hand, and it comes off at a corner sooner or later.",
    wrong: r#"card "Shop sign"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sign of cover { size 50mm by 30mm }
glue back of sign to front of wall: centred, along edges 4mm
"#,
    right: r#"card "Shop sign"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sign of cover { size 50mm by 30mm }
glue back of sign to front of wall: centred, along edges 8mm
"#,
};

impl Fault for GlueNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let width = say.length(self.width);
        Telling::new(self.place, format!("the glue between `{}` and `{}` is only {width} wide", self.part.name, self.target.name))
            .label(format!("a strip of {width}"))
            .other(self.part.span, "the part that it holds")
            .help(format!("{} or more is easy to lay and holds", say.length(GLUE_MM)))
            .measured("width", self.width, "mm")
    }
}
