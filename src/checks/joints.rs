//! What is stuck and what runs: glue that stops a fold or a slide, glue too small to hold, foam too low, slides
//! without a stop, parts that come against each other on the way.

use super::Subject;
use super::by_hand::shortened;
use super::facts::{Opening, cutout_name, score_name};
use super::stuck::{
    Lying, Slab, Slide, Stuck, StuckFace, caliper_of, carried_by, faces_of, folds_of, lying_on, moves,
    open_sides, panel_name, piece_of, shares, slabs_of, slides, stuck_faces, stuck_joints,
};
use super::turning;
use crate::assembly::{
    Assembly, Cutout, CutoutKind, Face, Fold, Joint, JointKind, PanelId, PieceKind, Placement, Side,
    SlideHow, glue_strips,
};
use crate::findings::{Bridged, Finding, Findings, Meets, Mover, Named, Severity, catalogue as found};
use crate::geometry::{
    Isometry, Join, Point, Polygon, Region, difference, intersection, minimum_width, offset, region_area,
    swept_region, travel_to_first,
};
use crate::quantity::tolerance::{
    COINCIDENT_MM, GLUE_LEAST_MM, GLUE_MM, HOLES_ALIKE_MM, PIN_HOLE_MM, SHARED_MM2, SMALLEST_PIECE_MM,
};

/// How near to a slot glue may come, mm: it creeps.
const GLUE_CREEP_MM: f64 = 1.0;
/// Glue along less than this share of an opening's edge (the end of a slot) holds nothing fast.
const CREEP_SHARE: f64 = 0.1;

pub fn check(subject: &Subject, sink: &mut Findings) {
    let assembly = subject.assembly;
    let faces = stuck_faces(assembly);
    for stuck in stuck_joints(assembly) {
        if !is_own_loop(assembly, &stuck) {
            across_creases(assembly, &stuck, sink);
            strength(assembly, &stuck, sink);
        }
        if stuck.foam {
            foam_height(assembly, &stuck, sink);
        }
    }
    let blocks = on_the_way(assembly, &faces, sink);
    stuck_twice(assembly, &faces, sink);
    for slide in slides(assembly) {
        stops(assembly, &slide, sink);
        play(assembly, &slide, sink);
        against(assembly, &slide, &blocks, sink);
    }
    pins(assembly, sink);
    turning::check(assembly, sink);
}

/// A strap's tails stuck together: worked out by the compiler, not by the author.
fn is_own_loop(assembly: &Assembly, stuck: &Stuck) -> bool {
    let piece = |panel: PanelId| assembly.panels.get(panel).map(|p| p.piece);
    piece(stuck.joint.a) == piece(stuck.joint.b)
        && piece_of(assembly, stuck.joint.a).is_some_and(|p| p.kind == PieceKind::Strap)
}

fn joint_name(stuck: &Stuck) -> Named {
    Named { name: stuck.joint.name.clone(), span: stuck.joint.span }
}

/// A part stuck to one panel that reaches over a score which folds towards it.
fn across_creases(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    if stuck.closing {
        return;
    }
    let Some(part) = assembly.panels.get(stuck.joint.b) else { return };
    let lying = part.polygon.transformed(&stuck.placement.isometry());
    for (id, _, neighbour) in folds_of(assembly, stuck.joint.a) {
        let Some(joint) = assembly.joints.get(id) else { continue };
        let JointKind::Fold { piece, crease, fold, .. } = &joint.kind else { continue };
        let towards =
            matches!((fold, stuck.faces.1), (Fold::Valley, Face::Front) | (Fold::Mountain, Face::Back));
        let Some(beyond) = assembly.panels.get(neighbour) else { continue };
        let over = intersection(std::slice::from_ref(&lying), std::slice::from_ref(&beyond.polygon));
        if !towards || !moves(assembly, id) || region_area(&over) <= SHARED_MM2 {
            continue;
        }
        let Some(crease) = assembly.pieces.get(*piece).and_then(|p| p.creases.get(*crease)) else { continue };
        let line = crate::geometry::Segment::new(crease.from, crease.to);
        let reach =
            over.iter().flat_map(|p| p.vertices()).map(|v| line.offset_of(v).abs()).fold(0.0, f64::max);
        sink.report(found::GlueAcrossCrease {
            part: panel_name(assembly, stuck.joint.b),
            place: stuck.joint.span,
            score: score_name(crease),
            reach,
        });
    }
}

