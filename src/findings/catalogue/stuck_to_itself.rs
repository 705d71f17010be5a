use super::*;

/// A piece stuck to itself without a fold between.
pub struct StuckToItself {
    pub place: Span,
    pub piece: String,
}

pub static ENTRY: Entry = Entry {
    name: "stuck-to-itself",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A piece is stuck to itself",
    explanation: "Two panels of one piece may be stuck together when folds bring them together; then both panels must be named. A piece cannot be stuck to itself flat.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { size 60mm by 80mm }
glue back of kite to front of kite: centred
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for StuckToItself {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` is stuck to itself", self.piece))
            .label("the same piece twice")
            .help("name the two panels that the folds bring together, for example `glue front of box.flap to back of box.side`")
    }
}
