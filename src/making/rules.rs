//! What must be done before what, and why.

use std::collections::BTreeSet;

use super::Spot;
use super::pinned::{self, Sheet};
use super::reach::{self, Cover};
use super::works::{Work, brads_of_ring, piece_of, works};
use crate::assembly::{Assembly, Face, JointId, JointKind, PanelId, PieceId, SlideHow};

/// Every work, and the rules between them.
#[derive(Debug, Clone)]
pub struct Plan {
    pub works: Vec<Work>,
    pub rules: Vec<Rule>,
    /// The same rules, so that none is stated twice.
    known: BTreeSet<(usize, usize, Why)>,
    /// By joint: what it covers, and where its mechanism is reached.
    covers: Vec<Vec<Cover>>,
    spots: Vec<Vec<Spot>>,
    /// By joint: the sheets that its brad goes through.
    pinned: Vec<Vec<Sheet>>,
    /// What one of several works puts out of reach, whichever is the last.
    by_the_last: Vec<ByTheLast>,
}

/// `first` comes before at least one of several works.
#[derive(Debug, Clone)]
struct ByTheLast {
    first: usize,
    thens: Vec<usize>,
    why: Why,
}

/// `first` comes before `then`.
#[derive(Debug, Clone)]
pub struct Rule {
    pub first: usize,
    pub then: usize,
    pub why: Why,
}

/// Why one work comes before another.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Nobody needs telling: what is not cut cannot be folded.
    Plain,
    /// Lettering and pictures are put on while the piece lies flat.
    Flat,
    /// A panel covers the openings or the pin of a joint.
    Covers { by: PanelId, joint: JointId },
    /// The part lies over the way of a slide.
    OverWay { by: PanelId, slide: JointId },
    /// The slide runs under the part.
    RunsUnder { bridge: PieceId, slide: JointId },
    /// What is threaded carries a part that does not go through with it.
    Carries { part: PanelId, joint: JointId },
    /// It lies inside what is closed.
    Inside { closing: JointId },
    /// A part lies under another.
    Beneath { lower: PanelId, upper: PanelId },
    /// A brad goes through the sheet too.
    Pinned { sheet: PanelId, pin: JointId },
    /// The mechanism cannot be reached afterwards.
    Tested { by: PanelId, joint: JointId },
}

impl Why {
    /// The most telling reason comes first.
    pub(super) fn weight(&self) -> u8 {
        match self {
            Self::Tested { .. } => 0,
            Self::Covers { .. } | Self::RunsUnder { .. } => 1,
            Self::Inside { .. } => 2,
            Self::Pinned { .. } => 2,
            Self::Carries { .. } | Self::OverWay { .. } => 3,
            Self::Beneath { .. } => 4,
            Self::Flat => 5,
            Self::Plain => 9,
        }
    }
}

impl Plan {
    pub fn of(assembly: &Assembly) -> Self {
        let joints = 0..assembly.joints.len();
        let mut plan = Self {
            works: works(assembly),
            rules: Vec::new(),
            known: BTreeSet::new(),
            covers: joints.clone().map(|j| reach::covers(assembly, j)).collect(),
            spots: joints.clone().map(|j| reach::mechanism(assembly, j)).collect(),
            pinned: joints.map(|j| pinned::sheets(assembly, j)).collect(),
            by_the_last: Vec::new(),
        };
        plan.heads(assembly);
        plan.blanks(assembly);
        plan.pinned_sheets(assembly, true);
        plan.access();
        plan.slides(assembly);
        plan.closings(assembly);
        plan.piles(assembly);
        plan.settle();
        plan.pinned_sheets(assembly, false);
        plan.dry_runs(assembly);
        plan.finish();
        plan
    }

    fn rule(&mut self, first: usize, then: usize, why: Why) {
        if first != then && self.known.insert((first, then, why.clone())) {
            self.rules.push(Rule { first, then, why });
        }
    }

    /// What puts the mechanism of `joint` out of reach when `other` is made.
    fn hides(&self, joint: JointId, other: JointId) -> Option<&Cover> {
        let (spots, covers) = (self.spots.get(joint)?, self.covers.get(other)?);
        covers.iter().find(|c| {
            spots
                .iter()
                .any(|s| s.panel == c.panel && s.face == c.face && reach::shares(&s.region, &c.region))
        })
    }

    fn making(&self, joint: JointId) -> Option<usize> {
        self.works.iter().position(|w| w.joints().contains(&joint))
    }

