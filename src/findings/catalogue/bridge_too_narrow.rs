use super::*;

/// Two openings with almost no paper between them.
pub struct BridgeTooNarrow {
    pub openings: [Named; 2],
    /// mm of paper between them.
    pub bridge: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "bridge-too-narrow",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "Too little paper is left between two openings",
    explanation: "Between two openings a bridge of paper stays behind. A bridge narrower than 1.5 mm (1/16 in) tears while it is cut, or the first time the card is used. Move the openings apart until at least 3 mm (1/8 in) of paper stands between them.",
    wrong: r#"card "Ferry"
paper board: 250gsm, 0.3mm thick
piece hull of board {
  size 100mm by 60mm
  window fore: rectangle 12mm by 12mm, 20mm from left, 24mm from top
  window aft: rectangle 12mm by 12mm, 33mm from left, 24mm from top
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

impl Fault for BridgeTooNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [first, second] = &self.openings;
        let bridge = say.length(self.bridge);
        Telling::new(second.span, format!("only {bridge} of paper is left between {} and {}", first.name, second.name))
            .label(format!("{bridge} from the other opening"))
            .other(first.span, "the other opening")
            .why("so thin a bridge tears while it is cut")
            .help(format!("leave {} or more", say.length(BRIDGE_MM)))
            .measured("bridge", self.bridge, "mm")
            .rewrite(self.mend, say)
    }
}
