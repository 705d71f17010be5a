use super::*;

/// Too many values joined by signs in one expression.
pub struct ChainTooLong {
    pub place: Span,
    pub longest: usize,
}

pub static ENTRY: Entry = Entry {
    name: "chain-too-long",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "Too many values are joined in one line",
    explanation: "One expression may join some hundreds of values with signs. Give a part of it a name with `let`.",
    wrong: r#"card "Kite"
paper board: 200gsm
let wide = 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm + 1mm
piece kite of board {
  size wide by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
let wide = 300mm
piece kite of board {
  size wide by 80mm
}
"#,
};

impl Fault for ChainTooLong {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("more than {} values are joined in one expression", self.longest))
            .label("too long to work out")
            .help("give a part of it a name with `let` and use the name")
    }
}
