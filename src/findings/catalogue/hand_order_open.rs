use super::*;

/// Joints that a hand may work in any order, where nothing was found to be in the way and yet not all is proven.
pub struct HandOrderOpen {
    pub joints: Vec<Named>,
    /// Each two of them were tried against one another.
    pub tried: bool,
    /// A motion that works some of them.
    pub works: Option<Named>,
}

pub static ENTRY: Entry = Entry {
    name: "hand-order-open",
    severity: Severity::Note,
    family: Family::Motion,
    title: "Not every order of the hand is proven",
    explanation: "A hand works straps, slides and pins in any order and leaves them anywhere on their ways. For flat parts one proof mostly covers all of that at once; here there is none, because parts stand up or pass between others. Each two were tried at several places of their ways and nothing was in the way, but places between were not looked at. What a motion does and `moves` claims is proven all the way as always.",
    wrong: r#"card "Orchard"
paper hill: 250gsm, 0.32mm thick, sheet A4
paper leaf: 160gsm, 0.20mm thick, sheet A4
paper thin: 120gsm, 0.15mm thick, sheet A4
piece page of hill {
  size 150mm by 148mm
  slot up_l: 2mm wide, 20mm from left, 20mm to 128mm from top
  slot up_r: 2mm wide, 50mm from left, 20mm to 128mm from top
  slot down_l: 2mm wide, 76mm from left, 20mm to 128mm from top
  slot down_r: 2mm wide, 106mm from left, 20mm to 128mm from top
}
strap near of thin around page between up_l, up_r: 8mm wide, 10mm overlap
strap far of thin around page between down_l, down_r: 8mm wide, 10mm overlap
piece apple of leaf {
  shape polygon (20mm, 0mm) (40mm, 0mm) (40mm, 10mm) (60mm, 10mm) (60mm, 40mm) (0mm, 40mm) (0mm, 10mm) (20mm, 10mm)
  valley 10mm from top, folded 90deg
  panels foot, crown from top
}
piece pear of leaf { size 60mm by 20mm }
foam 1mm back of apple.foot to front of near: bottom to bottom, centred
glue back of pear to front of far: bottom to bottom, centred
pose dawn { near at bottom  far at top }
pose dusk { near at top  far at bottom }
motion grow { near bottom to top then far top to bottom }
expect moves(grow)
"#,
    right: r#"card "Orchard"
paper hill: 250gsm, 0.32mm thick, sheet A4
paper leaf: 160gsm, 0.20mm thick, sheet A4
paper thin: 120gsm, 0.15mm thick, sheet A4
piece page of hill {
  size 150mm by 148mm
  slot up_l: 2mm wide, 20mm from left, 20mm to 128mm from top
  slot up_r: 2mm wide, 50mm from left, 20mm to 128mm from top
  slot down_l: 2mm wide, 76mm from left, 20mm to 128mm from top
  slot down_r: 2mm wide, 106mm from left, 20mm to 128mm from top
}
strap near of thin around page between up_l, up_r: 8mm wide, 10mm overlap
strap far of thin around page between down_l, down_r: 8mm wide, 10mm overlap
piece apple of leaf {
  shape polygon (20mm, 0mm) (40mm, 0mm) (40mm, 10mm) (60mm, 10mm) (60mm, 40mm) (0mm, 40mm) (0mm, 10mm) (20mm, 10mm)
  valley 10mm from top, folded 90deg
  panels foot, crown from top
}
piece pear of leaf { size 40mm by 20mm }
foam 1mm back of apple.foot to front of near: bottom to bottom, centred
glue back of pear to front of far: bottom to bottom, centred
pose dawn { near at bottom  far at top }
pose dusk { near at top  far at bottom }
motion grow { near bottom to top then far top to bottom }
expect moves(grow)
"#,
};

impl Fault for HandOrderOpen {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let names: Vec<String> = self.joints.iter().map(|j| format!("`{}`", j.name)).collect();
        let names = match names.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => names.join(""),
        };
        let place = self.works.as_ref().or(self.joints.first()).map(|n| n.span).unwrap_or_default();
        let why = if self.tried {
            "no single order of the layers holds wherever they stand; each two were tried against each other at five places of their ways, and nothing was in the way there"
        } else {
            "no single order of the layers holds wherever they stand, and they are too many to be tried two by two"
        };
        let telling = Telling::new(place, format!("not every order in which a hand may work {names} is proven"));
        let telling = match self.works {
            Some(_) => telling.label("this order is looked at where `moves` claims it"),
            None => telling.label("a hand may begin with it, or end with it"),
        };
        let others = self.joints.iter().filter(|j| j.span != place);
        others
            .fold(telling, |telling, joint| telling.other(joint.span, "may be worked before the others or after"))
            .why(why)
            .help("claim `moves` for the order in which the card is to be worked, and tell its makers to keep to it; or move the parts so far apart that they never pass each other")
    }
}
