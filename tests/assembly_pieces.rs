//! Pieces: outlines, panels, openings, tabs, straps and mats, against elementary geometry and published sizes.

mod assembly_support;

use assembly_support::{near, panel, piece, slide_range, sound};
use plica::assembly::{self, CutoutKind, Fold, JointKind, PieceKind, estimated_caliper, strip_length};
use plica::geometry::region_area;
use std::f64::consts::PI;

/// Chords of curves lie within this of the curve (mm), so areas are off by at most it times the length of the curve.
const CHORD: f64 = 0.01;

fn one(body: &str) -> assembly::Assembly {
    sound(&format!("card \"Test\"\npaper board: 200gsm, 0.30mm thick\npiece kite of board {{\n{body}\n}}\n"))
}

fn widths(assembly: &assembly::Assembly, name: &str) -> Vec<f64> {
    piece(assembly, name).panels.iter().map(|&id| assembly.panels[id].bounds.width()).collect()
}

#[test]
fn an_a5_sheet_folds_to_a6() {
    // ISO 216: A5 is 148 by 210 mm, A6 105 by 148.
    let assembly = one("size 210mm by 148mm\nvalley spine: 105mm from left\npanels front, back from left");
    assert_eq!(widths(&assembly, "kite"), [105.0, 105.0]);
    near(assembly.panels[panel(&assembly, "kite.back")].bounds.height(), 148.0, 0.0);
    let spine = &piece(&assembly, "kite").creases[0];
    assert_eq!((spine.name.as_str(), spine.fold, spine.hinges.len()), ("spine", Fold::Valley, 1));
}

#[test]
fn inches_are_exact_and_names_run_from_the_side_they_are_read_from() {
    // A gate card of 8 1/2 in scored at a quarter and three quarters (common practice, no source).
    let assembly =
        one("size 8 1/2in by 5 1/2in\nvalley 2 1/8in, 6 3/8in from left\npanels c, b, a from right");
    for (name, inches) in [("a", 2.125), ("b", 4.25), ("c", 2.125)] {
        near(assembly.panels[panel(&assembly, &format!("kite.{name}"))].bounds.width(), inches * 25.4, 1e-12);
    }
    near(assembly.panels[panel(&assembly, "kite.a")].bounds.min.x, 0.0, 0.0);
}

#[test]
fn a_circle_keeps_its_size_and_area() {
    let assembly = one("shape circle 24mm");
    let kite = piece(&assembly, "kite");
    assert_eq!((kite.bounds.width(), kite.bounds.height()), (24.0, 24.0));
    near(kite.contour.signed_area(), PI * 144.0, 1e-9);
    near(kite.polygon.area(), PI * 144.0, CHORD * PI * 24.0);
    near(kite.polygon.bounds().width(), 24.0, 1e-9);
}

#[test]
fn an_arc_goes_through_its_middle_point() {
    // A half circle of radius 30 on a square of 60: 3600 + 450 pi.
    for middle in ["(90mm, 30mm)", "(30mm + 60mm, 30mm)"] {
        let assembly = one(&format!(
            "shape path (0mm, 0mm) line to (60mm, 0mm) arc through {middle} to (60mm, 60mm) line to (0mm, 60mm) line to (0mm, 0mm)"
        ));
        let kite = piece(&assembly, "kite");
        near(kite.contour.signed_area(), 3600.0 + 450.0 * PI, 1e-9);
        near(kite.bounds.width(), 90.0, 1e-9);
    }
    // Bent inwards the same arc takes as much away.
    let assembly = one(
        "shape path (0mm, 0mm) line to (60mm, 0mm) arc through (30mm, 30mm) to (60mm, 60mm) line to (0mm, 60mm) line to (0mm, 0mm)",
    );
    near(piece(&assembly, "kite").contour.signed_area(), 3600.0 - 450.0 * PI, 1e-9);
}

#[test]
fn half_an_outline_is_completed_by_its_mirror_image() {
    let half = "(40mm, 0mm) line to (0mm, 50mm) line to (40mm, 80mm)";
    let assembly = one(&format!("shape path {half} mirrored about 40mm from left"));
    let kite = piece(&assembly, "kite");
    // A kite: half the product of its diagonals.
    near(kite.contour.signed_area(), 80.0 * 80.0 / 2.0, 1e-9);
    assert_eq!((kite.bounds.min.x, kite.bounds.max.x), (0.0, 80.0));
    // The same with the closing side on the mirror line, and about a line through two points.
    let closed = "polygon (40mm, 0mm) (0mm, 50mm) (40mm, 80mm) mirrored about (40mm, 0mm) (40mm, 10mm)";
    near(piece(&one(&format!("shape {closed}")), "kite").contour.signed_area(), 3200.0, 1e-9);
}

