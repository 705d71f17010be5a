use super::*;

/// An envelope nobody sells.
pub struct UnknownEnvelope {
    pub place: Span,
    pub name: String,
    pub near: Option<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-envelope",
    severity: Severity::Error,
    family: Family::Values,
    title: "There is no envelope of this name",
    explanation: "Envelopes are named as they are sold: C6, DL, us A7, us 10. A plain A6 is the ISO size; the American one is `us A6`. Any size may be given as width by height.",
    wrong: r#"card "Kite"
envelope C66
paper board: 200gsm
piece kite of board { size 100mm by 140mm }
"#,
    right: r#"card "Kite"
envelope C6
paper board: 200gsm
piece kite of board { size 105mm by 148mm }
"#,
};

impl Fault for UnknownEnvelope {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("there is no envelope `{}`", self.name)).label("unknown envelope");
        match &self.near {
            Some(near) => telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), false),
            None => telling = telling.help("give its inside as width by height, for example `envelope 120mm by 160mm`"),
        }
        telling
    }
}
