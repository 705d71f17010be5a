//! The finding as data, the catalogue (one file per finding), and the sink that collects them.
//!
//! A fault is a typed value where it is found ([`Fault`]) and becomes words in one place: the `tell` of its file in
//! [`catalogue`]. What comes out, a [`Finding`], is plain data that the terminal, the JSON report and an editor all
//! render alike. This room does not know how a finding is printed.

pub mod catalogue;
mod open_loop;
mod packet;
mod say;

pub use open_loop::{GoesBeyond, Misfitting};
pub use packet::{EnvelopeFit, Posted, Surcharged, estimate_said, ratio_said};
pub use say::Say;

use crate::source::Span;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The card cannot be made or will not do what it claims.
    Error,
    /// It can be made, but experience says that it disappoints.
    Caution,
    /// Worth knowing; nothing is wrong.
    Note,
}

impl Severity {
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Caution => "caution",
            Self::Note => "note",
        }
    }
}

/// Which part of the compiler's knowledge a finding belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    Syntax,
    Names,
    Kinds,
    Values,
    Cutting,
    Joints,
    Folding,
    Motion,
    Layers,
    Envelope,
    Post,
    Standing,
    Expectations,
    Tolerance,
}

/// The unchanging part of a finding: its name and what `plica explain` prints.
#[derive(Debug)]
pub struct Entry {
    /// Stable kebab-case name.
    pub name: &'static str,
    pub severity: Severity,
    pub family: Family,
    /// One line: the fault in general.
    pub title: &'static str,
    /// A few sentences for a beginner: what it means, why it matters, what to do.
    pub explanation: &'static str,
    /// A whole small design that shows exactly this finding and no other.
    pub wrong: &'static str,
    /// The same design mended; it shows no finding.
    pub right: &'static str,
}

/// A place with a few words about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    pub span: Span,
    pub text: String,
}

/// One replacement of text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Edit {
    pub span: Span,
    pub text: String,
}

/// A change that would mend the finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// What to do, in words: "write 103.5mm".
    pub says: String,
    pub edits: Vec<Edit>,
    /// True when the change cannot alter what the maker meant (a spelling, a missing mark); only such changes are
    /// written without asking.
    pub safe: bool,
}

/// A measured number that belongs to a finding, for machines. Base units: mm, mm², degrees, g/m², g.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    pub name: &'static str,
    pub value: f64,
    pub unit: &'static str,
}

/// What a fault says of itself in words.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Telling {
    /// The fault with its numbers, in one sentence without a full stop.
    pub message: String,
    pub place: Span,
    /// Words under the main place; may be empty.
    pub label: String,
    pub others: Vec<Label>,
    /// Why it matters, when that is not plain.
    pub why: Option<String>,
    /// What to do, in words. The number to write stands in the mend.
    pub help: Option<String>,
    pub measured: Vec<Measured>,
    /// Changes worth trying, best first. None of them is offered before it was applied in memory and re-checked.
    pub proposals: Vec<Mend>,
}

impl Telling {
    pub fn new(place: Span, message: impl Into<String>) -> Self {
        Self { message: message.into(), place, ..Self::default() }
    }

    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.label = text.into();
        self
    }

    pub fn other(mut self, span: Span, text: impl Into<String>) -> Self {
        self.others.push(Label { span, text: text.into() });
        self
    }

    pub fn why(mut self, text: impl Into<String>) -> Self {
        self.why = Some(text.into());
        self
    }

    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    pub fn measured(mut self, name: &'static str, value: f64, unit: &'static str) -> Self {
        self.measured.push(Measured { name, value, unit });
        self
    }

    /// Proposes to write `text` in place of `span`.
    pub fn propose(mut self, span: Span, text: impl Into<String>, safe: bool) -> Self {
        let text = text.into();
        let says = if text.is_empty() { "take it out".into() } else { format!("write `{text}`") };
        self.proposals.push(Mend { says, edits: vec![Edit { span, text }], safe });
        self
    }

    /// Proposes another length in place of a written one, when there is one that can be changed.
    pub fn rewrite(self, rewrite: Option<Rewrite>, say: &Say) -> Self {
        match rewrite {
            Some(r) => self.propose(r.literal, say.write(r.value, r.rounding), false),
            None => self,
        }
    }

    pub fn propose_mend(mut self, mend: Mend) -> Self {
        self.proposals.push(mend);
        self
    }
}

/// A value as written in the design, for findings that speak of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// In base units: mm, mm², degrees, g/m², g.
    pub value: f64,
    pub dimension: crate::quantity::Dimension,
    pub span: Span,
    /// The one literal the value comes from unchanged.
    pub literal: Option<Span>,
}

impl Stated {
    pub fn say(&self, say: &Say) -> String {
        say.value(self.value, self.dimension)
    }
}

/// A part as a finding speaks of it: "slot `rail`".
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    pub name: String,
    pub span: Span,
}

