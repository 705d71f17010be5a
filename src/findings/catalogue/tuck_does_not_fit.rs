use super::*;

/// A tongue that is in its opening in no pose.
pub struct TuckDoesNotFit {
    /// The tuck statement.
    pub place: Span,
    pub tongue: Named,
    pub opening: Named,
    /// The pose in which it is nearest.
    pub pose: Named,
    /// Of the opening, mm.
    pub length: f64,
    pub misses: TuckMisses,
}

pub static ENTRY: Entry = Entry {
    name: "tuck-does-not-fit",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A tongue does not come into the opening that it is tucked into",
    explanation: "A tucked tongue lies across its opening in at least one pose, and where it does it is no wider than the opening is long. Here it ends before the opening, lies beside it, or is too wide for it in the pose in which it comes nearest.",
    wrong: r#"card "Wallet"
paper board: 250gsm, 0.32mm thick
piece case of board {
  size 200mm by 100mm
  valley spine: 100mm from left
  panels back, front from left
  tab flap 30mm off front.right: square ends
  tab tongue 15mm off flap.right: 35mm to 65mm from top, tapered 15deg
  slit mouth on back: 30mm from left, 40mm to 60mm from top
}
tuck case.tongue into case.mouth
pose shut { case.spine folded flat  case.flap folded flat }
"#,
    right: r#"card "Wallet"
paper board: 250gsm, 0.32mm thick
piece case of board {
  size 200mm by 100mm
  valley spine: 100mm from left
  panels back, front from left
  tab flap 30mm off front.right: square ends
  tab tongue 15mm off flap.right: 35mm to 65mm from top, tapered 15deg
  slit mouth on back: 30mm from left, 34mm to 66mm from top
}
tuck case.tongue into case.mouth
pose shut { case.spine folded flat  case.flap folded flat }
"#,
};

impl Fault for TuckDoesNotFit {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (tongue, opening, pose) = (&self.tongue.name, &self.opening.name, &self.pose.name);
        let (length, by) = (say.length(self.length), say.length(self.misses.by()));
        let (told, label, help) = match self.misses {
            TuckMisses::Wide(by) => (
                format!("`{tongue}` is {} wide where it goes into `{opening}`, which is {length} long", say.length(self.length + by)),
                "too wide".to_string(),
                format!("make `{opening}` longer than {}, or the tongue narrower there", say.length(self.length + by)),
            ),
            TuckMisses::Beside(_) => (
                format!("`{tongue}` lies {by} beyond an end of `{opening}` in `{pose}`"),
                format!("{by} beside it"),
                format!("move one of them by {by}, or make `{opening}` longer"),
            ),
            TuckMisses::Apart(_) => (
                format!("`{tongue}` comes no nearer to `{opening}` than {by}, in `{pose}`"),
                format!("{by} from it"),
                "give a pose in which the tongue is tucked in, or move the opening to where the tongue comes".to_string(),
            ),
        };
        Telling::new(self.place, told)
            .label(label)
            .other(self.tongue.span, "the tongue")
            .other(self.opening.span, format!("{length} long"))
            .help(help)
            .measured("by", self.misses.by(), "mm")
            .measured("length", self.length, "mm")
    }
}
