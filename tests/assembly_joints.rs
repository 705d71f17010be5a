//! Joints: where clauses and folds put parts, how far they move, and where that stands in space.

mod assembly_support;

use assembly_support::{Lowered, joint, lower, near, panel, piece, slide_range, sound};
use plica::assembly::{Assembly, Face, JointKind, Side, SlideHow};
use plica::geometry::{Point, pt, region_area};
use plica::motion::{PoseState, Vec3, stand};

const PAPER: &str = "card \"Test\"\npaper board: 200gsm, 0.30mm thick\n";
const TWO: &str = "piece page of board { size 60mm by 80mm }\npiece tail of board { size 20mm by 30mm }\n";

fn design(body: &str) -> String {
    format!("{PAPER}{body}")
}

/// Where the part's corners lie on the page, by the one glue joint between them.
fn glued(clauses: &str) -> (Assembly, impl Fn(f64, f64) -> Point) {
    let assembly = sound(&design(&format!("{TWO}glue {clauses}\n")));
    let placement = assembly
        .joints
        .iter()
        .find_map(|joint| match &joint.kind {
            JointKind::Fixed { placement, .. } => Some(*placement),
            _ => None,
        })
        .expect("the part is stuck");
    (assembly, move |x, y| placement.isometry().apply(pt(x, y)))
}

fn at(found: Point, x: f64, y: f64) {
    assert!(found.distance(pt(x, y)) < 1e-9, "{found:?} should be ({x}, {y})");
}

#[test]
fn readings_put_the_near_edge() {
    let (_, place) = glued("back of tail to front of page: 12mm from left, 5mm from bottom");
    at(place(0.0, 0.0), 12.0, 45.0);
    let (_, place) = glued("back of tail to front of page: 12mm from right, centre 30mm from top");
    at(place(20.0, 15.0), 48.0, 30.0);
    let (_, place) = glued("back of tail to front of page: at right, at top");
    at(place(20.0, 0.0), 60.0, 0.0);
    let (_, place) = glued("back of tail to front of page: centred");
    at(place(10.0, 15.0), 30.0, 40.0);
    let (_, place) =
        glued("back of tail to front of page: centred across, tail.bottom 4mm above page.bottom");
    at(place(10.0, 30.0), 30.0, 76.0);
    let (_, place) = glued("back of tail to front of page: centred, upside down, 6mm from top");
    // Its foot is the near edge now.
    at(place(10.0, 30.0), 30.0, 6.0);
    let (_, place) = glued("back of tail to front of page: turned 90deg, 5mm from left, 7mm from top");
    // Clockwise: what was at its foot lies at the left.
    at(place(0.0, 30.0), 5.0, 7.0);
    let (_, place) = glued("back of tail to front of page: left to left, bottom to bottom");
    at(place(0.0, 30.0), 0.0, 80.0);
}

#[test]
fn faces_decide_which_way_a_part_looks() {
    let looks = |clauses: &str| {
        let (assembly, place) = glued(clauses);
        let JointKind::Fixed { placement, faces, area, .. } = &assembly.joints[0].kind else {
            panic!("stuck")
        };
        near(region_area(area), 600.0, 1e-6);
        (placement.flipped, placement.side, *faces, place(0.0, 0.0))
    };
    let (flipped, side, faces, corner) = looks("back of tail to front of page: 12mm from left, 5mm from top");
    assert_eq!((flipped, side, faces), (false, Face::Front, (Face::Back, Face::Front)));
    at(corner, 12.0, 5.0);
    // Turned over about its upright axis: the corner that was left lies right, tops stay tops.
    let (flipped, _, _, corner) = looks("front of tail to front of page: 12mm from left, 5mm from top");
    assert!(flipped);
    at(corner, 32.0, 5.0);
    let (flipped, side, ..) = looks("back of tail to back of page: 12mm from left, 5mm from top");
    assert_eq!((flipped, side), (true, Face::Back));
    let (flipped, side, ..) = looks("front of tail to back of page: 12mm from left, 5mm from top");
    assert_eq!((flipped, side), (false, Face::Back));
}

#[test]
fn a_face_looks_where_its_joint_says_in_space() {
    for (clauses, front) in [
        ("back of tail to front of page: centred", 1.0),
        ("front of tail to front of page: centred", -1.0),
        ("back of tail to back of page: centred", -1.0),
        ("front of tail to back of page: centred", 1.0),
    ] {
        let assembly = sound(&design(&format!("{TWO}foam 2mm {clauses}\npose rest {{ }}\n")));
        let state = stand(&assembly, &assembly.poses[0]);
        let frame = state.frames[panel(&assembly, "tail")].expect("held");
        near(frame.front().z, front, 1e-12);
        let height = if clauses.contains("front of page") { 2.0 } else { -2.0 };
        near(frame.shift.z, height, 1e-12);
    }
}

