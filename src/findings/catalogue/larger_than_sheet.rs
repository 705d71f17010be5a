use super::*;

/// A piece that no sheet of its paper can yield.
pub struct LargerThanSheet {
    pub piece: Named,
    /// mm.
    pub size: (f64, f64),
    pub paper: Named,
    pub sheet: String,
    /// mm.
    pub sheet_size: (f64, f64),
}

pub static ENTRY: Entry = Entry {
    name: "larger-than-sheet",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A piece is larger than its sheet",
    explanation: "The piece does not fit on one sheet of its paper, neither upright nor turned. Choose a larger sheet, or make the piece from two parts with a tab between them.",
    wrong: r#"card "Skyline"
paper board: 250gsm, 0.3mm thick, sheet A4
piece strip of board { size 310mm by 60mm }
"#,
    right: r#"card "Skyline"
paper board: 250gsm, 0.3mm thick, sheet A4
piece strip of board { size 280mm by 60mm }
"#,
};

impl Fault for LargerThanSheet {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let size = say.size(self.size.0, self.size.1);
        let sheet = say.size(self.sheet_size.0, self.sheet_size.1);
        Telling::new(
            self.piece.span,
            format!("`{}` is {size} and does not fit on a sheet {} of {sheet}, in either turn", self.piece.name, self.sheet),
        )
        .label(size)
        .other(self.paper.span, format!("`{}` comes in sheets of {sheet}", self.paper.name))
        .help("take a larger sheet, or join the piece from two parts with a tab")
        .measured("width", self.size.0, "mm")
        .measured("height", self.size.1, "mm")
    }
}
