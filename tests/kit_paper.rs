//! Sets to print on the papers and to trace: faces in register, pictures cut apart so that they join up, bleed past cut
//! edges; read back with lopdf.

use lopdf::content::Content;
use lopdf::{Document, Object, ObjectId};
use plica::assembly::{Assembly, Face, Print};
use plica::commands::kit_files;
use plica::compile::{Compiled, compile_text};
use plica::drawing::pages::{self, Group, Paper};
use plica::drawing::printed::{BLEED_MM, printed, with_bleed};
use plica::drawing::{Drawing, Ink, LineKind};
use plica::geometry::{Point, Polygon, Rect, pt, region_area, region_bounds};
use plica::meaning::Request;
use plica::motion::Vec3;
use plica::output::font;
use plica::source::Memory;
use proptest::prelude::*;

const SCENE: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='80mm' height='40mm' viewBox='0 0 80 40'>\
                     <rect width='80' height='40' fill='#2f6690'/><circle cx='20' cy='20' r='9' fill='#f4d35e'/></svg>";

fn compiled(text: &str) -> Compiled {
    let request = Request { path: "design.plica".into(), ..Request::default() };
    let compiled = compile_text(text, &Memory::default().with("scene.svg", SCENE), &request).unwrap();
    let told: Vec<&str> = compiled.findings.list().iter().map(|f| f.telling.message.as_str()).collect();
    assert!(told.is_empty(), "{told:?}");
    compiled
}

/// A page folded in three, all but its left third turned over onto that, and a wheel pinned to the right one.
fn folded(first: f64, second: f64, third: f64, turn: f64) -> Compiled {
    let (one, two) = (first, first + second);
    compiled(&format!(
        r#"card "Bay"
paper board: 300gsm, 0.35mm thick
piece page of board {{
  size {}mm by 90mm
  valley near: {one}mm from left
  valley far: {two}mm from left
  panels left_third, middle, right_third from left
  hole hub on right_third: 4mm, centred
}}
piece wheel of board {{
  shape circle 30mm
  hole axle: 4mm, centred
}}
brad pivot through page.hub, wheel.axle
print scene picture "scene.svg" across page.left_third, page.right_third, wheel in told
pose told {{ page.near at 180deg  page.far at 0deg  pivot at {turn}deg }}
"#,
        two + third
    ))
}

/// Where a point of the picture's own frame lies before the viewer, as one of its parts has it.
fn seen_at(compiled: &Compiled, print: &Print, at: Point) -> Point {
    let laid = print.laid().unwrap();
    let frame = compiled.states[0].frames[print.panel].unwrap();
    let on_piece = laid.place.apply(at);
    let world = frame.point(Vec3::new(on_piece.x, -on_piece.y, 0.0));
    pt(world.x, -world.y)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Every part shows the same point of the picture at the same place, whichever way it was turned and folded.
    #[test]
    fn parts_of_a_picture_join_up(
        first in 30.0..50.0f64, more in 5.0..30.0f64, third in 40.0..60.0f64, turn in -170.0..170.0f64
    ) {
        let tenth = |x: f64| (x * 10.0).round() / 10.0;
        let compiled = folded(tenth(first), tenth(first + more), tenth(third), tenth(turn));
        let parts = &compiled.assembly.prints;
        prop_assert_eq!(parts.len(), 3);
        // The first panel stays where it is, the others are turned over behind it.
        let faces: Vec<Face> = parts.iter().map(|part| part.face).collect();
        prop_assert_eq!(faces, [Face::Front, Face::Back, Face::Back]);
        let whole = parts[0].laid().unwrap().whole;
        for at in whole.corners().into_iter().chain([whole.centre()]) {
            for part in parts {
                prop_assert!(seen_at(&compiled, part, at).is_near(at, 1e-6), "{at:?} on {}", part.panel);
            }
        }
        // So large that it covers every part, in its own shape.
        prop_assert!((whole.width() / whole.height() - 2.0).abs() < 1e-9);
        for part in parts {
            let covered = region_area(&part.region(&compiled.assembly));
            let panel = compiled.assembly.panels[part.panel].polygon.area();
            prop_assert!((covered - panel).abs() < 1e-4 * panel, "{covered} of {panel}");
        }
    }

    /// Bleed: 3 mm beyond the cut edges that a picture reaches, and nowhere else.
    #[test]
    fn pictures_bleed_past_the_edges_they_reach(gap in 0.0..20.0f64, high in 10.0..80.0f64) {
        let piece = Polygon::rectangle(Rect::new(0.0, 0.0, 100.0, 80.0));
        let picture = Polygon::rectangle(Rect::new(gap, 80.0 - high, 60.0, high));
        let drawn = region_bounds(&with_bleed(&[picture], &piece)).unwrap();
        let left = if gap < 0.5 { -BLEED_MM } else { gap };
        prop_assert!((drawn.max.y - (80.0 + BLEED_MM)).abs() < 0.01, "{drawn:?}");
        prop_assert!(drawn.min.x >= -BLEED_MM - 0.01);
        // Beyond the bottom edge the strip reaches as far to the sides as it is deep.
        prop_assert!(drawn.min.x >= left - BLEED_MM - 0.01, "{drawn:?}");
        prop_assert!(drawn.max.x <= 60.0 + gap + BLEED_MM + 0.01);
    }
}

