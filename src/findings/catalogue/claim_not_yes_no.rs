use super::*;

/// A claim that is a measurement.
pub struct ClaimNotYesNo {
    pub place: Span,
    pub found: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "claim-not-yes-no",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A claim is neither true nor false",
    explanation: "An `expect` line states something that is true or not: compare the measure with a value, for example `expect height(open) >= 200mm`.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
pose flat {}
expect height(flat)
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
pose flat {}
expect height(flat) = 80mm
"#,
};

impl Fault for ClaimNotYesNo {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("this is {}, not a claim", self.found))
            .label("neither true nor false")
            .help("compare it with a value, for example `>= 200mm`")
    }
}
