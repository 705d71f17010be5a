use super::*;

/// A piece of several panels where one panel is meant.
pub struct PanelNotSaid {
    pub place: Span,
    pub piece: String,
    pub panels: Vec<String>,
}

pub static ENTRY: Entry = Entry {
    name: "panel-not-said",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Which panel is meant",
    explanation: "A piece with scores has several panels. What is stuck to it, printed on it or covers it lies on \
                  one of them, so the panel must be named.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panels wing, body from left
}
mat sky of board on front of kite: 5mm border
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm from left
  panels wing, body from left
}
mat sky of board on front of kite.body: 5mm border
"#,
};

impl Fault for PanelNotSaid {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message =
            format!("`{}` has {} panels: {}", self.piece, self.panels.len(), self.panels.join(", "));
        let help = self.panels.iter().max_by_key(|name| name.len()).map_or(String::new(), |_| {
            format!("write `{}.{}`", self.piece, self.panels.first().map_or("", String::as_str))
        });
        Telling::new(self.place, message).label("which of them?").help(help)
    }
}
