use super::*;

/// The same name in each round of a repeat.
pub struct RepeatNameWithoutIndex {
    pub place: Span,
    pub name: String,
}

pub static ENTRY: Entry = Entry {
    name: "repeat-name-without-index",
    severity: Severity::Error,
    family: Family::Names,
    title: "A repeat gives the same name every time",
    explanation: "Each round of a repeat makes its parts again, so their names must differ. Put the counter into the name in square brackets.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  repeat i from 1 to 2 {
    valley fold: i * 20mm from top
  }
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  repeat i from 1 to 2 {
    valley fold[i]: i * 20mm from top
  }
}
"#,
};

impl Fault for RepeatNameWithoutIndex {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("every round of this repeat gives the name `{}` again", self.name))
            .label("the same each time")
            .help(format!("put the counter into the name: `{}[i]` where `i` is the counter", self.name))
    }
}
