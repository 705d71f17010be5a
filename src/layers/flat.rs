//! The flat state itself: faces placed in the plane and the joints between them.

use super::vertex::allowed_patterns;
use crate::geometry::{Point, Polygon, Segment, pt};
use crate::motion::{Fold, JointKind, Linkage, Pose, PoseFault, Sheet, Star};
use crate::quantity::tolerance::{COINCIDENT_MM, PARALLEL_DEG};

/// A face in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatFace {
    pub polygon: Polygon,
    /// Whether its front points up.
    pub up: bool,
}

/// How a joint lies in the flat state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointFold {
    /// Folded right over: both faces lie on the same side of the line.
    Folded(Fold),
    /// Not folded: the sheet goes on across the line.
    Open,
}

/// A line along which two faces hold together. `b` ends at the line; `a` may reach across it.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatJoint {
    pub a: usize,
    pub b: usize,
    pub line: Segment,
    pub fold: JointFold,
    /// Faces with a slit along this line, which the joint may pass.
    pub through: Vec<usize>,
}

/// Faces and joints in one plane.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FlatState {
    pub faces: Vec<FlatFace>,
    pub joints: Vec<FlatJoint>,
    /// For every face, the body and the panel it is.
    pub origin: Vec<(usize, usize)>,
    /// For every joint, the joint of the linkage.
    pub joint_origin: Vec<usize>,
}

/// A body that does not lie parallel to the resting one, or a fold that is neither open nor folded over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotFlat {
    /// Degrees between the body's plane and the ground.
    Body { body: usize, tilt_deg: f64 },
    /// Fold angle in degrees.
    Joint { joint: usize, fold_deg: f64 },
}

impl FlatState {
    /// The flat state of a pose; heights (foam) are left out of account.
    ///
    /// # Errors
    /// The first body or fold that is not flat to within [`PARALLEL_DEG`].
    pub fn of(linkage: &Linkage, pose: &Pose) -> Result<Self, NotFlat> {
        let mut state = Self::default();
        for (body, (shape, at)) in linkage.bodies.iter().zip(&pose.bodies).enumerate() {
            let front = at.front();
            let tilt_deg = at.tilt_deg();
            if tilt_deg > PARALLEL_DEG {
                return Err(NotFlat::Body { body, tilt_deg });
            }
            let place = |p: &[f64; 2]| -> Point {
                let placed = at.place(*p);
                pt(placed[0], placed[1])
            };
            for (index, panel) in shape.panels.iter().enumerate() {
                let outer = panel.outline.iter().map(place).collect();
                let holes = panel.holes.iter().map(|hole| hole.iter().map(place).collect()).collect();
                state.faces.push(FlatFace { polygon: Polygon::new(outer, holes), up: front.z > 0.0 });
                state.origin.push((body, index));
            }
        }
        for joint in 0..linkage.joints.len() {
            state.add_joint(linkage, pose, joint)?;
        }
        Ok(state)
    }

    fn add_joint(&mut self, linkage: &Linkage, pose: &Pose, joint: usize) -> Result<(), NotFlat> {
        let link = &linkage.joints[joint];
        if !matches!(link.kind, JointKind::Hinge { .. }) {
            return Ok(());
        }
        let fold_deg = pose.values[joint];
        let fold = if fold_deg.abs() <= PARALLEL_DEG {
            JointFold::Open
        } else if (fold_deg.abs() - 180.0).abs() <= PARALLEL_DEG {
            // An undecided crease has been laid over one way only to find its place.
            let undecided = !link.must_leave && link.range == crate::motion::Range::ANY_FOLD;
            JointFold::Folded(match fold_deg > 0.0 {
                _ if undecided => Fold::Either,
                true => Fold::Valley,
                false => Fold::Mountain,
            })
        } else {
            return Err(NotFlat::Joint { joint, fold_deg });
        };
        let at = pose.bodies[link.a.0];
        let [start, end] = link.anchor.map(|p| {
            let placed = at.place(p);
            pt(placed[0], placed[1])
        });
        let line = Segment::new(start, end);
        let (Some(a), Some(b)) = (self.face_at(link.a.0, line), self.face_at(link.b.0, line)) else {
            return Ok(());
        };
        self.joints.push(FlatJoint { a, b, line, fold, through: Vec::new() });
        self.joint_origin.push(joint);
        Ok(())
    }

