//! The content stream of one page: paths and text in default user space, y upward, 72 units to the inch.

use super::UNITS_PER_MM;
use super::images::Images;
use super::layers;
use super::typeface::EmbeddedFont;
use crate::drawing::line::LineKind;
use crate::drawing::{Drawing, Image, Ink, Mark, Operation, Paint, Part, Text};
use crate::output::font;
use kurbo::{BezPath, PathEl, Point, Rect};
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Str};

pub const FONT_NAME: Name<'static> = Name(b"Sans");

/// The characters of an ink.
pub fn characters(ink: &Ink) -> Vec<char> {
    match ink {
        Ink::Text(text) => text.content().chars().collect(),
        _ => Vec::new(),
    }
}

/// The opacity of an ink in per cent, where it lets through what lies beneath.
pub fn opacity(ink: &Ink) -> Option<u8> {
    match ink {
        Ink::Fill { paint, .. } if paint.opacity < 100 => Some(paint.opacity),
        _ => None,
    }
}

pub fn opacity_name(opacity: u8) -> String {
    format!("Opacity{opacity}")
}

pub fn write(drawing: &Drawing, font: &EmbeddedFont, images: &Images) -> Vec<u8> {
    let mut page = PageContent { content: Content::new(), height: drawing.size.height, font, images };
    page.content.set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::MiterJoin);
    for operation in drawing.operations() {
        page.layer(operation, &drawing.parts);
    }
    page.content.finish().into_vec()
}

struct PageContent<'a> {
    content: Content,
    /// Of the page, in mm.
    height: f64,
    font: &'a EmbeddedFont,
    images: &'a Images,
}

impl PageContent<'_> {
    fn layer(&mut self, operation: Operation, parts: &[Part]) {
        self.content
            .begin_marked_content_with_properties(Name(b"OC"))
            .properties_named(Name(layers::resource_name(operation).as_bytes()));
        for part in parts {
            let marks: Vec<&Mark> = part.marks.iter().filter(|mark| mark.operation == operation).collect();
            if marks.is_empty() {
                continue;
            }
            self.content.save_state();
            if let Some(clip) = part.clip {
                self.clip(clip);
            }
            for mark in marks {
                self.mark(mark);
            }
            self.content.restore_state();
        }
        self.content.end_marked_content();
    }

    fn clip(&mut self, rect: Rect) {
        let (x, y) = self.at(Point::new(rect.x0, rect.y1));
        self.content.rect(x, y, units(rect.width()), units(rect.height()));
        self.content.clip_nonzero().end_path();
    }

    fn mark(&mut self, mark: &Mark) {
        match &mark.ink {
            Ink::Line { path, kind } => self.line(path, *kind),
            Ink::Fill { path, paint } => self.fill(path, *paint),
            Ink::Text(text) => self.text(text),
            Ink::Image(image) => self.image(image),
        }
    }

    fn line(&mut self, path: &BezPath, kind: LineKind) {
        if path.elements().is_empty() {
            return;
        }
        let stroke = kind.stroke();
        let dashes = kind.dashes(path).unwrap_or_default();
        self.content.set_line_width(units(stroke.width));
        self.content.set_stroke_gray(stroke.grey as f32);
        self.content.set_dash_pattern(dashes.into_iter().map(units), 0.0);
        self.path(path);
        self.content.stroke();
    }

    fn fill(&mut self, path: &BezPath, paint: Paint) {
        if path.elements().is_empty() {
            return;
        }
        let channel = |byte: u8| f32::from(byte) / 255.0;
        let colour = paint.colour;
        let see_through = paint.opacity < 100;
        if see_through {
            self.content.save_state();
            self.content.set_parameters(Name(opacity_name(paint.opacity).as_bytes()));
        }
        if colour.red == colour.green && colour.green == colour.blue {
            self.content.set_fill_gray(channel(colour.red));
        } else {
            self.content.set_fill_rgb(channel(colour.red), channel(colour.green), channel(colour.blue));
        }
        self.path(path);
        self.content.fill_even_odd();
        if see_through {
            self.content.restore_state();
        }
    }

    fn path(&mut self, path: &BezPath) {
        let mut last = Point::ZERO;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(to) => {
                    let (x, y) = self.at(to);
                    self.content.move_to(x, y);
                }
                PathEl::LineTo(to) => {
                    let (x, y) = self.at(to);
                    self.content.line_to(x, y);
                }
                PathEl::QuadTo(handle, to) => {
                    // The same curve as a cubic: handles two thirds of the way.
                    self.cubic(last.lerp(handle, 2.0 / 3.0), to.lerp(handle, 2.0 / 3.0), to);
                }
                PathEl::CurveTo(first, second, to) => self.cubic(first, second, to),
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
            last = element.end_point().unwrap_or(last);
        }
    }

    fn cubic(&mut self, first: Point, second: Point, to: Point) {
        let ((x1, y1), (x2, y2), (x3, y3)) = (self.at(first), self.at(second), self.at(to));
        self.content.cubic_to(x1, y1, x2, y2, x3, y3);
    }

    fn text(&mut self, text: &Text) {
        if text.content().trim().is_empty() {
            return;
        }
        let [a, b, c, d, e, f] = text.placement(font::typeface()).as_coeffs();
        let (x, y) = self.at(Point::new(e, f));
        self.content.begin_text();
        self.content.set_fill_gray(text.grey as f32);
        self.content.set_font(FONT_NAME, units(text.size));
        self.content.set_text_matrix([a as f32, -b as f32, -c as f32, d as f32, x, y]);
        self.content.show(Str(&self.font.codes(text.content())));
        self.content.end_text();
    }

    fn image(&mut self, image: &Image) {
        let Some((name, (across, down))) = self.images.find(image) else { return };
        if image.clip.elements().is_empty() {
            return;
        }
        self.content.save_state();
        self.path(&image.clip);
        self.content.clip_even_odd().end_path();
        // An image fills the unit square, its first row at the top.
        let corner = |x: f64, y: f64| self.at(image.place * Point::new(x, y));
        let (right, bottom) = (image.size.width + across, image.size.height + down);
        let ((x0, y0), (x1, y1), (x2, y2)) =
            (corner(-across, bottom), corner(right, bottom), corner(-across, -down));
        self.content.transform([x1 - x0, y1 - y0, x2 - x0, y2 - y0, x0, y0]);
        self.content.x_object(Name(name.as_bytes()));
        self.content.restore_state();
    }

    fn at(&self, point: Point) -> (f32, f32) {
        (units(point.x), units(self.height - point.y))
    }
}

fn units(mm: f64) -> f32 {
    (mm * UNITS_PER_MM) as f32
}
