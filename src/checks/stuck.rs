//! What is stuck to what, and what runs where: the joints of an assembly seen from one face of one panel.

use crate::assembly::{
    Assembly, Clause, Face, Joint, JointId, JointKind, PanelId, Piece, PieceId, Placement, SlideHow,
};
use crate::findings::Named;
use crate::geometry::{
    Isometry, Point, Polygon, Region, Segment, convex_hull, intersection, region_area, swept_region,
};
use crate::quantity::tolerance::SHARED_MM2;

/// A glued or foamed joint with its parts at hand.
#[derive(Clone, Copy)]
pub struct Stuck<'a> {
    pub joint: &'a Joint,
    pub placement: &'a Placement,
    /// The part's face and the target's.
    pub faces: (Face, Face),
    /// In the target's frame.
    pub area: &'a [Polygon],
    pub closing: bool,
    pub foam: bool,
    pub along: Option<Clause>,
}

/// One of the two faces of a stuck joint.
pub struct StuckFace<'a> {
    pub stuck: Stuck<'a>,
    pub panel: PanelId,
    pub face: Face,
    /// In the panel's own frame.
    pub area: Region,
}

pub fn stuck_joints(assembly: &Assembly) -> impl Iterator<Item = Stuck<'_>> {
    assembly.joints.iter().filter_map(|joint| match &joint.kind {
        JointKind::Fixed { placement, faces, area, closing, foam, along } => {
            let (closing, foam) = (*closing, *foam);
            Some(Stuck { joint, placement, faces: *faces, area, closing, foam, along: *along })
        }
        _ => None,
    })
}

/// Both faces of every stuck joint.
pub fn stuck_faces(assembly: &Assembly) -> Vec<StuckFace<'_>> {
    stuck_joints(assembly).flat_map(faces_of).collect()
}

/// The target's face and the part's.
pub fn faces_of(stuck: Stuck<'_>) -> [StuckFace<'_>; 2] {
    let back = stuck.placement.isometry().inverse();
    let own = stuck.area.iter().map(|p| p.transformed(&back)).collect();
    let (part, target) = (stuck.faces.0, stuck.faces.1);
    [(stuck.joint.a, target, stuck.area.to_vec()), (stuck.joint.b, part, own)]
        .map(|(panel, face, area)| StuckFace { stuck, panel, face, area })
}

pub fn piece_of(assembly: &Assembly, panel: PanelId) -> Option<&Piece> {
    assembly.pieces.get(assembly.panels.get(panel)?.piece)
}

/// "heron", or "shell.track" when its piece has several panels.
pub fn panel_name(assembly: &Assembly, panel: PanelId) -> Named {
    let Some((found, piece)) = assembly.panels.get(panel).zip(piece_of(assembly, panel)) else {
        return Named { name: String::new(), span: Default::default() };
    };
    let span = if piece.is_panelled() { found.span } else { piece.span };
    Named { name: assembly.panel_name(panel), span }
}

/// A sliding joint with its parts at hand.
#[derive(Clone, Copy)]
pub struct Slide<'a> {
    pub joint: &'a Joint,
    pub placement: &'a Placement,
    pub direction: Point,
    pub range: (f64, f64),
    pub how: &'a SlideHow,
}

pub fn slides(assembly: &Assembly) -> impl Iterator<Item = Slide<'_>> {
    assembly.joints.iter().filter_map(|joint| match &joint.kind {
        JointKind::Slide { placement, direction, range, how, .. } => {
            Some(Slide { joint, placement, direction: *direction, range: *range, how })
        }
        _ => None,
    })
}

/// The sides towards which nothing stops a slide, in words: "bottom or top".
pub fn open_sides(joint: &Joint) -> Option<String> {
    let JointKind::Slide { range, ends, .. } = &joint.kind else { return None };
    match (range.0.is_finite(), range.1.is_finite()) {
        (true, true) => None,
        (false, false) => Some(format!("{} or {}", ends.0.word(), ends.1.word())),
        (false, true) => Some(ends.0.word().to_string()),
        (true, false) => Some(ends.1.word().to_string()),
    }
}

