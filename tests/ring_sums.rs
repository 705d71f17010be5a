//! What is said of a box fold whose sides do not add up: the sums, the angle at which it stops, the ridge that mends it.

use plica::compile::compile_text;
use plica::findings::Finding;
use plica::meaning::Request;
use plica::source::Memory;

/// A strip over a gutter: feet `a` and `d` from it, panels `b` and `c` between the feet and the ridge, all in mm.
fn strip([a, b, c, d]: [f64; 4], pose: &str) -> String {
    let (ridge, toe, whole) = (10.0 + b, 10.0 + b + c, 20.0 + b + c);
    format!(
        "card \"Booth\"\npaper board: 250gsm, 0.30mm thick\n\
         piece page of board {{\n  size 240mm by 100mm\n  valley gutter: 120mm from left\n  panels left, right from left\n}}\n\
         piece box of board {{\n  size {whole}mm by 40mm\n  valley heel: 10mm from left\n  mountain ridge: {ridge}mm from left\n  \
         valley toe: {toe}mm from left\n  panels lap_l, riser, shelf, lap_r from left\n}}\n\
         glue back of box.lap_l to front of page.left: heel {a}mm left of gutter, centred\n\
         glue back of box.lap_r to front of page.right: toe {d}mm right of gutter, centred\n{pose}\n"
    )
}

fn found(text: &str) -> Vec<Finding> {
    let request = Request { path: "booth.plica".into(), ..Request::default() };
    let compiled = compile_text(text, &Memory::default(), &request).expect("a design in memory is read");
    compiled.findings.list().iter().filter(|f| f.name() == "pose-does-not-close").cloned().collect()
}

#[test]
fn two_sides_that_differ_are_told_as_sums() {
    let shut = "pose shut { page.gutter 180deg }";
    for (lengths, differ, mended) in [
        ([40.0, 25.0, 30.0, 38.0], "3 mm", "36.5mm"),
        ([20.0, 45.0, 45.0, 32.0], "12 mm", "61mm"),
        ([50.0, 30.0, 20.0, 50.0], "10 mm", "35mm"),
    ] {
        let told = found(&strip(lengths, shut));
        assert_eq!(told.len(), 1, "{lengths:?}");
        let telling = &told[0].telling;
        let message = &telling.message;
        assert!(message.contains(&format!("differ by {differ}")), "{message}");
        let [a, b, c, d] = lengths;
        for side in [format!("{a} mm + {b} mm"), format!("{d} mm + {c} mm")] {
            assert!(message.contains(&side), "{message}");
        }
        let value = |name: &str| telling.measured.iter().find(|m| m.name == name).map(|m| m.value);
        let (near, far) = (value("near").expect("one sum"), value("far").expect("the other"));
        assert!(((near - far).abs() - (a + b - c - d).abs()).abs() < 1e-6, "{near} {far}");
        let offered: Vec<&str> =
            telling.proposals.iter().flat_map(|p| p.edits.iter().map(|e| e.text.as_str())).collect();
        assert_eq!(offered, [mended]);
    }
}

/// A second strip in the corner between the left page and the first one's panel: its gutter is the first one's heel.
fn on_top([a, b, c, d]: [f64; 4]) -> String {
    // Its foot on the page is measured from the gutter, 40 mm from which the first heel lies.
    let (a, ridge, toe, whole) = (40.0 + a, 8.0 + b, 8.0 + b + c, 16.0 + b + c);
    format!(
        "piece bench of board {{\n  size {whole}mm by 20mm\n  valley heel: 8mm from left\n  mountain ridge: {ridge}mm from left\n  \
         valley toe: {toe}mm from left\n  panels lap_l, riser, shelf, lap_r from left\n}}\n\
         glue back of bench.lap_l to front of page.left: bench.heel {a}mm left of page.gutter, 40mm from top\n\
         glue back of bench.lap_r to front of box.riser: bench.toe {d}mm right of box.heel, 10mm from top\n"
    )
}

#[test]
fn a_strip_that_stands_on_another_is_told_by_its_own_sums() {
    let below = [40.0, 45.0, 45.0, 40.0];
    let poses = "pose shut { page.gutter 180deg }\npose open { page.gutter 0deg }";
    let told = found(&(strip(below, "") + &on_top([15.0, 20.0, 20.0, 18.0]) + poses));
    assert_eq!(told.len(), 1);
    let message = &told[0].telling.message;
    assert!(message.contains("`box.heel` differ by 3 mm: "), "{message}");
    assert!(message.contains("15 mm + 20 mm") && message.contains("18 mm + 20 mm"), "{message}");
    let offered: Vec<&str> =
        told[0].telling.proposals.iter().flat_map(|p| p.edits.iter().map(|e| e.text.as_str())).collect();
    assert_eq!(offered, ["29.5mm"]);
    assert!(found(&(strip(below, "") + &on_top([15.0, 20.0, 17.0, 18.0]) + poses)).is_empty());
}

