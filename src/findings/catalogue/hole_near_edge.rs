use super::*;

/// A hole for a pin close to the edge.
pub struct HoleNearEdge {
    pub hole: Named,
    pub piece: Named,
    /// mm from the centre of the hole to the edge.
    pub centre: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "hole-near-edge",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "A hole is close to the edge",
    explanation: "A pin pulls at the paper round its hole. With its centre less than 1/4 in (6.35 mm) from the edge, the hole tears out sooner or later. Move it in.",
    wrong: r#"card "Weather vane"
paper board: 250gsm, 0.3mm thick
piece arrow of board {
  size 80mm by 30mm
  hole hub: 3mm, 5mm from left, 15mm from top
}
"#,
    right: r#"card "Weather vane"
paper board: 250gsm, 0.3mm thick
piece arrow of board {
  size 80mm by 30mm
  hole hub: 3mm, 8mm from left, 15mm from top
}
"#,
};

impl Fault for HoleNearEdge {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: centre, second: least, .. } = say.compared(self.centre, HOLE_FROM_EDGE_MM, Dimension::Length);
        Telling::new(
            self.hole.span,
            format!("the centre of {} is only {centre} from the edge of `{}`", self.hole.name, self.piece.name),
        )
        .label(format!("{centre} from the edge"))
        .other(self.piece.span, "the piece it is cut in")
        .why("the pin tears out through the edge")
        .help(format!("keep it {least} or more from the edge"))
        .measured("centre", self.centre, "mm")
        .rewrite(self.mend, say)
    }
}
