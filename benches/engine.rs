//! How long the engine's own questions take: `cargo bench --bench engine`. Measured figures stand in DEVELOPERS.md.
//!
//! A loop of folds is closed once more by a general library for least squares, on the same equations.

use divan::Bencher;
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{Dyn, Matrix6xX, OMatrix, OVector, U6, VecStorage, Vector6};
use plica::assembly::claims::{ClaimKind, Predicate};
use plica::checks::{self, Subject};
use plica::compile::{Compiled, compile_text};
use plica::findings::Findings;
use plica::geometry::{Polygon, pt};
use plica::layers::{Fact, FlatFace, FlatState, Kept};
use plica::meaning::Request;
use plica::motion::{
    Body, BodyId, Crease, Fold, Iso, JointId, JointKind, Link, Linkage, Point2, Sheet, State, Vec3, lower,
};
use plica::source::Memory;

fn main() {
    divan::main();
}

// ---- one loop of folds

const GUTTER: JointId = JointId(0);
/// Joints round the loop from the right page to itself: 1 from `a` to `b`, -1 back.
const ROUND: [(JointId, f64); 4] = [(JointId(1), 1.0), (JointId(3), 1.0), (JointId(2), -1.0), (GUTTER, -1.0)];
/// mm beside one radian in a residual.
const LENGTH_SCALE_MM: f64 = 50.0;
/// The card stands open at this angle, and is opened one degree further.
const BEFORE_DEG: f64 = 90.0;
const AFTER_DEG: f64 = 91.0;

/// Two pages with a fold across them: two panels that meet at a ridge.
#[derive(Clone, Copy, Debug)]
enum Across {
    /// All four folds are parallel.
    Box,
    /// All four folds meet in one point.
    V,
}

impl Across {
    fn linkage(self) -> Linkage {
        match self {
            Self::Box => box_fold([20.0, 30.0], [55.0, 45.0]),
            Self::V => v_fold(50.0, 70.0),
        }
    }

    /// The linkage, and where it is with the card half open.
    fn half_open(self) -> (Linkage, State) {
        let linkage = self.linkage();
        let pose = linkage.assemble(&[(GUTTER, BEFORE_DEG)]).expect("it closes");
        (linkage, pose.state())
    }
}

fn upright(x: f64) -> [Point2; 2] {
    [[x, 0.0], [x, 30.0]]
}

fn plate(from: f64, to: f64) -> Body {
    Body::polygon(vec![[from, 0.0], [to, 0.0], [to, 30.0], [from, 30.0]])
}

fn pages() -> (Linkage, BodyId, BodyId) {
    let mut linkage = Linkage::default();
    let (right, left) = (linkage.add_body(plate(0.0, 120.0)), linkage.add_body(plate(-120.0, 0.0)));
    linkage.add_joint(Link::crease(right, left, upright(0.0)).valley());
    (linkage, right, left)
}

/// Panels of the given widths, hinged so far from the gutter.
fn box_fold(feet: [f64; 2], widths: [f64; 2]) -> Linkage {
    let (mut linkage, right, left) = pages();
    let (near, far) = (linkage.add_body(plate(0.0, widths[0])), linkage.add_body(plate(-widths[1], 0.0)));
    let down = |x: f64| [[x, 30.0], [x, 0.0]];
    linkage.add_joint(Link::hinge(right, upright(feet[0]), near, upright(widths[0])).valley());
    linkage.add_joint(Link::hinge(left, down(-feet[1]), far, down(-widths[1])).valley());
    linkage.add_joint(Link::crease(near, far, upright(0.0)).mountain());
    linkage
}

/// Panels with a corner of `corner` degrees, hinged along lines at `base` degrees to the gutter.
fn v_fold(base: f64, corner: f64) -> Linkage {
    let (mut linkage, right, left) = pages();
    let ray = |deg: f64, side: f64| {
        [[0.0, 0.0], [side * deg.to_radians().sin() * 40.0, deg.to_radians().cos() * 40.0]]
    };
    let back = |line: [Point2; 2]| [line[1], line[0]];
    let panel = |side: f64| Body::polygon(vec![[0.0, 0.0], ray(corner, side)[1], [0.0, 40.0]]);
    let (near, far) = (linkage.add_body(panel(1.0)), linkage.add_body(panel(-1.0)));
    linkage.add_joint(Link::hinge(right, ray(base, 1.0), near, ray(corner, 1.0)).valley());
    linkage.add_joint(Link::hinge(left, back(ray(base, -1.0)), far, back(ray(corner, -1.0))).valley());
    linkage.add_joint(Link::crease(near, far, [[0.0, 0.0], [0.0, 40.0]]).mountain());
    linkage
}

/// The pose of a card opened by one degree more.
#[divan::bench(args = [Across::Box, Across::V])]
fn loop_of_folds(bencher: Bencher, across: Across) {
    let (linkage, start) = across.half_open();
    bencher.bench(|| linkage.pose(divan::black_box(&[(GUTTER, AFTER_DEG)]), &start));
}

