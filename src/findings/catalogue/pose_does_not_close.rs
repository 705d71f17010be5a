use super::*;

/// A pose that the folds cannot take.
pub struct PoseDoesNotClose {
    pub pose: Named,
    /// The joint where the loop stays open.
    pub joint: Option<Named>,
    pub at: Misfitting,
    /// How far its two sides stay apart, mm.
    pub gap: f64,
    /// How far they stay turned, degrees.
    pub turned: f64,
    pub beyond: Option<GoesBeyond>,
    /// The lengths or angles that do not allow it, where they lie in a ring of four folds.
    pub sum: Option<RingSum>,
    /// The angles that do not allow it, round a point of a sheet that is to be folded flat.
    pub vertex: Option<VertexSum>,
    /// Scores each of which by itself lets every pose be taken when it folds the other way, and whether it becomes a
    /// mountain then.
    pub turned_round: Vec<(Named, bool)>,
    pub also: Vec<AlsoOpen>,
    /// Of a slide that stays off its way: the glue, one after the other, that ties it to what it runs on, and whether it
    /// closes a ring.
    pub stuck: Vec<(Named, bool)>,
    /// False when that rests on a search that may have missed a way.
    pub certain: bool,
}

impl PoseDoesNotClose {
    /// Whether what is open here is open in another pose by the same fault: the same ring, or the same joint that stays
    /// apart.
    pub fn is_the_same(&self, other: &Self) -> bool {
        if let Some(sum) = &other.sum
            && self.sum.is_none()
        {
            // A fold of a ring that does not add up goes wrong in other poses as well.
            let beyond = self.beyond.as_ref().map(|b| &b.joint);
            let folds = sum.feet.iter().chain([&sum.gutter, &sum.ridge]);
            return beyond.or(self.joint.as_ref()).is_some_and(|j| folds.map(|f| f.span).any(|span| span == j.span));
        }
        if !self.turned_round.is_empty() || !other.turned_round.is_empty() {
            return self.turned_round == other.turned_round;
        }
        match (&self.sum, &other.sum) {
            (Some(one), Some(two)) => {
                let ring = |sum: &RingSum| (sum.gutter.span, sum.ridge.span, sum.near, sum.far);
                ring(one) == ring(two)
            }
            (None, None) => {
                let apart = Self::is_apart;
                let joint = |fault: &Self| fault.joint.as_ref().map(|j| j.span);
                let beyond = |fault: &Self| {
                    let beyond = fault.beyond.as_ref().filter(|_| !apart(fault) && fault.vertex.is_none());
                    beyond.map(|b| (b.joint.span, b.low, b.other_way))
                };
                (apart(self) && apart(other) && joint(self).is_some() && joint(self) == joint(other))
                    || (beyond(self).is_some() && beyond(self) == beyond(other))
            }
            _ => false,
        }
    }

    fn is_apart(&self) -> bool {
        self.gap >= REPORTED_MM / 2.0
    }

    /// Whether of neither anything is known but where it shows. On the folds of one piece such are one fault: the piece
    /// does not fit into its ring, and gives way in one pose here and in another one there.
    pub fn is_as_plain(&self, other: &Self) -> bool {
        let shows = |fault: &Self| fault.is_apart() || fault.beyond.is_some();
        let plain =
            |fault: &Self| fault.sum.is_none() && fault.vertex.is_none() && fault.turned_round.is_empty();
        (shows(self) || shows(other)) && plain(self) && plain(other)
    }

    /// Tells the fault of another pose along with this one. A gap says more than a fold that goes too far.
    pub fn and_in(&mut self, mut other: Self) {
        if other.is_apart() && !self.is_apart() && self.is_as_plain(&other) {
            std::mem::swap(self, &mut other);
            self.also = std::mem::take(&mut other.also);
        }
        self.also.push(AlsoOpen {
            pose: other.pose,
            gap: other.gap,
            turn: other.sum.map(|sum| sum.turn),
            beyond: other.beyond,
        });
    }

