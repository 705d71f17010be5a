use super::*;

/// Two parts of a flat pose that may lie either way over each other.
pub struct LayersUndecided {
    pub pose: Named,
    /// As the pictures show them.
    pub upper: Named,
    pub lower: Named,
    /// mm².
    pub shared: f64,
}

pub static ENTRY: Entry = Entry {
    name: "layers-undecided",
    severity: Severity::Note,
    family: Family::Layers,
    title: "Two parts may lie either way over each other",
    explanation: "Nothing in the design says which of two loose parts lies over the other in this pose; the hand that shuts the card decides. The pictures, the thickness and the guide take one order. What is claimed of the card is proven for every order, so that this is only a note.",
    wrong: r#"card "Fan"
paper board: 300gsm, 0.35mm thick
piece page of board {
  size 150mm by 80mm
  valley near: 45mm from left
  valley far: 105mm from left
  panels left_wing, middle, right_wing from left
}
pose shut { page.near at 180deg  page.far at 180deg }
"#,
    right: r#"card "Fan"
paper board: 300gsm, 0.35mm thick
piece page of board {
  size 150mm by 80mm
  valley near: 45mm from left
  valley far: 105mm from left
  panels left_wing, middle, right_wing from left
}
pose shut { page.near at 180deg  page.far at 0deg }
"#,
};

impl Fault for LayersUndecided {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (pose, upper, lower) = (&self.pose.name, &self.upper.name, &self.lower.name);
        Telling::new(
            self.pose.span,
            format!("in `{pose}` either of `{upper}` and `{lower}` may lie over the other; `{upper}` is shown over it"),
        )
        .label("in this pose")
        .other(self.upper.span, "shown on top")
        .other(self.lower.span, "shown beneath")
        .why("nothing in the design says which is laid down first; claims are proven for both ways")
        .help(format!("glue or tuck one of them, or tell the maker in a `step` which to lay down first; they share {}", say.value(self.shared, Dimension::Area)))
        .measured("shared", self.shared, "mm2")
    }
}
