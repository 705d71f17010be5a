use super::*;

/// A name with a hyphen, or one that begins with a digit.
pub struct UnfitName {
    pub place: Span,
    pub name: String,
    pub mend: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unfit-name",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "This cannot be a name",
    explanation: "A name begins with a letter and goes on with letters, digits and underscores. A hyphen would be read as a minus, and a digit at the beginning as a measurement.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite-tail of board {
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite_tail of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for UnfitName {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, format!("`{}` cannot be a name", self.name)).label("not a name");
        match &self.mend {
            Some(mend) => telling
                .why("a hyphen would be read as a minus")
                .help(format!("write `{mend}`, wherever the name is used"))
                .propose(self.place, mend.clone(), false),
            None => telling.help("begin the name with a letter"),
        }
    }
}
