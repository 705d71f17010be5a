//! Where a part or a cut-out goes: clauses become straight-line conditions on its shift, two of which fix it.
//!
//! Every clause but the turning ones says `normal · shift = offset` for some unit normal. Two normals that are not
//! parallel fix the shift; a third condition must agree with them. What is not fixed has a direction with a name.

use super::built::Located;
use super::creases::{looks, towards};
use super::model::Side;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Isometry, Point, Rect, Segment, pt};
use crate::meaning::design::{AxisWord, DirectionWord, Feature, FeatureKind, Place, PlaceKind};
use crate::quantity::tolerance::{COINCIDENT_MM, PARALLEL_DEG};
use crate::source::Span;

/// What the clauses are read against.
pub(super) struct Ground<'a> {
    /// Box of the panel that the part goes on.
    pub bounds: Rect,
    /// Features of the target's piece (and of what is already placed), in the target's frame.
    pub locate: &'a dyn Fn(&Feature) -> Option<Located>,
    /// The plain sides of the panel, for `at right` and `centred`.
    pub name: String,
}

/// What is being placed, in its own frame, already turned over when its front looks away.
pub(super) struct Subject<'a> {
    /// The corners that count for near edges.
    pub points: Vec<Point>,
    /// Readings go to the middle instead of the near edge.
    pub by_centre: bool,
    pub locate: &'a dyn Fn(&Feature) -> Option<Located>,
    /// The paper's straight edge of a named side.
    pub edge: &'a dyn Fn(&Feature) -> Option<Segment>,
    /// How findings speak of it.
    pub name: String,
    pub span: Span,
    /// Behind what further clauses can be written, and the mark that leads them in.
    pub write_at: (Span, &'static str),
}

#[derive(Debug, Clone, Copy)]
struct Condition {
    normal: Point,
    offset: f64,
    span: Span,
}

/// The direction or directions that nothing fixes.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Free {
    Both,
    Across,
    Down,
    /// Along a slanted line.
    Along,
}

/// A placement in the plane: `turn` first, then `shift`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placed {
    pub turned: f64,
    pub shift: Point,
}

impl Placed {
    pub fn isometry(&self) -> Isometry {
        Isometry::rotation_deg(Point::ORIGIN, self.turned).then(&Isometry::translation(self.shift))
    }
}

/// A condition that holds unless the clauses say otherwise: along the normal, the middle of the turned subject lies at
/// the point.
pub(super) type Usual = (Point, Point);

/// Solves the clauses; the `usual` conditions fill in what they leave open, in order. `None` after a finding.
pub(super) fn place(
    clauses: &[Place],
    subject: &Subject,
    ground: &Ground,
    usual: &[Usual],
    sink: &mut Findings,
) -> Option<Placed> {
    let turned = turn(clauses, subject, ground, sink)?;
    let motion = Isometry::rotation_deg(Point::ORIGIN, turned);
    let mut solver = Solver {
        ground,
        subject,
        points: subject.points.iter().map(|&p| motion.apply(p)).collect(),
        motion,
        conditions: Vec::new(),
    };
    let mut sound = true;
    for clause in clauses {
        sound &= solver.clause(clause, sink);
    }
    if !sound {
        return None;
    }
    let shift = solver.solve(clauses, usual, sink)?;
    Some(Placed { turned, shift })
}

/// Degrees clockwise; `None` when two clauses disagree.
fn turn(clauses: &[Place], subject: &Subject, ground: &Ground, sink: &mut Findings) -> Option<f64> {
    let mut known: Option<(f64, Span)> = None;
    for clause in clauses {
        let degrees = match &clause.kind {
            PlaceKind::Turned(angle) => angle.value(),
            PlaceKind::UpsideDown => 180.0,
            PlaceKind::Along { .. } => {
                let Some((own, goal)) = along_lines(clause, subject) else { continue };
                let (Some(own), Some(goal)) = (own.vector().unit(), goal.vector().unit()) else { continue };
                libm::atan2(own.cross(goal), own.dot(goal)).to_degrees()
            }
            _ => continue,
        };
        match known {
            Some((before, span)) if angle_between(before, degrees) > PARALLEL_DEG => {
                sink.report(found::TurnSaidTwice {
                    part: subject.name.clone(),
                    on: ground.name.clone(),
                    first: span,
                    second: clause.span,
                    degrees: (before, degrees),
                });
                return None;
            }
            Some(_) => {}
            None => known = Some((degrees, clause.span)),
        }
    }
    Some(known.map_or(0.0, |(degrees, _)| degrees))
}

