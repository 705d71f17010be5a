//! The back ends read back with other libraries: PDF with lopdf, SVG with usvg, PNG with its decoder.

mod kit_sample;

use kit_sample::{blank, leaf, poster};
use lopdf::content::{Content, Operation as Operator};
use lopdf::{Dictionary, Document, Object, ObjectId};
use plica::drawing::pages::{self, Page, Paper};
use plica::drawing::{Colour, Drawing, Mark, Operation, Paint, Part, Text, curve};
use plica::output::{font, pdf, png, svg};
use resvg::usvg;
use std::collections::BTreeMap;

/// ISO 32000-1, 8.3.2.3: a unit of default user space is 1/72 in; 1 in is 25.4 mm exactly.
const UNITS_PER_MM: f64 = 72.0 / 25.4;

fn sample_pages(paper: Paper) -> Vec<Page> {
    let figures = [blank("Stage"), leaf(1), leaf(2), leaf(3), poster()];
    pages::lay_out("Night heron", &figures, paper, font::typeface()).pages
}

fn sample_pdf(paper: Paper) -> Vec<u8> {
    let document = pdf::Document {
        two_sided: false,
        title: "Night heron".to_owned(),
        language: "en".to_owned(),
        pages: sample_pages(paper),
    };
    pdf::write(&document)
}

fn load(paper: Paper) -> Document {
    Document::load_mem(&sample_pdf(paper)).unwrap()
}

fn operators(document: &Document, page: ObjectId) -> Vec<Operator> {
    Content::decode(&document.get_page_content(page)).unwrap().operations
}

fn numbers(operator: &Operator) -> Vec<f64> {
    operator.operands.iter().filter_map(|operand| operand.as_float().ok()).map(f64::from).collect()
}

/// Straight strokes of one segment, in mm: (from, to), y upward.
fn strokes(document: &Document, page: ObjectId) -> Vec<([f64; 2], [f64; 2])> {
    let operators = operators(document, page);
    let mm = |operator: &Operator| {
        let values = numbers(operator);
        [values[0] / UNITS_PER_MM, values[1] / UNITS_PER_MM]
    };
    operators
        .windows(3)
        .filter(|three| three[0].operator == "m" && three[1].operator == "l" && three[2].operator == "S")
        .map(|three| (mm(&three[0]), mm(&three[1])))
        .collect()
}

fn name(object: &Object) -> String {
    String::from_utf8(object.as_name().unwrap().to_vec()).unwrap()
}

/// Paper sizes: ISO 216 (A4) and ANSI letter, 8 1/2 × 11 in = 612 × 792 units.
#[test]
fn pages_have_the_size_of_the_paper() {
    for (paper, width, height) in
        [(Paper::A4, 210.0 * UNITS_PER_MM, 297.0 * UNITS_PER_MM), (Paper::Letter, 612.0, 792.0)]
    {
        let document = load(paper);
        for page in document.get_pages().values() {
            let dictionary = document.get_dictionary(*page).unwrap();
            let mut sides: Vec<f64> = dictionary
                .get(b"MediaBox")
                .unwrap()
                .as_array()
                .unwrap()
                .iter()
                .map(|value| f64::from(value.as_float().unwrap()))
                .skip(2)
                .collect();
            sides.sort_by(f64::total_cmp);
            assert!((sides[0] - width).abs() < 0.01 && (sides[1] - height).abs() < 0.01, "{sides:?}");
            assert!(!dictionary.has(b"UserUnit"));
        }
    }
}

/// 100 mm and 4 in = 101.6 mm, across and up, to 0.1 mm, on every page.
#[test]
fn every_page_has_test_bars_both_ways() {
    for paper in [Paper::A4, Paper::Letter] {
        let document = load(paper);
        assert!(document.get_pages().len() >= 5);
        for (number, page) in document.get_pages() {
            let strokes = strokes(&document, page);
            for length in [100.0, 101.6] {
                for axis in [0, 1] {
                    let found = strokes.iter().any(|(from, to)| {
                        (from[1 - axis] - to[1 - axis]).abs() < 1e-3
                            && ((from[axis] - to[axis]).abs() - length).abs() < 0.1
                    });
                    assert!(found, "{paper:?} page {number}: no bar of {length} mm along axis {axis}");
                }
            }
        }
    }
}

