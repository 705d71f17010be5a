//! Travel and stops of straps, followers, links and automatic pulls: elementary plane geometry, lengths in mm, angles in
//! degrees. Pure functions on numbers.

/// Where a sliding part may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: f64,
}

impl Interval {
    pub fn length(&self) -> f64 {
        self.high - self.low
    }

    /// Whether anything is left of it.
    pub fn exists(&self) -> bool {
        self.high >= self.low
    }
}

/// Where the middle of a strap may be in a slot it moves along; play is shared by both sides. Does not exist when the
/// strap is too wide for the slot.
pub fn strap_in_slot(slot_from: f64, slot_length: f64, strap_width: f64, clearance: f64) -> Interval {
    let margin = (strap_width + clearance) / 2.0;
    Interval { low: slot_from + margin, high: slot_from + slot_length - margin }
}

/// Where the origin of a strap may be when stop shoulders at `stops` on the strap (the first below, the second above)
/// meet a guide.
pub fn strap_in_guide(guide_from: f64, guide_length: f64, stops: [f64; 2], clearance: f64) -> Interval {
    let play = clearance / 2.0;
    Interval { low: guide_from + guide_length + play - stops[1], high: guide_from - play - stops[0] }
}

/// A follower at `offset` on a strap, caught in a slot of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follower {
    pub slot_from: f64,
    pub slot_length: f64,
    pub offset: f64,
    pub width: f64,
    pub clearance: f64,
}

/// Where the origin of a strap with several followers may be, and which of them stop it at either end.
#[derive(Clone, Debug, PartialEq)]
pub struct SharedTravel {
    pub origin: Interval,
    pub stopped_low_by: Vec<usize>,
    pub stopped_high_by: Vec<usize>,
}

/// The intersection of all followers' travels; `None` without followers. Stops within `tolerance` of each other stop
/// together.
pub fn followers(followers: &[Follower], tolerance: f64) -> Option<SharedTravel> {
    let travel = |f: &Follower| {
        let centre = strap_in_slot(f.slot_from, f.slot_length, f.width, f.clearance);
        Interval { low: centre.low - f.offset, high: centre.high - f.offset }
    };
    let travels: Vec<Interval> = followers.iter().map(travel).collect();
    let low = travels.iter().map(|t| t.low).max_by(f64::total_cmp)?;
    let high = travels.iter().map(|t| t.high).min_by(f64::total_cmp)?;
    let at = |end: &dyn Fn(&Interval) -> f64, value: f64| {
        (0..travels.len()).filter(|&k| (end(&travels[k]) - value).abs() <= tolerance).collect()
    };
    Some(SharedTravel {
        origin: Interval { low, high },
        stopped_low_by: at(&|t| t.low, low),
        stopped_high_by: at(&|t| t.high, high),
    })
}

/// Positions of a telescope of carriages, each sliding in the one below.
#[derive(Clone, Debug, PartialEq)]
pub struct Telescope {
    /// From the lowest carriage up, measured from the ground, in mm.
    pub positions: Vec<f64>,
    /// Whether the driven carriage came as far as asked.
    pub reached: bool,
}

/// Pulls carriage `driven` of a telescope from home to `goal`: it takes up its own travel first and then drags the one
/// below; those above are carried along. `travels` are the carriages' own travels from the lowest up.
pub fn telescope(travels: &[f64], driven: usize, goal: f64) -> Telescope {
    let below = &travels[..travels.len().min(driven + 1)];
    let most: f64 = below.iter().sum();
    let mut positions = vec![goal.clamp(0.0, most); travels.len()];
    for k in (1..below.len()).rev() {
        positions[k - 1] = (positions[k] - travels[k]).max(0.0);
    }
    Telescope { positions, reached: (0.0..=most).contains(&goal) }
}

/// Angle of a flap of radius `radius` that a strap turns through a link, starting flat with the link stretched out, when
/// the strap has been pulled by `pull`; `None` beyond the 180 degrees that 2 radii give. The law of cosines in the
/// triangle of flap, link and strap.
pub fn flap_angle(radius: f64, link: f64, pull: f64) -> Option<f64> {
    if !(0.0..=2.0 * radius).contains(&pull) || radius <= 0.0 || link < radius {
        return None;
    }
    let reach = radius + link - pull;
    // Half-angle form of the law of cosines: accurate at both ends.
    let half = perimeter_half(radius, link, reach);
    let (sin, cos) = ((half - radius) * (half - reach), half * (half - link));
    Some(2.0 * libm::atan2(libm::sqrt(sin.max(0.0)), libm::sqrt(cos.max(0.0))).to_degrees())
}

fn perimeter_half(a: f64, b: f64, c: f64) -> f64 {
    (a + b + c) / 2.0
}

/// Pull on a strap glued at `glued` from the gutter on one page and passing through a slot at `slot` on the other, when
/// the card stands open by `opening` degrees (0 closed).
pub fn gutter_pull(glued: f64, slot: f64, opening: f64) -> f64 {
    let half = libm::sin(opening.to_radians() / 2.0);
    // e² + f² - 2 e f cos t = (e - f)² + 4 e f sin²(t/2)
    let apart = glued - slot;
    libm::sqrt(apart * apart + 4.0 * glued * slot * half * half) - apart.abs()
}

/// Opening in degrees at which such a strap has been pulled by `available`; 180 when it never is.
pub fn gutter_pull_opening(glued: f64, slot: f64, available: f64) -> f64 {
    if available >= gutter_pull(glued, slot, 180.0) || glued * slot <= 0.0 {
        return 180.0;
    }
    let apart = (glued - slot).abs();
    let sin2 = (available.max(0.0) * (available + 2.0 * apart) / (4.0 * glued * slot)).clamp(0.0, 1.0);
    2.0 * libm::atan2(libm::sqrt(sin2), libm::sqrt(1.0 - sin2)).to_degrees()
}

/// A crank pin in the cross slot of a strap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Yoke {
    /// Degrees the crank can turn to each side of the strap's direction; 180 for a full turn.
    pub swing: f64,
    /// Displacement of the strap, 0 with the crank in its direction.
    pub strap: Interval,
}

/// Swing of a crank of radius `crank` whose pin must stay in a cross slot centred on the strap.
pub fn yoke(crank: f64, slot_length: f64, pin_diameter: f64, clearance: f64) -> Yoke {
    let reach = ((slot_length - pin_diameter - clearance) / 2.0).max(0.0);
    if reach >= crank {
        return Yoke { swing: 180.0, strap: Interval { low: -2.0 * crank, high: 0.0 } };
    }
    let along = libm::sqrt(crank * crank - reach * reach);
    Yoke { swing: libm::atan2(reach, along).to_degrees(), strap: Interval { low: along - crank, high: 0.0 } }
}
