//! Everything `make` writes, as names and bytes: nets, pictures, paths for machines, bodies in space, cut list, model.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::cut_list::{CutList, Ruler};
use super::{cutting, dxf, font, gltf, guide, model, pdf, plan, png, svg};
use crate::assembly::{Assembly, Motion, PaperId, PieceId, PrintContent};
use crate::drawing::pages::{self, Group, Paper};
use crate::drawing::printed;
use crate::drawing::view::{Stage, Staging};
use crate::drawing::{Drawing, Figure, net};
use crate::layers::Card;
use crate::layers::hidden::Camera;
use crate::making;
use crate::motion::PoseState;
use crate::quantity::{Units, say_length};

/// Pictures are drawn this fine.
pub const PIXELS_PER_MM: f64 = 5.0;
/// No picture is larger than this across, so that a table-sized card does not make a wall-sized picture.
const MOST_PIXELS: f64 = 2400.0;
/// The three-quarter view, in degrees.
const YAW: f64 = 32.0;
const PITCH: f64 = 22.0;

/// What a kit is made from.
pub struct Source<'a> {
    pub assembly: &'a Assembly,
    /// By pose of the assembly.
    pub states: &'a [PoseState],
    pub cards: &'a [Card],
    pub inch: Ruler<'a>,
    pub metric: Ruler<'a>,
    /// How many cards are made at a time.
    pub copies: u32,
    /// The other sizes in which the design is offered.
    pub variants: Vec<Variant<'a>>,
}

/// The design with the values of one of its variants.
pub struct Variant<'a> {
    pub name: String,
    pub assembly: &'a Assembly,
    pub states: &'a [PoseState],
    /// No finding says that it does not work.
    pub sound: bool,
}

/// Something that could not be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct KitError {
    pub file: String,
    pub why: String,
}

/// The files of a kit by name. The same assembly gives the same bytes on every run and any number of threads.
pub fn kit(source: &Source) -> Result<BTreeMap<String, Vec<u8>>, KitError> {
    let assembly = source.assembly;
    let typeface = font::typeface();
    for print in &assembly.prints {
        if let PrintContent::Picture { file, bytes } = &print.content
            && png::cells(bytes).is_none()
        {
            return Err(KitError { file: file.clone(), why: "its picture is damaged or too large".into() });
        }
    }
    let nets: Vec<(String, Figure)> = (0..assembly.pieces.len())
        .into_par_iter()
        .filter_map(|id| {
            let piece = assembly.pieces.get(id)?;
            let figure = net::net(assembly, id, typeface)?;
            Some((format!("{}-{}", piece.letter, file_word(&piece.name)), figure))
        })
        .collect();
    let figures: Vec<Figure> = nets.iter().map(|(_, f)| f.clone()).collect();
    let headed: Vec<Figure> = figures.iter().map(|f| net::headed(f, typeface)).collect();
    let mut jobs: Vec<Job> = Vec::new();
    for ((name, _), figure) in nets.iter().zip(&headed) {
        jobs.push(Job::Svg(format!("nets/{name}.svg"), figure));
        jobs.push(Job::Png(format!("nets/{name}.png"), figure));
    }
    let (own, other) = match assembly.units {
        Units::Mm => (Paper::A4, Paper::Letter),
        Units::Inch => (Paper::Letter, Paper::A4),
    };
    let sets = paper_sets(assembly, figures);
    for set in &sets {
        jobs.push(Job::Pages(format!("{}.pdf", set.file), own, set));
        jobs.push(Job::Pages(format!("{}-{}.pdf", set.file, paper_word(other)), other, set));
    }
    for (state, card) in source.states.iter().zip(source.cards) {
        for view in [View::Front, View::Back, View::ThreeQuarter] {
            jobs.push(Job::Pose(state, card, view));
        }
    }
    jobs.extend((0..assembly.pieces.len()).map(Job::Cutting));
    jobs.extend((0..assembly.papers.len()).map(Job::Sheets));
    for (state, card) in source.states.iter().zip(source.cards) {
        jobs.push(Job::Body(state, card));
    }
    jobs.extend(assembly.motions.iter().map(Job::Motion));
    let ruler = if assembly.units == Units::Inch { &source.inch } else { &source.metric };
    let plans = plan::plans(ruler.assembly, ruler.step, source.copies);
    let sheets: Vec<(String, Figure)> = plans.iter().flat_map(|p| plan::sheets(ruler.assembly, p)).collect();
    for (name, figure) in &sheets {
        jobs.push(Job::Svg(format!("{name}.svg"), figure));
        jobs.push(Job::Png(format!("{name}.png"), figure));
    }
    let motions: Vec<guide::Frames> =
        assembly.motions.par_iter().map(|motion| guide::frames(assembly, motion)).collect();
    jobs.extend(motions.iter().map(Job::Animation));
    jobs.push(Job::Poster(source));
    let making = making::making(assembly, &making::words::English);
    let material = guide::Material { source, making: &making, plans: &plans, motions: &motions };
    let page = guide::guide(&material);
    jobs.extend(guide::own_pictures(&page).map(|p| Job::Drawing(&p.file, &p.drawing)));
    let drawn: Result<Vec<Vec<File>>, KitError> = jobs.par_iter().map(|job| job.run(assembly)).collect();
    let mut files: BTreeMap<String, Vec<u8>> = drawn?.into_iter().flatten().collect();
    let list = CutList::new(&source.inch, &source.metric);
    files.insert("cut-list.md".into(), list.markdown().into_bytes());
    files.insert("cut-list.csv".into(), list.csv().into_bytes());
    files.insert("sheet-plan.md".into(), plan::markdown(ruler.assembly, &plans).into_bytes());
    files.insert("guide.html".into(), guide::html(&page).into_bytes());
    files.insert("guide.md".into(), guide::markdown(&page).into_bytes());
    files.insert("model.json".into(), model::write(assembly).into_bytes());
    Ok(files)
}