#[test]
fn what_a_placement_leaves_open_is_named() {
    let told = |clauses: &str| {
        let lowered: Lowered =
            lower(&design(&format!("{TWO}glue back of tail to front of page: {clauses}\n")));
        lowered.messages().join("; ")
    };
    assert!(told("10mm from left").contains("how far up or down"), "{}", told("10mm from left"));
    assert!(told("10mm from top").contains("how far left or right"));
    assert!(told("turned 30deg").contains("where"));
    assert!(told("10mm from left, 35mm from right, 4mm from top").contains("5 mm apart"));
    assert_eq!(told("10mm from left, 30mm from right, 4mm from top"), "", "two clauses may agree");
}

#[test]
fn glue_along_edges_keeps_the_middle_free() {
    let (assembly, _) = glued("back of tail to front of page: centred, along edges 5mm");
    let area = |assembly: &Assembly| match &assembly.joints[0].kind {
        JointKind::Fixed { area, .. } => region_area(area),
        _ => 0.0,
    };
    near(area(&assembly), 20.0 * 30.0 - 10.0 * 20.0, 1e-6);
    let (assembly, _) = glued("back of tail to front of page: centred, along top 5mm");
    near(area(&assembly), 100.0, 1e-6);
}

#[test]
fn what_is_stuck_to_the_back_of_a_strap_lies_on_its_tails() {
    let assembly = sound(&design(
        "piece page of board {\n  size 105mm by 120mm\n  slot l: 2mm wide, 32.5mm from left, 12mm to 78mm from top\n  \
         slot r: 2mm wide, 32.5mm from right, 12mm to 78mm from top\n}\n\
         strap runner of board around page between l, r: 6mm wide, 12mm overlap\n\
         piece face of board { size 30mm by 20mm }\npiece sign of board { size 30mm by 20mm }\n\
         glue back of face to front of runner: bottom to bottom, centred\n\
         glue front of sign to back of runner: bottom to bottom, centred\n\
         pose low { runner at bottom }\npose high { runner at top }\npose part { runner at 10mm from top }\n",
    ));
    let lowest = |state: &PoseState, name: &str| -> (Vec3, f64) {
        let id = panel(&assembly, name);
        let left = state.point(id, pt(0.0, 20.0)).expect("held");
        (left, state.frames[id].expect("held").front().z)
    };
    for (pose, lower_edge) in [(0, -78.0), (1, -18.0), (2, -28.0)] {
        let state = stand(&assembly, &assembly.poses[pose]);
        assert!(state.fault.is_none() && state.gap_mm < 1e-9, "{:?}", state.fault);
        for name in ["face", "sign"] {
            let (corner, front) = lowest(&state, name);
            // Both look to the front, their lower edges on the strap's.
            near(front, 1.0, 1e-9);
            near(corner.x, 52.5 - 15.0, 1e-9);
            near(corner.y, lower_edge, 1e-9);
        }
    }
}

#[test]
fn level_rails_run_from_left_to_right() {
    let assembly = sound(&design(
        "piece page of board {\n  size 120mm by 60mm\n  slot u: 2mm wide, 10mm from top, 20mm to 100mm from left\n  \
         slot d: 2mm wide, 10mm from bottom, 10mm to 90mm from left\n}\n\
         strap runner of board around page between u, d: 10mm wide, 12mm overlap\n\
         pose start { runner at left }\npose end { runner at right }\n",
    ));
    let (low, high) = slide_range(&assembly, "runner");
    assert_eq!((low, high), (0.0, 60.0));
    let JointKind::Slide { ends, how, .. } = &assembly.joints[joint(&assembly, "runner")].kind else {
        panic!()
    };
    assert_eq!(*ends, (Side::Left, Side::Right));
    assert!(matches!(how, SlideHow::Strap { bar, wide, .. } if (*bar - 40.0).abs() < 1e-9 && *wide == 10.0));
    let band = panel(&assembly, "runner.front");
    let bounds = assembly.panels[band].bounds;
    for (pose, left) in [(0, 20.0), (1, 80.0)] {
        let state = stand(&assembly, &assembly.poses[pose]);
        let corner = state.point(band, bounds.min).expect("held");
        near(corner.x, left, 1e-9);
        near(corner.y, -10.0, 1e-9);
    }
}

