use super::*;

/// An arc through three points in one line.
pub struct ArcWithoutCircle {
    pub place: Span,
    pub end: Span,
}

pub static ENTRY: Entry = Entry {
    name: "arc-without-circle",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Three points in a line make no arc",
    explanation: "An arc is drawn through one point to another. The three points must not lie in a line beyond \
                  each other, nor two of them in one place, or no circle goes through them.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape path (0mm, 0mm) line to (60mm, 0mm) arc through (60mm, 90mm) to (60mm, 80mm) line to (0mm, 80mm) line to (0mm, 0mm) }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape path (0mm, 0mm) line to (60mm, 0mm) arc through (75mm, 40mm) to (60mm, 80mm) line to (0mm, 80mm) line to (0mm, 0mm) }
"#,
};

impl Fault for ArcWithoutCircle {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, "no circle goes through this point and the two ends of the arc")
            .label("it lies in line with them")
            .other(self.end, "the end of the arc")
            .help("move the middle point to one side, between the two ends")
    }
}