#[test]
fn a_drawing_has_the_size_it_states() {
    let file = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"2in\" height=\"1in\" viewBox=\"0 0 200 100\">\
                <path d=\"M20 10 H180 V90 H20 Z M80 30 H120 V70 H80 Z\" fill=\"black\"/></svg>";
    let design = "card \"Test\"\npaper board: 200gsm\npiece kite of board { shape from \"kite.svg\" }\n";
    let lowered = assembly_support::lower_with(design, &[("kite.svg", file.as_bytes())]);
    assert_eq!(lowered.messages(), Vec::<String>::new());
    let kite = piece(&lowered.assembly, "kite");
    // 160 by 80 units of 1/100 in, and an opening of 40 by 40; single precision is rounded to 0.0001 mm.
    near(kite.bounds.width(), 1.6 * 25.4, 2e-4);
    near(kite.bounds.height(), 0.8 * 25.4, 2e-4);
    assert_eq!((kite.bounds.min.x, kite.bounds.min.y), (0.0, 0.0));
    near(kite.polygon.area(), (1.6 * 0.8 - 0.16) * 25.4 * 25.4, 0.02);
    assert_eq!(kite.cutouts.len(), 1);
}

#[test]
fn creases_that_cross_make_hinges_on_every_stretch() {
    let assembly = one("size 60mm by 80mm\nvalley up: 30mm from left\nmountain across: 40mm from top\n\
                        panel nw at (5mm, 5mm)\npanel ne at (55mm, 5mm)\npanel sw at (5mm, 75mm)\npanel se at (55mm, 75mm)");
    let kite = piece(&assembly, "kite");
    assert_eq!(kite.panels.len(), 4);
    assert_eq!(kite.creases.iter().map(|c| c.hinges.len()).collect::<Vec<_>>(), [2, 2]);
    let up = &assembly.joints[kite.creases[0].hinges[0]];
    assert_eq!(
        assembly.panels[up.a].name, "ne",
        "a crease read from top to bottom has its left hand to the right"
    );
    assert_eq!(assembly.panels[up.b].name, "nw");
    // The same geometry by the rule of the model: panel a lies on the left hand as seen.
    for joint in &assembly.joints {
        let JointKind::Fold { from, to, .. } = &joint.kind else { continue };
        let side = |id: usize| {
            let centre = assembly.panels[id].bounds.centre();
            (*to - *from).cross(centre - *from)
        };
        assert!(side(joint.a) < 0.0 && side(joint.b) > 0.0, "{}", joint.name);
    }
}

#[test]
fn slits_and_short_scores_make_a_step() {
    // A step cut into a centre fold: two slits across it and short scores between them.
    let assembly = one("size 100mm by 80mm\nvalley left_gutter: 50mm from left, 0mm to 20mm from top\n\
         valley right_gutter: 50mm from left, 60mm to 80mm from top\n\
         mountain front: 65mm from left, 20mm to 60mm from top\n\
         valley back: 35mm from left, 20mm to 60mm from top\n\
         valley foot: 85mm from left, 20mm to 60mm from top\n\
         slit upper: 20mm from top, 35mm to 85mm from left\n\
         slit lower: 60mm from top, 35mm to 85mm from left\n\
         panel page at (10mm, 40mm)\npanel base at (95mm, 40mm)\npanel deck at (50mm, 40mm)\npanel riser at (75mm, 40mm)");
    let kite = piece(&assembly, "kite");
    assert_eq!(kite.panels.len(), 4);
    near(assembly.panels[panel(&assembly, "kite.deck")].polygon.area(), 30.0 * 40.0, 1e-6);
    near(assembly.panels[panel(&assembly, "kite.riser")].polygon.area(), 20.0 * 40.0, 1e-6);
    let total: f64 = kite.panels.iter().map(|&id| assembly.panels[id].polygon.area()).sum();
    near(total, 8000.0, 1e-6);
    assert_eq!(kite.creases.iter().map(|c| c.hinges.len()).sum::<usize>(), 5);
}

