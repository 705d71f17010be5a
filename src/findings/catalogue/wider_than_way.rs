use super::*;

/// A part that is wider than the way between its two guides.
pub struct WiderThanWay {
    pub part: Named,
    pub guides: [Named; 2],
    /// The part, and the way between the guides, across the motion, mm.
    pub wide: f64,
    pub way: f64,
}

pub static ENTRY: Entry = Entry {
    name: "wider-than-way",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A part is wider than the way between its guides",
    explanation: "`slide … between a, b` runs a part between two guides that are stuck beside its way. It must be a little narrower than the gap between them.",
    wrong: r#"card "Tram"
paper board: 240gsm, 0.30mm thick
piece page of board { size 160mm by 80mm }
piece kerb of board { size 150mm by 10mm }
piece verge of board { size 150mm by 10mm }
piece tram of board { size 60mm by 42mm }
glue back of kerb to front of page: 5mm from left, 10mm from top
glue back of verge to front of page: 5mm from left, 60mm from top
slide tram on front of page between kerb, verge: 10mm from left, towards right, from 0mm to 60mm
"#,
    right: r#"card "Tram"
paper board: 240gsm, 0.30mm thick
piece page of board { size 160mm by 80mm }
piece kerb of board { size 150mm by 10mm }
piece verge of board { size 150mm by 10mm }
piece tram of board { size 60mm by 39mm }
glue back of kerb to front of page: 5mm from left, 10mm from top
glue back of verge to front of page: 5mm from left, 60mm from top
slide tram on front of page between kerb, verge: 10mm from left, towards right, from 0mm to 60mm
"#,
};

impl Fault for WiderThanWay {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (wide, way) = (say.length(self.wide), say.length(self.way));
        let [one, other] = &self.guides;
        let told = format!(
            "`{}` is {wide} wide and the way between `{}` and `{}` only {way}",
            self.part.name, one.name, other.name
        );
        Telling::new(self.part.span, told)
            .label("too wide")
            .other(one.span, "a guide")
            .other(other.span, "the other guide")
            .help(format!(
                "make the part narrower than {way}, or set the guides {} further apart",
                say.length(self.wide - self.way)
            ))
            .measured("wide", self.wide, "mm")
            .measured("way", self.way, "mm")
    }
}