    /// What keeps the pose from being taken, in words, for the head of the finding and for its label.
    fn words(&self, say: &Say) -> (String, String) {
        let joint = self.joint.as_ref().map_or("", |j| j.name.as_str());
        if self.is_apart() {
            let gap = say.length(self.gap);
            let told = match self.at {
                Misfitting::Glue => format!("glued faces stay {gap} apart"),
                Misfitting::Fold => format!("the two sides of `{joint}` stay {gap} apart"),
                Misfitting::Brad => format!("the holes of `{joint}` stay {gap} apart"),
                Misfitting::Slide if !self.stuck.is_empty() => {
                    let told = format!("glue holds `{joint}` fast, {gap} from where it is to be");
                    return (told, format!("{gap} away"));
                }
                Misfitting::Slide => format!("`{joint}` stays {gap} off its way"),
            };
            return (told, format!("{gap} apart"));
        }
        if let Some(beyond) = &self.beyond {
            let said = |value: f64| beyond.say(value, say);
            let (by, name) = (said(beyond.by), &beyond.joint.name);
            let stop = beyond.at.map_or("its end".to_string(), |at| match beyond.end {
                Some(end) => format!("its stop at the {end}, {}", said(at)),
                None => format!("its stop at {}", said(at)),
            });
            let way = match (beyond.other_way, beyond.slides) {
                (true, _) => format!("fold the other way, by {by}"),
                (false, true) => format!("go {by} past {stop}"),
                (false, false) => format!("turn {by} past {stop}"),
            };
            return (format!("`{name}` would have to {way}"), format!("{by} too far"));
        }
        if self.turned >= TOLD_DEG {
            let turned = say.angle(self.turned);
            return (format!("the two sides of `{joint}` stay turned by {turned}"), format!("{turned} apart"));
        }
        ("no motion leads there from the open card".to_string(), "not reached".to_string())
    }
}

/// An angle that is not told as none when it is small.
fn fine_angle(degrees: f64, say: &Say) -> String {
    if degrees < REPORTED_DEG { format!("{degrees:.2}°") } else { say.angle(degrees) }
}

/// Angles smaller than this are not told, degrees.
const TOLD_DEG: f64 = 0.05;

pub static ENTRY: Entry = Entry {
    name: "pose-does-not-close",
    severity: Severity::Error,
    family: Family::Motion,
    title: "A pose cannot be taken",
    explanation: "Parts stuck at both ends tie folds together in a loop: when one moves, the others must follow. In this pose the loop does not close: the glued faces stay apart, or the paper would have to stretch. On either side of a spine, the way from the spine over the feet and the panels must be the same length.",
    wrong: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece terrace of board {
  size 90mm by 30mm
  valley 10mm, 80mm from left
  mountain ridge: 65mm from left
  panels foot_l, side, top, foot_r from left
}
glue back of terrace.foot_l to front of page.left: crease 20mm left of spine, 40mm from top
glue back of terrace.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
"#,
    right: r#"card "Stage"
paper board: 250gsm, 0.3mm thick
piece page of board {
  size 200mm by 120mm
  valley spine: 100mm from left
  panels left, right from left
}
piece terrace of board {
  size 90mm by 30mm
  valley 10mm, 80mm from left
  mountain ridge: 55mm from left
  panels foot_l, side, top, foot_r from left
}
glue back of terrace.foot_l to front of page.left: crease 20mm left of spine, 40mm from top
glue back of terrace.foot_r to front of page.right: crease 40mm right of spine, 40mm from top
pose shut { page.spine 180deg }
pose stage { page.spine 90deg }
"#,
};