#[test]
fn slots_are_read_by_their_centre_line_and_ends() {
    let assembly = one("size 60mm by 80mm\nvalley spine: 20mm from left\npanels wing, body from left\n\
         slot rail on body: 2mm wide, 10mm from right, 12mm to 62mm from bottom\n\
         hole eye on wing: 3mm, centred, 8mm from top\n\
         window pane on body: rectangle 12mm by 10mm, 5mm from left, centred");
    let kite = piece(&assembly, "kite");
    let rail = &kite.cutouts[0];
    assert_eq!((rail.kind, rail.length, rail.width), (CutoutKind::Slot, 50.0, 2.0));
    assert_eq!((rail.from.x, rail.from.y, rail.to.y), (50.0, 18.0, 68.0));
    let eye = &kite.cutouts[1];
    assert_eq!((eye.centre.x, eye.centre.y), (10.0, 8.0), "a hole is placed by its centre");
    let pane = kite.cutouts[2].contour.as_ref().map(|c| c.bounds()).expect("a window has a contour");
    assert_eq!((pane.min.x, pane.min.y, pane.max.y), (25.0, 35.0, 45.0), "a window by its near edge");
    let material: f64 = kite.panels.iter().map(|&id| assembly.panels[id].polygon.area()).sum();
    near(material, 4800.0 - 100.0 - 120.0 - PI * 2.25, CHORD * 10.0);
    near(kite.outline().area(), 4800.0 - 100.0 - 120.0 - PI * 2.25, 1e-9);
}

#[test]
fn a_window_at_the_edge_is_a_notch() {
    let assembly = one("size 60mm by 80mm\nwindow thumb: rectangle 10mm by 20mm, at right, centred");
    let kite = piece(&assembly, "kite");
    assert!(kite.cutouts[0].notch);
    near(kite.contour.signed_area(), 4800.0 - 200.0, 1e-9);
    near(kite.polygon.area(), 4800.0 - 200.0, 1e-9);
    assert_eq!(kite.outline().holes.len(), 0);
    assert!(kite.contour.self_crossing(CHORD).is_none());
}

#[test]
fn tabs_stand_beyond_the_edge_and_taper() {
    let assembly = one("size 60mm by 80mm\ntab foot 9mm off bottom: 10mm to 50mm from left, tapered 30deg\n\
                        tab ear 5mm off right: square ends, mountain, folded 90deg");
    let kite = piece(&assembly, "kite");
    let foot = assembly.panels[panel(&assembly, "kite.foot")].clone();
    // A trapezium 40 and 40 − 2 · 9 tan 30° long, 9 deep.
    near(foot.polygon.area(), 9.0 * (40.0 - 9.0 * (PI / 6.0).tan()), 1e-6);
    assert_eq!((foot.bounds.min.y, foot.bounds.max.y), (80.0, 89.0));
    assert_eq!((kite.bounds.width(), kite.bounds.height()), (65.0, 89.0));
    assert_eq!(
        (kite.body.width(), kite.body.height()),
        (60.0, 80.0),
        "readings keep to the paper without tabs"
    );
    let ear = kite.creases.iter().find(|c| c.name == "ear").expect("a tab has a crease of its name");
    assert_eq!((ear.fold, ear.rest), (Fold::Mountain, Some(90.0)));
    assert_eq!(kite.panels.len(), 3);
    assert_eq!(assembly.panels[kite.panels[0]].name, "kite", "the body keeps the name of the piece");
}

#[test]
fn neighbouring_square_tabs_are_cut_apart() {
    let assembly = one("size 60mm by 40mm\nvalley mast: 30mm from left\npanels port, starboard from left\n\
                        tab a 9mm off port.bottom: square ends\ntab b 9mm off starboard.bottom: square ends");
    let kite = piece(&assembly, "kite");
    assert_eq!(kite.panels.len(), 4);
    for name in ["a", "b"] {
        near(assembly.panels[panel(&assembly, &format!("kite.{name}"))].polygon.area(), 270.0, 1e-6);
    }
    let slits: Vec<_> = kite.cutouts.iter().filter(|c| c.kind == CutoutKind::Slit).collect();
    assert_eq!(slits.len(), 1);
    near(slits[0].length, 9.0, 1e-9);
    assert!(kite.contour.self_crossing(CHORD).is_none(), "the outline does not run along the cut");
}

