use super::*;

/// A spine narrower than what its covers shut over.
pub struct SpineTooNarrow {
    pub spine: Named,
    /// What stands highest inside, of either cover or of both where they meet, and how high, mm.
    pub inside: Vec<(Named, f64)>,
    /// mm.
    pub width: f64,
    /// mm of what is inside, together.
    pub height: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "spine-too-narrow",
    severity: Severity::Error,
    family: Family::Folding,
    title: "A spine is too narrow for what is inside",
    explanation: "A spine between two scores gives room for what lies between the covers. It must be at least as wide as everything inside is thick, laid on top of each other where it meets.",
    wrong: r#"card "Album"
paper board: 250gsm, 0.3mm thick
piece cover of board {
  size 202mm by 100mm
  valley 100mm, 102mm from left
  panels left, spine, right from left
}
piece tile of board { size 60mm by 60mm }
foam 3mm back of tile to front of cover.left: centred
pose shut { cover 90deg }
"#,
    right: r#"card "Album"
paper board: 250gsm, 0.3mm thick
piece cover of board {
  size 204mm by 100mm
  valley 100mm, 104mm from left
  panels left, spine, right from left
}
piece tile of board { size 60mm by 60mm }
foam 3mm back of tile to front of cover.left: centred
pose shut { cover 90deg }
"#,
};

impl Fault for SpineTooNarrow {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: width, second: height, .. } = say.compared(self.width, self.height, Dimension::Length);
        let names: Vec<String> = self.inside.iter().map(|(part, _)| format!("`{}`", part.name)).collect();
        let stand = if names.len() > 1 { "inside stand together" } else { "inside stands" };
        let telling = Telling::new(
            self.spine.span,
            format!("`{}` is {width} wide, and {} {stand} {height} high", self.spine.name, names.join(" and ")),
        )
        .label(format!("{width} wide"));
        let telling = self
            .inside
            .iter()
            .fold(telling, |t, (part, high)| t.other(part.span, format!("{} high", say.thickness(*high))));
        telling
            .why("the covers cannot close, and the spine tears at its scores")
            .help(format!("make the spine {height} or wider"))
            .measured("width", self.width, "mm")
            .measured("height", self.height, "mm")
            .rewrite(self.mend, say)
    }
}