/// Ways of looking at a pose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    Front,
    Back,
    ThreeQuarter,
}

impl View {
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::ThreeQuarter => "view",
        }
    }

    pub fn camera(self) -> Camera {
        match self {
            Self::Front => Camera::front(),
            Self::Back => Camera::back(),
            Self::ThreeQuarter => Camera::turned(YAW, PITCH),
        }
    }
}

/// A pose with the bundled lettering and the readers of printed pictures.
pub fn staging<'a>(state: &'a PoseState, card: &'a Card) -> Staging<'a> {
    Staging { state, card, lettering: &font::lettering, picture: &png::cells, typeface: font::typeface() }
}

/// A pose as it is drawn, with its sizes in the plain views.
pub fn pose_figure(assembly: &Assembly, state: &PoseState, card: &Card, view: View) -> Figure {
    let say = |mm: f64| say_length(mm, assembly.units);
    // Sizes belong to the plain views; in a turned one a length is not what it looks.
    let sizes: Option<&dyn Fn(f64) -> String> = (view != View::ThreeQuarter).then_some(&say);
    Stage::new(assembly, staging(state, card)).picture(&state.name, &view.camera(), sizes)
}

/// A pose with its sizes from any side: in a turned view they lie in the plane of the paper.
pub fn sized_figure(assembly: &Assembly, state: &PoseState, card: &Card, view: View) -> Figure {
    if view != View::ThreeQuarter {
        return pose_figure(assembly, state, card, view);
    }
    let say = |mm: f64| say_length(mm, assembly.units);
    Stage::new(assembly, staging(state, card)).sized_picture(&state.name, &view.camera(), &say)
}

/// The picture of a pose as a PNG.
pub fn picture(assembly: &Assembly, state: &PoseState, card: &Card, view: View) -> Result<Vec<u8>, KitError> {
    let figure = sized_figure(assembly, state, card, view);
    raster(&format!("pose-{}-{}.png", file_word(&state.name), view.word()), &figure)
}

/// Name and bytes.
type File = (String, Vec<u8>);

