use super::*;

/// A pound weight without its grade.
pub struct PoundsWithoutGrade {
    pub place: Span,
    pub digits: String,
}

pub static ENTRY: Entry = Entry {
    name: "pounds-without-grade",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A pound weight does not say of which grade",
    explanation: "A pound weight means 500 sheets of a size that differs from grade to grade: 80 lb cover is nearly twice as heavy as 80 lb text. Write the grade behind it: cover, text, bond, index, bristol or tag.",
    wrong: r#"card "Kite"
paper board: 80lb
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 80lb cover
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for PoundsWithoutGrade {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("{} lb of which grade?", self.digits))
            .label("grade missing")
            .why("80 lb cover is nearly twice as heavy as 80 lb text")
            .help("write the grade behind it: cover, text, bond, index, bristol or tag")
            .propose(self.place, format!("{}lb cover", self.digits), false)
    }
}
