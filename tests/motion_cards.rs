//! Pop-up folds against the sum rules of the four-bar (elementary geometry: the law of cosines, plane and spherical).

use plica::motion::{Body, BodyId, JointId, Link, Linkage, Point2, State, Stop, Travel};
use plica::quantity::tolerance::CLOSURE_MM;
use proptest::prelude::*;

const GUTTER: JointId = JointId(0);
const FOOT_RIGHT: JointId = JointId(1);
const FOOT_LEFT: JointId = JointId(2);
const RIDGE: JointId = JointId(3);

fn up(x: f64) -> [Point2; 2] {
    [[x, 0.0], [x, 30.0]]
}

fn plate(from: f64, to: f64) -> Body {
    Body::polygon(vec![[from, 0.0], [to, 0.0], [to, 30.0], [from, 30.0]])
}

fn card() -> (Linkage, BodyId, BodyId) {
    let mut linkage = Linkage::default();
    let right = linkage.add_body(plate(0.0, 120.0));
    let left = linkage.add_body(plate(-120.0, 0.0));
    linkage.add_joint(Link::crease(right, left, up(0.0)).valley());
    (linkage, right, left)
}

/// A panel of width `p` hinged at `a` on the right page and one of width `q` at `b` on the left, joined at a ridge.
fn parallel_fold(a: f64, b: f64, p: f64, q: f64) -> Linkage {
    let (mut linkage, right, left) = card();
    let panel_right = linkage.add_body(plate(0.0, p));
    let panel_left = linkage.add_body(plate(-q, 0.0));
    let turned = |x: f64| [[x, 30.0], [x, 0.0]];
    // Panels meet at x = 0 of their own frames; positive feet lift them off the pages.
    linkage.add_joint(Link::hinge(right, up(a), panel_right, up(p)).valley());
    linkage.add_joint(Link::hinge(left, turned(-b), panel_left, turned(-q)).valley());
    linkage.add_joint(Link::crease(panel_right, panel_left, up(0.0)).mountain());
    linkage
}

/// Plates with angles `alpha` at the apex, hinged along lines at angles `beta` to the gutter, joined at a centre crease.
fn v_fold(beta: [f64; 2], alpha: [f64; 2]) -> Linkage {
    let (mut linkage, right, left) = card();
    let from_gutter =
        |deg: f64, side: f64| [side * deg.to_radians().sin() * 40.0, deg.to_radians().cos() * 40.0];
    let origin = [0.0, 0.0];
    let plates = [(alpha[0], 1.0), (alpha[1], -1.0)].map(|(deg, side)| {
        linkage.add_body(Body::polygon(vec![origin, from_gutter(deg, side), [0.0, 40.0]]))
    });
    let base = |deg: f64, side: f64| [origin, from_gutter(deg, side)];
    let back = |line: [Point2; 2]| [line[1], line[0]];
    linkage.add_joint(Link::hinge(right, base(beta[0], 1.0), plates[0], base(alpha[0], 1.0)).valley());
    linkage.add_joint(
        Link::hinge(left, back(base(beta[1], -1.0)), plates[1], back(base(alpha[1], -1.0))).valley(),
    );
    linkage.add_joint(Link::crease(plates[0], plates[1], [origin, [0.0, 40.0]]).mountain());
    linkage
}

fn travel(linkage: &Linkage) -> Result<Travel, TestCaseError> {
    linkage.travel(GUTTER, None).map_err(|f| TestCaseError::fail(format!("{f:?}")))
}

fn acos_deg(cos: f64) -> f64 {
    cos.clamp(-1.0, 1.0).acos().to_degrees()
}

