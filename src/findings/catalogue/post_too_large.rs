use super::*;

/// A letter larger than the post takes in this class.
pub struct PostTooLarge {
    pub posted: Posted,
    /// Which measure.
    pub side: &'static str,
    /// mm.
    pub found: f64,
    pub limit: f64,
}

pub static ENTRY: Entry = Entry {
    name: "post-too-large",
    severity: Severity::Error,
    family: Family::Post,
    title: "The card is too large for the post",
    explanation: "The card, in its envelope when there is one, is larger than the post takes in this class. The limits stand in a dated table; posts change them.",
    wrong: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 500mm by 120mm
  valley 250mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 460mm by 120mm
  valley 230mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for PostTooLarge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: found, second: limit, by } = say.compared(self.found, self.limit, Dimension::Length);
        let over = by.unwrap_or_default();
        let what = self.posted.what();
        self.posted
            .telling(format!("the {} of {what} is {found}, and {} may have at most {limit}: {over} too much", self.side, self.posted.class()))
            .label(format!("at most {limit}"))
            .help(format!("make it {over} smaller, or send it in another class"))
            .measured("found", self.found, "mm")
            .measured("limit", self.limit, "mm")
    }
}
