use super::*;

/// One kind of thing where another belongs.
pub struct WrongKind {
    pub place: Span,
    pub wanted: String,
    pub found: String,
    pub defined: Option<Span>,
}

pub static ENTRY: Entry = Entry {
    name: "wrong-kind",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "One kind of thing stands where another belongs",
    explanation: "Lengths, angles, numbers, words and the parts of a card are different kinds of things. This line needs one kind and is given another: an angle where a length belongs, say, or a piece where one of its edges is meant.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80deg
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl WrongKind {
    pub fn of(place: Span, wanted: impl Into<String>, found: impl Into<String>, defined: Option<Span>) -> Self {
        Self { place, wanted: wanted.into(), found: found.into(), defined }
    }
}

impl Fault for WrongKind {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("{} belongs here, and this is {}", self.wanted, self.found))
            .label(format!("this is {}", self.found));
        if let Some(defined) = self.defined {
            telling = telling.other(defined, "it comes from here");
        }
        telling
    }
}