/// A free joint and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct StandsAt {
    pub joint: Named,
    /// mm, or degrees of a pin.
    pub value: f64,
    /// The side on which it stands when it stands at an end: "top".
    pub end: Option<&'static str>,
    /// The value is a length.
    pub slides: bool,
}

impl StandsAt {
    /// "at the top", "at 12 mm".
    pub fn say(&self, say: &Say) -> String {
        match self.end {
            Some(end @ ("top" | "bottom")) => format!("at the {end}"),
            Some(end) => format!("on the {end}"),
            None => format!("at {}", self.measure(say)),
        }
    }

    /// "the top", "12 mm".
    pub fn way(&self, say: &Say) -> String {
        self.end.map_or_else(|| self.measure(say), |end| format!("the {end}"))
    }

    pub fn measure(&self, say: &Say) -> String {
        if self.slides { say.length(self.value) } else { say.angle(self.value) }
    }
}

/// The lengths round a ring of four parallel folds, or the angles round one of four folds through a point, and what
/// they do not allow.
#[derive(Debug, Clone, PartialEq)]
pub struct RingSum {
    /// The fold between the two pages.
    pub gutter: Named,
    /// The pages are parts of the card that stand themselves: no pose sets the angle between them.
    pub raised: bool,
    /// The fold across from it.
    pub ridge: Named,
    /// The folds between these two.
    pub feet: [Named; 2],
    /// The folds run through one point, and what lies between them are angles.
    pub angles: bool,
    /// The ridge goes in between the pages: from the gutter to it one goes to the foot and back.
    pub inwards: bool,
    /// On one page from the gutter to the foot, and from the foot to the ridge, mm or degrees.
    pub near: [f64; 2],
    /// The same on the other page.
    pub far: [f64; 2],
    pub turn: RingTurn,
    /// The ridge where both ways to it are equally long.
    pub mend: Option<Rewrite>,
    /// A foot, and how far from the gutter it would have to be for both ways to be equally long and to open flat, mm.
    pub foot: Option<(Named, f64)>,
}

impl RingSum {
    /// How far the ridge comes from the gutter on either page, mm or degrees: they must be alike to fold shut.
    pub fn sides(&self) -> [f64; 2] {
        [self.near, self.far].map(|[foot, panel]| if self.inwards { foot - panel } else { foot + panel })
    }

    pub fn differ(&self) -> f64 {
        let [near, far] = self.sides();
        (near - far).abs()
    }
}

/// Angles round a point of a sheet at which all folds are folded flat, though every other angle does not make 180
/// degrees (T. Kawasaki, "On the relation between mountain-creases and valley-creases of a flat origami", 1989).
#[derive(Debug, Clone, PartialEq)]
pub struct VertexSum {
    /// The folds that meet at the point, in turn.
    pub folds: Vec<Named>,
    /// Every other angle between them, degrees, and those between.
    pub odd: Vec<f64>,
    pub even: Vec<f64>,
}

/// Another pose that the same fault keeps from being taken.
#[derive(Debug, Clone, PartialEq)]
pub struct AlsoOpen {
    pub pose: Named,
    /// What stays apart in it, mm.
    pub gap: f64,
    pub turn: Option<RingTurn>,
    /// What would have to go beyond its range in it.
    pub beyond: Option<GoesBeyond>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum RingTurn {
    /// It does not fold shut: the two ways from the gutter to the ridge differ.
    Shuts,
    /// It opens to this many degrees between the pages at the most; mm or degrees that the panels over the feet are too
    /// short.
    Opens { to: f64, short: f64 },
    /// It closes to this many degrees between the pages at the least.
    StaysOpen { at: f64 },
    /// Its folds do not run through one point: the two beside `line` cross it this many mm apart.
    Misses { line: Named, apart: f64 },
}

/// How a tongue misses the opening that it is tucked into, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TuckMisses {
    /// So much wider than the opening is long.
    Wide(f64),
    /// So far beyond an end of the opening.
    Beside(f64),
    /// So far from the line of the opening.
    Apart(f64),
}

impl TuckMisses {
    pub fn by(self) -> f64 {
        match self {
            Self::Wide(by) | Self::Beside(by) | Self::Apart(by) => by,
        }
    }
}

/// What moves where glue lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mover {
    Strap,
    Slide,
    Brad,
}

/// Glue along some edges of a part only, so that it bridges what runs beneath it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridged {
    /// The edges, in words, and how wide the glue may be, mm.
    pub along: (String, f64),
    /// Where a statement says along which edges it goes, or could, and what would stand before it; a mat's does not.
    pub clause: Option<(Span, &'static str)>,
}

impl Bridged {
    /// "along left and right 4mm".
    pub fn says(&self, say: &Say) -> String {
        format!("along {} {}", self.along.0, say.write(self.along.1, crate::quantity::Rounding::Down))
    }

