//! Contact along motions, against an oracle that shares no code with the engine: parallel folds are plane figures, so
//! a dense scan of segment crossings in their cross-section, from intersections of circles, tells when panels meet.

use plica::motion::{Body, BodyId, Clash, Iso, JointId, Link, Linkage, Panel, Point2, Pose, PoseFault};
use proptest::prelude::*;

fn plate(from: f64, to: f64, low: f64, high: f64) -> Body {
    Body::polygon(vec![[from, low], [to, low], [to, high], [from, high]])
}

fn up(x: f64) -> [Point2; 2] {
    [[x, 0.0], [x, 30.0]]
}

fn down(x: f64) -> [Point2; 2] {
    [[x, 30.0], [x, 0.0]]
}

type Fold = [f64; 4];

/// A card with parallel folds `[a, b, p, q]`, each lying between two heights along the gutter.
fn card(folds: &[(Fold, f64, f64)]) -> Linkage {
    let mut linkage = Linkage::default();
    let right = linkage.add_body(plate(0.0, 150.0, 0.0, 30.0));
    let left = linkage.add_body(plate(-150.0, 0.0, 0.0, 30.0));
    linkage.add_joint(Link::crease(right, left, up(0.0)).valley());
    for &([a, b, p, q], low, high) in folds {
        let panel_right = linkage.add_body(plate(0.0, p, low, high));
        let panel_left = linkage.add_body(plate(-q, 0.0, low, high));
        linkage.add_joint(Link::hinge(right, up(a), panel_right, up(p)).valley());
        linkage.add_joint(Link::hinge(left, down(-b), panel_left, down(-q)).valley());
        linkage.add_joint(Link::crease(panel_right, panel_left, up(0.0)).mountain());
    }
    linkage
}

/// Contacts while the card opens from 1 to 170 degrees.
fn opening_contacts(linkage: &Linkage) -> Result<Vec<Clash>, PoseFault> {
    let travel = linkage.travel(JointId(0), None)?;
    let pose_at = |opening: f64| travel.pose(linkage, 180.0 - opening);
    Ok(linkage.contacts(&pose_at, (1.0, 170.0), 1e-2, &plica::motion::Pairs::default())?.clashes)
}

type Segment = ([f64; 2], [f64; 2]);

/// Feet and ridge of a fold in the cross-section.
fn section([a, b, p, q]: Fold, opening: f64) -> [Segment; 2] {
    let (sin, cos) = opening.to_radians().sin_cos();
    let (right, left) = ([a, 0.0], [b * cos, b * sin]);
    let (dx, dy) = (left[0] - right[0], left[1] - right[1]);
    let span = dx.hypot(dy);
    let along = (p * p - q * q + span * span) / (2.0 * span);
    let off = (p * p - along * along).max(0.0).sqrt();
    // The ridge lies on the side away from the gutter: on the right hand going from the right foot to the left.
    let ridge = [right[0] + (along * dx + off * dy) / span, right[1] + (along * dy - off * dx) / span];
    [(right, ridge), (left, ridge)]
}

fn crosses((a, b): Segment, (c, d): Segment) -> bool {
    let side =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Openings, every 0.05 degrees, with whether the two folds cross.
fn scan(one: Fold, other: Fold) -> Vec<(f64, bool)> {
    let meet = |t: f64| section(one, t).iter().any(|&s| section(other, t).iter().any(|&u| crosses(s, u)));
    (0..=3380).map(|k| 1.0 + 0.05 * f64::from(k)).map(|t| (t, meet(t))).collect()
}

fn settings() -> ProptestConfig {
    ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(settings())]

    #[test]
    fn nested_folds_meet_when_their_cross_sections_do(
        a in 12.0..35.0f64, b in 12.0..35.0f64, p in 25.0..60.0f64,
        wider in 4.0..25.0f64, c in 25.0..55.0f64, r in 25.0..60.0f64,
    ) {
        // Two folds that close flat.
        let inner = [a, b, p, a + p - b];
        let outer = [a + wider, c, r, a + wider + r - c];
        prop_assume!(inner[3] > 15.0 && outer[3] > 15.0 && outer[3] < 100.0);
        // Both must reach across the open card.
        prop_assume!(inner[2] + inner[3] > inner[0] + inner[1] + 1.0 && outer[2] + outer[3] > outer[0] + outer[1] + 1.0);
        prop_assume!((c - b).abs() > 2.0);
        let scan = scan(inner, outer);
        let linkage = card(&[(inner, 0.0, 30.0), (outer, 0.0, 30.0)]);
        let clashes = opening_contacts(&linkage).map_err(|f| TestCaseError::fail(format!("{f:?}")))?;
        let in_clash = |t: f64| clashes.iter().any(|c| (c.from..=c.to).contains(&t));
        let edge = |t: f64| clashes.iter().any(|c| (c.from - t).abs() < 0.1 || (c.to - t).abs() < 0.1);
        for (t, meet) in scan {
            prop_assert!(in_clash(t) == meet || edge(t), "at {t}: {meet}, but {clashes:?}");
        }
        // Folds beside each other along the gutter never meet.
        let apart = card(&[(inner, 0.0, 14.0), (outer, 16.0, 30.0)]);
        let clashes = opening_contacts(&apart).map_err(|f| TestCaseError::fail(format!("{f:?}")))?;
        prop_assert!(clashes.is_empty(), "{clashes:?}");
    }
}

