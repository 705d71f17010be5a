use super::*;

/// An argument the mechanism does not have.
pub struct ArgumentUnknown {
    pub place: Span,
    pub name: String,
    pub near: Option<String>,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "argument-unknown",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A mechanism has no such value",
    explanation: "The name before the colon is not one of the values the mechanism asks for. Look at the brackets in the mechanism's first line.",
    wrong: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm, wdie: 30mm) as kite
"#,
    right: r#"card "Kite"
paper board: 200gsm
mechanism sheet_of(tall: length, wide: length) {
  piece leaf of board { size wide by tall }
}
use sheet_of(40mm, wide: 30mm) as kite
"#,
};

impl Fault for ArgumentUnknown {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("this mechanism has no value named `{}`", self.name))
            .label("not one of its values")
            .other(self.defined, "its values are named here");
        if let Some(near) = &self.near {
            telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true);
        }
        telling
    }
}