#[test]
fn a_short_strip_on_another_stops_where_its_own_corner_is_too_wide() {
    // With the pages open the panel below leaves them by acos(40 / 45) = 27.3 degrees, and the corner beside it is the rest
    // of 180 degrees; two panels of 14 mm over feet 15 mm from it reach to 2 asin(14 / 15) = 137.9 degrees.
    let below = [40.0, 45.0, 45.0, 40.0];
    let poses =
        "pose shut { page.gutter 180deg }\npose stage { page.gutter 90deg }\npose open { page.gutter 0deg }";
    let told = found(&(strip(below, "") + &on_top([15.0, 14.0, 14.0, 15.0]) + poses));
    assert_eq!(told.len(), 1);
    let message = &told[0].telling.message;
    assert!(message.starts_with("pose `open` cannot be taken"), "{message}");
    assert!(message.contains("`box.heel` opens to 137.9° at the most"), "{message}");
}

/// The fold goes in between the pages: the panels lead from the feet back towards the gutter.
#[test]
fn of_an_inverted_fold_the_differences_count() {
    let inverted = |lengths, pose| strip(lengths, pose).replace("mountain ridge", "valley ridge");
    let shut = "pose shut { page.gutter 180deg }";
    assert!(found(&inverted([60.0, 40.0, 37.0, 57.0], shut)).is_empty());
    let told = found(&inverted([60.0, 40.0, 40.0, 57.0], shut));
    assert_eq!(told.len(), 1);
    let message = &told[0].telling.message;
    assert!(message.contains("`page.gutter` differ by 3 mm: "), "{message}");
    assert!(message.contains("60 mm - 40 mm") && message.contains("57 mm - 40 mm"), "{message}");
    let offered: Vec<&str> =
        told[0].telling.proposals.iter().flat_map(|p| p.edits.iter().map(|e| e.text.as_str())).collect();
    // 60 - 41.5 = 57 - 38.5.
    assert_eq!(offered, ["51.5mm"]);
}

#[test]
fn equal_sides_are_not_told() {
    for lengths in [[40.0, 25.0, 25.0, 40.0], [40.0, 25.0, 30.0, 35.0]] {
        assert!(found(&strip(lengths, "pose shut { page.gutter 180deg }")).is_empty(), "{lengths:?}");
    }
}

#[test]
fn the_angle_at_which_a_short_strip_stops_is_that_of_the_triangle() {
    for [a, b, c, d] in [[40.0, 25.0, 30.0, 35.0], [50.0, 30.0, 20.0, 40.0]] {
        let told = found(&strip([a, b, c, d], "pose flat { page.gutter 0deg }"));
        assert_eq!(told.len(), 1);
        let message = &told[0].telling.message;
        // The plain law of cosines, in the triangle of both pages and the strip pulled straight.
        let cos = (a * a + d * d - (b + c) * (b + c)) / (2.0 * a * d);
        let angle = cos.acos().to_degrees();
        assert!(message.contains(&format!("opens to {:.1}°", angle)), "{angle}: {message}");
        assert!(message.contains(&format!("{} mm short", a + d - b - c)), "{message}");
    }
}

/// A strip of `count` equal panels over a gutter that is half shut.
fn chain(count: usize) -> String {
    let folds: Vec<String> =
        (1..count).map(|k| format!("  mountain fold_{k}: {}mm from left\n", 10 + 24 * k)).collect();
    let names: Vec<String> = (1..=count).map(|k| format!("panel_{k}")).collect();
    let (toe, whole) = (10 + 24 * count, 20 + 24 * count);
    format!(
        "card \"Caterpillar tunnel\"\npaper board: 250gsm, 0.30mm thick\n\
         piece page of board {{\n  size 260mm by 100mm\n  valley gutter: 130mm from left\n  panels left, right from left\n}}\n\
         piece strip of board {{\n  size {whole}mm by 40mm\n  valley heel: 10mm from left\n{}  valley toe: {toe}mm from left\n  \
         panels lap_l, {}, lap_r from left\n}}\n\
         glue back of strip.lap_l to front of page.left: heel 30mm left of gutter, centred\n\
         glue back of strip.lap_r to front of page.right: toe 30mm right of gutter, centred\n\
         pose stage {{ page.gutter 90deg }}\n",
        folds.concat(),
        names.join(", ")
    )
}

