use super::*;

/// A letter that the post carries at an extra charge.
pub struct PostSurcharge {
    pub posted: Posted,
    pub because: Surcharged,
}

pub static ENTRY: Entry = Entry {
    name: "post-surcharge",
    severity: Severity::Caution,
    family: Family::Post,
    title: "The post charges extra for this card",
    explanation: "Machines cannot sort squares, very long letters, large letters of thin paper, or letters much thicker at one place than at another. The post carries them, sorted by hand, at an extra charge.",
    wrong: r#"card "Harvest"
post usps letter
paper board: 100lb cover, 0.012in thick
piece page of board {
  size 10in by 5in
  valley 5in from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post usps letter
paper board: 100lb cover, 0.012in thick
piece page of board {
  size 10in by 3 3/4in
  valley 5in from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for PostSurcharge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let what = self.posted.what();
        let title = self.posted.class();
        match self.because {
            Surcharged::Ratio { ratio, least, most } => {
                let shape = if ratio < 1.005 {
                    "is square".into()
                } else {
                    let found = crate::quantity::say_number((ratio * 100.0).round() / 100.0);
                    format!("is {found} times as long as it is wide")
                };
                let asked = ratio_said(least, most);
                self.posted
                    .telling(format!("{what} {shape}: {title} outside {asked} times as long as wide is charged extra"))
                    .label("charged extra")
                    .help(format!("keep the long side {asked} times the short one, or add the extra postage"))
                    .measured("ratio", ratio, "1")
            }
            Surcharged::Uneven { found, limit } => {
                let Compared { first, second, .. } = say.compared(found, limit, Dimension::Length);
                let telling = self
                    .posted
                    .telling(format!("the card is {first} thicker at one place than at another: {title} that differs by more than {second} is charged extra"))
                    .label("charged extra")
                    .measured("found", found, "mm")
                    .measured("limit", limit, "mm");
                match self.posted.layers.as_slice() {
                    [] => telling.help("make it more even, or add the extra postage"),
                    layers => telling.help(format!("it is thickest where {} lie over each other: spread them out, or add the extra postage", layers.join(", "))),
                }
            }
            Surcharged::Thin { found, limit } => {
                let Compared { first, second, .. } = say.compared(found, limit, Dimension::Length);
                self.posted
                    .telling(format!("{what} is {first} thick: {title} of this size below {second} is charged extra"))
                    .label("charged extra")
                    .help("take heavier paper, or add the extra postage")
                    .measured("found", found, "mm")
                    .measured("limit", limit, "mm")
            }
        }
    }
}