    /// The works that join something, with the joint that places the part.
    fn joining(&self) -> Vec<(usize, JointId)> {
        let first = |w: &Work| w.joints().first().copied();
        self.works.iter().enumerate().filter_map(|(id, w)| Some((id, first(w)?))).collect()
    }

    /// Pieces are cut, opened, scored, printed and folded before they are joined.
    fn blanks(&mut self, assembly: &Assembly) {
        let joined: Vec<(usize, Vec<PieceId>)> = self
            .joining()
            .into_iter()
            .filter_map(|(work, id)| {
                let joint = assembly.joints.get(id)?;
                let pinned = self.pinned.get(id).into_iter().flatten().map(|sheet| sheet.panel);
                let panels = [joint.a, joint.b].into_iter().chain(pinned);
                Some((work, panels.filter_map(|p| piece_of(assembly, p)).collect()))
            })
            .collect();
        let works: Vec<(Work, Vec<PieceId>)> =
            self.works.iter().map(|w| (w.clone(), w.parts(assembly))).collect();
        let is_early = |work: &Work| work.phase() <= 4;
        // By piece, what is done to it before it is joined.
        let mut done_to: Vec<Vec<usize>> = vec![Vec::new(); assembly.pieces.len()];
        for (id, (_, pieces)) in works.iter().enumerate().filter(|(_, (work, _))| is_early(work)) {
            for piece in pieces {
                if let Some(list) = done_to.get_mut(*piece) {
                    list.push(id);
                }
            }
        }
        for (id, (work, pieces)) in works.iter().enumerate() {
            if !is_early(work) {
                continue;
            }
            let beside: BTreeSet<usize> =
                pieces.iter().filter_map(|p| done_to.get(*p)).flatten().copied().collect();
            for then in beside {
                let later = works.get(then).is_some_and(|(other, _)| work.phase() < other.phase());
                if later {
                    let print = matches!(work, Work::Print { .. });
                    self.rule(id, then, if print { Why::Flat } else { Why::Plain });
                }
            }
            for (then, parts) in &joined {
                if parts.iter().any(|p| pieces.contains(p)) {
                    let print = matches!(work, Work::Print { .. });
                    self.rule(id, *then, if print { Why::Flat } else { Why::Plain });
                }
            }
        }
    }

    /// Straps, tongues and pins go in while both faces can be reached.
    fn access(&mut self) {
        for (first, joint) in self.joining() {
            let threads = matches!(
                self.works.get(first),
                Some(Work::Strap { .. } | Work::Thread { .. } | Work::Pin { .. })
            );
            if !threads {
                continue;
            }
            for (then, other) in self.joining().into_iter().filter(|(then, _)| *then != first) {
                // What is threaded or laid over something else can be lifted; what is stuck cannot.
                let stays = matches!(
                    self.works.get(then),
                    Some(Work::Mat { .. } | Work::Stick { .. } | Work::Pin { .. })
                );
                // The brad goes through it and through what covers it.
                let sheets = self.pinned.get(joint).map(Vec::as_slice).unwrap_or_default();
                let is_pinned = sheets.iter().any(|sheet| sheet.placed_by.contains(&other));
                if !stays || is_pinned {
                    continue;
                }
                let Some((by, also)) = self.hides(joint, other).map(|c| (c.by, c.also.clone())) else {
                    continue;
                };
                let why = Why::Covers { by, joint };
                if also.is_empty() {
                    self.rule(first, then, why);
                } else {
                    let others = also.iter().filter_map(|j| self.making(*j)).filter(|w| *w != first);
                    let thens = std::iter::once(then).chain(others).collect();
                    self.by_the_last.push(ByTheLast { first, thens, why });
                }
            }
        }
    }

    /// The head and the legs of a brad lie on the outermost of the sheets that it goes through.
    fn heads(&mut self, assembly: &Assembly) {
        for (id, sheets) in self.pinned.iter().enumerate() {
            let Some(JointKind::Pin { holes, .. }) = assembly.joints.get(id).map(|j| &j.kind) else {
                continue;
            };
            let (Some(spots), [front, _, .., back]) = (self.spots.get_mut(id), sheets.as_slice()) else {
                continue;
            };
            for sheet in [front, back] {
                spots.extend(reach::head(sheet.panel, sheet.at, holes.0));
            }
        }
    }

