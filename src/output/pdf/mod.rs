//! Portable Document Format (ISO 32000-1, version 1.7): pages at true size, to print and to read.
//!
//! Each operation is an optional-content layer; the processing steps among them carry the metadata of ISO 19593-1, so that
//! a cutting machine's software can find them. The bundled font is embedded as a subset and its text can be selected and
//! searched. The document asks for no scaling when printed, has bookmarks, page labels, a title and a language. Its
//! identifier is a hash of its own content, and it holds no date: the same pages give the same bytes.

mod content;
mod images;
mod layers;
mod typeface;

use crate::drawing::pages::Page;
use crate::drawing::text::printable;
use crate::drawing::{Ink, Operation};
use crate::output::fingerprint::fingerprint;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use images::Images;
use layers::Layers;
use pdf_writer::types::NumberingStyle;
use pdf_writer::writers::PageLabel;
use pdf_writer::{Finish, Name, Pdf, Rect, Ref, TextStr};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use typeface::EmbeddedFont;

/// Default user space units in a millimetre (ISO 32000-1, 8.3.2.3: 72 units to the inch).
pub const UNITS_PER_MM: f64 = 72.0 / 25.4;

/// Pages and what is said about them.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    pub title: String,
    /// A language tag of RFC 3066, such as `en`.
    pub language: String,
    /// Every page is followed by its back, to be printed on both sides of the paper.
    pub two_sided: bool,
    pub pages: Vec<Page>,
}

/// Hands out object numbers.
struct Numbers(i32);