#[test]
fn folds_that_close_a_pocket_are_verified() {
    let assembly = sound(&design(
        "piece shell of board {\n  size 222mm by 120mm\n  valley 105mm, 211mm from left, folded flat\n  \
         panels track, face, flap from left\n}\nglue front of shell.flap to back of shell.track\npose shut { }\n",
    ));
    let closing = &assembly.joints[joint(&assembly, "shell.flap on shell.track")];
    let JointKind::Fixed { closing: true, area, faces, .. } = &closing.kind else {
        panic!("closed by folds")
    };
    assert_eq!(*faces, (Face::Front, Face::Back));
    // The face is 106 wide and its fold stands 1 mm beyond the track: 10 of the flap's 11 mm lie on it.
    near(region_area(area), 10.0 * 120.0, 1e-6);
    let size = stand(&assembly, &assembly.poses[0]).extent(&assembly);
    near(size.width, 106.0, 1e-9);
    near(size.depth, 0.0, 1e-9);
}

#[test]
fn a_box_of_right_angles_closes_on_itself() {
    let assembly = sound(&design(
        "piece box of board {\n  size 190mm by 40mm\n  valley 60mm, 90mm, 150mm, 180mm from left, folded 90deg\n  \
         panels front, side, rear, other, flap from left\n}\nglue back of box.flap to front of box.front\npose made { }\n",
    ));
    let state = stand(&assembly, &assembly.poses[0]);
    assert!(state.fault.is_none() && state.gap_mm < 1e-9);
    let size = state.extent(&assembly);
    near(size.width, 60.0, 1e-9);
    near(size.depth, 30.0, 1e-9);
    near(size.height, 40.0, 1e-9);
}

#[test]
fn a_v_fold_stands_as_its_closed_form_says() {
    // Feet at 45 degrees to the gutter, 90 degrees between each and the mast: kinematics of the spherical four-bar,
    // mast direction (sin ψ cos(t/2), cos ψ, sin ψ sin(t/2)) with ψ = atan2(sin b cos(t/2), cos b)
    // + acos(cos a / sqrt(cos² b + sin² b cos²(t/2))), t the opening; derived from the spherical cosine rule.
    for fold in [30.0f64, 60.0, 90.0, 120.0, 150.0] {
        let assembly = sound(&design(&format!(
            "piece page of board {{\n  size 148mm by 210mm\n  valley spine: 105mm from top\n  panels sky, water from top\n}}\n\
             piece sail of board {{\n  shape polygon (0mm, 60mm) (50mm, 0mm) (100mm, 60mm)\n  mountain mast: 50mm from left\n  \
             panels port, starboard from left\n  tab p 9mm off port.bottom\n  tab s 9mm off starboard.bottom\n}}\n\
             glue back of sail.p to front of page.sky: port.bottom along (74mm, 105mm) through (124mm, 55mm), mast end first\n\
             glue back of sail.s to front of page.water: starboard.bottom along (74mm, 105mm) through (124mm, 155mm), mast end first\n\
             pose stage {{ page.spine {fold}deg }}\n"
        )));
        let state = stand(&assembly, &assembly.poses[0]);
        assert!(state.solved && state.fault.is_none() && state.gap_mm < 1e-6, "{:?}", state.fault);
        let (a, b, half) = (90f64.to_radians(), 45f64.to_radians(), ((180.0 - fold) / 2.0).to_radians());
        let psi = (b.sin() * half.cos()).atan2(b.cos())
            + (a.cos() / (b.cos().powi(2) + (b.sin() * half.cos()).powi(2)).sqrt()).acos();
        let tip = state.point(panel(&assembly, "sail.port"), pt(50.0, 0.0)).expect("held");
        // Along the gutter away from the feet, and as far from the apex as the mast is long.
        near(tip.x, 74.0 + 60.0 * psi.cos(), 1e-6);
        let apex = Vec3::new(74.0, -105.0, 0.0);
        near((tip - apex).norm(), 60.0, 1e-9);
        // Out of each page by 60 sin ψ sin(t/2).
        near(tip.z, 60.0 * psi.sin() * half.sin(), 1e-6);
    }
}

