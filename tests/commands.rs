//! The program as a maker, a script and an editor use it: every command, its exit code, its looks.

mod program;

use program::{Folder, Run};
use std::io::Read;
use std::process::Stdio;

const SOUND: &str = "card \"Kite\"\nenvelope C6\npaper board: 200gsm, 0.25mm thick\npiece kite of board { size 60mm by 80mm }\n";
/// Two slips of the pen, each of which has a mend.
const SLIPS: &str = "card \"Kite\"\npaper board: 200gsm, 0.25mm thick\nlet wide = 60mm\npiece kite of bord { size wdie by 80mm }\n";

fn json(run: &Run) -> serde_json::Value {
    serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e} in:\n{}", run.out))
}

fn assert_follows_schema(report: &serde_json::Value) {
    let schema: serde_json::Value = serde_json::from_str(plica::report::json::SCHEMA).unwrap();
    jsonschema::meta::validate(&schema).expect("the schema follows the draft it names");
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> =
        validator.iter_errors(report).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_sound_design_comes_to_0() {
    let folder = Folder::new("sound");
    folder.write("kite.plica", SOUND);
    let run = folder.run(["check", "kite.plica"]).comes_to(0).harmless();
    assert_eq!(run.out, "kite.plica: sound\n");
    assert_eq!(run.err, "");
}

#[test]
fn errors_come_to_1_and_are_shown_with_their_place() {
    let folder = Folder::new("errors");
    folder.write("kite.plica", SLIPS);
    let run = folder.run(["check", "kite.plica"]).comes_to(1).harmless();
    for part in [
        "[unknown-name]",
        "kite.plica:4:15",
        "piece kite of bord",
        "did you mean `board`?",
        "4 + piece kite of board",
    ] {
        assert!(run.out.contains(part), "no {part} in:\n{}", run.out);
    }
    assert!(run.out.ends_with("kite.plica: 2 errors\n"), "{}", run.out);
}

#[test]
fn one_line_for_each_finding() {
    let folder = Folder::new("lines");
    folder.write("kite.plica", SLIPS);
    let run = folder.run(["check", "--lines", "kite.plica"]).comes_to(1);
    let expected = "kite.plica:4:15: error unknown-name: there is no name `bord`\n\
                    kite.plica:4:27: error unknown-name: there is no name `wdie`\n";
    assert_eq!(run.out, expected);
}

#[test]
fn several_files_are_reported_in_the_order_asked_for() {
    let folder = Folder::new("order");
    let names: Vec<String> = (0..12).map(|i| format!("kite{}.plica", (i * 7) % 12)).collect();
    for (i, name) in names.iter().enumerate() {
        folder.write(name, if i % 3 == 0 { SLIPS } else { SOUND });
    }
    let arguments = std::iter::once("check").chain(names.iter().map(String::as_str));
    let run = folder.run(arguments).comes_to(1);
    let told: Vec<&str> = run.out.lines().filter_map(|l| l.split_once(": ")?.0.strip_suffix("")).collect();
    let told: Vec<&str> =
        told.into_iter().filter(|n| n.starts_with("kite") && n.ends_with(".plica")).collect();
    assert_eq!(told, names);
}

#[test]
fn the_worst_of_several_files_decides() {
    let folder = Folder::new("worst");
    folder.write("kite.plica", SOUND);
    folder.write("slips.plica", SLIPS);
    let run = folder.run(["check", "missing.plica", "kite.plica", "slips.plica"]).comes_to(2);
    assert_eq!(run.err, "plica: cannot read missing.plica: there is no such file\n");
    assert!(run.out.starts_with("kite.plica: sound\n"), "the others are still checked:\n{}", run.out);
}

/// 100 / 98 = 1.0204; 4 in / 3 15/16 in = 64/63 = 1.0159.
#[test]
fn a_bar_that_measures_wrong_gives_the_scale() {
    let folder = Folder::new("bar");
    let run = folder.run(["check", "--printed-as", "98mm"]).comes_to(0);
    assert!(
        run.out.starts_with("the bar of 100 mm measures 98 mm: print again at 102 % (exactly 102.04 %)"),
        "{}",
        run.out
    );
    let run = folder.run(["check", "--printed-as", "3 15/16in"]).comes_to(0);
    assert!(run.out.contains("print again at 102 % (exactly 101.59 %)"), "{}", run.out);
    assert!(run.out.contains("at 102 % the bar will measure"), "{}", run.out);
    let run = folder.run(["check", "--printed-as", "100mm"]).comes_to(0);
    assert!(run.out.contains("true to scale"), "{}", run.out);
    for wrong in ["9mm", "98", "0mm", "mm", "98g", "-3mm"] {
        folder.run(["check", "--printed-as", wrong]).comes_to(2);
    }
}

#[test]
fn a_wrong_command_line_comes_to_2() {
    let folder = Folder::new("usage");
    for arguments in [
        &["check"][..],
        &["fold"],
        &[],
        &["check", "--mend=all", "x"],
        &["check", "--set", "rise", "x"],
        &["check", "--json", "--lines", "x"],
    ] {
        folder.run(arguments.iter().copied()).comes_to(2);
    }
}

#[test]
fn help_tells_the_exit_codes() {
    let folder = Folder::new("help");
    for arguments in [&["--help"][..], &["check", "--help"], &["make", "--help"]] {
        let run = folder.run(arguments.iter().copied()).comes_to(0);
        assert!(run.out.contains("Exit codes:"), "{}", run.out);
    }
    assert_eq!(folder.run(["--version"]).comes_to(0).out, format!("plica {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn colour_only_when_wanted() {
    let folder = Folder::new("colour");
    folder.write("kite.plica", SLIPS);
    let coloured = |run: Run| run.comes_to(1).out.contains('\u{1b}');
    assert!(!coloured(folder.run(["check", "kite.plica"])), "the output is no terminal");
    assert!(coloured(folder.run(["check", "--colour", "always", "kite.plica"])));
    assert!(!coloured(folder.run(["check", "--colour", "never", "kite.plica"])));
    let with = |name: &str, value: &str, more: &[&str]| {
        let mut program = folder.program();
        program.env(name, value).args(["check", "kite.plica"]).args(more);
        Run::of(program.output().unwrap())
    };
    assert!(coloured(with("CLICOLOR_FORCE", "1", &[])));
    assert!(!coloured(with("CLICOLOR_FORCE", "0", &[])));
    assert!(coloured(with("NO_COLOR", "1", &["--colour=always"])), "an option outdoes the surroundings");
}

#[test]
fn ascii_is_ascii_and_widths_are_kept() {
    let folder = Folder::new("ascii");
    let long = "let größe = nichts # ein ganz langer Satz, der nicht aufhören will, bevor die Zeile zu Ende ist ×²°\n";
    folder.write("käfer.plica", format!("{SLIPS}{long}"));
    for columns in ["0", "40", "57", "100"] {
        for colour in ["never", "always"] {
            let mut program = folder.program();
            program.env("COLUMNS", columns).args(["check", "--ascii", "--colour", colour, "käfer.plica"]);
            let run = Run::of(program.output().unwrap()).comes_to(1);
            assert!(run.out.is_ascii(), "{}", run.out);
        }
        let mut program = folder.program();
        program.env("COLUMNS", columns).args(["check", "käfer.plica"]);
        let run = Run::of(program.output().unwrap()).comes_to(1);
        let width = columns.parse::<usize>().unwrap().max(40);
        // What is to be written is shown whole, for copying.
        let lines = run.out.lines().filter(|l| !l.contains(" + "));
        let widest = lines.max_by_key(|l| l.chars().count()).unwrap();
        assert!(widest.chars().count() <= width, "{columns}: {widest}");
    }
}

#[test]
fn units_values_and_variants_are_taken_from_the_command_line() {
    let folder = Folder::new("options");
    let design = "card \"Kite\"\npaper board: 200gsm, 0.25mm thick\nadjust wide = 60mm from 40mm to 80mm \"width\"\nvariant broad { wide = 75mm }\npiece kite of board { size wide by 80mm }\n";
    folder.write("kite.plica", design);
    let width = |more: &[&str]| {
        let run =
            folder.run(["check", "--json", "kite.plica"].into_iter().chain(more.iter().copied())).comes_to(0);
        let report = json(&run);
        let piece = &report["designs"][0]["pieces"][0];
        (piece["width_mm"].as_f64().unwrap(), report["designs"][0]["units"].as_str().unwrap().to_string())
    };
    assert_eq!(width(&[]), (60.0, "mm".into()));
    assert_eq!(width(&["--set", "wide=2in"]), (50.8, "mm".into()));
    assert_eq!(width(&["--variant", "broad"]), (75.0, "mm".into()));
    assert_eq!(width(&["--units", "in"]), (60.0, "in".into()));
    folder.run(["check", "kite.plica", "--variant", "brod"]).comes_to(1);
    folder.run(["check", "kite.plica", "--set", "wdie=2in"]).comes_to(1);
}

#[test]
fn the_json_report_follows_its_schema() {
    let folder = Folder::new("json");
    folder.write("kite.plica", SOUND);
    folder.write("slips.plica", format!("{SLIPS}let c = ?\nadjust tilt = 3deg from 0deg to 9deg\n"));
    folder.write("empty.plica", "");
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/lang-examples");
    let mut files: Vec<String> = std::fs::read_dir(examples)
        .unwrap()
        .map(|e| e.unwrap().path().to_str().unwrap().to_string())
        .filter(|p| p.ends_with(".plica"))
        .collect();
    assert!(!files.is_empty());
    files.sort();
    files.extend(["kite.plica", "slips.plica", "empty.plica", "missing.plica"].map(String::from));
    let run = folder.run(["check", "--json"].into_iter().chain(files.iter().map(String::as_str))).comes_to(2);
    let report = json(&run);
    assert_follows_schema(&report);
    let designs = report["designs"].as_array().unwrap();
    assert_eq!(designs.len(), files.len());
    let by_file = |name: &str| designs.iter().find(|d| d["file"] == name).unwrap();
    assert_eq!(by_file("missing.plica")["verdict"], "unread");
    let slips = by_file("slips.plica");
    assert_eq!(slips["verdict"], "faulty");
    let finding = &slips["findings"][0];
    assert_eq!(finding["name"], "unknown-name");
    let start = &finding["place"]["start"];
    assert_eq!((&start["line"], &start["column"]), (&4.into(), &15.into()));
    let offset = start["offset"].as_u64().unwrap() as usize;
    assert!(SLIPS[offset..].starts_with("bord"));
    assert_eq!(finding["mend"]["edits"][0]["text"], "board");
    assert_eq!(finding["mend"]["safe"], true);
    assert_eq!(slips["blanks"].as_array().unwrap().len(), 1);
    assert_eq!(slips["adjusts"][0]["name"], "tilt");
    assert_eq!(slips["adjusts"][0]["unit"], "deg");
}

/// The schema says something: reports that miss a part or have one too many do not pass.
#[test]
fn the_schema_refuses_what_it_does_not_describe() {
    let folder = Folder::new("schema");
    folder.write("slips.plica", SLIPS);
    let report = json(&folder.run(["check", "--json", "slips.plica"]).comes_to(1));
    let schema: serde_json::Value = serde_json::from_str(plica::report::json::SCHEMA).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    assert!(validator.is_valid(&report));
    let spoil = |pointer: &str, value: serde_json::Value| {
        let mut spoilt = report.clone();
        *spoilt.pointer_mut(pointer).unwrap() = value;
        assert!(!validator.is_valid(&spoilt), "{pointer}");
    };
    spoil("/designs/0/verdict", "fine".into());
    spoil("/designs/0/findings/0/severity", "warning".into());
    spoil("/designs/0/findings/0/name", "Unknown Name".into());
    spoil("/designs/0/findings/0/place/start/line", 0.into());
    spoil("/designs/0/findings/0/mend/edits", serde_json::json!([]));
    let mut more = report.clone();
    more["designs"][0]["colour"] = "red".into();
    assert!(!validator.is_valid(&more));
}

/// Width, height and thickness of plain cards, from a ruler: a 100 × 148 mm sheet with one 60 × 50 mm piece that rises
/// 50 mm; 1 m² of 200 g/m² paper weighs 200 g (ISO 536's definition of grammage).
/// A page of 100 mm by 140 mm of 250 g/m²: 3.5 g.
#[test]
fn the_json_report_tells_what_became_of_every_claim() {
    let folder = Folder::new("claims");
    let claims = [
        ("width(flat) = 100mm", "holds", Some((100.0, 100.0, "mm"))),
        ("abs(width(flat) - 160mm) = 61mm", "fails", Some((60.0, 61.0, "mm"))),
        ("round_up(height(page), 30mm) = 150mm", "holds", Some((150.0, 150.0, "mm"))),
        ("5g <= mass()", "fails", Some((3.5, 5.0, "g"))),
        ("lean(page, flat) < 1deg", "holds", Some((0.0, 1.0, "degrees"))),
        ("width(flat) * height(flat) > 0mm * 1mm", "holds", Some((14000.0, 0.0, "mm2"))),
        ("folds_flat(flat)", "holds", None),
        ("not stands(flat)", "holds", None),
        ("stands(flat)", "fails", None),
        ("fits(flat, envelope)", "holds", None),
        ("width(flat) / depth(flat) = 1", "unproven", None),
    ];
    let lines: String = claims.iter().map(|(claim, ..)| format!("expect {claim}\n")).collect();
    let design = format!(
        "card \"Claims\"\nenvelope C6\npaper board: 250gsm, 0.3mm thick\npiece page of board {{ size 100mm by 140mm }}\n\
         pose flat {{ }}\n{lines}"
    );
    folder.write("claims.plica", &design);
    let report = json(&folder.run(["check", "--json", "claims.plica"]).comes_to(1));
    assert_follows_schema(&report);
    let told = report["designs"][0]["claims"].as_array().unwrap();
    assert_eq!(told.len(), claims.len());
    for (told, (claim, outcome, measured)) in told.iter().zip(claims) {
        assert_eq!(told["outcome"], outcome, "{claim}");
        match measured {
            None => assert!(told["found"].is_null() && told["unit"].is_null(), "{claim}"),
            Some((found, claimed, unit)) => {
                let off = |name: &str, value: f64| (told[name].as_f64().unwrap() - value).abs();
                assert!(off("found", found) < 1e-6 && off("claimed", claimed) < 1e-6, "{claim}: {told}");
                assert_eq!(told["unit"], unit, "{claim}");
            }
        }
    }
}

#[test]
fn the_json_report_measures_the_card() {
    let folder = Folder::new("measures");
    let design = "card \"Kite\"\npaper board: 200gsm, 0.25mm thick\n\
        piece page of board {\n  size 100mm by 148mm\n  valley spine: 50mm from left\n  panels left, right from left\n}\n\
        pose flat { page.spine 0deg }\npose shut { page.spine 180deg }\npose half { page.spine 90deg }\n";
    folder.write("kite.plica", design);
    let report = json(&folder.run(["check", "--json", "kite.plica"]));
    assert_follows_schema(&report);
    let card = &report["designs"][0];
    let size = |i: usize, axis: &str| card["poses"][i][axis].as_f64().unwrap();
    for (pose, width, height, depth) in
        [(0, 100.0, 148.0, 0.0), (1, 50.0, 148.0, 0.0), (2, 50.0, 148.0, 50.0)]
    {
        assert!((size(pose, "width_mm") - width).abs() < 1e-3, "{}", card["poses"][pose]);
        assert!((size(pose, "height_mm") - height).abs() < 1e-3, "{}", card["poses"][pose]);
        assert!((size(pose, "depth_mm") - depth).abs() < 1e-3, "{}", card["poses"][pose]);
    }
    // Two sheets of 0.25 mm lie on one another when it is shut, and the half-open card is not flat.
    let thick = |i: usize| card["poses"][i]["thickness_mm"].as_f64();
    assert_eq!((thick(0), thick(1), thick(2)), (Some(0.25), Some(0.5), None));
    let grams = 0.100 * 0.148 * 200.0;
    assert!((card["mass_g"].as_f64().unwrap() - grams).abs() < 1e-6);
    let score = &card["pieces"][0]["scores"][0];
    assert_eq!((&score["name"], &score["fold"]), (&"spine".into(), &"valley".into()));
    assert_eq!(score["reading"], serde_json::json!({ "mm": 50.0, "from": "left" }));
    assert_eq!(score["from_mm"][0], 50.0);
}

#[test]
fn mends_are_listed_as_a_diff_and_nothing_is_written() {
    let folder = Folder::new("mends");
    folder.write("kite.plica", SLIPS);
    let run = folder.run(["check", "--mend", "kite.plica"]).comes_to(1).harmless();
    let hunk = "--- kite.plica\n+++ kite.plica\n@@ -4,1 +4,1 @@\n-piece kite of bord { size wdie by 80mm }\n+piece kite of board { size wdie by 80mm }\n";
    assert!(run.out.contains(hunk), "{}", run.out);
    assert!(
        run.out.ends_with("kite.plica: 2 of 2 findings have a tried mend; --mend=write would write 2\n"),
        "{}",
        run.out
    );
    assert_eq!(folder.read("kite.plica"), SLIPS);
}

#[test]
fn safe_mends_are_written_after_they_were_shown() {
    let folder = Folder::new("write");
    let path = folder.write("kite.plica", SLIPS);
    make_private(&path);
    let run = folder.run(["check", "--mend=write", "kite.plica"]).comes_to(0);
    let mended = SLIPS.replace("bord", "board").replace("wdie", "wide");
    assert_eq!(folder.read("kite.plica"), mended);
    assert!(run.out.contains("+piece kite of board { size wide by 80mm }\n"), "{}", run.out);
    assert!(run.out.ends_with("kite.plica: sound\n"), "{}", run.out);
    assert_private(&path);
    assert_eq!(folder.names(), ["kite.plica"], "nothing is left behind");
    let again = folder.run(["check", "--mend=write", "kite.plica"]).comes_to(0);
    assert_eq!(again.out, "kite.plica: sound\n");
}

#[cfg(unix)]
fn make_private(path: &std::path::Path) {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o640)).unwrap();
}

#[cfg(unix)]
fn assert_private(path: &std::path::Path) {
    use std::os::unix::fs::PermissionsExt;
    assert_eq!(std::fs::metadata(path).unwrap().permissions().mode() & 0o777, 0o640, "permissions stay");
}

#[cfg(not(unix))]
fn make_private(_: &std::path::Path) {}

#[cfg(not(unix))]
fn assert_private(_: &std::path::Path) {}

/// The listed diff is one that the usual tool takes (POSIX unified form, without lines around the change).
#[test]
fn the_diff_is_taken_by_patch() {
    let folder = Folder::new("patch");
    folder.write("kite.plica", SLIPS);
    let diff = folder.run(["check", "--mend=write", "kite.plica"]).comes_to(0).out;
    let mended = folder.read("kite.plica");
    folder.write("kite.plica", SLIPS);
    folder.write("diff", &diff[..diff.find("kite.plica: ").unwrap()]);
    let patch = std::process::Command::new("patch")
        .args(["-s", "kite.plica", "diff"])
        .current_dir(folder.path("."))
        .output();
    match patch {
        Ok(output) => {
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
            assert_eq!(folder.read("kite.plica"), mended);
        }
        Err(error) => println!("skipped: patch cannot be run here: {error}"),
    }
}

const UNTIDY: &str = "card   \"Kite\"  # a first try\n\n\n\nenvelope C6\npaper board : 200gsm,0.25mm thick\npiece kite of board {\nsize 60mm by 80mm\n}\n";
const TIDY: &str = "card \"Kite\"  # a first try\n\nenvelope C6\npaper board: 200gsm, 0.25mm thick\npiece kite of board {\n  size 60mm by 80mm\n}\n";

#[test]
fn tidying_keeps_comments_and_permissions_and_is_done_once() {
    let folder = Folder::new("tidy");
    let path = folder.write("kite.plica", UNTIDY);
    make_private(&path);
    let check = folder.run(["tidy", "--check", "kite.plica"]).comes_to(1);
    assert_eq!(check.out, "kite.plica: not tidy\n");
    assert_eq!(folder.read("kite.plica"), UNTIDY, "--check writes nothing");
    assert_eq!(folder.run(["tidy", "kite.plica"]).comes_to(0).out, "tidied kite.plica\n");
    let tidied = folder.read("kite.plica");
    assert_eq!(words(&tidied), words(TIDY));
    assert!(tidied.contains("# a first try\n\nenvelope C6\n"), "{tidied}");
    assert_private(&path);
    assert_eq!(folder.names(), ["kite.plica"], "nothing is left behind");
    assert_eq!(folder.run(["tidy", "kite.plica"]).comes_to(0).out, "");
    assert_eq!(folder.run(["tidy", "--check", "kite.plica"]).comes_to(0).out, "");
    assert_eq!(folder.read("kite.plica"), tidied);
}

fn words(text: &str) -> Vec<&str> {
    text.split_whitespace().collect()
}

#[test]
fn a_broken_design_is_left_as_it_is() {
    let folder = Folder::new("broken");
    let broken = format!("{UNTIDY}piece   tail of {{ size }}\n");
    folder.write("broken.plica", &broken);
    folder.write("kite.plica", UNTIDY);
    let run = folder.run(["tidy", "broken.plica", "missing.plica", "kite.plica"]).comes_to(2);
    assert_eq!(folder.read("broken.plica"), broken);
    assert!(run.err.contains("broken.plica is left as it is"), "{}", run.err);
    assert!(run.err.contains("plica: cannot read missing.plica: there is no such file"), "{}", run.err);
    assert_eq!(run.out, "tidied kite.plica\n", "the others are still tidied");
    folder.run(["tidy", "broken.plica"]).comes_to(1);
}

#[cfg(unix)]
#[test]
fn tidying_through_a_link_keeps_the_link() {
    let folder = Folder::new("link");
    folder.write("designs/kite.plica", UNTIDY);
    std::os::unix::fs::symlink("designs/kite.plica", folder.path("link.plica")).unwrap();
    folder.run(["tidy", "link.plica"]).comes_to(0);
    assert!(std::fs::symlink_metadata(folder.path("link.plica")).unwrap().is_symlink());
    assert_ne!(folder.read("designs/kite.plica"), UNTIDY);
}

#[test]
fn a_kit_is_made_whole_or_not_at_all() {
    let folder = Folder::new("make");
    folder.run(["new", "folded"]).comes_to(0);
    let run = folder.run(["make", "folded.plica", "--into", "kit"]).comes_to(0);
    assert!(run.out.starts_with("kit: "), "{}", run.out);
    let files = |name: &str| {
        let entries = std::fs::read_dir(folder.path(name)).unwrap();
        let mut all: Vec<(String, Vec<u8>)> = entries
            .map(|e| e.unwrap().path())
            .filter(|p| p.is_file())
            .map(|p| (p.file_name().unwrap().to_str().unwrap().to_string(), std::fs::read(&p).unwrap()))
            .collect();
        all.sort();
        all
    };
    let first = files("kit");
    for name in ["net.pdf", "cut-list.md", "model.json"] {
        assert!(first.iter().any(|(n, _)| n == name), "no {name}");
    }
    let again = folder.run(["make", "folded.plica", "--into", "kit", "--json"]).comes_to(0);
    assert_eq!(json(&again)["folder"], "kit");
    assert!(files("kit") == first, "the same design gives the same bytes");
    folder.write("kit/my-notes.txt", "mine");
    folder.run(["make", "folded.plica", "--into", "kit"]).comes_to(2);
    assert_eq!(folder.read("kit/my-notes.txt"), "mine");
    folder.write("slips.plica", SLIPS);
    folder.run(["make", "slips.plica", "--into", "other"]).comes_to(1);
    assert!(!folder.path("other").exists());
    folder.run(["make", "missing.plica", "--into", "other"]).comes_to(2);
}

#[test]
fn a_pose_is_shown_as_a_picture() {
    let folder = Folder::new("show");
    folder.run(["new", "slider"]).comes_to(0);
    folder.run(["show", "slider.plica", "--pose", "up", "-o", "up.png"]).comes_to(0);
    let bytes = std::fs::read(folder.path("up.png")).unwrap();
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut pixels).unwrap();
    assert!(frame.width >= 200 && frame.height >= 200, "{frame:?}");
    let first = pixels[..4].to_vec();
    assert!(pixels.chunks(4).any(|p| p != first), "an empty picture");
    let near = folder.run(["show", "slider.plica", "--pose", "pu", "-o", "x.png"]).comes_to(2);
    assert_eq!(near.err, "plica: there is no pose pu; did you mean up?\n");
    assert!(!folder.path("x.png").exists());
}

