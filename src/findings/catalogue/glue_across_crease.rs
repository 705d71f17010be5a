use super::*;

/// A part stuck to one panel that reaches over a moving fold.
pub struct GlueAcrossCrease {
    pub part: Named,
    /// The statement that sticks it.
    pub place: Span,
    pub score: Named,
    /// mm that the part reaches past the score.
    pub reach: f64,
}

pub static ENTRY: Entry = Entry {
    name: "glue-across-crease",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A part is stuck across a score that folds towards it",
    explanation: "A stuck part is as stiff as the panel it lies on. Where it reaches over a score that folds towards it, the neighbouring panel comes up against it and the fold cannot close. Keep the part on its own panel, or score it along the same line.",
    wrong: r#"card "Lantern"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece lamp of cover { size 40mm by 50mm }
glue back of lamp to front of page.left: 75mm from left, 30mm from top
pose shut { page.spine 180deg }
"#,
    right: r#"card "Lantern"
paper cover: 250gsm, 0.3mm thick
piece page of cover {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece lamp of cover { size 40mm by 50mm }
glue back of lamp to front of page.left: 50mm from left, 30mm from top
pose shut { page.spine 180deg }
"#,
};

impl Fault for GlueAcrossCrease {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let reach = say.length(self.reach);
        Telling::new(self.place, format!("`{}` reaches {reach} past {}, which folds towards it", self.part.name, self.score.name))
            .label(format!("stuck {reach} past the score"))
            .other(self.score.span, "this fold cannot close")
            .other(self.part.span, "the part")
            .why("the neighbouring panel comes up against the part, and the fold stays open")
            .help(format!("move the part at least {reach} back, or cut that much off it"))
            .measured("reach", self.reach, "mm")
    }
}