impl Fault for PoseDoesNotClose {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, say: &Say) -> Telling {
        let found = if self.certain { "cannot be taken" } else { "was not found to be possible" };
        if let Some(sum) = &self.sum {
            let told = format!("pose `{}` {found}, since {}", self.pose.name, self.of_sum(sum, say));
            let why = match &sum.turn {
                RingTurn::Shuts if sum.angles => {
                    "to fold shut, the angles from the gutter over the foot to the ridge must be as large on one side as on the other"
                }
                RingTurn::Shuts if sum.inwards => {
                    "to fold shut, out to the foot and back to the ridge one must come as far from the gutter on one side as on the other"
                }
                RingTurn::Shuts => {
                    "to fold shut, the way from the gutter over the foot to the ridge must be as long on one side as on the other"
                }
                RingTurn::Opens { .. } => "to open, the panels over the gutter must reach from foot to foot",
                RingTurn::StaysOpen { .. } if sum.angles => {
                    "the panel with the larger angle at the point holds the feet apart"
                }
                RingTurn::StaysOpen { .. } => "the longer of the two panels over the gutter holds the feet apart",
                RingTurn::Misses { .. } => {
                    "folds that are not parallel turn together only when they run through one point"
                }
            };
            let (label, unit) = if sum.angles {
                ("the angles do not allow it", "degrees")
            } else {
                ("the lengths do not allow it", "mm")
            };
            let mut telling = Telling::new(self.pose.span, told)
                .label(label)
                .measured("gap", self.gap, "mm")
                .why(why)
                .other(sum.gutter.span, if sum.raised { "serves as the gutter" } else { "the gutter" })
                .other(sum.ridge.span, "the ridge")
                .measured("near", sum.sides()[0], unit)
                .measured("far", sum.sides()[1], unit)
                .rewrite(sum.mend.filter(|_| self.also.is_empty()), say);
            let differ = sum.differ();
            match &sum.turn {
                RingTurn::Misses { line, apart } => {
                    telling = telling.label("not in one point").help(format!(
                        "let the folds beside `{}` meet it in one point: move one of them by {}",
                        line.name,
                        say.length(*apart)
                    ));
                    if line.span != sum.gutter.span && line.span != sum.ridge.span {
                        telling = telling.other(line.span, "crossed at two points");
                    }
                }
                RingTurn::Shuts if sum.angles => {
                    telling = telling.help(format!(
                        "turn one foot by {}, or the ridge by {}",
                        fine_angle(differ, say),
                        fine_angle(differ / 2.0, say)
                    ));
                }
                _ if !self.also.is_empty() || sum.mend.is_none() => {
                    if let Some((foot, from_gutter)) = &sum.foot {
                        let far = say.length(*from_gutter);
                        telling =
                            telling.help(format!("place `{}` {far} from `{}`", foot.name, sum.gutter.name));
                    }
                }
                _ => {}
            }
            return self.with_others(telling, say);
        }
        if let Some(vertex) = &self.vertex {
            return self.with_others(self.of_vertex(vertex, found, say), say);
        }
        if !self.turned_round.is_empty() {
            return self.with_others(self.of_direction(found), say);
        }
        let (told, label) = self.words(say);
        let mut telling = Telling::new(self.pose.span, format!("pose `{}` {found}: {told}", self.pose.name))
            .label(label)
            .measured("gap", self.gap, "mm");
        let apart = self.is_apart();
        telling = match (apart, self.at) {
            (true, Misfitting::Brad) => {
                telling.why("paper does not stretch: from pin to pin a part keeps its length")
            }
            (true, Misfitting::Slide) if !self.stuck.is_empty() => {
                telling.help("leave one of these glues out, so that it can run")
            }
            (true, Misfitting::Slide) => telling.why("something that the part hangs on does not go so far with it"),
            (true, _) => telling.why("paper does not stretch: the two sides of a loop of folds must be equally long"),
            (false, _) => telling.measured("turned", self.turned, "degrees"),
        };
        if let Some(beyond) = self.beyond.as_ref().filter(|_| !apart) {
            return self.with_others(self.of_stop(beyond, telling, say), say);
        }
        if let Some(joint) = &self.joint {
            let what = match self.at {
                Misfitting::Glue => "the faces that stay apart",
                Misfitting::Fold => "where the loop stays open",
                Misfitting::Brad => "the holes that stay apart",
                Misfitting::Slide if !self.stuck.is_empty() => "held fast",
                Misfitting::Slide => "what stays off its way",
            };
            telling = telling.other(joint.span, what);
        }
        for (glue, closes) in &self.stuck {
            telling = telling.other(glue.span, "this holds it");
            if *closes {
                let edits = vec![Edit { span: glue.span, text: String::new() }];
                telling = telling.propose_mend(Mend { says: "leave this glue out".into(), edits, safe: false });
            }
        }
        self.with_others(telling, say)
    }
}

impl PoseDoesNotClose {
    fn with_others(&self, mut telling: Telling, say: &Say) -> Telling {
        for other in &self.also {
            let label = match &other.turn {
                Some(RingTurn::Shuts) => "nor this one: the two sides differ".to_string(),
                Some(RingTurn::Opens { to, .. }) => format!("nor this one: it opens to {} at the most", say.angle(*to)),
                Some(RingTurn::StaysOpen { at }) => {
                    format!("nor this one: it closes to {} at the least", say.angle(*at))
                }
                Some(RingTurn::Misses { .. }) => "nor this one".to_string(),
                None if !self.turned_round.is_empty() || self.sum.is_some() => "nor this one".to_string(),
                None if other.gap < REPORTED_MM / 2.0 => match &other.beyond {
                    Some(beyond) => {
                        let told = !self.is_apart() && self.beyond.as_ref().is_some_and(|b| b.joint == beyond.joint);
                        let name = if told { String::new() } else { format!("`{}` ", beyond.joint.name) };
                        format!("nor this one: {name}{} too far", beyond.say(beyond.by, say))
                    }
                    None => "nor this one".to_string(),
                },
                None if !self.stuck.is_empty() => format!("nor this one: {} away", say.length(other.gap)),
                None => format!("nor this one: {} apart", say.length(other.gap)),
            };
            telling = telling.other(other.pose.span, label);
        }
        telling
    }

