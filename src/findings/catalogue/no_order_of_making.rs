use super::*;

/// Steps that each must be done before the next, and the last before the first; with each its reason, as a clause.
pub struct NoOrderOfMaking {
    pub ring: Vec<(Named, Option<String>)>,
}

pub static ENTRY: Entry = Entry {
    name: "no-order-of-making",
    severity: Severity::Error,
    family: Family::Joints,
    title: "There is no order in which the card can be made",
    explanation: "Each of these steps has to be done before the other: what lies inside has to be in place before it is shut in, what lies underneath has to be stuck before what covers it, and what is threaded has to go through while its slots can be reached. Move one of the parts to a face that stays open, or change what lies over what.",
    wrong: r#"card "Sleeve"
paper cover: 200gsm, 0.26mm thick
piece sleeve of cover {
  size 180mm by 60mm
  valley 80mm, 159mm from left, folded flat
  panels rear, face, flap from left
}
piece liner of cover { size 70mm by 50mm }
glue back of sleeve.flap to front of sleeve.rear
glue back of liner to front of sleeve.rear: centred, along right 10mm
"#,
    right: r#"card "Sleeve"
paper cover: 200gsm, 0.26mm thick
piece sleeve of cover {
  size 180mm by 60mm
  valley 80mm, 159mm from left, folded flat
  panels rear, face, flap from left
}
piece liner of cover { size 70mm by 50mm }
glue back of sleeve.flap to front of sleeve.rear
glue back of liner to back of sleeve.rear: centred, along right 10mm
"#,
};

impl Fault for NoOrderOfMaking {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let Some(((first, _), rest)) = self.ring.split_first() else { return Telling::default() };
        let Some((second, _)) = rest.first() else { return Telling::default() };
        let mut telling = Telling::new(
            first.span,
            format!("`{}` has to be done before `{}`, and also after it", first.name, second.name),
        )
        .label("cannot be done first and last");
        for (other, _) in rest {
            telling = telling.other(other.span, "nor can this");
        }
        let whys: Vec<String> = self.ring.iter().filter_map(|(_, because)| because.clone()).collect();
        if !whys.is_empty() {
            telling = telling.why(whys.join("; but "));
        }
        telling.help("put one of the parts on a face that stays open, or let the other lie on top")
    }
}
