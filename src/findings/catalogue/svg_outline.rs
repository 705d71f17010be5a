use super::*;

/// A drawing that gives no outline.
pub struct SvgOutline {
    pub file: String,
    pub place: Span,
    problem: Problem,
}

enum Problem {
    Unreadable(String),
    Empty,
    Open { gap: f64 },
    Several { count: usize },
}

impl SvgOutline {
    pub fn unreadable(file: &str, place: Span, why: String) -> Self {
        Self { file: file.into(), place, problem: Problem::Unreadable(why) }
    }

    pub fn empty(file: &str, place: Span) -> Self {
        Self { file: file.into(), place, problem: Problem::Empty }
    }

    /// A contour whose ends are `gap` mm apart.
    pub fn open(file: &str, place: Span, gap: f64) -> Self {
        Self { file: file.into(), place, problem: Problem::Open { gap } }
    }

    /// `count` outlines that lie beside each other.
    pub fn several(file: &str, place: Span, count: usize) -> Self {
        Self { file: file.into(), place, problem: Problem::Several { count } }
    }
}

pub static ENTRY: Entry = Entry {
    name: "svg-outline",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A drawing gives no outline",
    explanation: "The outline of a piece can come from an SVG file. The file must hold one closed contour; contours \
                  inside it become openings. Strokes that are not closed, text that is not turned into paths and \
                  several shapes side by side cannot be cut as one piece.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape from "open-line.svg" }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for SvgOutline {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let file = &self.file;
        match &self.problem {
            Problem::Unreadable(why) => {
                Telling::new(self.place, format!("`{file}` cannot be read as a drawing"))
                    .label(why.clone())
                    .help("save it as plain SVG")
            }
            Problem::Empty => Telling::new(self.place, format!("`{file}` holds no outline"))
                .label("no shape in it")
                .help("draw the outline as a path, and turn letters into paths"),
            Problem::Open { gap } => {
                Telling::new(self.place, format!("a line in `{file}` is open by {}", say.length(*gap)))
                    .label("not closed")
                    .help("close the path in the drawing")
                    .measured("gap", *gap, "mm")
            }
            Problem::Several { count } => {
                Telling::new(self.place, format!("`{file}` holds {count} outlines beside each other"))
                    .label("a piece has one")
                    .help("keep one shape in the file, and give the others files and pieces of their own")
            }
        }
    }
}
