use super::*;

/// A slot hardly wider than what runs in it is thick.
pub struct SlotTight {
    pub slot: Named,
    pub slide: Named,
    /// mm.
    pub width: f64,
    /// mm.
    pub thickness: f64,
}

pub static ENTRY: Entry = Entry {
    name: "slot-tight",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "A slot is tight for what runs in it",
    explanation: "A slot should be at least twice as wide as the paper that runs in it is thick. In a tighter one the paper scrapes, and it jams where the slot is not cut quite straight.",
    wrong: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 0.4mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
"#,
    right: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
"#,
};

impl Fault for SlotTight {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (width, thickness) = (say.thickness(self.width), say.thickness(self.thickness));
        let least = say.thickness(2.0 * self.thickness);
        Telling::new(self.slot.span, format!("{} is {width} wide, and `{}` in it {thickness} thick", self.slot.name, self.slide.name))
            .label(format!("{width} wide"))
            .other(self.slide.span, format!("{thickness} thick"))
            .help(format!("make it {least} or wider"))
            .measured("width", self.width, "mm")
            .measured("thickness", self.thickness, "mm")
    }
}
