use super::*;

/// Parts that a pose does not hold where they are shown.
pub struct PartsLeftFree {
    pub pose: Named,
    /// What can still move.
    pub parts: Vec<Named>,
    /// The fold that turns most when they do, and its angle as shown, degrees.
    pub fold: Named,
    pub at: f64,
    /// Independent ways in which they move.
    pub ways: usize,
    /// Where the pose can be written on, and the folds to set there, each with its angle as shown, degrees.
    pub settings: Option<(Span, Vec<(String, f64)>)>,
}

pub static ENTRY: Entry = Entry {
    name: "parts-left-free",
    severity: Severity::Caution,
    family: Family::Motion,
    title: "A pose leaves parts free to move",
    explanation: "Folds that are tied together by glue mostly follow one another: one of them set, all have their angle. Here there is a fold more than that needs, so that some parts still swing when everything that the pose sets is held; they are shown in one of many ways in which they can stand. Give one of their folds an angle in the pose, say to what angle it is folded for good, or glue a fold fast.",
    wrong: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece arch of board {
  size 110mm by 30mm
  valley 10mm, 100mm from left
  mountain eave_l: 40mm from left
  mountain eave_r: 70mm from left
  panels foot_l, side_l, top, side_r, foot_r from left
}
glue back of arch.foot_l to front of page.left: crease 40mm left of spine, 40mm from top
glue back of arch.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose stage { page.spine 90deg }
"#,
    right: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece arch of board {
  size 110mm by 30mm
  valley 10mm, 100mm from left
  mountain eave_l: 40mm from left
  mountain eave_r: 70mm from left
  panels foot_l, side_l, top, side_r, foot_r from left
}
glue back of arch.foot_l to front of page.left: crease 40mm left of spine, 40mm from top
glue back of arch.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose stage { page.spine 90deg  arch.eave_l 60deg }
"#,
};

impl Fault for PartsLeftFree {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let names: Vec<String> = self.parts.iter().map(|p| format!("`{}`", p.name)).collect();
        let parts = match names.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, others)) => format!("{} and {last}", others.join(", ")),
            None => String::new(),
        };
        let ways = if self.ways > 1 { format!(" in {} ways", self.ways) } else { String::new() };
        let (fold, at) = (&self.fold.name, say.angle(self.at));
        let mut telling = Telling::new(
            self.pose.span,
            format!("in `{}` nothing holds {parts}: they can still move{ways} while all that it sets stands", self.pose.name),
        )
        .label("does not say where they stand");
        for part in &self.parts {
            telling = telling.other(part.span, format!("`{}` can move", part.name));
        }
        if let Some((place, folds)) = &self.settings {
            telling = telling.propose_mend(held(*place, folds, say));
        }
        telling
            .help(format!("give one of their folds an angle in the pose, such as `{fold}`, which is shown at {at}, or glue one fast"))
            .measured("ways", self.ways as f64, "")
            .measured("shown_at", self.at, "degrees")
    }
}

/// The folds written into the pose as they are shown.
fn held(place: Span, folds: &[(String, f64)], say: &Say) -> Mend {
    let settings: Vec<String> =
        folds.iter().map(|(fold, at)| format!("{fold} {}", say.write_angle(*at, Rounding::Nearest))).collect();
    let said: Vec<String> = settings.iter().map(|s| format!("`{s}`")).collect();
    let text = settings.iter().map(|s| format!("  {s}")).collect();
    Mend {
        says: format!("add {} to the pose", said.join(" and ")),
        edits: vec![Edit { span: place, text }],
        safe: false,
    }
}
