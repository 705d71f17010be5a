//! Joints that move or only hold: slides through slots, slides on a face, brads, tucks.

use super::built::{Located, side};
use super::glue::part_name;
use super::lowering::{Lowering, Plane};
use super::model::*;
use super::outline::written;
use super::place::{Ground, Subject, Usual, place, side_towards};
use crate::findings::{Findings, Named, Rewrite, catalogue as found};
use crate::geometry::{
    Isometry, Point, Polygon, Rect, Region, Segment, interiors_intersect, intersection, pt, travel_to_first,
    union_all, width_profile,
};
use crate::meaning::design::{self, CutoutOf, FaceOf, FaceWord, Feature, PartOf, Place, Quantity};
use crate::quantity::Rounding;
use crate::quantity::tolerance::{CLOSURE_MM, COINCIDENT_MM, HOLES_ALIKE_MM};

/// A mend leaves so much of a part in its slots at the end of its way, mm.
const STAYS_IN_MM: f64 = 3.0;
/// Parts of an outline that a slide is led out of, one after the other.
const MOST_PARTS: usize = 8;

/// A slide's statement in parts.
struct Slid<'a> {
    name: &'a str,
    span: crate::source::Span,
    part: &'a PartOf,
    place: &'a [Place],
    stops: Option<(Quantity, Quantity)>,
}

