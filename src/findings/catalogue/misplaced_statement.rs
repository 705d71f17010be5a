use super::*;

/// A statement in the wrong block.
pub struct MisplacedStatement {
    pub place: Span,
    pub home: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "misplaced-statement",
    severity: Severity::Error,
    family: Family::Names,
    title: "A statement stands in the wrong place",
    explanation: "Scores, panels, slots, windows, holes, tabs and marks belong inside the braces of a piece; joints, poses and claims stand outside. The sentence itself is fine: move it.",
    wrong: r#"card "Kite"
paper board: 200gsm
valley 30mm from left
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  valley 30mm from left
}
"#,
};

impl MisplacedStatement {
    pub fn new(place: Span, home: &'static str) -> Self {
        Self { place, home }
    }
}

impl Fault for MisplacedStatement {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("this belongs {}", self.home)).label("not here")
    }
}
