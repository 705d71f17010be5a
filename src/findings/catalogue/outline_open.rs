use super::*;

/// An outline that does not come back to its start.
pub struct OutlineOpen {
    pub piece: String,
    pub place: Span,
    /// Where it should end: the start, or the mirror line.
    pub start: Span,
    pub gap: f64,
    pub mirrored: bool,
}

pub static ENTRY: Entry = Entry {
    name: "outline-open",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "An outline does not close",
    explanation: "The outline of a piece must end where it starts. Half an outline that is mirrored must start and \
                  end on the mirror line.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape path (0mm, 0mm) line to (60mm, 0mm) arc through (75mm, 40mm) to (60mm, 80mm) line to (0mm, 80mm) line to (0mm, 5mm) }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape path (0mm, 0mm) line to (60mm, 0mm) arc through (75mm, 40mm) to (60mm, 80mm) line to (0mm, 80mm) line to (0mm, 0mm) }
"#,
};

impl Fault for OutlineOpen {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let gap = say.length(self.gap);
        let (message, label, other) = if self.mirrored {
            (
                format!("the half outline of `{}` ends {gap} off its mirror line", self.piece),
                "this half",
                "the mirror line",
            )
        } else {
            (
                format!("the outline of `{}` ends {gap} from where it starts", self.piece),
                "it ends here",
                "it starts here",
            )
        };
        Telling::new(self.place, message)
            .label(label)
            .other(self.start, other)
            .help(if self.mirrored {
                "start and end the half on the mirror line"
            } else {
                "let the last point be the first one"
            })
            .measured("gap", self.gap, "mm")
    }
}
