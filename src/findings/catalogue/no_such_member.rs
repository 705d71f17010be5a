use super::*;

/// A part that its owner does not have.
pub struct NoSuchMember {
    pub place: Span,
    pub name: String,
    pub owner: String,
    pub near: Option<String>,
    pub known: Vec<String>,
}

pub static ENTRY: Entry = Entry {
    name: "no-such-member",
    severity: Severity::Error,
    family: Family::Names,
    title: "A piece has no part of this name",
    explanation: "The name behind the dot is not a panel, score, opening or edge of what stands before the dot.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
pose shut { kite.dop 180deg }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley dip: 40mm from top
}
pose shut { kite.dip 180deg }
"#,
};

impl Fault for NoSuchMember {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut telling = Telling::new(self.place, format!("{} has nothing named `{}`", self.owner, self.name)).label("unknown here");
        if let Some(near) = &self.near {
            telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true);
        } else if !self.known.is_empty() {
            let known: Vec<&str> = self.known.iter().take(8).map(String::as_str).collect();
            telling = telling.help(format!("it has {}", known.join(", ")));
        }
        telling
    }
}