enum Job<'a> {
    Svg(String, &'a Figure),
    Png(String, &'a Figure),
    Pages(String, Paper, &'a PaperSet),
    Pose(&'a PoseState, &'a Card, View),
    /// What a machine follows on a piece.
    Cutting(PieceId),
    /// The same for the sheets of a paper.
    Sheets(PaperId),
    /// A pose in space.
    Body(&'a PoseState, &'a Card),
    Motion(&'a Motion),
    Animation(&'a guide::Frames),
    Poster(&'a Source<'a>),
    /// A drawing as a PNG.
    Drawing(&'a str, &'a Drawing),
}

impl Job<'_> {
    fn run(&self, assembly: &Assembly) -> Result<Vec<File>, KitError> {
        Ok(match self {
            Self::Svg(name, figure) => vec![(name.clone(), svg::write(&figure.alone()).into_bytes())],
            Self::Png(name, figure) => vec![(name.clone(), raster(name, figure)?)],
            Self::Pages(name, paper, set) => vec![pages(assembly, name, *paper, set)?],
            Self::Pose(state, card, view) => {
                let name = format!("pose-{}-{}", file_word(&state.name), view.word());
                let figure = sized_figure(assembly, state, card, *view);
                let png = raster(&format!("{name}.png"), &figure)?;
                let svg = svg::write(&figure.alone()).into_bytes();
                vec![(format!("{name}.png"), png), (format!("{name}.svg"), svg)]
            }
            Self::Cutting(id) => match assembly.pieces.get(*id) {
                Some(piece) => {
                    let name = format!("{}-{}", piece.letter, file_word(&piece.name));
                    machine(&name, &cutting::piece(assembly, piece))
                }
                None => Vec::new(),
            },
            Self::Sheets(id) => {
                let paper = assembly.papers.get(*id).map(|p| file_word(&p.name)).unwrap_or_default();
                let sheets = cutting::sheets(assembly, *id);
                let file = |(index, job)| machine(&format!("sheet-{paper}-{}", index + 1), job);
                sheets.iter().enumerate().flat_map(file).collect()
            }
            Self::Body(state, card) => {
                let name = format!("space/pose-{}.gltf", file_word(&state.name));
                vec![(name, gltf::pose(assembly, state, card).into_bytes())]
            }
            Self::Motion(motion) => {
                let name = format!("space/motion-{}.gltf", file_word(&motion.name));
                vec![(name, gltf::motion(assembly, motion).into_bytes())]
            }
            Self::Animation(frames) => {
                let name = format!("motion-{}.png", file_word(&frames.name));
                guide::animation(frames, &name)?.map(|bytes| (name, bytes)).into_iter().collect()
            }
            Self::Poster(source) => vec![("poster.png".into(), guide::poster(source)?)],
            Self::Drawing(name, drawing) => vec![((*name).into(), raster_of(name, drawing)?)],
        })
    }
}

/// A document of drawings at true size.
struct PaperSet {
    file: &'static str,
    /// Follows the title of the card.
    title: &'static str,
    /// What the pages are printed on, and what is printed.
    groups: Vec<(Option<String>, Vec<Figure>)>,
}

/// The nets to work from; the pieces to print on their own papers and cut on the line; templates to draw round.
fn paper_sets(assembly: &Assembly, nets: Vec<Figure>) -> [PaperSet; 3] {
    let typeface = font::typeface();
    let pieces = || 0..assembly.pieces.len();
    let on_paper = |paper: PaperId| {
        let of_paper = |id: &PieceId| assembly.pieces.get(*id).is_some_and(|p| p.paper == paper);
        let figures: Vec<Figure> = pieces()
            .filter(of_paper)
            .filter_map(|id| printed::printed(assembly, id, &font::lettering, typeface))
            .collect();
        let name = assembly.papers.get(paper).map(|p| p.name.as_str()).unwrap_or_default();
        (Some(format!("To be printed on {name} and cut along the lines")), figures)
    };
    let printed = (0..assembly.papers.len()).map(on_paper).filter(|(_, figures)| !figures.is_empty());
    let templates = pieces().filter_map(|id| net::template(assembly, id, typeface)).collect();
    let to_trace =
        "Cut out, lay on the paper and draw round; notches mark folds, crosses are pricked through";
    [
        PaperSet { file: "net", title: "nets", groups: vec![(None, nets)] },
        PaperSet { file: "print", title: "to print on the papers", groups: printed.collect() },
        PaperSet {
            file: "trace",
            title: "templates to trace",
            groups: vec![(Some(to_trace.into()), templates)],
        },
    ]
}

/// One document of drawings on sheets to print.
fn pages(assembly: &Assembly, name: &str, paper: Paper, set: &PaperSet) -> Result<File, KitError> {
    let groups: Vec<Group> =
        set.groups.iter().map(|(note, figures)| Group { note: note.clone(), figures }).collect();
    let laid = pages::lay_out_groups(&assembly.title, &groups, paper, font::typeface());
    if let Some(large) = laid.too_large.first() {
        let why = format!("the net of {} would take {} pages", large.title, large.tiles);
        return Err(KitError { file: name.into(), why });
    }
    let title = format!("{}: {}", assembly.title, set.title);
    let two_sided = groups.iter().flat_map(|g| g.figures).any(|figure| !figure.back.is_empty());
    let document = pdf::Document { title, language: "en".into(), two_sided, pages: laid.pages };
    Ok((name.into(), pdf::write(&document)))
}

/// What a machine follows, in both formats.
fn machine(name: &str, job: &cutting::Job) -> Vec<File> {
    vec![
        (format!("cutting/{name}.svg"), cutting::write(job).into_bytes()),
        (format!("cutting/{name}.dxf"), dxf::write(job).into_bytes()),
    ]
}

fn raster(name: &str, figure: &Figure) -> Result<Vec<u8>, KitError> {
    raster_of(name, &figure.alone())
}

fn raster_of(name: &str, drawing: &Drawing) -> Result<Vec<u8>, KitError> {
    let longest = drawing.size.width.max(drawing.size.height).max(1.0);
    let fine = PIXELS_PER_MM.min(MOST_PIXELS / longest);
    png::write(drawing, fine).map_err(|e| KitError { file: name.into(), why: e.to_string() })
}

fn paper_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "a4",
        Paper::Letter => "letter",
    }
}

/// A name as part of a file name: letters, digits, `-` and `_`.
pub fn file_word(name: &str) -> String {
    let word: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' })
        .collect::<String>()
        .trim_matches('-')
        .to_string();
    if word.is_empty() { "part".into() } else { word.chars().take(60).collect() }
}
