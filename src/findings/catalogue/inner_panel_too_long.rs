use super::*;

/// A flap that has to lie inside another fold and is as long as it.
pub struct InnerPanelTooLong {
    pub inner: Named,
    /// The panel that both flaps fold over.
    pub over: Named,
    pub score: Named,
    /// mm of the inner flap.
    pub length: f64,
    /// mm of the panel.
    pub width: f64,
    /// mm that the inner flap must be shorter by.
    pub allowance: f64,
    pub mend: Option<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "inner-panel-too-long",
    severity: Severity::Error,
    family: Family::Folding,
    title: "An inner panel is not shorter than the one it folds into",
    explanation: "When two flaps fold over one panel, the inner one lies inside the bend of the outer one, and the outer one has to reach round its edge. The inner flap must be shorter than the panel by at least two thicknesses of the paper; printers take 1/16 in (1.5 mm). Move the score towards the inner flap.",
    wrong: r#"card "Timetable"
paper board: 250gsm, 0.3mm thick
piece leaf of board {
  size 300mm by 100mm
  valley fold_1: 100mm from left
  valley fold_2: 200mm from left
  panels inside, middle, cover from left
}
pose shut { leaf folded flat }
"#,
    right: r#"card "Timetable"
paper board: 250gsm, 0.3mm thick
piece leaf of board {
  size 300mm by 100mm
  valley fold_1: 99mm from left
  valley fold_2: 200mm from left
  panels inside, middle, cover from left
}
pose shut { leaf folded flat }
"#,
};

impl Fault for InnerPanelTooLong {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let Compared { first: length, second: width, .. } = say.compared(self.length, self.width, Dimension::Length);
        let allowance = say.thickness(self.allowance);
        Telling::new(
            self.score.span,
            format!("`{}` is {length} long and folds inside `{}`, which is {width}", self.inner.name, self.over.name),
        )
        .label(format!("{length} on one side, {width} on the other"))
        .other(self.inner.span, "the inner flap")
        .other(self.over.span, "the panel it folds over")
        .why(format!("the outer flap bends round the inner one: the inner one must be {allowance} shorter or more"))
        .help("move the score towards the inner flap, or cut the flap shorter")
        .measured("length", self.length, "mm")
        .measured("width", self.width, "mm")
        .measured("allowance", self.allowance, "mm")
        .rewrite(self.mend, say)
    }
}
