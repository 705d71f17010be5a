use super::*;

/// A leg of a motion that does not begin where the last one ended.
pub struct MotionJumps {
    pub joint: String,
    /// The step that jumps.
    pub place: Span,
    /// The step before it.
    pub before: Span,
    /// Where the joint was left; mm or degrees.
    pub left: f64,
    pub from: f64,
    /// The values are lengths.
    pub slides: bool,
}

pub static ENTRY: Entry = Entry {
    name: "motion-jumps",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A motion jumps",
    explanation: "Each leg of a motion begins where the one before has left the joint. Between these two the joint would have to jump.",
    wrong: r#"card "Tide clock"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 100mm by 140mm
  hole hub: 3mm, centred
}
piece dial of board {
  shape circle 60mm
  hole hub: 3mm, centred
}
brad axle through dial.hub, page.hub
motion turn { axle 0deg to 90deg then axle 120deg to 180deg }
"#,
    right: r#"card "Tide clock"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 100mm by 140mm
  hole hub: 3mm, centred
}
piece dial of board {
  shape circle 60mm
  hole hub: 3mm, centred
}
brad axle through dial.hub, page.hub
motion turn { axle 0deg to 90deg then axle 90deg to 180deg }
"#,
};

impl Fault for MotionJumps {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let dimension = if self.slides { Dimension::Length } else { Dimension::Angle };
        let (left, from) = (say.value(self.left, dimension), say.value(self.from, dimension));
        Telling::new(self.place, format!("`{}` was left at {left}, and this step begins at {from}", self.joint))
            .label(format!("begins at {from}"))
            .other(self.before, format!("ends at {left}"))
            .help(format!("begin this step at {left}, or put a step between the two"))
            .measured("left", self.left, "base")
            .measured("from", self.from, "base")
    }
}
