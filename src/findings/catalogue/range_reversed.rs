use super::*;

/// A range whose ends are the wrong way round.
pub struct RangeReversed {
    pub place: Span,
    pub low: Stated,
    pub high: Stated,
}

pub static ENTRY: Entry = Entry {
    name: "range-reversed",
    severity: Severity::Error,
    family: Family::Values,
    title: "A range ends before it starts",
    explanation: "The first value of a range must not be greater than the second.",
    wrong: r#"card "Kite"
paper board: 200gsm
adjust wide = 60mm from 80mm to 40mm
piece kite of board { size wide by 80mm }
"#,
    right: r#"card "Kite"
paper board: 200gsm
adjust wide = 60mm from 40mm to 80mm
piece kite of board { size wide by 80mm }
"#,
};

impl Fault for RangeReversed {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let (low, high) = (self.low.say(say), self.high.say(say));
        Telling::new(self.place, format!("this range goes from {low} down to {high}"))
            .label("the wrong way round")
            .help("write the smaller value first")
    }
}