    /// Every sheet that a brad goes through is in place before the brad: what is stuck in any case (`fast`), what hangs on
    /// other brads or slides as far as nothing else decides.
    fn pinned_sheets(&mut self, assembly: &Assembly, fast: bool) {
        for (then, pin) in self.joining() {
            for Sheet { panel: sheet, placed_by, .. } in self.pinned.get(pin).cloned().unwrap_or_default() {
                let is_stuck = |j: &JointId| {
                    matches!(assembly.joints.get(*j).map(|j| &j.kind), Some(JointKind::Fixed { .. }))
                };
                if placed_by.iter().all(is_stuck) != fast {
                    continue;
                }
                let works: Vec<usize> = placed_by.iter().filter_map(|j| self.making(*j)).collect();
                for first in works {
                    let why = Why::Pinned { sheet, pin };
                    if fast { self.rule(first, then, why) } else { self.wish(first, then, why) }
                }
            }
        }
    }

    /// Chooses one of the works that may put something out of reach, the one by which it is covered when it comes last,
    /// as far as the other rules let it.
    fn settle(&mut self) {
        for ByTheLast { first, thens, why } in std::mem::take(&mut self.by_the_last) {
            let Some(own) = thens.first().copied() else { continue };
            let is_free = |then: usize| !self.leads(then, first);
            if !is_free(own) && thens.iter().any(|then| self.leads(first, *then)) {
                continue;
            }
            // Where none will do there is no order, and the first says so.
            let chosen = thens.iter().copied().find(|then| is_free(*then)).unwrap_or(own);
            self.rule(first, chosen, why);
        }
    }

    /// What rides on a slide comes after it; what bridges its way too.
    fn slides(&mut self, assembly: &Assembly) {
        for (first, id) in self.joining() {
            let Some(joint) = assembly.joints.get(id) else { continue };
            let JointKind::Slide { how, .. } = &joint.kind else { continue };
            let moving = piece_of(assembly, joint.b);
            for (then, other) in self.joining().into_iter().filter(|(then, _)| *then != first) {
                let Some(next) = assembly.joints.get(other) else { continue };
                let carried = piece_of(assembly, next.a) == moving && !is_closing(&next.kind);
                if carried {
                    self.rule(first, then, Why::Carries { part: next.b, joint: id });
                    continue;
                }
                let Some(part) = piece_of(assembly, next.b) else { continue };
                match how {
                    SlideHow::On { under, .. } if under.contains(&part) => {
                        self.rule(first, then, Why::RunsUnder { bridge: part, slide: id });
                    }
                    SlideHow::On { .. }
                        if !is_closing(&next.kind)
                            && part != moving.unwrap_or(part)
                            && self.hides(id, other).is_some() =>
                    {
                        self.rule(first, then, Why::OverWay { by: next.b, slide: id });
                    }
                    _ => {}
                }
            }
        }
    }

    /// What lies inside a loop is in place before the loop is closed.
    fn closings(&mut self, assembly: &Assembly) {
        let closings: Vec<(usize, JointId)> = self
            .works
            .iter()
            .enumerate()
            .filter_map(|(id, w)| match w {
                Work::Close { joint } => Some((id, *joint)),
                _ => None,
            })
            .collect();
        for (close, closing) in &closings {
            let Some(joint) = assembly.joints.get(*closing) else { continue };
            // A ring is closed last: what holds its two ends to each other comes before.
            let before: BTreeSet<usize> =
                reach::ring(assembly, *closing).into_iter().filter_map(|other| self.making(other)).collect();
            for work in before {
                self.wish(work, *close, Why::Plain);
            }
            if piece_of(assembly, joint.a) != piece_of(assembly, joint.b) {
                continue;
            }
            let inside = reach::inside(assembly, *closing);
            for (work, id) in self.joining().into_iter().filter(|(work, _)| work != close) {
                let Some(other) = assembly.joints.get(id) else { continue };
                if !is_within(other, &inside) {
                    continue;
                }
                let why = Why::Inside { closing: *closing };
                self.rule(work, *close, why.clone());
                for rider in reach::riders(assembly, id) {
                    if let Some(work) = self.making(rider) {
                        self.rule(work, *close, why.clone());
                    }
                }
            }
        }
    }

