use super::*;

/// Two openings with little paper between them.
pub struct BridgeNarrow {
    pub openings: [Named; 2],
    /// mm of paper between them.
    pub bridge: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "bridge-narrow",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "Little paper is left between two openings",
    explanation: "A bridge of paper narrower than 3 mm (1/8 in) can be cut by a steady hand with a fresh blade, but it bends and tears easily. Where nothing asks for it, leave more.",
    wrong: r#"card "Ferry"
paper board: 250gsm, 0.3mm thick
piece hull of board {
  size 100mm by 60mm
  window fore: rectangle 12mm by 12mm, 20mm from left, 24mm from top
  window aft: rectangle 12mm by 12mm, 34mm from left, 24mm from top
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

impl Fault for BridgeNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [first, second] = &self.openings;
        let bridge = say.length(self.bridge);
        Telling::new(second.span, format!("{bridge} of paper between {} and {} is delicate", first.name, second.name))
            .label(format!("{bridge} from the other opening"))
            .other(first.span, "the other opening")
            .help(format!("{} or more holds in daily use", say.length(BRIDGE_MM)))
            .measured("bridge", self.bridge, "mm")
            .rewrite(self.mend, say)
    }
}
