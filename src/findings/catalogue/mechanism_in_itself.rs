use super::*;

/// A mechanism that uses itself.
pub struct MechanismInItself {
    pub place: Span,
    pub name: String,
    pub defined: Span,
}

pub static ENTRY: Entry = Entry {
    name: "mechanism-in-itself",
    severity: Severity::Error,
    family: Family::Names,
    title: "A mechanism uses itself",
    explanation: "A mechanism may use other mechanisms but not itself, directly or through others: it would never end. To have the same several times, use `repeat`.",
    wrong: r#"card "Kite"
paper board: 200gsm
mechanism stack(wide: length) {
  piece leaf of board { size wide by 20mm }
  use stack(wide: wide) as more
}
use stack(wide: 40mm) as kite
"#,
    right: r#"card "Kite"
paper board: 200gsm
mechanism stack(wide: length) {
  piece leaf of board { size wide by 20mm }
}
use stack(wide: 40mm) as kite
"#,
};

impl Fault for MechanismInItself {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        Telling::new(self.place, format!("`{}` uses itself", self.name))
            .label("would never end")
            .other(self.defined, "this mechanism")
            .help("to have the same several times, use `repeat`")
    }
}
