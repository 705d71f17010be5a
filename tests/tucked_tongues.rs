//! Tongues tucked into openings, laid through them: what is seen from the front and from behind and how thick the card is
//! there, against areas worked out by hand.

use plica::compile::{Compiled, compile_text};
use plica::findings::Severity;
use plica::geometry::region_area;
use plica::meaning::Request;
use plica::source::Memory;

const PAPERS: &str =
    "card \"Tucked\"\npaper board: 200gsm, 0.25mm thick, sheet A3\npaper thin: 100gsm, 0.12mm thick\n";

fn compiled(text: &str) -> Compiled {
    let request = Request { path: "design.plica".into(), ..Request::default() };
    compile_text(&format!("{PAPERS}{text}"), &Memory::default(), &request)
        .expect("a design in memory is read")
}

fn told(compiled: &Compiled) -> Vec<String> {
    compiled.findings.list().iter().map(|f| f.telling.message.clone()).collect()
}

/// Of a design without a fault and with one order of its layers: by panel that is seen, mm² from the front and from
/// behind, and mm at the thickest place.
fn seen(compiled: &Compiled, pose: &str) -> (Vec<(String, [f64; 2])>, f64) {
    let faults = compiled.findings.list().iter().filter(|f| f.severity() != Severity::Note).count();
    assert_eq!(faults, 0, "{:?}", told(compiled));
    let assembly = &compiled.assembly;
    let number = assembly.poses.iter().position(|p| p.name == pose).expect("the pose is there");
    let card = &compiled.cards[number];
    assert!(card.flat && card.contradiction.is_none());
    assert_eq!(card.undecided, None, "in `{pose}`");
    let area = |panel: usize, side: usize| {
        let own = card.seen[side].iter().filter(|s| card.leaves[s.leaf].panel == panel);
        own.map(|s| region_area(&s.region)).sum::<f64>()
    };
    let areas = (0..assembly.panels.len()).map(|p| {
        let round = |mm2: f64| (mm2 * 10.0).round() / 10.0;
        (assembly.panels[p].name.clone(), [0, 1].map(|side| round(area(p, side))))
    });
    let thick = card.thickest.as_ref().expect("a flat card is thick").mm;
    (areas.collect(), (thick * 1000.0).round() / 1000.0)
}

fn check(compiled: &Compiled, pose: &str, thick: f64, areas: &[(&str, [f64; 2])]) {
    let (mut found, mm) = seen(compiled, pose);
    let mut wanted: Vec<(String, [f64; 2])> = areas.iter().map(|(n, a)| (n.to_string(), *a)).collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    wanted.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(found, wanted, "in `{pose}`");
    assert_eq!(mm, thick, "in `{pose}`");
}

#[test]
fn a_tab_lies_on_the_page_up_to_the_slit_and_behind_it_beyond() {
    // The arm is 60 mm by 30 mm, the slit 40 mm from the fold; its outer cover folds over all of it.
    let card = compiled(
        "piece page of board {\n  size 200mm by 140mm\n  valley spine: 100mm from left\n  panels back, cover from left\n  \
         slit mouth on back: 40mm from left, 30mm to 70mm from top\n  \
         tab arm 60mm off back.left: 35mm to 65mm from top, square ends, valley\n}\n\
         piece dot of thin { size 10mm by 10mm }\nglue front of dot to back of page.arm: 5mm from left, centred down\n\
         tuck page.arm into page.mouth\n\
         pose loose { page.arm 0deg }\npose held { page.arm folded flat }\n\
         pose shut { page.spine folded flat  page.arm folded flat }\n\
         expect visible(page.arm, held) = 2/3\nexpect hidden(dot, held)\n",
    );
    // Not tucked in, it is one sheet, with the dot on its back.
    check(
        &card,
        "loose",
        0.37,
        &[("back", [14000.0; 2]), ("cover", [14000.0; 2]), ("arm", [1800.0, 1700.0]), ("dot", [0.0, 100.0])],
    );
    check(
        &card,
        "held",
        0.62,
        &[("back", [12800.0, 13400.0]), ("cover", [14000.0; 2]), ("arm", [1200.0, 600.0]), ("dot", [0.0; 2])],
    );
    // Nothing leaves open what lies over what: the cover over the arm, the arm's end behind all.
    check(
        &card,
        "shut",
        0.87,
        &[("back", [0.0, 13400.0]), ("cover", [14000.0, 0.0]), ("arm", [0.0, 600.0]), ("dot", [0.0; 2])],
    );
}

