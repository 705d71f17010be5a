use super::*;

/// Two kinds that do not go together.
pub struct UnlikeKinds {
    pub place: Span,
    pub operator: &'static str,
    pub left: Stated,
    pub right: Stated,
}

pub static ENTRY: Entry = Entry {
    name: "unlike-kinds",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "Two kinds of value do not go together",
    explanation: "Lengths may be added to lengths and compared with lengths; a length times a length is an area; a length divided by a number is a length. What stands here has no meaning: a length plus an angle, say.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm + 3 by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm + 3mm by 80mm
}
"#,
};

impl Fault for UnlikeKinds {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (left, right) = (self.left.dimension.spoken(), self.right.dimension.spoken());
        let mut telling = Telling::new(self.place, format!("{left} and {right} do not go together with `{}`", self.operator))
            .label("these two do not go together")
            .other(self.left.span, format!("this is {left}"))
            .other(self.right.span, format!("this is {right}"));
        let (a, b) = (&self.left, &self.right);
        for (number, length) in [(a, b), (b, a)] {
            if number.dimension == Dimension::Number
                && length.dimension == Dimension::Length
                && number.literal == Some(number.span)
                && matches!(self.operator, "+" | "-" | "=" | "<" | ">" | "<=" | ">=" | "!=")
            {
                let digits = crate::quantity::say_number(number.value);
                let unit = if say.units == Units::Inch { "in" } else { "mm" };
                telling = telling
                    .help(format!("{digits} of what? Write its unit, such as `{digits}{unit}`"))
                    .propose(number.span, format!("{digits}{unit}"), false);
            }
        }
        telling
    }
}
