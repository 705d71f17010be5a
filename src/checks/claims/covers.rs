//! From which side a part or a print is seen, and what covers the rest of it there: the words for a claim that fails.

use super::seen::{Standing, Wanted, laid, wanted};
use crate::assembly::claims::{PoseId, Thing};
use crate::assembly::{Face, PanelId};
use crate::checks::Subject;
use crate::checks::stuck::panel_name;
use crate::findings::{Label, Named};
use crate::geometry::{Point, Region, intersection, region_area};
use crate::layers::Card;
use crate::layers::hidden::Camera;
use crate::motion::{PoseState, Vec3};

/// Of what covers a thing, what covers less of it than this share is not told, and no more parts than these.
const LEAST_SHARE: f64 = 0.02;
const MOST_TOLD: usize = 3;

/// The side that shows most of a thing, and what covers the rest there, most first.
pub struct Sight {
    side: Face,
    covers: Vec<Named>,
}

impl Sight {
    /// `None` where nothing is known of it.
    pub fn of(subject: &Subject, thing: &Thing, pose: PoseId) -> Option<Self> {
        let (state, card) = (subject.states.get(pose)?, subject.cards.get(pose)?);
        let things = wanted(subject, thing).ok()?;
        let sides = [Face::Front, Face::Back].map(|side| {
            let there = if card.flat {
                lying(state, card, &things, side)
            } else {
                standing(state, card, &things, side)
            };
            (side, there)
        });
        let best = sides.into_iter().filter_map(|(side, there)| Some((side, there?)));
        // Of two sides that show as much, or nothing, the front one is spoken of.
        let (side, there) = best.reduce(|a, b| if b.1.free > a.1.free { b } else { a })?;
        let mut covers: Vec<(PanelId, f64)> =
            there.over.into_iter().filter(|(_, area)| *area >= LEAST_SHARE * there.whole).collect();
        covers.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let covers =
            covers.into_iter().take(MOST_TOLD).map(|(p, _)| panel_name(subject.assembly, p)).collect();
        Some(Self { side, covers })
    }

    pub fn word(&self) -> &'static str {
        match self.side {
            Face::Front => "from the front",
            Face::Back => "from behind",
        }
    }

    /// Labels for what covers it.
    pub fn labels(&self, text: &str) -> Vec<Label> {
        self.covers.iter().map(|c| Label { span: c.span, text: format!("`{}` {text}", c.name) }).collect()
    }
}

/// What one side shows of a thing.
struct There {
    whole: f64,
    free: f64,
    /// By panel, how much of it it covers, mm².
    over: Vec<(PanelId, f64)>,
}

impl There {
    fn covered(&mut self, panel: PanelId, area: f64) {
        match self.over.iter_mut().find(|(p, _)| *p == panel) {
            Some((_, sum)) => *sum += area,
            None => self.over.push((panel, area)),
        }
    }
}

/// Of a card that lies flat. Nothing from the side that a print looks away from.
fn lying(state: &PoseState, card: &Card, things: &[Wanted], side: Face) -> Option<There> {
    let view = card.seen.get(usize::from(side == Face::Back))?;
    let mut there = There { whole: 0.0, free: 0.0, over: Vec::new() };
    for thing in things {
        for (panel, area) in &thing.areas {
            let up = state.frames.get(*panel).copied().flatten()?.front().z > 0.0;
            // The side to which the face looks: its own when it lies printed side up.
            if thing.face.is_some_and(|face| (face == side) != up) {
                continue;
            }
            let area: Region = area.iter().map(|a| laid(state, *panel, a)).collect::<Option<_>>()?;
            there.whole += region_area(&area);
            for seen in view {
                let Some(leaf) = card.leaves.get(seen.leaf) else { continue };
                let shared = region_area(&intersection(&area, &seen.region));
                if leaf.panel == *panel {
                    there.free += shared;
                } else if !thing.areas.iter().any(|(own, _)| *own == leaf.panel) {
                    there.covered(leaf.panel, shared);
                }
            }
        }
    }
    (there.whole > 0.0).then_some(there)
}

/// Of a card that stands open.
fn standing(state: &PoseState, card: &Card, things: &[Wanted], side: Face) -> Option<There> {
    let camera = if side == Face::Front { Camera::front() } else { Camera::back() };
    let standing = Standing::of(state, card);
    let all = standing.seen(card, &camera);
    let mut there = There { whole: 0.0, free: 0.0, over: Vec::new() };
    for thing in things {
        for (panel, area) in &thing.areas {
            let own = all.iter().zip(standing.parts()).find(|(_, (_, of))| of == panel);
            let Some(((projected, _), (leaf, _))) = own else { continue };
            if thing.face.is_some_and(|face| (face == Face::Front) != projected.front) {
                continue;
            }
            let place = |p: Point| camera.project(leaf.frame.point(Vec3::new(p.x, -p.y, 0.0))).0;
            let here: Region = area.iter().map(|a| a.mapped(place)).collect();
            there.whole += region_area(&here);
            for ((_, region), (_, other)) in all.iter().zip(standing.parts()) {
                let shared = region_area(&intersection(&here, region));
                if other == *panel {
                    there.free += shared;
                } else if !thing.areas.iter().any(|(own, _)| *own == other) {
                    there.covered(other, shared);
                }
            }
        }
    }
    (there.whole > 0.0).then_some(there)
}
