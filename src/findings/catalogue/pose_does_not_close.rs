use super::*;

/// A pose that the folds cannot take.
pub struct PoseDoesNotClose {
    pub pose: Named,
    /// Where the loop stays open.
    pub joint: Option<Named>,
    /// mm.
    pub gap: f64,
    /// False when that rests on a search that may have missed a way.
    pub certain: bool,
}

pub static ENTRY: Entry = Entry {
    name: "pose-does-not-close",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A pose cannot be taken",
    explanation: "Parts stuck at both ends tie folds together in a loop: when one moves, the others must follow. In this pose the loop does not close: the glued faces stay apart, or the paper would have to stretch. On either side of a spine, the way from the spine over the feet and the panels must be the same length.",
    wrong: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece terrace of board {
  size 90mm by 30mm
  valley 10mm, 80mm from left
  mountain ridge: 65mm from left
  panels foot_l, side, top, foot_r from left
}
glue back of terrace.foot_l to front of page.left: crease 20mm left of spine, 40mm from top
glue back of terrace.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
"#,
    right: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece terrace of board {
  size 90mm by 30mm
  valley 10mm, 80mm from left
  mountain ridge: 55mm from left
  panels foot_l, side, top, foot_r from left
}
glue back of terrace.foot_l to front of page.left: crease 20mm left of spine, 40mm from top
glue back of terrace.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
"#,
};

impl Fault for PoseDoesNotClose {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let gap = say.length(self.gap);
        let found = if self.certain { "cannot be taken" } else { "was not found to be possible" };
        let mut telling = Telling::new(self.pose.span, format!("pose `{}` {found}: glued faces stay {gap} apart", self.pose.name))
            .label(format!("{gap} apart"))
            .why("paper does not stretch: the two sides of a loop of folds must be equally long")
            .measured("gap", self.gap, "mm");
        if let Some(joint) = &self.joint {
            telling = telling.other(joint.span, "the faces that stay apart");
        }
        telling
    }
}
