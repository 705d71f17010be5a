use super::*;

/// A file outside the folder of the design.
pub struct IncludeOutside {
    pub place: Span,
    pub file: String,
}

pub static ENTRY: Entry = Entry {
    name: "include-outside",
    severity: Severity::Error,
    family: Family::Names,
    title: "A file lies outside the folder of the design",
    explanation: "A design may only use files in its own folder or in folders below it, so that a design from someone else can never read the rest of your computer, and so that it still works when its folder is moved or sent.",
    wrong: r#"card "Kite"
paper board: 200gsm
include "../tail.plica"
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for IncludeOutside {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` lies outside the folder of this design", self.file))
            .label("must be in this folder or below")
            .why("a design may only read files beside it, so that it can be shared safely")
            .help("copy the file into the folder of the design and name it without `..`")
    }
}