#[test]
fn a_flap_closes_over_a_pocket_and_its_end_goes_in() {
    // The flap covers the upper 60 mm, the pocket begins at 20 mm, its slit is at 40 mm. Open at the top, the pocket would
    // have room for the flap too, and its end would come out of the slit: nobody calls that tucked in.
    for glue in ["edges 8mm", "left and right 8mm"] {
        let card = compiled(&format!(
            "piece folder of board {{\n  size 120mm by 100mm\n  panels leaf from top\n  \
             tab flap 60mm off folder.top: 30mm to 90mm from left, square ends, valley\n}}\n\
             piece pocket of board {{\n  size 120mm by 80mm\n  slit mouth: 20mm from top, 25mm to 95mm from left\n}}\n\
             glue back of pocket to front of folder.leaf: bottom to bottom, centred across, along {glue}\n\
             tuck folder.flap into pocket.mouth\npose shut {{ folder.flap folded flat }}\n"
        ));
        let areas = [("leaf", [1200.0, 12000.0]), ("flap", [2400.0, 0.0]), ("pocket", [8400.0, 0.0])];
        check(&card, "shut", 0.75, &areas);
    }
}

#[test]
fn glue_leaves_no_room_for_a_tongue() {
    let text = |glue: &str| {
        format!(
            "piece folder of board {{\n  size 120mm by 100mm\n  panels leaf from top\n  \
             tab flap 60mm off folder.top: 30mm to 90mm from left, square ends, valley\n}}\n\
             piece pocket of board {{\n  size 120mm by 80mm\n  slit mouth: 20mm from top, 25mm to 95mm from left\n}}\n\
             glue back of pocket to front of folder.leaf: bottom to bottom, centred across{glue}\n\
             tuck folder.flap into pocket.mouth\npose shut {{ folder.flap folded flat }}\n"
        )
    };
    assert_eq!(told(&compiled(&text(", along edges 8mm"))), Vec::<String>::new());
    assert_eq!(
        told(&compiled(&text(""))),
        ["in `shut` the layers cannot lie as `pocket on folder` and `folder in pocket` ask"]
    );
}

#[test]
fn a_belt_is_closed_by_its_own_tongue() {
    // Shut, on its 80 mm: `left` from 0 to 50, its slit at 20; `right` from 30 to 80, its tip from 0 to 30, 18 mm wide, of
    // which 10 mm lie over `left`. The panel named first stays as it is, so that they are seen from behind.
    let card = compiled(
        "piece belt of board {\n  size 180mm by 30mm\n  valley left_turn: 50mm from left\n  \
         valley right_turn: 130mm from left\n  panels left, middle, right from left\n  \
         slit mouth on left: 30mm from left, 4mm to 26mm from top\n  \
         tab tip 30mm off right.right: 6mm to 24mm from top, square ends, valley\n}\n\
         tuck belt.tip into belt.mouth\n\
         pose shut { belt.left_turn folded flat  belt.right_turn folded flat }\n",
    );
    check(
        &card,
        "shut",
        0.75,
        &[("left", [0.0, 720.0]), ("middle", [2400.0, 0.0]), ("right", [0.0, 1500.0]), ("tip", [0.0, 180.0])],
    );
}

#[test]
fn what_is_stuck_on_a_tongue_goes_through_with_it() {
    // The label lies from 5 mm to 13 mm from the fold of the tongue, the slit is 10 mm from it.
    let text = |high: u32| {
        format!(
            "piece page of board {{\n  size 100mm by 60mm\n  panels sheet from top\n  \
             slit mouth: 10mm from left, 18mm to 42mm from top\n  \
             tab tip 30mm off page.left: 20mm to 40mm from top, square ends, valley\n}}\n\
             piece label of thin {{ size 8mm by {high}mm }}\n\
             glue front of label to back of page.tip: centred down, 17mm from left\n\
             tuck page.tip into page.mouth\npose shut {{ page.tip folded flat }}\n"
        )
    };
    let areas = [("sheet", [5800.0, 5600.0]), ("tip", [150.0, 400.0]), ("label", [50.0, 0.0])];
    check(&compiled(&text(10)), "shut", 0.62, &areas);
    // Higher than the slit is long, it stays outside.
    assert_eq!(
        told(&compiled(&text(26))),
        ["in `shut` the layers cannot lie as `page.tip` and `label on page` and `page in page` ask"]
    );
}

