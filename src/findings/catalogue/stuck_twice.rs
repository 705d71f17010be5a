use super::*;

/// Two parts stuck to one place, one of which has to move.
pub struct StuckTwice {
    pub parts: [Named; 2],
    /// What they are stuck to, and on which face.
    pub to: String,
    pub face: &'static str,
    /// mm that the two areas share, the smaller way.
    pub depth: f64,
}

pub static ENTRY: Entry = Entry {
    name: "stuck-twice",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Two parts are stuck to one place, and one of them has to move",
    explanation: "A face can hold one part at one place. Where the glue of a second part lies over a strap or a slide, the slide is shut in between the two and pulls at both. Make the second part shorter, or stick it somewhere else.",
    wrong: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece lamp of cover { size 30mm by 60mm }
piece backing of cover { size 28mm by 58mm }
glue back of lamp to front of runner: bottom to bottom, centred
glue back of backing to back of lamp: 1mm from top, centred across
"#,
    right: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece lamp of cover { size 30mm by 60mm }
piece backing of cover { size 28mm by 48mm }
glue back of lamp to front of runner: bottom to bottom, centred
glue back of backing to back of lamp: 1mm from top, centred across
"#,
};

impl Fault for StuckTwice {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [first, second] = &self.parts;
        let depth = say.length(self.depth);
        Telling::new(
            second.span,
            format!("`{}` and `{}` are both stuck to the {} of `{}` and share {depth}", first.name, second.name, self.face, self.to),
        )
        .label(format!("lies {depth} over the other"))
        .other(first.span, format!("`{}` is stuck here", first.name))
        .why("one of the two has to move, and it is shut in between them")
        .help(format!("cut at least {depth} off one of them, or move it"))
        .measured("depth", self.depth, "mm")
    }
}
