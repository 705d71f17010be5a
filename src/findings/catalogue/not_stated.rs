use super::*;

/// A claim about something the design does not state.
pub struct NotStated {
    pub place: Span,
    pub what: &'static str,
    pub example: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "not-stated",
    severity: Severity::Error,
    family: Family::Values,
    title: "A claim speaks of an envelope or a post that is not stated",
    explanation: "To claim that a card fits its envelope or goes by post, the design must first say which envelope or which post.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 100mm by 140mm }
pose flat {}
expect fits(flat, envelope)
"#,
    right: r#"card "Kite"
envelope C6
paper board: 200gsm
piece kite of board { size 105mm by 148mm }
pose flat {}
expect fits(flat, envelope)
"#,
};

impl Fault for NotStated {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("the design does not state its {}", self.what))
            .label("not stated")
            .help(format!("add a line such as `{}`", self.example))
    }
}
