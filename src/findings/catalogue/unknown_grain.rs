use super::*;

/// A grain that is neither long nor short.
pub struct UnknownGrain {
    pub place: Span,
    pub word: String,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-grain",
    severity: Severity::Error,
    family: Family::Values,
    title: "The grain is neither long nor short",
    explanation: "The grain of a sheet runs along its long side or along its short side. Bend the sheet both ways: it bends more easily along the grain.",
    wrong: r#"card "Kite"
paper board: 200gsm, sheet A4, grain lnog
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm, sheet A4, grain long
piece kite of board { size 60mm by 80mm }
"#,
};

impl Fault for UnknownGrain {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let telling = Telling::new(self.place, format!("the grain is `long` or `short`, not `{}`", self.word)).label("long or short");
        match crate::source::nearest(&self.word, ["long", "short"]) {
            Some(near) => telling.propose(self.place, near, true),
            None => telling,
        }
    }
}
