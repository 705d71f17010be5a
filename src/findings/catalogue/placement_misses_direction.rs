use super::*;

/// A placement that still lets the part slide.
pub struct PlacementMissesDirection {
    pub part: String,
    pub on: String,
    pub place: Span,
    /// Nothing says how far left or right.
    pub across: bool,
    /// Nothing says how far up or down.
    pub down: bool,
    /// Where further clauses go, and what leads them in.
    pub write_at: (Span, &'static str),
}

pub static ENTRY: Entry = Entry {
    name: "placement-misses-direction",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A placement leaves a direction open",
    explanation: "Sticking one part to another fixes it in both directions. A reading from the left or the right \
                  fixes one of them, a reading from the top or the bottom the other, and `centred` whatever is \
                  left.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 10mm from left
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 10mm from left, centred
"#,
};

impl Fault for PlacementMissesDirection {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let (message, help) = match (self.across, self.down) {
            (true, true) => ("where", "`12mm from left, 20mm from top` or `centred`"),
            (true, false) => ("how far left or right", "`centred` or `12mm from left`"),
            (false, true) => ("how far up or down", "`centred` or `12mm from top`"),
            (false, false) => ("how far along the line", "`centred` or a reading from an edge"),
        };
        let (span, lead) = self.write_at;
        let mend = crate::findings::Mend {
            says: "add `centred`".into(),
            edits: vec![crate::findings::Edit { span, text: format!("{lead}centred") }],
            safe: false,
        };
        Telling::new(self.place, format!("nothing says {message} `{}` goes on `{}`", self.part, self.on))
            .label("it could still slide")
            .help(format!("add {help}"))
            .propose_mend(mend)
    }
}
