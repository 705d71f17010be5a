use super::*;

/// A score above or below a line that runs up and down, or beside one that runs across.
pub struct LineHasNoSuchSide {
    pub crease: String,
    /// The line that it is read from.
    pub of: String,
    /// "below"
    pub said: &'static str,
    /// The words for the two sides that the line has, the one with more room first.
    pub instead: [&'static str; 2],
    /// By how much the line leans from the level, degrees, 0 to 90.
    pub from_level: f64,
    pub place: Span,
    pub line: Span,
}

pub static ENTRY: Entry = Entry {
    name: "line-has-no-such-side",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A score is read from a side that its line does not have",
    explanation: "A score that is read from another line runs along with it. Above and below are the sides of a line that runs across; left and right are those of one that runs up and down. A line that leans has the sides of whichever it is nearer to.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley spine: 25mm from left
  valley fold: 10mm below spine
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley spine: 25mm from left
  valley fold: 10mm right of spine
}
"#,
};

impl Fault for LineHasNoSuchSide {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let runs = match self.from_level {
            level if level < PARALLEL_DEG => "runs across".into(),
            upright if upright > 90.0 - PARALLEL_DEG => "runs up and down".into(),
            leaning => format!("leans by {} from the level", say.angle(leaning)),
        };
        let [first, second] = self.instead;
        let message =
            format!("`{}` cannot lie {} `{}`, which {runs}", self.crease, self.said, self.of);
        Telling::new(self.place, message)
            .label("it has no such side")
            .other(self.line, "the line that it would run along with")
            .help(format!("a score runs along with the line it is read from: say `{first}` or `{second}`"))
            .measured("from_level", self.from_level, "degrees")
            .propose(self.place, first, false)
            .propose(self.place, second, false)
    }
}
