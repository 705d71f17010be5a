use super::*;

/// Values that need one another.
pub struct RingOfNames {
    pub ring: Vec<(String, Span)>,
}

pub static ENTRY: Entry = Entry {
    name: "ring-of-names",
    severity: Severity::Error,
    family: Family::Values,
    title: "Values are worked out from one another in a ring",
    explanation: "Each of these values is worked out from the next, and the last from the first again, so none of them can ever be known. Give one of them a plain measurement.",
    wrong: r#"card "Kite"
paper board: 200gsm
let tall = wide * 2
let wide = tall / 2
piece kite of board { size 60mm by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
let tall = wide * 2
let wide = 40mm
piece kite of board { size wide by tall }
"#,
};

impl Fault for RingOfNames {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut names: Vec<&str> = self.ring.iter().map(|(n, _)| n.as_str()).collect();
        names.extend(self.ring.first().map(|(n, _)| n.as_str()));
        let place = self.ring.first().map_or(Span::default(), |(_, s)| *s);
        let message = if self.ring.len() == 1 {
            format!("`{}` is worked out from itself", names.first().unwrap_or(&""))
        } else {
            format!("these values need one another: {}", names.join(" → "))
        };
        let mut telling = Telling::new(place, message).label("starts here");
        for (name, span) in self.ring.iter().skip(1) {
            telling = telling.other(*span, format!("needs the value after `{name}`"));
        }
        telling.help("give one of them a plain measurement")
    }
}
