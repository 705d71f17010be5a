//! Single vertices and meshes against theorems of rigid origami.
//!
//! Half-angle law of flat-foldable degree-4 vertices: Huffman, "Curvature and creases", 1976; Tachi, "Generalization of
//! rigid-foldable quadrilateral-mesh origami", 2009 (formulas from memory, checked by the closure itself). General
//! vertices: the spherical four-bar. Miura cells: Schenk and Guest, PNAS 2013.

use plica::motion::{Crease, FaultKind, Fold, JointId, Linkage, Sheet, Stop};
use proptest::prelude::*;

const FOLDS: [Fold; 2] = [Fold::Mountain, Fold::Valley];

fn fan(sectors: &[f64], valleys: &[bool]) -> Linkage {
    let folds: Vec<Fold> = valleys.iter().map(|&v| FOLDS[usize::from(v)]).collect();
    Sheet::fan(sectors, &folds).linkage(0).expect("a fan is a sheet")
}

fn patterns() -> impl Iterator<Item = [bool; 4]> {
    (0..16u32).map(|bits| [0, 1, 2, 3].map(|k| bits >> k & 1 == 1))
}

/// The patterns that can leave the flat state.
fn moving(sectors: &[f64]) -> Vec<[bool; 4]> {
    let leaves = |p: &[bool; 4]| {
        let linkage = fan(sectors, p);
        linkage.leaves(JointId(0), if p[0] { 1.0 } else { -1.0 }, &linkage.rest())
    };
    patterns().filter(leaves).collect()
}

