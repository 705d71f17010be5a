use super::*;

/// A woven part whose end comes out of a slot before the stop that a design states.
pub struct SlipsOut {
    pub part: Named,
    pub slot: Named,
    /// The stop as it is stated, and where the end of the part comes to the slot, mm.
    pub stated: f64,
    pub leaves: f64,
    /// The number of the stop that may be rewritten.
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "slips-out",
    severity: Severity::Caution,
    family: Family::Motion,
    title: "A part slips out of its slot on its way",
    explanation: "A part that runs through slots is held by all of them as long as it lies in all of them. Here its end comes out of one of them before the stop that the design states: it hangs loose there, and does not find its way back by itself. End the way earlier, or make the part longer.",
    wrong: r#"card "Sluice"
paper board: 250gsm, 0.32mm thick
paper thin: 200gsm, 0.26mm thick
piece page of board {
  size 105mm by 148mm
  slot mouth: 2mm wide, 32mm long, centred across, 60mm from top
  slot throat: 2mm wide, 32mm long, centred across, 100mm from top
}
piece gate of thin { size 28mm by 90mm }
slide gate through page.mouth, page.throat: from 0mm to 40mm
"#,
    right: r#"card "Sluice"
paper board: 250gsm, 0.32mm thick
paper thin: 200gsm, 0.26mm thick
piece page of board {
  size 105mm by 148mm
  slot mouth: 2mm wide, 32mm long, centred across, 60mm from top
  slot throat: 2mm wide, 32mm long, centred across, 100mm from top
}
piece gate of thin { size 28mm by 90mm }
slide gate through page.mouth, page.throat: from 0mm to 20mm
"#,
};

impl Fault for SlipsOut {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (stated, leaves) = (say.length(self.stated), say.length(self.leaves));
        let (part, slot) = (&self.part.name, &self.slot.name);
        let further = say.length((self.stated - self.leaves).abs());
        Telling::new(self.part.span, format!("`{part}` is to go to {stated}, and at {leaves} it slips out of `{slot}`"))
            .label(format!("out at {leaves}"))
            .other(self.slot.span, "left behind")
            .help(format!("end its way before {leaves}, or let it reach more than {further} further"))
            .measured("stated", self.stated, "mm")
            .measured("leaves", self.leaves, "mm")
            .rewrite(self.mend, say)
    }
}
