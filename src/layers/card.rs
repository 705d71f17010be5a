//! The layers of a card in a pose: which leaf lies over which, how thick the stack is, what is seen of every panel.
//!
//! Leaves are grouped by the plane they lie in (a flat pose is one group, whatever foam lifts), each group is one layer
//! problem, and that falls apart into islands, which are solved one by one and [`Kept`].

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::group::{Group, Lying, Seams};
use super::island::{Island, Puzzle, islands};
use super::kept::{Kept, Shown};
use super::leaves::{CardLeaf, is_flat, leaves};
use super::stack::{Side, seen_of};
use crate::assembly::{Assembly, Face, JointId, JointKind, PanelId};
use crate::geometry::{Point, Polygon, Region, difference, pt, region_centroid};
use crate::motion::PoseState;
use crate::quantity::tolerance::SHARED_MM2;
use rayon::prelude::*;

/// A place where the closed card is thick, and what lies there.
#[derive(Debug, Clone)]
pub struct Thickest {
    pub mm: f64,
    /// On the drawing of the front view: x right, y down.
    pub at: Point,
    /// From the lowest to the highest.
    pub panels: Vec<PanelId>,
}

/// What is seen of a leaf from one side, in the world's plane (x right, y up).
#[derive(Debug, Clone)]
pub struct CardSeen {
    pub leaf: usize,
    /// Whether the leaf's printed side is seen.
    pub front: bool,
    pub region: Region,
}

/// Facts that contradict one another: no order of the layers satisfies them.
#[derive(Debug, Clone)]
pub struct Contradiction {
    pub joints: Vec<JointId>,
}

/// Two parts of a flat card that may lie either way over each other: the joints decide neither, and the pictures show
/// one of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undecided {
    /// As the pictures show them.
    pub upper: PanelId,
    pub lower: PanelId,
    /// Where they overlap, mm².
    pub shared_mm2: f64,
}

/// The layers of one pose.
#[derive(Debug, Clone, Default)]
pub struct Card {
    pub leaves: Vec<CardLeaf>,
    /// All leaves lie parallel: the card is flat.
    pub flat: bool,
    /// For leaves `(i, j)` that cover each other in one plane, both ways round: whether `j` lies on the front of `i`.
    on_front: BTreeMap<(usize, usize), bool>,
    /// Of a flat card: height of each leaf above the lowest, mm, along the viewer's axis.
    pub heights: Vec<f64>,
    /// Of a flat card.
    pub thickest: Option<Thickest>,
    /// Of a flat card: seen from the front and from the back.
    pub seen: [Vec<CardSeen>; 2],
    pub contradiction: Option<Contradiction>,
    /// Of a flat card: the two parts with the largest overlap that may lie otherwise; `None` when the joints leave one
    /// order only.
    pub undecided: Option<Undecided>,
    /// Of a flat card.
    sheet: Sheet,
}

/// A flat card as its islands see it.
#[derive(Debug, Clone, Default)]
struct Sheet {
    /// In the world's plane, y up, and whether the front is up; `None` for a leaf that nothing holds.
    faces: Vec<Option<(Polygon, bool)>>,
    /// The leaves of each island by the numbers it has for them.
    islands: Vec<(Vec<usize>, Arc<Shown>)>,
    /// By leaf: the islands that it is in, with its number there.
    of_leaf: Vec<Vec<(usize, usize)>>,
}

/// Works out the layers of the card in a pose.
pub fn card(assembly: &Assembly, pose: &PoseState, kept: &Kept) -> Card {
    cards(assembly, std::slice::from_ref(pose), kept).pop().unwrap_or_default()
}

/// [`card`] for every pose; what is the same in several is worked out once.
pub fn cards(assembly: &Assembly, poses: &[PoseState], kept: &Kept) -> Vec<Card> {
    let seams = Seams::of(assembly, kept);
    let laid: Vec<Laid> =
        poses.par_iter().map(|pose| Laid::of(&seams, pose, leaves(assembly, &seams.tucks, pose))).collect();
    distinct(&laid).into_par_iter().for_each(|puzzle| {
        kept.shown(puzzle);
    });
    laid.into_par_iter().map(|laid| laid.card(assembly, kept)).collect()
}