impl Lowering<'_> {
    pub fn moving_joints(&mut self, slots: &mut [Option<Joint>]) {
        let design = self.design;
        for (index, joint) in design.joints.iter().enumerate() {
            let lowered = match &joint.kind {
                design::JointKind::Glue(_) | design::JointKind::Strap { .. } => continue,
                design::JointKind::SlideThrough { part, slots, place, stops } => {
                    let slid = Slid { name: &joint.name, span: joint.span, part, place, stops: *stops };
                    self.slide_through(&slid, slots)
                }
                design::JointKind::SlideOn { part, on, between, under, around, towards, place, stops } => {
                    let slid = Slid { name: &joint.name, span: joint.span, part, place, stops: *stops };
                    self.slide_on(&slid, on, *between, (under, around), *towards)
                }
                design::JointKind::Brad { .. } => self.brad(joint),
                design::JointKind::Tuck { part, into, .. } => self.tuck(joint, part, into),
            };
            match lowered {
                Some(lowered) => {
                    self.hold(&lowered);
                    slots[index] = Some(lowered);
                }
                None => self.assembly.missing.push(joint.name.clone()),
            }
        }
    }

    fn hold(&mut self, joint: &Joint) {
        let piece = |panel: PanelId| self.assembly.panels.get(panel).map(|p| p.piece);
        if let (Some(a), Some(b)) = (piece(joint.a), piece(joint.b))
            && !matches!(joint.kind, JointKind::Tuck { .. })
        {
            self.held.join(a, b);
        }
    }

    fn part_plane(&mut self, part: &PartOf) -> Option<Plane> {
        let face = FaceOf {
            side: FaceWord::Front,
            piece: part.piece,
            panel: part.panel.clone(),
            span: part.span,
            side_span: None,
        };
        self.plane(&face)
    }

    fn cutout(&self, of: &CutoutOf) -> Option<(PieceId, usize, &Cutout)> {
        let piece = self.id(of.piece)?;
        let index = self.built.get(piece)?.cutout(&of.name)?;
        Some((piece, index, self.assembly.pieces.get(piece)?.cutouts.get(index)?))
    }

    /// Places a moving part on a panel; what the clauses leave open is filled in by `usual`.
    fn place_moving(
        &mut self,
        slid: &Slid,
        part: &Plane,
        target: &Plane,
        usual: &[Usual],
    ) -> Option<Isometry> {
        let mut heard = Findings::speaking(self.sink.say);
        let end = slid.place.last().map_or(slid.span, |clause| clause.span).after();
        let placed = {
            let own = |f: &Feature| -> Option<Located> { self.locate(f, part.piece, Some(part.local)) };
            let edge = |f: &Feature| -> Option<Segment> { self.built.get(self.id(f.piece)?)?.real_edge(f) };
            let there = |f: &Feature| self.locate(f, target.piece, Some(target.local));
            let subject = Subject {
                points: part.region.outer.clone(),
                by_centre: false,
                locate: &own,
                edge: &edge,
                name: part_name(self, part),
                span: slid.part.span,
                write_at: (end, if slid.place.is_empty() { ": " } else { ", " }),
            };
            let ground = Ground { bounds: target.bounds, locate: &there, name: part_name(self, target) };
            place(slid.place, &subject, &ground, usual, &mut heard)
        };
        self.sink.extend(heard);
        Some(placed?.isometry())
    }

    fn slide_through(&mut self, slid: &Slid, slots: &[CutoutOf]) -> Option<Joint> {
        let part = self.part_plane(slid.part)?;
        let mut lines = Vec::new();
        let mut indices = Vec::new();
        let mut home = None;
        for slot in slots {
            let (piece, index, cutout) = self.cutout(slot)?;
            let bounds = cutout.contour.as_ref().map(|c| c.bounds());
            let line = match bounds {
                // A window lets a part through across its width.
                Some(b) if cutout.from == cutout.to => {
                    Segment::new(pt(b.min.x, b.centre().y), pt(b.max.x, b.centre().y))
                }
                _ => Segment::new(cutout.from, cutout.to),
            };
            home = home.or(Some((piece, cutout.panel)));
            lines.push((line, cutout.span, slot.span));
            indices.push(index);
        }
        let (piece, panel) = home?;
        let local = panel.checked_sub(*self.first_panel.get(piece)?)?;
        let home = self.assembly.panels.get(panel)?;
        let (region, bounds) = (home.polygon.clone(), home.bounds);
        let target =
            Plane { piece, local, panel, face: Face::Front, region, bounds, own: Isometry::IDENTITY };
        let first = lines.first()?.0;
        let direction = upward(first.vector().unit()?.turned_left());
        let middle =
            lines.iter().fold(Point::ORIGIN, |sum, (line, ..)| sum + line.midpoint()) / lines.len() as f64;
        let usual = [(first.vector().unit()?, middle), (direction, middle)];
        let mut motion = self.place_moving(slid, &part, &target, &usual)?;
        let tongue = self.with_stops(&part, &motion, direction);
        let mut range = (f64::NEG_INFINITY, f64::INFINITY);
        for (line, span, used) in &lines {
            let Some(free) = free_run(&tongue, line, direction) else {
                let widest = narrowest(&tongue, direction);
                self.sink.report(found::TongueWiderThanSlot {
                    part: part_name(self, &part),
                    place: slid.part.span,
                    slot: *used,
                    defined: *span,
                    wide: widest,
                    length: line.length(),
                });
                return None;
            };
            range = (range.0.max(free.0), range.1.min(free.1));
        }
        let placed_by_author = slid.place.iter().any(|c| !matches!(c.kind, design::PlaceKind::Turned(_)));
        if let Some((from, to)) = slid.stops {
            let openings = self.assembly.pieces.get(piece).map(|p| p.cutouts.as_slice()).unwrap_or_default();
            let slots = lines.iter().zip(&indices).filter_map(|((line, span, _), index)| {
                let slot = Named { name: openings.get(*index)?.name.clone(), span: *span };
                Some((slot, line.length(), free_run(&tongue, line, direction)?))
            });
            let slots: Vec<_> = slots.collect();
            // What comes to its shoulder first does not slip out.
            if !self.beyond_shoulder(slid, &part, &slots, (from, to)) {
                let lies = part.region.transformed(&motion);
                let ends = extent(lies.vertices(), direction);
                let at = |line: &Segment| direction.dot(line.midpoint());
                let held = lines
                    .iter()
                    .zip(&slots)
                    .map(|((line, ..), (slot, ..))| (slot, (at(line) - ends.1, at(line) - ends.0)));
                self.slips_out(slid, &part, held.collect(), (from, to));
            }
            range = (from.value(), to.value());
        } else if !placed_by_author && range.0.is_finite() {
            // Nothing says where it starts: at its lower stop.
            motion = motion.then(&Isometry::translation(direction * range.0));
            range = (0.0, range.1 - range.0);
        }
        let kind = JointKind::Slide {
            placement: Placement::carrying(&motion, Face::Front, 0.0),
            direction,
            range,
            ends: (side_towards(-direction), side_towards(direction)),
            stops: stops_of(slid.stops),
            how: SlideHow::Through { piece, cutouts: indices },
        };
        Some(self.joint_between(slid.name, panel, part.panel, kind, slid.span))
    }

    /// A tongue where a slide lays it, as wide as what is stuck on it where the glue is: such a part does not go through a
    /// slot either. What hangs over beyond its glue stays on its side of the slots.
    fn with_stops(&self, part: &Plane, motion: &Isometry, direction: Point) -> Polygon {
        let tongue = part.region.transformed(motion);
        let stuck = self.assembly.joints.iter().filter_map(|joint| {
            let JointKind::Fixed { placement, area, closing: false, .. } = &joint.kind else { return None };
            let other = self.assembly.panels.get(joint.b).filter(|_| joint.a == part.panel)?;
            let glued = area.iter().flat_map(|a| a.vertices()).map(|p| motion.apply(p));
            let (from, to) = extent(glued, direction);
            let lies = other.polygon.transformed(&placement.isometry().then(motion));
            // All that lies as far along the way as the glue does.
            let reach = lies.bounds().width() + lies.bounds().height();
            let centre = direction * (0.5 * (from + to) - direction.dot(lies.bounds().centre()))
                + lies.bounds().centre();
            let (half, wide) = (direction * (0.5 * (to - from)), direction.turned_left() * reach);
            let band = Polygon::simple(vec![
                centre - half - wide,
                centre + half - wide,
                centre + half + wide,
                centre - half + wide,
            ]);
            (to > from).then(|| intersection(&[lies], &[band]))
        });
        let all: Vec<Polygon> = std::iter::once(tongue.clone()).chain(stuck.flatten()).collect();
        // What is stuck on it touches it, so that the whole is one.
        match union_all(&all).as_slice() {
            [whole] => whole.clone(),
            _ => tongue,
        }
    }

    /// A stated stop beyond the place where the part grows wider than one of its slots is long, if it was told; each slot
    /// comes with its length and the lowest and highest value that it allows.
    fn beyond_shoulder(
        &mut self,
        slid: &Slid,
        part: &Plane,
        slots: &[(Named, f64, (f64, f64))],
        (from, to): (Quantity, Quantity),
    ) -> bool {
        let high = slots.iter().min_by(|a, b| a.2.1.total_cmp(&b.2.1)).map(|slot| (slot, slot.2.1));
        let low = slots.iter().max_by(|a, b| a.2.0.total_cmp(&b.2.0)).map(|slot| (slot, slot.2.0));
        let too_high = high.filter(|(_, at)| to.value() > at + CLOSURE_MM).map(|h| (to, h, Rounding::Down));
        let too_low = low.filter(|(_, at)| from.value() < at - CLOSURE_MM).map(|l| (from, l, Rounding::Up));
        let Some((stated, ((slot, length, _), shoulder), rounding)) = too_high.or(too_low) else {
            return false;
        };
        let fault = found::StopBeyondShoulder {
            part: Named { name: part_name(self, part), span: slid.part.span },
            slot: slot.clone(),
            length: *length,
            stated: stated.value(),
            shoulder,
            mend: written(&stated).literal.map(|literal| Rewrite { literal, value: shoulder, rounding }),
        };
        self.sink.report(fault);
        true
    }

    /// A stated stop at which an end of the part has come out of a slot; each slot comes with the values between which
    /// the part lies in it.
    fn slips_out(
        &mut self,
        slid: &Slid,
        part: &Plane,
        held: Vec<(&Named, (f64, f64))>,
        (from, to): (Quantity, Quantity),
    ) {
        let high = held.iter().min_by(|a, b| a.1.1.total_cmp(&b.1.1)).map(|(slot, held)| (to, *slot, held.1));
        let low =
            held.iter().max_by(|a, b| a.1.0.total_cmp(&b.1.0)).map(|(slot, held)| (from, *slot, held.0));
        let too_high = high.filter(|(stated, _, at)| stated.value() > at - CLOSURE_MM);
        let too_low = low.filter(|(stated, _, at)| stated.value() < at + CLOSURE_MM);
        let (found, inwards, rounding) = match (too_high, too_low) {
            // Where it is out of a slot all the way, it was never in it.
            (Some(high), _) if high.2 > from.value() => (high, -STAYS_IN_MM, Rounding::Down),
            (_, Some(low)) if low.2 < to.value() => (low, STAYS_IN_MM, Rounding::Up),
            _ => return,
        };
        let (stated, slot, leaves) = found;
        let value = leaves + inwards;
        let mend = written(&stated).literal.filter(|_| value > from.value() && value < to.value());
        self.sink.report(found::SlipsOut {
            part: Named { name: part_name(self, part), span: slid.part.span },
            slot: slot.clone(),
            stated: stated.value(),
            leaves,
            mend: mend.map(|literal| Rewrite { literal, value, rounding }),
        });
    }

    fn slide_on(
        &mut self,
        slid: &Slid,
        on: &FaceOf,
        between: Option<(design::PieceIndex, design::PieceIndex)>,
        (under, around): (&[design::PieceIndex], &[design::PieceIndex]),
        towards: Option<design::SideWord>,
    ) -> Option<Joint> {
        let (part, target) = (self.part_plane(slid.part)?, self.plane(on)?);
        let end = side(towards?);
        let direction = outward(end);
        let mut usual = Vec::new();
        if let Some((a, b)) = between {
            let centre = |piece: design::PieceIndex| -> Option<Point> {
                let id = self.id(piece)?;
                let map = self.flat_map(id, target.piece)?;
                Some(map.apply(self.built.get(id)?.body.centre()))
            };
            if let (Some(a), Some(b)) = (centre(a), centre(b)) {
                usual.push((direction.turned_right(), a.midpoint(b)));
            }
        }
        let motion = self.place_moving(slid, &part, &target, &usual)?;
        let around: Vec<PieceId> = around.iter().filter_map(|&p| self.id(p)).collect();
        let under = under.iter().filter_map(|&p| self.id(p)).chain(around.iter().copied());
        let under: Vec<PieceId> = under.collect();
        let mut exempt = under.clone();
        exempt.push(part.piece);
        let mut obstacles = self.stuck_on(&target, &exempt);
        let moving = part.region.transformed(&motion);
        if let Some((a, b)) = between
            && self.wider_than_way(slid, &part, &moving, direction, [a, b], &obstacles)
        {
            return None;
        }
        let within = if slid.stops.is_none() { begins_within(&moving, direction, &obstacles) } else { None };
        if let Some(within) = &within {
            self.begins_blocked(slid, &part, within);
            // It is stopped towards that one, and as free the other way as if it began beside it.
            obstacles.retain(|(panel, _)| *panel != within.obstacle);
        }
        let obstacles: Vec<Polygon> = obstacles.into_iter().map(|(_, polygon)| polygon).collect();
        let reach = |way: Point| {
            if within.as_ref().is_some_and(|w| w.out.dot(way) < 0.0) {
                return 0.0;
            }
            travel_to_first(&moving, way, &obstacles, COINCIDENT_MM).map_or(f64::INFINITY, |met| met.0)
        };
        let range = match slid.stops {
            Some((from, to)) => (from.value(), to.value()),
            None => (-reach(-direction), reach(direction)),
        };
        let kind = JointKind::Slide {
            placement: Placement::carrying(&motion, target.face, 0.0),
            direction,
            range,
            ends: (end.opposite(), end),
            stops: stops_of(slid.stops),
            how: SlideHow::On { under, around },
        };
        Some(self.joint_between(slid.name, target.panel, part.panel, kind, slid.span))
    }

    /// A part that lies over both of its guides: what is between them across the way is too narrow for it.
    fn wider_than_way(
        &mut self,
        slid: &Slid,
        part: &Plane,
        moving: &Polygon,
        direction: Point,
        guides: [design::PieceIndex; 2],
        stuck: &[(PanelId, Polygon)],
    ) -> bool {
        let across = direction.turned_right();
        let piece_of = |panel: &PanelId| self.assembly.panels.get(*panel).map(|p| p.piece);
        let lies = |guide: design::PieceIndex| -> Option<(Named, (f64, f64), Region)> {
            let id = self.id(guide)?;
            let (panel, polygon) = stuck.iter().find(|(panel, _)| piece_of(panel) == Some(id))?;
            let over = intersection(std::slice::from_ref(moving), std::slice::from_ref(polygon));
            let joint = self.assembly.joints.iter().find(|joint| joint.b == *panel)?;
            let name = self.assembly.panel_name(*panel);
            Some((Named { name, span: joint.span }, extent(polygon.vertices(), across), over))
        };
        let (Some((one, a, over_a)), Some((other, b, over_b))) = (lies(guides[0]), lies(guides[1])) else {
            return false;
        };
        let deep = |over: &Region| {
            let (low, high) = extent(over.iter().flat_map(|p| p.vertices()), across);
            (high - low).max(0.0)
        };
        let (on_a, on_b) = (deep(&over_a), deep(&over_b));
        let way = (a.0 - b.1).max(b.0 - a.1);
        if on_a <= COINCIDENT_MM || on_b <= COINCIDENT_MM || way <= 0.0 {
            return false;
        }
        self.sink.report(found::WiderThanWay {
            part: Named { name: part_name(self, part), span: slid.part.span },
            guides: [one, other],
            wide: way + on_a + on_b,
            way,
        });
        true
    }

    fn begins_blocked(&mut self, slid: &Slid, part: &Plane, &Within { obstacle, back, .. }: &Within) {
        let readings = slid.place.iter().filter_map(|clause| match &clause.kind {
            design::PlaceKind::Reading { at, .. } => Some(at.value),
            _ => None,
        });
        // Which reading runs along the way, and which way it counts, comes out when the values are tried.
        let rewrites =
            readings.filter_map(|q| q.literal.map(|literal| (literal, q.value()))).flat_map(
                |(literal, at)| {
                    [(at + back, Rounding::Up), (at - back, Rounding::Down)]
                        .map(|(value, rounding)| Rewrite { literal, value, rounding })
                },
            );
        let name = self.assembly.panel_name(obstacle);
        let span = self.assembly.panels.get(obstacle).map_or(slid.span, |p| p.span);
        self.sink.report(found::SlideBeginsBlocked {
            part: part_name(self, part),
            place: slid.place.first().map_or(slid.span, |clause| clause.span),
            obstacle: Named { name, span },
            back,
            rewrites: rewrites.collect(),
        });
    }

    /// What lies stuck on a face, in the frame of its piece.
    fn stuck_on(&self, target: &Plane, exempt: &[PieceId]) -> Vec<(PanelId, Polygon)> {
        let on_face = |joint: &&Joint| match &joint.kind {
            JointKind::Fixed { placement, closing: false, .. } => {
                joint.a == target.panel && placement.side == target.face
            }
            _ => false,
        };
        let polygon = |joint: &Joint| {
            let panel = self.assembly.panels.get(joint.b)?;
            let JointKind::Fixed { placement, .. } = &joint.kind else { return None };
            let lies = || (joint.b, panel.polygon.transformed(&placement.isometry()));
            (!exempt.contains(&panel.piece)).then(lies)
        };
        self.assembly.joints.iter().filter(on_face).filter_map(polygon).collect()
    }

    fn brad(&mut self, joint: &design::Joint) -> Option<Joint> {
        let design::JointKind::Brad { holes, behind, turned, stops, apart } = &joint.kind else {
            return None;
        };
        let (turning, holding) = (holes.first()?, holes.last()?);
        let hole = |of: &CutoutOf| {
            let (_, _, cutout) = self.cutout(of)?;
            Some((cutout.panel, cutout.centre, cutout.length.min(cutout.width), cutout.span))
        };
        let (part, part_centre, part_hole, part_span) = hole(turning)?;
        let (target, centre, hole_size, span) = hole(holding)?;
        let middle = holes.get(1..holes.len().saturating_sub(1)).unwrap_or_default();
        let between = middle.iter().filter_map(|of| hole(of).map(|(panel, at, ..)| (panel, at))).collect();
        if (part_hole - hole_size).abs() > HOLES_ALIKE_MM {
            self.sink.report(found::HoleSizesDiffer {
                brad: joint.name.clone(),
                first: (turning.span, part_span, part_hole),
                second: (holding.span, span, hole_size),
            });
        }
        let side = if *behind { Face::Back } else { Face::Front };
        let degrees = turned.map_or(0.0, |angle| angle.value());
        let turn = Isometry::rotation_deg(Point::ORIGIN, degrees);
        let shift = centre - turn.apply(part_centre);
        let kind = JointKind::Pin {
            placement: Placement {
                turned: degrees,
                flipped: false,
                shift,
                side,
                raise: apart.map_or(0.0, |a| a.value()),
            },
            centre,
            part_centre,
            range: stops.map(|(from, to)| (from.value(), to.value())),
            stops: stops_of(*stops),
            holes: (hole_size, part_hole),
            between,
        };
        Some(self.joint_between(&joint.name, target, part, kind, joint.span))
    }

    fn tuck(&mut self, joint: &design::Joint, part: &PartOf, into: &CutoutOf) -> Option<Joint> {
        let plane = self.part_plane(part)?;
        let (piece, cutout, opening) = self.cutout(into)?;
        let home = opening.panel;
        Some(self.joint_between(
            &joint.name,
            home,
            plane.panel,
            JointKind::Tuck { cutout, piece },
            joint.span,
        ))
    }
}

