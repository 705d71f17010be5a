//! Layer orders against counted foldings, the crimping theorem, and stacks worked out by hand.
//!
//! Foldings of a strip of n stamps: OEIS A000136; of a map: OEIS A001415 (2 × n), A001418 (n × n), after Lunnon, "A
//! map-folding problem", 1968 (values from memory).

use plica::geometry::{Polygon, Rect, Segment, pt, region_area};
use plica::layers::{
    Fact, FlatFace, FlatJoint, FlatState, JointFold, Side, crimps_flat, is_maekawa, kawasaki_excess,
};
use plica::motion::{Crease, Fold, Sheet};
use plica::quantity::tolerance::PARALLEL_DEG;
use proptest::prelude::*;

/// A map of unit squares, every crease undecided.
fn map(columns: usize, rows: usize) -> Sheet {
    let vertex = |i: usize, j: usize| j * (columns + 1) + i;
    let face = |i: usize, j: usize| j * columns + i;
    let mut sheet = Sheet::default();
    for (j, i) in (0..=rows).flat_map(|j| (0..=columns).map(move |i| (j, i))) {
        sheet.vertices.push([10.0 * i as f64, 10.0 * j as f64]);
    }
    for (j, i) in (0..rows).flat_map(|j| (0..columns).map(move |i| (j, i))) {
        sheet.faces.push(vec![vertex(i, j), vertex(i + 1, j), vertex(i + 1, j + 1), vertex(i, j + 1)]);
        let fold = Fold::Either;
        if i > 0 {
            sheet.creases.push(Crease {
                ends: [vertex(i, j), vertex(i, j + 1)],
                faces: [face(i - 1, j), face(i, j)],
                fold,
            });
        }
        if j > 0 {
            sheet.creases.push(Crease {
                ends: [vertex(i, j), vertex(i + 1, j)],
                faces: [face(i, j - 1), face(i, j)],
                fold,
            });
        }
    }
    sheet
}

fn foldings(sheet: &Sheet) -> usize {
    let (state, _) = FlatState::of_sheet(sheet, 0).expect("a map folds onto one square");
    let orders = state.layering().orders(&state.fold_facts(), 10_000);
    assert!(orders.complete);
    orders.orders.len()
}

#[test]
fn strips_and_maps_have_as_many_foldings_as_are_known() {
    for (stamps, known) in [(2, 2), (3, 6), (4, 16), (5, 50), (6, 144), (7, 462)] {
        assert_eq!(foldings(&map(stamps, 1)), known, "strip of {stamps}");
    }
    for (columns, known) in [(2, 8), (3, 60), (4, 320)] {
        assert_eq!(foldings(&map(columns, 2)), known, "2 × {columns}");
    }
    assert_eq!(foldings(&map(3, 3)), 1368, "3 × 3");
}