/// The widest strip of glue, mm: how far the glued area can be shrunk from both sides before nothing is left.
fn glue_width(area: &[Polygon]) -> f64 {
    if !offset(area, -(GLUE_MM - COINCIDENT_MM) / 2.0, Join::Mitre).is_empty() {
        return GLUE_MM;
    }
    let (mut low, mut high) = (0.0, GLUE_MM);
    while high - low > COINCIDENT_MM {
        let middle = (low + high) / 2.0;
        if offset(area, -middle / 2.0, Join::Mitre).is_empty() { high = middle } else { low = middle }
    }
    low
}

fn strength(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    let part =
        assembly.panels.get(stuck.joint.b).and_then(|p| minimum_width(p.polygon.outer.iter().copied()));
    if stuck.area.is_empty() || part.is_some_and(|w| w.width < SMALLEST_PIECE_MM) {
        return;
    }
    let width = glue_width(stuck.area);
    let (part, target) = (panel_name(assembly, stuck.joint.b), panel_name(assembly, stuck.joint.a));
    if width < GLUE_LEAST_MM - COINCIDENT_MM {
        sink.report(found::GlueTooNarrow { part, target, place: stuck.joint.span, width });
    } else if width < GLUE_MM - COINCIDENT_MM {
        sink.report(found::GlueNarrow { part, target, place: stuck.joint.span, width });
    }
}

/// What is stuck on the way of a slide.
struct Block<'a> {
    slide: &'a Joint,
    stuck: &'a Joint,
    /// Where the slide's own panel meets it; `None` for glue that lies on the slide from the start and holds it fast,
    /// which is told.
    met: Option<Met>,
    /// Glue that would let the slide pass beneath.
    clear: Option<Bridged>,
}

/// Glue on what a slide runs over, or round an opening that something runs in. What a slide meets only on its way is no
/// glue that holds it: that it comes against it is told with what it carries.
fn on_the_way<'a>(assembly: &'a Assembly, faces: &[StuckFace<'a>], sink: &mut Findings) -> Vec<Block<'a>> {
    let mut blocks: Vec<Block> = Vec::new();
    // What is said of a slide itself says enough: it begins in the wrong place.
    let is_told = |slide: &Slide| {
        let of_slide =
            |f: &Finding| slide.joint.span.start <= f.place().start && f.place().end <= slide.joint.span.end;
        sink.list().iter().any(|f| f.severity() == Severity::Error && of_slide(f))
    };
    let paths = Paths {
        slides: slides(assembly).filter(|slide| !is_told(slide)).collect(),
        turns: turning::turns(assembly),
    };
    for face in faces {
        if is_own_loop(assembly, &face.stuck) {
            continue;
        }
        if let Some((joint, mover)) = paths.stuck_by(assembly, face) {
            let slide = paths.slides.iter().find(|slide| std::ptr::eq(slide.joint, joint));
            let met = slide.and_then(|slide| comes_to_glue(assembly, slide, face));
            let clear = clear_of_paths(assembly, &paths, &face.stuck).map(|along| {
                let clause = face.stuck.along.map(|clause| (clause.span, clause.lead));
                Bridged { along, clause }
            });
            if slide.is_some() {
                blocks.push(Block { slide: joint, stuck: face.stuck.joint, met, clear: clear.clone() });
            }
            if met.is_some() {
                continue;
            }
            sink.report(found::GlueOnPath {
                glue: joint_name(&face.stuck),
                slide: Named { name: joint.name.clone(), span: joint.span },
                mover,
                clear,
            });
            continue;
        }
        // Foam is laid in pads, beside what turns or runs.
        if !face.stuck.foam {
            over_openings(assembly, face, sink);
        }
    }
    blocks
}

/// Where a slide's own panel comes to glue that lies clear of it at one end of its way. What is stuck there as a bridge,
/// or says along which of its edges it is stuck, is meant to be passed: of that its glue is what is wrong.
fn comes_to_glue(assembly: &Assembly, slide: &Slide, face: &StuckFace) -> Option<Met> {
    let (low, high) = slide.range;
    let in_strips = face.stuck.along.is_some_and(|clause| clause.span.start < clause.span.end);
    let is_bridge = in_strips || bridges(assembly, slide, face.stuck.joint.b);
    if !low.is_finite() || !high.is_finite() || is_bridge {
        return None;
    }
    let own = assembly.panels.get(slide.joint.b)?.polygon.transformed(&slide.placement.isometry());
    let on_way = intersection(&face.area, &path_on(assembly, slide, face));
    let (depth, up) = left_of_way(slide, &[own], &on_way)?;
    Some(Met { depth, up, foam: false })
}

/// Where anything runs or turns.
struct Paths<'a> {
    slides: Vec<Slide<'a>>,
    turns: Vec<turning::Turn<'a>>,
}

