use super::*;

/// A file that the design names cannot be read.
pub struct FileNotRead {
    pub place: Span,
    pub file: String,
    pub why: String,
}

pub static ENTRY: Entry = Entry {
    name: "file-not-read",
    severity: Severity::Error,
    family: Family::Names,
    title: "A file that the design names cannot be read",
    explanation: "The design names another file, an outline or a picture, and that file could not be read. File names are looked for in the folder of the design itself.",
    wrong: r#"card "Kite"
paper board: 200gsm
include "tail.plica"
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
piece kite of board {
  size 60mm by 80mm
}
"#,
};

impl Fault for FileNotRead {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` cannot be read: {}", self.file, self.why))
            .label("named here")
            .help("file names are looked for beside the design; check the spelling, or take this line out")
    }
}
