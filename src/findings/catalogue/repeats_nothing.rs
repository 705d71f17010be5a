use super::*;

/// A repeat whose last number lies before its first.
pub struct RepeatsNothing {
    /// From the first bound to the last.
    pub place: Span,
    pub first: i64,
    pub last: i64,
    /// Where the two bounds stand, when both are plain numbers.
    pub bounds: Option<(Span, Span)>,
}

pub static ENTRY: Entry = Entry {
    name: "repeats-nothing",
    severity: Severity::Caution,
    family: Family::Values,
    title: "A repeat counts backwards and repeats nothing",
    explanation: "A repeat counts upwards from its first number to its last. When the last one is smaller, there is no round at all and its statements are left out. To leave them out on purpose, let it end one before its first number: repeat i from 1 to 0.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  repeat i from 3 to 1 {
    mark bow[i]: 30mm from left, i * 20mm from top
  }
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
  repeat i from 1 to 3 {
    mark bow[i]: 30mm from left, i * 20mm from top
  }
}
"#,
};

impl Fault for RepeatsNothing {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let (first, last) = (self.first, self.last);
        let telling = Telling::new(self.place, format!("from {first} to {last} there is nothing to repeat"))
            .label("counts backwards")
            .why("a repeat counts upwards")
            .help(format!("write the smaller number first: `from {last} to {first}`"));
        let Some((from, to)) = self.bounds else { return telling };
        telling.propose_mend(Mend {
            says: format!("write `from {last} to {first}`"),
            edits: vec![
                Edit { span: from, text: last.to_string() },
                Edit { span: to, text: first.to_string() },
            ],
            safe: false,
        })
    }
}
