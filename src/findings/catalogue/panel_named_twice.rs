use super::*;

/// Two names for one panel.
pub struct PanelNamedTwice {
    pub first: String,
    pub second: String,
    pub place: Span,
    pub before: Span,
}

pub static ENTRY: Entry = Entry {
    name: "panel-named-twice",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "One panel has two names",
    explanation: "Two points with names lie in the same panel.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panel wing at (10mm, 10mm)
  panel body at (12mm, 10mm)
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panel wing at (10mm, 10mm)
  panel body at (40mm, 10mm)
}
"#,
};

impl Fault for PanelNamedTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(
            self.place,
            format!("this point lies in the panel that is named `{}` already", self.first),
        )
        .label(format!("`{}` would be its second name", self.second))
        .other(self.before, "its first name")
        .help("move the point into the other panel")
    }
}