#[test]
fn a_strap_is_as_long_as_its_loop() {
    // 2 · 40 + 12 + 2 · 0.40 + π · 0.40: a loop round a bar of 40 mm keeps its length in its middle layer.
    let wanted = 80.0 + 12.0 + 0.8 + PI * 0.4;
    near(strip_length(40.0, 12.0, 0.4, 0.4, 0.0), wanted, 1e-12);
    let assembly = sound(
        "card \"Test\"\npaper board: 300gsm, 0.40mm thick\npiece page of board {\n  size 105mm by 120mm\n\
         slot l: 2mm wide, 32.5mm from left, 12mm to 78mm from top\nslot r: 2mm wide, 32.5mm from right, 12mm to 80mm from top\n}\n\
         strap runner of board around page between r, l: 6mm wide, 12mm overlap\n\
         piece sign of board { size 30mm by 20mm }\nglue back of sign to front of runner: bottom to bottom, centred\n",
    );
    let runner = piece(&assembly, "runner");
    assert_eq!(runner.kind, PieceKind::Strap);
    near(runner.bounds.width(), wanted, 1e-9);
    near(runner.body.width(), 40.0, 1e-9);
    // The rails share 12 to 78 mm: 66 − 6 of travel.
    let (low, high) = slide_range(&assembly, "runner");
    near(low, 0.0, 0.0);
    near(high, 60.0, 1e-9);
    let glued: f64 = assembly
        .joints
        .iter()
        .filter(|j| j.name == "runner loop")
        .map(|j| match &j.kind {
            JointKind::Fixed { area, closing: true, .. } => region_area(area),
            _ => 0.0,
        })
        .sum();
    near(glued, 72.0, 1e-6);
}

#[test]
fn mats_leave_a_border_on_every_side() {
    // 1/8 in on a panel of 4 1/4 by 5 1/2 in leaves 4 by 5 1/4 in (common practice, no source).
    let assembly = sound(
        "card \"Test\"\npaper board: 200gsm\npiece page of board { size 4 1/4in by 5 1/2in }\n\
         mat sky of board on front of page: 1/8in border\n",
    );
    let sky = piece(&assembly, "sky");
    near(sky.bounds.width(), 4.0 * 25.4, 1e-9);
    near(sky.bounds.height(), 5.25 * 25.4, 1e-9);
    let round = sound(
        "card \"Test\"\npaper board: 200gsm\npiece page of board { shape circle 60mm }\nmat sky of board on back of page: 4mm border\n",
    );
    near(piece(&round, "sky").contour.signed_area(), PI * 26.0 * 26.0, 1e-9);
}

#[test]
fn a_mat_for_the_back_is_the_mirror_image() {
    let assembly = sound(
        "card \"Test\"\npaper board: 200gsm\npiece page of board { shape polygon (0mm, 0mm) (80mm, 0mm) (0mm, 60mm) }\n\
         mat sky of board on back of page: 4mm border\n",
    );
    let sky = &piece(&assembly, "sky").polygon;
    // The right angle of the panel lies at its left; of the mat, printed side up, at its right.
    let corner = sky.bounds().max.x;
    assert!(sky.outer.iter().filter(|p| (p.x - corner).abs() < 0.01).count() >= 2, "{sky:?}");
    // Insetting a triangle of sides 60, 80, 100 (inradius 20) by 4 leaves it similar, 16/20 as large.
    near(sky.area(), 2400.0 * 0.64, 0.1);
    let JointKind::Fixed { placement, area, .. } = &assembly.joints[0].kind else { panic!("a mat is stuck") };
    assert!(placement.flipped);
    near(region_area(area), sky.area(), 0.1);
}

#[test]
fn calipers_are_estimated_from_the_grammage() {
    // Published values: copier paper of 80 g/m² is 0.10 mm thick, sheet of 385 g/m² 0.50 mm; the mean of the tables for
    // 160 g/m² is 0.20 mm.
    near(estimated_caliper(80.0), 0.10, 0.005);
    near(estimated_caliper(385.0), 0.50, 0.01);
    near(estimated_caliper(160.0), 0.20, 0.02);
    let mut last = 0.0;
    for grammage in (20..=900).step_by(10) {
        let caliper = estimated_caliper(f64::from(grammage));
        assert!(caliper > last, "{grammage} g/m²");
        last = caliper;
    }
}

#[test]
fn letters_go_to_cut_pieces_first() {
    let assembly = sound(
        "card \"Test\"\npaper board: 200gsm\nmat sky of board on front of page: 4mm border\n\
         piece page of board { size 80mm by 60mm }\npiece seal of board { shape circle 10mm }\n\
         glue back of seal to back of page: centred\n",
    );
    let letters = ["page", "seal", "sky"].map(|name| piece(&assembly, name).letter.clone());
    assert_eq!(letters, ["A", "B", "C"]);
}

/// Where the scores of a piece begin and end, by name: x and y of either.
fn scores(assembly: &assembly::Assembly) -> Vec<(String, [f64; 4])> {
    let creases = piece(assembly, "kite").creases.iter();
    creases.map(|c| (c.name.clone(), [c.from.x, c.from.y, c.to.x, c.to.y])).collect()
}

