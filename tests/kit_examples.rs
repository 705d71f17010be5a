//! The kit of every example: sound, whole, the same bytes however it is made; its PDF read back, its pictures compared
//! with reference pictures, its cut list with one that was read.

mod made;

use made::{EXAMPLES, Made, make, root, sources};
use plica::findings::Severity;
use plica::layers::{self, Kept};
use plica::output::kit::{self, View, file_word};
use plica::output::png::{self, Raster};
use plica::quantity::Units;
use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

#[test]
fn every_example_is_sound() {
    for (name, Made { compiled, .. }) in EXAMPLES.iter() {
        let errors: Vec<&str> = compiled
            .findings
            .list()
            .iter()
            .filter(|finding| finding.severity() == Severity::Error)
            .map(|finding| finding.name())
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        assert!(!compiled.assembly.pieces.is_empty() && !compiled.states.is_empty(), "{name} is empty");
    }
}

/// Every file that the assembly asks for; sheets are counted separately.
fn expected(Made { compiled, .. }: &Made) -> BTreeSet<String> {
    let assembly = &compiled.assembly;
    let mut names: BTreeSet<String> = [
        "cut-list.md",
        "cut-list.csv",
        "guide.html",
        "guide.md",
        "model.json",
        "poster.png",
        "sheet-plan.md",
    ]
    .map(String::from)
    .into();
    let other = if assembly.units == Units::Mm { "letter" } else { "a4" };
    for set in ["net", "print", "trace"] {
        names.insert(format!("{set}.pdf"));
        names.insert(format!("{set}-{other}.pdf"));
    }
    for piece in &assembly.pieces {
        let word = format!("{}-{}", piece.letter, file_word(&piece.name));
        for name in ["nets/#.svg", "nets/#.png", "cutting/#.svg", "cutting/#.dxf"] {
            names.insert(name.replace('#', &word));
        }
    }
    for pose in &assembly.poses {
        let word = file_word(&pose.name);
        for name in [
            "pose-#-front.png",
            "pose-#-back.png",
            "pose-#-view.png",
            "pose-#-front.svg",
            "pose-#-back.svg",
            "pose-#-view.svg",
            "space/pose-#.gltf",
        ] {
            names.insert(name.replace('#', &word));
        }
    }
    // A card that lies flat in a pose is shown with its layers apart, unless it has but one.
    let flat = compiled.states.iter().zip(&compiled.cards).find(|(s, c)| s.fault.is_none() && c.flat);
    if flat.is_some_and(|(_, card)| card.heights.iter().any(|h| (h - card.heights[0]).abs() > 0.02)) {
        names.insert("exploded.png".into());
    }
    for motion in &assembly.motions {
        names.insert(format!("space/motion-{}.gltf", file_word(&motion.name)));
        names.insert(format!("motion-{}.png", file_word(&motion.name)));
    }
    names
}