#[test]
fn a_tongue_goes_behind_a_strip_between_two_slits() {
    // 40 mm before the page, 30 mm behind it, 30 mm before it again; 20 mm wide.
    let card = compiled(
        "piece page of board {\n  size 150mm by 100mm\n  slit near: 40mm from left, 35mm to 65mm from top\n  \
         slit far: 70mm from left, 35mm to 65mm from top\n  panels sheet from top\n  \
         tab tongue 100mm off page.left: 40mm to 60mm from top, square ends, valley\n}\n\
         tuck page.tongue into page.near\ntuck page.tongue into page.far\npose shut { page.tongue folded flat }\n",
    );
    check(&card, "shut", 0.5, &[("sheet", [13600.0, 14400.0]), ("tongue", [1400.0, 600.0])]);
}

#[test]
fn half_a_slot_shows_what_goes_through_it() {
    // 2 mm wide and 40 mm from the fold: of 60 mm the first 41 are seen from the front, the last 21 from behind.
    let card = compiled(
        "piece page of board {\n  size 150mm by 100mm\n  panels sheet from top\n  \
         slot mouth: 2mm wide, 40mm from left, 35mm to 65mm from top\n  \
         tab arm 60mm off page.left: 40mm to 60mm from top, square ends, valley\n}\n\
         tuck page.arm into page.mouth\npose shut { page.arm folded flat }\n",
    );
    let (areas, _) = seen(&card, "shut");
    let arm = areas.iter().find(|(name, _)| name == "arm").expect("the arm is there");
    assert_eq!(arm.1, [820.0, 420.0]);
}

#[test]
fn a_tongue_tucked_in_to_its_root_is_hidden_behind() {
    // The flap lies before the page, the tongue that hangs on it at the slit between the page and its cover.
    let card = compiled(
        "piece page of board {\n  size 200mm by 140mm\n  mountain spine: 100mm from left\n  \
         panels back, cover from left\n  tab flap 30mm off cover.right: square ends, mountain\n  \
         tab tongue 15mm off flap.right: 55mm to 85mm from top, tapered 15deg, mountain\n  \
         slit mouth on back: 30mm from left, 53mm to 87mm from top\n}\n\
         tuck page.tongue into page.mouth\npose shut { page.spine folded flat  page.flap folded flat }\n\
         expect hidden(page.tongue, shut)\n",
    );
    check(
        &card,
        "shut",
        0.75,
        &[("back", [9800.0, 0.0]), ("cover", [0.0, 14000.0]), ("flap", [4200.0, 0.0]), ("tongue", [0.0; 2])],
    );
}

#[test]
fn a_strip_stuck_at_one_end_is_tucked_in_with_the_other() {
    // 100 mm by 20 mm, the last 20 mm beyond the slit.
    let card = compiled(
        "piece page of board {\n  size 120mm by 100mm\n  slit mouth: 90mm from left, 35mm to 65mm from top\n}\n\
         piece strip of board { size 100mm by 20mm }\n\
         glue back of strip to front of page: centred, along left 15mm\ntuck strip into page.mouth\npose shut { }\n",
    );
    check(&card, "shut", 0.5, &[("page", [10400.0, 11600.0]), ("strip", [1600.0, 400.0])]);
}

#[test]
fn a_lid_of_a_box_shows_its_lip_up_to_the_slit() {
    // The lip is 34 mm wide at its fold and 12 mm long, and tapers by 20° on either side; the slit is 8 mm from the fold:
    // 8 (68 - 16 tan 20°) of 12 (68 - 24 tan 20°).
    let share = 8.0 * (68.0 - 16.0 * 20.0_f64.to_radians().tan())
        / (12.0 * (68.0 - 24.0 * 20.0_f64.to_radians().tan()));
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/lang-examples/seedbox.plica"))
        .expect("the example is there");
    let request = Request { path: "design.plica".into(), ..Request::default() };
    let (low, high) = (share - 0.001, share + 0.001);
    let claims =
        format!("expect visible(box.lip, closed) > {low:.4}\nexpect visible(box.lip, closed) < {high:.4}\n");
    let card = compile_text(&format!("{text}{claims}"), &Memory::default(), &request).expect("it is read");
    assert_eq!(told(&card), Vec::<String>::new());
}
