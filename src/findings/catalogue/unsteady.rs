use super::*;

/// A card that stands, but not steadily; or one with a foot that does not stand, where nobody said that it does.
pub struct Unsteady {
    pub pose: Named,
    /// The claim that it stands.
    pub claim: Option<Span>,
    /// Which way it falls.
    pub way: &'static str,
    /// How far its centre of mass lies inside the edge of its feet, mm; negative outside.
    pub margin: f64,
    /// How far it can be tilted that way before it falls, degrees; negative when it falls by itself.
    pub tipping: f64,
    /// Sizes with which it would stand steadily.
    pub foot: Vec<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "unsteady",
    severity: Severity::Caution,
    family: Family::Motion,
    title: "The card stands unsteadily",
    explanation: "A card that stands should bear being tilted by five degrees: tables are not level, and there are draughts. How far it can be tilted follows from its centre of mass: how far it lies inside the edge of the feet, and how high. A card with a panel that lies on the ground as a foot is looked at even when nothing is claimed of it.",
    wrong: r#"card "Notice board"
paper board: 250gsm, 0.3mm thick
view front of easel.back
piece easel of board {
  size 60mm by 145mm
  mountain top: 30mm from top, folded 90deg
  valley knee: 110mm from top, folded 90deg
  panels roof, back, foot from top
}
pose up { }
expect stands(up)
"#,
    right: r#"card "Notice board"
paper board: 250gsm, 0.3mm thick
view front of easel.back
piece easel of board {
  size 60mm by 160mm
  mountain top: 30mm from top, folded 90deg
  valley knee: 110mm from top, folded 90deg
  panels roof, back, foot from top
}
pose up { }
expect stands(up)
"#,
};

impl Fault for Unsteady {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (pose, way) = (&self.pose.name, self.way);
        let inside = say.length(self.margin.abs());
        let message = if self.margin > 0.0 {
            format!("in `{pose}` the card tips over {way} when it is tilted by {}: its weight lies {inside} inside its feet", say.angle(self.tipping))
        } else {
            format!("in `{pose}` the card tips over {way}: its weight lies {inside} beyond its feet")
        };
        let telling = Telling::new(self.claim.unwrap_or(self.pose.span), message)
            .label(format!("falls {way}"))
            .why(format!("what stands should bear {}", say.angle(STEADY_DEG)))
            .help("make the foot larger on that side, or take weight off what overhangs")
            .measured("margin", self.margin, "mm")
            .measured("tipping", self.tipping, "degrees");
        self.foot.iter().fold(telling, |t, size| t.rewrite(Some(*size), say))
    }
}
