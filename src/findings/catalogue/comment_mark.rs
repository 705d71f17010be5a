use super::*;

/// A comment that begins with another mark than `#`.
pub struct CommentMark {
    pub place: Span,
    pub mark: String,
}

pub static ENTRY: Entry = Entry {
    name: "comment-mark",
    severity: Severity::Error,
    family: Family::Syntax,
    title: "A comment begins with the wrong mark",
    explanation: "A comment begins with # and runs to the end of its line.",
    wrong: r#"card "Kite"
paper board: 200gsm
piece kite of board { // the sail
  size 60mm by 80mm
}
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board { # the sail
  size 60mm by 80mm
}
"#,
};

impl Fault for CommentMark {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("a comment begins with `#`, not `{}`", self.mark))
            .label("begins a comment elsewhere")
            .help("write `#`; the comment then runs to the end of the line")
            .propose(self.place, "#", true)
    }
}