fn tan_half(deg: f64) -> f64 {
    (deg / 2.0).to_radians().tan()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    /// a1 + a3 = a2 + a4 = 180: two modes, each with the ratio of half-angle tangents constant all the way to flat.
    #[test]
    fn flat_foldable_vertices_fold_by_the_half_angle_law(a in 35.0..145.0f64, b in 35.0..145.0f64) {
        prop_assume!((a - b).abs() > 5.0 && (a + b - 180.0).abs() > 5.0);
        let sectors = [a, b, 180.0 - a, 180.0 - b];
        let (sum, difference) = (((a + b) / 2.0).to_radians(), ((a - b) / 2.0).to_radians());
        // tan(fold 2 / 2) over tan(fold 1 / 2) in the two modes, and the signs of folds 3 and 4 against 1 and 2.
        let modes = [(sum.sin() / difference.sin(), -1.0, 1.0), (-sum.cos() / difference.cos(), 1.0, -1.0)];
        for (ratio, third, fourth) in modes {
            let valleys = [true, ratio > 0.0, third > 0.0, fourth * ratio > 0.0];
            let linkage = fan(&sectors, &valleys);
            for drive in [12.0, 75.0, 150.0] {
                let pose = linkage.pose(&[(JointId(0), drive)], &linkage.rest());
                let pose = pose.map_err(|f| TestCaseError::fail(format!("{f:?}")))?;
                let wanted = [1.0, ratio, third, fourth * ratio].map(|r| 2.0 * (r * tan_half(drive)).atan().to_degrees());
                for (found, wanted) in pose.values.iter().zip(wanted) {
                    prop_assert!((found - wanted).abs() < 1e-6, "{:?} should be {wanted}", pose.values);
                }
                prop_assert!(pose.gap_mm < 1e-9);
            }
            let (states, end) = linkage.sweep(JointId(0), &linkage.rest(), 180.0).expect("flat is closed");
            prop_assert_eq!(end.stop, Stop::Reached);
            let last = states.last().expect("a sweep has states");
            prop_assert!(last.values.iter().all(|v| (v.abs() - 180.0).abs() < 1e-3), "{:?}", last);
        }
    }

    /// Flat-limit slopes of a developable four-bar: just four patterns move, each with one odd crease; the others are
    /// locked, and the answer does not depend on which crease drives.
    #[test]
    fn four_of_sixteen_patterns_move(a in 40.0..140.0f64, b in 40.0..140.0f64, c in 40.0..140.0f64) {
        let d = 360.0 - a - b - c;
        prop_assume!((40.0..140.0).contains(&d));
        // Straight creases fold alone and leave fewer patterns.
        prop_assume!((a + b - 180.0).abs() > 5.0 && (b + c - 180.0).abs() > 5.0);
        let moving = moving(&[a, b, c, d]);
        prop_assert_eq!(moving.len(), 4, "{:?}", moving);
        for pattern in &moving {
            let valleys = pattern.iter().filter(|&&v| v).count();
            prop_assert!(valleys == 1 || valleys == 3);
            let linkage = fan(&[a, b, c, d], pattern);
            for (k, &valley) in pattern.iter().enumerate() {
                let way = if valley { 1.0 } else { -1.0 };
                let leaves = [way, -way].map(|way| linkage.leaves(JointId(k), way, &linkage.rest()));
                prop_assert_eq!(leaves, [true, false]);
            }
        }
        let locked = patterns().find(|p| !moving.contains(p)).expect("twelve patterns are left");
        let linkage = fan(&[a, b, c, d], &locked);
        let fault = linkage.pose(&[(JointId(0), if locked[0] { 5.0 } else { -5.0 })], &linkage.rest());
        prop_assert_eq!(fault.map_err(|f| f.kind), Err(FaultKind::Locked { certain: true }));
    }

    /// The biquadratic relation of neighbouring half-angle tangents of a spherical four-bar holds at every pose.
    #[test]
    fn general_vertices_obey_the_spherical_four_bar(
        a in 50.0..130.0f64, b in 50.0..130.0f64, c in 50.0..130.0f64, share in 0.1..0.9f64,
    ) {
        let d = 360.0 - a - b - c;
        prop_assume!((50.0..130.0).contains(&d));
        prop_assume!((a + b - 180.0).abs() > 5.0 && (b + c - 180.0).abs() > 5.0);
        let sectors = [a, b, c, d];
        for pattern in moving(&sectors) {
            let linkage = fan(&sectors, &pattern);
            let goal = if pattern[0] { 180.0 } else { -180.0 };
            let (states, end) = linkage.sweep(JointId(0), &linkage.rest(), goal).expect("flat is closed");
            let full = states.last().expect("a sweep has states").values.iter().any(|v| v.abs() > 180.0 - 1e-3);
            prop_assert!(full, "without Kawasaki the motion ends at a full fold, not with {end:?}");
            let pose = linkage.pose(&[(JointId(0), share * end.value)], &linkage.rest()).expect("on the way");
            let (x, y) = (tan_half(pose.values[0]), tan_half(pose.values[1]));
            let cos = |deg: f64| deg.to_radians().cos();
            let sin = |deg: f64| deg.to_radians().sin();
            let terms = [
                (cos(a - b - d) - cos(c)) * x * x * y * y,
                (cos(a + b - d) - cos(c)) * x * x,
                (cos(a - b + d) - cos(c)) * y * y,
                4.0 * sin(b) * sin(d) * x * y,
                cos(a + b + d) - cos(c),
            ];
            let scale = terms.iter().fold(1.0, |most: f64, t| most.max(t.abs()));
            prop_assert!((terms.iter().sum::<f64>() / scale).abs() < 1e-9, "{terms:?}");
        }
    }
}

/// A Miura patch of `size` × `size` parallelograms.
fn miura(size: usize, a: f64, b: f64, gamma: f64) -> Sheet {
    let vertex = |i: usize, j: usize| j * (size + 1) + i;
    let face = |i: usize, j: usize| j * size + i;
    let mut sheet = Sheet::default();
    for (j, i) in (0..=size).flat_map(|j| (0..=size).map(move |i| (j, i))) {
        let shift = if j % 2 == 1 { b * gamma.cos() } else { 0.0 };
        sheet.vertices.push([a * i as f64 + shift, b * gamma.sin() * j as f64]);
    }
    for (j, i) in (0..size).flat_map(|j| (0..size).map(move |i| (j, i))) {
        sheet.faces.push(vec![vertex(i, j), vertex(i + 1, j), vertex(i + 1, j + 1), vertex(i, j + 1)]);
        if j > 0 {
            let fold = FOLDS[(i + j + 1) % 2];
            sheet.creases.push(Crease {
                ends: [vertex(i, j), vertex(i + 1, j)],
                faces: [face(i, j - 1), face(i, j)],
                fold,
            });
        }
        if i > 0 {
            let fold = FOLDS[i % 2];
            sheet.creases.push(Crease {
                ends: [vertex(i, j), vertex(i, j + 1)],
                faces: [face(i - 1, j), face(i, j)],
                fold,
            });
        }
    }
    sheet
}