fn settings() -> ProptestConfig {
    ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(settings())]

    /// For a single vertex crimping and the satisfiability of layers are two proofs of one thing.
    #[test]
    fn crimping_and_layer_orders_agree(
        parts in prop::collection::vec(20.0..60.0f64, 2..=4), shift in 0.2..0.8f64, valleys in prop::collection::vec(any::<bool>(), 8),
    ) {
        // Odd and even sectors both add up to 180: Kawasaki's condition.
        let total: f64 = parts.iter().sum();
        let odd: Vec<f64> = parts.iter().map(|p| p * 180.0 / total).collect();
        let mut even: Vec<f64> = odd.iter().map(|p| p * (1.0 + 0.5 * shift)).collect();
        even.reverse();
        even[0] *= 1.0 + shift;
        let scale = 180.0 / even.iter().sum::<f64>();
        let sectors: Vec<f64> = odd.iter().zip(&even).flat_map(|(&o, &e)| [o, e * scale]).collect();
        prop_assume!(sectors.iter().all(|&s| (15.0..150.0).contains(&s)));
        prop_assert!(kawasaki_excess(&sectors) < 1e-9);
        let folds: Vec<Fold> =
            valleys.iter().take(sectors.len()).map(|&v| if v { Fold::Valley } else { Fold::Mountain }).collect();
        let mut sheet = Sheet::fan(&sectors, &folds);
        // Large enough for the tolerances in mm.
        sheet.vertices.iter_mut().for_each(|v| *v = [v[0] * 50.0, v[1] * 50.0]);
        let (state, _) = FlatState::of_sheet(&sheet, 0).expect("Kawasaki closes");
        let ordered = state.layering().solve(&state.fold_facts()).is_ok();
        prop_assert_eq!(ordered, crimps_flat(&sectors, &folds, PARALLEL_DEG), "{:?} {:?}", sectors, folds);
        // Maekawa's theorem is necessary.
        prop_assert!(!ordered || is_maekawa(&folds));
    }

    /// Sectors that break Kawasaki's condition leave a gap, and the gap is reported.
    #[test]
    fn vertices_without_kawasaki_do_not_close(a in 50.0..130.0f64, b in 50.0..130.0f64, off in 1.0..10.0f64) {
        let sectors = [a, b, 180.0 - a + off, 180.0 - b - off];
        let folds = [Fold::Valley, Fold::Valley, Fold::Valley, Fold::Mountain];
        let mut sheet = Sheet::fan(&sectors, &folds);
        sheet.vertices.iter_mut().for_each(|v| *v = [v[0] * 50.0, v[1] * 50.0]);
        let fault = FlatState::of_sheet(&sheet, 0).map(|_| ()).expect_err("the sectors do not alternate to zero");
        // The last spoke misses by the alternating sum, 2 off, at 50 mm.
        let wanted = 2.0 * 50.0 * off.to_radians().sin();
        prop_assert!((fault.gap_mm - wanted).abs() < 1e-6, "{} should be {wanted}", fault.gap_mm);
    }
}

fn square(x: f64, size: f64) -> FlatFace {
    let corners = [pt(x, 0.0), pt(x + size, 0.0), pt(x + size, size), pt(x, size)];
    FlatFace { polygon: Polygon::simple(corners.to_vec()), up: true }
}

/// Loose squares, each 20 wide and 10 to the right of the one before.
fn row(count: usize) -> FlatState {
    FlatState { faces: (0..count).map(|k| square(10.0 * k as f64, 20.0)).collect(), ..FlatState::default() }
}

fn above(upper: usize, lower: usize) -> Fact {
    Fact::Above { upper, lower }
}

#[test]
fn faces_with_no_common_place_may_lie_in_a_ring() {
    // Three bars of a triangle overlap in pairs only: each may lie over the next.
    let bar = |turn: f64| {
        let (sin, cos) = turn.to_radians().sin_cos();
        let corner = |x: f64, y: f64| pt(x * cos - y * sin, x * sin + y * cos);
        let corners = [corner(-60.0, 20.0), corner(60.0, 20.0), corner(60.0, 26.0), corner(-60.0, 26.0)];
        FlatFace { polygon: Polygon::simple(corners.to_vec()), up: true }
    };
    let state = FlatState { faces: [0.0, 120.0, 240.0].map(bar).to_vec(), ..FlatState::default() };
    assert!(state.layering().solve(&[above(0, 1), above(1, 2), above(2, 0)]).is_ok());
    assert_eq!(state.layering().orders(&[], 100).orders.len(), 8);

    // Three squares on one place cannot; the other facts are not blamed.
    let stack = FlatState { faces: vec![square(0.0, 20.0); 4], ..FlatState::default() };
    let facts = [above(3, 0), above(0, 1), above(3, 1), above(1, 2), above(2, 0)];
    assert_eq!(stack.layering().solve(&facts), Err(vec![1, 3, 4]));
    assert_eq!(stack.layering().orders(&[], 100).orders.len(), 24);
    assert!(!stack.layering().orders(&[], 10).complete);
    assert_eq!(stack.layering().forced(&facts[..2]), vec![(0, 1), (3, 0), (3, 1)]);
}

#[test]
fn nothing_lies_between_what_is_stuck() {
    let state = FlatState { faces: vec![square(0.0, 20.0); 3], ..FlatState::default() };
    let stuck = Fact::Stuck { a: 0, b: 1 };
    // Six orders, two of which have face 2 in the middle.
    assert_eq!(state.layering().orders(&[stuck], 100).orders.len(), 4);
    assert_eq!(state.layering().solve(&[above(0, 2), stuck, above(2, 1)]), Err(vec![0, 1, 2]));
    // Two faces stuck to the back of a third at the same place.
    let both = [above(0, 1), above(0, 2), Fact::Stuck { a: 0, b: 1 }, Fact::Stuck { a: 0, b: 2 }];
    assert_eq!(state.layering().solve(&both), Err(vec![0, 1, 2, 3]));
    // Beside each other they are both well.
    let beside = FlatState { faces: vec![square(0.0, 40.0), square(0.0, 15.0), square(20.0, 15.0)], ..state };
    assert!(beside.layering().solve(&both).is_ok());
}

