use super::*;

/// Two faces that are stuck but do not overlap.
pub struct FacesDoNotMeet {
    pub part: String,
    pub on: String,
    pub place: Span,
    pub target: Span,
    pub distance: f64,
}

pub static ENTRY: Entry = Entry {
    name: "faces-do-not-meet",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Two stuck faces do not meet",
    explanation: "Where the clauses put the part it does not lie over the face it is stuck to, so there is nothing \
                  to put glue on.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 70mm from left, centred
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: 20mm from left, centred
"#,
};

impl Fault for FacesDoNotMeet {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let gap = if self.distance > 0.005 {
            format!("{} beside", say.length(self.distance))
        } else {
            "just beside".to_string()
        };
        Telling::new(
            self.place,
            format!("`{}` lies {gap} `{}`: there is nothing to stick", self.part, self.on),
        )
        .label("this face")
        .other(self.target, "does not reach this one")
        .help("read its place from the panel it is stuck to")
        .measured("distance", self.distance, "mm")
    }
}
