use super::*;

/// Brackets or blocks inside one another beyond the limit.
pub struct NestedTooDeep {
    pub place: Span,
    pub deepest: usize,
}

pub static ENTRY: Entry = Entry {
    name: "nested-too-deep",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "Brackets stand too deep inside one another",
    explanation: "Brackets and blocks may stand sixty-four deep inside one another. No card needs more: give a part of the expression a name with `let`, or take brackets out.",
    wrong: r#"card "Kite"
paper board: 200gsm
let wide = (((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((60mm)))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))
piece kite of board {
  size wide by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
let wide = 60mm
piece kite of board {
  size wide by 80mm
}
"#,
};

impl Fault for NestedTooDeep {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message = format!("brackets stand more than {} deep inside one another", self.deepest);
        Telling::new(self.place, message)
            .label("one too many begins here")
            .help("give the inner part a name with `let` and use the name")
    }
}
