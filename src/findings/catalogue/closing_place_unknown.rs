use super::*;

/// Faces that no folds bring together.
pub struct ClosingPlaceUnknown {
    pub part: String,
    pub on: String,
    pub place: Span,
    pub target: Span,
    pub degrees: f64,
    pub gap: f64,
    /// In one plane, but this far beside each other, mm.
    pub beside: Option<f64>,
    /// They lie on each other, but not with the sides that are named: the part's and the target's other one.
    pub other_side: Option<[OtherSide; 2]>,
}

pub static ENTRY: Entry = Entry {
    name: "closing-place-unknown",
    severity: Severity::Error,
    family: Family::Joints,
    title: "Folds do not bring two faces together",
    explanation: "A glue joint without clauses is closed by folds: with every fold at its resting angle, or as a \
                  pose sets it, the two faces must lie on each other, front against back or front against front as \
                  the statement says. Otherwise the design does not say where the one lies on the other.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece box of board {
  size 90mm by 40mm
  valley 30mm, 80mm from left
  panels side, floor, flap from left
}
glue back of box.flap to front of box.side
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece box of board {
  size 90mm by 40mm
  valley 30mm, 70mm from left, folded flat
  panels side, floor, flap from left
}
glue back of box.flap to front of box.side
"#,
};

impl Fault for ClosingPlaceUnknown {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        if let Some([part, on]) = &self.other_side {
            let (one, two) = (&self.part, &self.on);
            let told = format!(
                "folds bring `{one}` and `{two}` together, but not the {} of the one to the {} of the other",
                part.said, on.said
            );
            let telling = Telling::new(self.place, told)
                .label("this side")
                .other(self.target, "does not meet this one")
                .help("name the other side of one of the two");
            return [part, on].into_iter().fold(telling, |telling, side| {
                let edits = vec![Edit { span: side.place, text: side.text.clone() }];
                let says = format!("write `{}`", side.text.trim());
                telling.propose_mend(Mend { says, edits, safe: false })
            });
        }
        let how = if let Some(distance) = self.beside {
            format!("{} beside each other", say.length(distance))
        } else if self.degrees >= 179.0 {
            "the wrong way round".to_string()
        } else if self.degrees > 0.01 {
            format!("{} out of line", say.angle(self.degrees))
        } else {
            format!("{} apart", say.length(self.gap))
        };
        let message =
            format!("folds do not bring `{}` and `{}` together: they lie {how}", self.part, self.on);
        Telling::new(self.place, message)
            .label("this face")
            .other(self.target, "should meet this one")
            .help("give the folds between them their resting angles (`folded flat`), or say where the part goes")
            .measured("angle", self.degrees, "degrees")
            .measured("gap", self.gap, "mm")
    }
}
