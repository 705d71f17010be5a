use super::*;

/// A reading from something that is not a line here.
pub struct ReadsFromNoLine {
    pub part: String,
    pub place: Span,
}

pub static ENTRY: Entry = Entry {
    name: "reads-from-no-line",
    severity: Severity::Error,
    family: Family::Kinds,
    title: "A reading needs an edge or a score that lies here",
    explanation: "A place is read from an edge or a score of the panel that the part goes on, or of something that \
                  lies flat on it. A hole has no edge to read from, a line that runs the same way as the reading \
                  has no such side, and a part that is not placed yet has no place.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  hole peg: 3mm, centred, 20mm from top
  hole eye: 3mm, 10mm from peg, 20mm from top
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  hole peg: 3mm, centred, 20mm from top
  hole eye: 3mm, 10mm right of peg, 20mm from top
}
"#,
};

impl Fault for ReadsFromNoLine {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` cannot be read from this", self.part))
            .label("no edge or score for this reading")
            .help("read from an edge or a score of the panel it goes on")
    }
}
