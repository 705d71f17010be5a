//! A motion as pictures, all of one size; its animated PNG; and the poster.

use kurbo::{Point, Rect, Size};
use rayon::prelude::*;

use crate::assembly::{Assembly, Motion};
use crate::drawing::view::Stage;
use crate::drawing::{Colour, Drawing, Figure, Mark, Operation, Part, Text, curve};
use crate::layers::hidden::Camera;
use crate::layers::{self, Kept};
use crate::motion::PoseState;
use crate::output::kit::{self, KitError, Source, View, staging};
use crate::output::png::{self, Raster};
use crate::output::{along, font};

/// Pictures to each leg of a motion, its beginning not counted.
const FRAMES_PER_LEG: usize = 8;
/// Longer side of an animated picture, pixels; how long each place is shown, and how long the ends are, ms and frames.
const ANIMATION_PIXELS: f64 = 480.0;
const FRAME_MS: u16 = 120;
const END_FRAMES: usize = 5;

/// From further aside than other pictures, so that the layers come apart; degrees.
const EXPLODED_YAW: f64 = 48.0;
const EXPLODED_PITCH: f64 = 24.0;

/// The poster: pixels, its margin, and the share of its width that the picture takes.
const POSTER: (u32, u32) = (1200, 630);
const POSTER_PIXELS_PER_MM: f64 = 10.0;
const POSTER_MARGIN: u32 = 40;
const POSTER_PICTURE: f64 = 0.58;
const POSTER_TITLE_MM: f64 = 7.0;
const POSTER_NOTE_MM: f64 = 3.6;

/// A motion in pictures.
#[derive(Debug, Clone, PartialEq)]
pub struct Frames {
    pub name: String,
    pub drawings: Vec<Drawing>,
}

/// The card at places along a motion, in a three-quarter view, every picture with the same bounds.
pub fn frames(assembly: &Assembly, motion: &Motion) -> Frames {
    let states: Vec<PoseState> =
        along::states(assembly, motion, FRAMES_PER_LEG).into_iter().map(|(_, state)| state).collect();
    let cards = layers::cards(assembly, &states, &Kept::default());
    let camera = View::ThreeQuarter.camera();
    let figures: Vec<Figure> = states
        .par_iter()
        .zip(&cards)
        .map(|(state, card)| Stage::new(assembly, staging(state, card)).picture(&motion.name, &camera, None))
        .collect();
    let bounds = figures.iter().map(|f| f.bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let drawings = figures.into_iter().map(|figure| Figure { bounds, ..figure }.alone()).collect();
    Frames { name: motion.name.clone(), drawings }
}

/// How far apart the layers of an exploded card lie, as a share of its longer side.
const EXPLODED_SHARE: f64 = 0.14;

/// A flat card with its layers drawn apart, each piece with its letter of the cut list; `None` for a card that lies flat in no
/// pose, or has but one layer.
pub fn exploded(source: &Source, title: &str) -> Option<Figure> {
    let mut poses = source.states.iter().zip(source.cards);
    let (state, card) =
        poses.find(|(state, card)| state.fault.is_none() && card.flat && card.contradiction.is_none())?;
    let mut levels: Vec<f64> = card.heights.clone();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|a, b| (*a - *b).abs() < crate::layers::hidden::SAME_DEPTH_MM);
    if levels.len() < 2 {
        return None;
    }
    let extent = state.extent(source.assembly);
    let gap = EXPLODED_SHARE * extent.width.max(extent.height);
    let level =
        |height: &f64| levels.partition_point(|l| *l < height - crate::layers::hidden::SAME_DEPTH_MM / 2.0);
    let heights = card.heights.iter().map(|h| level(h) as f64 * gap).collect();
    let mut apart = card.clone();
    apart.heights = heights;
    let stage = Stage::new(source.assembly, staging(state, &apart));
    let camera = Camera::turned(EXPLODED_YAW, EXPLODED_PITCH);
    let mut figure = stage.picture(title, &camera, None);
    figure.marks.extend(stage.piece_letters(&camera));
    Some(Figure::around(title, figure.marks, 4.0, font::typeface()))
}

/// The motion there and back as an animated PNG; `None` when nothing can be shown.
pub fn animation(frames: &Frames, file: &str) -> Result<Option<Vec<u8>>, KitError> {
    let Some(first) = frames.drawings.first() else { return Ok(None) };
    let fault = |e: png::RasterError| KitError { file: file.into(), why: e.to_string() };
    let longest = first.size.width.max(first.size.height).max(1.0);
    let drawn: Result<Vec<Raster>, _> =
        frames.drawings.par_iter().map(|d| png::render(d, ANIMATION_PIXELS / longest)).collect();
    let drawn = drawn.map_err(fault)?;
    let last = drawn.len() - 1;
    let there = 0..drawn.len();
    let back = (1..last.max(1)).rev();
    let held = |n: usize| if n == 0 || n == last { END_FRAMES } else { 1 };
    let played: Vec<Raster> = there
        .chain(back)
        .filter_map(|n| drawn.get(n).map(|raster| std::iter::repeat_n(raster.clone(), held(n))))
        .flatten()
        .collect();
    png::encode_animation(&played, FRAME_MS).map(Some).map_err(fault)
}

