use super::*;

/// A sheet size nobody sells.
pub struct UnknownSheet {
    pub place: Span,
    pub name: String,
    pub near: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-sheet",
    severity: Severity::Error,
    family: Family::Values,
    title: "There is no sheet of this name",
    explanation: "Sheets are named as they are sold: A4, A3, letter, legal. Any size may be given as width by height.",
    wrong: r#"card "Kite"
paper board: 200gsm, sheet A44
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, sheet A4
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for UnknownSheet {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no sheet `{}`", self.name)).label("unknown sheet");
        match &self.near {
            Some(near) => telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), false),
            None => telling = telling.help("give it as width by height, for example `sheet 12in by 12in`"),
        }
        telling
    }
}
