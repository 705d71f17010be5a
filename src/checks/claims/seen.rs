//! What is seen of a part or a print when the card lies flat.

use super::Found;
use super::measure::{panels_of, unknown};
use crate::assembly::claims::{PoseId, Thing};
use crate::assembly::{Face, PanelId, Print};
use crate::checks::Subject;
use crate::geometry::{Point, Polygon, Region, intersection, pt, region_area, union_all};
use crate::layers::{self, CardSeen};
use crate::motion::PoseState;
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
    let views = layers::views(subject.assembly, state, MOST_ORDERS)
        .ok_or("what is seen is known only of a card that lies flat with its layers in order")?;
    let leaves = &subject.cards.get(pose).ok_or("the pose is not known")?.leaves;
    let panel_of = |seen: &CardSeen| leaves.get(seen.leaf).map(|l| l.panel);
    let seen_in = |view: &[Vec<CardSeen>; 2], panels: &[PanelId], face: Face| -> Region {
        let shown = |s: &&CardSeen| {
            panel_of(s).is_some_and(|p| panels.contains(&p)) && s.front == (face == Face::Front)
        };
        view.iter().flatten().filter(shown).flat_map(|s| s.region.clone()).collect()
    };
    // A part is seen from the side that shows more of it; a print from its own, on every panel that it covers.
    let sides: Vec<Vec<Wanted>> = match thing {
        Thing::Part(part) => {
            let panels = panels_of(subject.assembly, part);
            let lying: Region = panels
                .iter()
                .filter_map(|&p| laid(state, p, &subject.assembly.panels.get(p)?.polygon))
                .collect();
            let area = union_all(&lying);
            let side = |face| vec![Wanted { panels: panels.clone(), face, area: area.clone() }];
            vec![side(Face::Front), side(Face::Back)]
        }
        Thing::Print(id) => {
            let print = subject.assembly.prints.get(*id).ok_or("the print is not known")?;
            let parts = subject.assembly.prints.iter().filter(|p| p.name == print.name);
            let wanted = |part: &Print| {
                let lying = part.region(subject.assembly);
                let lying =
                    lying.iter().map(|area| laid(state, part.panel, area)).collect::<Option<Region>>();
                let area = lying.ok_or("nothing holds the print")?;
                Ok(Wanted { panels: vec![part.panel], face: part.face, area })
            };
            vec![parts.map(wanted).collect::<Result<Vec<Wanted>, String>>()?]
        }
    };
    let whole = |side: &[Wanted]| side.iter().map(|w| region_area(&w.area)).sum::<f64>();
    if sides.iter().any(|side| whole(side) <= AREA_MM2) {
        return Err("nothing holds the part".into());
    }
    let share = |view: &[Vec<CardSeen>; 2]| {
        let of_side = |side: &Vec<Wanted>| {
            let seen = |w: &Wanted| region_area(&intersection(&w.area, &seen_in(view, &w.panels, w.face)));
            side.iter().map(seen).sum::<f64>() / whole(side)
        };
        sides.iter().map(of_side).fold(0.0, f64::max).min(1.0)
    };
    let all: Vec<f64> = views.iter().map(share).collect();
    Ok(Shares {
        least: all.iter().copied().fold(f64::INFINITY, f64::min),
        most: all.iter().copied().fold(0.0, f64::max),
    })
}

/// Something that is to be seen on some panels from one side, in the world's plane.
struct Wanted {
    panels: Vec<PanelId>,
    face: Face,
    area: Region,
}

/// An area of a panel in the world's plane, y up.
fn laid(state: &PoseState, panel: PanelId, polygon: &Polygon) -> Option<Polygon> {
    let place = |p: &Point| state.point(panel, *p).map(|q| pt(q.x, q.y));
    let ring = |ring: &Vec<Point>| ring.iter().map(place).collect::<Option<Vec<_>>>();
    let holes = polygon.holes.iter().map(ring).collect::<Option<Vec<_>>>()?;
    Some(Polygon::new(ring(&polygon.outer)?, holes))
}

/// Shares this close are one.
const SAME_SHARE: f64 = 0.005;

pub fn share(subject: &Subject, thing: &Thing, pose: PoseId) -> Found {
    match shares(subject, thing, pose) {
        Ok(s) if s.most - s.least > SAME_SHARE => Found::Unknown(
            "the layers may lie in more than one order, and it is seen differently in each".into(),
        ),
        Ok(s) => Found::number(s.least, Dimension::Number),
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
