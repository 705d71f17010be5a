use super::*;

/// A name that nothing has.
pub struct UnknownName {
    pub place: Span,
    pub name: String,
    pub near: Option<String>,
    pub what: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-name",
    severity: Severity::Error,
    family: Family::Names,
    title: "Nothing has this name",
    explanation: "A line speaks of something that was never declared. Usually it is a slip of the pen; if one is nearly right it is offered.",
    wrong: r#"card "Kite"
paper board: 200gsm
let wide = 60mm
piece kite of board { size wdie by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
let wide = 60mm
piece kite of board { size wide by 80mm }
"#,
};

impl Fault for UnknownName {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no {} `{}`", self.what, self.name))
            .label("not declared anywhere");
        if let Some(near) = &self.near {
            telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true);
        }
        telling
    }
}
