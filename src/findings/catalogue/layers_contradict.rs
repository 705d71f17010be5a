use super::*;

/// Layers that cannot lie in any order.
pub struct LayersContradict {
    pub pose: Named,
    /// The smallest set that cannot all hold.
    pub joints: Vec<Named>,
    /// A score among them: folded the other way it may lie.
    pub fold: Option<Named>,
    /// All of them are folds.
    pub folds: bool,
    /// A tongue that is tucked in is among them.
    pub tuck: bool,
    /// How much two parts share that are both stuck to one place, mm.
    pub stuck_over: Option<f64>,
}

pub static ENTRY: Entry = Entry {
    name: "layers-contradict",
    severity: Severity::Error,
    family: Family::Layers,
    title: "The layers of a flat pose cannot lie in any order",
    explanation: "In a flat card, of any two layers that cover each other one is above. Folds, glue and straps say which; nothing can lie between two faces that are glued together, and no layer can pass through a fold. Here they contradict each other: take one of the underlined away, or give it another side.",
    wrong: r#"card "Three leaves"
paper board: 250gsm, 0.3mm thick
piece strip of board {
  size 210mm by 60mm
  valley 80mm, 150mm from left
  panels long, middle, short from left
}
piece tile of board { size 40mm by 30mm }
glue back of tile to front of strip.middle: centred
glue front of strip.short to front of strip.middle
pose shut { strip folded flat }
"#,
    right: r#"card "Three leaves"
paper board: 250gsm, 0.3mm thick
piece strip of board {
  size 210mm by 60mm
  valley 80mm, 150mm from left
  panels long, middle, short from left
}
piece tile of board { size 40mm by 30mm }
glue back of tile to front of strip.middle: centred
pose shut { strip folded flat }
"#,
};

impl Fault for LayersContradict {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let mut names: Vec<String> = self.joints.iter().map(|j| format!("`{}`", j.name)).collect();
        names.dedup();
        let told = if names.is_empty() {
            format!("in `{}` a layer would have to pass through a fold", self.pose.name)
        } else {
            format!("in `{}` the layers cannot lie as {} ask", self.pose.name, names.join(" and "))
        };
        let mut telling = Telling::new(self.pose.span, told).label("no order of the layers does for all");
        for joint in &self.joints {
            telling = telling.other(joint.span, format!("`{}`", joint.name));
        }
        if let Some(shared) = self.stuck_over {
            telling = telling.why(format!("both are stuck to the same place, where they share {}", say.length(shared)));
        } else if self.tuck {
            telling = telling.why("a tucked tongue lies on one side of the sheet up to the opening, and on the other side beyond it");
        }
        telling.help(match &self.fold {
            _ if self.stuck_over.is_some() => {
                "stick the upper one to the other, not to what lies below both".to_string()
            }
            _ if self.tuck => {
                "leave the tongue room beyond the opening: stick what lies there at its edges only, and nothing on the tongue that is wider than the opening".into()
            }
            Some(_) if self.folds => "let one of them fold the other way, or less far in this pose".to_string(),
            Some(fold) => {
                format!("fold `{}` the other way, take one of them away, or put it on the other side", fold.name)
            }
            None => "take one of them away, or put it on the other side".into(),
        })
    }
}
