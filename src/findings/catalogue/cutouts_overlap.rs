use super::*;

/// Two openings that run into each other.
pub struct CutoutsOverlap {
    pub openings: [Named; 2],
}

pub static ENTRY: Entry = Entry {
    name: "cutouts-overlap",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Two openings run into each other",
    explanation: "Two openings of one piece overlap or touch, so that they become one opening with a point or a step in its edge. If that is meant, draw it as one opening; if not, move them apart.",
    wrong: r#"card "Ferry"
paper board: 250gsm, 0.3mm thick
piece hull of board {
  size 100mm by 60mm
  window fore: rectangle 12mm by 12mm, 20mm from left, 24mm from top
  window aft: rectangle 12mm by 12mm, 28mm from left, 24mm from top
}
"#,
    right: r#"card "Ferry"
paper board: 250gsm, 0.3mm thick
piece hull of board {
  size 100mm by 60mm
  window fore: rectangle 12mm by 12mm, 20mm from left, 24mm from top
  window aft: rectangle 12mm by 12mm, 36mm from left, 24mm from top
}
"#,
};

impl Fault for CutoutsOverlap {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let [first, second] = &self.openings;
        Telling::new(second.span, format!("{} and {} run into each other", first.name, second.name))
            .label("this opening meets the other")
            .other(first.span, "the other opening")
            .help("move them apart, or draw them as one opening")
    }
}
