use super::*;

/// A letter thicker or thinner than the post takes.
pub struct PostThickness {
    pub posted: Posted,
    /// mm.
    pub found: f64,
    pub limit: f64,
    /// Too thick, not too thin.
    pub over: bool,
}

pub static ENTRY: Entry = Entry {
    name: "post-thickness",
    severity: Severity::Error,
    family: Family::Post,
    title: "The card is too thick or too thin for the post",
    explanation: "A letter passes through a slit of the post's limit. Foam and layers add up where they lie over each other. Take lower foam, spread what lies over each other, or send it in a thicker class.",
    wrong: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 300mm by 100mm
  valley 150mm from left
  panels front, back from left
}
piece sheaf of board { size 40mm by 40mm }
foam 5mm back of sheaf to front of page.front: centred
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post royal_mail letter
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 300mm by 100mm
  valley 150mm from left
  panels front, back from left
}
piece sheaf of board { size 40mm by 40mm }
foam 2mm back of sheaf to front of page.front: centred
pose shut { page folded flat }
"#,
};

impl Fault for PostThickness {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: found, second: limit, by } = say.compared(self.found, self.limit, Dimension::Length);
        let by = by.unwrap_or_default();
        let (bound, way) = if self.over { ("at most", "too thick") } else { ("at least", "too thin") };
        let telling = self
            .posted
            .telling(format!("{} is {found} thick, and {} may be {bound} {limit}: {by} {way}", self.posted.what(), self.posted.class()))
            .label(format!("{bound} {limit} thick"))
            .measured("found", self.found, "mm")
            .measured("limit", self.limit, "mm");
        let telling = match (self.posted.deep, estimate_said(&self.posted.estimated)) {
            (None, Some(estimate)) => {
                let limits = telling.why.clone().unwrap_or_default();
                telling.why(format!("{limits}; {estimate}"))
            }
            _ => telling,
        };
        match self.posted.deep {
            _ if !self.over => telling.help("take heavier paper, or send it in another class"),
            Some(deep) => telling.help(format!("the box is {} deep, and its walls are taken to be {} thick together", say.length(deep), say.thickness(self.found - deep))),
            None if self.posted.layers.len() > 1 => telling.help(format!("it is thickest where {} lie over each other", self.posted.layers.join(", "))),
            None => telling.help("make it thinner, or send it in another class"),
        }
    }
}
