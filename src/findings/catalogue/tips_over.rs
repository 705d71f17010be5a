use super::*;

/// A pose that is claimed to stand, in which the card falls over.
pub struct TipsOver {
    pub pose: Named,
    pub claim: Span,
    /// Which way it falls, and how far its centre of mass lies beyond the edge of its feet, mm; `None` when it touches
    /// the ground along a line only.
    pub falls: Option<(&'static str, f64)>,
    /// Where it touches along a line only: the part that ends nearest above the ground, and how far, mm.
    pub short: Option<(Named, f64)>,
    /// Which way and how far it leans until it rests on something else, degrees, when it does not lie down.
    pub rests: Option<(&'static str, f64)>,
    /// Sizes with which it would stand steadily.
    pub foot: Vec<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "tips-over",
    severity: Severity::Error,
    family: Family::Expectations,
    title: "The card tips over",
    explanation: "The design says that the card stands in this pose. It does when its centre of mass lies over its feet: over the area that is spanned by what touches the ground. Here the weight lies beyond an edge of that area, and the card falls that way. Make the foot larger on that side, or take weight off what overhangs.",
    wrong: r#"card "Notice board"
paper board: 250gsm, 0.3mm thick
view front of easel.back
piece easel of board {
  size 60mm by 122mm
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

impl Fault for TipsOver {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let pose = &self.pose.name;
        let telling = match self.falls {
            Some((way, by)) => {
                let by_said = say.length(by);
                Telling::new(self.claim, format!("in `{pose}` the card tips over {way}: its weight lies {by_said} beyond its feet"))
                    .label(format!("falls {way}"))
                    .measured("beyond", by, "mm")
            }
            None => Telling::new(self.claim, format!("in `{pose}` the card falls over: it touches the ground along a line only"))
                .label("nothing to stand on"),
        };
        let telling = telling.other(self.pose.span, "the pose");
        let telling = match &self.short {
            Some((part, by)) => {
                let by_said = say.length(*by);
                telling
                    .other(part.span, format!("ends {by_said} above the ground"))
                    .help(format!("let a second part reach the ground: `{}` ends {by_said} above it", part.name))
                    .measured("above", *by, "mm")
            }
            None if self.falls.is_none() => telling.help("give it a foot: a part that lies on the ground or reaches it farther out"),
            None => telling.help("make the foot larger on that side, or take weight off what overhangs"),
        };
        let telling = match self.rests {
            Some((way, by)) => telling
                .why(format!("let go, it leans {} {way} and comes to rest there", say.angle(by)))
                .measured("leans", by, "degrees"),
            None => telling,
        };
        self.foot.iter().fold(telling, |t, size| t.rewrite(Some(*size), say))
    }
}
