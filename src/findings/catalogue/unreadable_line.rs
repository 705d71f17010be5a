use super::*;

/// Text that is no statement.
pub struct UnreadableLine {
    pub place: Span,
    /// What could have stood there, in words.
    pub expected: String,
    pub found: String,
    /// The statement in its usual form.
    pub form: Option<&'static str>,
}

pub static ENTRY: Entry = Entry {
    name: "unreadable-line",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A line cannot be read",
    explanation: "The compiler reads a design statement by statement and found something else here. The rest of the \
                  line is passed over; everything after it is read as usual.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for UnreadableLine {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, format!("expected {} and found {}", self.expected, self.found))
            .label(format!("expected {} here", self.expected));
        match self.form {
            Some(form) if form.starts_with("envelope") => telling.help(format!(
                "such a line reads, for example, `{form}`; a name of more than two words stands in quotes: `envelope \"us 6 3/4\"`"
            )),
            Some(form) => telling.help(format!("such a line reads, for example, `{form}`")),
            None => telling,
        }
    }
}
