//! Every finding of the catalogue against its own two designs: `wrong` shows exactly that finding, `right` none. And
//! designs with several faults, annotated with what is to be found where: `#~ error slot-meets-score` stands on the line
//! of the finding, or on a line of its own under it.

use plica::compile::{Compiled, compile_text};
use plica::findings::{Finding, Severity, catalogue::ENTRIES};
use plica::meaning::Request;
use plica::source::Memory;
use std::collections::BTreeSet;

/// Entries whose designs do not yet do what they should. An entry that does must leave the list.
const PENDING_WRONG: &[&str] = &[];
const PENDING_RIGHT: &[&str] = &[];

/// Everything found in a design; notes only when they are asked for.
fn found_in(text: &str, notes: bool) -> Vec<Finding> {
    let compiled = compile(text);
    let wanted = |f: &&Finding| notes || f.severity() != Severity::Note;
    compiled.findings.list().iter().filter(wanted).cloned().collect()
}

fn compile(text: &str) -> Compiled {
    let request = Request { path: "design.plica".into(), ..Request::default() };
    compile_text(text, &library(), &request).expect("the text is at hand")
}

/// The files that the designs of the catalogue name.
fn library() -> Memory<'static> {
    let svg = |attributes: &str, path: &str| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' {attributes} viewBox='0 0 60 80'><path d='{path}'/></svg>"
        )
    };
    let sized = "width='60mm' height='80mm'";
    Memory::default()
        .with("kite.svg", svg(sized, "M0 0H60V80H0Z"))
        .with("open-line.svg", svg(sized, "M0 0H60V80H0"))
        .with("notes.txt", "two gulls, one kite")
        .with("unsized.svg", svg("", "M0 0H60V80H0Z"))
}

fn told(found: &[Finding]) -> String {
    found.iter().map(|f| format!("\n    {}: {}", f.name(), f.telling.message)).collect()
}