#[test]
fn miura_patches_fold_as_one() {
    let gamma = 65f64.to_radians();
    for size in [2, 4, 5] {
        let sheet = miura(size, 20.0, 15.0, gamma);
        let linkage = sheet.linkage(0).expect("a patch is a sheet");
        let driver =
            sheet.creases.iter().position(|c| c.fold == Fold::Valley).map(JointId).expect("a valley");
        let pose =
            linkage.pose(&[(driver, 70.0)], &linkage.rest()).unwrap_or_else(|f| panic!("{size}: {f:?}"));
        for (crease, fold) in sheet.creases.iter().zip(&pose.values) {
            let straight = crease.ends[1] == crease.ends[0] + 1;
            let driven_is_straight = sheet.creases[driver.0].ends[1] == sheet.creases[driver.0].ends[0] + 1;
            // tan(zigzag / 2) = tan(straight / 2) / cos gamma
            let tan = match (driven_is_straight, straight) {
                (true, false) => tan_half(70.0) / gamma.cos(),
                (false, true) => tan_half(70.0) * gamma.cos(),
                _ => tan_half(70.0),
            };
            let sign = if crease.fold == Fold::Valley { 1.0 } else { -1.0 };
            assert!(
                (fold - sign * 2.0 * tan.atan().to_degrees()).abs() < 1e-6,
                "{size}: {crease:?} at {fold}"
            );
        }
        assert_eq!(linkage.freedom(&pose.state()).map(|f| f.nullity), Some(1));
        // The product round every face is 1 for a mesh that folds.
        assert!(
            sheet.loop_products().iter().all(|p| (p.1 - 1.0).abs() < 1e-9),
            "{:?}",
            sheet.loop_products()
        );
    }
}

#[test]
fn a_flat_vertex_of_n_creases_has_n_minus_two_infinitesimal_and_n_minus_three_real_motions() {
    for degree in 4..8 {
        let sectors = vec![360.0 / f64::from(degree); degree as usize];
        let folds = vec![Fold::Either; degree as usize];
        let linkage = Sheet::fan(&sectors, &folds).linkage(0).expect("a fan is a sheet");
        let count = |f: Option<plica::motion::Freedom>| f.map(|f| f.nullity);
        assert_eq!(count(linkage.freedom(&linkage.rest())), Some(degree as usize - 2));
        // Four equal sectors are two straight creases: every regular state folds one of them alone.
        assert_eq!(count(linkage.free_motions()), Some(degree as usize - 3));
    }
}

