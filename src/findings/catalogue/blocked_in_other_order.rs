use super::*;

/// A joint that is stopped when others stand where the hand may have left them.
pub struct BlockedInOtherOrder {
    /// Where the other joints stand.
    pub standing: Vec<StandsAt>,
    /// The joint that is moved, and where it is stopped.
    pub moved: StandsAt,
    /// Where it was to go.
    pub to: StandsAt,
    /// The part that moves, and what it meets.
    pub parts: [Named; 2],
    pub how: Blocked,
    /// A motion whose order is free.
    pub works: Option<Named>,
    /// Ways that end so far that the two never meet, the least change first.
    pub shorter: Vec<Shortened>,
}

pub static ENTRY: Entry = Entry {
    name: "blocked-in-other-order",
    severity: Severity::Caution,
    family: Family::Motion,
    title: "Two parts get into each other's way in another order",
    explanation: "A hand works straps, slides and pins in any order, not only in the one that a motion gives. Here one part is stopped by another when that has been moved first, or has not. Nothing tears when it is a latch that is meant; if not, shorten a slot so that the part stops before, move one of the two aside, or raise one on foam so that it passes over the other.",
    wrong: r#"card "Harbour gate"
paper board: 250gsm, 0.3mm thick
piece quay of board {
  size 120mm by 140mm
  slot rail_l: 2mm wide, 30mm from left, 40mm to 110mm from top
  slot rail_r: 2mm wide, 30mm from right, 40mm to 110mm from top
}
piece boat of board { size 30mm by 20mm }
piece bar of board { size 34mm by 12mm }
strap lift of board around quay between rail_l, rail_r: 8mm wide, 12mm overlap
glue back of boat to front of lift: bottom to bottom, centred
glue back of bar to front of bolt: centred
piece bolt of board { size 30mm by 8mm }
slide bolt on front of quay: 2mm from left, 20mm from top, towards right, from 0mm to 40mm
pose shut { lift at bottom  bolt at left }
motion draw { lift bottom to top then lift top to bottom then bolt left to right }
"#,
    right: r#"card "Harbour gate"
paper board: 250gsm, 0.3mm thick
piece quay of board {
  size 120mm by 140mm
  slot rail_l: 2mm wide, 30mm from left, 50mm to 110mm from top
  slot rail_r: 2mm wide, 30mm from right, 50mm to 110mm from top
}
piece boat of board { size 30mm by 20mm }
piece bar of board { size 34mm by 12mm }
strap lift of board around quay between rail_l, rail_r: 8mm wide, 12mm overlap
glue back of boat to front of lift: bottom to bottom, centred
glue back of bar to front of bolt: centred
piece bolt of board { size 30mm by 8mm }
slide bolt on front of quay: 2mm from left, 20mm from top, towards right, from 0mm to 40mm
pose shut { lift at bottom  bolt at left }
motion draw { lift bottom to top then lift top to bottom then bolt left to right }
"#,
};

impl Fault for BlockedInOtherOrder {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let [part, meets] = &self.parts;
        let others: Vec<String> =
            self.standing.iter().map(|s| format!("`{}` {}", s.joint.name, s.say(say))).collect();
        let (moved, at, to) = (&self.moved.joint, self.moved.measure(say), self.to.way(say));
        let (met, what, other) = match &self.how {
            Blocked::EdgeOn { place } => {
                let place = place.as_ref().map(|(base, left, top)| {
                    let (left, top) = (say.length(*left), say.length(*top));
                    format!(", {left} from the left and {top} from the top of `{base}`")
                });
                (format!("runs into `{}`{}", meets.name, place.unwrap_or_default()), "the moving part", "in the way")
            }
            Blocked::Layers => {
                (format!("and `{}` would have to pass through each other", meets.name), "lies one way", "and this another")
            }
            Blocked::Space => {
                (format!("and `{}` pass through each other", meets.name), "goes through the other", "and this is the other")
            }
        };
        let message = format!(
            "with {}, `{}` stops at {at} on its way to {to}: `{}` {met}",
            others.join(" and "),
            moved.name,
            part.name
        );
        let mut telling = Telling::new(moved.span, message).label(format!("stopped at {at}"));
        for stands in &self.standing {
            telling = telling.other(stands.joint.span, stands.say(say));
        }
        for (named, text) in [(part, what), (meets, other)] {
            if named.span != moved.span && self.standing.iter().all(|s| s.joint.span != named.span) {
                telling = telling.other(named.span, text);
            }
        }
        let order = match &self.works {
            Some(motion) => format!("only in the order of `{}` are both free: ", motion.name),
            None => String::new(),
        };
        let short = (self.to.value - self.moved.value).abs();
        let short = if self.moved.slides { say.length(short) } else { say.angle(short) };
        for shorter in &self.shorter {
            telling = telling.propose_mend(shorter.mend(say));
        }
        telling
            .why("a hand may work them in any order")
            .help(format!("{order}end the way of `{}` {short} earlier, or move one of the two parts aside; if it is meant as a latch, say on the card what to move first", moved.name))
            .measured("stopped_at", self.moved.value, if self.moved.slides { "mm" } else { "degrees" })
            .measured("wanted", self.to.value, if self.moved.slides { "mm" } else { "degrees" })
    }
}
