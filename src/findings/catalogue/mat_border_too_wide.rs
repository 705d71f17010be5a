use super::*;

/// A border that leaves nothing of a mat.
pub struct MatBorderTooWide {
    pub mat: String,
    pub border: Stated,
    pub on: Span,
    pub panel: String,
    pub size: (f64, f64),
    /// A border that leaves a third of the narrower side.
    pub widest: f64,
}

pub static ENTRY: Entry = Entry {
    name: "mat-border-too-wide",
    severity: Severity::Error,
    family: Family::Values,
    title: "A border leaves nothing of a mat",
    explanation: "A mat is as large as its panel less the border on every side. A border of half the panel or more \
                  leaves nothing, or several loose bits.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
mat sky of board on front of kite: 35mm border
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
mat sky of board on front of kite: 5mm border
"#,
};

impl Fault for MatBorderTooWide {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let message = format!(
            "a border of {} leaves nothing of mat `{}`: `{}` measures {}",
            say.length(self.border.value),
            self.mat,
            self.panel,
            say.size(self.size.0, self.size.1)
        );
        Telling::new(self.border.span, message)
            .label("too wide")
            .other(self.on, say.size(self.size.0, self.size.1))
            .measured("border", self.border.value, "mm")
            .propose(
                self.border.literal.unwrap_or(self.border.span),
                say.write(self.widest, Rounding::Down),
                false,
            )
    }
}
