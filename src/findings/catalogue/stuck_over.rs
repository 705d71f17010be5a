use super::*;

/// Two parts said to be stuck to the same place of a face.
pub struct StuckOver(pub super::stuck_twice::StuckTwice);

pub static ENTRY: Entry = Entry {
    name: "stuck-over",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "Two parts are said to be stuck to the same place",
    explanation: "A face can hold one part at one place; a second one there is stuck to the first. Say so: the thickness, the order of making and what is seen are worked out from what is stuck to what.",
    wrong: r#"card "Window box"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sky of cover { size 70mm by 90mm }
piece sun of cover { shape circle 20mm }
glue back of sky to front of wall: centred
glue back of sun to front of wall: centred
"#,
    right: r#"card "Window box"
paper cover: 250gsm, 0.3mm thick
piece wall of cover { size 80mm by 100mm }
piece sky of cover { size 70mm by 90mm }
piece sun of cover { shape circle 20mm }
glue back of sky to front of wall: centred
glue back of sun to front of sky: centred
"#,
};

impl Fault for StuckOver {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [first, second] = &self.0.parts;
        let depth = say.length(self.0.depth);
        Telling::new(
            second.span,
            format!(
                "`{}` and `{}` are both said to be stuck to the {} of `{}`, where they share {depth}",
                first.name, second.name, self.0.face, self.0.to
            ),
        )
        .label("stuck to the same place")
        .other(first.span, format!("`{}` is stuck here", first.name))
        .help("stick the upper one to the other, not to what lies below both")
        .measured("depth", self.0.depth, "mm")
    }
}
