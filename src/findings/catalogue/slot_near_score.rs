use super::*;

/// A slot or a hole close to a fold.
pub struct SlotNearScore {
    pub slot: Named,
    pub score: Named,
    /// mm between them.
    pub gap: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "slot-near-score",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "A slot or a hole is close to a score",
    explanation: "Less than 1.5 mm (1/16 in) of paper between a slot and a fold bends with the fold, and what runs in the slot catches there.",
    wrong: r#"card "Ticket booth"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 100mm
  valley spine: 100mm from left
  panels left, right from left
  slot track: 2mm wide, 40mm from top, 101mm to 150mm from left
}
"#,
    right: r#"card "Ticket booth"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 100mm
  valley spine: 100mm from left
  panels left, right from left
  slot track: 2mm wide, 40mm from top, 104mm to 150mm from left
}
"#,
};

impl Fault for SlotNearScore {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let gap = say.length(self.gap);
        Telling::new(self.slot.span, format!("{} is only {gap} from {}", self.slot.name, self.score.name))
            .label(format!("{gap} from the fold"))
            .other(self.score.span, "the score")
            .help(format!("leave {} or more", say.length(BRIDGE_MM)))
            .measured("gap", self.gap, "mm")
            .rewrite(self.mend, say)
    }
}