/// Parallel folds round a ring of n leave n - 3 motions; with the gutter held it is one less.
#[test]
fn each_fold_more_leaves_one_motion_more() {
    for count in 2..6 {
        let request = Request { path: "tunnel.plica".into(), ..Request::default() };
        let compiled = compile_text(&chain(count), &Memory::default(), &request).expect("it is read");
        let told: Vec<&Finding> =
            compiled.findings.list().iter().filter(|f| f.name() == "parts-left-free").collect();
        let ways = told.first().and_then(|f| f.telling.measured.iter().find(|m| m.name == "ways"));
        assert_eq!(ways.map_or(0.0, |m| m.value), (count + 2 - 4) as f64, "{count} panels");
        if let Some(first) = told.first() {
            // Every panel between the laps moves, and nothing else does.
            let moved = first.telling.others.iter().filter(|l| l.text.contains("can move")).count();
            assert_eq!(moved, count);
        }
    }
}

/// A peak over a gutter: its lines of glue leave it at `a` and `d`, its panels have the angles `b` and `c` at the point,
/// all in degrees.
fn peak([a, b, c, d]: [f64; 4], pose: &str) -> String {
    let at = |length: f64, degrees: f64| {
        let turned = degrees.to_radians();
        (length * turned.cos(), length * turned.sin())
    };
    let ((left, left_down), (right, right_down)) = (at(70.0, 90.0 - b), at(70.0, 90.0 - c));
    let (foot, ridge) = (left_down.max(right_down).max(60.0), left_down.max(right_down).max(60.0) - 50.0);
    let ((ax, ay), (dx, dy)) = (at(60.0, a), at(60.0, d));
    format!(
        "card \"Peak\"\npaper board: 250gsm, 0.30mm thick\n\
         piece page of board {{\n  size 160mm by 240mm\n  valley gutter: 120mm from top\n  panels sky, plain from top\n}}\n\
         piece peak of board {{\n  shape polygon ({left:.6}mm, {foot}mm) (0mm, {:.6}mm) ({left:.6}mm, {ridge}mm) \
         ({:.6}mm, {:.6}mm)\n  mountain ridge: from ({left:.6}mm, {foot}mm) to ({left:.6}mm, {ridge}mm)\n  \
         panels shade, light from left\n  tab shade_foot 8mm off shade.bottom\n  tab light_foot 8mm off light.bottom\n}}\n\
         glue back of peak.shade_foot to front of page.sky: shade.bottom along (60mm, 120mm) through ({:.6}mm, {:.6}mm), \
         ridge end first\n\
         glue back of peak.light_foot to front of page.plain: light.bottom along (60mm, 120mm) through ({:.6}mm, {:.6}mm), \
         ridge end first\n{pose}\n",
        foot - left_down,
        left + right,
        foot - right_down,
        60.0 + ax,
        120.0 - ay,
        60.0 + dx,
        120.0 + dy,
    )
}

#[test]
fn two_sides_of_an_angle_fold_that_differ_are_told_as_sums_of_angles() {
    for ([a, b, c, d], differ, half) in
        [([40.0, 60.0, 45.0, 57.0], "2°", "1°"), ([50.0, 55.0, 60.0, 40.0], "5°", "2.5°")]
    {
        let told = found(&peak([a, b, c, d], "pose shut { page.gutter 180deg }"));
        assert_eq!(told.len(), 1);
        let (message, help) = (&told[0].telling.message, told[0].telling.help.as_deref().unwrap_or(""));
        assert!(
            message.contains(&format!("differ by {differ}: {a}° + {b}° against {d}° + {c}°")),
            "{message}"
        );
        assert!(help.contains(&format!("one foot by {differ}, or the ridge by {half}")), "{help}");
    }
    let little = found(&peak([40.0, 60.0, 45.0, 55.05], "pose shut { page.gutter 180deg }"));
    assert!(little[0].telling.message.contains("differ by 0.05°"), "{}", little[0].telling.message);
    let equal = found(&peak([40.0, 60.0, 45.0, 55.0], "pose shut { page.gutter 180deg }"));
    assert!(equal.is_empty());
}