#[test]
fn a_sheet_lies_between_the_two_ends_of_what_goes_through_it() {
    // A tongue from 0 to 40, through a slit of the sheet at 20; a second sheet without a slit lies there too.
    let faces = vec![square(0.0, 20.0), square(20.0, 20.0), square(-10.0, 60.0), square(-10.0, 60.0)];
    let line = Segment::new(pt(20.0, 0.0), pt(20.0, 20.0));
    let seam = |through| FlatJoint { a: 0, b: 1, line, fold: JointFold::Open, through };
    let state =
        |through| FlatState { faces: faces.clone(), joints: vec![seam(through)], ..FlatState::default() };
    let through = Fact::Between { a: 0, b: 1, face: 2 };
    // It pierces nothing that has no slit.
    assert!(state(Vec::new()).layering().solve(&[through]).is_err());
    let slit = state(vec![2]);
    // Either end may lie above, and the second sheet above all or below all.
    assert_eq!(slit.layering().orders(&[through], 100).orders.len(), 4);
    assert_eq!(slit.layering().solve(&[through, above(0, 2), above(1, 2)]), Err(vec![0, 1, 2]));
    let stuck = Fact::Stuck { a: 2, b: 3 };
    assert_eq!(slit.layering().solve(&[above(0, 2), stuck, through]), Err(vec![1, 2]));
    // What is only rather so decides what is left open, and gives way to all else, blamed for nothing.
    let rather = |upper, lower| Fact::Rather { upper, lower };
    let orders = slit.layering().orders(&[rather(0, 2), through], 100).orders;
    assert!(orders.len() == 2 && orders.iter().all(|o| o.is_above(2, 1) == Some(true)), "{orders:?}");
    let forced = slit.layering().forced(&[rather(0, 2), through, above(2, 3)]);
    assert_eq!(forced, vec![(0, 2), (0, 3), (1, 3), (2, 1), (2, 3)]);
    let order =
        slit.layering().solve(&[rather(0, 2), above(2, 0), through]).expect("the firm ones go together");
    assert!(order.is_above(2, 0) == Some(true) && order.is_above(1, 2) == Some(true));
    let both = [rather(0, 2), above(0, 2), above(1, 2), through];
    assert_eq!(slit.layering().solve(&both), Err(vec![1, 2, 3]));
}

#[test]
fn the_blame_for_a_strip_that_pierces_itself_falls_on_its_two_folds() {
    // 30-10-30 folded twice the same way: the ends are longer than the middle.
    let mut sheet = Sheet::default();
    for x in [0.0, 30.0, 40.0, 70.0] {
        sheet.vertices.extend([[x, 0.0], [x, 20.0]]);
    }
    sheet.faces = (0..3).map(|k| vec![2 * k, 2 * k + 2, 2 * k + 3, 2 * k + 1]).collect();
    let crease = |k: usize, fold| Crease { ends: [2 * k, 2 * k + 1], faces: [k - 1, k], fold };
    sheet.creases = vec![crease(1, Fold::Mountain), crease(2, Fold::Mountain)];
    let (state, _) = FlatState::of_sheet(&sheet, 0).expect("a strip always closes");
    assert_eq!(state.layering().solve(&state.fold_facts()), Err(vec![0, 1]));
    sheet.creases[1].fold = Fold::Valley;
    let (state, _) = FlatState::of_sheet(&sheet, 0).expect("a strip always closes");
    let order = state.layering().solve(&state.fold_facts()).expect("a pleat");
    // Face 0 up, folded back under itself, and forward again under that.
    assert_eq!(order.sorted(&[0, 1, 2]), vec![2, 1, 0]);
}