fn angle_between(a: f64, b: f64) -> f64 {
    let difference = (a - b).rem_euclid(360.0);
    difference.min(360.0 - difference)
}

/// The part's own line from its first end on, and the line it lies along, for an `along` clause.
fn along_lines(clause: &Place, subject: &Subject) -> Option<(Segment, Segment)> {
    let PlaceKind::Along { own, start, through, first } = &clause.kind else { return None };
    let line = (subject.edge)(own).or_else(|| (subject.locate)(own)?.line())?;
    let line = match first.as_ref().and_then(|feature| (subject.locate)(feature)) {
        Some(end) if end.distance(line.end) < end.distance(line.start) => line.reversed(),
        _ => line,
    };
    let goal = Segment::new(super::outline::point(start), super::outline::point(through));
    Some((line, goal))
}

struct Solver<'a, 'b> {
    ground: &'a Ground<'b>,
    subject: &'a Subject<'b>,
    /// The subject's corners after turning.
    points: Vec<Point>,
    motion: Isometry,
    conditions: Vec<Condition>,
}

impl Solver<'_, '_> {
    fn near(&self, normal: Point) -> f64 {
        self.points.iter().map(|&p| normal.dot(p)).fold(f64::INFINITY, f64::min)
    }

    fn middle(&self) -> Point {
        Rect::of_points(self.points.iter().copied()).map_or(Point::ORIGIN, |rect| rect.centre())
    }

    fn push(&mut self, normal: Point, own: f64, goal: f64, span: Span) {
        self.conditions.push(Condition { normal, offset: goal - own, span });
    }

    /// Turns one clause into conditions; false after a finding.
    fn clause(&mut self, clause: &Place, sink: &mut Findings) -> bool {
        let span = clause.span;
        match &clause.kind {
            PlaceKind::Centred(Some(axis)) => {
                let normal = axis_normal(*axis);
                let (own, goal) = (normal.dot(self.middle()), normal.dot(self.ground.bounds.centre()));
                self.push(normal, own, goal, span);
            }
            PlaceKind::At(word) => {
                if let Located::Edge { line, inward } =
                    Located::side(&self.ground.bounds, super::built::side(*word))
                {
                    self.push(inward, self.near(inward), inward.dot(line.start), span);
                }
            }
            PlaceKind::Reading { centre, at } => {
                let Some((normal, base)) = self.reading_base(&at.from) else {
                    return self.unreadable(&at.from, sink);
                };
                let by_centre = *centre || self.subject.by_centre;
                let own = if by_centre { normal.dot(self.middle()) } else { self.near(normal) };
                self.push(normal, own, base + at.value.value(), span);
            }
            PlaceKind::Range(range) => {
                let Some((normal, base)) = self.reading_base(&range.from) else {
                    return self.unreadable(&range.from, sink);
                };
                self.push(normal, self.near(normal), base + range.start.value(), span);
                self.push(normal, -self.near(-normal), base + range.end.value(), span);
            }
            PlaceKind::Beside { subject, value, direction, of } => {
                return self.beside(subject.as_ref(), value.value(), *direction, of, span, sink);
            }
            PlaceKind::EdgeToEdge { own, other } => return self.edge_to_edge(own, other, span, sink),
            PlaceKind::Along { own, first, .. } => {
                let Some((line, goal)) = along_lines(clause, self.subject) else {
                    return self.unreadable(own, sink);
                };
                if let Some(first) = first.as_ref().filter(|first| self.names_no_end(first, &line)) {
                    return self.no_such_end(own, first, &line, sink);
                }
                let start = self.motion.apply(line.start);
                for normal in [pt(1.0, 0.0), pt(0.0, 1.0)] {
                    self.push(normal, normal.dot(start), normal.dot(goal.start), span);
                }
            }
            PlaceKind::Centred(None) | PlaceKind::Turned(_) | PlaceKind::UpsideDown => {}
        }
        true
    }

    /// Both ends of the line lie as far from what is named as an end.
    fn names_no_end(&self, end: &Feature, line: &Segment) -> bool {
        let far = |at: &Located| (at.distance(line.start) - at.distance(line.end)).abs();
        (self.subject.locate)(end).is_some_and(|at| far(&at) <= COINCIDENT_MM)
    }

