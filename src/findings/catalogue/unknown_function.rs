use super::*;

/// A function the language does not have.
pub struct UnknownFunction {
    pub place: Span,
    pub name: String,
    pub near: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-function",
    severity: Severity::Error,
    family: Family::Names,
    title: "There is no such function or measure",
    explanation: "Values may use min, max, abs, round_up and round_down. Claims may also ask width, height, depth, thickness, mass, travel, rise, lean, angle, visible and gap, and claim fits, moves, stands, folds_flat, hidden, visible, clear and captive.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size maks(60mm, 50mm) by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size max(60mm, 50mm) by 80mm
}
"#,
};

impl Fault for UnknownFunction {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no function or measure `{}`", self.name)).label("unknown");
        if let Some(near) = &self.near {
            telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true);
        }
        telling
    }
}
