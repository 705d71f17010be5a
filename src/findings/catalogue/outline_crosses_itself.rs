use super::*;

/// An outline that meets itself again on its way round.
pub struct OutlineCrossesItself {
    pub piece: String,
    pub place: Span,
    /// The corner at which the crossing edge ends.
    pub near: Option<Span>,
    /// Where it happens, in the frame of the piece.
    pub at: (f64, f64),
}

pub static ENTRY: Entry = Entry {
    name: "outline-crosses-itself",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "An outline crosses itself",
    explanation: "The outline of a piece is one closed line that never meets itself: the knife goes round it once. \
                  Two corners in the wrong order are the usual cause.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape polygon (0mm, 0mm) (60mm, 80mm) (60mm, 0mm) (0mm, 80mm) }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board { shape polygon (0mm, 0mm) (60mm, 0mm) (60mm, 80mm) (0mm, 80mm) }
"#,
};

impl Fault for OutlineCrossesItself {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (x, y) = self.at;
        let message = format!(
            "the outline of `{}` crosses itself {} from left and {} from top",
            self.piece,
            say.length(x),
            say.length(y)
        );
        let telling = Telling::new(self.place, message)
            .label("this outline")
            .measured("x", x, "mm")
            .measured("y", y, "mm");
        let telling = match self.near {
            Some(near) => telling.other(near, "the edge that ends here crosses another"),
            None => telling,
        };
        telling.help("put the corners in order round the shape")
    }
}
