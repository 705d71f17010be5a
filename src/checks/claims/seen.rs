//! What is seen of a part or a print from before and from behind: exactly over every order of the layers where the card
//! lies flat, and by hidden surfaces where it stands open.

use super::Found;
use super::covers::Sight;
use super::measure::{panels_of, unknown};
use crate::assembly::claims::{PoseId, Thing};
use crate::assembly::{Face, PanelId, Print};
use crate::checks::Subject;
use crate::geometry::{Point, Polygon, Region, intersection, pt, region_area, union_all};
use crate::layers::hidden::{self, Camera, Leaf, Projected};
use crate::layers::{Card, CardSeen};
use crate::motion::{PoseState, Vec3};
use crate::quantity::Dimension;
use crate::quantity::tolerance::AREA_MM2;

/// Orders of the layers that are looked at before the question is given up.
const MOST_ORDERS: usize = 64;

/// Least and greatest share that is seen, over every order of the layers that the joints allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    pub least: f64,
    pub most: f64,
}

/// The share that is seen, of a part from the side that shows more of it. `Err` says in words why it is not known.
pub fn shares(subject: &Subject, thing: &Thing, pose: PoseId) -> Result<Shares, String> {
    let state = subject.states.get(pose).ok_or("the pose is not known")?;
    let card = subject.cards.get(pose).ok_or("the pose is not known")?;
    if state.fault.is_some() {
        return Err("the pose cannot be reached".into());
    }
    if !card.flat {
        let share = share_in_space(state, card, &wanted(subject, thing)?)?;
        return Ok(Shares { least: share, most: share });
    }
    let panel_of = |seen: &CardSeen| card.leaves.get(seen.leaf).map(|l| l.panel);
    let seen_in = |view: &[Vec<CardSeen>; 2], panels: &[PanelId], face: Face| -> Region {
        let shown = |s: &&CardSeen| {
            panel_of(s).is_some_and(|p| panels.contains(&p)) && s.front == (face == Face::Front)
        };
        view.iter().flatten().filter(shown).flat_map(|s| s.region.clone()).collect()
    };
    let of_thing: Vec<Lying> = wanted(subject, thing)?
        .iter()
        .map(|w| w.lying(state))
        .collect::<Option<_>>()
        .ok_or("nothing holds the part")?;
    let whole: f64 = of_thing.iter().map(|lying| region_area(&lying.area)).sum();
    if whole <= AREA_MM2 {
        return Err("nothing holds the part".into());
    }
    let panels: Vec<PanelId> = of_thing.iter().flat_map(|lying| lying.panels.iter().copied()).collect();
    let views = card
        .views(&panels, MOST_ORDERS)
        .ok_or("what is seen is known only of a card that lies flat with its layers in order")?;
    let share = |view: &[Vec<CardSeen>; 2]| {
        // A part is seen from the side that shows more of it; a print from its own.
        let of_side = |side: Face| {
            let seen = |lying: &Lying| {
                let shown = seen_in(view, &lying.panels, lying.face.unwrap_or(side));
                region_area(&intersection(&lying.area, &shown))
            };
            of_thing.iter().map(seen).sum::<f64>() / whole
        };
        of_side(Face::Front).max(of_side(Face::Back)).min(1.0)
    };
    let all: Vec<f64> = views.iter().map(share).collect();
    Ok(Shares {
        least: all.iter().copied().fold(f64::INFINITY, f64::min),
        most: all.iter().copied().fold(0.0, f64::max),
    })
}

/// Areas of panels, in the frames of their pieces, that are to be seen: on one face, or on either.
pub(super) struct Wanted {
    pub(super) areas: Vec<(PanelId, Region)>,
    pub(super) face: Option<Face>,
}

/// The same in the world's plane.
struct Lying {
    panels: Vec<PanelId>,
    face: Option<Face>,
    area: Region,
}

impl Wanted {
    fn lying(&self, state: &PoseState) -> Option<Lying> {
        let placed = self.areas.iter().flat_map(|(panel, area)| area.iter().map(|a| laid(state, *panel, a)));
        let area: Region = placed.collect::<Option<_>>()?;
        let panels = self.areas.iter().map(|(panel, _)| *panel).collect();
        Some(Lying { panels, face: self.face, area: union_all(&area) })
    }
}

/// A part is one thing; a picture that runs over several panels has a part on each.
pub(super) fn wanted(subject: &Subject, thing: &Thing) -> Result<Vec<Wanted>, String> {
    let assembly = subject.assembly;
    match thing {
        Thing::Part(part) => {
            let own = |panel: PanelId| Some((panel, vec![assembly.panels.get(panel)?.polygon.clone()]));
            let areas = panels_of(assembly, part).into_iter().filter_map(own).collect();
            Ok(vec![Wanted { areas, face: None }])
        }
        Thing::Print(id) => {
            let print = assembly.prints.get(*id).ok_or("the print is not known")?;
            let parts = assembly.prints.iter().filter(|p| p.name == print.name);
            let one = |part: &Print| Wanted {
                areas: vec![(part.panel, part.region(assembly))],
                face: Some(part.face),
            };
            Ok(parts.map(one).collect())
        }
    }
}