impl<'a> Paths<'a> {
    /// The joint that glue on a face holds fast.
    fn stuck_by(&self, assembly: &Assembly, face: &StuckFace) -> Option<(&'a Joint, Mover)> {
        if let Some(slide) = self.slides.iter().find(|s| lies_on_path(assembly, s, face)) {
            let strap = matches!(slide.how, SlideHow::Strap { .. });
            return Some((slide.joint, if strap { Mover::Strap } else { Mover::Slide }));
        }
        let turn = self.turns.iter().find(|turn| turn.meets_glue(assembly, face))?;
        Some((turn.joint, Mover::Brad))
    }
}

/// Where a slide runs on a face.
fn path_on(assembly: &Assembly, slide: &Slide, face: &StuckFace) -> Region {
    let (front, back) = slide.paths(assembly);
    if face.face == Face::Front { front } else { back }
}

fn lies_on_path(assembly: &Assembly, slide: &Slide, face: &StuckFace) -> bool {
    slide.joint.a == face.panel
        && shares(&face.area, &path_on(assembly, slide, face))
        && ![face.stuck.joint.a, face.stuck.joint.b].contains(&slide.joint.b)
}

/// Along which sides of the part glue can be laid clear of all paths and their openings, and how wide at most, mm: all its edges rather
/// than two, two rather than one, as long as the strip holds well.
fn clear_of_paths(assembly: &Assembly, paths: &Paths, stuck: &Stuck) -> Option<(String, f64)> {
    use Side::{Bottom, Left, Right, Top};
    const CHOICES: [&[Side]; 7] = [&[], &[Left, Right], &[Top, Bottom], &[Left], &[Right], &[Top], &[Bottom]];
    let (part, target) = (assembly.panels.get(stuck.joint.b)?, assembly.panels.get(stuck.joint.a)?);
    let motion = stuck.placement.isometry();
    let shared = intersection(&[part.polygon.transformed(&motion)], std::slice::from_ref(&target.polygon));
    let is_clear = |sides: &[Side], width: f64| {
        let area = glue_strips(part, sides, width, &motion, &shared);
        let faces = faces_of(Stuck { area: &area, ..*stuck });
        faces
            .iter()
            .all(|face| paths.stuck_by(assembly, face).is_none() && openings_under(assembly, face).is_empty())
    };
    let widest = |sides: &[Side]| {
        let (mut low, mut high) = (0.0, 0.5 * part.bounds.width().min(part.bounds.height()));
        while high - low > COINCIDENT_MM {
            let middle = 0.5 * (low + high);
            if is_clear(sides, middle) { low = middle } else { high = middle }
        }
        // Glue creeps, so it keeps off the path by a little if that leaves enough of it.
        (low - GLUE_CREEP_MM).max(low.min(GLUE_LEAST_MM))
    };
    let mut choices: Vec<(&[Side], f64)> = CHOICES.iter().map(|sides| (*sides, widest(sides))).collect();
    choices.retain(|(_, width)| *width >= GLUE_LEAST_MM);
    let best = choices.iter().find(|(_, width)| *width >= GLUE_MM).or(choices.first())?;
    let words: Vec<&str> = best.0.iter().map(|side| side.word()).collect();
    Some((if words.is_empty() { "edges".into() } else { words.join(" and ") }, best.1))
}

