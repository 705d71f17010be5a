use super::*;

/// An edge that is to begin with an end which it does not have: both its ends are as far from what is named.
pub struct EdgeHasNoSuchEnd {
    pub part: String,
    /// What is named, as an end.
    pub said: String,
    pub place: Span,
    /// The edge or score.
    pub edge: Span,
    /// The words for the ends that it has.
    pub ends: [&'static str; 2],
}

pub static ENTRY: Entry = Entry {
    name: "edge-has-no-such-end",
    severity: Severity::Error,
    family: Family::Joints,
    title: "An edge is to begin with an end that it does not have",
    explanation: "`end first` says which end of the part's edge lies at the first point. An edge that runs across has a left and a right end, one that runs up and down a top and a bottom end; a score that ends there names an end as well.",
    wrong: r#"card "Tide mark"
paper board: 200gsm, 0.30mm thick
piece page of board { size 120mm by 120mm }
piece wave of board { shape polygon (0mm, 30mm) (0mm, 10mm) (40mm, 0mm) (40mm, 30mm) }
glue back of wave to front of page: wave.bottom along (20mm, 80mm) through (60mm, 70mm), top end first
"#,
    right: r#"card "Tide mark"
paper board: 200gsm, 0.30mm thick
piece page of board { size 120mm by 120mm }
piece wave of board { shape polygon (0mm, 30mm) (0mm, 10mm) (40mm, 0mm) (40mm, 30mm) }
glue back of wave to front of page: wave.bottom along (20mm, 80mm) through (60mm, 70mm), left end first
"#,
};

impl Fault for EdgeHasNoSuchEnd {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let [one, other] = self.ends;
        let told = format!("the edge of `{}` has no `{}` end", self.part, self.said);
        Telling::new(self.place, told)
            .label("it has no such end")
            .other(self.edge, format!("runs from {one} to {other}"))
            .help(format!("say `{one} end first` or `{other} end first`"))
            .propose(self.place, one, false)
            .propose(self.place, other, false)
    }
}