#[test]
fn a_step_glued_across_a_fold_closes_where_its_sums_agree() {
    // A parallel fold: 25.4 mm of page and 63.5 mm of step against 50.8 and 38.1 mm. The sums are equal, so it closes
    // flat; then the outer fold stands 88.9 mm from the spine.
    let assembly = sound(
        "card \"Test\"\npaper board: 80lb cover, 0.010in thick\n\
         piece page of board {\n  size 8 1/2in by 5 1/2in\n  valley spine: 4 1/4in from left\n  panels left, right from left\n}\n\
         piece shelf of board {\n  size 5in by 2in\n  valley 1/2in, 4 1/2in from left\n  mountain lip: 3in from left\n  \
         panels foot_l, side, top, foot_r from left\n}\n\
         glue back of shelf.foot_l to front of page.left: crease 1in left of spine, 1in from top\n\
         glue back of shelf.foot_r to front of page.right: crease 2in right of spine, 1in from top\n\
         pose shut { page.spine 180deg }\npose stage { page.spine 90deg }\n",
    );
    let shut = stand(&assembly, &assembly.poses[0]);
    assert!(shut.solved && shut.fault.is_none(), "{:?}", shut.fault);
    let size = shut.extent(&assembly);
    near(size.width, 4.25 * 25.4, 1e-3);
    near(size.depth, 0.0, 1e-3);
    let stage = stand(&assembly, &assembly.poses[1]);
    assert!(stage.fault.is_none(), "{:?}", stage.fault);
    // At a right angle the two circles of radius 2.5 in and 1.5 in about (1, 0) and (0, 2) in meet on the far side at:
    let (x, y) = {
        let (d2, p2, q2) = (5.0f64, 6.25f64, 2.25f64);
        let along = (d2 + p2 - q2) / (2.0 * d2.sqrt());
        let off = (p2 - along * along).sqrt();
        let (ux, uy) = (-1.0 / d2.sqrt(), 2.0 / d2.sqrt());
        (1.0 + ux * along + uy * off, uy * along - ux * off)
    };
    let lip = stage.point(panel(&assembly, "shelf.side"), pt(76.2, 0.0)).expect("held");
    let spine = Vec3::new(107.95, 0.0, 0.0);
    near(spine.x - lip.x, x * 25.4, 1e-6);
    near(lip.z, y * 25.4, 1e-6);
}

#[test]
fn a_tongue_stops_at_its_shoulders() {
    let assembly = sound(&design(
        "piece page of board {\n  size 100mm by 140mm\n  slot mouth: 1mm wide, 32mm long, centred, 60mm from top\n}\n\
         piece tongue of board { shape polygon (0mm, 0mm) (40mm, 0mm) (40mm, 20mm) (35mm, 20mm) (35mm, 80mm) (40mm, 80mm) \
         (40mm, 100mm) (0mm, 100mm) (0mm, 80mm) (5mm, 80mm) (5mm, 20mm) (0mm, 20mm) }\n\
         slide tongue through page.mouth\npose low { tongue at bottom }\npose high { tongue at top }\n",
    ));
    let (low, high) = slide_range(&assembly, "tongue");
    // Between the shoulders it is 60 long.
    near(low, 0.0, 1e-9);
    near(high, 60.0, 1e-9);
    let id = panel(&assembly, "tongue");
    for (pose, upper) in [(0, 20.0), (1, 80.0)] {
        let state = stand(&assembly, &assembly.poses[pose]);
        let corner = state.point(id, pt(20.0, upper)).expect("held");
        near(corner.y, -60.0, 1e-9);
        near(corner.x, 50.0, 1e-9);
    }
}

#[test]
fn a_tongue_without_shoulders_comes_out() {
    let text = "piece page of board {\n  size 100mm by 140mm\n  slot mouth: 1mm wide, 32mm long, centred, 60mm from top\n}\n\
                piece tongue of board { size 30mm by 80mm }\nslide tongue through page.mouth: 10mm from top\n";
    let assembly = sound(&design(text));
    let (low, high) = slide_range(&assembly, "tongue");
    assert_eq!((low, high), (f64::NEG_INFINITY, f64::INFINITY));
    let lowered = lower(&design(&format!("{text}pose up {{ tongue at top }}\n")));
    assert_eq!(lowered.names(), ["no-such-stop"]);
}

