use super::*;

/// Two edges that cannot lie on each other.
pub struct EdgesNotParallel {
    pub part: String,
    pub own: Span,
    pub other: Span,
    pub degrees: f64,
    pub write_at: (Span, &'static str),
    /// Degrees clockwise that would bring them in line.
    pub turn: f64,
}

pub static ENTRY: Entry = Entry {
    name: "edges-not-parallel",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Two edges cannot lie along each other",
    explanation: "A part is not turned unless the statement says so. An edge that is put against another one must \
                  run the same way.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: left to bottom, centred
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: left to bottom, centred, turned 270deg
"#,
};

impl Fault for EdgesNotParallel {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "these two edges of `{}` and its target run {} apart",
            self.part,
            say.angle(self.degrees)
        );
        let (span, lead) = self.write_at;
        let turn = crate::quantity::say_number(self.turn);
        let mend = crate::findings::Mend {
            says: format!("add `turned {turn}deg`"),
            edits: vec![crate::findings::Edit { span, text: format!("{lead}turned {turn}deg") }],
            safe: false,
        };
        Telling::new(self.own, message)
            .label("this edge")
            .other(self.other, "and this one")
            .help("turn the part, or name edges that run the same way")
            .measured("angle", self.degrees, "degrees")
            .propose_mend(mend)
    }
}