fn over_openings(assembly: &Assembly, face: &StuckFace, sink: &mut Findings) {
    for (cutout, user) in openings_under(assembly, face) {
        sink.report(found::GlueOverSlot { glue: joint_name(&face.stuck), slot: cutout_name(cutout), user });
    }
}

/// Openings that glue on a face comes too near to, and what runs or turns in them.
fn openings_under<'a>(assembly: &'a Assembly, face: &StuckFace) -> Vec<(&'a Cutout, String)> {
    let Some(piece) = piece_of(assembly, face.panel) else { return Vec::new() };
    let own = piece.cutouts.iter().enumerate().filter(|(_, c)| c.panel == face.panel);
    own.filter_map(|(index, cutout)| {
        let user = used_by(assembly, face.panel, index)?;
        let Opening::Area(opening) = Opening::of(cutout) else { return None };
        let round =
            difference(&offset(std::slice::from_ref(&opening), GLUE_CREEP_MM, Join::Bevel), &[opening]);
        let glued = region_area(&intersection(&face.area, &round));
        (glued > CREEP_SHARE * region_area(&round)).then_some((cutout, user))
    })
    .collect()
}

/// What runs or turns in a cut-out of the panel's piece.
fn used_by(assembly: &Assembly, panel: PanelId, index: usize) -> Option<String> {
    let piece = assembly.panels.get(panel)?.piece;
    let runs = |slide: &Slide| slide.runs_in().is_some_and(|(p, list)| p == piece && list.contains(&index));
    if let Some(slide) = slides(assembly).find(|s| runs(s)) {
        return Some(slide.joint.name.clone());
    }
    let cutout = assembly.pieces.get(piece)?.cutouts.get(index)?;
    let turns = |kind: &JointKind, a: bool| match kind {
        JointKind::Pin { centre, part_centre, .. } => {
            (if a { centre } else { part_centre }).is_near(cutout.centre, COINCIDENT_MM)
        }
        _ => false,
    };
    let pin = assembly
        .joints
        .iter()
        .find(|j| (j.a == panel && turns(&j.kind, true)) || (j.b == panel && turns(&j.kind, false)));
    pin.map(|j| j.name.clone())
}

/// Two parts stuck to one place of one face.
fn stuck_twice(assembly: &Assembly, faces: &[StuckFace], sink: &mut Findings) {
    for (i, first) in faces.iter().enumerate() {
        for second in faces.iter().skip(i + 1) {
            if (first.panel, first.face) != (second.panel, second.face) {
                continue;
            }
            let shared = intersection(&first.area, &second.area);
            if region_area(&shared) <= SHARED_MM2 {
                continue;
            }
            let other =
                |f: &StuckFace| if f.panel == f.stuck.joint.a { f.stuck.joint.b } else { f.stuck.joint.a };
            let slides = [first, second].into_iter().any(|f| is_sliding(assembly, other(f)));
            let closes = first.stuck.closing || second.stuck.closing;
            let told = found::StuckTwice {
                parts: [first, second]
                    .map(|f| Named { name: panel_name(assembly, other(f)).name, span: f.stuck.joint.span }),
                to: panel_name(assembly, first.panel).name,
                face: first.face.word(),
                depth: depth(&shared),
            };
            if slides {
                sink.report(told);
            } else if !closes {
                // What lies over the flap of a closing joint lies on one more layer of the same card.
                sink.report(found::StuckOver(told));
            }
        }
    }
}

/// The smaller side of the box of a region, mm.
fn depth(region: &[Polygon]) -> f64 {
    crate::geometry::region_bounds(region).map_or(0.0, |b| b.width().min(b.height()))
}

fn is_sliding(assembly: &Assembly, panel: PanelId) -> bool {
    let piece = |p: PanelId| assembly.panels.get(p).map(|p| p.piece);
    slides(assembly).any(|s| piece(s.joint.b) == piece(panel))
}

