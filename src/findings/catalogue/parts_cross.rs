use super::*;

/// Two parts that go through each other in a pose.
pub struct PartsCross {
    pub pose: Named,
    pub parts: [Named; 2],
    /// How long the line is in which they do, mm.
    pub along: f64,
    /// How far the one that reaches less far beyond that line does so, mm.
    pub beyond: f64,
    /// Further poses in which they do.
    pub also: Vec<Named>,
}

pub static ENTRY: Entry = Entry {
    name: "parts-cross",
    severity: Severity::Error,
    family: Family::Motion,
    title: "Two parts go through each other in a pose",
    explanation: "Two parts stand where one would have to go through the paper of the other. Make one of them shorter or narrower, move it, or cut a slot where the other is to pass: a slot open at an edge lets two sheets stand crosswise in each other.",
    wrong: r#"card "Garden gate"
paper board: 250gsm, 0.3mm thick
piece page of board { size 200mm by 120mm }
piece fence of board {
  size 80mm by 50mm
  valley foot_fold: 10mm from bottom
  panels pales, foot from top
}
piece gate of board {
  shape polygon (0mm, 0mm) (50mm, 0mm) (50mm, 60mm) (10mm, 60mm) (10mm, 35mm) (0mm, 35mm)
  valley foot_fold: 10mm from left
  panels foot, bars from left
}
glue back of fence.foot to front of page: 60mm from left, crease 70mm below page.top
glue back of gate.foot to front of page: 30mm from top, crease 100mm right of page.left
pose up { fence.foot_fold 90deg  gate.foot_fold 90deg }
"#,
    right: r#"card "Garden gate"
paper board: 250gsm, 0.3mm thick
piece page of board { size 200mm by 120mm }
piece fence of board {
  size 80mm by 50mm
  valley foot_fold: 10mm from bottom
  panels pales, foot from top
}
piece gate of board {
  shape polygon (0mm, 0mm) (50mm, 0mm) (50mm, 40mm) (10mm, 40mm) (10mm, 35mm) (0mm, 35mm)
  valley foot_fold: 10mm from left
  panels foot, bars from left
}
glue back of fence.foot to front of page: 60mm from left, crease 70mm below page.top
glue back of gate.foot to front of page: 30mm from top, crease 100mm right of page.left
pose up { fence.foot_fold 90deg  gate.foot_fold 90deg }
"#,
};

impl Fault for PartsCross {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [one, other] = &self.parts;
        let (along, beyond) = (say.length(self.along), say.length(self.beyond));
        let told = format!(
            "in pose `{}` `{}` and `{}` go through each other over {along}",
            self.pose.name, one.name, other.name
        );
        let telling = Telling::new(self.pose.span, told)
            .label(format!("{along} of paper in paper"))
            .measured("along", self.along, "mm")
            .measured("beyond", self.beyond, "mm")
            .other(one.span, format!("`{}`", one.name))
            .other(other.span, format!("`{}`", other.name))
            .help(format!(
                "make one of them {beyond} shorter there, move it, or cut a slot of {along} for the other to pass"
            ));
        self.also.iter().fold(telling, |telling, pose| telling.other(pose.span, "and in this pose"))
    }
}
