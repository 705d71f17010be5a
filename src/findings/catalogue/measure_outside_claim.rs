use super::*;

/// A measure of the finished card in a plain value.
pub struct MeasureOutsideClaim {
    pub place: Span,
    pub name: String,
}

pub static ENTRY: Entry = Entry {
    name: "measure-outside-claim",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A measure of the finished card stands outside a claim",
    explanation: "Measures such as height(open) are only known when the whole card has been worked out, so they may stand in `expect` lines and nowhere else.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
pose flat {}
let tall = height(flat)
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
pose flat {}
expect height(flat) = 80mm
"#,
};

impl Fault for MeasureOutsideClaim {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` can only be asked in an `expect` line", self.name))
            .label("not known yet when values are worked out")
            .why("it depends on the finished card, and the card depends on the values")
    }
}