/// Foam must be as high as what lies under the part.
fn foam_height(assembly: &Assembly, stuck: &Stuck, sink: &mut Findings) {
    let Some(part) = assembly.panels.get(stuck.joint.b) else { return };
    let over = part.polygon.transformed(&stuck.placement.isometry());
    let highest = lying_on(assembly, stuck.joint.a, stuck.placement.side)
        .into_iter()
        .filter(|lying| !std::ptr::eq(lying.base, stuck.joint))
        .filter(|lying| shares(std::slice::from_ref(&over), &lying.region))
        .map(|lying| (lying.height, lying.joint))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((height, joint)) = highest else { return };
    if height > stuck.placement.raise + COINCIDENT_MM {
        sink.report(found::FoamTooLow {
            part: panel_name(assembly, stuck.joint.b),
            place: stuck.joint.span,
            under: Named { name: panel_name(assembly, joint.b).name, span: joint.span },
            foam: stuck.placement.raise,
            height,
        });
    }
}

fn stops(assembly: &Assembly, slide: &Slide, sink: &mut Findings) {
    // A stop that a pose or a motion asks for is told there.
    let mut told = assembly.without_stop.iter().filter_map(|&id| assembly.joints.get(id));
    let Some(open) = open_sides(slide.joint) else { return };
    if told.any(|joint| std::ptr::eq(joint, slide.joint)) {
        return;
    }
    sink.report(found::NoStop {
        slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
        side: open,
        on_face: matches!(slide.how, SlideHow::On { .. }),
    });
}

/// A slot must be wider than what runs in it is thick.
fn play(assembly: &Assembly, slide: &Slide, sink: &mut Findings) {
    let Some((piece, openings)) = slide.runs_in() else { return };
    let paper = piece_of(assembly, slide.joint.b).and_then(|p| assembly.papers.get(p.paper));
    let (Some(piece), Some(paper)) = (assembly.pieces.get(piece), paper) else { return };
    let least = 2.0 * paper.caliper;
    for slot in openings.iter().filter_map(|&i| piece.cutouts.get(i)) {
        if slot.kind == CutoutKind::Slot && slot.width < least - COINCIDENT_MM {
            sink.report(found::SlotTight {
                slot: cutout_name(slot),
                slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
                width: slot.width,
                thickness: paper.caliper,
            });
        }
    }
}

/// A part that rides on a slide and comes against what is stuck beside its way.
fn against(assembly: &Assembly, slide: &Slide, blocks: &[Block], sink: &mut Findings) {
    let (low, high) = slide.range;
    if !low.is_finite() || !high.is_finite() {
        return;
    }
    let carried = carried_by(assembly, slide.joint);
    let mut riders = riders(assembly, slide.joint, slide.placement, 0.0);
    // Where its own panel stops is worked out with the slide, or where what is stuck on its way is looked at.
    let own: Vec<Rider> = riders.drain(..1).collect();
    let mut blocks: Vec<&Block> = blocks.iter().filter(|b| std::ptr::eq(b.slide, slide.joint)).collect();
    let beside = lying_on(assembly, slide.joint.a, slide.placement.side)
        .into_iter()
        // What rides on another slide is not in one place: that is looked at with both of them moved.
        .filter(|l| !l.moves && !carried.contains(&l.joint.b));
    for lying in beside {
        // What meets one obstacle is told once: by the part that goes furthest into it.
        let met = riders.iter().filter_map(|rider| Some((rider, met_on_the_way(slide, rider, &lying)?)));
        let on_way: Vec<&Block> = blocks.extract_if(.., |b| std::ptr::eq(b.stuck, lying.joint)).collect();
        if on_way.iter().any(|block| block.met.is_none()) {
            continue;
        }
        let by_itself = own.iter().flat_map(|rider| on_way.iter().filter_map(move |b| Some((rider, b.met?))));
        let deepest =
            by_itself.chain(met).reduce(|best, next| if next.1.depth > best.1.depth { next } else { best });
        if let Some((rider, met)) = deepest {
            let clears = (!met.foam && bridges(assembly, slide, lying.joint.b))
                .then(|| riders.iter().flat_map(|r| &r.slabs).map(|slab| slab.to).fold(0.0, f64::max));
            let by_riders = riders.iter().any(|rider| met_on_the_way(slide, rider, &lying).is_some());
            let beneath = on_way.iter().find_map(|b| b.clear.clone()).filter(|_| !by_riders);
            let obstacle = (lying.joint, lying.joint.b);
            report_against(assembly, slide, rider, obstacle, met, Past { clears, beneath }, sink);
        }
    }
    // On the far side of a bar, or stuck on by the panel that the slide runs on.
    for (block, met) in blocks.into_iter().filter_map(|block| Some((block, block.met?))) {
        let other = if block.stuck.b == slide.joint.a { block.stuck.a } else { block.stuck.b };
        for rider in &own {
            let past = Past { clears: None, beneath: block.clear.clone() };
            report_against(assembly, slide, rider, (block.stuck, other), met, past, sink);
        }
    }
}