/// [`Card::contradiction`] alone for every pose, without what is seen and how thick the card is. While a card opens,
/// what lies on one page is the same at every place of the motion; it is solved once.
pub fn contradictions(assembly: &Assembly, poses: &[PoseState], kept: &Kept) -> Vec<Option<Contradiction>> {
    let seams = Seams::of(assembly, kept);
    let laid: Vec<Laid> =
        poses.par_iter().map(|pose| Laid::of(&seams, pose, leaves(assembly, &seams.tucks, pose))).collect();
    distinct(&laid).into_par_iter().for_each(|puzzle| {
        kept.core(puzzle);
    });
    laid.iter().map(|laid| laid.contradiction(kept)).collect()
}

/// [`contradictions`] of one pose.
pub fn contradiction(assembly: &Assembly, pose: &PoseState, kept: &Kept) -> Option<Contradiction> {
    contradictions(assembly, std::slice::from_ref(pose), kept).pop().flatten()
}

/// The leaves of a pose, sorted into planes and islands.
struct Laid {
    leaves: Vec<CardLeaf>,
    flat: bool,
    groups: Vec<(Group, Vec<Island>)>,
}

fn distinct(laid: &[Laid]) -> Vec<&Puzzle> {
    let all = laid.iter().flat_map(Laid::islands).map(|(_, island)| &island.puzzle);
    all.collect::<BTreeSet<&Puzzle>>().into_iter().collect()
}

impl Laid {
    fn of(seams: &Seams, pose: &PoseState, leaves: Vec<CardLeaf>) -> Self {
        let flat = is_flat(pose);
        let groups = Lying { seams, pose, leaves: &leaves, flat }.groups().into_iter();
        let groups = groups.map(|group| {
            let islands = islands(&group.state, &group.facts);
            (group, islands)
        });
        Self { groups: groups.collect(), leaves, flat }
    }

    fn islands(&self) -> impl Iterator<Item = (&Group, &Island)> {
        self.groups.iter().flat_map(|(group, islands)| islands.iter().map(move |island| (group, island)))
    }

    fn contradiction(&self, kept: &Kept) -> Option<Contradiction> {
        self.islands()
            .find_map(|(group, island)| Some(group.contradiction(island, &kept.core(&island.puzzle)?)))
    }

    fn card(self, assembly: &Assembly, kept: &Kept) -> Card {
        let mut on_front = BTreeMap::new();
        let mut contradiction = None;
        let mut sheet = Sheet::default();
        for (group, island) in self.islands() {
            let shown = kept.shown(&island.puzzle);
            if let (None, Some(core)) = (&contradiction, shown.core()) {
                contradiction = Some(group.contradiction(island, core));
            }
            let of_group = |face: usize| island.faces.get(face).copied();
            for (upper, lower) in shown.order.iter().flat_map(|order| order.pairs()) {
                let placed = |face: usize| {
                    let face = of_group(face)?;
                    Some((*group.leaves.get(face)?, group.state.faces.get(face)?.up))
                };
                if let (Some((i, i_up)), Some((j, j_up))) = (placed(upper), placed(lower)) {
                    on_front.insert((j, i), j_up);
                    on_front.insert((i, j), !i_up);
                }
            }
            if self.flat {
                let leaf = |face: &usize| group.leaves.get(*face).copied();
                sheet.islands.push((island.faces.iter().filter_map(leaf).collect(), shown));
            }
        }
        let flat = self.groups.iter().filter(|_| self.flat);
        sheet.faces = vec![None; self.leaves.len()];
        for (leaf, face) in flat.flat_map(|(group, _)| group.leaves.iter().zip(&group.state.faces)) {
            if let Some(place) = sheet.faces.get_mut(*leaf) {
                *place = Some((face.polygon.clone(), face.up));
            }
        }
        sheet.of_leaf = vec![Vec::new(); self.leaves.len()];
        for (number, (leaves, _)) in sheet.islands.iter().enumerate() {
            for (face, leaf) in leaves.iter().enumerate() {
                if let Some(list) = sheet.of_leaf.get_mut(*leaf) {
                    list.push((number, face));
                }
            }
        }
        let mut card =
            Card { flat: self.flat, leaves: self.leaves, on_front, contradiction, ..Card::default() };
        if card.flat {
            card.seen = Side::BOTH.map(|side| sheet.seen(side));
            card.undecided = card.open_pair(&sheet);
            card.sheet = sheet;
            card.pile(assembly);
        }
        card
    }
}