/// What a sliding part lies over where it begins.
struct Within {
    obstacle: PanelId,
    /// The unit vector by which it comes out of it sooner, and how far it has to go, mm.
    out: Point,
    back: f64,
}

/// Of what a part that slides along `direction` lies over where it begins, the one that it is deepest in.
fn begins_within(moving: &Polygon, direction: Point, obstacles: &[(PanelId, Polygon)]) -> Option<Within> {
    let way_out = |obstacle: &Polygon, way: Point| {
        let mut gone = 0.0;
        // Between hollow outlines it may come out of one part and lie in another.
        for _ in 0..MOST_PARTS {
            let here = moving.translated(way * gone);
            if !interiors_intersect(&here, obstacle, COINCIDENT_MM) {
                break;
            }
            let shared = intersection(std::slice::from_ref(&here), std::slice::from_ref(obstacle));
            let along = || shared.iter().flat_map(|part| part.outer.iter().map(|p| p.dot(way)));
            let (low, high) =
                (along().fold(f64::INFINITY, f64::min), along().fold(f64::NEG_INFINITY, f64::max));
            gone += (high - low).max(COINCIDENT_MM);
        }
        gone
    };
    let within =
        obstacles.iter().filter(|(_, o)| interiors_intersect(moving, o, COINCIDENT_MM)).map(|(panel, o)| {
            let (on, back) = (way_out(o, direction), way_out(o, -direction));
            let (out, back) = if on < back { (direction, on) } else { (-direction, back) };
            Within { obstacle: *panel, out, back }
        });
    within.max_by(|a, b| a.back.total_cmp(&b.back).then(b.obstacle.cmp(&a.obstacle)))
}

