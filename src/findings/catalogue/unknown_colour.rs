use super::*;

/// A colour word nobody knows.
pub struct UnknownColour {
    pub place: Span,
    pub colour: String,
    pub near: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-colour",
    severity: Severity::Error,
    family: Family::Values,
    title: "There is no such colour",
    explanation: "A colour is a word such as navy, cream or moss, or six hexadecimal digits such as \"#2f5d8a\". It is used in the pictures only.",
    wrong: r#"card "Kite"
paper board: 200gsm, colour "nvay"
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, colour "navy"
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for UnknownColour {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no colour {:?}", self.colour)).label("unknown colour");
        match &self.near {
            Some(near) => {
                telling = telling.help(format!("did you mean {near:?}?")).propose(self.place, format!("{near:?}"), true);
            }
            None => telling = telling.help("use a word such as \"navy\" or digits such as \"#2f5d8a\""),
        }
        telling
    }
}
