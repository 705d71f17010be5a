//! The bundled font embedded in a document: only the glyphs used, as TrueType, with a map back to characters.
//!
//! Characters are numbered in their own order (code 1 is the lowest), and a map leads from these numbers to glyphs. A
//! character the font lacks shows as an empty box but can still be copied and searched.

use super::{Numbers, packed, packed_stream};
use crate::output::fingerprint::fingerprint;
use crate::output::font;
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use std::collections::{BTreeMap, BTreeSet};
use subsetter::GlyphRemapper;

const ORDERING: SystemInfo<'static> =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
/// Width of the upright stems, in thousandths of an em (the vertical stems of Noto Sans Regular).
const STEM_WIDTH: f32 = 90.0;

pub struct EmbeddedFont {
    /// The code of each character.
    codes: BTreeMap<char, u16>,
    /// The glyph of each code in the subset; code 0 and the codes of missing characters lead to the empty box.
    glyphs: Vec<u16>,
    file: Vec<u8>,
}

impl EmbeddedFont {
    pub fn new(characters: &BTreeSet<char>) -> EmbeddedFont {
        let mut remapper = GlyphRemapper::new();
        let mut codes = BTreeMap::new();
        let mut glyphs = vec![0];
        // Codes have two bytes; a document cannot use more characters than the basic plane has.
        for (code, character) in (1..u16::MAX).zip(characters) {
            codes.insert(*character, code);
            glyphs.push(font::glyph(*character).map_or(0, |glyph| remapper.remap(glyph)));
        }
        // The bundled font is well formed (a test subsets it); were it not, the whole file would do with its own glyphs.
        let file = subsetter::subset(font::BYTES, 0, &remapper).unwrap_or_else(|_| {
            let whole = |character: &char| font::glyph(*character).unwrap_or(0);
            glyphs = std::iter::once(0).chain(codes.keys().map(whole)).collect();
            font::BYTES.to_vec()
        });
        EmbeddedFont { codes, glyphs, file }
    }

    /// Text as the two-byte codes of this font.
    pub fn codes(&self, text: &str) -> Vec<u8> {
        text.chars()
            .flat_map(|character| self.codes.get(&character).copied().unwrap_or(0).to_be_bytes())
            .collect()
    }

    pub fn write(&self, pdf: &mut Pdf, id: Ref, numbers: &mut Numbers) {
        let (descendant, descriptor, file, to_glyphs, to_unicode) =
            (numbers.next(), numbers.next(), numbers.next(), numbers.next(), numbers.next());
        let name = self.name();
        pdf.type0_font(id)
            .base_font(Name(name.as_bytes()))
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(to_unicode);

        let mut descendant = pdf.cid_font(descendant);
        descendant
            .subtype(CidFontType::Type2)
            .base_font(Name(name.as_bytes()))
            .system_info(ORDERING)
            .font_descriptor(descriptor)
            .default_width(thousandths(font::typeface().missing))
            .cid_to_gid_map_stream(to_glyphs);
        let widths = self.codes.keys().map(|character| thousandths(font::typeface().advance(*character)));
        descendant.widths().consecutive(1, widths);
        descendant.finish();

        self.write_descriptor(pdf, descriptor, file, &name);
        let bytes = packed(&self.file);
        let mut stream = pdf.stream(file, &bytes);
        stream.filter(Filter::FlateDecode);
        stream.pair(Name(b"Length1"), self.file.len() as i32);
        stream.finish();
        let map: Vec<u8> = self.glyphs.iter().flat_map(|glyph| glyph.to_be_bytes()).collect();
        packed_stream(pdf, to_glyphs, &map);
        let mut unicode = UnicodeCmap::<u16>::new(Name(b"Plica-Unicode"), ORDERING);
        for (character, code) in &self.codes {
            unicode.pair(*code, *character);
        }
        packed_stream(pdf, to_unicode, &unicode.finish());
    }

    fn write_descriptor(&self, pdf: &mut Pdf, id: Ref, file: Ref, name: &str) {
        let measures = font::measures();
        let [x0, y0, x1, y1] = measures.bounds.map(|value| value as f32);
        pdf.font_descriptor(id)
            .name(Name(name.as_bytes()))
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(x0, y0, x1, y1))
            .italic_angle(0.0)
            .ascent(measures.ascent as f32)
            .descent(measures.descent as f32)
            .cap_height(measures.cap_height as f32)
            .stem_v(STEM_WIDTH)
            .font_file2(file);
    }

    /// A subset's name begins with six capitals (ISO 32000-1, 9.6.4), here taken from a hash of its glyphs.
    fn name(&self) -> String {
        let mut hash = fingerprint(&self.file);
        let mut tag = String::new();
        for _ in 0..6 {
            tag.push((b'A' + (hash % 26) as u8) as char);
            hash /= 26;
        }
        format!("{tag}+{}", font::POSTSCRIPT_NAME)
    }
}

fn thousandths(em: f64) -> f32 {
    (em * 1000.0) as f32
}
