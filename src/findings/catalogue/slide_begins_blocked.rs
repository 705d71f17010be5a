use super::*;

/// A slide that is placed where something stuck on its way lies already.
pub struct SlideBeginsBlocked {
    pub part: String,
    /// The statement that places it.
    pub place: Span,
    pub obstacle: Named,
    /// How far back it would have to begin to be clear, mm.
    pub back: f64,
    /// Other values for the readings that place it.
    pub rewrites: Vec<Rewrite>,
}

pub static ENTRY: Entry = Entry {
    name: "slide-begins-blocked",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A slide begins where something is in its way",
    explanation: "A part that slides on a face stops at whatever is stuck on the same face. Here it already lies over such a piece where it begins, so it cannot move at all. Begin a little earlier, or move the stop away; a part that is to run under the piece is said to: `under` and the name of the piece.",
    wrong: r#"card "Tram"
paper board: 250gsm, 0.3mm thick
piece street of board { size 160mm by 80mm }
piece tram of board { size 40mm by 20mm }
piece buffer of board { size 6mm by 20mm }
piece wall of board { size 6mm by 20mm }
glue back of buffer to front of street: 8mm from left, 30mm from top
glue back of wall to front of street: 140mm from left, 30mm from top
slide tram on front of street: 12mm from left, 30mm from top, towards right
"#,
    right: r#"card "Tram"
paper board: 250gsm, 0.3mm thick
piece street of board { size 160mm by 80mm }
piece tram of board { size 40mm by 20mm }
piece buffer of board { size 6mm by 20mm }
piece wall of board { size 6mm by 20mm }
glue back of buffer to front of street: 8mm from left, 30mm from top
glue back of wall to front of street: 140mm from left, 30mm from top
slide tram on front of street: 14mm from left, 30mm from top, towards right
"#,
};

impl Fault for SlideBeginsBlocked {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let back = say.length(self.back);
        let telling = Telling::new(
            self.place,
            format!("`{}` begins {back} over `{}` and cannot slide", self.part, self.obstacle.name),
        )
        .label("placed here")
        .other(self.obstacle.span, "stuck in its way")
        .why("a part that slides on a face stops at what is stuck there")
        .help(format!(
            "begin it {back} farther away, or move `{}`; if it is to run under that, say `under {}`",
            self.obstacle.name, self.obstacle.name
        ))
        .measured("back", self.back, "mm");
        self.rewrites.iter().fold(telling, |telling, rewrite| telling.rewrite(Some(*rewrite), say))
    }
}
