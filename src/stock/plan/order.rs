//! What the planner is given: the sheet, the pieces wanted, how hard to try; and what can be wrong with them.
//!
//! Lengths are whole numbers of one unit chosen by the caller. Nanometres (see [`nanometres`]) hold every metric
//! length of interest and inch fractions down to 1/64 exactly, so that strips which fill a sheet to the last
//! sixteenth still do so after conversion.

/// A length in the caller's unit.
pub type Length = i64;

/// Longest side accepted (1.1 km in nanometres): keeps every sum and product of the planner in range.
pub const LONGEST: Length = 1 << 40;
/// Most pieces accepted in one order.
pub const MOST_PIECES: usize = 5_000;

/// Nanometres in a length given in mm, rounded to the nearest; 0 for a value that is not finite.
pub fn nanometres(mm: f64) -> Length {
    if mm.is_finite() { (mm * 1e6).round() as Length } else { 0 }
}

/// Unusable borders of a sheet, trimmed off first. Each is 0 or at least the kerf of its own cut, which it swallows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Margin {
    pub left: Length,
    pub top: Length,
    pub right: Length,
    pub bottom: Length,
}

/// A kind of sheet and the trimmer it is cut on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    pub w: Length,
    pub h: Length,
    /// Width of material one cut destroys; 0 for a blade.
    pub kerf: Length,
    pub margin: Margin,
    /// Narrowest piece or strip the trimmer holds.
    pub min_strip: Length,
    /// Narrowest waste it can shave off: a leftover is either nothing or at least this.
    pub min_trim: Length,
    /// Longest cut it makes, when shorter than the sheet.
    pub blade: Option<Length>,
    /// An offcut is worth keeping when both sides are at least this.
    pub useful_offcut: Length,
    /// Step of the scale: settings that round to the same mark are one setting. 0 for exact.
    pub scale_step: Length,
}

impl Stock {
    /// A sheet without margins on an ideal trimmer.
    pub fn new(w: Length, h: Length) -> Self {
        Self {
            w,
            h,
            kerf: 0,
            margin: Margin::default(),
            min_strip: 0,
            min_trim: 0,
            blade: None,
            useful_offcut: 0,
            scale_step: 0,
        }
    }

    /// Width and height left inside the margins.
    pub fn usable(&self) -> [Length; 2] {
        [self.w - self.margin.left - self.margin.right, self.h - self.margin.top - self.margin.bottom]
    }
}

/// Ways in which a piece may lie on the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// Only as given (grain or a directional print forbids turning).
    AsGiven,
    /// Only turned by 90°.
    Turned,
    #[default]
    Either,
}

impl Turn {
    /// Grain of the piece and of the sheet: `true` for along the height, `false` for along the width, `None` for
    /// indifferent.
    pub fn for_grain(piece: Option<bool>, sheet: Option<bool>) -> Self {
        match (piece, sheet) {
            (Some(a), Some(b)) if a == b => Self::AsGiven,
            (Some(_), Some(_)) => Self::Turned,
            _ => Self::Either,
        }
    }

    /// Whether `turned` (by 90°) is permitted.
    pub fn permits(self, turned: bool) -> bool {
        match self {
            Self::AsGiven => !turned,
            Self::Turned => turned,
            Self::Either => true,
        }
    }
}

/// A rectangle wanted `qty` times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item {
    pub w: Length,
    pub h: Length,
    pub qty: u32,
    pub turn: Turn,
}

impl Item {
    /// Width and height as laid.
    pub fn laid(&self, turned: bool) -> [Length; 2] {
        if turned { [self.h, self.w] } else { [self.w, self.h] }
    }

    /// The permitted ways of lying, without a turn that changes nothing.
    pub fn ways(&self) -> impl Iterator<Item = bool> + '_ {
        let square = self.w == self.h;
        [false, true].into_iter().filter(move |&turned| {
            self.turn.permits(turned) && !(turned && square && self.turn == Turn::Either)
        })
    }
}

/// How long to search, counted in looked-at places (about 15 ns each in an optimised build), never in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// For fewer sheets.
    pub sheets: u64,
    /// For fewer settings and larger offcuts.
    pub polish: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { sheets: 10_000_000, polish: 2_500_000 }
    }
}

/// Why an order cannot be planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A length of the sheet or trimmer is negative or over [`LONGEST`], or nothing is left inside the margins, or a
    /// margin is narrower than the kerf.
    Sheet,
    /// The item has a side that is not positive or over [`LONGEST`].
    Size { item: usize },
    /// The item does not fit inside the margins of a sheet in any permitted way.
    TooLarge { item: usize },
    /// The item is narrower than the trimmer holds.
    TooNarrow { item: usize },
    /// Even alone on a sheet the item needs a cut longer than the blade, or leaves waste too narrow to trim off.
    Trimmer { item: usize },
    /// More than [`MOST_PIECES`] pieces in all.
    TooMany { pieces: u64 },
}