fn settings() -> ProptestConfig {
    ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(settings())]

    /// Lengths to the ridge equal on both pages: the fold closes flat, whatever the four lengths are.
    #[test]
    fn parallel_folds_close_flat_when_the_sums_agree(a in 15.0..60.0f64, b in 15.0..60.0f64, p in 20.0..60.0f64) {
        let q = a + p - b;
        prop_assume!((15.0..90.0).contains(&q));
        // Panels that are short by less than what loops may be open do lie flat.
        prop_assume!(!(0.0..=CLOSURE_MM).contains(&(a + b - p - q)));
        let linkage = parallel_fold(a, b, p, q);
        let travel = travel(&linkage)?;
        prop_assert_eq!((travel.high.stop, travel.high.value), (Stop::Reached, 180.0));
        let closed = travel.states.last().cloned().unwrap_or_default();
        prop_assert!(closed.values.iter().all(|v| (v.abs() - 180.0).abs() < 1e-2), "{closed:?}");
        // It opens flat unless the panels are shorter than what they span.
        let opens = if p + q >= a + b { 180.0 } else { acos_deg((a * a + b * b - (p + q).powi(2)) / (2.0 * a * b)) };
        prop_assert!((180.0 - travel.low.value - opens).abs() < 1e-4, "{:?}, should open to {opens}", travel.low);
    }

    /// Sums that differ: closing stops when the panel of the shorter side lies down on its page.
    #[test]
    fn parallel_folds_with_other_sums_stop_on_the_page(
        a in 20.0..60.0f64, b in 20.0..60.0f64, p in 25.0..60.0f64, more in 2.0..12.0f64,
    ) {
        let q = a + p - b + more;
        prop_assume!((20.0..90.0).contains(&q) && p + q > a + b);
        let linkage = parallel_fold(a, b, p, q);
        let travel = travel(&linkage)?;
        let sum = a + p;
        let stop = acos_deg((b * b + sum * sum - q * q) / (2.0 * b * sum));
        prop_assert!((180.0 - travel.high.value - stop).abs() < 1e-4, "{:?}, should stop at {stop}", travel.high);
        prop_assert_eq!(travel.high.stop, Stop::JointEnd { joint: FOOT_RIGHT, value: 180.0 });
        // On the way the ridge is where two circles meet.
        let opening = 0.5 * (stop + 180.0);
        let pose = travel.pose(&linkage, 180.0 - opening).map_err(|f| TestCaseError::fail(format!("{f:?}")))?;
        let ridge = pose.body(BodyId(2)).place([0.0, 0.0]);
        let (sin, cos) = opening.to_radians().sin_cos();
        let from = |x: f64, z: f64| (ridge[0] - x).hypot(ridge[2] - z);
        prop_assert!((from(a, 0.0) - p).abs() < 1e-6 && (from(b * cos, b * sin) - q).abs() < 1e-6);
        let interior = 180.0 - pose.values[RIDGE.0].abs();
        let span = (a * a + b * b - 2.0 * a * b * cos).sqrt();
        prop_assert!((interior - acos_deg((p * p + q * q - span * span) / (2.0 * p * q))).abs() < 1e-4);
    }

    /// The same on the sphere: base and plate angles add up equally on both sides, or the flatter plate stops.
    #[test]
    fn v_folds_follow_the_sum_rule(
        base_right in 35.0..75.0f64, base_left in 35.0..75.0f64, right in 50.0..95.0f64, more in -8.0..8.0f64,
    ) {
        prop_assume!(more.abs() < 0.5 || more.abs() > 2.0);
        let more = if more.abs() < 0.5 { 0.0 } else { more };
        let left = base_right + right - base_left + more;
        let sums = [base_right + right, base_left + left];
        prop_assume!((45.0..110.0).contains(&left) && sums.iter().all(|s| *s < 170.0));
        prop_assume!(right + left > base_right + base_left + 2.0);
        let linkage = v_fold([base_right, base_left], [right, left]);
        let travel = travel(&linkage)?;
        prop_assert_eq!(travel.low.stop, Stop::Reached, "{:?}", travel.low);
        let sin_cos = |deg: f64| deg.to_radians().sin_cos();
        // The shorter sum lies down; its plate and base make one arc of a spherical triangle.
        let (sum, other_base, other_plate, foot) = if more >= 0.0 {
            (sums[0], base_left, left, FOOT_RIGHT)
        } else {
            (sums[1], base_right, right, FOOT_LEFT)
        };
        let ((ss, cs), (sb, cb)) = (sin_cos(sum), sin_cos(other_base));
        let stop = if more == 0.0 { 0.0 } else { acos_deg((sin_cos(other_plate).1 - cs * cb) / (ss * sb)) };
        prop_assert!((180.0 - travel.high.value - stop).abs() < 1e-3, "{:?}, should stop at {stop}", travel.high);
        if more == 0.0 {
            prop_assert_eq!(travel.high.stop, Stop::Reached);
        } else {
            prop_assert_eq!(travel.high.stop, Stop::JointEnd { joint: foot, value: 180.0 });
        }
    }
}

/// A state tried first that closes within the tolerance only, a little beyond where the fold is taut, is not the end.
#[test]
fn a_fold_is_taut_where_it_closes_exactly() {
    let (a, b, p) = (53.86692801946896, 53.747680209996695, 20.516704137162336f64);
    let q = a + p - b;
    let travel = parallel_fold(a, b, p, q).travel(GUTTER, None).expect("it folds shut");
    let opens = acos_deg((a * a + b * b - (p + q).powi(2)) / (2.0 * a * b));
    assert!((180.0 - travel.low.value - opens).abs() < 1e-4, "{:?}, should open to {opens}", travel.low);
}