#[test]
fn each_wrong_design_shows_its_finding_alone() {
    let mut faults = String::new();
    for entry in ENTRIES {
        let found = found_in(entry.wrong, entry.severity == Severity::Note);
        let alone = matches!(found.as_slice(), [only] if only.name() == entry.name);
        if alone == PENDING_WRONG.contains(&entry.name) {
            faults += &format!("{}{}\n", entry.name, told(&found));
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn each_right_design_shows_none() {
    let mut faults = String::new();
    for entry in ENTRIES {
        let found = found_in(entry.right, false);
        if found.is_empty() == PENDING_RIGHT.contains(&entry.name) {
            faults += &format!("{}{}\n", entry.name, told(&found));
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

/// Line (1-based), severity, name.
type Expected = BTreeSet<(usize, String, String)>;

fn annotations(text: &str) -> Expected {
    let mut expected = Expected::new();
    let mut line_of_code = 0;
    for (index, line) in text.lines().enumerate() {
        let Some((code, told)) = line.split_once("#~") else {
            line_of_code = index + 1;
            continue;
        };
        if !code.trim().is_empty() {
            line_of_code = index + 1;
        }
        let mut words = told.split_whitespace();
        let (Some(severity), Some(name)) = (words.next(), words.next()) else {
            panic!("line {}: a severity and a name belong behind #~", index + 1)
        };
        expected.insert((line_of_code, severity.into(), name.into()));
    }
    expected
}

#[test]
fn annotated_designs_show_what_they_say() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/findings");
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("the folder").flatten().map(|e| e.path()).collect();
    files.sort();
    assert!(files.len() >= 4, "the designs are gone");
    let mut faults = String::new();
    for path in files {
        let text = std::fs::read_to_string(&path).expect("a design");
        let expected = annotations(&text);
        let compiled = compile(&text);
        let line = |f: &Finding| text[..f.place().start as usize].matches('\n').count() + 1;
        let annotated_notes = expected.iter().any(|(_, severity, _)| severity == "note");
        let found: Expected = compiled
            .findings
            .list()
            .iter()
            .filter(|f| annotated_notes || f.severity() != Severity::Note)
            .map(|f| (line(f), f.severity().word().to_string(), f.name().to_string()))
            .collect();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        for (line, severity, finding) in expected.difference(&found) {
            faults += &format!("{name}:{line}: missing {severity} {finding}\n");
        }
        for (line, severity, finding) in found.difference(&expected) {
            let told = compiled.findings.list().iter().find(|f| f.name() == finding);
            let message = told.map_or("", |f| f.telling.message.as_str());
            faults += &format!("{name}:{line}: extra {severity} {finding}: {message}\n");
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
}

/// A mend that a finding of the checks proposes does mend it.
#[test]
fn proposals_of_measured_findings_mend() {
    use plica::findings::Family::*;
    let measured = [Cutting, Joints, Folding, Motion, Layers, Envelope, Post, Expectations];
    let mut faults = String::new();
    let mut mended = 0;
    for entry in ENTRIES.iter().filter(|e| measured.contains(&e.family)) {
        let request = Request::default();
        let mut compiled = compile(entry.wrong);
        plica::compile::try_mends(&mut compiled, &library(), &request);
        for finding in compiled.findings.list().iter().filter(|f| !f.telling.proposals.is_empty()) {
            match &finding.mend {
                Some(_) => mended += 1,
                None => faults += &format!("{}: {:?}\n", finding.name(), finding.telling.proposals),
            }
        }
    }
    assert!(faults.is_empty(), "\n{faults}");
    assert!(mended >= 10, "only {mended} findings propose a mend");
}

/// What the tried mend of the only finding of that name says.
fn mend_of(text: &str, name: &str) -> Option<String> {
    let mut compiled = compile(text);
    plica::compile::try_mends(&mut compiled, &Memory::default(), &Request::default());
    let mut named = compiled.findings.list().iter().filter(|f| f.name() == name);
    let (finding, none) = (named.next().expect("it is found"), named.next());
    assert!(none.is_none(), "{name} is found twice");
    finding.mend.as_ref().map(|m| m.says.clone())
}

/// The slots begin 14 mm inside the liner and 9 mm inside the plate, whose top and bottom edges cross the bar. Glue keeps
/// off the path by 1 mm, and off the slots by what lets 1 mm round them stay nine tenths free.
#[test]
fn glue_on_a_path_is_mended_with_the_width_that_leaves_it_free() {
    let wall = "card \"Lighthouse\"\npaper cover: 250gsm, 0.3mm thick\npiece wall of cover {\n  size 80mm by 140mm\n  \
                slot rail_l: 2mm wide, 20mm from left, 20mm to 100mm from top\n  \
                slot rail_r: 2mm wide, 20mm from right, 20mm to 100mm from top\n}\n\
                strap runner of cover around wall between rail_l, rail_r: 8mm wide, 12mm overlap\n";
    let mend = |rest: &str| mend_of(&format!("{wall}{rest}"), "glue-on-path");
    let width = |says: Option<String>, sides: &str| -> f64 {
        let says = says.expect("there is a mend");
        let number =
            says.strip_prefix(&format!("glue it `along {sides} ")).and_then(|s| s.strip_suffix("mm`"));
        number.unwrap_or_else(|| panic!("{says}")).parse().expect("a number")
    };
    let liner =
        mend("piece liner of cover { size 70mm by 130mm }\nglue back of liner to back of wall: centred\n");
    assert!((12.0..13.0).contains(&width(liner, "edges")));
    let plate = "piece plate of cover { size 60mm by 20mm }\nglue back of plate to front of wall: centred";
    let plate = mend(&format!("{plate}, along edges 7mm\n"));
    assert!((7.0..8.0).contains(&width(plate, "left and right")));
    let knob = "piece knob of cover { size 16mm by 20mm }\nglue back of knob to front of wall: centred\n";
    let told = found_in(&format!("{wall}{knob}"), false);
    let names: Vec<&str> = told.iter().map(|f| f.name()).collect();
    assert_eq!(names, ["comes-against"], "no strip of it is clear, and the strap is free below it");
}

/// The boat is 20 mm high and stands with its foot where the slots end below, 110 mm from the top; on its way up of 62 mm
/// it comes to 28 mm. The bar hangs down to 30 mm. Free are slots that end 2 mm lower, at 42 mm; or, when the lift is to
/// keep its way, a bolt that stops with the bar's corner (36 mm from the left when drawn) at the boat's left side, which is
/// in the middle of the 120 mm: 45 mm from the left. Where both ways are claimed, nothing is offered.
#[test]
fn a_way_that_is_blocked_is_ended_where_it_is_free() {
    let entry = plica::findings::catalogue::entry("blocked-in-other-order").expect("an entry");
    let mend = |claims: &str| mend_of(&format!("{}{claims}", entry.wrong), entry.name);
    let lift = mend("").expect("there is a mend");
    assert_eq!(lift, "write `42mm`, so that `lift` stops before");
    let bolt = mend("expect travel(lift) = 62mm\n").expect("there is a mend");
    assert_eq!(bolt, "write `11mm`, so that `bolt` stops before");
    assert_eq!(mend("expect travel(lift) = 62mm\nexpect travel(bolt) = 40mm\n"), None);
}

/// A second part of the bolt that reaches further down decides, though it is not the one that is told.
#[test]
fn a_way_is_ended_so_early_that_no_part_is_met() {
    let entry = plica::findings::catalogue::entry("blocked-in-other-order").expect("an entry");
    // A knob under the bar, from 24 mm to 38 mm from the top: slots that end 10 mm lower.
    let text = entry.wrong.replace(
        "piece bolt of board",
        "piece knob of board { size 8mm by 14mm }\n\
         glue back of knob to front of bolt: right to right, 4mm from top\npiece bolt of board",
    );
    let said = mend_of(&text, entry.name).expect("there is a mend");
    assert_eq!(said, "write `50mm`, so that `lift` stops before");
    // A bar with a tooth at its far end, 35 mm from the top where the bar alone would end at 25 mm.
    let text = entry.wrong.replace(
        "size 34mm by 12mm",
        "shape polygon (0mm, 0mm) (34mm, 0mm) (34mm, 22mm) (26mm, 22mm) (26mm, 12mm) (0mm, 12mm)",
    );
    let said = mend_of(&text, entry.name).expect("there is a mend");
    assert_eq!(said, "write `47mm`, so that `lift` stops before");
}

/// The stop of a slide in layers: the letter is 24 mm wide from 58 mm on, and the glue of the pocket begins at 105 mm.
#[test]
fn a_way_that_layers_block_is_ended_where_they_allow_it() {
    let text = "card \"Pigeon post\"\npaper wall: 250gsm, 0.30mm thick\n\
         piece page of wall { size 140mm by 180mm }\npiece pocket of wall { size 90mm by 60mm }\n\
         glue back of pocket to front of page: 25mm from left, 10mm from bottom, along right 10mm\n\
         piece carrier of wall { size 30mm by 40mm }\n\
         slide carrier on front of page: 55mm from left, 115mm from top, towards top, under pocket, from 0mm to 70mm\n\
         piece letter of wall { size 24mm by 30mm }\n\
         slide letter on front of carrier: 3mm from left, 5mm from top, towards right, under pocket, from 0mm to 30mm\n\
         pose shut { carrier at bottom  letter at left }\n\
         motion send { carrier bottom to top then letter left to right }\n";
    let said = mend_of(text, "blocked-in-other-order").expect("there is a mend");
    assert_eq!(said, "write `23mm`, so that `letter` stops before");
}

/// The turning arm keeps the way that its motion names, and the bolt stops beside it; a bolt that is claimed to go all
/// its way leaves the arm to stop.
#[test]
fn a_pin_that_is_blocked_keeps_a_way_that_a_motion_names() {
    let text = |go: &str| {
        format!(
            "card \"Gate\"\npaper board: 250gsm, 0.3mm thick\n\
             piece page of board {{ size 160mm by 160mm hole pin: 3mm, 80mm from left, 80mm from top }}\n\
             piece arm of board {{ size 16mm by 50mm hole pin: 3mm, centred across, 42mm from top }}\n\
             brad turn through arm.pin, page.pin: from -80deg to 0deg\npiece bolt of board {{ size 20mm by 10mm }}\n\
             slide bolt on front of page: 10mm from left, 50mm from top, towards right, from 0mm to 30mm\n\
             pose rest {{ turn 0deg  bolt at left }}\nmotion go {{ {go} then bolt left to right }}\n"
        )
    };
    let said = mend_of(&text("turn 0deg to -80deg then turn -80deg to 0deg"), "blocked-in-other-order");
    let said = said.expect("there is a mend");
    assert!(said.contains("so that `bolt` stops before"), "{said}");
    let claimed = text("turn 0deg to -5deg then turn -5deg to 0deg") + "expect travel(bolt) = 30mm\n";
    let said = mend_of(&claimed, "blocked-in-other-order").expect("there is a mend");
    assert!(said.starts_with("write `-") && said.contains("deg`, so that `turn` stops before"), "{said}");
}

/// The arch is as high as its two sides of 30 mm over feet 40 mm from a right angle let it: its eaves are as far apart as
/// the feet less two sides' lean. What is written is what is shown.
#[test]
fn parts_left_free_are_held_by_the_angle_they_are_shown_at() {
    let entry = plica::findings::catalogue::entry("parts-left-free").expect("an entry");
    let compiled = compile(entry.wrong);
    let shown = compiled.findings.list()[0].telling.measured.iter().find(|m| m.name == "shown_at");
    let shown = format!("{:.1}deg", shown.expect("an angle").value);
    let said = mend_of(entry.wrong, entry.name).expect("there is a mend");
    assert!(
        said.starts_with("add `arch.eave_") && said.ends_with(&format!(" {shown}` to the pose")),
        "{said}"
    );
    // A score without a name cannot be set.
    let nameless =
        entry.wrong.replace("mountain eave_l:", "mountain").replace("mountain eave_r:", "mountain");
    assert_eq!(mend_of(&nameless, entry.name), None);
    // A roof of five panels leaves two angles open: both are written.
    let twice = entry.wrong.replace("size 110mm by 30mm", "size 130mm by 30mm").replace(
        "valley 10mm, 100mm from left\n",
        "valley 10mm, 120mm from left\n  mountain ridge: 95mm from left\n",
    );
    let twice = twice.replace("side_l, top, side_r", "side_l, top, slope, side_r");
    let said = mend_of(&twice, entry.name).expect("there is a mend");
    assert_eq!(said.matches("deg`").count(), 2, "{said}");
}

/// The only fault of a design of the corpus.
fn fault_of(pair: &str) -> Finding {
    let text = std::fs::read_to_string(format!("{}/tests/corpus/{pair}", env!("CARGO_MANIFEST_DIR")));
    let faults = found_in(&text.expect("the design is there"), false);
    assert_eq!(faults.len(), 1, "{}", told(&faults));
    faults.into_iter().next().expect("one fault")
}

fn labels(finding: &Finding) -> Vec<&str> {
    finding.telling.others.iter().map(|l| l.text.as_str()).collect()
}

#[test]
fn a_travel_that_is_not_met_names_what_stops_it() {
    let fault = fault_of("stops_train_bridge.plica");
    for wanted in ["`stop_l` stops it at the left", "`bridge` stops it at the right"] {
        assert!(labels(&fault).contains(&wanted), "{:?}", labels(&fault));
    }
}

/// The leg of 190 mm hangs 95 mm down from its bend, 100 mm above the ground.
#[test]
fn a_card_on_one_edge_names_the_part_that_ends_above_the_ground() {
    let fault = fault_of("standing_mantel_strut.plica");
    assert!(labels(&fault).contains(&"ends 5 mm above the ground"), "{:?}", labels(&fault));
}

/// Behind a name, a blank is the length that its uses take: the slots end where the strap of 10 mm has 70 mm to go.
#[test]
fn a_blank_behind_a_name_is_answered() {
    let text = "card \"Owl\"\npaper board: 250gsm, 0.3mm thick\nlet foot = ?\npiece oak of board {\n  \
                size 100mm by 120mm\n  slot l: 2mm wide, 30mm from left, 20mm to foot from top\n  \
                slot r: 2mm wide, 30mm from right, 20mm to foot from top\n}\n\
                strap loop of board around oak between l, r: 10mm wide, 12mm overlap\n\
                expect travel(loop) = 70mm\n";
    let request = Request::default();
    let answers = plica::compile::answers(text, &compile(text), &Memory::default(), &request);
    let ranges: Vec<&[(f64, f64)]> = answers.iter().map(|a| a.ranges.as_slice()).collect();
    assert_eq!(ranges, [[(100.0, 100.0)]]);
}

fn answers_of(text: &str) -> Vec<plica::compile::Answer> {
    plica::compile::answers(text, &compile(text), &Memory::default(), &Request::default())
}

/// The closed card is as wide as its wider half: 100 mm at 100 mm, 108 mm at 108 mm. Edges are found to 0.05 mm, and
/// claims are held to it.
#[test]
fn the_ends_of_what_fits_a_blank_are_found() {
    let text = "card \"Halves\"\nenvelope 110mm by 150mm\npaper p: 250gsm, 0.32mm thick\npiece page of p {\n  size 208mm by \
                148mm\n  valley spine: ? from left\n  panels l, r from left\n}\npose shut { page.spine 180deg }\n\
                expect fits(shut, envelope)\nexpect width(shut) <= 108mm\n";
    let answers = answers_of(text);
    let [(from, to)] = answers[0].ranges[..] else { panic!("{answers:?}") };
    assert!((from - 100.0).abs() <= 0.1 && (to - 108.0).abs() <= 0.1, "{answers:?}");
    assert!(!answers[0].beyond && answers[0].beside.is_empty(), "{answers:?}");
}

/// A bar between two stops 100 mm apart travels what it is shorter: 49 mm and 80.3 mm.
#[test]
fn a_blank_is_answered_by_what_its_motion_needs() {
    let text = "card \"Bar\"\npaper p: 250gsm, 0.32mm thick\npiece page of p { size 200mm by 100mm }\npiece bar of p { size ? \
                by 20mm }\npiece one of p { size 10mm by 20mm }\npiece two of p { size 10mm by 20mm }\nglue back of one to \
                front of page: 20mm from left, 40mm from top\nglue back of two to front of page: 130mm from left, 40mm from \
                top\nslide bar on front of page: 30mm from left, 40mm from top, towards right\npose start { bar at left }\n\
                pose end { bar at right }\nmotion go { bar left to right }\nexpect travel(bar) >= 49mm\nexpect travel(bar) \
                <= 80.3mm\nexpect moves(go)\n";
    let answers = answers_of(text);
    let [(from, to)] = answers[0].ranges[..] else { panic!("{answers:?}") };
    assert!((from - 19.7).abs() <= 0.1 && (to - 51.0).abs() <= 0.1, "{answers:?}");
}

/// 2 g of page, and 0.25 g for each tag.
#[test]
fn a_blank_that_counts_is_answered_in_whole_numbers() {
    let text = "card \"Tags\"\npaper p: 250gsm, 0.32mm thick\npiece page of p { size 200mm by 40mm }\nrepeat i from 1 to ? {\n  \
                piece tag[i] of p { size 20mm by 50mm }\n  glue back of tag[i] to front of page: (i - 1) * 20mm from left, \
                centred down\n}\npose flat { }\nexpect mass() >= 2.5g\nexpect mass() <= 3.3g\n";
    let answers = answers_of(text);
    assert_eq!(answers[0].ranges, [(2.0, 5.0)]);
}

/// While one of two blanks is open, nothing that needs both can be looked at: that is said, and where the trials ended.
#[test]
fn blanks_that_need_each_other_say_so() {
    let text = "card \"Two\"\npaper p: 250gsm, 0.32mm thick\npiece page of p {\n  size ? by 100mm\n  valley spine: ? from \
                left\n  panels l, r from left\n}\npose shut { page.spine 180deg }\nexpect width(shut) = 80mm\n";
    let answers = answers_of(text);
    for (answer, other) in answers.iter().zip(answers.iter().rev()) {
        assert_eq!(answer.beside, [other.span]);
        assert!(answer.beyond && answer.ranges.last().is_some_and(|r| r.1 == 300.0), "{answers:?}");
    }
}

/// A blank that a single value fits counts as filled for one that stands before it.
#[test]
fn a_blank_is_filled_for_those_before_it() {
    let text = "card \"Tie\"\npaper p: 250gsm, 0.32mm thick\nlet high = ?\nlet wide = ?\npiece page of p { size wide by \
                high }\npiece tag of p { size wide by 20mm }\nglue back of tag to front of page: centred\npose flat { }\n\
                expect width(tag) = 60mm\nexpect width(page) + height(page) = 150mm\n";
    let ranges: Vec<Vec<(f64, f64)>> = answers_of(text).into_iter().map(|a| a.ranges).collect();
    assert_eq!(ranges, [[(90.0, 90.0)], [(60.0, 60.0)]]);
}

/// A fault that is there anyway is no reason for a value not to fit.
#[test]
fn what_is_wrong_anyway_does_not_speak_against_a_value() {
    let text = "card \"Anyway\"\npaper p: 250gsm, 0.32mm thick\npiece page of p { size 100mm by 80mm }\npiece tag of p { size \
                ? by 20mm }\nglue back of tag to front of page: centred\nexpect height(page) = 90mm\nexpect width(tag) = \
                40mm\n";
    assert_eq!(answers_of(text)[0].ranges, [(40.0, 40.0)]);
}

/// Where the track waits for a blank, the poses that name its strap are missing: the folds of the foot, which they set,
/// are not known, and nothing is said of them.
#[test]
fn what_waits_for_a_blank_says_nothing_of_the_rings_it_would_close() {
    let foot = "piece foot of p {\n  size 60mm by 120mm\n  valley seam: 20mm from top\n  valley apex: 70mm from top\n  panels \
                lap, slope, rest from top\n}\nglue back of foot.rest to front of page: 20mm from left, 0mm from top\nglue \
                front of foot.lap to front of foot.rest\n";
    let text = |rail: &str| {
        format!(
            "card \"Foot\"\npaper p: 250gsm, 0.32mm thick\npiece page of p {{ size 140mm by 120mm }}\npiece track of p {{\n  size \
             60mm by 100mm\n  slot a: 2mm wide, 10mm from left, 10mm to {rail} from top\n  slot b: 2mm wide, 10mm from \
             right, 10mm to {rail} from top\n}}\nglue back of track to back of page: centred\nstrap run of p around track \
             between a, b: 8mm wide, 10mm overlap\n{foot}pose shut {{ run at bottom  foot.apex 180deg }}\n"
        )
    };
    let errors = |rail: &str| {
        let compiled = compile(&text(rail));
        let list = compiled.findings.list().iter().filter(|f| f.severity() == Severity::Error);
        list.map(|f| f.telling.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(errors("?"), Vec::<String>::new());
    assert!(!errors("200mm").is_empty(), "a rail beyond the track is told");
}

/// Paper of 0.2 mm carries paper of 0.3 mm under the bridge. What is 62 mm beyond it at the end cannot be made so much
/// shorter: it is 30 mm long.
#[test]
fn a_bridge_that_is_too_low_is_told_how_high_it_must_be() {
    let fault = fault_of("collision_train_low.plica");
    let help = fault.telling.help.clone().unwrap_or_default();
    assert!(help.contains("hold `bridge` at least 0.5 mm high"), "{help}");
    assert!(!help.contains("shorter"), "{help}");
}

#[test]
fn a_flap_scored_the_wrong_way_is_told_to_be_folded_the_other() {
    let fault = fault_of("folding_flap_hinge.plica");
    let help = fault.telling.help.clone().unwrap_or_default();
    assert!(help.starts_with("fold `lid.hinge` the other way"), "{help}");
}

#[test]
fn parts_that_cross_are_told_with_the_length_that_they_share() {
    // The slots are 15 and 20 mm of walls 40 mm high; the nearer edge of the two lies 20 mm beyond the other wall.
    let fault = fault_of("collision_cross_slot.plica");
    assert!(fault.telling.message.ends_with("go through each other over 5 mm"), "{}", fault.telling.message);
    let help = fault.telling.help.clone().unwrap_or_default();
    assert!(help.contains("20 mm shorter") && help.contains("a slot of 5 mm"), "{help}");
}

#[test]
fn a_part_that_is_seen_is_told_with_the_side_and_with_what_covers_the_rest() {
    // The flap covers the left 40 mm of the page, and so 10 of the 20 mm of the tag; the peg hangs behind.
    let text = r#"card "Sight"
paper board: 250gsm, 0.3mm thick
piece page of board { size 100mm by 100mm }
piece tag of board { size 20mm by 10mm }
piece flap of board { size 40mm by 40mm }
piece peg of board { size 20mm by 20mm }
glue back of tag to front of page: 30mm from left, centred down
glue back of flap to front of page: 0mm from left, centred down, along left 8mm
glue front of peg to back of page: centred
pose shut { }
expect hidden(tag, shut)
expect visible(tag, shut) = 1
expect hidden(peg, shut)
"#;
    let found = found_in(text, false);
    let told: Vec<(&str, Vec<&str>)> = found
        .iter()
        .map(|f| (f.telling.message.as_str(), f.telling.others.iter().map(|l| l.text.as_str()).collect()))
        .collect();
    assert_eq!(
        told,
        [
            (
                "`hidden(tag, shut)` does not hold: 50 % of `tag` is seen from the front",
                vec!["`flap` covers the rest"]
            ),
            ("`visible(tag, shut)` is 0.5, and the claim is exactly 1: 0.5 less", vec!["`flap` covers it"]),
            ("`hidden(peg, shut)` does not hold: 100 % of `peg` is seen from behind", vec![]),
        ]
    );
}

#[test]
fn a_tongue_that_misses_its_opening_is_told_by_how_much() {
    // Folded shut, the tongue lies from 30 to 45 mm from the left, from 55 to 85 mm from the top at its root.
    let wallet = |left: u32, from: u32, to: u32| {
        format!(
            "card \"Wallet\"\npaper board: 250gsm, 0.32mm thick\npiece page of board {{\n  size 200mm by 140mm\n  \
             mountain spine: 100mm from left\n  panels back, front from left\n  \
             tab flap 30mm off front.right: square ends, mountain\n  \
             tab tongue 15mm off flap.right: 55mm to 85mm from top, tapered 15deg, mountain\n  \
             slit mouth on back: {left}mm from left, {from}mm to {to}mm from top\n}}\n\
             tuck page.tongue into page.mouth\npose shut {{ page.spine folded flat  page.flap folded flat }}\n"
        )
    };
    let told = |text: String| {
        let found = found_in(&text, false);
        found.iter().map(|f| f.telling.message.clone()).collect::<Vec<_>>()
    };
    assert!(told(wallet(30, 53, 87)).is_empty());
    // 5 mm further in it is narrower by 2 * 5 tan 15 degrees, 27.3 mm.
    assert!(told(wallet(35, 56, 84)).is_empty());
    assert_eq!(
        told(wallet(35, 57, 83)),
        ["`page.tongue` is 27.3 mm wide where it goes into `mouth`, which is 26 mm long"]
    );
    assert_eq!(told(wallet(30, 93, 127)), ["`page.tongue` lies 38 mm beyond an end of `mouth` in `shut`"]);
    assert_eq!(told(wallet(50, 53, 87)), ["`page.tongue` comes no nearer to `mouth` than 5 mm, in `shut`"]);
}

#[test]
fn a_part_that_passes_an_obstacle_is_told_what_is_left_of_its_way() {
    // The star begins with its top at 98 mm and meets the cap, which ends at 15 mm, after 83 of 100 mm; at the end of
    // the way the two share no more than the 10 mm of the cap. The cuff meets it 2 mm later, which is the same fault.
    let text = r#"card "Cuff"
paper board: 250gsm, 0.32mm thick
paper thin: 120gsm, 0.15mm thick
piece page of board { size 60mm by 120mm }
strap cuff of thin around page: 20mm wide, 10mm overlap
piece star of board { shape circle 24mm }
glue back of star to front of cuff: centred
piece cap of board { size 40mm by 10mm }
glue back of cap to front of page: centred, 5mm from top
"#;
    let told: Vec<String> = found_in(text, false).iter().map(|f| f.telling.message.clone()).collect();
    assert_eq!(told, ["`star` comes 17 mm against `cap` before `cuff` has reached its end"]);
}
