use super::*;

/// Too many or too few arguments.
pub struct ArgumentCount {
    pub place: Span,
    pub message: String,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "argument-count",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A mechanism is given too many or too few values",
    explanation: "A mechanism names the values it needs. Each use must give every one that has no value of its own, by place or by name, and no more.",
    wrong: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm) as kite
"#,
    right: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm, wide: 30mm) as kite
"#,
};

impl ArgumentCount {
    pub fn new(place: Span, mechanism: &str, given: usize, wanted: usize, defined: Span) -> Self {
        Self { place, message: format!("`{mechanism}` takes {wanted} values and is given {given}"), defined }
    }

    pub fn missing(place: Span, mechanism: &str, name: String, defined: Span) -> Self {
        Self { place, message: format!("`{mechanism}` is not given its `{name}`"), defined }
    }
}

impl Fault for ArgumentCount {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, self.message.clone()).label("here").other(self.defined, "its values are named here")
    }
}