    pub fn mend(&self, say: &Say) -> Option<Mend> {
        let (span, lead) = self.clause?;
        let clause = self.says(say);
        let edits = vec![Edit { span, text: format!("{lead}{clause}") }];
        Some(Mend { says: format!("glue it `{clause}`"), edits, safe: false })
    }
}

/// The other side of a face, as a design would name it.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherSide {
    /// The side that is named: "front".
    pub said: &'static str,
    /// What would be written anew, and with what.
    pub place: Span,
    pub text: String,
}

/// What stands under a slide that nothing stops.
pub const COMES_OUT: &str = "comes right out";

/// A stop that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedStop {
    /// The word that asks for it.
    pub place: Span,
    pub side: &'static str,
    /// The end of the slide that would be meant: left for bottom, right for top.
    pub end: &'static str,
}

/// How two parts are in each other's way.
#[derive(Debug, Clone, PartialEq)]
pub enum Blocked {
    /// They lie at one height; where they touch: on which panel, mm from its left and its top.
    EdgeOn { place: Option<(String, f64, f64)> },
    /// No order of the layers allows both.
    Layers,
    /// They pass through each other.
    Space,
}

/// A length of the design that a mend would write anew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rewrite {
    pub literal: Span,
    /// mm.
    pub value: f64,
    pub rounding: crate::quantity::Rounding,
}

/// Where on its way the part meets the other.
#[derive(Debug, Clone, PartialEq)]
pub enum Meets {
    /// mm that the two share at the end of the travel, or that are left of it; whether the part could be so much shorter;
    /// and where its stop would have to be written.
    Sliding { depth: f64, shorter: bool, earlier: Option<Shortened> },
    /// Degrees to which it is free, to which it is to turn, and where its stop would have to be written.
    Turning { at: f64, end: f64, shorter: Option<Shortened> },
}

/// The way of a joint that ends earlier.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortened {
    pub joint: String,
    /// The values are lengths.
    pub slides: bool,
    pub stops: Vec<Stop>,
}

/// A stop, or an end of a slot, written anew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    pub literal: Span,
    /// mm, or degrees.
    pub value: f64,
    pub rounding: crate::quantity::Rounding,
}

impl Shortened {
    pub fn mend(&self, say: &Say) -> Mend {
        let written = |stop: &Stop| match self.slides {
            true => say.write(stop.value, stop.rounding),
            false => say.write_angle(stop.value, stop.rounding),
        };
        let edits: Vec<Edit> =
            self.stops.iter().map(|stop| Edit { span: stop.literal, text: written(stop) }).collect();
        let mut texts: Vec<String> = edits.iter().map(|edit| format!("`{}`", edit.text)).collect();
        texts.dedup();
        let says = format!("write {}, so that `{}` stops before", texts.join(" and "), self.joint);
        Mend { says, edits, safe: false }
    }
}

/// A fault as a typed value.
pub trait Fault {
    fn entry(&self) -> &'static Entry;
    fn tell(&self, say: &Say) -> Telling;
}

/// A fault in words, ready to be shown anywhere.
#[derive(Debug, Clone)]
pub struct Finding {
    pub entry: &'static Entry,
    pub telling: Telling,
    /// The mend that was applied in memory and re-checked; filled in by the trial of proposals.
    pub mend: Option<Mend>,
}

impl Finding {
    pub fn name(&self) -> &'static str {
        self.entry.name
    }

    pub fn severity(&self) -> Severity {
        self.entry.severity
    }

    pub fn place(&self) -> Span {
        self.telling.place
    }
}

/// Collects findings; knows the units they are spoken in.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    pub say: Say,
    list: Vec<Finding>,
}

impl Findings {
    pub fn speaking(say: Say) -> Self {
        Self { say, list: Vec::new() }
    }

    pub fn report(&mut self, fault: impl Fault) {
        let telling = fault.tell(&self.say);
        self.list.push(Finding { entry: fault.entry(), telling, mend: None });
    }

    pub fn extend(&mut self, other: Findings) {
        self.list.extend(other.list);
    }

    /// Keeps those for which `keep` holds.
    pub fn retain(&mut self, keep: impl Fn(&Finding) -> bool) {
        self.list.retain(keep);
    }

    pub fn list(&self) -> &[Finding] {
        &self.list
    }

    pub fn list_mut(&mut self) -> &mut [Finding] {
        &mut self.list
    }

    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|f| f.severity() == Severity::Error)
    }

    /// Files first in the order they were read, then by place, then by name; the same finding at the same place is
    /// kept once.
    pub fn sort(&mut self) {
        self.list.sort_by(|a, b| {
            (a.place(), a.name(), &a.telling.message).cmp(&(b.place(), b.name(), &b.telling.message))
        });
        self.list.dedup_by(|a, b| {
            a.place() == b.place() && a.name() == b.name() && a.telling.message == b.telling.message
        });
    }
}