impl Sheet {
    fn islands_of(&self, leaf: usize) -> impl Iterator<Item = (usize, &Shown, usize)> {
        let list = self.of_leaf.get(leaf).into_iter().flatten();
        list.filter_map(|(island, face)| {
            Some((*island, &**self.islands.get(*island).map(|(_, s)| s)?, *face))
        })
    }

    /// What is seen of every leaf of which something is.
    fn seen(&self, side: Side) -> Vec<CardSeen> {
        let seen = |leaf: usize| {
            let mut islands = self.islands_of(leaf);
            match (islands.next(), islands.next()) {
                // Most leaves are in one island, which keeps what is seen of them.
                (Some((_, shown, face)), None) => self.shown_as(leaf, side, shown.seen(face, side).to_vec()),
                _ => self.seen_behind(leaf, side, |_, shown, face| shown.hidden(face, side).to_vec()),
            }
        };
        (0..self.faces.len()).into_par_iter().filter_map(seen).collect()
    }

    /// What is seen of a leaf when `hidden` says which parts of it each of its islands hides.
    fn seen_behind(
        &self,
        leaf: usize,
        side: Side,
        hidden: impl Fn(usize, &Shown, usize) -> Region,
    ) -> Option<CardSeen> {
        let (polygon, _) = self.faces.get(leaf)?.as_ref()?;
        let islands = self.islands_of(leaf);
        let all: Region = islands.flat_map(|(island, shown, face)| hidden(island, shown, face)).collect();
        self.shown_as(leaf, side, seen_of(polygon, &all))
    }

    fn shown_as(&self, leaf: usize, side: Side, region: Region) -> Option<CardSeen> {
        let (_, up) = self.faces.get(leaf)?.as_ref()?;
        (!region.is_empty()).then_some(CardSeen { leaf, front: *up == (side == Side::Above), region })
    }
}

impl Card {
    /// Whether leaf `j` lies on the front of leaf `i`; `None` when they do not cover each other in one plane.
    pub fn on_front(&self, i: usize, j: usize) -> Option<bool> {
        self.on_front.get(&(i, j)).copied()
    }

    /// Whether leaf `j` lies nearer to a viewer than leaf `i`, both in one plane; `front_seen`: the viewer looks at the
    /// front of `i`.
    pub fn is_nearer(&self, i: usize, j: usize, front_seen: bool) -> bool {
        match self.on_front(i, j) {
            Some(on_front) => on_front == front_seen,
            // Neighbours in one sheet, or nothing is known: the later one is taken for the nearer.
            None => j > i,
        }
    }

    /// What is seen of a leaf's face: the regions in the world's plane, from the side that shows that face.
    pub fn seen_of(&self, panel: PanelId, face: Face) -> Region {
        let of_panel = |s: &&CardSeen| {
            self.leaves.get(s.leaf).is_some_and(|l| l.panel == panel) && s.front == (face == Face::Front)
        };
        self.seen.iter().flatten().filter(of_panel).flat_map(|s| s.region.clone()).collect()
    }

    fn panel(&self, leaf: usize) -> Option<PanelId> {
        self.leaves.get(leaf).map(|l| l.panel)
    }

