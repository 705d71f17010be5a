use super::*;

/// A file that was to be printed and holds no picture.
pub struct PictureNotRead {
    pub print: Named,
    pub file: String,
}

pub static ENTRY: Entry = Entry {
    name: "picture-not-read",
    severity: Severity::Error,
    family: Family::Names,
    title: "A file to be printed holds no picture",
    explanation: "A picture to be printed is a PNG or an SVG file. This file begins like neither: it may have another form behind a wrong name, or be empty. Save the picture again as PNG or SVG.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.3mm thick
piece kite of board { size 60mm by 80mm }
print gull picture "notes.txt" on kite: centred, 30mm wide
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.3mm thick
piece kite of board { size 60mm by 80mm }
print gull picture "kite.svg" on kite: centred, 30mm wide
"#,
};

impl Fault for PictureNotRead {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(
            self.print.span,
            format!("`{}` cannot print `{}`: it is neither a PNG nor an SVG picture", self.print.name, self.file),
        )
        .label("this print")
        .help("save the picture again as PNG or SVG, and name that file")
    }
}