fn two_sided() -> Compiled {
    compiled(
        r#"card "Cove"
paper board: 300gsm, 0.35mm thick
paper tint: 120gsm, 0.15mm thick
piece page of board {
  size 120mm by 80mm
  valley spine: 60mm from left
  panels inner, outer from left
}
mat sand of tint on front of page.inner: 5mm border
print scene picture "scene.svg" on back of page.outer: 0mm from left, 5mm from top, 40mm wide
print name "Cove" on back of page.inner: centred, 30mm from top
print wish "Low tide" on sand: centred, 20mm from top
pose open { page.spine at 0deg }
"#,
    )
}

fn laid(assembly: &Assembly, paper: Paper) -> Vec<pages::Page> {
    let figures: Vec<_> = (0..assembly.pieces.len())
        .filter_map(|id| printed(assembly, id, &font::lettering, font::typeface()))
        .collect();
    let groups = [Group { note: Some("To be printed on board".into()), figures: &figures }];
    pages::lay_out_groups("Cove", &groups, paper, font::typeface()).pages
}

fn boxes(drawing: &Drawing, of: impl Fn(&Ink) -> bool) -> Vec<kurbo::Rect> {
    let marks = drawing.parts.iter().flat_map(|part| &part.marks);
    marks.filter(|mark| of(&mark.ink)).map(|mark| mark.bounds(font::typeface())).collect()
}

/// Where a point of the back page lies on the front, the paper turned over on its long edge.
fn behind(at: kurbo::Point, page: &Drawing) -> kurbo::Point {
    if page.size.width < page.size.height {
        kurbo::Point::new(page.size.width - at.x, at.y)
    } else {
        kurbo::Point::new(at.x, page.size.height - at.y)
    }
}

#[test]
fn backs_fall_behind_their_fronts() {
    for paper in [Paper::A4, Paper::Letter] {
        let pages = laid(&two_sided().assembly, paper);
        assert!(pages.len() >= 2 && pages.len().is_multiple_of(2), "{}", pages.len());
        let mut pictures = 0;
        for pair in pages.chunks(2) {
            let (front, back) = (&pair[0].drawing, &pair[1].drawing);
            assert_eq!(front.size, back.size);
            let register = |ink: &Ink| matches!(ink, Ink::Line { kind: LineKind::Registration, .. });
            let (mut ours, mut theirs) = (boxes(front, register), boxes(back, register));
            assert_eq!(ours.len(), 8);
            let key = |r: &kurbo::Rect| [r.x0, r.y0, r.x1, r.y1].map(|v| (v * 1e6).round() as i64);
            theirs.iter_mut().for_each(|r| {
                *r = kurbo::Rect::from_points(
                    behind(r.origin(), back),
                    behind(kurbo::Point::new(r.x1, r.y1), back),
                );
            });
            ours.sort_by_key(key);
            theirs.sort_by_key(key);
            for (a, b) in ours.iter().zip(&theirs) {
                assert!((a.center() - b.center()).hypot() < 1e-9, "{a:?} {b:?}");
            }
            // The picture lies behind the outer half of the page: at the crease, 5 mm from the top.
            let outlines = boxes(front, |ink| matches!(ink, Ink::Line { kind: LineKind::Outline, .. }));
            for picture in boxes(back, |ink| matches!(ink, Ink::Image(_))) {
                pictures += 1;
                let from = behind(picture.origin(), back);
                let to = behind(kurbo::Point::new(picture.x1, picture.y1), back);
                let there = kurbo::Rect::from_points(from, to);
                let page = outlines.iter().max_by(|a, b| a.area().total_cmp(&b.area())).unwrap();
                let half = 0.25; // of the outline's line
                assert!((there.x0 - (page.x0 + half + 60.0)).abs() < 1e-6, "{there:?} {page:?}");
                assert!((there.y0 - (page.y0 + half + 5.0)).abs() < 1e-6, "{there:?} {page:?}");
                assert!((there.width() - 40.0).abs() < 1e-6 && (there.height() - 20.0).abs() < 1e-6);
            }
        }
        assert_eq!(pictures, 1);
    }
}

