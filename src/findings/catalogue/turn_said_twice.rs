use super::*;

/// Two clauses that turn a part differently.
pub struct TurnSaidTwice {
    pub part: String,
    pub on: String,
    pub first: Span,
    pub second: Span,
    pub degrees: (f64, f64),
}

pub static ENTRY: Entry = Entry {
    name: "turn-said-twice",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A part is turned twice",
    explanation: "Two clauses of one statement say how far the part is turned, and they do not agree.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: centred, turned 30deg, upside down
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: centred, turned 30deg
"#,
};

impl Fault for TurnSaidTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "`{}` is turned by {} and by {} on `{}`",
            self.part,
            say.angle(self.degrees.0),
            say.angle(self.degrees.1),
            self.on
        );
        Telling::new(self.second, message)
            .label("turned again")
            .other(self.first, "turned here")
            .help("keep one of the two")
    }
}
