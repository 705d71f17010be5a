//! The PDFs of a kit in a second reader, which draws them: page sizes, layers with their metadata, the font that travels
//! with the document, and the test bars measured in pixels. (The first reader is in `kit_backends`.)

mod made;

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::{Dict, Name, Object, String as PdfString};
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use made::EXAMPLES;
use plica::quantity::Units;

const PIXELS_PER_MM: f32 = 10.0;
const MM: f32 = 25.4 / 72.0;

/// Darkness of every pixel, 0 to 255, row by row.
struct Grey {
    width: usize,
    height: usize,
    dark: Vec<u8>,
}

impl Grey {
    fn at(&self, x: usize, y: usize) -> u8 {
        self.dark[y * self.width + x]
    }

    /// First and last dark pixel of a row or a column, within bounds.
    fn extent(&self, line: usize, from: usize, to: usize, upright: bool) -> Option<(usize, usize)> {
        let is_dark = |i: &usize| if upright { self.at(line, *i) > 127 } else { self.at(*i, line) > 127 };
        let mut dark = (from..to).filter(is_dark);
        let first = dark.next()?;
        Some((first, dark.next_back().unwrap_or(first)))
    }
}

fn drawn(bytes: &[u8]) -> Vec<Grey> {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let (cache, scale) = (RenderCache::new(), PIXELS_PER_MM * MM);
    let settings = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: WHITE };
    let page = |page| {
        let map =
            render(page, &cache, &InterpreterSettings::default(), &RenderSettings::default(), &settings);
        let dark =
            map.data().iter().map(|p| 255 - ((u16::from(p.r) + u16::from(p.g) + u16::from(p.b)) / 3) as u8);
        Grey { width: map.width().into(), height: map.height().into(), dark: dark.collect() }
    };
    pdf.pages().iter().map(page).collect()
}

/// Papers of a kit's documents, in mm: ISO 216 A4, and US letter.
fn paper(file: &str, units: Units) -> [f32; 2] {
    let a4 = match units {
        Units::Mm => !file.ends_with("-letter.pdf"),
        Units::Inch => file.ends_with("-a4.pdf"),
    };
    if a4 { [210.0, 297.0] } else { [215.9, 279.4] }
}

#[test]
fn a_second_reader_sees_the_papers_and_the_layers() {
    let mut pages = 0;
    for (name, made) in EXAMPLES.iter() {
        for (file, bytes) in made.files.iter().filter(|(file, _)| file.ends_with(".pdf")) {
            let pdf = Pdf::new(bytes.clone()).unwrap();
            let mut size = paper(file, made.compiled.assembly.units);
            for page in pdf.pages().iter() {
                let (width, height) = page.render_dimensions();
                let mut seen = [width * MM, height * MM];
                seen.sort_by(f32::total_cmp);
                size.sort_by(f32::total_cmp);
                assert!(seen.iter().zip(size).all(|(a, b)| (a - b).abs() < 0.01), "{name}/{file}: {seen:?}");
                pages += 1;
            }
            let mut layers = Vec::new();
            for object in pdf.objects() {
                let Object::Dict(layer) = object else { continue };
                if layer.get::<Name>("Type").is_none_or(|t| t.as_str() != "OCG") {
                    continue;
                }
                let title =
                    String::from_utf8(layer.get::<PdfString>("Name").unwrap().as_bytes().to_vec()).unwrap();
                let step = layer.get::<Dict>("GTS_Metadata").map(|m| {
                    let word = |key: &str| m.get::<Name>(key).map(|n| n.as_str().to_owned());
                    (word("GTS_ProcStepsGroup").unwrap(), word("GTS_ProcStepsType"))
                });
                layers.push((title, step));
            }
            layers.sort();
            let cutting = ("Cutting".to_owned(), Some(("Structural".to_owned(), Some("Cutting".to_owned()))));
            let legend = ("Legend".to_owned(), Some(("Legend".to_owned(), None)));
            assert!(layers.contains(&cutting) && layers.contains(&legend), "{name}/{file}: {layers:?}");
            let fonts = pdf.objects().into_iter().filter(|object| match object {
                Object::Dict(font) => {
                    font.get::<Name>("Type").is_some_and(|t| t.as_str() == "FontDescriptor")
                }
                _ => false,
            });
            let embedded = |object: Object| match object {
                Object::Dict(font) => {
                    ["FontFile", "FontFile2", "FontFile3"].iter().any(|k| font.contains_key(k))
                }
                _ => false,
            };
            let fonts: Vec<bool> = fonts.map(embedded).collect();
            assert!(!fonts.is_empty() && fonts.iter().all(|f| *f), "{name}/{file}: {fonts:?}");
        }
    }
    assert!(pages >= 100, "{pages}");
}

/// Both pairs of bars on every page of every set, within 0.1 mm of 100 mm and of 4 in.
#[test]
fn test_bars_measure_true_on_the_drawn_page() {
    let mut measured = 0;
    for name in ["lighthouse", "gate"] {
        let made = &EXAMPLES[name];
        for (file, bytes) in made.files.iter().filter(|(file, _)| file.ends_with(".pdf")) {
            for (number, page) in drawn(bytes).iter().enumerate() {
                let px = |mm: f64| (mm * f64::from(PIXELS_PER_MM)).round() as usize;
                // Where the bars stand: 3 mm and 8 mm outside the corner that is 21 mm from the left and the bottom.
                for (out, length) in [(3.0, 100.0), (8.0, 101.6)] {
                    let row = page.height - px(21.0) + px(out);
                    let across = page.extent(row, px(19.0), px(127.0), false).unwrap();
                    let column = px(21.0 - out);
                    let up =
                        page.extent(column, page.height - px(127.0), page.height - px(19.0), true).unwrap();
                    for (from, to) in [across, up] {
                        // The ticks at both ends are 0.25 mm wide, and lie half outside.
                        let long = (to - from + 1) as f64 / f64::from(PIXELS_PER_MM) - 0.25;
                        assert!((long - length).abs() <= 0.1, "{name}/{file} page {}: {long} mm", number + 1);
                        measured += 1;
                    }
                }
                // No font but the document's own is at hand: the title is there because it came along.
                let title = (px(9.0)..px(13.0)).flat_map(|y| (px(21.0)..px(80.0)).map(move |x| (x, y)));
                assert!(
                    title.filter(|(x, y)| page.at(*x, *y) > 127).count() > 500,
                    "{name}/{file}: no title"
                );
            }
        }
    }
    assert!(measured >= 100, "{measured}");
}