impl Numbers {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// What every page refers to.
struct Shared {
    font: EmbeddedFont,
    font_ref: Ref,
    layers: Layers,
    /// Graphics states by opacity in per cent.
    opacities: BTreeMap<u8, Ref>,
    images: Images,
}

struct PageRefs {
    page: Ref,
    content: Ref,
    bookmark: Ref,
    label: Ref,
}

/// The document as a PDF file.
pub fn write(document: &Document) -> Vec<u8> {
    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    let mut numbers = Numbers(0);
    let (catalog, tree, info, outline) = (numbers.next(), numbers.next(), numbers.next(), numbers.next());
    let refs: Vec<PageRefs> = document
        .pages
        .iter()
        .map(|_| PageRefs {
            page: numbers.next(),
            content: numbers.next(),
            bookmark: numbers.next(),
            label: numbers.next(),
        })
        .collect();
    let shared = shared(document, &mut numbers);

    write_catalog(&mut pdf, document, (catalog, tree, outline), &refs, &shared.layers);
    write_info(&mut pdf, info, document);
    pdf.pages(tree).kids(refs.iter().map(|refs| refs.page)).count(refs.len() as i32);
    for (page, refs) in document.pages.iter().zip(&refs) {
        write_page(&mut pdf, page, refs, tree, &shared);
    }
    write_outline(&mut pdf, outline, document, &refs);
    shared.layers.write(&mut pdf);
    for (opacity, state) in &shared.opacities {
        pdf.ext_graphics(*state).non_stroking_alpha(f32::from(*opacity) / 100.0);
    }
    shared.images.write(&mut pdf);
    shared.font.write(&mut pdf, shared.font_ref, &mut numbers);

    let identifier = fingerprint(pdf.as_bytes()).to_be_bytes().to_vec();
    pdf.set_file_id((identifier.clone(), identifier));
    pdf.finish()
}

fn shared(document: &Document, numbers: &mut Numbers) -> Shared {
    let drawings = || document.pages.iter().map(|page| &page.drawing);
    let inks =
        || drawings().flat_map(|drawing| &drawing.parts).flat_map(|part| &part.marks).map(|mark| &mark.ink);
    let characters: BTreeSet<char> = inks().flat_map(content::characters).collect();
    let pictures = inks().filter_map(|ink| match ink {
        Ink::Image(image) => Some(image),
        _ => None,
    });
    let opacities: BTreeSet<u8> = inks().filter_map(content::opacity).collect();
    let operations: BTreeSet<Operation> = drawings().flat_map(|drawing| drawing.operations()).collect();
    Shared {
        font: EmbeddedFont::new(&characters),
        font_ref: numbers.next(),
        layers: Layers::new(operations.into_iter().map(|operation| (operation, numbers.next())).collect()),
        opacities: opacities.into_iter().map(|opacity| (opacity, numbers.next())).collect(),
        images: Images::new(pictures, numbers),
    }
}

fn write_catalog(
    pdf: &mut Pdf,
    document: &Document,
    (id, tree, outline): (Ref, Ref, Ref),
    refs: &[PageRefs],
    layers: &Layers,
) {
    let mut catalog = pdf.catalog(id);
    catalog.pages(tree);
    catalog.lang(TextStr(&printable(&document.language)));
    if !refs.is_empty() {
        catalog.outlines(outline);
        let mut labels = catalog.page_labels();
        let mut numbers = labels.nums();
        for (index, refs) in refs.iter().enumerate() {
            numbers.insert(index as i32, refs.label);
        }
    }
    layers.write_properties(catalog.insert(Name(b"OCProperties")).dict());
    let mut preferences = catalog.viewer_preferences();
    preferences.display_doc_title(true);
    preferences.pair(Name(b"PrintScaling"), Name(b"None"));
    if document.two_sided {
        preferences.pair(Name(b"Duplex"), Name(b"DuplexFlipLongEdge"));
    }
    preferences.finish();
    catalog.finish();
    for (page, refs) in document.pages.iter().zip(refs) {
        write_label(pdf, refs.label, &page.label);
    }
}

/// A label that is a plain number is written as one, so that readers can count on from it.
fn write_label(pdf: &mut Pdf, id: Ref, label: &str) {
    let mut writer = pdf.indirect(id).start::<PageLabel>();
    match label.parse::<i32>() {
        Ok(number) if number >= 1 => {
            writer.style(NumberingStyle::Arabic).offset(number);
        }
        _ => {
            writer.prefix(TextStr(&printable(label)));
        }
    }
}

fn write_info(pdf: &mut Pdf, id: Ref, document: &Document) {
    pdf.document_info(id)
        .title(TextStr(&printable(&document.title)))
        .creator(TextStr("Plica"))
        .producer(TextStr("Plica"));
}

fn write_page(pdf: &mut Pdf, page: &Page, refs: &PageRefs, tree: Ref, shared: &Shared) {
    let size = page.drawing.size;
    let mut writer = pdf.page(refs.page);
    let units = |mm: f64| (mm * UNITS_PER_MM) as f32;
    writer.media_box(Rect::new(0.0, 0.0, units(size.width), units(size.height)));
    writer.parent(tree);
    writer.contents(refs.content);
    let mut resources = writer.resources();
    resources.fonts().pair(content::FONT_NAME, shared.font_ref);
    let mut states = resources.ext_g_states();
    for (opacity, state) in &shared.opacities {
        states.pair(Name(content::opacity_name(*opacity).as_bytes()), *state);
    }
    states.finish();
    let mut pictures = resources.x_objects();
    for (name, object) in shared.images.resources() {
        pictures.pair(Name(name.as_bytes()), object);
    }
    pictures.finish();
    shared.layers.write_resources(resources.insert(Name(b"Properties")).dict(), &page.drawing.operations());
    resources.finish();
    writer.finish();
    let bytes = content::write(&page.drawing, &shared.font, &shared.images);
    packed_stream(pdf, refs.content, &bytes);
}

fn write_outline(pdf: &mut Pdf, outline: Ref, document: &Document, refs: &[PageRefs]) {
    let (Some(first), Some(last)) = (refs.first(), refs.last()) else { return };
    pdf.outline(outline).first(first.bookmark).last(last.bookmark).count(refs.len() as i32);
    for (index, (page, this)) in document.pages.iter().zip(refs).enumerate() {
        let mut item = pdf.outline_item(this.bookmark);
        item.title(TextStr(&printable(&page.name))).parent(outline);
        if let Some(previous) = index.checked_sub(1).and_then(|index| refs.get(index)) {
            item.prev(previous.bookmark);
        }
        if let Some(next) = refs.get(index + 1) {
            item.next(next.bookmark);
        }
        item.dest().page(this.page).fit();
    }
}

fn packed_stream(pdf: &mut Pdf, id: Ref, bytes: &[u8]) {
    pdf.stream(id, &packed(bytes)).filter(pdf_writer::Filter::FlateDecode);
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    // Writing to memory does not fail.
    let _ = encoder.write_all(bytes);
    encoder.finish().unwrap_or_default()
}