/// How far points reach along a direction.
fn extent(points: impl Iterator<Item = Point>, along: Point) -> (f64, f64) {
    let reach = |(low, high): (f64, f64), p: Point| (low.min(along.dot(p)), high.max(along.dot(p)));
    points.fold((f64::INFINITY, f64::NEG_INFINITY), reach)
}

fn stops_of(stops: Option<(Quantity, Quantity)>) -> Option<(Written, Written)> {
    stops.map(|(from, to)| (written(&from), written(&to)))
}

/// Values grow upwards, or to the right.
fn upward(direction: Point) -> Point {
    let rising = if direction.x.abs() > direction.y.abs() { direction.x > 0.0 } else { direction.y < 0.0 };
    if rising { direction } else { -direction }
}

fn outward(side: Side) -> Point {
    match side {
        Side::Left => pt(-1.0, 0.0),
        Side::Right => pt(1.0, 0.0),
        Side::Top => pt(0.0, -1.0),
        Side::Bottom => pt(0.0, 1.0),
    }
}

/// How far a tongue can move each way along `direction` through a slot before it grows wider than the slot: lowest and
/// highest value from where it is; infinite where it comes free. When it does not fit where it is, the nearest place
/// where it does is taken; `None` when it fits nowhere.
fn free_run(tongue: &Polygon, slot: &Segment, direction: Point) -> Option<(f64, f64)> {
    let profile = width_profile(tongue, direction, COINCIDENT_MM);
    let at = direction.dot(slot.midpoint());
    let room = slot.length() + COINCIDENT_MM;
    // Stretches of the tongue, along the direction, that are narrow enough for the slot.
    let mut narrow: Vec<(f64, f64)> = Vec::new();
    let mut add = |from: f64, to: f64| match narrow.last_mut() {
        Some(last) if from - last.1 <= COINCIDENT_MM => last.1 = to,
        _ => narrow.push((from, to)),
    };
    for slab in &profile {
        let (start, end) = slab.extents();
        match (start <= room, end <= room) {
            (true, true) => add(slab.from, slab.to),
            (false, false) => {}
            (fits_first, _) => {
                let t = ((room - start) / (end - start)).clamp(0.0, 1.0);
                let cross = slab.from + slab.length() * t;
                if fits_first { add(slab.from, cross) } else { add(cross, slab.to) }
            }
        }
    }
    let (bottom, top) = (profile.first()?.from, profile.last()?.to);
    let gap = |run: &(f64, f64)| (run.0 - at).max(at - run.1).max(0.0);
    let run = narrow.into_iter().min_by(|a, b| gap(a).total_cmp(&gap(b)))?;
    // Moving up by v brings the place `at - v` of the tongue to the slot.
    let high = if run.0 - bottom <= COINCIDENT_MM { f64::INFINITY } else { at - run.0 };
    let low = if top - run.1 <= COINCIDENT_MM { f64::NEG_INFINITY } else { at - run.1 };
    Some((low, high))
}

/// The narrowest width of a tongue across its motion.
fn narrowest(tongue: &Polygon, direction: Point) -> f64 {
    let profile = width_profile(tongue, direction, COINCIDENT_MM);
    let widths = profile.iter().flat_map(|slab| {
        let (start, end) = slab.extents();
        [start, end]
    });
    widths.fold(f64::INFINITY, f64::min)
}

/// The box of a print; see [`super::prints`].
pub(super) fn box_at(centre: Point, width: f64, height: f64) -> Rect {
    Rect::new(centre.x - width / 2.0, centre.y - height / 2.0, width, height)
}
