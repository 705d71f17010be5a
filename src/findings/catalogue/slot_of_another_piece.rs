use super::*;

/// An opening of the wrong piece.
pub struct SlotOfAnotherPiece {
    pub place: Span,
    pub slot: String,
    pub owner: String,
    pub wanted: String,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "slot-of-another-piece",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A slot belongs to another piece",
    explanation: "A strap runs in slots of the panel it goes around. The slot named here was cut in another piece.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 100mm by 100mm
  slot one: 2mm wide, 30mm from left, 20mm to 80mm from top
}
piece tail of board {
  size 100mm by 100mm
  slot two: 2mm wide, 70mm from left, 20mm to 80mm from top
}
glue back of tail to front of kite: centred
strap line of board around kite between kite.one, tail.two: 6mm wide, 12mm overlap
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 100mm by 100mm
  slot one: 2mm wide, 30mm from left, 20mm to 80mm from top
  slot two: 2mm wide, 70mm from left, 20mm to 80mm from top
}
strap line of board around kite between kite.one, kite.two: 6mm wide, 12mm overlap
"#,
};

impl Fault for SlotOfAnotherPiece {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` is cut in `{}`, not in `{}`", self.slot, self.owner, self.wanted))
            .label(format!("must be in `{}`", self.wanted))
            .other(self.defined, "cut here")
    }
}