#[test]
fn explain_lists_everything_and_explains_each() {
    let folder = Folder::new("explain");
    let list = folder.run(["explain"]).comes_to(0).harmless();
    for entry in plica::findings::catalogue::ENTRIES {
        assert!(list.out.contains(&format!("  {} ", entry.name)), "{} is not listed", entry.name);
    }
    let one = folder.run(["explain", "unknown-name"]).comes_to(0).harmless();
    assert!(one.out.contains("Wrong:\n") && one.out.contains("Right:\n"), "{}", one.out);
    let near = folder.run(["explain", "unknown-nam"]).comes_to(2);
    assert_eq!(near.err, "plica: there is no finding unknown-nam; did you mean unknown-name?\n");
}

#[test]
fn new_designs_are_sound_and_never_overwrite() {
    let folder = Folder::new("new");
    for kind in ["folded", "slider", "wheel"] {
        let file = format!("{kind}.plica");
        folder.run(["new", kind]).comes_to(0);
        let run = folder.run(["check", &file]).comes_to(0);
        assert_eq!(run.out, format!("{file}: sound\n"));
        let before = folder.read(&file);
        let again = folder.run(["new", kind]).comes_to(2);
        assert_eq!(again.err, format!("plica: cannot write {file}: it is there already\n"));
        assert_eq!(folder.read(&file), before);
        assert_eq!(folder.run(["new", kind, "-o", "-"]).comes_to(0).out, before);
    }
    folder.run(["new", "-o", "no/such/folder.plica"]).comes_to(2);
}