#[test]
fn the_angle_at_which_a_short_angle_fold_stops_is_that_of_the_spherical_triangle() {
    for [a, b, c, d] in [[55.0f64, 55.0, 50.0, 60.0], [70.0, 60.0, 55.0, 65.0]] {
        let told = found(&peak([a, b, c, d], "pose flat { page.gutter 0deg }"));
        assert_eq!(told.len(), 1);
        let message = &told[0].telling.message;
        let of = |degrees: f64| degrees.to_radians().sin_cos();
        let ((sin_a, cos_a), (sin_d, cos_d), (_, cos_over)) = (of(a), of(d), of(b + c));
        let angle = ((cos_over - cos_a * cos_d) / (sin_a * sin_d)).acos().to_degrees();
        assert!(message.contains(&format!("opens to {angle:.1}°")), "{angle}: {message}");
        assert!(message.contains(&format!("{}° short", a + d - b - c)), "{message}");
    }
}

#[test]
fn a_ring_that_neither_shuts_nor_opens_is_one_fault_and_its_foot_mends_both() {
    let poses = "pose shut { page.gutter 180deg }\npose flat { page.gutter 0deg }";
    for ([a, b, c, d], foot) in
        [([40.0, 25.0, 35.0, 25.0], "box.heel` 35 mm"), ([30.0, 40.0, 30.0, 44.0], "box.toe` 40 mm")]
    {
        let told = found(&strip([a, b, c, d], poses));
        assert_eq!(told.len(), 1, "{a} {b} {c} {d}");
        let telling = &told[0].telling;
        assert!(telling.help.as_deref().unwrap_or("").contains(foot), "{:?}", telling.help);
        assert!(telling.proposals.is_empty());
        assert!(telling.others.iter().any(|l| l.text.contains("opens to")), "{:?}", telling.others);
    }
    for mended in [[35.0, 25.0, 35.0, 25.0], [30.0, 40.0, 30.0, 40.0]] {
        assert!(found(&strip(mended, poses)).is_empty());
    }
}

/// A sheet with four folds through its middle, at these directions in degrees, all folded flat.
fn corner(directions: [f64; 4]) -> String {
    let folds: String = directions
        .iter()
        .enumerate()
        .map(|(k, direction)| {
            let (sin, cos) = direction.to_radians().sin_cos();
            let reach = 70.0 / sin.abs().max(cos.abs());
            let kind = if k == 0 { "mountain" } else { "valley" };
            let (x, y) = (70.0 + reach * cos, 70.0 + reach * sin);
            format!("  {kind} fold_{k}: from (70mm, 70mm) to ({x:.6}mm, {y:.6}mm)\n")
        })
        .collect();
    let panels: String = (0..4)
        .map(|k| {
            let next = if k == 3 { directions[0] + 360.0 } else { directions[k + 1] };
            let (sin, cos) = ((directions[k] + next) / 2.0).to_radians().sin_cos();
            format!("  panel panel_{k} at ({:.3}mm, {:.3}mm)\n", 70.0 + 30.0 * cos, 70.0 + 30.0 * sin)
        })
        .collect();
    format!(
        "card \"Corner\"\npaper thin: 160gsm, 0.20mm thick\npiece leaf of thin {{\n  size 140mm by 140mm\n{folds}{panels}}}\n\
         pose folded {{ leaf folded flat }}\n"
    )
}

#[test]
fn every_other_angle_round_a_point_makes_180_degrees_or_is_told() {
    let told = found(&corner([0.0, 60.0, 150.0, 266.0]));
    assert_eq!(told.len(), 1);
    let telling = &told[0].telling;
    let value = |name: &str| telling.measured.iter().find(|m| m.name == name).map(|m| m.value);
    let (odd, even) = (value("odd").expect("one sum"), value("even").expect("the other"));
    assert!((odd.max(even) - 184.0).abs() < 1e-3 && (odd + even - 360.0).abs() < 1e-6, "{odd} {even}");
    assert!(telling.help.as_deref().unwrap_or("").contains("by 4°"), "{:?}", telling.help);
    assert!(found(&corner([0.0, 60.0, 150.0, 270.0])).is_empty());
}

#[test]
fn folds_that_contradict_each_other_are_said_to_fold_the_other_way() {
    // The two folds beside the smallest angle fold the same way: the panels beside it would have to pass through it.
    let same_way = corner([0.0, 60.0, 150.0, 270.0]).replace("mountain fold_0", "valley fold_0");
    let request = Request { path: "corner.plica".into(), ..Request::default() };
    let compiled = compile_text(&same_way, &Memory::default(), &request).expect("a design in memory is read");
    let told: Vec<&Finding> =
        compiled.findings.list().iter().filter(|f| f.name() == "layers-contradict").collect();
    assert_eq!(told.len(), 1);
    let help = told[0].telling.help.as_deref().unwrap_or("");
    assert!(help.contains("fold the other way"), "{help}");
}
