use super::*;

/// A unit the language does not have.
pub struct UnknownUnit {
    pub place: Span,
    pub unit: String,
    pub near: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-unit",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "There is no such unit",
    explanation: "Lengths are written in mm, cm, in or pt, angles in deg, paper weights in gsm or in lb with a grade, masses in g.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mn by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for UnknownUnit {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no unit `{}`", self.unit))
            .label("unknown unit");
        match &self.near {
            Some(near) => {
                telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), false);
            }
            None => telling = telling.help("lengths are written in mm, cm, in or pt, angles in deg"),
        }
        telling
    }
}
