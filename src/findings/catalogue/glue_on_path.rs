use super::*;

/// Glue where a strap or a slide runs, or a part turns on a brad.
pub struct GlueOnPath {
    /// The glue statement.
    pub glue: Named,
    pub slide: Named,
    pub mover: Mover,
    /// Glue that stays clear of every path.
    pub clear: Option<Bridged>,
}

pub static ENTRY: Entry = Entry {
    name: "glue-on-path",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Glue lies where something runs or turns",
    explanation: "A strap runs on both sides of its bar, a slide on the face it lies on, and what is pinned turns on that face. Glue there holds it fast. Stick the part only along its edges, clear of the path, or somewhere else.",
    wrong: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece liner of cover { size 70mm by 130mm }
glue back of liner to back of wall: centred
"#,
    right: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece liner of cover { size 70mm by 130mm }
glue back of liner to back of wall: centred, along edges 10mm
"#,
};

impl Fault for GlueOnPath {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (word, goes, why) = match self.mover {
            Mover::Strap => ("strap", "runs", "a strap runs on both sides of its bar"),
            Mover::Slide => ("slide", "runs", "what is stuck there cannot be passed"),
            Mover::Brad => ("brad", "turns", "what is stuck there cannot be passed"),
        };
        let telling = Telling::new(self.glue.span, format!("the glue of `{}` lies where {word} `{}` {goes}", self.glue.name, self.slide.name))
            .label("sticks on the path")
            .other(self.slide.span, format!("this {word} is held fast"))
            .why(why);
        let Some(clear) = &self.clear else {
            return telling.help("no strip of glue along its edges is clear of the path: move the part, or make it larger");
        };
        let clause = clear.says(say);
        let telling = telling.measured("clear", clear.along.1, "mm");
        match clear.mend(say) {
            Some(mend) => telling
                .help(format!("stick the part along its edges only, clear of the path: at most `{clause}`"))
                .propose_mend(mend),
            None => telling.help(format!(
                "a mat is stuck all over: make it a piece that is glued along its edges only, at most `{clause}`"
            )),
        }
    }
}
