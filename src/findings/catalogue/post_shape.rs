use super::*;

/// A letter of a shape the post does not take in this class.
pub struct PostShape {
    pub posted: Posted,
    /// Long side over short side.
    pub ratio: f64,
    pub least: Option<f64>,
    pub most: Option<f64>,
}

pub static ENTRY: Entry = Entry {
    name: "post-shape",
    severity: Severity::Error,
    family: Family::Post,
    title: "The post does not take a letter of this shape",
    explanation: "Sorting machines need a letter that is clearly longer than it is wide. Some posts do not take squarer letters in their standard classes at all.",
    wrong: r#"card "Harvest"
post deutsche_post standard
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 280mm by 120mm
  valley 140mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
    right: r#"card "Harvest"
post deutsche_post standard
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 280mm by 95mm
  valley 140mm from left
  panels front, back from left
}
pose shut { page folded flat }
"#,
};

impl Fault for PostShape {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let ratio = crate::quantity::say_number((self.ratio * 100.0).round() / 100.0);
        let asked = ratio_said(self.least, self.most);
        self.posted
            .telling(format!("{} is {ratio} times as long as it is wide, and {} must be {asked} times", self.posted.what(), self.posted.class()))
            .label(format!("{asked} times as long as wide"))
            .help("make it longer or narrower, or send it in a larger class")
            .measured("ratio", self.ratio, "1")
    }
}