    /// What is seen of some panels of a flat card, from the front and from the back, in every order of the layers that the
    /// joints allow: a claim about them holds when it holds in all of these. `None` when the card is not flat, no order is
    /// possible, or there are more than `limit`. An order of layers that the panels have no part in makes no difference.
    pub fn views(&self, panels: &[PanelId], limit: usize) -> Option<Vec<[Vec<CardSeen>; 2]>> {
        if !self.flat || self.contradiction.is_some() {
            return None;
        }
        let wanted = |leaf: &usize| self.panel(*leaf).is_some_and(|p| panels.contains(&p));
        let leaves: Vec<usize> = (0..self.leaves.len()).filter(wanted).collect();
        let concerned: BTreeSet<usize> =
            leaves.iter().flat_map(|leaf| self.sheet.islands_of(*leaf)).map(|(island, ..)| island).collect();
        // By island: what is hidden in each of its orders. One that has a single order is kept as it is.
        let mut orders: BTreeMap<usize, Vec<[Vec<Region>; 2]>> = BTreeMap::new();
        for number in concerned {
            let (_, shown) = self.sheet.islands.get(number)?;
            if shown.open.is_some() {
                orders.insert(number, shown.all_hidden(limit)?);
            }
        }
        let count = orders.values().try_fold(1_usize, |all, next| all.checked_mul(next.len()))?;
        if count > limit {
            return None;
        }
        let view = |chosen: usize| {
            // The orders are counted through like the digits of a number.
            let mut rest = chosen;
            let digits: BTreeMap<usize, usize> = orders
                .iter()
                .map(|(island, list)| {
                    let digit = rest % list.len();
                    rest /= list.len();
                    (*island, digit)
                })
                .collect();
            Side::BOTH.map(|side| {
                let hidden = |island: usize, shown: &Shown, face: usize| {
                    let order =
                        orders.get(&island).zip(digits.get(&island)).and_then(|(list, n)| list.get(*n));
                    match order {
                        Some(hidden) => hidden.get(side.index()).and_then(|faces| faces.get(face)).cloned(),
                        None => Some(shown.hidden(face, side).to_vec()),
                    }
                    .unwrap_or_default()
                };
                leaves.iter().filter_map(|leaf| self.sheet.seen_behind(*leaf, side, hidden)).collect()
            })
        };
        Some((0..count).map(view).collect())
    }

    /// See [`Card::undecided`].
    fn open_pair(&self, sheet: &Sheet) -> Option<Undecided> {
        if self.contradiction.is_some() {
            return None;
        }
        let told = sheet.islands.iter().filter_map(|(leaves, shown)| {
            let (upper, lower, shared_mm2) = shown.open?;
            let panel = |face: usize| leaves.get(face).and_then(|leaf| self.panel(*leaf));
            Some(Undecided { upper: panel(upper)?, lower: panel(lower)?, shared_mm2 })
        });
        told.filter(|u| u.upper != u.lower).max_by(|a, b| a.shared_mm2.total_cmp(&b.shared_mm2))
    }

    /// Lays the leaves of a flat card on each other: how high each lies, and where the card is thickest.
    fn pile(&mut self, assembly: &Assembly) {
        let pile = Pile::of(self, assembly);
        let stacks = self.stacks();
        let mut heights = vec![0.0_f64; self.leaves.len()];
        // Heights settle from below: each pass can only raise, and no stack is higher than the leaves are many.
        for _ in 0..self.leaves.len() {
            let mut raised = false;
            for (stack, _) in &stacks {
                let mut tops: Vec<f64> = Vec::new();
                for (n, leaf) in stack.iter().enumerate() {
                    let Some(height) = heights.get_mut(*leaf) else { continue };
                    let foot = pile.foot(&stack[..n], &tops, *leaf);
                    if *height + 1e-9 < foot {
                        *height = foot;
                        raised = true;
                    }
                    tops.push(*height + pile.thick(*leaf));
                }
            }
            if !raised {
                break;
            }
        }
        let mut thickest: Option<Thickest> = None;
        let alone: Vec<usize> = (0..self.leaves.len()).collect();
        let single = alone.iter().filter_map(|leaf| {
            let (polygon, _) = self.sheet.faces.get(*leaf)?.as_ref()?;
            Some((std::slice::from_ref(leaf), polygon))
        });
        for (stack, polygon) in stacks.iter().map(|(s, p)| (s.as_slice(), *p)).chain(single) {
            let mm = pile.height(stack);
            if thickest.as_ref().is_none_or(|t| mm > t.mm + 1e-9) {
                let at = region_centroid(std::slice::from_ref(polygon)).unwrap_or(Point::ORIGIN);
                let panels = stack.iter().filter_map(|leaf| self.panel(*leaf)).collect();
                thickest = Some(Thickest { mm, at: pt(at.x, -at.y), panels });
            }
        }
        self.heights = heights;
        self.thickest = thickest;
    }