/// What would let a slide pass an obstacle: see [`found::ComesAgainst`].
struct Past {
    clears: Option<f64>,
    beneath: Option<Bridged>,
}

fn report_against(
    assembly: &Assembly,
    slide: &Slide,
    rider: &Rider,
    (stuck, obstacle): (&Joint, PanelId),
    met: Met,
    past: Past,
    sink: &mut Findings,
) {
    let is_strap = matches!(slide.how, SlideHow::Strap { .. }) && rider.panel == slide.joint.b;
    let id = assembly.joints.iter().position(|joint| std::ptr::eq(joint, slide.joint));
    sink.report(found::ComesAgainst {
        rider: panel_name(assembly, rider.panel),
        slide: Named { name: slide.joint.name.clone(), span: slide.joint.span },
        obstacle: Named { name: panel_name(assembly, obstacle).name, span: stuck.span },
        meets: Meets::Sliding {
            depth: met.depth,
            shorter: !is_strap && is_longer(assembly, rider, slide, met.depth),
            earlier: id.and_then(|id| shortened(assembly, id, met.up, met.depth)),
        },
        clears: past.clears,
        beneath: past.beneath,
        foam: met.foam,
    });
}

/// Something is left of a part that is so much shorter along a slide's way, mm.
fn is_longer(assembly: &Assembly, rider: &Rider, slide: &Slide, depth: f64) -> bool {
    let along = |p: Point| p.dot(slide.direction);
    let corners = assembly.panels.get(rider.panel).map(|p| p.polygon.transformed(&rider.motion));
    let ends = corners.iter().flat_map(|p| p.vertices()).map(along);
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    high - low > depth + COINCIDENT_MM
}

/// What lies there is stuck beside the way, for the slide to pass under.
fn bridges(assembly: &Assembly, slide: &Slide, lying: PanelId) -> bool {
    let piece = assembly.panels.get(lying).map(|p| p.piece);
    match slide.how {
        SlideHow::On { under, .. } => piece.is_some_and(|p| under.contains(&p)),
        _ => false,
    }
}

/// Where something meets an obstacle on a slide's way.
#[derive(Clone, Copy)]
struct Met {
    /// How far it goes into it, mm.
    depth: f64,
    /// On the way to the highest value.
    up: bool,
    /// It is only the obstacle's foam that it meets.
    foam: bool,
}

fn met_on_the_way(slide: &Slide, rider: &Rider, lying: &Lying) -> Option<Met> {
    let pairs = rider.slabs.iter().flat_map(|own| lying.slabs.iter().map(move |other| (own, other)));
    let one = |(own, other): (&Slab, &Slab)| {
        let (depth, up) = goes_into(slide, own, other)?;
        Some(Met { depth, up, foam: other.foam })
    };
    let met: Vec<Met> = pairs.filter_map(one).collect();
    let deepest = met.iter().copied().max_by(|a, b| a.depth.total_cmp(&b.depth))?;
    Some(Met { foam: met.iter().all(|met| met.foam), ..deepest })
}

/// By how much one slab goes into another of the same height on a slide's way, mm.
fn goes_into(slide: &Slide, moving: &Slab, still: &Slab) -> Option<(f64, bool)> {
    if moving.from.max(still.from) >= moving.to.min(still.to) - COINCIDENT_MM {
        return None;
    }
    left_of_way(slide, &moving.region, &still.region)
}

