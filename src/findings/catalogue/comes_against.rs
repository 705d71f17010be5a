use super::*;

/// A part that rides on a slide and meets something on the way.
pub struct ComesAgainst {
    /// The part that is carried.
    pub rider: Named,
    pub slide: Named,
    pub obstacle: Named,
    pub meets: Meets,
    /// How high above the face that the part runs on the obstacle would have to be for the part to pass beneath, mm; for
    /// one that is to bridge it.
    pub clears: Option<f64>,
    /// Glue of the obstacle that would let what slides pass beneath it, where nothing else meets it.
    pub beneath: Option<Bridged>,
    /// The obstacle stands on foam.
    pub foam: bool,
}

pub static ENTRY: Entry = Entry {
    name: "comes-against",
    severity: Severity::Error,
    family: Family::Joints,
    title: "A moving part comes against what is stuck on its way",
    explanation: "The part slides, rides on a strap or a slide or turns on a brad, and on the way its edge meets something that is stuck there and stands as high or higher. It stops before the end of its travel, or bends up. Shorten the part, shorten the slots or the turn, or move what is in the way. Under a part on foam there is room only where no foam is: lay the foam along the edges beside the way.",
    wrong: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece lamp of cover { size 30mm by 20mm }
piece sign of cover { size 40mm by 10mm }
glue back of lamp to front of runner: bottom to bottom, centred
foam 2mm back of sign to front of wall: 5mm from top, centred across
"#,
    right: r#"card "Lighthouse"
paper cover: 250gsm, 0.3mm thick
piece wall of cover {
  size 80mm by 140mm
  slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top
  slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top
}
strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap
piece lamp of cover { size 30mm by 12mm }
piece sign of cover { size 40mm by 10mm }
glue back of lamp to front of runner: bottom to bottom, centred
foam 2mm back of sign to front of wall: 5mm from top, centred across
"#,
};

impl ComesAgainst {
    /// The slide itself meets the obstacle, and nothing that it carries.
    fn is_itself(&self) -> bool {
        self.rider.name == self.slide.name
    }
}

impl Fault for ComesAgainst {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let or = if self.foam { ", move what is in the way, or lay its foam beside the way only" } else { ", or move what is in the way" };
        let (rider, obstacle, carrier) = (&self.rider.name, &self.obstacle.name, &self.slide.name);
        let (message, help) = match &self.meets {
            Meets::Sliding { depth, shorter, .. } => {
                let depth = say.length(*depth);
                let shorter = if *shorter { format!("make the part {depth} shorter, ") } else { String::new() };
                let higher = match self.clears {
                    Some(height) => format!(", hold `{obstacle}` at least {} high", say.length(height)),
                    None => String::new(),
                };
                let told = if self.is_itself() {
                    format!("`{rider}` comes against `{obstacle}` {depth} before it has reached its end")
                } else {
                    format!("`{rider}` comes {depth} against `{obstacle}` before `{carrier}` has reached its end")
                };
                let beneath = match &self.beneath {
                    Some(glue) => format!(", stick `{obstacle}` `{}` only, to pass beneath it", glue.says(say)),
                    None => String::new(),
                };
                (told, format!("{shorter}end the travel {depth} earlier{higher}{beneath}{or}"))
            }
            Meets::Turning { at, end, .. } => {
                let (at, end) = (say.angle(*at), say.angle(*end));
                (
                    format!("`{rider}` comes against `{obstacle}` where `{carrier}` is at {at}, before it has reached {end}"),
                    format!("turn it no further than {at}, make the part shorter{or}"),
                )
            }
        };
        let telling = Telling::new(self.obstacle.span, message)
            .label("in the way")
            .other(self.rider.span, "the moving part")
            .other(self.slide.span, if self.is_itself() { "its way" } else { "what carries it" })
            .help(help);
        match &self.meets {
            Meets::Sliding { depth, earlier, .. } => {
                let telling = telling.measured("depth", *depth, "mm");
                let mends = earlier.iter().map(|earlier| earlier.mend(say));
                let mends = mends.chain(self.beneath.iter().filter_map(|glue| glue.mend(say)));
                mends.fold(telling, Telling::propose_mend)
            }
            Meets::Turning { at, end, shorter } => {
                let telling = telling.measured("stopped_at", *at, "degrees").measured("wanted", *end, "degrees");
                shorter.iter().fold(telling, |telling, shorter| telling.propose_mend(shorter.mend(say)))
            }
        }
    }
}
