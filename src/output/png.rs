//! Pictures in pixels: the SVG of a drawing, rendered with the bundled font and no other. Portable Network Graphics, and
//! its animated form for motions.

use super::{font, svg};
use crate::drawing::Drawing;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg;
use std::fmt;
use std::sync::{Arc, LazyLock};

/// Pixels, row by row from the top left, four bytes each: red, green, blue, opacity (not premultiplied).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Raster {
    pub width: u32,
    pub height: u32,
    pub pixels: Vec<u8>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RasterError {
    /// The picture would have no pixels, or more than [`MOST_PIXELS`].
    Size { width: u64, height: u64 },
    /// Frames of an animation differ in size, or there are none.
    Frames,
    /// A library refused its input; the text is the library's.
    Refused(String),
}

impl fmt::Display for RasterError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RasterError::Size { width, height } => {
                write!(formatter, "a picture of {width} by {height} pixels cannot be drawn")
            }
            RasterError::Frames => write!(formatter, "an animation needs frames of one size"),
            RasterError::Refused(reason) => write!(formatter, "the picture could not be drawn: {reason}"),
        }
    }
}

impl std::error::Error for RasterError {}

/// Above this a picture is refused: 64 million pixels are a quarter of a gigabyte.
pub const MOST_PIXELS: u64 = 64_000_000;

static FONTS: LazyLock<Arc<usvg::fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(font::BYTES.to_vec());
    fonts.set_sans_serif_family(font::FAMILY);
    Arc::new(fonts)
});

/// The drawing on white, as a PNG file.
pub fn write(drawing: &Drawing, pixels_per_mm: f64) -> Result<Vec<u8>, RasterError> {
    encode(&render(drawing, pixels_per_mm)?)
}

/// The drawing on white, as pixels.
pub fn render(drawing: &Drawing, pixels_per_mm: f64) -> Result<Raster, RasterError> {
    let pixels = |mm: f64| (mm * pixels_per_mm).ceil().max(0.0) as u64;
    let (width, height) = (pixels(drawing.size.width), pixels(drawing.size.height));
    let refused = RasterError::Size { width, height };
    if width == 0 || height == 0 || width.saturating_mul(height) > MOST_PIXELS {
        return Err(refused);
    }
    let tree = parse(&svg::write(drawing))?;
    let mut pixmap = Pixmap::new(width as u32, height as u32).ok_or(refused)?;
    pixmap.fill(Color::WHITE);
    let scale_x = width as f32 / tree.size().width();
    let scale_y = height as f32 / tree.size().height();
    resvg::render(&tree, Transform::from_scale(scale_x, scale_y), &mut pixmap.as_mut());
    let pixels = pixmap.pixels().iter().flat_map(|pixel| {
        let colour = pixel.demultiply();
        [colour.red(), colour.green(), colour.blue(), colour.alpha()]
    });
    Ok(Raster { width: width as u32, height: height as u32, pixels: pixels.collect() })
}

/// An SVG as the tree that is rendered: every length in CSS pixels (96 to the inch), text laid out in the bundled font.
pub fn parse(svg: &str) -> Result<usvg::Tree, RasterError> {
    let options = usvg::Options {
        font_family: font::FAMILY.to_owned(),
        fontdb: Arc::clone(&FONTS),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|error| RasterError::Refused(error.to_string()))
}

pub fn encode(raster: &Raster) -> Result<Vec<u8>, RasterError> {
    encode_frames(std::slice::from_ref(raster), None)
}

/// An animated PNG that plays for ever, each frame shown for `milliseconds`.
pub fn encode_animation(frames: &[Raster], milliseconds: u16) -> Result<Vec<u8>, RasterError> {
    encode_frames(frames, Some(milliseconds))
}

fn encode_frames(frames: &[Raster], milliseconds: Option<u16>) -> Result<Vec<u8>, RasterError> {
    let first = frames.first().ok_or(RasterError::Frames)?;
    if frames.iter().any(|frame| (frame.width, frame.height) != (first.width, first.height)) {
        return Err(RasterError::Frames);
    }
    let mut bytes = Vec::new();
    write_frames(&mut bytes, first, frames, milliseconds)
        .map_err(|error| RasterError::Refused(error.to_string()))?;
    Ok(bytes)
}

fn write_frames(
    bytes: &mut Vec<u8>,
    first: &Raster,
    frames: &[Raster],
    milliseconds: Option<u16>,
) -> Result<(), png::EncodingError> {
    let mut encoder = png::Encoder::new(bytes, first.width, first.height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    if let (Some(milliseconds), Ok(count)) = (milliseconds, u32::try_from(frames.len())) {
        encoder.set_animated(count, 0)?;
        encoder.set_frame_delay(milliseconds, 1000)?;
    }
    let mut writer = encoder.write_header()?;
    for frame in frames {
        writer.write_image_data(&frame.pixels)?;
    }
    writer.finish()
}