/// A square twist: from each corner of a central square one crease runs outwards at an angle of `turn` degrees to the
/// diagonal and one square to that, so that the sectors round the corner are 90, 45 - `turn`, 90 and 135 + `turn` degrees.
/// Directions of the central creases are given; the others follow from flat-foldability, as far as it decides them.
fn square_twist(centre: [Fold; 4], turn: f64) -> Option<Sheet> {
    let mut sheet = Sheet::default();
    let towards = |heading: f64| heading.to_radians().sin_cos();
    let outwards = |k: usize| 45.0 + 90.0 * k as f64;
    sheet.vertices.extend((0..4).map(|k| [20.0 * towards(outwards(k)).1, 20.0 * towards(outwards(k)).0]));
    for k in 0..4 {
        let start = sheet.vertices[k];
        for heading in [outwards(k) - 90.0 + turn, outwards(k) + turn] {
            let (sin, cos) = towards(heading);
            sheet.vertices.push([start[0] + 40.0 * cos, start[1] + 40.0 * sin]);
        }
    }
    sheet.faces.push(vec![0, 1, 2, 3]);
    for k in 0..4 {
        let next = (k + 1) % 4;
        sheet.faces.push(vec![next, k, 4 + 2 * k + 1, 4 + 2 * next]);
    }
    for k in 0..4 {
        sheet.faces.push(vec![k, 4 + 2 * k, 4 + 2 * k + 1]);
    }
    let mut crease = |ends, faces, fold| sheet.creases.push(Crease { ends, faces, fold });
    for (k, fold) in centre.into_iter().enumerate() {
        crease([k, (k + 1) % 4], [0, 1 + k], fold);
    }
    for k in 0..4 {
        crease([k, 4 + 2 * k], [1 + (k + 3) % 4, 5 + k], Fold::Either);
        crease([k, 4 + 2 * k + 1], [5 + k, 1 + k], Fold::Either);
    }
    for star in sheet.stars() {
        let folds: Vec<Fold> = star.creases.iter().map(|&c| sheet.creases[c].fold).collect();
        let pattern = plica::layers::flat_patterns(&star.sectors, &folds, 1e-6).into_iter().next()?;
        star.creases.iter().zip(pattern).for_each(|(&c, fold)| sheet.creases[c].fold = fold);
    }
    Some(sheet)
}

#[test]
fn a_square_twist_folds_rigidly_just_when_its_loop_product_is_one() {
    let (v, m) = (Fold::Valley, Fold::Mountain);
    let mut verdicts = Vec::new();
    for centre in [[v, v, v, v], [v, v, v, m], [v, v, m, m], [v, m, v, m]] {
        let Some(sheet) = square_twist(centre, 0.0) else { continue };
        let linkage = sheet.linkage(0).expect("the twist is a sheet");
        let product =
            sheet.loop_products().iter().find(|p| p.0 == 0).expect("the square is an interior face").1;
        let moves = linkage.leaves(JointId(0), 1.0, &linkage.rest());
        assert_eq!(moves, (product - 1.0).abs() < 1e-6, "{centre:?}: product {product}");
        verdicts.push(moves);
    }
    assert!(verdicts.contains(&true) && verdicts.contains(&false), "{verdicts:?}");
}

/// The slowest crease of this twist folds a hundred times slower than the fastest.
#[test]
fn a_twist_leaves_the_flat_state_by_its_slowest_crease_as_by_its_fastest() {
    let (v, m) = (Fold::Valley, Fold::Mountain);
    let sheet = square_twist([v, m, m, m], 30.0).expect("every corner folds flat");
    let linkage = sheet.linkage(0).expect("the twist is a sheet");
    let product = sheet.loop_products().iter().find(|p| p.0 == 0).expect("the square is an interior face").1;
    assert!((product - 1.0).abs() < 1e-6, "{product}");
    let mut rates = Vec::new();
    for (k, crease) in sheet.creases.iter().enumerate() {
        let direction = if crease.fold == Fold::Mountain { -1.0 } else { 1.0 };
        let pose = linkage.pose(&[(JointId(k), direction)], &linkage.rest()).expect("it folds rigidly");
        rates.push(tan_half(pose.values[0]) / tan_half(pose.values[k]));
        let kept = |joint: usize| tan_half(pose.values[joint]) / tan_half(pose.values[0]);
        assert!(pose.values.iter().all(|value| value.abs() > 1e-3), "{:?}", pose.values);
        // Creases 0 and 2 bound the square on opposite sides, and stay equal and opposite in this assignment.
        assert!((kept(2) + 1.0).abs() < 1e-6, "{:?}", pose.values);
    }
    let fastest = rates.iter().fold(0.0_f64, |most, r| most.max(r.abs()));
    let slowest = rates.iter().fold(f64::INFINITY, |least, r| least.min(r.abs()));
    assert!(fastest / slowest > 50.0, "{rates:?}");
}