#[test]
fn a_slide_on_a_face_stops_at_what_is_stuck_there() {
    let assembly = sound(&design(
        "piece page of board { size 200mm by 100mm }\npiece upper of board { size 140mm by 8mm }\n\
         piece lower of board { size 140mm by 8mm }\npiece block of board { size 8mm by 40mm }\npiece bridge of board { size 10mm by 80mm }\n\
         piece tongue of board { size 60mm by 40mm }\n\
         glue back of upper to front of page: 10mm from left, 21mm from top\n\
         glue back of lower to front of page: 10mm from left, 71mm from top\n\
         glue back of block to front of page: 4mm from left, 30mm from top\n\
         foam 1mm back of bridge to front of page: 100mm from left, 10mm from top\n\
         slide tongue on front of page between upper, lower: 20mm from left, under bridge, towards right\n\
         pose start { tongue at left }\n",
    ));
    let (low, high) = slide_range(&assembly, "tongue");
    // Back to the block at 12 mm; forward nothing but the bridge, under which it runs.
    near(low, -8.0, 1e-9);
    assert_eq!(high, f64::INFINITY);
    let state = stand(&assembly, &assembly.poses[0]);
    let corner = state.point(panel(&assembly, "tongue"), pt(0.0, 0.0)).expect("held");
    near(corner.x, 12.0, 1e-9);
    // Between the guides: their middles lie at 25 and 75 mm.
    near(corner.y, -30.0, 1e-9);
}

/// Flat, the strip is folded in two with the bar inside; beneath the bar alone it may as well lie there whole.
#[test]
fn a_strip_around_a_bar_comes_back_over_it() {
    let orders = |way: &str| {
        let assembly = sound(&design(&format!(
            "piece page of board {{ size 100mm by 140mm }}\npiece bar of board {{ size 60mm by 8mm }}\n\
             piece strip of board {{\n  size 20mm by 60mm\n  valley turn: 20mm from top\n  panels flap, tail from top\n}}\n\
             glue back of bar to front of page: centred across, 40mm from top, along left and right 8mm\n\
             slide strip.tail on front of page: centred across, 40mm from top, towards bottom, from 0mm to 20mm, {way} bar\n\
             pose tied {{ strip.turn 180deg }}\npose untied {{ strip.turn 0deg }}\n"
        )));
        let over = |pose: usize| {
            let state = stand(&assembly, &assembly.poses[pose]);
            let bar = panel(&assembly, "bar");
            let card = plica::layers::card(&assembly, &state, &plica::layers::Kept::default());
            let views = card.views(&[bar], 8).expect("it lies flat");
            let seen = |view: &[Vec<plica::layers::CardSeen>; 2]| {
                let of_bar = view[0].iter().filter(|s| card.leaves[s.leaf].panel == bar);
                of_bar.map(|s| plica::geometry::region_area(&s.region)).sum::<f64>().round()
            };
            let mut areas: Vec<i64> = views.iter().map(|v| seen(v) as i64).collect();
            areas.sort_unstable();
            areas.dedup();
            areas
        };
        (over(0), over(1))
    };
    // The bar is 60 mm by 8 mm, the strip 20 mm wide.
    assert_eq!(orders("around"), (vec![320], vec![480]));
    assert_eq!(orders("under"), (vec![320, 480], vec![480]));
}

#[test]
fn a_wheel_turns_about_its_pin() {
    let assembly = sound(&design(
        "piece page of board {\n  size 100mm by 140mm\n  hole hub: 3mm, centred, 90mm from top\n}\n\
         piece wheel of board {\n  shape circle 60mm\n  hole hub: 3mm, centred\n}\n\
         brad axle through wheel.hub, page.hub: wheel behind\n\
         pose rest { axle 0deg }\npose turned { axle 90deg }\n",
    ));
    let JointKind::Pin { placement, holes, range, .. } = &assembly.joints[joint(&assembly, "axle")].kind
    else {
        panic!("a brad is a pin")
    };
    assert_eq!((placement.side, *range), (Face::Back, None));
    near(holes.0, 3.0, 1e-9);
    let id = panel(&assembly, "wheel");
    let top = |pose: usize| stand(&assembly, &assembly.poses[pose]).point(id, pt(30.0, 0.0)).expect("held");
    near(top(0).y, -60.0, 1e-9);
    // Clockwise as seen: the top goes to the right.
    near(top(1).x, 80.0, 1e-9);
    near(top(1).y, -90.0, 1e-9);
}