#[test]
fn seen_parts_are_what_nothing_covers() {
    let state = row(3);
    let layering = state.layering();
    let order = layering.solve(&[above(2, 1), above(1, 0)]).expect("a row of shingles");
    let seen = layering.seen(&order, Side::Above);
    let shares: Vec<(usize, f64)> = seen.iter().map(|s| (s.face, s.share)).collect();
    for ((face, share), wanted) in shares.iter().zip([(0, 0.5), (1, 0.5), (2, 1.0)]) {
        assert_eq!(*face, wanted.0);
        assert!((share - wanted.1).abs() < 1e-9, "{shares:?}");
    }
    assert!(seen.iter().all(|s| s.front));
    assert!((region_area(&seen[1].region) - 200.0).abs() < 1e-6);
    let below = layering.seen(&order, Side::Below);
    assert!((below[0].share - 1.0).abs() < 1e-9 && (below[2].share - 0.5).abs() < 1e-9 && !below[0].front);
    // 10 mm alone at both ends; in the middle, and beside it, two lie over each other.
    let areas = layering.area_by_layers();
    assert!(
        (areas[0] - 400.0).abs() < 1e-6 && (areas[1] - 400.0).abs() < 1e-6 && areas.len() == 2,
        "{areas:?}"
    );
    let stacks = layering.stacks(&order);
    assert!(stacks.iter().any(|s| s.faces == [0, 1]) && stacks.iter().any(|s| s.faces == [1, 2]));
}

/// A vertex of eight creases; areas by clipping convex polygons. One place that two faces cover is thinner than any overlap.
#[test]
fn areas_of_slanting_faces_keep_their_digits() {
    let spokes = [
        [34.123004861, 29.336334795],
        [-6.041053548, 39.541189563],
        [-31.929264644, 38.477552667],
        [-33.276214402, 30.293457298],
        [-44.819065287, 22.164191543],
        [-38.292107888, -23.637141822],
        [35.789837131, -27.277968365],
        [48.926452843, 16.547756325],
    ];
    let folds = "VVMVVVMM".chars().map(|c| if c == 'V' { Fold::Valley } else { Fold::Mountain });
    let mut sheet = Sheet { vertices: vec![[0.0, 0.0]], ..Sheet::default() };
    sheet.vertices.extend(spokes);
    for (k, fold) in folds.enumerate() {
        sheet.faces.push(vec![0, k + 1, (k + 1) % 8 + 1]);
        sheet.creases.push(Crease { ends: [0, k + 1], faces: [(k + 7) % 8, k], fold });
    }
    let (state, _) = FlatState::of_sheet(&sheet, 0).expect("the alternate sectors add up to 180");
    let areas = state.layering().area_by_layers();
    let wanted = [305.272017881, 758.330452272, 331.832858043, 373.848743888, 69.567800812, 63.72360386];
    assert_eq!(areas.len(), wanted.len(), "{areas:?}");
    assert!(areas.iter().zip(wanted).all(|(found, wanted)| (found - wanted).abs() < 1e-5), "{areas:?}");
}

#[test]
fn a_sheet_that_goes_on_passes_neither_a_sheet_nor_a_fold() {
    let across = Segment::new(pt(20.0, 0.0), pt(20.0, 20.0));
    let joint = |a, b, fold| FlatJoint { a, b, line: across, fold, through: Vec::new() };
    let halves = || [square(0.0, 20.0), square(20.0, 20.0)];
    // Two unfolded sheets, each of two halves, on one place.
    let mut state = FlatState { faces: [halves(), halves()].concat(), ..FlatState::default() };
    state.joints = vec![joint(0, 1, JointFold::Open), joint(2, 3, JointFold::Open)];
    assert_eq!(state.layering().counts().tortilla_tortilla, 1);
    assert!(state.layering().solve(&[above(0, 2), above(3, 1)]).is_err());
    assert!(state.layering().solve(&[above(0, 2), above(1, 3)]).is_ok());
    // A folded pair on the left half: the sheet's left half cannot lie in the fold, nor a loose square across the line
    // above one half and below the other.
    let mut state = FlatState { faces: halves().to_vec(), ..FlatState::default() };
    state.faces.extend([square(0.0, 20.0), square(0.0, 20.0)]);
    state.joints = vec![joint(0, 1, JointFold::Open), joint(2, 3, JointFold::Folded(Fold::Either))];
    assert!(state.layering().solve(&[above(2, 0), above(0, 3)]).is_err());
    assert!(state.layering().solve(&[above(0, 2), above(0, 3)]).is_ok());
    let mut state = FlatState { faces: halves().to_vec(), ..FlatState::default() };
    state.faces.push(square(10.0, 20.0));
    state.joints = vec![joint(0, 1, JointFold::Open)];
    assert!(state.layering().solve(&[above(0, 2), above(2, 1)]).is_err());
    // A slit in it lets the sheet through.
    state.joints[0].through.push(2);
    assert!(state.layering().solve(&[above(0, 2), above(2, 1)]).is_ok());
}