    fn no_such_end(&self, own: &Feature, end: &Feature, line: &Segment, sink: &mut Findings) -> bool {
        let along = line.vector();
        let across = along.x.abs() >= along.y.abs();
        sink.report(found::EdgeHasNoSuchEnd {
            part: self.subject.name.clone(),
            said: match &end.what {
                FeatureKind::Edge(_, word) => super::built::side(*word).word().to_string(),
                FeatureKind::Crease(name) => name.clone(),
                _ => self.subject.name.clone(),
            },
            place: end.span,
            edge: own.span,
            ends: if across { ["left", "right"] } else { ["top", "bottom"] },
        });
        false
    }

    fn unreadable(&self, feature: &Feature, sink: &mut Findings) -> bool {
        sink.report(found::ReadsFromNoLine { part: self.subject.name.clone(), place: feature.span });
        false
    }

    /// The direction a reading runs in and where it starts.
    fn reading_base(&self, from: &Feature) -> Option<(Point, f64)> {
        match (self.ground.locate)(from)? {
            Located::Edge { line, inward } => Some((inward, inward.dot(line.start))),
            Located::Line(line) => {
                let normal = line.vector().unit()?.turned_right();
                let normal = towards(normal, line.start, self.ground.bounds.centre());
                Some((normal, normal.dot(line.start)))
            }
            Located::Box(_) | Located::Point(_) => None,
        }
    }

    fn beside(
        &mut self,
        own: Option<&Feature>,
        value: f64,
        direction: DirectionWord,
        of: &Feature,
        span: Span,
        sink: &mut Findings,
    ) -> bool {
        let Some(other) = (self.ground.locate)(of) else { return self.unreadable(of, sink) };
        let looks = looks(direction);
        let normal = match other.line().and_then(|line| line.vector().unit()) {
            Some(unit) => {
                let normal = unit.turned_right();
                // A line that runs the way of the direction has no such side.
                if normal.dot(looks).abs() < 0.1 {
                    return self.unreadable(of, sink);
                }
                if normal.dot(looks) < 0.0 { -normal } else { normal }
            }
            None => looks,
        };
        let goal = other.points().iter().map(|&p| normal.dot(p)).fold(f64::NEG_INFINITY, f64::max) + value;
        let at = match own {
            None => self.near(normal),
            Some(feature) => {
                let Some(located) = (self.subject.locate)(feature) else {
                    return self.unreadable(feature, sink);
                };
                let located = located.transformed(&self.motion);
                if let Some(line) = located.line()
                    && !is_square(&line, normal)
                {
                    return self.slanted((feature, of), &line, normal, -normal, sink);
                }
                located.points().iter().map(|&p| normal.dot(p)).fold(f64::INFINITY, f64::min)
            }
        };
        self.push(normal, at, goal, span);
        true
    }

    fn edge_to_edge(&mut self, own: &Feature, other: &Feature, span: Span, sink: &mut Findings) -> bool {
        let line_of = |located: Option<Located>| located.and_then(|l| l.line());
        let there = (self.ground.locate)(other);
        let inward = match there {
            Some(Located::Edge { inward, .. }) => Some(inward),
            _ => None,
        };
        let Some(target) = line_of(there) else { return self.unreadable(other, sink) };
        let Some(mine) = line_of((self.subject.locate)(own).map(|l| l.transformed(&self.motion))) else {
            return self.unreadable(own, sink);
        };
        let Some(normal) = target.vector().unit().map(Point::turned_right) else { return true };
        if !is_square(&mine, normal) {
            return self.slanted((own, other), &mine, normal, inward.unwrap_or(normal), sink);
        }
        self.push(normal, normal.dot(mine.start), normal.dot(target.start), span);
        true
    }

    /// Reports an edge that does not run like the line it is put against. Of the two turns that bring it in line, the
    /// one is proposed that lays the part to the side of `towards`.
    fn slanted(
        &self,
        (own, other): (&Feature, &Feature),
        line: &Segment,
        normal: Point,
        towards: Point,
        sink: &mut Findings,
    ) -> bool {
        let unit = line.vector().unit().unwrap_or(normal);
        let along = normal.turned_left();
        let off = libm::atan2(unit.cross(along), unit.dot(along)).to_degrees().rem_euclid(180.0);
        let body = self.middle() - line.start;
        let laid = |turn: f64| Isometry::rotation_deg(Point::ORIGIN, turn).apply_vector(body).dot(towards);
        let turn = if laid(off) >= laid(off + 180.0) { off } else { off + 180.0 };
        sink.report(found::EdgesNotParallel {
            part: self.subject.name.clone(),
            own: own.span,
            other: other.span,
            degrees: off.min(180.0 - off),
            write_at: self.subject.write_at,
            turn,
        });
        false
    }

