//! Poses of small linkages, checked against elementary geometry worked out by hand.

use plica::motion::{Body, BodyId, FaultKind, Iso, JointId, Link, Linkage, Point2, Pose, Range, Stop, Vec3};

fn rectangle(width: f64, height: f64) -> Body {
    Body::polygon(vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
}

fn near(found: [f64; 3], wanted: [f64; 3], allowed: f64) {
    let distance = (Vec3::from(found) - Vec3::from(wanted)).norm();
    assert!(distance <= allowed, "{found:?} should be {wanted:?}");
}

/// A strip of squares of side 10, each folded onto the next along its right edge.
fn strip(count: usize) -> Linkage {
    let mut linkage = Linkage::default();
    for _ in 0..count {
        linkage.add_body(rectangle(10.0, 10.0));
    }
    for k in 1..count {
        // Directed so that the next square lies on the left.
        let (a_line, b_line): ([Point2; 2], [Point2; 2]) =
            ([[10.0, 10.0], [10.0, 0.0]], [[0.0, 10.0], [0.0, 0.0]]);
        linkage.add_joint(Link::hinge(BodyId(k - 1), a_line, BodyId(k), b_line));
    }
    linkage
}

#[test]
fn a_tree_takes_its_values_exactly() {
    let linkage = strip(3);
    let joints = [(plica::motion::JointId(0), 90.0), (plica::motion::JointId(1), 90.0)];
    let pose = linkage.pose(&joints, &linkage.rest()).expect("a tree always has a pose");
    // Two valley folds of 90 degrees: the second square stands up, the third hangs over the first.
    near(pose.body(BodyId(1)).place([10.0, 0.0]), [10.0, 0.0, 10.0], 1e-12);
    near(pose.body(BodyId(2)).place([10.0, 0.0]), [0.0, 0.0, 10.0], 1e-12);
    assert_eq!(pose.gap_mm, 0.0);
}

#[test]
fn joints_that_nothing_drives_rest() {
    let mut linkage = strip(2);
    linkage.joints[0].rest = -90.0;
    let pose = linkage.pose(&[], &linkage.rest()).expect("a tree always has a pose");
    near(pose.body(BodyId(1)).place([10.0, 0.0]), [10.0, 0.0, -10.0], 1e-12);
}

#[test]
fn slides_pins_and_foam_move_as_they_say() {
    let mut linkage = Linkage::default();
    let base = linkage.add_body(rectangle(50.0, 50.0));
    let strap = linkage.add_body(rectangle(5.0, 5.0));
    let wheel = linkage.add_body(rectangle(5.0, 5.0));
    let sign = linkage.add_body(rectangle(5.0, 5.0));
    let slide =
        linkage.add_joint(Link::slide(base, strap, [0.0, 2.0], Iso::translation(Vec3::new(20.0, 0.0, 0.0))));
    let pin = linkage.add_joint(Link::pin(strap, [1.0, 1.0], wheel, [0.0, 0.0]));
    linkage.add_joint(Link::fixed(wheel, sign, Iso::translation(Vec3::new(0.0, 0.0, 2.0))));
    let pose = linkage.pose(&[(slide, 7.0), (pin, 90.0)], &linkage.rest()).expect("a tree always has a pose");
    near(pose.body(strap).place([0.0, 0.0]), [20.0, 7.0, 0.0], 1e-12);
    near(pose.body(wheel).place([5.0, 0.0]), [21.0, 13.0, 0.0], 1e-12);
    near(pose.body(sign).place([5.0, 0.0]), [21.0, 13.0, 2.0], 1e-12);
}

#[test]
fn bodies_glued_twice_must_agree() {
    let mut linkage = Linkage::default();
    for _ in 0..3 {
        linkage.add_body(rectangle(10.0, 10.0));
    }
    let by = |x: f64| Iso::translation(Vec3::new(x, 0.0, 0.0));
    linkage.add_joint(Link::fixed(BodyId(0), BodyId(1), by(10.0)));
    linkage.add_joint(Link::fixed(BodyId(1), BodyId(2), by(10.0)));
    let closing = linkage.add_joint(Link::fixed(BodyId(0), BodyId(2), by(20.0)));
    assert!(linkage.pose(&[], &linkage.rest()).is_ok());
    linkage.joints[closing.0].zero = by(20.7);
    let fault = linkage.pose(&[], &linkage.rest()).expect_err("0.7 mm apart");
    assert_eq!((fault.kind, fault.joint), (FaultKind::Open, closing));
    assert!((fault.gap_mm - 0.7).abs() < 1e-12);
}

/// A tube of four strips with the given widths, closed by a hinge between the last and the first.
fn tube(widths: [f64; 4]) -> Linkage {
    let mut linkage = Linkage::default();
    for width in widths {
        linkage.add_body(rectangle(width, 30.0));
    }
    for (k, width) in widths.into_iter().enumerate() {
        let a_line = [[width, 30.0], [width, 0.0]];
        linkage.add_joint(Link::hinge(BodyId(k), a_line, BodyId((k + 1) % 4), [[0.0, 30.0], [0.0, 0.0]]));
    }
    linkage
}

#[test]
fn a_tube_with_all_its_folds_given_closes_only_when_they_add_up() {
    let linkage = tube([40.0, 20.0, 40.0, 20.0]);
    let all = |fold: f64| [0, 1, 2, 3].map(|j| (plica::motion::JointId(j), fold));
    assert!(linkage.pose(&all(90.0), &linkage.rest()).expect("a rectangle").gap_mm < 1e-9);
    let fault = linkage.pose(&all(89.0), &linkage.rest()).expect_err("the folds add up to 356 degrees");
    assert_eq!(fault.kind, FaultKind::Open);
    assert!(fault.gap_mm > 1.0, "gap {}", fault.gap_mm);

    let uneven = tube([40.0, 20.0, 40.0, 20.5]);
    let fault = uneven.pose(&all(90.0), &uneven.rest()).expect_err("opposite sides differ");
    assert!((fault.gap_mm - 0.5).abs() < 1e-9, "gap {}", fault.gap_mm);
}

#[test]
fn a_four_bar_follows_its_driver_and_turns_at_its_limit() {
    // Four-bar with the exterior angles as folds: opposite folds of a parallelogram are equal.
    let linkage = tube([40.0, 20.0, 40.0, 20.0]);
    let driver = plica::motion::JointId(0);
    let square = linkage.pose(&[0, 1, 2, 3].map(|j| (plica::motion::JointId(j), 90.0)), &linkage.rest());
    let square = square.expect("a rectangle").state();
    let pose = linkage.pose(&[(driver, 60.0)], &square).expect("a parallelogram");
    for (fold, wanted) in pose.values.iter().zip([60.0, 120.0, 60.0, 120.0]) {
        assert!((fold - wanted).abs() < 1e-9, "{:?}", pose.values);
    }

    // Sides 40, 20, 30, 20: the far joints are pulled straight when the diagonal is 50 long, by the law of
    // cosines at an interior angle of acos((40² + 20² - 50²) / (2 * 40 * 20)).
    let linkage = tube([40.0, 20.0, 30.0, 20.0]);
    let start = linkage.assemble(&[(driver, 90.0)]).expect("the sides make a quadrilateral").state();
    let (_, end) = linkage.sweep(driver, &start, 0.0).expect("the start is closed");
    let interior = ((1600.0 + 400.0 - 2500.0_f64) / 1600.0).acos().to_degrees();
    assert_eq!(end.stop, Stop::Taut);
    assert!((end.value - (180.0 - interior)).abs() < 1e-6, "{}", end.value);
}

#[test]
fn a_pose_beyond_the_limit_says_where_it_stopped_and_how_far_it_gapes() {
    let linkage = tube([40.0, 20.0, 30.0, 20.0]);
    let driver = plica::motion::JointId(0);
    let start = linkage.assemble(&[(driver, 90.0)]).expect("the sides make a quadrilateral").state();
    let fault = linkage.pose(&[(driver, 30.0)], &start).expect_err("the limit is at 71.8 degrees");
    assert_eq!(fault.kind, FaultKind::Stopped(Stop::Taut));
    // Interior angle 150 degrees: diagonal by the law of cosines against the 50 mm of the taut pair.
    let diagonal = (1600.0 + 400.0 + 1600.0 * 30f64.to_radians().cos()).sqrt();
    assert!(fault.gap_mm > 0.5 * (diagonal - 50.0), "gap {} of {}", fault.gap_mm, diagonal - 50.0);
    assert!((fault.reached.values[0] - 71.79).abs() < 0.01, "{:?}", fault.reached);
}

#[test]
fn states_that_do_not_fit_are_refused() {
    let linkage = strip(2);
    let fault =
        linkage.pose(&[], &plica::motion::State { values: vec![] }).expect_err("one value is missing");
    assert_eq!(fault.kind, FaultKind::Malformed);
    let fault =
        linkage.pose(&[(plica::motion::JointId(9), 1.0)], &linkage.rest()).expect_err("no such joint");
    assert_eq!(fault.kind, FaultKind::Malformed);
    let pose: Result<Pose, _> = Linkage::default().pose(&[], &Linkage::default().rest());
    assert!(pose.expect("nothing is a pose too").bodies.is_empty());
}

/// A flap hinged on a page, a link on its outer face, and a runner that slides away from the flap.
fn lifted_flap(radius: f64, link: f64) -> (Linkage, JointId, JointId) {
    let mut linkage = Linkage::default();
    let page = linkage.add_body(rectangle(200.0, 30.0));
    let flap = linkage.add_body(rectangle(radius, 30.0));
    let band = linkage.add_body(rectangle(link, 30.0));
    let runner = linkage.add_body(rectangle(20.0, 30.0));
    // At zero everything lies in line: flap, link and runner one over the other, from left to right.
    let up = |x: f64| [[x, 0.0], [x, 30.0]];
    let down = |x: f64| [[x, 30.0], [x, 0.0]];
    let hinge = linkage.add_joint(Link::hinge(page, up(100.0), flap, up(radius)).valley());
    linkage.add_joint(Link::hinge(flap, down(0.0), band, down(0.0)).valley());
    linkage.add_joint(Link::hinge(band, down(link), runner, down(0.0)).valley());
    let shift = Iso::translation(Vec3::new(100.0 - radius + link, 0.0, 0.0));
    let slide = linkage.add_joint(Link::slide(page, runner, [1.0, 0.0], shift).within(0.0, 2.0 * radius));
    (linkage, hinge, slide)
}

#[test]
fn a_pull_lifts_a_flap_out_of_its_dead_centre() {
    for (radius, link) in [(25.0, 30.0), (25.0, 40.0), (10.0, 60.0)] {
        let (linkage, hinge, slide) = lifted_flap(radius, link);
        for share in [0.01, 0.2, 0.5, 0.9, 1.0] {
            let pull = 2.0 * radius * share;
            let pose = linkage.pose(&[(slide, pull)], &linkage.rest()).expect("the flap rises");
            assert!(pose.gap_mm < 1e-6);
            // The law of cosines in the triangle of hinge, knuckle and runner.
            let apart: f64 = link - radius + pull;
            let cos = (radius * radius + apart * apart - link * link) / (2.0 * radius * apart);
            let wanted = 180.0 - cos.clamp(-1.0, 1.0).acos().to_degrees();
            let found = pose.values[hinge.0];
            assert!((found - wanted).abs() < 0.01, "{radius} {link} {pull}: {found} should be {wanted}");
        }
    }
}

#[test]
fn a_pull_the_other_way_out_of_a_dead_centre_is_locked() {
    let (mut linkage, _, slide) = lifted_flap(25.0, 30.0);
    linkage.joints[slide.0].range.low = -10.0;
    let fault = linkage.pose(&[(slide, -1.0)], &linkage.rest()).expect_err("the link is stretched out");
    assert_eq!(fault.kind, FaultKind::Locked { certain: true });
    // Nor does it go where the flap may not turn.
    let (mut linkage, hinge, slide) = lifted_flap(25.0, 30.0);
    linkage.joints[hinge.0].range = Range::MOUNTAIN;
    let fault = linkage.pose(&[(slide, 1.0)], &linkage.rest()).expect_err("the page is in the way");
    assert_eq!(fault.kind, FaultKind::Locked { certain: true });
}

/// A flap hinged on a page, two links in a row on its free edge, and a runner. At zero all lie flat in one line; the
/// flap lies back under the links, or before them.
fn lifted_by_two(radius: f64, links: [f64; 2], back: bool) -> (Linkage, JointId, JointId) {
    let mut linkage = Linkage::default();
    let page = linkage.add_body(rectangle(300.0, 30.0));
    let flap = linkage.add_body(rectangle(radius, 30.0));
    let first = linkage.add_body(rectangle(links[0], 30.0));
    let second = linkage.add_body(rectangle(links[1], 30.0));
    let runner = linkage.add_body(rectangle(20.0, 30.0));
    let up = |x: f64| [[x, 0.0], [x, 30.0]];
    let (at_page, at_knuckle) = if back { (radius, 0.0) } else { (0.0, radius) };
    let knuckle = if back { 100.0 - radius } else { 100.0 + radius };
    let hinge = linkage.add_joint(Link::hinge(page, up(100.0), flap, up(at_page)));
    linkage.add_joint(Link::hinge(flap, up(at_knuckle), first, up(0.0)));
    linkage.add_joint(Link::hinge(first, up(links[0]), second, up(0.0)));
    linkage.add_joint(Link::hinge(second, up(links[1]), runner, up(0.0)));
    let shift = Iso::translation(Vec3::new(knuckle + links[0] + links[1], 0.0, 0.0));
    let slide = linkage.add_joint(Link::slide(page, runner, [1.0, 0.0], shift).within(-60.0, 60.0));
    (linkage, hinge, slide)
}

#[test]
fn a_pull_leaves_a_dead_centre_with_two_ways_to_go() {
    for (radius, links) in [(25.0, [30.0, 20.0]), (10.0, [40.0, 40.0])] {
        let (linkage, hinge, slide) = lifted_by_two(radius, links, true);
        for share in [0.05, 0.4, 0.9] {
            let pull = 2.0 * radius * share;
            let pose = linkage.pose(&[(slide, pull)], &linkage.rest()).expect("the flap rises");
            assert!(pose.gap_mm < 1e-6, "{}", pose.gap_mm);
            assert!(pose.values[hinge.0].abs() > 1.0, "{:?}", pose.values);
            // The links are pulled straight or bend, and are never longer than they are.
            let turned = pose.values[hinge.0].to_radians();
            let knuckle = (100.0 - radius * turned.cos(), radius * turned.sin());
            let runner = 100.0 - radius + links[0] + links[1] + pull;
            let apart = (runner - knuckle.0).hypot(knuckle.1);
            assert!(apart < links[0] + links[1] + 1e-6, "{apart}");
        }
    }
}

#[test]
fn a_chain_pulled_straight_is_locked_one_way_and_goes_the_other() {
    let (linkage, _, slide) = lifted_by_two(25.0, [30.0, 20.0], false);
    let fault = linkage.pose(&[(slide, 1.0)], &linkage.rest()).expect_err("it is stretched out");
    assert_eq!(fault.kind, FaultKind::Locked { certain: true });
    let pose = linkage.pose(&[(slide, -5.0)], &linkage.rest()).expect("pushed together it buckles");
    assert!(pose.gap_mm < 1e-6, "{}", pose.gap_mm);
}
