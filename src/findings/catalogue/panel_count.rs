use super::*;

/// A row of panel names that does not match the panels there are.
pub struct PanelCount {
    pub piece: String,
    pub place: Span,
    pub named: usize,
    pub found: usize,
    pub scores: Vec<Span>,
    pub names: Vec<String>,
    pub side: &'static str,
}

pub static ENTRY: Entry = Entry {
    name: "panel-count",
    severity: Severity::Error,
    family: Family::Cutting,
    title: "A row of names does not match the panels",
    explanation: "Scores and cuts divide a piece into panels. A row of names gives each of them one name, in order \
                  from the side it names; there must be as many names as panels.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm, 40mm from left
  panels wing, body from left
}
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley 20mm, 40mm from left
  panels wing, body, tail from left
}
"#,
};

impl Fault for PanelCount {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let count = |n: usize| if n == 1 { "1 panel".to_string() } else { format!("{n} panels") };
        let message = format!(
            "`{}` has {} and {} named",
            self.piece,
            count(self.found),
            if self.named == 1 { "1 is".into() } else { format!("{} are", self.named) }
        );
        let mut telling = Telling::new(self.place, message)
            .label(format!("{} from {}", self.names.join(", "), self.side))
            .measured("panels", self.found as f64, "")
            .measured("names", self.named as f64, "");
        for score in &self.scores {
            telling = telling.other(*score, "a score");
        }
        let scores = self.scores.len();
        telling = if scores > 0 && self.found != scores + 1 {
            telling.why(format!(
                "{scores} scores that run across the whole piece would make {}",
                count(scores + 1)
            ))
        } else {
            telling
        };
        let help = if self.found > self.named {
            format!("name {} more", self.found - self.named)
        } else {
            format!("leave out {}", self.named - self.found)
        };
        telling.help(help)
    }
}