    fn solve(&self, clauses: &[Place], usual: &[Usual], sink: &mut Findings) -> Option<Point> {
        let mut first: Option<Condition> = None;
        let mut second: Option<Condition> = None;
        for condition in &self.conditions {
            let Some(a) = first else {
                first = Some(*condition);
                continue;
            };
            let parallel = a.normal.cross(condition.normal).abs() < 1e-6;
            let disagreement = match second {
                _ if parallel => {
                    let sign = a.normal.dot(condition.normal).signum();
                    Some((condition.offset - sign * a.offset, a.span))
                }
                None => {
                    second = Some(*condition);
                    None
                }
                Some(b) => {
                    let shift = meet(a, b);
                    let other = if b.normal.cross(condition.normal).abs() < 1e-6 { b.span } else { a.span };
                    Some((condition.offset - condition.normal.dot(shift), other))
                }
            };
            if let Some((difference, other)) = disagreement
                && difference.abs() > COINCIDENT_MM
            {
                return self.twice(other, condition.span, difference.abs(), sink);
            }
        }
        let centred = clauses.iter().find(|c| matches!(c.kind, PlaceKind::Centred(None)));
        for &(normal, goal) in usual.iter().filter(|_| centred.is_none()) {
            let condition =
                Condition { normal, offset: normal.dot(goal - self.middle()), span: self.subject.span };
            match (first, second) {
                (None, _) => first = Some(condition),
                (Some(a), None) if a.normal.cross(normal).abs() > 1e-6 => second = Some(condition),
                _ => {}
            }
        }
        let centre = self.ground.bounds.centre() - self.middle();
        match (first, second, centred) {
            (Some(a), Some(b), None) => Some(meet(a, b)),
            (Some(a), Some(b), Some(clause)) => {
                let shift = meet(a, b);
                let off = shift - centre;
                if off.x.abs() > COINCIDENT_MM && off.y.abs() > COINCIDENT_MM {
                    return self.twice(a.span, clause.span, off.x.abs().min(off.y.abs()), sink);
                }
                Some(shift)
            }
            (Some(a), None, Some(clause)) => {
                let normal = a.normal.turned_right();
                Some(meet(a, Condition { normal, offset: normal.dot(centre), span: clause.span }))
            }
            (None, _, Some(_)) => Some(centre),
            (Some(a), None, None) => self.missing(free_direction(a.normal.turned_right()), sink),
            (None, _, None) => self.missing(Free::Both, sink),
        }
    }

    fn twice(&self, first: Span, second: Span, difference: f64, sink: &mut Findings) -> Option<Point> {
        sink.report(found::PlacementSaidTwice {
            part: self.subject.name.clone(),
            on: self.ground.name.clone(),
            first,
            second,
            difference,
        });
        None
    }

    fn missing(&self, free: Free, sink: &mut Findings) -> Option<Point> {
        sink.report(found::PlacementMissesDirection {
            part: self.subject.name.clone(),
            on: self.ground.name.clone(),
            place: self.subject.span,
            across: matches!(free, Free::Both | Free::Across),
            down: matches!(free, Free::Both | Free::Down),
            write_at: self.subject.write_at,
        });
        None
    }
}

fn axis_normal(axis: AxisWord) -> Point {
    match axis {
        AxisWord::Across => pt(1.0, 0.0),
        AxisWord::Down => pt(0.0, 1.0),
    }
}

fn is_square(line: &Segment, normal: Point) -> bool {
    let sine = libm::sin(PARALLEL_DEG.to_radians());
    line.vector().unit().is_none_or(|unit| unit.dot(normal).abs() <= sine)
}

fn free_direction(direction: Point) -> Free {
    if direction.y.abs() < 1e-3 {
        Free::Across
    } else if direction.x.abs() < 1e-3 {
        Free::Down
    } else {
        Free::Along
    }
}

/// The shift that two conditions fix (Cramer's rule).
fn meet(a: Condition, b: Condition) -> Point {
    let determinant = a.normal.cross(b.normal);
    pt(
        (a.offset * b.normal.y - b.offset * a.normal.y) / determinant,
        (a.normal.x * b.offset - b.normal.x * a.offset) / determinant,
    )
}

/// The word for a side, for parts that move: where the end of a motion along `direction` lies.
pub(super) fn side_towards(direction: Point) -> Side {
    if direction.x.abs() > direction.y.abs() {
        if direction.x > 0.0 { Side::Right } else { Side::Left }
    } else if direction.y > 0.0 {
        Side::Bottom
    } else {
        Side::Top
    }
}