/// Group and type names of ISO 19593-1:2018, tables 2 and 3, as the Arlington PDF model lists them.
#[test]
fn layers_carry_the_processing_steps() {
    let document = load(Paper::A4);
    let properties = document.get_dict_in_dict(document.catalog().unwrap(), b"OCProperties").unwrap();
    let mut steps = BTreeMap::new();
    for group in properties.get(b"OCGs").unwrap().as_array().unwrap() {
        let layer = document.get_dictionary(group.as_reference().unwrap()).unwrap();
        assert_eq!(name(layer.get(b"Type").unwrap()), "OCG");
        let title = String::from_utf8(layer.get(b"Name").unwrap().as_str().unwrap().to_vec()).unwrap();
        let metadata = layer.get(b"GTS_Metadata").unwrap().as_dict().unwrap();
        let kind = metadata.get(b"GTS_ProcStepsType").ok().map(name);
        steps.insert(title, (name(metadata.get(b"GTS_ProcStepsGroup").unwrap()), kind));
    }
    let structural = |kind: &str| ("Structural".to_owned(), Some(kind.to_owned()));
    let expected = BTreeMap::from([
        ("Cutting".to_owned(), structural("Cutting")),
        ("Valley folds".to_owned(), structural("Creasing")),
        ("Mountain folds".to_owned(), structural("ReverseCreasing")),
        ("Part-depth cuts".to_owned(), structural("PartialCutting")),
        ("Perforating".to_owned(), structural("Perforating")),
        ("Gluing".to_owned(), structural("Gluing")),
        ("Dimensions".to_owned(), ("Dimensions".to_owned(), None)),
        ("Legend".to_owned(), ("Legend".to_owned(), None)),
    ]);
    assert_eq!(steps, expected);
}

/// Every layer named in a content stream is a resource of its page and one of the document's layers, and marked content
/// is balanced.
#[test]
fn content_names_only_layers_that_are_there() {
    let document = load(Paper::A4);
    for page in document.get_pages().values() {
        let dictionary = document.get_dictionary(*page).unwrap();
        let resources = document.get_dict_in_dict(dictionary, b"Resources").unwrap();
        let layers = resources.get(b"Properties").unwrap().as_dict().unwrap();
        let mut depth = 0_i32;
        for operator in operators(&document, *page) {
            match operator.operator.as_str() {
                "BDC" => {
                    assert_eq!(name(&operator.operands[0]), "OC");
                    let layer = layers.get(operator.operands[1].as_name().unwrap()).unwrap();
                    assert!(document.get_dictionary(layer.as_reference().unwrap()).unwrap().has_type(b"OCG"));
                    depth += 1;
                }
                "EMC" => depth -= 1,
                _ => {}
            }
            assert!((0..=1).contains(&depth), "layers are not nested");
        }
        assert_eq!(depth, 0);
    }
}

fn embedded_font(document: &Document) -> (String, Dictionary, Dictionary) {
    let first = document.get_pages()[&1];
    let fonts = document.get_page_fonts(first).unwrap();
    let font = (*fonts.values().next().unwrap()).clone();
    let descendant = font.get(b"DescendantFonts").unwrap().as_array().unwrap()[0].as_reference().unwrap();
    let descendant = document.get_dictionary(descendant).unwrap().clone();
    (name(font.get(b"BaseFont").unwrap()), font, descendant)
}

#[test]
fn the_font_is_embedded_as_a_truetype_subset() {
    let document = load(Paper::A4);
    let (base_name, font, descendant) = embedded_font(&document);
    let (tag, rest) = base_name.split_once('+').unwrap();
    assert!(tag.len() == 6 && tag.bytes().all(|byte| byte.is_ascii_uppercase()), "{tag}");
    assert_eq!(rest, "PlicaSans-Regular");
    assert_eq!(name(descendant.get(b"Subtype").unwrap()), "CIDFontType2");
    assert!(font.has(b"ToUnicode"));
    let descriptor =
        document.get_dictionary(descendant.get(b"FontDescriptor").unwrap().as_reference().unwrap()).unwrap();
    let file = document.get_object(descriptor.get(b"FontFile2").unwrap().as_reference().unwrap()).unwrap();
    let bytes = file.as_stream().unwrap().decompressed_content().unwrap();
    // The version number of a TrueType file (OpenType specification, table directory).
    assert_eq!(bytes[..4], [0, 1, 0, 0]);
    assert!(bytes.len() < font::BYTES.len() / 2, "{} bytes", bytes.len());
}

