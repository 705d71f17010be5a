//! Pictures in pixels: the SVG of a drawing, rendered with the bundled font and no other. Portable Network Graphics, and
//! its animated form for motions.

use super::{font, svg};
use crate::drawing::picture::{Cells, MOST_CELLS};
use crate::drawing::{Colour, Drawing};
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
    Ok(raster(&pixmap))
}

/// An SVG as the tree that is rendered: every length in CSS pixels (96 to the inch), text laid out in the bundled font.
pub fn parse(svg: &str) -> Result<usvg::Tree, RasterError> {
    let options = usvg::Options {
        // Nothing is read from the disk, whatever a picture names.
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_string: Box::new(|_, _| None),
            ..usvg::ImageHrefResolver::default()
        },
        font_family: font::FAMILY.to_owned(),
        fontdb: Arc::clone(&FONTS),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|error| RasterError::Refused(error.to_string()))
}

/// A printed picture (PNG or SVG) as cells: every cell has the mean colour of what it covers.
pub fn cells(bytes: &[u8]) -> Option<Cells> {
    let raster = decode(bytes).or_else(|| from_svg(bytes, 4 * MOST_CELLS))?;
    let longest = raster.width.max(raster.height).max(1);
    let share = f64::from(MOST_CELLS.min(longest)) / f64::from(longest);
    let count = |pixels: u32| ((f64::from(pixels) * share).round() as u32).max(1);
    let (columns, rows) = (count(raster.width), count(raster.height));
    let span = |index: u32, cells: u32, pixels: u32| {
        let from = u64::from(index) * u64::from(pixels) / u64::from(cells);
        let to = u64::from(index + 1) * u64::from(pixels) / u64::from(cells);
        from..to.max(from + 1)
    };
    let mut colours = Vec::with_capacity(columns as usize * rows as usize);
    for row in 0..rows {
        for column in 0..columns {
            let mut sum = [0_u64; 4];
            let mut count = 0;
            for y in span(row, rows, raster.height) {
                for x in span(column, columns, raster.width) {
                    let at = (y * u64::from(raster.width) + x) as usize * 4;
                    let Some([red, green, blue, opacity]) = raster.pixels.get(at..at + 4) else { continue };
                    let weight = u64::from(*opacity);
                    for (total, channel) in sum.iter_mut().zip([red, green, blue]) {
                        *total += u64::from(*channel) * weight;
                    }
                    sum[3] += weight;
                    count += 1;
                }
            }
            let mean = |total: u64| (total / sum[3].max(1)) as u8;
            // A cell that is less than half covered lets the paper show.
            let covered = count > 0 && sum[3] * 2 >= count * 255;
            colours.push(covered.then(|| Colour {
                red: mean(sum[0]),
                green: mean(sum[1]),
                blue: mean(sum[2]),
            }));
        }
    }
    Some(Cells { columns: columns as usize, rows: rows as usize, colours })
}

/// The pixels of a PNG file; `None` when it is none, or larger than [`MOST_PIXELS`].
pub fn decode(bytes: &[u8]) -> Option<Raster> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().ok()?;
    let (width, height) = (reader.info().width, reader.info().height);
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return None;
    }
    let mut data = vec![0; reader.output_buffer_size()?];
    let frame = reader.next_frame(&mut data).ok()?;
    data.truncate(frame.buffer_size());
    let rgba = |pixel: &[u8]| -> [u8; 4] {
        match *pixel {
            [grey] => [grey, grey, grey, 255],
            [grey, opacity] => [grey, grey, grey, opacity],
            [red, green, blue] => [red, green, blue, 255],
            [red, green, blue, opacity] => [red, green, blue, opacity],
            _ => [0; 4],
        }
    };
    let pixels = data.chunks(frame.color_type.samples()).flat_map(rgba).collect();
    Some(Raster { width: frame.width, height: frame.height, pixels })
}

/// A picture with its outermost pixels drawn on beyond its box, for what is cut along its edge.
pub struct Spilled {
    pub raster: Raster,
    /// How far beyond the box, mm, across and down.
    pub spill: (f64, f64),
}

/// Pixels to the inch at which drawings are printed.
const PRINT_DPI: f64 = 300.0;
/// A drawing has no more pixels than this along its longer side when it is printed.
const MOST_PRINTED: u32 = 4000;

/// A picture (PNG or SVG) of a size on paper, its edges drawn on by at least `spill` mm; `None` when it cannot be read.
pub fn spilled(bytes: &[u8], size: kurbo::Size, spill: f64) -> Option<Spilled> {
    let longest = (size.width.max(size.height) / 25.4 * PRINT_DPI).ceil().clamp(1.0, f64::from(MOST_PRINTED));
    let raster = decode(bytes).or_else(|| from_svg(bytes, longest as u32))?;
    let (width, height) = (raster.width, raster.height);
    // Beyond a picture's own size there is nothing worth drawing on.
    let pixels = |mm: f64, count: u32| ((spill / mm * f64::from(count)).ceil() as u32).min(4 * count);
    let (across, down) = (pixels(size.width, width), pixels(size.height, height));
    let mut spilled = Raster { width: width + 2 * across, height: height + 2 * down, pixels: Vec::new() };
    if u64::from(spilled.width) * u64::from(spilled.height) > MOST_PIXELS {
        return None;
    }
    spilled.pixels.reserve(spilled.width as usize * spilled.height as usize * 4);
    for y in 0..spilled.height {
        let row = y.saturating_sub(down).min(height - 1);
        for x in 0..spilled.width {
            let column = x.saturating_sub(across).min(width - 1);
            let at = (row as usize * width as usize + column as usize) * 4;
            spilled.pixels.extend(raster.pixels.get(at..at + 4)?);
        }
    }
    let mm = |pixels: u32, mm: f64, count: u32| f64::from(pixels) * mm / f64::from(count);
    Some(Spilled { raster: spilled, spill: (mm(across, size.width, width), mm(down, size.height, height)) })
}

/// An SVG with so many pixels along its longer side.
fn from_svg(bytes: &[u8], longest: u32) -> Option<Raster> {
    let tree = parse(std::str::from_utf8(bytes).ok()?).ok()?;
    let size = tree.size();
    let scale = longest as f32 / size.width().max(size.height());
    let pixels = |length: f32| ((length * scale).ceil() as u32).clamp(1, longest);
    let mut pixmap = Pixmap::new(pixels(size.width()), pixels(size.height()))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    Some(raster(&pixmap))
}

fn raster(pixmap: &Pixmap) -> Raster {
    let pixels = pixmap.pixels().iter().flat_map(|pixel| {
        let colour = pixel.demultiply();
        [colour.red(), colour.green(), colour.blue(), colour.alpha()]
    });
    Raster { width: pixmap.width(), height: pixmap.height(), pixels: pixels.collect() }
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
