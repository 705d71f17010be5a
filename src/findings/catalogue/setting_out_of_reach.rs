use super::*;

/// A joint set beyond its stops.
pub struct SettingOutOfReach {
    pub joint: String,
    pub place: Span,
    pub defined: Span,
    pub stated: Option<Stated>,
    pub value: f64,
    pub range: (f64, f64),
    pub slides: bool,
    /// The stated number counts from a stop.
    pub from_end: bool,
}

pub static ENTRY: Entry = Entry {
    name: "setting-out-of-reach",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A joint is set beyond its stops",
    explanation: "A fold turns from 0 to 180 degrees, a slide moves between its stops. A pose or a motion cannot \
                  ask for more.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley keel: 30mm from left
}
pose shut { kite.keel 190deg }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  valley keel: 30mm from left
}
pose shut { kite.keel 180deg }
"#,
};

impl Fault for SettingOutOfReach {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let spoken = |v: f64| if self.slides { say.length(v) } else { say.angle(v) };
        let (low, high) = self.range;
        let travel = high - low;
        let message = if self.slides && low.is_finite() && high.is_finite() {
            let asked = self.stated.map_or(self.value - low, |s| s.value);
            format!("`{}` is set {} from its stop and travels {}", self.joint, spoken(asked), spoken(travel))
        } else {
            format!(
                "`{}` is set to {} and goes from {} to {}",
                self.joint,
                spoken(self.value),
                spoken(low),
                spoken(high)
            )
        };
        let telling = Telling::new(self.place, message)
            .label("beyond the stop")
            .other(self.defined, "this joint")
            .measured("value", self.value, if self.slides { "mm" } else { "degrees" })
            .measured("low", low, if self.slides { "mm" } else { "degrees" })
            .measured("high", high, if self.slides { "mm" } else { "degrees" });
        let Some(stated) = self.stated else { return telling };
        let place = stated.literal.unwrap_or(stated.span);
        let bound = if self.value < low { low } else { high };
        match (self.slides, travel.is_finite()) {
            (true, true) => {
                let reach = if self.value < low && !self.from_end { 0.0 } else { travel };
                telling.propose(place, say.write(reach, Rounding::Down), false)
            }
            (false, _) if bound.is_finite() => {
                telling.propose(place, format!("{}deg", crate::quantity::say_number(bound)), false)
            }
            _ => telling,
        }
    }
}