/// What is left of a slide's travel when what moves meets what stands still, mm, and whether that is on the way to the
/// highest value. What it shares at both ends lies in it all the way.
fn left_of_way(slide: &Slide, moving: &[Polygon], still: &[Polygon]) -> Option<(f64, bool)> {
    let (low, high) = slide.range;
    let at = |value: f64| -> Vec<Polygon> {
        moving.iter().map(|p| p.translated(slide.direction * value)).collect()
    };
    // What is left of the travel from one of its ends, where the two lie apart, when they meet.
    let left = |from: f64, way: Point| {
        let passes = |p: &Polygon| {
            let swept = swept_region(p, way * (high - low));
            let (free, _) = travel_to_first(p, way, still, COINCIDENT_MM)?;
            shares(&swept, still).then_some(high - low - free)
        };
        at(from).iter().filter_map(passes).max_by(f64::total_cmp).filter(|left| *left > 0.0)
    };
    match (shares(&at(low), still), shares(&at(high), still)) {
        (true, true) => None,
        (true, false) => Some((left(high, -slide.direction)?, false)),
        (false, _) => Some((left(low, slide.direction)?, true)),
    }
}

/// The panel that a slide or a pin moves, one that is stuck to it, or to what is stuck there.
pub(super) struct Rider {
    pub panel: PanelId,
    /// How it lies on the joint's target at value zero.
    motion: Isometry,
    /// From the target's face to its underside, mm; less than zero on the far side of the joint's panel.
    under: f64,
    pub slabs: Vec<Slab>,
}

/// The panel that a joint moves, its underside so far above the target's face, and all that is stuck to it at any remove.
pub(super) fn riders(assembly: &Assembly, mover: &Joint, placement: &Placement, under: f64) -> Vec<Rider> {
    let motion = placement.isometry();
    let own = assembly.panels.get(mover.b).map(|p| p.polygon.transformed(&motion));
    let reach = (under, under + caliper_of(assembly, mover.b));
    let slabs = own.map(|p| slabs_of(p, reach, Vec::new(), reach)).unwrap_or_default();
    let mut riders = vec![Rider { panel: mover.b, motion, under, slabs }];
    let mut next = 0;
    while let Some(rider) = riders.get(next) {
        next += 1;
        let stuck_on: Vec<Rider> = stuck_joints(assembly)
            .filter(|s| !s.closing)
            .filter_map(|s| on_rider(assembly, placement.side, rider, &s))
            .filter(|new| new.panel != mover.a && riders.iter().all(|r| r.panel != new.panel))
            .collect();
        riders.extend(stuck_on);
    }
    riders
}

/// What a stuck joint lays on a rider, or lays it on.
fn on_rider(assembly: &Assembly, side: Face, rider: &Rider, stuck: &Stuck) -> Option<Rider> {
    let own = stuck.placement.isometry();
    let (panel, motion, face, target) = if stuck.joint.a == rider.panel {
        (stuck.joint.b, own.then(&rider.motion), stuck.faces.1, rider.motion)
    } else if stuck.joint.b == rider.panel {
        let motion = own.inverse().then(&rider.motion);
        (stuck.joint.a, motion, stuck.faces.0, motion)
    } else {
        return None;
    };
    let polygon = assembly.panels.get(panel)?.polygon.transformed(&motion);
    let foam = stuck.area.iter().filter(|_| stuck.foam).map(|p| p.transformed(&target)).collect();
    let outward = if rider.motion.mirrors() { side.opposite() } else { side };
    let (raise, caliper) = (stuck.placement.raise, caliper_of(assembly, panel));
    let top = rider.under + caliper_of(assembly, rider.panel);
    let under = if face == outward { top + raise } else { rider.under - raise - caliper };
    // The foam is below what lies upon it, whichever of the two that is.
    let foam_top = if face == outward { under } else { rider.under };
    let slabs = slabs_of(polygon, (under, under + caliper), foam, (foam_top - raise, foam_top));
    Some(Rider { panel, motion, under, slabs })
}

fn pins(assembly: &Assembly, sink: &mut Findings) {
    for joint in &assembly.joints {
        let JointKind::Pin { holes, .. } = &joint.kind else { continue };
        let smallest = holes.0.min(holes.1);
        // Where only one of the two is tight, that they differ is what is told.
        let alike = (holes.0 - holes.1).abs() <= HOLES_ALIKE_MM || holes.0.max(holes.1) < PIN_HOLE_MM;
        if alike && smallest < PIN_HOLE_MM - COINCIDENT_MM {
            sink.report(found::PinHoleTight {
                pin: Named { name: joint.name.clone(), span: joint.span },
                hole: smallest,
            });
        }
    }
}