#[test]
fn a_score_lies_beside_another_line_of_its_piece() {
    // On 100 by 80 mm; the order of the statements does not matter. `from` leads to the middle, `above` may lead away.
    let assembly = one("size 100mm by 80mm\nmountain low: 15mm below spine\nvalley spine: 30mm from top\n\
         valley high: 10mm above spine\nvalley short: 5mm below low, 60mm to 100mm from left\n\
         valley side: 60mm from left, 30mm to 80mm from top\n\
         valley one, two: 65mm, 72mm below top");
    let expected = [
        ("low", 45.0, (0.0, 100.0)),
        ("spine", 30.0, (0.0, 100.0)),
        ("high", 20.0, (0.0, 100.0)),
        ("short", 50.0, (60.0, 100.0)),
        ("one", 65.0, (0.0, 100.0)),
        ("two", 72.0, (0.0, 100.0)),
    ];
    let read = scores(&assembly).into_iter().filter(|(name, ..)| name != "side");
    for ((name, ends), (wanted, y, (left, right))) in read.zip(expected) {
        assert_eq!((name.as_str(), ends), (wanted, [left, y, right, y]));
    }
    let assembly = one("size 100mm by 80mm\nvalley spine: 30mm from left\nvalley a: 12mm left of spine\n\
         mountain b, c: 12mm, 20mm right of spine\npanels p, q, r, s, t from left");
    let across: Vec<f64> = scores(&assembly).iter().map(|(_, ends)| ends[0]).collect();
    assert_eq!(across, [30.0, 18.0, 42.0, 50.0]);
    assert_eq!(widths(&assembly, "kite"), [18.0, 12.0, 12.0, 8.0, 50.0]);
}

#[test]
fn a_score_runs_along_with_a_leaning_line() {
    // A line that falls 3 on 4: five below it, measured square, is 6.25 mm further down where it leaves the edge.
    let assembly =
        one("size 80mm by 80mm\nvalley lean: from (0mm, 10mm) to (80mm, 70mm)\nvalley low: 5mm below lean");
    let [left, high, right, low] = scores(&assembly)[1].1;
    near(left, 0.0, 1e-9);
    near(high, 16.25, 1e-9);
    near((low - high) / (right - left), 0.75, 1e-9);
}

#[test]
fn a_panel_between_scores_beside_each_other_has_a_plain_width() {
    let text = "card \"Test\"\npaper board: 200gsm, 0.30mm thick\n\
         piece kite of board { size 100mm by 80mm valley b: 20mm right of a valley a: 30mm from left \
         panels p, q, r from left }\n\
         piece tag of board { size kite.q.width - 4mm by kite.r.width / 2 }\n\
         glue back of tag to front of kite.q: centred\n";
    let tag = &sound(text).pieces[1];
    assert_eq!((tag.bounds.width(), tag.bounds.height()), (16.0, 25.0));
}

#[test]
fn what_a_score_cannot_lie_beside_is_told_once() {
    let told = |body: &str| -> Vec<String> {
        let text = format!(
            "card \"Test\"\npaper board: 200gsm, 0.30mm thick\n\
             piece tail of board {{ size 20mm by 20mm valley bend: 10mm from top }}\n\
             piece kite of board {{ size 100mm by 80mm\n{body}\n}}\n"
        );
        let compiled =
            plica::compile::compile_text(&text, &plica::source::Memory::default(), &Default::default());
        let compiled = compiled.expect("the text is at hand");
        let names = compiled.findings.list().iter().map(|f| f.name().to_string());
        names.filter(|name| name != "loose-part").collect()
    };
    assert_eq!(told("valley spine: 40mm from left\nvalley low: 10mm below spine"), ["line-has-no-such-side"]);
    // What waits for that score says nothing of its own.
    let waiting = "valley spine: 40mm from left\nvalley low: 10mm below spine\nvalley lower: 10mm below low";
    assert_eq!(told(waiting), ["line-has-no-such-side"]);
    assert_eq!(told("valley spine: 40mm from top\nvalley low: 10mm below spien"), ["unknown-name"]);
    assert_eq!(told("valley low: 10mm below tail.bend"), ["wrong-kind"]);
    assert_eq!(told("valley a: 10mm below b\nvalley b: 10mm above a"), ["score-has-no-place"]);
    assert_eq!(told("valley a: 10mm above top"), ["score-off-piece"]);
    assert_eq!(told("valley s: 40mm from top\nvalley a: 50mm below s"), ["score-off-piece"]);
    assert_eq!(told("valley s: 40mm from top\nvalley a: 10mm below s, 30mm from top"), ["said-twice"]);
}