/// Nothing printed on the back, and no word of the frame, lies on anything else of it.
#[test]
fn frames_keep_clear_of_what_is_printed() {
    for paper in [Paper::A4, Paper::Letter] {
        for page in laid(&two_sided().assembly, paper) {
            let room = |mark: &plica::drawing::Mark| mark.bounds(font::typeface());
            let (frame, figures) = page.drawing.parts.split_last().unwrap();
            for mark in &frame.marks {
                let inside = kurbo::Rect::from_origin_size((0.0, 0.0), page.drawing.size).inset(-7.9);
                assert!(inside.union(room(mark)) == inside, "{}: {mark:?}", page.label);
                for drawn in figures.iter().flat_map(|part| &part.marks) {
                    let shared = room(mark).intersect(room(drawn));
                    assert!(shared.is_zero_area(), "{}: {mark:?} on {drawn:?}", page.label);
                }
            }
        }
    }
}

fn pictures(document: &Document, page: ObjectId) -> Vec<[f64; 6]> {
    let content = Content::decode(&document.get_page_content(page)).unwrap();
    let mut at: Vec<[f64; 6]> = Vec::new();
    let mut matrix = [0.0; 6];
    for operator in &content.operations {
        match operator.operator.as_str() {
            "cm" => {
                for (slot, operand) in matrix.iter_mut().zip(&operator.operands) {
                    *slot = f64::from(operand.as_float().unwrap());
                }
            }
            "Do" => at.push(matrix),
            _ => {}
        }
    }
    at
}

#[test]
fn pictures_in_a_pdf_have_their_size_and_their_pixels() {
    let files = kit_files(&two_sided(), &[], 1).unwrap();
    let document = Document::load_mem(&files["print.pdf"]).unwrap();
    let drawn: Vec<[f64; 6]> =
        document.get_pages().into_values().flat_map(|page| pictures(&document, page)).collect();
    assert_eq!(drawn.len(), 1);
    let mm = 25.4 / 72.0;
    let [a, b, c, d, ..] = drawn[0];
    let (wide, high) = (a.hypot(b) * mm, c.hypot(d) * mm);
    // Its own 40 mm by 20 mm, and what is drawn on around it for the bleed.
    assert!((wide - high - 20.0).abs() < 0.2 && wide >= 40.0 + 2.0 * BLEED_MM - 0.01, "{wide} {high}");
    let is_picture = |object: &&Object| {
        object
            .as_stream()
            .is_ok_and(|s| s.dict.get(b"Subtype").is_ok_and(|t| t.as_name().is_ok_and(|n| n == b"Image")))
    };
    let picture = document.objects.values().find(is_picture).unwrap().as_stream().unwrap();
    let number = |key: &[u8]| picture.dict.get(key).unwrap().as_i64().unwrap() as usize;
    let pixels = picture.decompressed_content().unwrap();
    assert_eq!(pixels.len(), 3 * number(b"Width") * number(b"Height"));
    // The sky at a corner (drawn on), the sun in its place.
    assert_eq!(pixels[..3], [0x2f, 0x66, 0x90]);
    let (x, y) =
        ((number(b"Width") as f64 * (10.0 + (wide - 40.0) / 2.0) / wide) as usize, number(b"Height") / 2);
    let sun = (y * number(b"Width") + x) * 3;
    assert_eq!(pixels[sun..sun + 3], [0xf4, 0xd3, 0x5e]);
    // 300 pixels to the inch.
    assert!((number(b"Width") as f64 / wide * 25.4 - 300.0).abs() < 5.0);
    let catalogue = document.catalog().unwrap();
    let preferences = catalogue.get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    assert_eq!(preferences.get(b"Duplex").unwrap().as_name().unwrap(), b"DuplexFlipLongEdge");
}

#[test]
fn a_damaged_picture_is_told() {
    let request = Request { path: "design.plica".into(), ..Request::default() };
    let text = "card \"Cove\"\npaper board: 300gsm, 0.35mm thick\npiece page of board { size 60mm by 60mm }\n\
                print scene picture \"cut-off.png\" on page: centred, 30mm wide\n";
    let whole = include_bytes!("../lang-examples/pictures/gate-ajar.png");
    let library = Memory::default().with("cut-off.png", &whole[..whole.len() / 2]);
    let compiled = compile_text(text, &library, &request).unwrap();
    let error = kit_files(&compiled, &[], 1).unwrap_err();
    assert_eq!(error.file, "cut-off.png");
}