#[test]
fn stops_and_lengths_become_values() {
    let text = |pose: &str| {
        let assembly = sound(&design(&format!(
            "piece page of board {{\n  size 60mm by 80mm\n  slot a: 2mm wide, 10mm from left, 20mm to 60mm from top\n  \
             slot b: 2mm wide, 10mm from right, 20mm to 60mm from top\n}}\n\
             strap band of board around page between a, b: 12mm wide, 8mm overlap\npose p {{ {pose} }}\n\
             motion lift {{ band bottom to top }}\n"
        )));
        assert_eq!(slide_range(&assembly, "band"), (0.0, 28.0));
        let step = &assembly.motions[0].legs[0][0];
        assert_eq!((step.from, step.to), (0.0, 28.0));
        assembly.poses[0].values[0].1
    };
    near(text("band at top"), 28.0, 1e-9);
    near(text("band at bottom"), 0.0, 0.0);
    near(text("band at 5mm from top"), 23.0, 1e-9);
    near(text("band at 5mm from bottom"), 5.0, 1e-9);
    near(text("band at 7mm"), 7.0, 1e-9);
}

#[test]
fn a_print_fills_its_box() {
    let assembly = sound(&design(
        "piece page of board { size 60mm by 80mm }\nprint wish \"Hello\" on page: 30mm wide, 6mm high, centred, 10mm from bottom\n",
    ));
    let area = assembly.prints[0].area;
    assert_eq!((area.min.x, area.max.x, area.max.y), (15.0, 45.0, 70.0));
    assert_eq!(piece(&assembly, "page").panels[0], assembly.prints[0].panel);
}

#[test]
fn a_fold_across_the_spine_stands_on_a_card_with_a_strap() {
    // The strap is a ring of its own that closes with its folds flat, and with no others.
    let assembly = sound(
        "card \"Test\"\npaper board: 200gsm, 0.30mm thick\n\
         piece page of board {\n  size 200mm by 100mm\n  valley spine: 100mm from left\n  panels left, right from left\n  \
         slot a on left: 2mm wide, 20mm from left, 10mm to 60mm from top\n  \
         slot b on left: 2mm wide, 50mm from left, 10mm to 60mm from top\n}\n\
         strap runner of board around page.left between a, b: 8mm wide, 12mm overlap\n\
         piece tent of board {\n  size 80mm by 20mm\n  valley 8mm, 72mm from left\n  mountain lip: 40mm from left\n  \
         panels foot_l, fly_l, fly_r, foot_r from left\n}\n\
         glue back of tent.foot_l to front of page.left: crease 20mm left of spine, 70mm from top\n\
         glue back of tent.foot_r to front of page.right: crease 20mm right of spine, 70mm from top\n\
         pose shut { page.spine 180deg }\npose flat { page.spine 0deg  runner at top }\n",
    );
    let [shut, flat] = [0, 1].map(|pose| stand(&assembly, &assembly.poses[pose]));
    assert!(shut.fault.is_none() && flat.fault.is_none(), "{:?} {:?}", shut.fault, flat.fault);
    near(shut.extent(&assembly).width, 100.0, 1e-3);
    // Feet 20 mm from the spine and flies of 32 mm: the ridge stands at the root of 32² - 20².
    near(flat.extent(&assembly).depth, 624.0f64.sqrt(), 1e-3);
}

/// A plate stuck at its edges leaves room for a hand under it; where the brad names it, the hand lies over it.
#[test]
fn what_a_brad_names_lies_in_that_order() {
    let dial = |brad: &str, side: &str| {
        let assembly = sound(&design(&format!(
            "piece page of board {{ size 100mm by 100mm hole pin: 3mm, centred }}\n\
             piece hand of board {{ size 16mm by 40mm hole pin: 3mm, centred }}\n\
             piece plate of board {{ size 60mm by 60mm hole pin: 3mm, centred }}\n\
             glue {side} of page: centred, along edges 6mm\nbrad axle through {brad}\npose rest {{ axle 0deg }}\n"
        )));
        let state = stand(&assembly, &assembly.poses[0]);
        let card = plica::layers::card(&assembly, &state, &plica::layers::Kept::default());
        let leaf = |name: &str| {
            let own = panel(&assembly, name);
            card.leaves.iter().position(|l| l.panel == own).expect("a leaf")
        };
        let hand_on_front_of_plate = card.on_front(leaf("plate"), leaf("hand"));
        (card.undecided.is_some(), hand_on_front_of_plate, card.contradiction.is_some())
    };
    let named = "hand.pin, plate.pin, page.pin";
    assert_eq!(dial(named, "back of plate to front"), (false, Some(true), false));
    // Face down, what lies on the plate lies on its back.
    assert_eq!(dial(named, "front of plate to front"), (false, Some(false), false));
    assert!(dial("hand.pin, page.pin", "back of plate to front").0, "nobody says where the plate lies");
    // Behind the page there is no plate to go between.
    assert!(dial(named, "front of plate to back").2);
}
