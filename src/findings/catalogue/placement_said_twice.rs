use super::*;

/// Two clauses that put a part in two places.
pub struct PlacementSaidTwice {
    pub part: String,
    pub on: String,
    pub first: Span,
    pub second: Span,
    pub difference: f64,
}

pub static ENTRY: Entry = Entry {
    name: "placement-said-twice",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A part is put in two places",
    explanation: "Each direction of a placement is said once. Two clauses that fix the same direction must agree; \
                  these do not.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 10mm from left, 10mm from right, 10mm from top
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 10mm from left, 10mm from top
"#,
};

impl Fault for PlacementSaidTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let difference = say.length(self.difference);
        Telling::new(
            self.second,
            format!("two clauses put `{}` in places {difference} apart on `{}`", self.part, self.on),
        )
        .label(format!("{difference} off the other"))
        .other(self.first, "this one says otherwise")
        .help("keep one of the two")
        .measured("difference", self.difference, "mm")
    }
}