/// The same loop by a general library: turns and shifts round it add up to nothing.
#[divan::bench(args = [Across::Box, Across::V])]
fn loop_of_folds_by_least_squares(bencher: Bencher, across: Across) {
    let (linkage, start) = across.half_open();
    let ours = linkage.pose(&[(GUTTER, AFTER_DEG)], &start).expect("it opens");
    let solve = || {
        let ring = Ring::new(divan::black_box(&linkage), &start, AFTER_DEG);
        LevenbergMarquardt::new().minimize(ring).0.values()
    };
    for (theirs, ours) in solve().iter().zip(&ours.values) {
        assert!((theirs - ours).abs() < 1e-6, "{theirs} and {ours} degrees are not the same pose");
    }
    bencher.bench(solve);
}

/// The loop as the library wants it: three folds sought, in radians, of six equations.
struct Ring<'a> {
    linkage: &'a Linkage,
    gutter_deg: f64,
    folds: OVector<f64, Dyn>,
    residual: Vector6<f64>,
    jacobian: Matrix6xX<f64>,
}

impl<'a> Ring<'a> {
    fn new(linkage: &'a Linkage, start: &State, gutter_deg: f64) -> Self {
        let folds =
            OVector::<f64, Dyn>::from_iterator(3, start.values.iter().skip(1).map(|v| v.to_radians()));
        let mut ring = Self {
            linkage,
            gutter_deg,
            folds: folds.clone(),
            residual: Vector6::zeros(),
            jacobian: Matrix6xX::zeros(3),
        };
        ring.set_params(&folds);
        ring
    }

    /// All four folds in degrees.
    fn values(&self) -> [f64; 4] {
        let [a, b, c] = [self.folds[0], self.folds[1], self.folds[2]].map(f64::to_degrees);
        [self.gutter_deg, a, b, c]
    }
}

impl LeastSquaresProblem<f64, U6, Dyn> for Ring<'_> {
    type ResidualStorage = nalgebra::ArrayStorage<f64, 6, 1>;
    type JacobianStorage = VecStorage<f64, U6, Dyn>;
    type ParameterStorage = VecStorage<f64, Dyn, nalgebra::U1>;

    fn set_params(&mut self, folds: &OVector<f64, Dyn>) {
        self.folds.copy_from(folds);
        let values = self.values();
        let mut frame = Iso::identity();
        for (joint, sign) in ROUND {
            let link = &self.linkage.joints[joint.0];
            let across = link.transform(values[joint.0]);
            let next = frame * if sign > 0.0 { across } else { across.inverse() };
            let JointKind::Hinge { point, axis } = link.kind else { unreachable!("only folds") };
            // A joint's line is given in the frame of its body `a`.
            let home = if sign > 0.0 { frame } else { next };
            let (point, axis) = (home.point(point), home.direction(axis) * sign);
            let shift = axis.cross(&-point) / LENGTH_SCALE_MM;
            if let Some(column) = joint.0.checked_sub(1) {
                let screw = Vector6::new(axis.x, axis.y, axis.z, shift.x, shift.y, shift.z);
                self.jacobian.set_column(column, &screw);
            }
            frame = next;
        }
        let (turn, shift): (Vec3, Vec3) = (frame.rotation_vector(), frame.shift / LENGTH_SCALE_MM);
        self.residual = Vector6::new(turn.x, turn.y, turn.z, shift.x, shift.y, shift.z);
    }

    fn params(&self) -> OVector<f64, Dyn> {
        self.folds.clone()
    }

    fn residuals(&self) -> Option<Vector6<f64>> {
        Some(self.residual)
    }

    fn jacobian(&self) -> Option<OMatrix<f64, U6, Dyn>> {
        Some(self.jacobian.clone())
    }
}

// ---- proofs of motions

/// A whole card whose one motion is proven.
#[derive(Clone, Copy, Debug)]
enum Moving {
    /// Three tiers one after the other.
    Slider,
    /// Three loops of folds at once.
    PopUp,
}

impl Moving {
    fn compiled(self) -> Compiled {
        let text = match self {
            Self::Slider => include_str!("../lang-examples/beanstalk.plica"),
            Self::PopUp => include_str!("../lang-examples/stairs.plica"),
        };
        let request = Request { path: "bench.plica".into(), ..Request::default() };
        compile_text(text, &Memory::default(), &request).expect("a design in memory is read")
    }
}

fn checked(compiled: &Compiled) -> usize {
    // Nothing is known before: what was worked out in the last round does not count.
    let (states, cards, kept) = (&compiled.states, &compiled.cards, &Kept::default());
    let lowered = &lower(&compiled.assembly);
    let subject = Subject { assembly: &compiled.assembly, lowered, states, cards, kept };
    let mut findings = Findings::default();
    checks::run(&subject, &mut findings);
    findings.list().len()
}

/// The proof of the motion, with the checks that every card goes through.
#[divan::bench(args = [Moving::Slider, Moving::PopUp])]
fn proof_of_a_motion(bencher: Bencher, moving: Moving) {
    let mut compiled = moving.compiled();
    compiled
        .assembly
        .claims
        .retain(|c| matches!(&c.expr.kind, ClaimKind::Predicate(Predicate::Moves { .. })));
    assert_eq!(compiled.assembly.claims.len(), 1);
    bencher.bench(|| checked(divan::black_box(&compiled)));
}