/// The card in its last pose beside its title and its size.
pub fn poster(source: &Source) -> Result<Vec<u8>, KitError> {
    let file = "poster.png";
    let fault = |e: png::RasterError| KitError { file: file.into(), why: e.to_string() };
    let (width, height) = POSTER;
    let mm = |pixels: u32| f64::from(pixels) / POSTER_PIXELS_PER_MM;
    let size = Size::new(mm(width), mm(height));
    let mut raster = png::render(&lettering(source, size), POSTER_PIXELS_PER_MM).map_err(fault)?;
    // The first and the last pose, to one scale, on the right.
    let reached = || source.states.iter().zip(source.cards).filter(|(s, _)| s.fault.is_none());
    let ends: Vec<_> = match (reached().next(), reached().next_back()) {
        (Some(first), Some(last)) if first.0.name != last.0.name => vec![first, last],
        (first, _) => first.into_iter().collect(),
    };
    let drawings: Vec<Drawing> = ends
        .into_iter()
        .map(|(state, card)| kit::pose_figure(source.assembly, state, card, View::ThreeQuarter).alone())
        .collect();
    let room = Size::new(
        f64::from(width) * POSTER_PICTURE - f64::from(POSTER_MARGIN),
        f64::from(height.saturating_sub(2 * POSTER_MARGIN)),
    );
    let across: f64 = drawings.iter().map(|d| d.size.width).sum();
    let tallest = drawings.iter().map(|d| d.size.height).fold(1.0, f64::max);
    let fine = (room.width / across.max(1.0)).min(room.height / tallest) * 0.99;
    let spare = (room.width - across * fine).max(0.0) / (drawings.len() as f64 + 1.0);
    let mut left = f64::from(width) * (1.0 - POSTER_PICTURE) + spare;
    for drawing in &drawings {
        let picture = png::render(drawing, fine).map_err(fault)?;
        let top = height.saturating_sub(picture.height) / 2;
        lay(&mut raster, &picture, left as u32, top);
        left += f64::from(picture.width) + spare;
    }
    png::encode(&raster).map_err(fault)
}

/// The words of the poster on its ground.
fn lettering(source: &Source, size: Size) -> Drawing {
    let typeface = font::typeface();
    let margin = f64::from(POSTER_MARGIN) / POSTER_PIXELS_PER_MM;
    let room = size.width * (1.0 - POSTER_PICTURE) - 2.0 * margin;
    let title = crate::drawing::text::printable(&source.assembly.title);
    let lines = typeface.wrap(&title, POSTER_TITLE_MM, room);
    let size_of = source.states.iter().find(|s| s.fault.is_none()).map(|s| s.extent(source.assembly));
    let note = size_of.map(|e| {
        let say = |mm: f64| crate::quantity::say_length(mm, source.assembly.units);
        format!("{} × {}", say(e.width), say(e.height))
    });
    let leading = POSTER_TITLE_MM * 1.25;
    let whole = leading * lines.len() as f64 + POSTER_NOTE_MM * 2.0;
    let mut at = Point::new(margin, (size.height - whole) / 2.0 + POSTER_TITLE_MM);
    let mut marks = vec![Mark::fill(Operation::Artwork, curve::rectangle(size.to_rect()), Colour::WHITE)];
    for line in lines {
        let line = typeface.shorten(&line, POSTER_TITLE_MM, room);
        marks.push(Mark::text(Operation::Legend, Text::new(&line, at, POSTER_TITLE_MM)));
        at.y += leading;
    }
    if let Some(note) = note {
        at.y += POSTER_NOTE_MM * 0.4;
        marks.push(Mark::text(Operation::Legend, Text::new(&note, at, POSTER_NOTE_MM).grey(0.3)));
    }
    Drawing { title, size, parts: vec![Part { clip: None, marks }] }
}

/// Lays an opaque picture onto another.
fn lay(onto: &mut Raster, picture: &Raster, left: u32, top: u32) {
    let at = |x: u32, y: u32, width: u32| (y as usize * width as usize + x as usize) * 4;
    for y in 0..picture.height.min(onto.height.saturating_sub(top)) {
        let count = picture.width.min(onto.width.saturating_sub(left)) as usize * 4;
        let (from, to) = (at(0, y, picture.width), at(left, top + y, onto.width));
        if let (Some(row), Some(place)) =
            (picture.pixels.get(from..from + count), onto.pixels.get_mut(to..to + count))
        {
            place.copy_from_slice(row);
        }
    }
}

/// How the guide looks at a card to say what shows of it.
pub fn straight() -> Camera {
    Camera::front()
}
