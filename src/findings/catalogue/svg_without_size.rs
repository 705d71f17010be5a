use super::*;

/// A drawing that does not say how large it is.
pub struct SvgWithoutSize {
    pub file: String,
    pub place: Span,
    pub width: f64,
    pub height: f64,
}

pub static ENTRY: Entry = Entry {
    name: "svg-without-size",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "A drawing does not say how large it is",
    explanation: "An SVG file gives its size in mm, cm or inches in the `width` and `height` of its first element. \
                  Without them one unit of the drawing counts as 1/96 in, as the standard says, which is seldom \
                  what was drawn.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape from "unsized.svg" }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for SvgWithoutSize {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let size = say.size(self.width, self.height);
        Telling::new(
            self.place,
            format!("`{}` gives no size in mm or inches; its outline comes to {size}", self.file),
        )
        .label("read at 96 units to the inch")
        .help("save the drawing with its width and height in mm")
        .measured("width", self.width, "mm")
        .measured("height", self.height, "mm")
    }
}
