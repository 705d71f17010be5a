//! Scalable vector graphics: a drawing at true size. Width and height are in mm and the view box counts mm, so that a user
//! unit is a millimetre. One group per operation; text stays text.

use super::fingerprint::fingerprint;
use super::{data, font, png};
use crate::drawing::line::LineKind;
use crate::drawing::{Anchor, Drawing, Image, Ink, Mark, Operation, Paint, Text};
use kurbo::{BezPath, PathEl, Point, Rect, Size};
use std::fmt::Write;
use xmlwriter::{Indent, Options, XmlWriter};

/// Families to fall back on where the bundled one is not installed. Each text states its length, so that another face
/// takes the same room.
const FALLBACK_FAMILIES: &str = "'Plica Sans', 'Noto Sans', 'DejaVu Sans', Arial, sans-serif";

/// The drawing as an SVG 1.1 file.
pub fn write(drawing: &Drawing) -> String {
    let mut xml = XmlWriter::new(Options { indent: Indent::Spaces(1), ..Options::default() });
    xml.write_declaration();
    xml.start_element("svg");
    xml.write_attribute("xmlns", "http://www.w3.org/2000/svg");
    xml.write_attribute("width", &format!("{}mm", number(drawing.size.width)));
    xml.write_attribute("height", &format!("{}mm", number(drawing.size.height)));
    view_box(&mut xml, drawing.size);
    xml.write_attribute("font-family", FALLBACK_FAMILIES);
    said(&mut xml, "title", None, &drawing.title);
    clips(&mut xml, drawing, "");
    for operation in drawing.operations() {
        xml.start_element("g");
        xml.write_attribute("id", operation.id());
        xml.write_attribute("aria-label", operation.name());
        marks_of(&mut xml, drawing, operation, "");
        xml.end_element();
    }
    xml.end_document()
}

/// What a drawing inside a page is called, and what it shows; for those who hear the page.
#[derive(Debug, Clone, Copy)]
pub struct Spoken<'a> {
    /// Unique on the page.
    pub id: &'a str,
    pub title: &'a str,
    pub description: &'a str,
}

/// Drawings of one size as one `svg` element of an HTML page, each a group of the class `frame`; every one but the first
/// is of the class `later` too.
pub fn inline(frames: &[Drawing], spoken: &Spoken) -> String {
    let mut xml = XmlWriter::new(Options { indent: Indent::None, ..Options::default() });
    let (title, description) = (format!("{}-title", spoken.id), format!("{}-text", spoken.id));
    xml.start_element("svg");
    xml.write_attribute("role", "img");
    xml.write_attribute("aria-labelledby", &format!("{title} {description}"));
    view_box(&mut xml, frames.first().map_or(Size::ZERO, |f| f.size));
    xml.write_attribute("font-family", FALLBACK_FAMILIES);
    said(&mut xml, "title", Some(&title), spoken.title);
    said(&mut xml, "desc", Some(&description), spoken.description);
    for (number, frame) in frames.iter().enumerate() {
        let prefix = format!("{}-{number}-", spoken.id);
        xml.start_element("g");
        xml.write_attribute("class", if number == 0 { "frame" } else { "frame later" });
        clips(&mut xml, frame, &prefix);
        for operation in frame.operations() {
            marks_of(&mut xml, frame, operation, &prefix);
        }
        xml.end_element();
    }
    xml.end_document()
}

fn view_box(xml: &mut XmlWriter, size: Size) {
    xml.write_attribute("viewBox", &format!("0 0 {} {}", number(size.width), number(size.height)));
}

/// A title or a description.
fn said(xml: &mut XmlWriter, element: &str, id: Option<&str>, text: &str) {
    xml.start_element(element);
    if let Some(id) = id {
        xml.write_attribute("id", id);
    }
    xml.set_preserve_whitespaces(true);
    xml.write_text(&escaped(&crate::drawing::text::printable(text)));
    xml.end_element();
    xml.set_preserve_whitespaces(false);
}

fn clips(xml: &mut XmlWriter, drawing: &Drawing, prefix: &str) {
    let clipped = drawing.parts.iter().enumerate().filter_map(|(index, part)| Some((index, part.clip?)));
    for (index, Rect { x0, y0, x1, y1 }) in clipped {
        xml.start_element("clipPath");
        xml.write_attribute("id", &clip_id(prefix, index));
        xml.start_element("rect");
        for (name, value) in [("x", x0), ("y", y0), ("width", x1 - x0), ("height", y1 - y0)] {
            xml.write_attribute(name, &number(value));
        }
        xml.end_element();
        xml.end_element();
    }
}

fn clip_id(prefix: &str, part: usize) -> String {
    format!("{prefix}window-{}", part + 1)
}

fn marks_of(xml: &mut XmlWriter, drawing: &Drawing, operation: Operation, prefix: &str) {
    for (index, part) in drawing.parts.iter().enumerate() {
        let marks: Vec<&Mark> = part.marks.iter().filter(|mark| mark.operation == operation).collect();
        if marks.is_empty() {
            continue;
        }
        if part.clip.is_some() {
            xml.start_element("g");
            xml.write_attribute("clip-path", &format!("url(#{})", clip_id(prefix, index)));
        }
        for mark in marks {
            write_mark(xml, mark);
        }
        if part.clip.is_some() {
            xml.end_element();
        }
    }
}

