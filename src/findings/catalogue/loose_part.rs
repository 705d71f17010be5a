use super::*;

/// A part that nothing holds.
pub struct LoosePart {
    pub part: String,
    pub place: Span,
    pub base: String,
    pub base_span: Span,
}

pub static ENTRY: Entry = Entry {
    name: "loose-part",
    severity: Severity::Caution,
    family: Family::Joints,
    title: "Nothing holds a part",
    explanation: "Every part of a card is stuck, folded, threaded or pinned to another. This one is not joined to the \
                  piece before the viewer in any way: it can be cut, but it takes no part in the views, poses and \
                  checks of the card.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
piece tail of board { size 20mm by 30mm }
glue back of tail to front of kite: centred
"#,
};

impl Fault for LoosePart {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("nothing joins `{}` to `{}`", self.part, self.base))
            .label("loose")
            .other(self.base_span, "the piece before the viewer")
            .help("glue it, thread it through a slot or pin it")
    }
}
