use super::*;

/// A part cut to exactly the room it has beside a fold.
pub struct PartToTheCrease {
    pub part: Named,
    /// The statement that sticks it.
    pub place: Span,
    pub score: Named,
    /// mm left between the part and the fold.
    pub gap: f64,
    /// The size with a sliver off.
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "part-to-the-crease",
    severity: Severity::Caution,
    family: Family::Folding,
    title: "A part reaches right up to a fold and binds in it",
    explanation: "Paper has thickness: a part that ends exactly at a fold is pinched when the fold closes, and pushes it open again. Cut a sliver off, half a millimetre or 1/32 in on each side.",
    wrong: r#"card "Greenhouse"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece lining of board { size 100mm by 110mm }
glue back of lining to front of page.left: centred
pose shut { page.spine 180deg }
"#,
    right: r#"card "Greenhouse"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece lining of board { size 98mm by 110mm }
glue back of lining to front of page.left: centred
pose shut { page.spine 180deg }
"#,
};

impl Fault for PartToTheCrease {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` reaches right up to {} and binds in the fold", self.part.name, self.score.name))
            .label(format!("{} from the fold", say.length(self.gap)))
            .other(self.score.span, "the fold that closes over it")
            .other(self.part.span, "the part")
            .why("paper has thickness: the closing fold pinches the edge and springs open")
            .help("cut a sliver off the part")
            .measured("gap", self.gap, "mm")
            .rewrite(self.mend, say)
    }
}