/// Widths stated in the PDF agree with the font's own.
#[test]
fn text_can_be_read_back() {
    let document = load(Paper::A4);
    let text = document.extract_text(&[1]).unwrap().replace('\n', " ");
    for words in ["Night heron", "100 mm", "4 in", "left wing", "measure these bars", "160 mm"] {
        assert!(text.contains(words), "{words:?} is not in {text:?}");
    }
}

#[test]
fn the_catalogue_asks_for_true_size_and_says_what_the_document_is() {
    let document = load(Paper::A4);
    let catalogue = document.catalog().unwrap();
    let preferences = document.get_dict_in_dict(catalogue, b"ViewerPreferences").unwrap();
    assert_eq!(name(preferences.get(b"PrintScaling").unwrap()), "None");
    assert!(preferences.get(b"DisplayDocTitle").unwrap().as_bool().unwrap());
    assert_eq!(catalogue.get(b"Lang").unwrap().as_str().unwrap(), b"en");
    let info =
        document.get_dictionary(document.trailer.get(b"Info").unwrap().as_reference().unwrap()).unwrap();
    assert_eq!(info.get(b"Title").unwrap().as_str().unwrap(), b"Night heron");
    assert!(!info.has(b"CreationDate") && !info.has(b"ModDate"), "a date would change the bytes");
    let outline =
        document.get_dictionary(catalogue.get(b"Outlines").unwrap().as_reference().unwrap()).unwrap();
    assert_eq!(outline.get(b"Count").unwrap().as_i64().unwrap() as usize, document.get_pages().len());
    let labels = document.get_dict_in_dict(catalogue, b"PageLabels").unwrap();
    let labels = labels.get(b"Nums").unwrap().as_array().unwrap();
    assert_eq!(labels.len(), 2 * document.get_pages().len());
}

#[test]
fn the_same_pages_give_the_same_bytes() {
    let (one, other) = (sample_pdf(Paper::A4), sample_pdf(Paper::A4));
    assert!(one == other);
    let id = |bytes: &[u8]| Document::load_mem(bytes).unwrap().trailer.get(b"ID").unwrap().clone();
    assert_ne!(id(&one), id(&sample_pdf(Paper::Letter)), "the identifier follows the content");
    let drawing = blank("Stage").alone();
    assert_eq!(svg::write(&drawing), svg::write(&drawing));
    assert!(png::write(&drawing, 2.0).unwrap() == png::write(&drawing, 2.0).unwrap());
}

/// The same corner of the poster on two neighbouring tiles: they differ by the tile's width less the overlap of 10 mm.
#[test]
fn tiles_overlap_by_ten_millimetres() {
    let pages = sample_pages(Paper::A4);
    let tiles: BTreeMap<&str, &Page> = pages
        .iter()
        .filter_map(|page| page.label.strip_prefix("Sea wall ").map(|tile| (tile, page)))
        .collect();
    let window = |page: &Page| page.drawing.parts[0].clip.unwrap();
    let corner = |page: &Page| page.drawing.parts[0].marks[0].bounds(font::typeface()).origin();
    let (first, right, below) = (tiles["A1"], tiles["A2"], tiles["B1"]);
    let across = corner(first).x - corner(right).x;
    let down = corner(first).y - corner(below).y;
    assert!((window(first).width() - across - 10.0).abs() < 1e-9);
    assert!((window(first).height() - down - 10.0).abs() < 1e-9);
    // The last tiles reach the poster's far corner.
    let last = tiles.values().next_back().unwrap();
    assert!(corner(last).x + 380.0 <= window(last).x1 && corner(last).y + 300.0 <= window(last).y1);
}

#[test]
fn small_figures_share_a_page() {
    let pages = sample_pages(Paper::A4);
    assert!(
        pages.iter().any(|page| page.name.contains("Leaf 1, Leaf 2, Leaf 3")),
        "{:?}",
        page_names(&pages)
    );
}

fn page_names(pages: &[Page]) -> Vec<&str> {
    pages.iter().map(|page| page.name.as_str()).collect()
}

#[test]
fn a_figure_of_many_metres_is_refused_not_tiled() {
    let mut figure = poster();
    figure.bounds.x1 = 1e6;
    let result = pages::lay_out("Too long", &[figure, leaf(1)], Paper::A4, font::typeface());
    assert_eq!(result.too_large.len(), 1);
    assert_eq!(result.pages.len(), 1);
}

/// CSS and SVG: 96 px to the inch, so 1 mm is 96/25.4 px.
const PX_PER_MM: f64 = 96.0 / 25.4;

fn svg_tree(drawing: &Drawing) -> usvg::Tree {
    png::parse(&svg::write(drawing)).unwrap()
}

