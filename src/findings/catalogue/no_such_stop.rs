use super::*;

/// Stops that a slide does not have.
pub struct NoSuchStop {
    pub joint: Named,
    /// Where they are asked for: one at least.
    pub asked: Vec<AskedStop>,
    pub ends: (&'static str, &'static str),
    /// It moves that way, but nothing stops it.
    pub free: bool,
    /// It lies on a face, in no slot.
    pub on_face: bool,
}

pub static ENTRY: Entry = Entry {
    name: "no-such-stop",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A slide has no stop on that side",
    explanation: "A slide has two ends, named after the sides of the panel it moves on. One that moves up and down \
                  has no stop at the left; and where nothing holds a part it has no stop at all.",
    wrong: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
pose up { band at left }
"#,
    right: r#"card "Kite"
paper board: 200gsm, 0.30mm thick
piece kite of board {
  size 60mm by 80mm
  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top
  slot b: 2mm wide, 10mm from right, 20mm to 60mm from top
}
strap band of board around kite between a, b: 12mm wide, 8mm overlap
pose up { band at top }
"#,
};

impl Fault for NoSuchStop {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let mut sides: Vec<&str> = Vec::new();
        for asked in &self.asked {
            if !sides.contains(&asked.side) {
                sides.push(asked.side);
            }
        }
        let (name, sides) = (&self.joint.name, sides.join(" or "));
        let place = self.asked.first().map_or(self.joint.span, |asked| asked.place);
        let more = self.asked.iter().skip(1).filter(|asked| asked.place != place);
        let also = |telling: Telling| more.fold(telling, |telling, asked| telling.other(asked.place, "nor here"));
        if self.free {
            let telling = Telling::new(place, format!("nothing stops `{name}` at the {sides}"))
                .label("no stop here")
                .other(self.joint.span, "this slide comes out")
                .help(if self.on_face {
                    "stick something in its way, or say how far it goes: `from 0mm to 40mm`"
                } else {
                    "give it a shoulder wider than its slot, or say how far it goes: `from 0mm to 40mm`"
                });
            return also(telling);
        }
        let (low, high) = self.ends;
        let mut edits: Vec<Edit> = Vec::new();
        let mut ends: Vec<String> = Vec::new();
        for asked in &self.asked {
            let end = format!("`{}`", asked.end);
            if !ends.contains(&end) {
                ends.push(end);
            }
            // What is repeated is written once.
            if edits.iter().all(|edit| edit.span != asked.place) {
                edits.push(Edit { span: asked.place, text: asked.end.into() });
            }
        }
        let telling = Telling::new(place, format!("`{name}` moves between {low} and {high}, not {sides}"))
            .label("no stop here")
            .other(self.joint.span, "this slide")
            .propose_mend(Mend { says: format!("write {}", ends.join(" and ")), edits, safe: false });
        also(telling)
    }
}