/// Those checks alone.
#[divan::bench(args = [Moving::Slider, Moving::PopUp])]
fn checks_without_claims(bencher: Bencher, moving: Moving) {
    let mut compiled = moving.compiled();
    compiled.assembly.claims.clear();
    bencher.bench(|| checked(divan::black_box(&compiled)));
}

/// A page that opens, with pleated leaves of four panels each stuck to one half of it.
fn meadow(leaves: usize) -> String {
    let mut text = String::from(
        "card \"Meadow\"\npaper board: 200gsm, 0.26mm thick\npaper leaf: 160gsm, 0.20mm thick\n\
         piece page of board {\n  size 1010mm by 1000mm\n  valley spine: 500mm from top\n  \
         panels sky, ground from top\n}\n",
    );
    for n in 0..leaves {
        let (row, column) = (n / 25, n % 25);
        text += &format!(
            "piece leaf{n} of leaf {{\n  size 20mm by 18mm\n  valley a: 6mm from top\n  mountain b: 9mm from top\n  \
             valley c: 12mm from top\n  panels p, q, r, s from top\n}}\n\
             glue back of leaf{n}.p to front of page.sky: {}mm from left, {}mm from top\n",
            10 + 40 * column,
            5 + 20 * row
        );
    }
    text + "pose shut { page.spine 180deg }\nmotion turn { page.spine 180deg to 0deg }\nexpect moves(turn)\n"
}

/// From text to findings, the motion of 2,002 panels proven.
#[divan::bench(sample_count = 10)]
fn proof_of_2000_panels(bencher: Bencher) {
    let text = meadow(500);
    let request = Request { path: "bench.plica".into(), ..Request::default() };
    bencher.bench(|| {
        let compiled =
            compile_text(divan::black_box(&text), &Memory::default(), &request).expect("in memory");
        assert!(compiled.findings.list().is_empty());
        compiled.assembly.panels.len()
    });
}

// ---- orders of layers

/// Panels in a plane.
const PANELS: usize = 200;

/// How the panels lie.
#[derive(Clone, Copy, Debug)]
enum Lying {
    /// Cards of 40 by 30 mm all over a sheet of 210 by 148 mm, each stuck to some of those under it.
    Scattered,
    /// One strip, pleated so that all panels lie on one place.
    Pleated,
}

impl Lying {
    fn state(self) -> (FlatState, Vec<Fact>) {
        match self {
            Self::Scattered => scattered(),
            Self::Pleated => {
                let (state, _) = FlatState::of_sheet(&pleats(), 0).expect("pleats always close");
                let facts = state.fold_facts();
                (state, facts)
            }
        }
    }
}

fn scattered() -> (FlatState, Vec<Fact>) {
    // Steps by the golden ratio and by a root of x³ = x + 1 fill the sheet evenly without a pattern.
    let place = |k: usize, step: f64, room: f64| (k as f64 * step).fract() * room;
    let corner = |k: usize| (place(k, 0.754_877_666, 170.0), place(k, 0.569_840_291, 118.0));
    let face = |k: usize| {
        let (x, y) = corner(k);
        let corners = [pt(x, y), pt(x + 40.0, y), pt(x + 40.0, y + 30.0), pt(x, y + 30.0)];
        FlatFace { polygon: Polygon::simple(corners.to_vec()), up: true }
    };
    let state = FlatState { faces: (0..PANELS).map(face).collect(), ..FlatState::default() };
    let overlap = |i: usize, j: usize| {
        let ((a, b), (c, d)) = (corner(i), corner(j));
        (a - c).abs() < 40.0 && (b - d).abs() < 30.0
    };
    let facts = (1..PANELS).filter_map(|upper| {
        Some(Fact::Above { upper, lower: (0..upper).rev().find(|&k| overlap(k, upper))? })
    });
    let facts = facts.collect();
    (state, facts)
}

fn pleats() -> Sheet {
    let mut sheet = Sheet::default();
    for k in 0..=PANELS {
        let x = 30.0 * k as f64;
        sheet.vertices.extend([[x, 0.0], [x, 20.0]]);
    }
    sheet.faces = (0..PANELS).map(|k| vec![2 * k, 2 * k + 2, 2 * k + 3, 2 * k + 1]).collect();
    let fold = |k: usize| if k.is_multiple_of(2) { Fold::Mountain } else { Fold::Valley };
    sheet.creases =
        (1..PANELS).map(|k| Crease { ends: [2 * k, 2 * k + 1], faces: [k - 1, k], fold: fold(k) }).collect();
    sheet
}

/// The order of 200 panels that overlap, from their places and what is known of them.
#[divan::bench(args = [Lying::Scattered, Lying::Pleated], sample_count = 20)]
fn order_of_200_panels(bencher: Bencher, lying: Lying) {
    let (state, facts) = lying.state();
    bencher.bench(|| state.layering().solve(divan::black_box(&facts)).expect("there is an order"));
}