/// Length in mm of every path under a node.
fn path_lengths(group: &usvg::Group, found: &mut Vec<f64>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => path_lengths(group, found),
            usvg::Node::Path(path) => {
                let data = path.data().clone().transform(path.abs_transform()).unwrap();
                found.push(skia_length(&data) / PX_PER_MM);
            }
            _ => {}
        }
    }
}

/// The length of a path by a thousand chords to a curve.
fn skia_length(path: &resvg::tiny_skia::Path) -> f64 {
    use resvg::tiny_skia::PathSegment;
    let mut bez = kurbo::BezPath::new();
    let at = |point: resvg::tiny_skia::Point| (f64::from(point.x), f64::from(point.y));
    for segment in path.segments() {
        match segment {
            PathSegment::MoveTo(p) => bez.move_to(at(p)),
            PathSegment::LineTo(p) => bez.line_to(at(p)),
            PathSegment::QuadTo(a, p) => bez.quad_to(at(a), at(p)),
            PathSegment::CubicTo(a, b, p) => bez.curve_to(at(a), at(b), at(p)),
            PathSegment::Close => bez.close_path(),
        }
    }
    kurbo::Shape::perimeter(&bez, 1e-4)
}

#[test]
fn an_svg_has_its_physical_size_and_true_lengths() {
    let figure = blank("Stage");
    let tree = svg_tree(&figure.alone());
    assert!((f64::from(tree.size().width()) / PX_PER_MM - figure.bounds.width()).abs() < 0.01);
    assert!((f64::from(tree.size().height()) / PX_PER_MM - figure.bounds.height()).abs() < 0.01);
    let Some(usvg::Node::Group(cutting)) = tree.node_by_id("cutting") else { panic!("no group of cuts") };
    let mut lengths = Vec::new();
    path_lengths(cutting, &mut lengths);
    // The blank is 160 × 100 mm, its slot 3 × 50 mm, its hole has a radius of 12 mm.
    for (found, expected) in lengths.iter().zip([520.0, 106.0, std::f64::consts::TAU * 12.0]) {
        assert!((found - expected).abs() < 0.05, "{lengths:?}");
    }
    assert_eq!(lengths.len(), 3);
}

#[test]
fn an_svg_has_one_group_per_operation_in_drawing_order() {
    let drawing = blank("Stage").alone();
    let text = svg::write(&drawing);
    let places: Vec<usize> = drawing
        .operations()
        .iter()
        .map(|operation| {
            text.find(&format!("<g id=\"{}\"", operation.id())).expect("a group for each operation")
        })
        .collect();
    assert!(places.is_sorted());
    assert_eq!(text.matches("<g id=").count(), places.len());
}

/// What people type: markup, quotes, control characters, other scripts, right-to-left marks.
#[test]
fn any_text_gives_a_file_that_can_be_read() {
    let nasty = "<b>&amp; \"it's\" ]]> \u{0}\u{8}\u{1b}\u{202e}\u{ffff} 夜 é → 🦢";
    let text = Text::new(nasty, kurbo::Point::new(5.0, 10.0), 4.0);
    let drawing = Drawing {
        title: nasty.to_owned(),
        size: kurbo::Size::new(200.0, 20.0),
        parts: vec![Part { clip: None, marks: vec![Mark::text(Operation::Legend, text)] }],
    };
    let written = svg::write(&drawing);
    let xml = usvg::roxmltree::Document::parse(&written).unwrap();
    let title = xml.descendants().find(|node| node.has_tag_name("title")).unwrap();
    assert!(title.text().unwrap().contains("<b>&amp; \"it's\" ]]>"), "{:?}", title.text());
    png::write(&drawing, 4.0).unwrap();
    let page = Page { drawing, label: nasty.to_owned(), name: nasty.to_owned() };
    let bytes = pdf::write(&pdf::Document {
        title: nasty.to_owned(),
        language: "en".to_owned(),
        two_sided: false,
        pages: vec![page],
    });
    let document = Document::load_mem(&bytes).unwrap();
    let text = document.extract_text(&[1]).unwrap();
    assert!(text.contains("<b>&amp; \"it's\"") && text.contains("夜 é → 🦢"), "{text:?}");
}

