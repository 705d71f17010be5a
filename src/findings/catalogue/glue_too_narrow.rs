use super::*;

/// A strip of glue that does not hold.
pub struct GlueTooNarrow {
    pub part: Named,
    pub target: Named,
    pub place: Span,
    /// mm at its widest.
    pub width: f64,
}

pub static ENTRY: Entry = Entry {
    name: "glue-too-narrow",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A strip of glue is too narrow to hold",
    explanation: "Less than 2 mm of glue does not hold a part. Give it a wider strip or a tab.",
    wrong: r#"card "Shop sign"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sign of cover { size 50mm by 30mm }
glue back of sign to front of wall: centred, along edges 1mm
"#,
    right: r#"card "Shop sign"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sign of cover { size 50mm by 30mm }
glue back of sign to front of wall: centred, along edges 8mm
"#,
};

impl Fault for GlueTooNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let width = say.length(self.width);
        Telling::new(self.place, format!("`{}` is held to `{}` by only {width} of glue", self.part.name, self.target.name))
            .label(format!("a strip of {width}"))
            .other(self.part.span, "this part comes off")
            .help(format!("give it {} or more", say.length(GLUE_MM)))
            .measured("width", self.width, "mm")
    }
}
