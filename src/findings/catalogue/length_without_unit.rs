use super::*;

/// A bare number where a length belongs.
pub struct LengthWithoutUnit {
    pub place: Span,
    pub digits: String,
}

pub static ENTRY: Entry = Entry {
    name: "length-without-unit",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A length has no unit",
    explanation: "Every measurement carries its unit, so that nobody ever cuts inches for millimetres. Write the unit straight behind the number: 12mm, 1.2cm, 3/4in or 4 1/2in.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60 by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for LengthWithoutUnit {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (mm, inch) = (format!("{}mm", self.digits), format!("{}in", self.digits));
        let (first, second) = if say.units == Units::Inch { (inch, mm) } else { (mm, inch) };
        Telling::new(self.place, format!("{} of what? A length needs its unit", self.digits))
            .label("no unit")
            .help(format!("write `{first}` or `{second}`"))
            .propose(self.place, first, false)
            .propose(self.place, second, false)
    }
}