    /// The panel of a body that a line in the plane belongs to.
    fn face_at(&self, body: usize, line: Segment) -> Option<usize> {
        let mine = (0..self.faces.len()).filter(|&f| self.origin[f].0 == body);
        let distance = |&f: &usize| self.faces[f].polygon.distance_to_point(line.midpoint());
        mine.min_by(|f, g| distance(f).total_cmp(&distance(g)))
    }

    /// A creased sheet with every crease folded right over; face `i` and joint `k` are those of the sheet.
    ///
    /// # Errors
    /// The gap round the vertex that does not close (Kawasaki's condition fails there), or a malformed sheet.
    pub fn of_sheet(sheet: &Sheet, fixed_face: usize) -> Result<(Self, Pose), PoseFault> {
        let malformed = |crease: usize| PoseFault {
            kind: crate::motion::FaultKind::Malformed,
            gap_mm: f64::INFINITY,
            joint: crate::motion::JointId(crease),
            reached: crate::motion::State::default(),
            forced: None,
        };
        let linkage = sheet.linkage(fixed_face).map_err(|fault| malformed(fault.crease))?;
        let mut state = linkage.rest();
        for (value, crease) in state.values.iter_mut().zip(&sheet.creases) {
            *value = if crease.fold == Fold::Mountain { -180.0 } else { 180.0 };
        }
        let pose = linkage.place(&state)?;
        let open = |pose: &Pose| PoseFault {
            kind: crate::motion::FaultKind::Open,
            gap_mm: pose.gap_mm,
            joint: linkage.widest_gap(&pose.state()).1,
            reached: pose.state(),
            forced: None,
        };
        if pose.gap_mm > COINCIDENT_MM {
            return Err(open(&pose));
        }
        let flat = Self::of(&linkage, &pose).map_err(|_| open(&pose))?;
        Ok((flat, pose))
    }
}

/// How many ways of giving every undecided crease a direction leave each of the stars flat-foldable on its own.
/// Creases outside all stars are free.
pub(crate) fn count_local(sheet: &Sheet, stars: &[Star], tolerance_deg: f64) -> u64 {
    let patterns: Vec<Vec<Vec<Fold>>> =
        stars.iter().map(|s| allowed_patterns(sheet, s, tolerance_deg)).collect();
    let mut chosen: Vec<Fold> = sheet.creases.iter().map(|c| c.fold).collect();
    let met: std::collections::BTreeSet<usize> =
        stars.iter().flat_map(|s| s.creases.iter().copied()).collect();
    let loose = (0..chosen.len()).filter(|k| !met.contains(k) && chosen[*k] == Fold::Either).count();
    count_from(stars, &patterns, &mut chosen) << loose.min(63)
}

fn count_from(stars: &[Star], patterns: &[Vec<Vec<Fold>>], chosen: &mut Vec<Fold>) -> u64 {
    let (Some((star, stars)), Some((first, patterns))) = (stars.split_first(), patterns.split_first()) else {
        return 1;
    };
    let mut count = 0;
    for pattern in first {
        let fits =
            star.creases.iter().zip(pattern).all(|(&c, &f)| chosen[c] == Fold::Either || chosen[c] == f);
        if fits {
            let before = chosen.clone();
            star.creases.iter().zip(pattern).for_each(|(&c, &f)| chosen[c] = f);
            count += count_from(stars, patterns, chosen);
            *chosen = before;
        }
    }
    count
}
