use super::*;

/// Foam lower than what lies under the part.
pub struct FoamTooLow {
    pub part: Named,
    /// The foam statement.
    pub place: Span,
    pub under: Named,
    /// mm.
    pub foam: f64,
    /// mm from the face to the top of what lies under the part.
    pub height: f64,
}

pub static ENTRY: Entry = Entry {
    name: "foam-too-low",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Foam is lower than what lies under the part",
    explanation: "Foam holds a part off its panel so that something finds room under it. Here what lies there is higher than the foam: the part cannot lie flat, and what should move under it is pinched.",
    wrong: r#"card "Bridge"
paper cover: 250gsm, 0.3mm thick
paper board: 600gsm, 0.8mm thick
piece wall of cover { size 80mm by 100mm }
piece beam of board { size 30mm by 10mm }
piece sign of cover { size 50mm by 30mm }
glue back of beam to front of wall: centred
foam 0.5mm back of sign to front of wall: centred, along edges 6mm
"#,
    right: r#"card "Bridge"
paper cover: 250gsm, 0.3mm thick
paper board: 600gsm, 0.8mm thick
piece wall of cover { size 80mm by 100mm }
piece beam of board { size 30mm by 10mm }
piece sign of cover { size 50mm by 30mm }
glue back of beam to front of wall: centred
foam 1mm back of sign to front of wall: centred, along edges 6mm
"#,
};

impl Fault for FoamTooLow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (foam, height) = (say.thickness(self.foam), say.thickness(self.height));
        Telling::new(
            self.place,
            format!("`{}` under `{}` is {height} high, and the foam only {foam}", self.under.name, self.part.name),
        )
        .label(format!("foam of {foam}"))
        .other(self.under.span, format!("{height} high"))
        .other(self.part.span, "cannot lie flat over it")
        .help(format!("take foam of {height} or more"))
        .measured("foam", self.foam, "mm")
        .measured("height", self.height, "mm")
    }
}