#[test]
fn a_sheet_kept_outside_two_others_lies_over_or_under_both() {
    let square = |x: f64| FlatFace {
        polygon: Polygon::simple(vec![pt(x, 0.0), pt(x + 20.0, 0.0), pt(x + 20.0, 20.0), pt(x, 20.0)]),
        up: true,
    };
    let state = FlatState { faces: vec![square(0.0), square(5.0), square(10.0)], ..FlatState::default() };
    let layering = state.layering();
    let outside = Fact::Outside { a: 0, b: 1, face: 2 };
    let above = |upper, lower| Fact::Above { upper, lower };
    // Of the six orders of three sheets two have the third in the middle.
    assert_eq!(layering.orders(&[], 10).orders.len(), 6);
    assert_eq!(layering.orders(&[outside], 10).orders.len(), 4);
    assert_eq!(layering.solve(&[outside, above(2, 0), above(1, 2)]), Err(vec![0, 1, 2]));
    assert!(layering.solve(&[outside, above(2, 0), above(2, 1)]).is_ok());
}

/// A brad holds two sheets together where its shank is: a third has room between them beside it, and none on it.
#[test]
fn a_sheet_lies_between_two_pinned_ones_only_beside_the_pin() {
    let holds = |from_left: f64| {
        let design = format!(
            "card \"Pinned\"\npaper board: 250gsm, 0.32mm thick\n\
             piece page of board {{\n  size 100mm by 80mm\n  hole pin: 3mm, 50mm from left, 40mm from top\n}}\n\
             piece strip of board {{ size 20mm by 30mm }}\n\
             piece wheel of board {{\n  shape circle 60mm\n  hole pin: 3mm, centred\n}}\n\
             glue back of strip to front of page: {from_left}mm from left, 25mm from top\n\
             glue back of wheel to front of strip: along edges 2mm\n\
             brad axle through wheel.pin, page.pin\n\
             pose shut {{ }}\n"
        );
        let request = plica::meaning::Request { path: "pinned.plica".into(), ..Default::default() };
        let compiled = plica::compile::compile_text(&design, &plica::source::Memory::default(), &request)
            .expect("it is read");
        compiled.cards[0].contradiction.is_none()
    };
    assert!(holds(62.0), "the strip lies beside the pin");
    assert!(!holds(40.0), "the strip lies on the pin");
}

/// Sixty sheets on one place: 34,220 rings of three, of which the solver is told only those that an order would close.
#[test]
fn a_high_stack_is_sorted_and_a_ring_of_facts_in_it_is_found() {
    const SHEETS: usize = 60;
    let sheet = || FlatFace { polygon: Polygon::rectangle(Rect::new(0.0, 0.0, 50.0, 40.0)), up: true };
    let state = FlatState { faces: (0..SHEETS).map(|_| sheet()).collect(), ..FlatState::default() };
    let layering = state.layering();
    assert_eq!(layering.counts().transitivity, SHEETS * (SHEETS - 1) * (SHEETS - 2) / 6);
    // Every seventh sheet lies over the one before: all but one neighbour in that walk through the stack is told.
    let walk: Vec<usize> = (0..SHEETS).map(|n| n * 7 % SHEETS).collect();
    let mut facts: Vec<Fact> =
        walk.windows(2).map(|pair| Fact::Above { upper: pair[1], lower: pair[0] }).collect();
    let order = layering.solve(&facts).unwrap();
    assert_eq!(order.sorted(&(0..SHEETS).collect::<Vec<_>>()), walk);
    // A fact the other way round across the stack contradicts all that lie between.
    facts.push(Fact::Above { upper: walk[3], lower: walk[9] });
    assert_eq!(layering.solve(&facts).unwrap_err(), [3, 4, 5, 6, 7, 8, SHEETS - 1]);
}
