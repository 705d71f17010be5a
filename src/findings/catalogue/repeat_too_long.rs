use super::*;

/// More rounds than the language allows.
pub struct RepeatTooLong {
    pub place: Span,
    pub rounds: Option<i64>,
    pub most: i64,
}

pub static ENTRY: Entry = Entry {
    name: "repeat-too-long",
    severity: Severity::Error,
    family: Family::Values,
    title: "A repeat has too many rounds",
    explanation: "A repeat may have at most a thousand rounds, and a whole design at most sixty thousand statements, so that every design is checked in reasonable time.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  repeat i from 1 to 5000 {
    valley fold[i]: i * 1mm from top
  }
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for RepeatTooLong {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message = match self.rounds {
            Some(rounds) => format!("this repeat has {rounds} rounds and the most is {}", self.most),
            None => format!("this design has more than {} statements", self.most),
        };
        Telling::new(self.place, message).label("too many")
    }
}