#[test]
fn a_box_drawn_flat_opens_from_the_flat_state_without_being_told_how() {
    // a = q, b = p: a parallelogram, every fold zero when the card lies open.
    let linkage = parallel_fold(30.0, 45.0, 45.0, 30.0);
    let pose = linkage.pose(&[(GUTTER, 90.0)], &linkage.rest()).expect("the box leaves the flat state");
    for (joint, wanted) in [(FOOT_RIGHT, 90.0), (FOOT_LEFT, 90.0), (RIDGE, -90.0)] {
        assert!((pose.values[joint.0] - wanted).abs() < 1e-9, "{:?}", pose.values);
    }
    // And comes back down, and folds shut, without leaving its branch.
    let again = linkage.pose(&[(GUTTER, 0.0)], &pose.state()).expect("flat again");
    assert!(again.values.iter().all(|v| v.abs() < 1e-3), "{:?}", again.values);
    let shut = linkage.pose(&[(GUTTER, 180.0)], &pose.state()).expect("shut");
    let opened = linkage.pose(&[(GUTTER, 90.0)], &shut.state()).expect("opens out of the closed state");
    assert!((opened.values[RIDGE.0] + 90.0).abs() < 1e-6, "{:?}", opened.values);
}

#[test]
fn two_folds_on_one_card_are_solved_apart() {
    let mut linkage = parallel_fold(30.0, 45.0, 45.0, 30.0);
    let tent = parallel_fold(35.0, 35.0, 60.0, 60.0);
    linkage.bodies.extend(tent.bodies[2..].iter().cloned());
    let renamed = |body: BodyId| if body.0 < 2 { body } else { BodyId(body.0 + 2) };
    linkage.joints.extend(tent.joints[1..].iter().map(|j| Link {
        a: renamed(j.a),
        b: renamed(j.b),
        ..j.clone()
    }));
    // The tent is not closed at rest and is assembled; the box follows from flat.
    let pose = linkage.pose(&[(GUTTER, 90.0)], &linkage.rest()).expect("both close");
    assert!(pose.gap_mm < 1e-6);
    assert!((pose.values[RIDGE.0] + 90.0).abs() < 1e-9, "{:?}", pose.values);
    // Isosceles: the span is 35 √2, the interior angle at the ridge by its half.
    let interior = 2.0 * (35.0 * 2f64.sqrt() / 2.0 / 60.0).asin().to_degrees();
    assert!((180.0 - pose.values[6].abs() - interior).abs() < 1e-6, "{:?}", pose.values);
    assert_eq!(linkage.free_motions().map(|f| f.nullity), Some(1));
}

#[test]
fn what_cannot_be_put_together_says_how_far_it_is_off() {
    // 10 + 15 mm of panel across feet that are never nearer than 20 mm nor, half open, than 63 mm.
    let linkage = parallel_fold(40.0, 60.0, 10.0, 9.0);
    let fault = linkage.assemble(&[(GUTTER, 90.0)]).expect_err("far too short");
    assert!(fault.gap_mm > 10.0, "{fault:?}");
    assert!(linkage.travel(GUTTER, None).is_err());
    let state = State { values: vec![90.0, 0.0, 0.0, 0.0] };
    assert!(linkage.pose(&[], &state).is_err());
}

/// Six creases at 60 degrees, mountain and valley by turns. With the valleys folded shut all mountains lie on one axis, and
/// three flaps stand round it, 120 degrees apart, so that every mountain is folded by 60 degrees: the farthest they go.
#[test]
fn flaps_that_come_to_touch_where_a_motion_ends_do_not_run_into_each_other() {
    let star = |end: &str| {
        let text = format!(
            "card \"Star\"\npaper thin: 160gsm, 0.20mm thick, sheet A4\npiece leaf of thin {{\n  size 140mm by 140mm\n\
             \x20 mountain c1: from (70mm, 70mm) to (140mm, 70mm)\n  valley c2: from (70mm, 70mm) to (110.41mm, 0mm)\n\
             \x20 mountain c3: from (70mm, 70mm) to (29.59mm, 0mm)\n  valley c4: from (70mm, 70mm) to (0mm, 70mm)\n\
             \x20 mountain c5: from (70mm, 70mm) to (29.59mm, 140mm)\n  valley c6: from (70mm, 70mm) to (110.41mm, 140mm)\n\
             \x20 panel p1 at (96mm, 55mm)\n  panel p2 at (70mm, 40mm)\n  panel p3 at (44mm, 55mm)\n\
             \x20 panel p4 at (44mm, 85mm)\n  panel p5 at (70mm, 100mm)\n  panel p6 at (96mm, 85mm)\n}}\n\
             pose flat {{ }}\npose half {{ leaf.c1 {end}  leaf.c3 {end}  leaf.c5 {end} }}\n\
             motion close {{ leaf.c1 0deg to {end} and leaf.c3 0deg to {end} and leaf.c5 0deg to {end} }}\n\
             expect moves(close)\n"
        );
        let request = plica::meaning::Request::default();
        let compiled = plica::compile::compile_text(&text, &plica::source::Memory::default(), &request);
        let compiled = compiled.expect("a text in memory is read");
        compiled.findings.list().iter().map(|f| f.telling.message.clone()).collect::<Vec<String>>()
    };
    for end in ["40deg", "59.9deg", "60deg"] {
        assert_eq!(star(end), Vec::<String>::new(), "{end}");
    }
}
