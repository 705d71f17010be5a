use super::*;

/// A letter smaller than the post takes.
pub struct PostTooSmall {
    pub posted: Posted,
    /// Which measure.
    pub side: &'static str,
    /// mm.
    pub found: f64,
    pub limit: f64,
}

pub static ENTRY: Entry = Entry {
    name: "post-too-small",
    severity: Severity::Error,
    family: Family::Post,
    title: "The card is too small for the post",
    explanation: "Posts do not take letters below a least size: machines cannot hold them. Put the card into a larger envelope.",
    wrong: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 300mm by 85mm
  valley 150mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 300mm by 95mm
  valley 150mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for PostTooSmall {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: found, second: limit, by } = say.compared(self.found, self.limit, Dimension::Length);
        let under = by.unwrap_or_default();
        let what = self.posted.what();
        self.posted
            .telling(format!("the {} of {what} is {found}, and {} must have at least {limit}: {under} too little", self.side, self.posted.class()))
            .label(format!("at least {limit}"))
            .help("put it into a larger envelope")
            .measured("found", self.found, "mm")
            .measured("limit", self.limit, "mm")
    }
}