#[test]
fn completions_and_manual_pages_are_printed() {
    let folder = Folder::new("completions");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let run = folder.run(["completions", shell]).comes_to(0);
        assert!(run.out.contains("--mend"), "{shell}");
    }
    let whole = folder.run(["man"]).comes_to(0).out;
    assert!(whole.contains(".TH plica 1") && whole.contains("Exit codes"), "{whole}");
    for command in ["check", "make", "show", "tidy", "explain", "new", "completions", "man"] {
        let page = folder.run(["man", command]).comes_to(0).out;
        assert!(page.contains(&format!(".TH plica-{command} 1")), "{page}");
    }
}

#[test]
fn a_closed_pipe_is_no_fault() {
    let folder = Folder::new("pipe");
    let many: String =
        (0..800).map(|i| format!("piece p{i} of nowhere{i} {{ size 1mm by 1mm }}\n")).collect();
    folder.write("many.plica", many);
    for arguments in [
        &["check", "--lines", "many.plica"][..],
        &["check", "--json", "many.plica"],
        &["explain"],
        &["--help"],
        &["completions", "bash"],
    ] {
        let mut child =
            folder.program().args(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        assert!(child.wait().unwrap().code().is_some_and(|c| c <= 1), "{arguments:?}: {err}");
        assert_eq!(err, "", "{arguments:?}");
    }
}

/// A card on a page: 20 mm from its left, 15 mm from its top, 40 mm by 25 mm, in one pose; drawn up by 10 mm in the other.
const COVERED: &str = r#"card "Gull"
paper board: 200gsm, 0.25mm thick
piece page of board {
  size 100mm by 80mm
  slot rail_l: 2mm wide, 30mm from left, 20mm to 48mm from top
  slot rail_r: 2mm wide, 50mm from left, 20mm to 48mm from top
}
strap lift of board around page between rail_l, rail_r: 8mm wide, 8mm overlap
piece gull of board { size 40mm by 25mm }
glue back of gull to front of lift: centred, 1mm above bottom
pose low { lift at bottom }
pose high { lift at top }
"#;

#[test]
fn edges_on_a_face_are_told_and_their_marks_can_be_copied() {
    let folder = Folder::new("edges");
    folder.write("gull.plica", COVERED);
    let run = folder.run(["check", "gull.plica", "--edges-on", "page", "--json"]).comes_to(0);
    let report = json(&run);
    assert_follows_schema(&report);
    let poses = report["designs"][0]["edges"].as_array().unwrap();
    assert_eq!(poses.len(), 2);
    let top_in = |pose: &serde_json::Value| {
        let edges = pose["edges"].as_array().unwrap().iter().filter(|e| e["part"] == "gull");
        let level: Vec<f64> = edges
            .filter_map(|e| {
                let [a, b] =
                    [&e["line_mm"][0], &e["line_mm"][1]].map(|p| [0, 1].map(|n| p[n].as_f64().unwrap()));
                ((a[1] - b[1]).abs() < 1e-6).then_some(a[1])
            })
            .collect();
        level.into_iter().fold(f64::INFINITY, f64::min)
    };
    // The strap travels 28 mm less its own width of 8 mm.
    assert!((top_in(&poses[0]) - top_in(&poses[1]) - 20.0).abs() < 0.05, "{poses:?}");
    let words = folder.run(["check", "gull.plica", "--edges-on", "page"]).comes_to(0).harmless().out;
    assert!(words.contains("`gull` ends") && words.contains(" mm from top, "), "{words}");
    let marks: String =
        words.lines().filter(|l| l.starts_with("  mark ")).map(|l| format!("{l}\n")).collect();
    assert!(marks.lines().count() >= 8, "{words}");
    let marked = COVERED.replacen("  size 100mm by 80mm\n", &format!("  size 100mm by 80mm\n{marks}"), 1);
    folder.write("marked.plica", &marked);
    folder.run(["check", "marked.plica"]).comes_to(0);
}

#[test]
fn an_unknown_face_is_named_with_the_nearest() {
    let folder = Folder::new("edges-unknown");
    folder.write("gull.plica", COVERED);
    let run = folder.run(["check", "gull.plica", "--edges-on", "back of gul"]).comes_to(2).harmless();
    assert!(run.err.contains("no part is called `gul`; did you mean `gull`?"), "{}", run.err);
}

/// Two posts that may be 1 mm too high together, see `tests/hand_rooms.rs`.
#[test]
fn room_for_the_hand_is_told_by_itself_and_all_at_once() {
    let folder = Folder::new("hand");
    folder.write(
        "posts.plica",
        "card \"Posts\"\npaper thin: 120gsm, 0.15mm thick\npiece page of thin { size 100mm by 140mm }\n\
         piece near of thin { size 20mm by 50mm }\npiece far of thin { size 20mm by 50mm }\n\
         glue back of near to front of page: 20mm from left, 20mm from top\n\
         glue back of far to front of page: 60mm from left, 20mm from top\n\
         expect height(near) + height(far) <= 101mm\n",
    );
    let run = folder.run(["check", "--hand", "0.8mm", "posts.plica"]).comes_to(0);
    assert!(run.out.contains("a hand that is off by 0.8 mm makes no difference"), "{}", run.out);
    assert!(run.out.contains("each was moved by itself, by bisection to 0.05 mm"), "{}", run.out);
    assert!(
        run.out.contains("all of them off at once, in 33 ways of a fixed sequence: up to 0.5 mm"),
        "{}",
        run.out
    );
    let report = json(&folder.run(["check", "--json", "--hand", "0.8mm", "posts.plica"]).comes_to(0));
    assert_follows_schema(&report);
    let together = &report["designs"][0]["hand_together"];
    assert!((together["up_to_mm"].as_f64().unwrap() - 0.52).abs() < 0.06, "{together}");
}

/// The output of a program that stays, as it comes.
struct Told {
    lines: std::sync::mpsc::Receiver<String>,
}

impl Told {
    /// Everything up to a line with these words; a program that stays silent for a minute has failed.
    fn up_to(&self, words: &str) -> String {
        let mut all = String::new();
        while !all.contains(words) {
            match self.lines.recv_timeout(std::time::Duration::from_secs(60)) {
                Ok(line) => all += &line,
                Err(_) => panic!("no {words:?} came, but\n{all}"),
            }
        }
        all
    }
}

#[test]
fn a_watched_design_is_reported_again_when_it_or_what_it_reads_is_saved() {
    use std::io::BufRead;
    let folder = Folder::new("watch");
    folder.write("stock.plica", "paper board: 200gsm, 0.25mm thick\n");
    let kite = "card \"Kite\"\ninclude \"stock.plica\"\npiece kite of board { size 60mm by 80mm }\n";
    folder.write("kite.plica", kite);
    let mut child = folder
        .program()
        .args(["check", "--watch", "--lines", "kite.plica", "none.plica"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (send, lines) = std::sync::mpsc::channel();
    for pipe in [
        Box::new(child.stdout.take().unwrap()) as Box<dyn Read + Send>,
        Box::new(child.stderr.take().unwrap()),
    ] {
        let send = send.clone();
        std::thread::spawn(move || {
            for line in std::io::BufReader::new(pipe).lines().map_while(Result::ok) {
                let _ = send.send(line + "\n");
            }
        });
    }
    let told = Told { lines };
    // The first round ends with the file that is not there; of a sound design there are no lines.
    told.up_to("cannot read none.plica");
    folder.write("kite.plica", kite.replace("of board", "of bord"));
    told.up_to("unknown-name");
    // Mended there, spoilt in the file that it includes, and mended there.
    folder.write("kite.plica", kite.replace("60mm", "61mm"));
    folder.write("stock.plica", "paper boat: 200gsm, 0.25mm thick\n");
    let again = told.up_to("unknown-name");
    assert!(again.contains("`board`"), "{again}");
    folder.write("none.plica", "piece\n");
    told.up_to("none.plica:1");
    assert!(child.try_wait().unwrap().is_none(), "it stays");
    child.kill().unwrap();
    child.wait().unwrap();
}