impl Slide<'_> {
    /// Cut-outs that it runs in: their piece and indices.
    pub fn runs_in(&self) -> Option<(PieceId, Vec<usize>)> {
        match self.how {
            SlideHow::Strap { piece, rails, .. } => Some((*piece, vec![rails.0, rails.1])),
            SlideHow::Through { piece, cutouts } => Some((*piece, cutouts.clone())),
            SlideHow::On { .. } => None,
        }
    }

    /// Where it runs on the front and on the back of its target, in the target's frame. What is not known is empty.
    pub fn paths(&self, assembly: &Assembly) -> (Region, Region) {
        match self.how {
            SlideHow::Strap { .. } => {
                let bar = self.between_openings(assembly);
                (bar.clone(), bar)
            }
            SlideHow::Through { cutouts, .. } if cutouts.len() >= 2 => {
                let behind = self.between_openings(assembly);
                let swept = self.swept(assembly);
                (crate::geometry::difference(&swept, &behind), crate::geometry::intersection(&swept, &behind))
            }
            SlideHow::Through { .. } => (Region::new(), Region::new()),
            SlideHow::On { .. } => match self.placement.side {
                Face::Front => (self.swept(assembly), Region::new()),
                Face::Back => (Region::new(), self.swept(assembly)),
            },
        }
    }

    /// The hull of the first two openings that it runs in.
    fn between_openings(&self, assembly: &Assembly) -> Region {
        let Some((piece, openings)) = self.runs_in() else { return Region::new() };
        let Some(piece) = assembly.pieces.get(piece) else { return Region::new() };
        let ends = openings.iter().take(2).filter_map(|&i| piece.cutouts.get(i)).flat_map(|c| [c.from, c.to]);
        vec![Polygon::simple(convex_hull(ends))]
    }

    /// What the sliding panel covers on its way.
    fn swept(&self, assembly: &Assembly) -> Region {
        let (low, high) = self.range;
        let Some(panel) = assembly.panels.get(self.joint.b) else { return Region::new() };
        let start = panel.polygon.transformed(&self.placement.isometry());
        if !low.is_finite() || !high.is_finite() {
            return vec![start];
        }
        swept_region(&start.translated(self.direction * low), self.direction * (high - low))
    }
}

/// Whether a joint ever moves: between poses or in a motion. Without poses a score is there to be folded.
pub fn moves(assembly: &Assembly, id: JointId) -> bool {
    let in_motion = assembly.motions.iter().flat_map(|m| m.legs.iter().flatten()).any(|m| m.joint == id);
    if in_motion || assembly.poses.is_empty() {
        return true;
    }
    let rest = match assembly.joints.get(id).map(|j| &j.kind) {
        Some(JointKind::Fold { rest, .. }) => *rest,
        _ => 0.0,
    };
    let mut values = assembly.poses.iter().map(|pose| value_in(pose, id).unwrap_or(rest));
    let first = values.next().unwrap_or(rest);
    // A single pose is a state the flat sheet has to be folded into.
    first != 0.0 || values.any(|v| v != first)
}

/// The largest angle of a fold in any pose, degrees; its rest where no pose sets it, and flat when there is no pose.
pub fn closed_angle(assembly: &Assembly, id: JointId) -> f64 {
    let rest = match assembly.joints.get(id).map(|j| &j.kind) {
        Some(JointKind::Fold { rest, .. }) => *rest,
        _ => return 0.0,
    };
    assembly.poses.iter().map(|pose| value_in(pose, id).unwrap_or(rest)).fold(rest, f64::max)
}

/// Whether some pose, or the rest of both, has two folds at least so far closed, degrees.
pub fn closed_together(assembly: &Assembly, one: JointId, other: JointId, degrees: f64) -> bool {
    let rest = |id: JointId| match assembly.joints.get(id).map(|j| &j.kind) {
        Some(JointKind::Fold { rest, .. }) => *rest,
        _ => 0.0,
    };
    let both = |value: &dyn Fn(JointId) -> f64| value(one) >= degrees && value(other) >= degrees;
    both(&rest)
        || assembly.poses.iter().any(|pose| both(&|id| value_in(pose, id).unwrap_or_else(|| rest(id))))
}

fn value_in(pose: &crate::assembly::Pose, id: JointId) -> Option<f64> {
    pose.values.iter().find(|(joint, _)| *joint == id).map(|(_, value)| value.abs())
}

/// The folds of the piece's creases that join `panel` to a neighbour: joint, hinge line, neighbour.
pub fn folds_of(assembly: &Assembly, panel: PanelId) -> Vec<(JointId, Segment, PanelId)> {
    let neighbour = |joint: &Joint| match (joint.a == panel, joint.b == panel) {
        (true, false) => Some(joint.b),
        (false, true) => Some(joint.a),
        _ => None,
    };
    assembly
        .joints
        .iter()
        .enumerate()
        .filter_map(|(id, joint)| match &joint.kind {
            JointKind::Fold { from, to, .. } => Some((id, Segment::new(*from, *to), neighbour(joint)?)),
            _ => None,
        })
        .collect()
}

/// Whether two regions share more than an edge.
pub fn shares(a: &[Polygon], b: &[Polygon]) -> bool {
    !a.is_empty() && !b.is_empty() && region_area(&intersection(a, b)) > SHARED_MM2
}

/// Something that lies on a face, on it directly or on what lies there.
pub struct Lying<'a> {
    pub joint: &'a Joint,
    /// The joint that carries it on the face itself.
    pub base: &'a Joint,
    /// In the frame of the panel it was asked for.
    pub region: Region,
    /// From the face to its top, mm.
    pub height: f64,
    /// The part, and the foam under it.
    pub slabs: Vec<Slab>,
    /// A slide or a pin carries it.
    pub moves: bool,
}