/// A flap hinged at the left edge of a base swings from 0 to 180 degrees through an upright wall that may have a window.
fn swing(window: Option<[Point2; 4]>) -> Vec<Clash> {
    let mut linkage = Linkage::default();
    let base = linkage.add_body(plate(0.0, 100.0, 0.0, 30.0));
    // The wall's own y runs upwards: it stands across the base at y = 15.
    let mut wall =
        Panel { outline: vec![[0.0, 0.0], [100.0, 0.0], [100.0, 60.0], [0.0, 60.0]], holes: Vec::new() };
    wall.holes.extend(window.map(|w| w.to_vec()));
    let wall = linkage.add_body(Body { panels: vec![wall] });
    let stand = Iso::turn([0.0, 15.0, 0.0].into(), [1.0, 0.0, 0.0].into(), std::f64::consts::FRAC_PI_2)
        * Iso::translation([0.0, 15.0, 0.0].into());
    linkage.add_joint(Link::fixed(base, wall, stand));
    let flap = linkage.add_body(plate(40.0, 50.0, 5.0, 25.0));
    // Hinged along x = 50: the flap reaches 40 to 50 and turns towards 50 to 60, through the plane of the wall.
    let hinge = linkage.add_joint(Link::crease(base, flap, [[50.0, 0.0], [50.0, 30.0]]));
    let pose_at = |deg: f64| linkage.pose(&[(hinge, deg)], &linkage.rest());
    let report = linkage
        .contacts(&pose_at, (5.0, 175.0), 1e-2, &plica::motion::Pairs::default())
        .expect("a tree has poses");
    report.clashes
}

#[test]
fn a_window_lets_a_flap_through_and_a_solid_wall_does_not() {
    let through = |low: f64, high: f64| Some([[35.0, low], [65.0, low], [65.0, high], [35.0, high]]);
    assert!(swing(through(0.0, 20.0)).is_empty());
    let clashes = swing(None);
    assert_eq!(
        clashes.iter().map(|c| (c.a, c.b, c.from, c.to)).collect::<Vec<_>>(),
        vec![(BodyId(1), BodyId(2), 5.0, 175.0)]
    );
    // A window 8 high and 30 wide: the tip, 10 from the hinge, is above its edge between asin(0.8) and its mirror.
    let clashes = swing(through(0.0, 8.0));
    let limit = 0.8f64.asin().to_degrees();
    assert_eq!(clashes.len(), 1, "{clashes:?}");
    assert!(
        (clashes[0].from - limit).abs() < 0.02 && (clashes[0].to - (180.0 - limit)).abs() < 0.02,
        "{clashes:?}"
    );
}

#[test]
fn a_thin_crossing_between_coarse_samples_is_found() {
    // A blade 0.02 mm high swings past a pin-thin bar: contact lasts a fraction of a degree.
    let mut linkage = Linkage::default();
    let base = linkage.add_body(plate(0.0, 100.0, 0.0, 30.0));
    let bar = linkage.add_body(plate(80.0, 80.02, -5.0, 5.0));
    let lifted = Iso::turn([80.0, 10.0, 0.0].into(), [1.0, 0.0, 0.0].into(), std::f64::consts::FRAC_PI_2)
        * Iso::translation([0.0, 10.0, 0.0].into());
    linkage.add_joint(Link::fixed(base, bar, lifted));
    let blade = linkage.add_body(plate(0.0, 60.0, 0.0, 0.02));
    let pin = linkage.add_joint(Link::pin(base, [40.0, -20.0], blade, [0.0, 0.0]));
    let pose_at = |deg: f64| -> Result<Pose, PoseFault> { linkage.pose(&[(pin, deg)], &linkage.rest()) };
    let report = linkage
        .contacts(&pose_at, (0.0, 90.0), 1e-3, &plica::motion::Pairs::default())
        .expect("a tree has poses");
    // The bar stands at (80, 10): seen from the pin at atan2(30, 40) = 36.87 degrees, 50 mm out.
    let at = 36.87;
    assert!(!report.clashes.is_empty(), "{report:?}");
    assert!(
        report.clashes.iter().all(|c| c.from > at - 0.2 && c.to < at + 0.2 && c.to - c.from < 0.2),
        "{report:?}"
    );
}

/// A sheet of 20 by 20 that goes straight along the normal of a wall of 60 by 30, from 50 off it to `to` (beyond it when
/// negative); it begins `aside` along the wall. `path` is how far it has gone by a share of the motion.
fn face_to_face(wall: Panel, aside: f64, to: f64, path: impl Fn(f64) -> f64) -> plica::motion::ContactReport {
    let mut linkage = Linkage::default();
    linkage.add_body(Body { panels: vec![wall] });
    linkage.add_body(plate(aside, aside + 20.0, 5.0, 25.0));
    let pose_at = |s: f64| {
        let off = 50.0 + (to - 50.0) * path(s);
        let bodies = vec![Iso::identity(), Iso::translation([0.0, 0.0, off].into())];
        Ok::<Pose, PoseFault>(Pose { bodies, values: Vec::new(), gap_mm: 0.0 })
    };
    linkage.contacts(&pose_at, (0.0, 1.0), 2e-3, &plica::motion::Pairs::default()).expect("every pose exists")
}

