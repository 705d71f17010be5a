use super::*;

/// A stop that a slide does not have.
pub struct NoSuchStop {
    pub joint: String,
    pub place: Span,
    pub defined: Span,
    pub asked: &'static str,
    pub ends: (&'static str, &'static str),
    /// It moves that way, but nothing stops it.
    pub free: bool,
}

pub static ENTRY: Entry = Entry {
    name: "no-such-stop",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A slide has no stop on that side",
    explanation: "A slide has two ends, named after the sides of the panel it moves on. One that moves up and down \
                  has no stop at the left; and where nothing holds a part it has no stop at all.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
pose up { band at left }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
pose up { band at top }
"#,
};

impl Fault for NoSuchStop {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        if self.free {
            return Telling::new(self.place, format!("nothing stops `{}` at the {}", self.joint, self.asked))
                .label("no stop here")
                .other(self.defined, "this slide comes out")
                .help("give it a shoulder, or stops: `from 0mm to 40mm`");
        }
        let (low, high) = self.ends;
        Telling::new(
            self.place,
            format!("`{}` moves between {low} and {high}, not {}", self.joint, self.asked),
        )
        .label(format!("no stop at the {}", self.asked))
        .other(self.defined, "this slide")
        .propose(self.place, high, false)
    }
}
