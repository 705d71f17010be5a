use super::*;

/// An equals sign that is left out.
pub struct MissingEquals {
    /// The wrong sign, or the gap.
    pub place: Span,
    pub found: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "missing-equals",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "An equals sign is missing",
    explanation: "A value is given a name with an equals sign: let bar = 40mm.",
    wrong: r#"card "Kite"
paper board: 200gsm
let wide 60mm
piece kite of board {
  size wide by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
let wide = 60mm
piece kite of board {
  size wide by 80mm
}
"#,
};

impl Fault for MissingEquals {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = match &self.found {
            Some(found) => Telling::new(self.place, format!("expected `=` and found `{found}`")).propose(self.place, "=", true),
            None => Telling::new(self.place, "`=` is missing").propose(self.place, " =", true),
        };
        telling.label("expected `=` here").help("write `=` here")
    }
}