#[test]
fn every_kit_has_its_files_and_no_others() {
    for (name, made) in EXAMPLES.iter() {
        let is_sheet = |file: &&String| {
            ["cutting/sheet-", "sheets/", "steps/"].iter().any(|start| file.starts_with(start))
        };
        let (sheets, others): (Vec<&String>, Vec<&String>) = made.files.keys().partition(is_sheet);
        let found: BTreeSet<String> = others.into_iter().cloned().collect();
        let wanted = expected(made);
        let odd: Vec<&String> = found.symmetric_difference(&wanted).collect();
        assert!(odd.is_empty(), "{name}: {odd:?}");
        assert!(made.files.values().all(|bytes| !bytes.is_empty()), "{name} has an empty file");
        // Every paper with a sheet has its sheets, numbered from 1: for a machine, and for a trimmer.
        let assembly = &made.compiled.assembly;
        for (id, paper) in assembly.papers.iter().enumerate() {
            let used = assembly.pieces.iter().any(|piece| piece.paper == id);
            let word = file_word(&paper.name);
            for (start, kinds) in [
                (format!("cutting/sheet-{word}-"), ["svg", "dxf"]),
                (format!("sheets/{word}-"), ["svg", "png"]),
            ] {
                let own = sheets.iter().filter(|file| file.starts_with(&start)).count();
                assert_eq!(own > 0, used && paper.sheet.is_some(), "{name}: {start}");
                for number in 1..=own / 2 {
                    for kind in kinds {
                        assert!(
                            made.files.contains_key(&format!("{start}{number}.{kind}")),
                            "{name}: {start}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn a_kit_is_the_same_bytes_again_and_on_one_thread() {
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    for (name, path) in sources() {
        let again = alone.install(|| make(&path).files);
        let first = &EXAMPLES[&name].files;
        for (file, bytes) in first {
            assert!(again.get(file) == Some(bytes), "{name}: {file} differs on one thread");
        }
        assert_eq!(again.len(), first.len());
    }
}

/// The program itself, in a process of its own, writes the bytes that the library gave.
#[test]
fn the_program_writes_the_same_bytes() {
    let into = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("kit-lighthouse");
    let _ = fs::remove_dir_all(&into);
    let done = Command::new(env!("CARGO_BIN_EXE_plica"))
        .args(["make", "lang-examples/lighthouse.plica", "--into"])
        .arg(&into)
        .env("RAYON_NUM_THREADS", "1")
        .current_dir(root())
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    for (file, bytes) in &EXAMPLES["lighthouse"].files {
        assert!(fs::read(into.join(file)).unwrap() == *bytes, "{file}");
    }
}

/// PDF read with another library: every piece is named on a page, with the size it is cut to.
#[test]
fn nets_on_paper_name_every_piece() {
    for (name, Made { compiled, files }) in EXAMPLES.iter() {
        for file in files.keys().filter(|file| file.ends_with(".pdf")) {
            let document = lopdf::Document::load_mem(&files[file]).unwrap();
            let pages: Vec<u32> = document.get_pages().keys().copied().collect();
            assert!(!pages.is_empty());
            let text = document.extract_text(&pages).unwrap();
            for piece in &compiled.assembly.pieces {
                let heading = format!("{} {}", piece.letter, piece.name);
                assert!(text.contains(&heading), "{name}/{file}: {heading:?} is on no page");
            }
            // What is printed on a paper names it once on every page.
            if file.starts_with("print") {
                continue;
            }
            let cut_from = text.matches("cut from ").count();
            assert!(cut_from >= compiled.assembly.pieces.len(), "{name}/{file}: {cut_from} notes");
        }
    }
}

/// Read through before it was kept: two rails of 60 mm and 40 mm travel, each 8 mm longer for the strap in it.
#[test]
fn the_cut_list_of_the_slider_with_two_tiers() {
    let list = String::from_utf8(EXAMPLES["lighthouse"].files["cut-list.md"].clone()).unwrap();
    insta::assert_snapshot!("cut_list_of_the_lighthouse", list);
}

/// Longer side of a reference picture in pixels.
const REFERENCE_PIXELS: f64 = 260.0;
/// Channels may differ by one step of the palette: the last bit of an anti-aliased edge may cross to the next.
const LEVELS: u8 = 1;

/// The first piece's net and two poses of every example.
fn pictures(Made { compiled, .. }: &Made) -> Vec<(String, Raster)> {
    let assembly = &compiled.assembly;
    let mut figures = Vec::new();
    if let Some(net) = plica::drawing::net::net(assembly, 0, plica::output::font::typeface()) {
        figures.push(("net".to_owned(), net));
    }
    let ends = [(0, View::Front), (compiled.states.len() - 1, View::ThreeQuarter)];
    for (pose, view) in ends {
        let state = &compiled.states[pose];
        let card = layers::card(assembly, state, &Kept::default());
        let figure = kit::pose_figure(assembly, state, &card, view);
        figures.push((format!("{}-{}", file_word(&state.name), view.word()), figure));
    }
    let draw = |(name, figure): (String, plica::drawing::Figure)| {
        let longest = figure.bounds.width().max(figure.bounds.height());
        (name, png::render(&figure.alone(), REFERENCE_PIXELS / longest).unwrap())
    };
    figures.into_iter().map(draw).collect()
}

/// Set `PLICA_WRITE_REFERENCE` to write the pictures anew; look at them before they are kept.
#[test]
fn pictures_agree_with_the_reference_pictures() {
    let write = std::env::var_os("PLICA_WRITE_REFERENCE").is_some();
    let folder = root().join("tests/reference");
    let mut faults = Vec::new();
    for (name, made) in EXAMPLES.iter() {
        for (what, actual) in pictures(made) {
            let file = format!("{name}-{what}.png");
            if write {
                fs::create_dir_all(&folder).unwrap();
                fs::write(folder.join(&file), made::indexed(&actual)).unwrap();
            }
            let bytes = fs::read(folder.join(&file)).unwrap_or_default();
            assert!(bytes.len() <= 40_000, "{file}: {} bytes", bytes.len());
            let expected = png::decode(&bytes);
            let differing = expected.as_ref().map_or(usize::MAX, |expected| differences(expected, &actual));
            if differing > 0 {
                show(&file, expected.as_ref(), &actual);
                faults.push(format!("{file}: {differing} pixels; see tests/out/{file}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Pixels that differ by more than one step.
fn differences(expected: &Raster, actual: &Raster) -> usize {
    if (expected.width, expected.height) != (actual.width, actual.height) {
        return usize::MAX;
    }
    let pairs = expected.pixels.chunks(4).zip(actual.pixels.chunks(4));
    // The reference holds colours rounded to its palette.
    let near = |a: u8, b: u8| a.abs_diff(made::coarse(b)) <= LEVELS * made::STEP;
    pairs.filter(|(a, b)| !a.iter().zip(*b).all(|(a, b)| near(*a, *b))).count()
}

#[test]
fn the_comparison_of_pictures_can_fail() {
    let (_, picture) = pictures(&EXAMPLES["seedbox"]).remove(0);
    let mut other = picture.clone();
    let kept = png::decode(&made::indexed(&picture)).unwrap();
    assert_eq!(differences(&kept, &other), 0);
    other.pixels[0] = other.pixels[0].wrapping_sub(2 * made::STEP + 1);
    assert_eq!(differences(&kept, &other), 1);
}

/// Expected, difference and actual side by side.
fn show(file: &str, expected: Option<&Raster>, actual: &Raster) {
    let (width, height) = (actual.width, actual.height);
    let pixel = |raster: &Raster, x: u32, y: u32| -> [u8; 4] {
        if x >= raster.width || y >= raster.height {
            return [255, 0, 255, 255];
        }
        let at = ((y * raster.width + x) * 4) as usize;
        raster.pixels[at..at + 4].try_into().unwrap()
    };
    let mut pixels = Vec::new();
    for y in 0..height {
        for x in 0..3 * width {
            let (a, b) = (
                expected.map_or([255, 0, 255, 255], |e| pixel(e, x % width, y)),
                pixel(actual, x % width, y),
            );
            pixels.extend(match x / width {
                0 => a,
                1 => {
                    let away = a.iter().zip(&b).map(|(a, b)| a.abs_diff(*b)).max().unwrap();
                    let level = 255 - away.saturating_mul(8);
                    [255, level, level, 255]
                }
                _ => b,
            });
        }
    }
    let out = root().join("tests/out");
    fs::create_dir_all(&out).unwrap();
    fs::write(out.join(file), png::encode(&Raster { width: 3 * width, height, pixels }).unwrap()).unwrap();
}

/// Writes `lang-examples/pictures`, the pictures of the README: every example in every pose.
/// `cargo test --test kit_examples -- --ignored pictures_of_the_readme`
#[test]
#[ignore = "writes pictures into the sources"]
fn pictures_of_the_readme() {
    const PIXELS_ACROSS: f64 = 420.0;
    let folder = root().join("lang-examples/pictures");
    fs::create_dir_all(&folder).unwrap();
    for (name, Made { compiled, .. }) in EXAMPLES.iter() {
        for state in &compiled.states {
            let card = layers::card(&compiled.assembly, state, &compiled.kept);
            let figure = kit::pose_figure(&compiled.assembly, state, &card, View::ThreeQuarter);
            let longest = figure.bounds.width().max(figure.bounds.height());
            let raster = png::render(&figure.alone(), PIXELS_ACROSS / longest).unwrap();
            let file = folder.join(format!("{name}-{}.png", file_word(&state.name)));
            fs::write(file, made::indexed(&raster)).unwrap();
        }
    }
}
