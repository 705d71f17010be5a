use super::*;

/// Files that include one another.
pub struct IncludeRing {
    pub place: Span,
    pub ring: Vec<String>,
}

pub static ENTRY: Entry = Entry {
    name: "include-ring",
    severity: Severity::Error,
    family: Family::Names,
    title: "Files include one another in a ring",
    explanation: "One file includes another that, directly or through others, includes the first again. Put what both need into a third file that includes neither.",
    wrong: r#"card "Kite"
paper board: 200gsm
include "design.plica"
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for IncludeRing {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("these files include one another: {}", self.ring.join(" → ")))
            .label("leads back to the start")
            .help("put what they share into a file of its own that includes neither")
    }
}