/// What fills a region from one height above a face to another, mm.
pub struct Slab {
    pub region: Region,
    pub from: f64,
    pub to: f64,
    pub foam: bool,
}

/// A part and the foam of its joint, each with the heights between which it lies, mm.
pub fn slabs_of(part: Polygon, reach: (f64, f64), foam: Region, foam_reach: (f64, f64)) -> Vec<Slab> {
    let part = Slab { region: vec![part], from: reach.0, to: reach.1, foam: false };
    let foam = Slab { region: foam, from: foam_reach.0, to: foam_reach.1, foam: true };
    [part, foam].into_iter().filter(|slab| !slab.region.is_empty()).collect()
}

/// Parts deeper than this upon each other are not looked into.
const DEEPEST: usize = 16;

pub fn lying_on(assembly: &Assembly, panel: PanelId, side: Face) -> Vec<Lying<'_>> {
    let mut found = Vec::new();
    pile(assembly, panel, side, &Isometry::IDENTITY, None, &mut found, DEEPEST);
    found
}

/// What carries the panel that is looked at.
#[derive(Clone, Copy)]
struct Ground<'a> {
    base: &'a Joint,
    height: f64,
    moves: bool,
}

/// Adds what lies on one face of `panel`, which itself lies as `frame` says with its face `under` high.
fn pile<'a>(
    assembly: &'a Assembly,
    panel: PanelId,
    side: Face,
    frame: &Isometry,
    on: Option<Ground<'a>>,
    found: &mut Vec<Lying<'a>>,
    deeper: usize,
) {
    for (joint, placement) in assembly.joints.iter().filter_map(|j| Some((j, carried(j, panel, side)?))) {
        let Some(part) = assembly.panels.get(joint.b) else { continue };
        let motion = placement.isometry().then(frame);
        let (under, caliper) =
            (on.map_or(0.0, |g| g.height) + placement.raise, caliper_of(assembly, joint.b));
        let base = on.map_or(joint, |g| g.base);
        let foam = match &joint.kind {
            JointKind::Fixed { area, foam: true, .. } => area.iter().map(|p| p.transformed(frame)).collect(),
            _ => Region::new(),
        };
        let (part, height) = (part.polygon.transformed(&motion), under + caliper);
        let slabs = slabs_of(part.clone(), (under, height), foam, (under - placement.raise, under));
        let moves = on.is_some_and(|g| g.moves) || !matches!(joint.kind, JointKind::Fixed { .. });
        found.push(Lying { joint, base, region: vec![part], height, slabs, moves });
        // The part's face that looks away from the target.
        let outward = if placement.flipped == (side == Face::Front) { Face::Back } else { Face::Front };
        if deeper > 0 {
            let ground = Ground { base, height, moves };
            pile(assembly, joint.b, outward, &motion, Some(ground), found, deeper - 1);
        }
    }
}

/// The placement of what a joint lays on one face of `panel`; closing joints lay nothing.
pub fn carried(joint: &Joint, panel: PanelId, side: Face) -> Option<&Placement> {
    if joint.a != panel {
        return None;
    }
    match &joint.kind {
        JointKind::Fixed { placement, closing: false, .. } => (placement.side == side).then_some(placement),
        // A strap lies on both sides of its bar.
        JointKind::Slide { placement, how, .. } => {
            (placement.side == side || matches!(how, SlideHow::Strap { .. })).then_some(placement)
        }
        JointKind::Pin { placement, .. } => (placement.side == side).then_some(placement),
        _ => None,
    }
}

/// Everything that a slide or a pin takes along: what hangs on its panel by glue, scores, pins or slides of its own, at any
/// remove; never the piece that it runs on.
pub fn carried_by(assembly: &Assembly, mover: &Joint) -> Vec<PanelId> {
    let piece = |panel: PanelId| assembly.panels.get(panel).map(|p| p.piece);
    let mut carried = vec![mover.b];
    let mut next = 0;
    while let Some(&panel) = carried.get(next) {
        next += 1;
        let hanging = assembly.joints.iter().filter_map(|joint| {
            // Glue and scores hold both ways; what turns or runs goes with its target.
            let holds = match joint.kind {
                JointKind::Fixed { closing, .. } => !closing,
                JointKind::Fold { .. } => true,
                JointKind::Slide { .. } | JointKind::Pin { .. } => joint.a == panel,
                JointKind::Tuck { .. } => false,
            };
            match (holds, joint.a == panel, joint.b == panel) {
                (true, true, _) => Some(joint.b),
                (true, _, true) => Some(joint.a),
                _ => None,
            }
        });
        for other in hanging.filter(|&other| piece(other) != piece(mover.a)).collect::<Vec<_>>() {
            if !carried.contains(&other) {
                carried.push(other);
            }
        }
    }
    carried
}

/// mm.
pub fn caliper_of(assembly: &Assembly, panel: PanelId) -> f64 {
    let paper = piece_of(assembly, panel).and_then(|p| assembly.papers.get(p.paper));
    paper.map_or(0.0, |p| p.caliper)
}
