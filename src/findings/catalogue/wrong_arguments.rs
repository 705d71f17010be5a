use super::*;

/// A function with the wrong number of values.
pub struct WrongArguments {
    pub place: Span,
    pub name: String,
    pub wanted: usize,
    pub found: usize,
}

pub static ENTRY: Entry = Entry {
    name: "wrong-arguments",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A function or measure is given the wrong number of values",
    explanation: "Each function and measure takes a fixed number of values: height(open) takes a pose, visible(wish, open) a part and a pose, gap(a, b, open) two parts and a pose.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size abs(60mm, 50mm) by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size abs(60mm) by 80mm
}
"#,
};

impl Fault for WrongArguments {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let values = |n: usize| if n == 1 { "1 value".to_string() } else { format!("{n} values") };
        Telling::new(self.place, format!("`{}` takes {} and is given {}", self.name, values(self.wanted), self.found))
            .label(format!("needs {}", values(self.wanted)))
    }
}