/// An area of a panel in the world's plane, y up.
pub(super) fn laid(state: &PoseState, panel: PanelId, polygon: &Polygon) -> Option<Polygon> {
    let place = |p: &Point| state.point(panel, *p).map(|q| pt(q.x, q.y));
    let ring = |ring: &Vec<Point>| ring.iter().map(place).collect::<Option<Vec<_>>>();
    let holes = polygon.holes.iter().map(ring).collect::<Option<Vec<_>>>()?;
    Some(Polygon::new(ring(&polygon.outer)?, holes))
}

/// The leaves of a card that stands open, where they are in space.
pub(super) struct Standing {
    /// The number of each in the card, and its panel.
    of: Vec<(usize, PanelId)>,
    leaves: Vec<Leaf>,
}

impl Standing {
    pub(super) fn of(state: &PoseState, card: &Card) -> Self {
        let (mut of, mut leaves) = (Vec::new(), Vec::new());
        for (number, leaf) in card.leaves.iter().enumerate() {
            if let Some(frame) = state.frames.get(leaf.panel).copied().flatten() {
                of.push((number, leaf.panel));
                leaves.push(Leaf { frame, polygon: leaf.polygon.clone() });
            }
        }
        Self { of, leaves }
    }

    /// What of each falls on a drawing, and what of that is not covered, in the order of [`Standing::parts`].
    pub(super) fn seen(&self, card: &Card, camera: &Camera) -> Vec<(Projected, Region)> {
        let nearer = |i: usize, j: usize| {
            let (Some((a, _)), Some((b, _)), Some(leaf)) =
                (self.of.get(i), self.of.get(j), self.leaves.get(i))
            else {
                return false;
            };
            card.is_nearer(*a, *b, camera.direction(leaf.frame.front()).z > 0.0)
        };
        hidden::seen(&self.leaves, camera, nearer)
    }

    /// Every leaf with its panel.
    pub(super) fn parts(&self) -> impl Iterator<Item = (&Leaf, PanelId)> {
        self.leaves.iter().zip(self.of.iter().map(|(_, panel)| *panel))
    }
}

/// Of a card that stands open: the share of the area as it falls on a drawing from straight before or straight behind,
/// whichever shows more. What is seen edge-on is not seen.
fn share_in_space(state: &PoseState, card: &Card, of: &[Wanted]) -> Result<f64, String> {
    let standing = Standing::of(state, card);
    let mut best: Option<f64> = None;
    for camera in [Camera::front(), Camera::back()] {
        let all = standing.seen(card, &camera);
        let (mut whole, mut free) = (0.0, 0.0);
        for (areas, face) in of.iter().map(|w| (&w.areas, w.face)) {
            for (panel, area) in areas {
                for ((projected, region), (leaf, _)) in
                    all.iter().zip(standing.parts()).filter(|(_, (_, of))| of == panel)
                {
                    let place = |p: Point| camera.project(leaf.frame.point(Vec3::new(p.x, -p.y, 0.0))).0;
                    let here: Region = area.iter().map(|a| a.mapped(place)).collect();
                    whole += region_area(&intersection(&here, std::slice::from_ref(&projected.polygon)));
                    if face.is_none_or(|face| (face == Face::Front) == projected.front) {
                        free += region_area(&intersection(&here, region));
                    }
                }
            }
        }
        if whole > AREA_MM2 {
            best = Some(best.unwrap_or(0.0).max((free / whole).min(1.0)));
        }
    }
    best.ok_or_else(|| "it stands edge-on, or nothing holds it".into())
}

/// Shares this close are one.
const SAME_SHARE: f64 = 0.005;

pub fn share(subject: &Subject, thing: &Thing, pose: PoseId) -> Found {
    match shares(subject, thing, pose) {
        Ok(s) if s.most - s.least > SAME_SHARE => Found::Unknown(
            "the layers may lie in more than one order, and it is seen differently in each".into(),
        ),
        Ok(s) => {
            let sight = Sight::of(subject, thing, pose).filter(|_| !is_seen(&s));
            let governs = sight.map(|sight| sight.labels("covers it")).unwrap_or_default();
            Found::Number { value: s.least, dimension: Dimension::Number, governs }
        }
        Err(why) => unknown(subject, pose, why),
    }
}

/// Nothing of it is seen, in any order.
pub fn is_hidden(shares: &Shares) -> bool {
    shares.most <= SAME_SHARE
}

/// All of it is seen, in every order.
pub fn is_seen(shares: &Shares) -> bool {
    shares.least >= 1.0 - SAME_SHARE
}