    /// Of a flat card: how thick it is where it is thinnest, mm; places smaller than [`SHARED_MM2`] are passed over.
    pub fn thinnest_mm(&self, assembly: &Assembly) -> Option<f64> {
        if !self.flat || self.contradiction.is_some() {
            return None;
        }
        let pile = Pile::of(self, assembly);
        let stacks = self.stacks();
        let large = |polygon: &Polygon| polygon.area() > SHARED_MM2;
        let stacked =
            stacks.iter().filter(|(_, polygon)| large(polygon)).map(|(stack, _)| pile.height(stack));
        let bare = (0..self.leaves.len()).filter(|leaf| {
            let Some(Some((polygon, _))) = self.sheet.faces.get(*leaf) else { return false };
            let covered = stacks.iter().filter(|(stack, _)| stack.contains(leaf));
            let covered: Vec<Polygon> = covered.map(|(_, polygon)| (*polygon).clone()).collect();
            difference(std::slice::from_ref(polygon), &covered).iter().any(large)
        });
        stacked.chain(bare.map(|leaf| pile.thick(leaf))).min_by(f64::total_cmp)
    }

    /// What lies over each other, from below, and where.
    fn stacks(&self) -> Vec<(Vec<usize>, &Polygon)> {
        let islands = self.sheet.islands.iter();
        islands
            .flat_map(|(leaves, shown)| shown.stacks.iter().map(move |stack| (leaves, stack)))
            .map(|(leaves, stack)| {
                let leaf = |face: &usize| leaves.get(*face).copied();
                (stack.faces.iter().filter_map(leaf).collect(), &stack.polygon)
            })
            .collect()
    }
}

/// How the leaves of a flat card lie on each other.
struct Pile {
    /// By leaf: its panel, and how thick its paper is.
    leaves: Vec<Option<(PanelId, f64)>>,
    /// Panels that foam holds apart, and how far.
    foams: Vec<(PanelId, PanelId, f64)>,
}

impl Pile {
    fn of(card: &Card, assembly: &Assembly) -> Self {
        let paper = |panel: PanelId| {
            let piece = assembly.panels.get(panel).and_then(|p| assembly.pieces.get(p.piece));
            piece.and_then(|p| assembly.papers.get(p.paper)).map_or(0.0, |p| p.caliper)
        };
        let leaf = |leaf: usize| card.panel(leaf).map(|panel| (panel, paper(panel)));
        let foam = |j: &crate::assembly::Joint| match &j.kind {
            JointKind::Fixed { placement, foam: true, .. } => Some((j.a, j.b, placement.raise)),
            _ => None,
        };
        Self {
            leaves: (0..card.leaves.len()).map(leaf).collect(),
            foams: assembly.joints.iter().filter_map(foam).collect(),
        }
    }

    fn panel(&self, leaf: usize) -> Option<PanelId> {
        self.leaves.get(leaf).copied().flatten().map(|(panel, _)| panel)
    }

    fn thick(&self, leaf: usize) -> f64 {
        self.leaves.get(leaf).copied().flatten().map_or(0.0, |(_, mm)| mm)
    }

    /// Where a leaf's underside lies: on the leaf below, and no nearer to a leaf it is foamed to than the foam is high.
    /// `tops` are the upper sides of the leaves below, in order.
    fn foot(&self, below: &[usize], tops: &[f64], leaf: usize) -> f64 {
        let panel = self.panel(leaf);
        let held_off = self.foams.iter().filter_map(|&(a, b, raise)| {
            let target = match (Some(a) == panel, Some(b) == panel) {
                (false, true) => a,
                (true, false) => b,
                _ => return None,
            };
            let at = below.iter().position(|l| self.panel(*l) == Some(target))?;
            Some(tops.get(at)? + raise)
        });
        held_off.fold(tops.last().copied().unwrap_or(0.0), f64::max)
    }

    fn height(&self, stack: &[usize]) -> f64 {
        let mut tops: Vec<f64> = Vec::new();
        for (n, leaf) in stack.iter().enumerate() {
            tops.push(self.foot(&stack[..n], &tops, *leaf) + self.thick(*leaf));
        }
        tops.last().copied().unwrap_or(0.0)
    }
}
