use super::*;

/// A piece too small to hold.
pub struct TinyPiece {
    pub piece: Named,
    /// mm at its narrowest.
    pub width: f64,
}

pub static ENTRY: Entry = Entry {
    name: "tiny-piece",
    severity: Severity::Caution,
    family: Family::Cutting,
    title: "A piece is too small to hold",
    explanation: "A piece narrower than 5 mm is hard to cut, to hold and to glue. Draw or punch it, or make it part of its neighbour.",
    wrong: r#"card "Cherry"
paper board: 250gsm, 0.3mm thick
piece stone of board { shape circle 4mm }
"#,
    right: r#"card "Cherry"
paper board: 250gsm, 0.3mm thick
piece stone of board { shape circle 8mm }
"#,
};

impl Fault for TinyPiece {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let width = say.length(self.width);
        Telling::new(self.piece.span, format!("`{}` is only {width} wide", self.piece.name))
            .label(width)
            .why("fingers cannot hold it while it is cut and glued")
            .help("make it larger, or draw it on its neighbour")
            .measured("width", self.width, "mm")
    }
}
