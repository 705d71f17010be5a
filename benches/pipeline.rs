//! How long the stages take: `cargo bench --bench pipeline`. Measured figures stand in DEVELOPERS.md.

use divan::Bencher;
use plica::commands::kit_files;
use plica::compile::{Compiled, compile_after, compile_text};
use plica::drawing::{Drawing, net};
use plica::findings::Findings;
use plica::meaning::Request;
use plica::output::kit::PIXELS_PER_MM;
use plica::output::{font, png, svg};
use plica::source::Memory;
use plica::syntax;
use resvg::{tiny_skia, usvg};
use std::sync::Arc;

mod town;

fn main() {
    divan::main();
}

const SLIDER: &str = include_str!("../lang-examples/lighthouse.plica");

fn compiled(text: &str) -> Compiled {
    let request = Request { path: "bench.plica".into(), ..Request::default() };
    compile_text(text, &Memory::default(), &request).expect("a design in memory is read")
}

/// A design of about `lines` lines: many pieces, each with scores and slots.
fn long_design(lines: usize) -> String {
    let mut text = String::from("card \"Long\"\npaper board: 200gsm, 0.26mm thick\n");
    let mut line = 2;
    let mut piece = 0;
    while line + 8 <= lines {
        text += &format!(
            "piece p{piece} of board {{\n  size 120mm by 90mm\n  valley 40mm, 80mm from left\n  \
             panels a, b, c from left\n  slot s on a: 2mm wide, 20mm from left, 15mm to 60mm from top\n  \
             hole h on b: 3mm, centred\n}}\n"
        );
        text += &format!("let v{piece} = 12mm + {piece} * 1mm\n");
        line += 8;
        piece += 1;
    }
    text
}

/// A cold check of the two-tier slider, claims and proofs included.
#[divan::bench]
fn check_slider(bencher: Bencher) {
    bencher.bench(|| compiled(divan::black_box(SLIDER)));
}

/// The slider without its claims: reading, lowering, poses and checks.
#[divan::bench]
fn check_slider_without_claims(bencher: Bencher) {
    let text: String =
        SLIDER.lines().filter(|l| !l.starts_with("expect")).map(|l| format!("{l}\n")).collect();
    bencher.bench(|| compiled(divan::black_box(&text)));
}

#[divan::bench]
fn make_slider(bencher: Bencher) {
    let compiled = compiled(SLIDER);
    bencher.bench(|| kit_files(divan::black_box(&compiled), &[], 1).map(|files| files.len()));
}

/// The net of the shell of the slider as an SVG.
fn net_svg() -> Drawing {
    let assembly = compiled(SLIDER).assembly;
    let net = net::net(&assembly, 0, font::typeface()).expect("the slider has a piece");
    net::headed(&net, font::typeface()).alone()
}

/// A net as a PNG file, from its marks.
#[divan::bench]
fn png_of_a_net(bencher: Bencher) {
    let drawing = net_svg();
    bencher.bench(|| png::write(divan::black_box(&drawing), PIXELS_PER_MM).map(|bytes| bytes.len()));
}

/// The same with resvg alone, from the SVG as a file would hold it.
#[divan::bench]
fn png_of_a_net_by_resvg(bencher: Bencher) {
    let drawing = net_svg();
    let text = svg::write(&drawing);
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(font::BYTES.to_vec());
    let options =
        usvg::Options { fontdb: Arc::new(fonts), font_family: font::FAMILY.into(), ..Default::default() };
    let pixels = |mm: f64| (mm * PIXELS_PER_MM).ceil() as u32;
    let (width, height) = (pixels(drawing.size.width), pixels(drawing.size.height));
    bencher.bench(|| {
        let tree = usvg::Tree::from_str(divan::black_box(&text), &options).expect("our own file");
        let mut map = tiny_skia::Pixmap::new(width, height).expect("a size");
        map.fill(tiny_skia::Color::WHITE);
        let scale = width as f32 / tree.size().width();
        resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut map.as_mut());
        map.encode_png().map(|bytes| bytes.len()).ok()
    });
}

#[divan::bench]
fn read_1000_lines(bencher: Bencher) {
    let text = long_design(1_000);
    bencher.bench(|| {
        let mut findings = Findings::default();
        syntax::parse(divan::black_box(&text), 0, &mut findings).items.len()
    });
}

#[divan::bench]
fn findings_of_1000_lines(bencher: Bencher) {
    let text = long_design(1_000);
    bencher.bench(|| compiled(divan::black_box(&text)).findings.list().len());
}

/// A design of 1,000 lines and 50 pieces with joints, poses, motions and claims, from an edit of one piece to all
/// findings.
#[divan::bench]
fn findings_after_an_edit(bencher: Bencher) {
    after_edits(bencher, |text| text);
}

/// The same without the proofs of its two motions.
#[divan::bench]
fn findings_after_an_edit_without_motions(bencher: Bencher) {
    after_edits(bencher, |text| {
        text.lines().filter(|l| !l.starts_with("expect moves")).map(|l| format!("{l}\n")).collect()
    });
}

/// Every edit makes the piece a size that it never had before.
fn after_edits(bencher: Bencher, cut: fn(String) -> String) {
    let mut before = compiled(&cut(town::text(5, 0)));
    assert_eq!(before.findings.list().len(), 0, "the town is sound");
    let request = Request { path: "bench.plica".into(), ..Request::default() };
    let mut step = 0;
    let edited = || {
        step += 1;
        cut(town::text(5, step))
    };
    bencher.with_inputs(edited).bench_local_values(|text| {
        let after = compile_after(&before, &text, &Memory::default(), &request);
        before = after.expect("a design in memory is read");
        before.findings.list().len()
    });
}

/// The same design compiled for the first time.
#[divan::bench]
fn findings_of_a_town(bencher: Bencher) {
    let text = town::text(5, 0);
    bencher.bench(|| compiled(divan::black_box(&text)).findings.list().len());
}
