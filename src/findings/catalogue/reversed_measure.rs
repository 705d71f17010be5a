use super::*;

/// A measurement behind the word that says what it measures.
pub struct ReversedMeasure {
    pub place: Span,
    pub word: String,
    /// Both in their order.
    pub measure: String,
}

pub static ENTRY: Entry = Entry {
    name: "reversed-measure",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A measurement stands behind its word",
    explanation: "The length comes first and what it measures behind it: 12mm overlap, 6mm wide, 3mm border.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.25mm thick
piece kite of board { size 60mm by 80mm }
mat sail of board on front of kite: border 3mm
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.25mm thick
piece kite of board { size 60mm by 80mm }
mat sail of board on front of kite: 3mm border
"#,
};

impl Fault for ReversedMeasure {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` stands behind its length", self.word))
            .label("the word stands before it")
            .help(format!("write `{}`", self.measure))
            .propose(self.place, self.measure.clone(), true)
    }
}
