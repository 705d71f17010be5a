use super::*;

/// A letter heavier or lighter than the post takes.
pub struct PostMass {
    pub posted: Posted,
    /// g.
    pub found: f64,
    pub limit: f64,
    /// Too heavy, not too light.
    pub over: bool,
}

pub static ENTRY: Entry = Entry {
    name: "post-mass",
    severity: Severity::Error,
    family: Family::Post,
    title: "The card is too heavy or too light for the post",
    explanation: "The mass of the paper, and of the envelope when there is one, against the limit of the class. Glue, foam and fasteners come on top.",
    wrong: r#"card "Harvest"
post royal_mail letter
paper board: 1500gsm, 2.2mm thick
piece page of board {
  size 460mm by 160mm
  valley 230mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post royal_mail letter
paper board: 1000gsm, 1.6mm thick
piece page of board {
  size 460mm by 160mm
  valley 230mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for PostMass {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: found, second: limit, by } = say.compared(self.found, self.limit, Dimension::Mass);
        let by = by.unwrap_or_default();
        let (bound, way) = if self.over { ("at most", "too heavy") } else { ("at least", "too light") };
        self.posted
            .telling(format!("{} weighs {found}, and {} may weigh {bound} {limit}: {by} {way}", self.posted.what(), self.posted.class()))
            .label(format!("{bound} {limit}"))
            .help(if self.over { "take lighter paper, or send it in another class" } else { "take heavier paper" })
            .measured("found", self.found, "g")
            .measured("limit", self.limit, "g")
    }
}