fn write_mark(xml: &mut XmlWriter, mark: &Mark) {
    match &mark.ink {
        Ink::Line { path, kind } => line(xml, path, *kind),
        Ink::Fill { path, paint } => fill(xml, path, *paint),
        Ink::Text(text) => write_text(xml, text),
        Ink::Image(image) => write_image(xml, image),
    }
}

fn line(xml: &mut XmlWriter, path: &BezPath, kind: LineKind) {
    let stroke = kind.stroke();
    xml.start_element("path");
    xml.write_attribute("d", &path_data(path));
    xml.write_attribute("fill", "none");
    xml.write_attribute("stroke", &grey(stroke.grey));
    xml.write_attribute("stroke-width", &number(stroke.width));
    if let Some(dashes) = kind.dashes(path) {
        let lengths: Vec<String> = dashes.iter().map(|length| number(*length)).collect();
        xml.write_attribute("stroke-dasharray", &lengths.join(" "));
    }
    xml.end_element();
}

fn fill(xml: &mut XmlWriter, path: &BezPath, paint: Paint) {
    let colour = paint.colour;
    xml.start_element("path");
    xml.write_attribute("d", &path_data(path));
    xml.write_attribute("fill", &format!("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue));
    xml.write_attribute("fill-rule", "evenodd");
    if paint.opacity < 100 {
        xml.write_attribute("fill-opacity", &number(f64::from(paint.opacity) / 100.0));
    }
    xml.end_element();
}

/// The picture itself, in an element of its own that holds its clip.
fn write_image(xml: &mut XmlWriter, image: &Image) {
    let Some(spilled) = png::spilled(&image.bytes, image.size, image.spill) else { return };
    let Ok(bytes) = png::encode(&spilled.raster) else { return };
    let id = format!("picture-{:016x}", fingerprint(path_data(&image.clip).as_bytes()));
    xml.start_element("clipPath");
    xml.write_attribute("id", &id);
    xml.start_element("path");
    xml.write_attribute("d", &path_data(&image.clip));
    xml.write_attribute("clip-rule", "evenodd");
    xml.end_element();
    xml.end_element();
    xml.start_element("g");
    xml.write_attribute("clip-path", &format!("url(#{id})"));
    xml.start_element("image");
    let (across, down) = spilled.spill;
    let parts = [
        ("x", -across),
        ("y", -down),
        ("width", image.size.width + 2.0 * across),
        ("height", image.size.height + 2.0 * down),
    ];
    for (name, value) in parts {
        xml.write_attribute(name, &number(value));
    }
    xml.write_attribute("preserveAspectRatio", "none");
    let place: Vec<String> = image.place.as_coeffs().iter().map(|c| format!("{c:.6}")).collect();
    xml.write_attribute("transform", &format!("matrix({})", place.join(" ")));
    xml.write_attribute("href", &data::uri("image/png", &bytes));
    xml.end_element();
    xml.end_element();
}

fn write_text(xml: &mut XmlWriter, text: &Text) {
    if text.content().trim().is_empty() {
        return;
    }
    xml.start_element("text");
    xml.write_attribute("x", &number(text.at.x));
    xml.write_attribute("y", &number(text.at.y));
    xml.write_attribute("font-size", &number(text.size));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => xml.write_attribute("text-anchor", "middle"),
        Anchor::End => xml.write_attribute("text-anchor", "end"),
    }
    xml.write_attribute("textLength", &number(font::typeface().width(text.content(), text.size)));
    xml.write_attribute("lengthAdjust", "spacingAndGlyphs");
    if text.grey > 0.0 {
        xml.write_attribute("fill", &grey(text.grey));
    }
    if text.rotation != 0.0 {
        let turn = format!("rotate({} {} {})", number(text.rotation), number(text.at.x), number(text.at.y));
        xml.write_attribute("transform", &turn);
    }
    xml.set_preserve_whitespaces(true);
    xml.write_text(&escaped(text.content()));
    xml.end_element();
    xml.set_preserve_whitespaces(false);
}

/// The writer escapes `<` only; `]]>` must not stand in text either.
pub(super) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('>', "&gt;")
}

fn grey(level: f64) -> String {
    let byte = (level.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{byte:02x}{byte:02x}{byte:02x}")
}

/// SVG path data in mm.
pub fn path_data(path: &BezPath) -> String {
    let mut data = String::new();
    for element in path.elements() {
        let (letter, points): (char, &[Point]) = match element {
            PathEl::MoveTo(to) => ('M', &[*to]),
            PathEl::LineTo(to) => ('L', &[*to]),
            PathEl::QuadTo(a, to) => ('Q', &[*a, *to]),
            PathEl::CurveTo(a, b, to) => ('C', &[*a, *b, *to]),
            PathEl::ClosePath => ('Z', &[]),
        };
        data.push(letter);
        for (index, point) in points.iter().enumerate() {
            let gap = if index == 0 { "" } else { " " };
            // Writing to a string cannot fail.
            let _ = write!(data, "{gap}{} {}", number(point.x), number(point.y));
        }
    }
    data
}

/// Millimetres to the micrometre, without trailing zeros; never `-0`, and nothing but digits for any input.
pub fn number(value: f64) -> String {
    let finite = if value.is_finite() { value } else { 0.0 };
    let text = format!("{finite:.3}");
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    if trimmed == "-0" { "0".to_owned() } else { trimmed.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_negative_zero() {
        assert_eq!(
            [number(210.0), number(-0.0001), number(1.2346), number(f64::NAN)],
            ["210", "0", "1.235", "0"]
        );
    }
}
