//! The bundled font: Plica Sans, a subset of Noto Sans with some signs (SIL Open Font License 1.1, see `OFL.txt`; made by
//! `make-font.py`). It is the only font any picture or page is drawn with.

use crate::drawing::Typeface;
use kurbo::{BezPath, Point};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The TrueType file.
pub static BYTES: &[u8] = include_bytes!("PlicaSans-Regular.ttf");
pub const FAMILY: &str = "Plica Sans";
pub const POSTSCRIPT_NAME: &str = "PlicaSans-Regular";

/// What the PDF font descriptor asks for, in thousandths of an em.
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    pub bounds: [f64; 4],
    pub ascent: f64,
    pub descent: f64,
    pub cap_height: f64,
}

struct Bundled {
    typeface: Typeface,
    glyphs: BTreeMap<char, u16>,
    measures: Measures,
}

static BUNDLED: LazyLock<Bundled> = LazyLock::new(|| match FontRef::new(BYTES) {
    Ok(font) => read(&font),
    // The tests read the file; a build without it draws no text but still draws.
    Err(_) => Bundled {
        typeface: typeface_of(BTreeMap::new(), 0.5, USUAL_CAP_HEIGHT),
        glyphs: BTreeMap::new(),
        measures: Measures { bounds: [0.0; 4], ascent: 0.0, descent: 0.0, cap_height: 0.0 },
    },
});

/// The widths and heights of the bundled font.
pub fn typeface() -> &'static Typeface {
    &BUNDLED.typeface
}

/// The glyph of a character; `None` when the font has none.
pub fn glyph(character: char) -> Option<u16> {
    BUNDLED.glyphs.get(&character).copied()
}

/// The outline of a line of text, its baseline starting at the origin, y down, for an em of 1; and its width in ems.
/// Signs that the font does not have are left blank.
pub fn lettering(text: &str) -> (BezPath, f64) {
    let mut path = BezPath::new();
    let mut at = 0.0;
    let Ok(font) = FontRef::new(BYTES) else { return (path, at) };
    let outlines = font.outline_glyphs();
    let units = f64::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em.max(1));
    for character in text.chars() {
        let mut pen = Pen { path: &mut path, at, units };
        let outline = glyph(character).and_then(|id| outlines.get(GlyphId::from(id)));
        if let Some(outline) = outline {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            // A damaged glyph is drawn as far as it goes.
            let _ = outline.draw(settings, &mut pen);
        }
        at += typeface().advance(character);
    }
    (path, at)
}

/// Takes a glyph's outline in font units, y up.
struct Pen<'a> {
    path: &'a mut BezPath,
    at: f64,
    units: f64,
}

impl Pen<'_> {
    fn place(&self, x: f32, y: f32) -> Point {
        Point::new(self.at + f64::from(x) / self.units, -f64::from(y) / self.units)
    }
}

impl OutlinePen for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        let to = self.place(x, y);
        self.path.move_to(to);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.place(x, y);
        self.path.line_to(to);
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        let (control, to) = (self.place(cx, cy), self.place(x, y));
        self.path.quad_to(control, to);
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let (first, second, to) = (self.place(ax, ay), self.place(bx, by), self.place(x, y));
        self.path.curve_to(first, second, to);
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}

pub fn measures() -> &'static Measures {
    &BUNDLED.measures
}

fn read(font: &FontRef) -> Bundled {
    // Font units, scaled here: a scaled size would be rounded to fixed point.
    let metrics = font.metrics(Size::unscaled(), LocationRef::default());
    let glyph_metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let ems = |units: f32| f64::from(units) / f64::from(metrics.units_per_em.max(1));
    let thousandths = |units: f32| ems(units) * 1000.0;
    let advance = |glyph| ems(glyph_metrics.advance_width(glyph).unwrap_or(0.0));
    let mut advances = BTreeMap::new();
    let mut glyphs = BTreeMap::new();
    for (code, glyph) in font.charmap().mappings() {
        if let (Some(character), Ok(id)) = (char::from_u32(code), u16::try_from(glyph.to_u32())) {
            advances.insert(character, advance(glyph));
            glyphs.insert(character, id);
        }
    }
    let bounds = metrics
        .bounds
        .map_or([0.0; 4], |bounds| [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max].map(thousandths));
    let cap_height = metrics.cap_height.map_or(USUAL_CAP_HEIGHT, ems);
    Bundled {
        typeface: typeface_of(advances, advance(GlyphId::NOTDEF), cap_height),
        glyphs,
        measures: Measures {
            bounds,
            ascent: thousandths(metrics.ascent),
            descent: thousandths(metrics.descent),
            cap_height: cap_height * 1000.0,
        },
    }
}

/// Of a sans serif face, in ems.
const USUAL_CAP_HEIGHT: f64 = 0.7;

fn typeface_of(advances: BTreeMap<char, f64>, missing: f64, cap_height: f64) -> Typeface {
    // The heights of l and p in this face; the font file states only heights that include line spacing.
    Typeface { family: FAMILY, advances, missing, cap_height, ascender: 0.77, descender: 0.24 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bundled_font_has_what_measurements_are_written_with() {
        assert!(typeface().covers("4 1/2 in × 10.5 mm ½¼¾⅛⅜⅝⅞ ′″ ±90° −1 ≤ ≥ → ↺ ✂ Å é ß Ω Ж № …“”–—"));
    }

    /// Advance widths of Noto Sans Regular, units 1/1000 em: digits are tabular, 572 [the upstream font's hmtx table].
    #[test]
    fn digits_are_tabular() {
        for digit in '0'..='9' {
            assert!((typeface().advance(digit) - 0.572).abs() < 1e-6);
        }
    }
}