    /// What goes past an end of its way, and that end where it would reach in all of these poses.
    fn of_stop(&self, beyond: &GoesBeyond, telling: Telling, say: &Say) -> Telling {
        let telling = telling
            .other(beyond.joint.span, "this one")
            .why("so it does in the nearest state found that closes the loop of parts");
        let others = self.also.iter().filter_map(|other| other.beyond.as_ref());
        let same = others.filter(|other| (other.joint.span, other.low) == (beyond.joint.span, beyond.low));
        let most = same.map(|other| other.by).fold(beyond.by, f64::max);
        let Some(at) = beyond.at else {
            return telling.help("let it fold or turn the other way, or set another pose");
        };
        let (at, rounding) =
            if beyond.low { (at - most, Rounding::Down) } else { (at + most, Rounding::Up) };
        let telling = telling.help(format!("let it go to {}, or set another pose", beyond.say(at, say)));
        let Some(literal) = beyond.literal else { return telling };
        let text = if beyond.slides { say.write(at, rounding) } else { say.write_angle(at, rounding) };
        telling.propose(literal, text, false)
    }

    fn of_direction(&self, found: &str) -> Telling {
        let ways = |mountain: bool| if mountain { ["valley", "mountain"] } else { ["mountain", "valley"] };
        let becomes =
            |(score, mountain): &(Named, bool)| format!("let `{}` be a {}", score.name, ways(*mountain)[1]);
        let why = match self.turned_round.as_slice() {
            [(score, mountain)] => {
                let [is, becomes] = ways(*mountain);
                format!("`{}` is a {is}, and what it joins needs a {becomes} there", score.name)
            }
            _ => "one of its scores folds the wrong way".to_string(),
        };
        let told = format!("pose `{}` {found}: {why}", self.pose.name);
        let telling = Telling::new(self.pose.span, told)
            .label("does not close")
            .measured("gap", self.gap, "mm")
            .why("a valley brings the printed sides together, a mountain parts them: no score does both")
            .help(self.turned_round.iter().map(becomes).collect::<Vec<_>>().join(", or "));
        self.turned_round.iter().fold(telling, |telling, (score, mountain)| {
            telling.other(score.span, format!("scored as a {}", ways(*mountain)[0]))
        })
    }

    fn of_vertex(&self, vertex: &VertexSum, found: &str, say: &Say) -> Telling {
        let add = |angles: &[f64]| angles.iter().map(|a| say.angle(*a)).collect::<Vec<_>>().join(" + ");
        let told = format!(
            "pose `{}` {found}, since the angles round a point do not allow it: {} against {}",
            self.pose.name,
            add(&vertex.odd),
            add(&vertex.even)
        );
        let odd: f64 = vertex.odd.iter().sum();
        let telling = Telling::new(self.pose.span, told)
            .label("does not fold flat")
            .measured("gap", self.gap, "mm")
            .measured("odd", odd, "degrees")
            .measured("even", vertex.even.iter().sum(), "degrees")
            .why("to fold flat, every other angle round a point must add up to 180°")
            .help(format!("turn one of these folds by {}", say.angle((odd - 180.0).abs())));
        vertex.folds.iter().fold(telling, |telling, fold| telling.other(fold.span, "meets the others"))
    }

    fn of_sum(&self, sum: &RingSum, say: &Say) -> String {
        let said = |value: f64| if sum.angles { say.angle(value) } else { say.length(value) };
        let add = |[one, other]: [f64; 2]| format!("{} + {}", said(one), said(other));
        let gutter = &sum.gutter.name;
        match &sum.turn {
            RingTurn::Shuts => {
                let differ = sum.differ();
                let differ = if sum.angles { fine_angle(differ, say) } else { say.length(differ) };
                let over = |[foot, ridge]: [f64; 2]| match (sum.inwards, sum.near[1] + sum.far[1] > sum.near[0] + sum.far[0]) {
                    (false, _) => add([foot, ridge]),
                    (true, false) => format!("{} - {}", said(foot), said(ridge)),
                    (true, true) => format!("{} - {}", said(ridge), said(foot)),
                };
                let (near, far) = (over(sum.near), over(sum.far));
                // Sides that differ by less than a ruler shows read alike.
                let shown = if near == far { String::new() } else { format!(": {near} against {far}") };
                format!("the two sides of `{gutter}` differ by {differ}{shown}")
            }
            RingTurn::Opens { to, short } => {
                let (over, under) = (add([sum.near[1], sum.far[1]]), add([sum.near[0], sum.far[0]]));
                let (to, short) = (say.angle(*to), said(*short));
                format!("`{gutter}` opens to {to} at the most, {short} short: {over} over it against {under} on the pages")
            }
            RingTurn::StaysOpen { at } => {
                let differ = said((sum.near[1] - sum.far[1]).abs());
                let feet = said((sum.near[0] - sum.far[0]).abs());
                let at = say.angle(*at);
                format!("`{gutter}` closes to {at} at the least: the panels over it differ by {differ}, the feet by {feet}")
            }
            RingTurn::Misses { line, apart } => {
                let apart = say.length(*apart);
                format!("its folds do not run through one point: those beside `{}` cross it {apart} apart", line.name)
            }
        }
    }
}