fn wall(holes: Vec<Vec<Point2>>) -> Panel {
    Panel { outline: vec![[0.0, 0.0], [60.0, 0.0], [60.0, 30.0], [0.0, 30.0]], holes }
}

#[test]
fn sheets_that_stand_face_to_face_pass_through_each_other() {
    let window = |from: f64, to: f64| vec![vec![[from, 2.0], [to, 2.0], [to, 28.0], [from, 28.0]]];
    // Five sevenths of the way to 20 beyond the wall, and whether a place that is looked at lies in its plane or not.
    for to in [-20.0, -50.0, -33.3] {
        let report = face_to_face(wall(Vec::new()), 15.0, to, |s| s);
        let met = 50.0 / (50.0 - to);
        let [clash] = report.passing.as_slice() else { panic!("{report:?}") };
        assert_eq!((clash.a, clash.b), (BodyId(0), BodyId(1)));
        assert!(clash.from <= met && met <= clash.to && clash.to - clash.from < 0.005, "{clash:?}, {met}");
    }
    // Half of the sheet meets the bar beside the window; all of it goes through the wider one, and past the wall.
    assert_eq!(face_to_face(wall(window(20.0, 50.0)), 10.0, -20.0, |s| s).passing.len(), 1);
    for (holes, aside) in [(window(10.0, 50.0), 15.0), (Vec::new(), 61.0)] {
        let report = face_to_face(wall(holes), aside, -20.0, |s| s);
        assert!(
            report.passing.is_empty() && report.grazing.is_empty() && report.clashes.is_empty(),
            "{report:?}"
        );
    }
}

/// Sheets that come to rest on each other, or nearly, have not passed.
#[test]
fn sheets_that_touch_face_on_have_not_passed() {
    for (to, path) in [
        (0.0, (|s| s) as fn(f64) -> f64),
        (0.001, |s| s),
        (0.0, |s| (2.0 * s).min(1.0)),
        // Lying on each other with the noise of loops that close to within their tolerance.
        (0.0, |s| if s < 0.5 { 2.0 * s } else { 1.0 + 4e-4 * (900.0 * s).sin() }),
    ] {
        let report = face_to_face(wall(Vec::new()), 15.0, to, path);
        assert!(report.passing.is_empty() && report.clashes.is_empty(), "{report:?}");
        assert!(!report.grazing.is_empty(), "{report:?}");
    }
    // A sheet that slips by the edge of the wall while it passes its plane stays open: it may go round.
    let report = face_to_face(wall(Vec::new()), 59.98, -20.0, |s| s);
    assert!(report.passing.is_empty() && !report.grazing.is_empty(), "{report:?}");
}

/// A sheet that goes through the wall and comes back stands at the end where it began.
#[test]
fn a_way_there_and_back_is_followed() {
    let report = face_to_face(wall(Vec::new()), 15.0, -30.0, |s| 1.0 - (2.0 * s - 1.0).abs());
    let [there, back] = report.passing.as_slice() else { panic!("{report:?}") };
    let met = 50.0 / 80.0 / 2.0;
    assert!(there.from <= met && met <= there.to, "{there:?}, {met}");
    assert!(back.from <= 1.0 - met && 1.0 - met <= back.to, "{back:?}, {met}");
    // Turned round before the wall it meets nothing.
    let report = face_to_face(wall(Vec::new()), 15.0, 10.0, |s| 1.0 - (2.0 * s - 1.0).abs());
    assert!(
        report.passing.is_empty() && report.clashes.is_empty() && report.grazing.is_empty(),
        "{report:?}"
    );
}

/// A wall that stands upright on a plate and reaches so far through it.
#[test]
fn sheets_that_reach_through_each_other_by_less_than_a_loop_closes_to_only_touch() {
    let mut linkage = Linkage::default();
    let floor = linkage.add_body(plate(0.0, 60.0, 0.0, 30.0));
    let upright = linkage.add_body(plate(0.0, 40.0, 5.0, 25.0));
    let crosses = |deep: f64| {
        // Turned about the y axis the wall's x runs down; it begins above the plate's middle.
        let turn = Iso::turn([0.0, 0.0, 0.0].into(), [0.0, 1.0, 0.0].into(), 90f64.to_radians());
        let stands = Iso::translation([30.0, 0.0, 40.0 - deep].into()) * turn;
        let pose = Pose { bodies: vec![Iso::identity(), stands], values: Vec::new(), gap_mm: 0.0 };
        linkage.cross_deeper((floor, upright), &pose, 0.05)
    };
    assert!(!crosses(-1.0) && !crosses(0.0) && !crosses(0.04));
    assert!(crosses(0.11) && crosses(1.0) && crosses(20.0));
}