    /// Of two parts at one place, the lower comes first.
    fn piles(&mut self, assembly: &Assembly) {
        let stuck: Vec<(usize, PanelId, reach::Stuck)> = self
            .joining()
            .into_iter()
            .filter_map(|(work, joint)| {
                Some((work, assembly.joints.get(joint)?.b, reach::stuck(assembly, joint)?))
            })
            .collect();
        for (first, lower, under) in &stuck {
            for (then, upper, over) in &stuck {
                if reach::lies_beneath(under, over) {
                    self.rule(*first, *then, Why::Beneath { lower: *lower, upper: *upper });
                }
            }
        }
    }

    /// A mechanism is tried when all that rides on it is in place and before anything hides it. Both are given up where
    /// they would contradict another rule: a dry run is a help and not a need.
    fn dry_runs(&mut self, assembly: &Assembly) {
        let tries: Vec<(usize, Vec<JointId>)> = self
            .works
            .iter()
            .enumerate()
            .filter_map(|(id, w)| match w {
                Work::Try { joints, .. } => Some((id, joints.clone())),
                _ => None,
            })
            .collect();
        for (run, joints) in &tries {
            let moved: Vec<usize> = joints.iter().filter_map(|j| self.making(*j)).collect();
            for work in moved {
                self.rule(work, *run, Why::Plain);
            }
        }
        let moving: Vec<JointId> = tries.iter().flat_map(|(_, joints)| joints.clone()).collect();
        let riding: Vec<JointId> = moving.iter().flat_map(|j| reach::riders(assembly, *j)).collect();
        for (run, joints) in &tries {
            let ring = joints.iter().flat_map(|j| brads_of_ring(assembly, *j));
            for rider in ring.chain(joints.iter().flat_map(|j| reach::riders(assembly, *j))) {
                if let Some(work) = self.making(rider) {
                    self.wish(work, *run, Why::Plain);
                }
            }
            for joint in joints {
                self.seals(assembly, *run, *joint, &riding);
            }
        }
    }

    fn seals(&mut self, assembly: &Assembly, run: usize, joint: JointId, riding: &[JointId]) {
        let carries = assembly.joints.get(joint);
        for (work, id) in self.joining() {
            let Some(other) = assembly.joints.get(id) else { continue };
            let JointKind::Fixed { closing, .. } = &other.kind else { continue };
            let by = if *closing {
                let within =
                    |j: &crate::assembly::Joint| is_within(j, &reach::inside(assembly, id)) && id != joint;
                carries.is_some_and(within).then_some(other.b)
            } else if riding.contains(&id) {
                None
            } else {
                self.hides(joint, id).map(|cover| cover.by)
            };
            if let Some(by) = by {
                self.wish(run, work, Why::Tested { by, joint });
            }
        }
    }

    /// A rule that is kept only when it contradicts no other.
    fn wish(&mut self, first: usize, then: usize, why: Why) {
        if !self.leads(then, first) {
            self.rule(first, then, why);
        }
    }

    /// Whether the rules put `first` before `then`.
    fn leads(&self, first: usize, then: usize) -> bool {
        let mut seen = vec![false; self.works.len()];
        let mut open = vec![first];
        while let Some(at) = open.pop() {
            if at == then {
                return true;
            }
            for next in self.rules.iter().filter(|r| r.first == at).map(|r| r.then) {
                if let Some(new @ false) = seen.get_mut(next) {
                    *new = true;
                    open.push(next);
                }
            }
        }
        false
    }

    fn finish(&mut self) {
        let Some(last) = self.works.iter().position(|w| matches!(w, Work::Finish)) else { return };
        for work in (0..self.works.len()).filter(|w| *w != last) {
            self.rule(work, last, Why::Plain);
        }
    }
}

fn is_closing(kind: &JointKind) -> bool {
    matches!(kind, JointKind::Fixed { closing: true, .. })
}

/// Whether a joint lies on faces that a loop encloses. A strap lies on both sides of its bar.
fn is_within(joint: &crate::assembly::Joint, inside: &[(PanelId, Face)]) -> bool {
    let on = |panel: PanelId, face: Face| inside.contains(&(panel, face));
    match &joint.kind {
        JointKind::Fixed { faces, .. } => on(joint.a, faces.1) || on(joint.b, faces.0),
        JointKind::Slide { how: SlideHow::Strap { .. } | SlideHow::Through { .. }, .. } => {
            inside.iter().any(|(panel, _)| *panel == joint.a)
        }
        JointKind::Slide { placement, .. } => on(joint.a, placement.side),
        JointKind::Pin { .. } => inside.iter().any(|(panel, _)| *panel == joint.a),
        JointKind::Fold { .. } | JointKind::Tuck { .. } => false,
    }
}
