use super::*;

/// A pose that the folds cannot take.
pub struct PoseDoesNotClose {
    pub pose: Named,
    /// Where the loop stays open.
    pub joint: Option<Named>,
    /// mm.
    pub gap: f64,
    /// The lengths that do not allow it, where they lie in a ring of four parallel folds.
    pub sum: Option<RingSum>,
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
        let apart = self.gap >= REPORTED_MM;
        let (told, label) = match &self.sum {
            Some(sum) => (format!(", since {}", self.of_sum(sum, say)), "the lengths do not allow it".to_string()),
            None if apart => (format!(": glued faces stay {gap} apart"), format!("{gap} apart")),
            None => (": the folds lock before they get there".to_string(), "locked".to_string()),
        };
        let mut telling = Telling::new(self.pose.span, format!("pose `{}` {found}{told}", self.pose.name))
            .label(label)
            .measured("gap", self.gap, "mm");
        telling = telling.why(match self.sum.as_ref().map(|s| s.turn) {
            Some(RingTurn::Shuts) => "to fold shut, the way from the gutter over the foot to the ridge must be as long on one side as on the other",
            Some(RingTurn::Opens { .. }) => "to open, the panels over the gutter must reach from foot to foot",
            Some(RingTurn::StaysOpen { .. }) => "the longer of the two panels over the gutter holds the feet apart",
            None => "paper does not stretch: the two sides of a loop of folds must be equally long",
        });
        if let Some(sum) = &self.sum {
            telling = telling
                .other(sum.gutter.span, "the gutter")
                .other(sum.ridge.span, "the ridge")
                .measured("near", sum.near.iter().sum(), "mm")
                .measured("far", sum.far.iter().sum(), "mm")
                .rewrite(sum.mend, say);
            return telling;
        }
        if let Some(joint) = &self.joint {
            telling = telling.other(joint.span, "the faces that stay apart");
        }
        telling
    }
}

impl PoseDoesNotClose {
    fn of_sum(&self, sum: &RingSum, say: &Say) -> String {
        let add = |[one, other]: [f64; 2]| format!("{} + {}", say.length(one), say.length(other));
        let gutter = &sum.gutter.name;
        match sum.turn {
            RingTurn::Shuts => {
                let differ = say.length((sum.near[0] + sum.near[1] - sum.far[0] - sum.far[1]).abs());
                let (near, far) = (add(sum.near), add(sum.far));
                format!("the two sides of `{gutter}` differ by {differ}: {near} against {far}")
            }
            RingTurn::Opens { to, short } => {
                let (over, under) = (add([sum.near[1], sum.far[1]]), add([sum.near[0], sum.far[0]]));
                let (to, short) = (say.angle(to), say.length(short));
                format!("`{gutter}` opens to {to} at the most, {short} short: {over} over it against {under} on the pages")
            }
            RingTurn::StaysOpen { at } => {
                let differ = say.length((sum.near[1] - sum.far[1]).abs());
                let feet = say.length((sum.near[0] - sum.far[0]).abs());
                let at = say.angle(at);
                format!("`{gutter}` closes to {at} at the least: the panels over it differ by {differ}, the feet by {feet}")
            }
        }
    }
}