#[test]
fn a_png_has_its_pixels_and_its_text() {
    let figure = leaf(1);
    let mut drawing = figure.alone();
    let raster = png::render(&drawing, 10.0).unwrap();
    assert_eq!((raster.width, raster.height), pixel_size(&drawing, 10.0));
    // Text with no system font: ink appears where there was none.
    let at = kurbo::Point::new(5.0, 8.0);
    drawing.parts[0].marks.push(Mark::text(Operation::Legend, Text::new("Leaf", at, 5.0)));
    let with_text = png::render(&drawing, 10.0).unwrap();
    let dark = |raster: &png::Raster| raster.pixels.chunks(4).filter(|pixel| pixel[0] < 128).count();
    assert!(dark(&with_text) > dark(&raster) + 300, "{} {}", dark(&with_text), dark(&raster));
}

fn pixel_size(drawing: &Drawing, pixels_per_mm: f64) -> (u32, u32) {
    let pixels = |mm: f64| (mm * pixels_per_mm).ceil() as u32;
    (pixels(drawing.size.width), pixels(drawing.size.height))
}

#[test]
fn a_net_is_black_and_grey() {
    let raster = png::render(&blank("Stage").alone(), 4.0).unwrap();
    assert!(
        raster.pixels.chunks(4).all(|pixel| pixel[0] == pixel[1] && pixel[1] == pixel[2] && pixel[3] == 255)
    );
}

#[test]
fn a_see_through_fill_lets_the_paper_show() {
    let square = curve::rectangle(kurbo::Rect::new(0.0, 0.0, 10.0, 10.0));
    let half = Paint { colour: Colour::BLACK, opacity: 50 };
    let drawing = Drawing {
        title: "Acetate".to_owned(),
        size: kurbo::Size::new(10.0, 10.0),
        parts: vec![Part { clip: None, marks: vec![Mark::fill(Operation::Artwork, square, half)] }],
    };
    let raster = png::render(&drawing, 2.0).unwrap();
    assert!((120..=135).contains(&raster.pixels[0]), "{}", raster.pixels[0]);
    let page = Page { drawing, label: "1".to_owned(), name: "Acetate".to_owned() };
    let bytes = pdf::write(&pdf::Document {
        title: String::new(),
        language: "en".to_owned(),
        two_sided: false,
        pages: vec![page],
    });
    let document = Document::load_mem(&bytes).unwrap();
    assert!(operators(&document, document.get_pages()[&1]).iter().any(|operator| operator.operator == "gs"));
}

#[test]
fn an_animation_has_all_its_frames() {
    let frames: Vec<png::Raster> = (1..4).map(|_| png::render(&leaf(1).alone(), 2.0).unwrap()).collect();
    let bytes = png::encode_animation(&frames, 80).unwrap();
    let reader = ::png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    assert_eq!(reader.info().animation_control().unwrap().num_frames, 3);
    assert_eq!(png::encode_animation(&[], 80), Err(png::RasterError::Frames));
}

#[test]
fn a_picture_without_pixels_or_with_too_many_is_refused() {
    let drawing =
        |width: f64| Drawing { title: String::new(), size: kurbo::Size::new(width, 10.0), parts: Vec::new() };
    assert!(matches!(png::render(&drawing(0.0), 4.0), Err(png::RasterError::Size { .. })));
    assert!(matches!(png::render(&drawing(1e9), 4.0), Err(png::RasterError::Size { .. })));
    assert!(matches!(png::render(&drawing(f64::NAN), 4.0), Err(png::RasterError::Size { .. })));
}

#[test]
fn an_empty_document_is_still_a_document() {
    let bytes = pdf::write(&pdf::Document {
        title: String::new(),
        language: String::new(),
        two_sided: false,
        pages: Vec::new(),
    });
    assert_eq!(Document::load_mem(&bytes).unwrap().get_pages().len(), 0);
}

/// Writes the sample to `tests/out`, to be looked at: `cargo test --test kit_backends -- --ignored`.
#[test]
#[ignore = "writes files to look at"]
fn write_the_sample() {
    let folder = std::path::Path::new("tests/out");
    std::fs::create_dir_all(folder).unwrap();
    for (paper, file) in [(Paper::A4, "sample-a4.pdf"), (Paper::Letter, "sample-letter.pdf")] {
        std::fs::write(folder.join(file), sample_pdf(paper)).unwrap();
    }
    std::fs::write(folder.join("crowded.png"), png::write(&kit_sample::crowded().alone(), 8.0).unwrap())
        .unwrap();
    let stage = blank("Stage").alone();
    std::fs::write(folder.join("stage.svg"), svg::write(&stage)).unwrap();
    std::fs::write(folder.join("stage.png"), png::write(&stage, 8.0).unwrap()).unwrap();
}
