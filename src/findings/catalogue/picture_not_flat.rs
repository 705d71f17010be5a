use super::*;

/// A picture over several parts, in a pose where one of them stands away from the viewer.
pub struct PictureNotFlat {
    pub print: Named,
    pub pose: String,
    /// Where the pose is named.
    pub place: Span,
    pub part: Named,
    /// Degrees between the part and the viewer's plane.
    pub tilt: f64,
    /// Poses in which all parts lie flat.
    pub flat: Vec<String>,
}

pub static ENTRY: Entry = Entry {
    name: "picture-not-flat",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A picture runs over a part that does not lie flat in the pose",
    explanation: "A picture that runs over several parts is cut apart as the parts lie before the viewer in the pose that is named. A part that stands away from the viewer would get a squeezed picture. Name a pose in which every part lies flat.",
    wrong: r#"card "Kite"
paper board: 300gsm, 0.35mm thick
piece page of board {
  size 120mm by 80mm
  valley spine: 60mm from left, folded 90deg
  panels sky, sea from left
}
print scene picture "kite.svg" across page.sky, page.sea in ajar
pose open { page.spine at 0deg }
pose ajar { page.spine at 90deg }
"#,
    right: r#"card "Kite"
paper board: 300gsm, 0.35mm thick
piece page of board {
  size 120mm by 80mm
  valley spine: 60mm from left, folded 90deg
  panels sky, sea from left
}
print scene picture "kite.svg" across page.sky, page.sea in open
pose open { page.spine at 0deg }
pose ajar { page.spine at 90deg }
"#,
};

impl Fault for PictureNotFlat {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let tilt = say.value(self.tilt, Dimension::Angle);
        let (print, part, pose) = (&self.print.name, &self.part.name, &self.pose);
        let telling = Telling::new(
            self.place,
            format!("the picture `{print}` cannot be cut apart in `{pose}`: there `{part}` leans away by {tilt}"),
        )
        .label("in this pose")
        .other(self.part.span, format!("leans {tilt} away from the viewer"))
        .help("name a pose in which every part of the picture lies flat")
        .measured("tilt", self.tilt, "deg");
        self.flat.iter().fold(telling, |telling, pose| telling.propose(self.place, pose.as_str(), false))
    }
}
