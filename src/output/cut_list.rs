//! The cut list: every piece with its letter, paper, cut size, scores and openings, in inches and in millimetres.
//!
//! Each column comes from its own rounded assembly (see `meaning::round`), so that the numbers of one column belong
//! together and were checked together; nothing is converted from one column to the other.

use std::fmt::Write as _;

use crate::assembly::{Assembly, Crease, Cutout, CutoutKind, Fold, Piece, PieceKind, Reading};
use crate::geometry::Rect;
use crate::quantity::{Rounding, Units, tolerance};

/// A design rounded to one ruler, and what checking it again found.
pub struct Ruler<'a> {
    pub assembly: &'a Assembly,
    pub units: Units,
    /// mm.
    pub step: f64,
    /// Faults of the rounded design that the exact one does not have.
    pub faults: Vec<String>,
}

pub struct CutList {
    pub(super) rows: Vec<Row>,
    pub(super) notes: Vec<Note>,
    title: String,
    /// Inches, millimetres.
    pub(super) steps: [String; 2],
}

/// Pieces that are alike.
pub(super) struct Row {
    pub letter: String,
    pub names: Vec<String>,
    pub kind: PieceKind,
    pub paper: String,
    pub quantity: usize,
    pub shaped: bool,
    pub inch: Measures,
    pub metric: Measures,
}

#[derive(PartialEq)]
pub(super) struct Measures {
    pub size: String,
    pub width: String,
    pub height: String,
    pub scores: Vec<String>,
    pub openings: Vec<String>,
}

impl CutList {
    /// Rows in order of the letters; pieces that are alike in paper, outline, scores and openings are one row.
    pub fn new(inch: &Ruler, metric: &Ruler) -> Self {
        let mut rows: Vec<Row> = Vec::new();
        for (a, b) in inch.assembly.pieces.iter().zip(&metric.assembly.pieces) {
            let paper = metric.assembly.papers.get(b.paper).map(|p| p.name.clone()).unwrap_or_default();
            let row = Row {
                letter: b.letter.clone(),
                names: vec![b.name.clone()],
                kind: b.kind,
                paper,
                quantity: 1,
                shaped: is_shaped(b),
                inch: measures(inch, a),
                metric: measures(metric, b),
            };
            let same = |r: &&mut Row| {
                r.paper == row.paper
                    && r.kind == row.kind
                    && r.shaped == row.shaped
                    && r.inch == row.inch
                    && r.metric == row.metric
                    && (!row.shaped || alike(metric.assembly, &r.letter, b))
            };
            match rows.iter_mut().find(same) {
                Some(before) => {
                    before.quantity += 1;
                    before.names.extend(row.names);
                }
                None => rows.push(row),
            }
        }
        let notes = [inch, metric].into_iter().flat_map(verdict).collect();
        Self { rows, notes, title: metric.assembly.title.clone(), steps: [step(inch), step(metric)] }
    }

    pub fn markdown(&self) -> String {
        let mut out = String::new();
        let _ = writeln!(out, "# Cut list: {}\n", plain(&self.title));
        let _ = writeln!(
            out,
            "Cut sizes are width by height, printed side up. Inches go to {}, millimetres to {}; use one column \
             only. Scores and openings are read from the stated edge of the unfolded piece.\n",
            self.steps[0], self.steps[1]
        );
        let _ = writeln!(out, "| | piece | paper | pieces | inches | mm |\n|---|---|---|---|---|---|");
        for row in &self.rows {
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} |",
                row.letter,
                plain(&row.names.join(", ")),
                plain(&row.paper),
                row.quantity,
                row.inch.size,
                row.metric.size
            );
        }
        for row in &self.rows {
            if row.inch.scores.is_empty()
                && row.inch.openings.is_empty()
                && !row.shaped
                && row.kind != PieceKind::Strap
            {
                continue;
            }
            let _ = writeln!(out, "\n## {} {}\n", row.letter, plain(&row.names.join(", ")));
            if row.kind == PieceKind::Strap {
                let _ = writeln!(
                    out,
                    "A strap: cut it rather too long than too short, and stick it before trimming.\n"
                );
            }
            if row.shaped {
                let _ = writeln!(out, "Shaped: cut it from the net; the size above is the box round it.\n");
            }
            let lines = row.inch.scores.iter().chain(&row.inch.openings);
            let metric = row.metric.scores.iter().chain(&row.metric.openings);
            if lines.clone().next().is_some() {
                let _ = writeln!(out, "| inches | mm |\n|---|---|");
            }
            for (a, b) in lines.zip(metric) {
                let _ = writeln!(out, "| {} | {} |", plain(a), plain(b));
            }
        }
        for note in &self.notes {
            let _ = writeln!(out, "\n{}", note.markdown());
        }
        out
    }

    pub fn csv(&self) -> String {
        let mut out = String::from(
            "letter,piece,paper,quantity,width_in,height_in,width_mm,height_mm,scores_in,scores_mm,openings_in,openings_mm\n",
        );
        for row in &self.rows {
            let fields = [
                row.letter.clone(),
                row.names.join(" "),
                row.paper.clone(),
                row.quantity.to_string(),
                row.inch.width.clone(),
                row.inch.height.clone(),
                row.metric.width.clone(),
                row.metric.height.clone(),
                row.inch.scores.join("; "),
                row.metric.scores.join("; "),
                row.inch.openings.join("; "),
                row.metric.openings.join("; "),
            ];
            let fields: Vec<String> = fields.iter().map(|f| quoted(f)).collect();
            let _ = writeln!(out, "{}", fields.join(","));
        }
        out
    }
}

/// True when the outline is not the whole box.
fn is_shaped(piece: &Piece) -> bool {
    let area = piece.contour.signed_area().abs();
    let full = piece.bounds.width() * piece.bounds.height();
    full - area > tolerance::COINCIDENT_MM * (piece.bounds.width() + piece.bounds.height())
}

/// Shaped pieces are alike only when every chord of their outlines is.
fn alike(assembly: &Assembly, letter: &str, piece: &Piece) -> bool {
    let Some(other) = assembly.pieces.iter().find(|p| p.letter == letter) else { return false };
    let (a, b) = (&other.polygon.outer, &piece.polygon.outer);
    a.len() == b.len()
        && a.iter().zip(b).all(|(p, q)| {
            (p.x - q.x).abs() < tolerance::COINCIDENT_MM && (p.y - q.y).abs() < tolerance::COINCIDENT_MM
        })
}

fn measures(ruler: &Ruler, piece: &Piece) -> Measures {
    // The strip of a strap comes from a calculation and is not on the grid: longer works, shorter does not.
    let along = if piece.kind == PieceKind::Strap { Rounding::Up } else { Rounding::Nearest };
    let (w, h) = (piece.bounds.width(), piece.bounds.height());
    let (width, height) = if w >= h {
        (ruler.say(w, along), ruler.say(h, Rounding::Nearest))
    } else {
        (ruler.say(w, Rounding::Nearest), ruler.say(h, along))
    };
    Measures {
        size: format!("{width} × {height}"),
        scores: piece.creases.iter().map(|c| score(ruler, c, &piece.bounds)).collect(),
        openings: piece.cutouts.iter().map(|c| opening(ruler, c, &piece.bounds)).collect(),
        width,
        height,
    }
}

fn score(ruler: &Ruler, crease: &Crease, box_of: &Rect) -> String {
    let fold = if crease.fold == Fold::Valley { "valley" } else { "mountain" };
    let name = if crease.named { format!(" {}", crease.name) } else { String::new() };
    let (from, to) = (crease.from, crease.to);
    match &crease.reading {
        Some(reading) => format!("{fold}{name}: {}", ruler.reading(reading)),
        // A score straight across is one reading.
        None if (from.x - to.x).abs() < tolerance::COINCIDENT_MM => {
            format!("{fold}{name}: {} from left", ruler.say(from.x - box_of.min.x, Rounding::Nearest))
        }
        None if (from.y - to.y).abs() < tolerance::COINCIDENT_MM => {
            format!("{fold}{name}: {} from top", ruler.say(from.y - box_of.min.y, Rounding::Nearest))
        }
        None => format!(
            "{fold}{name}: from {} to {}",
            ruler.point(from.x - box_of.min.x, from.y - box_of.min.y),
            ruler.point(to.x - box_of.min.x, to.y - box_of.min.y)
        ),
    }
}

fn opening(ruler: &Ruler, cutout: &Cutout, box_of: &Rect) -> String {
    let say = |mm: f64| ruler.say(mm, Rounding::Nearest);
    let what = match cutout.kind {
        CutoutKind::Slot => {
            format!("slot {}: {} wide, {} long", cutout.name, say(cutout.width), say(cutout.length))
        }
        CutoutKind::Slit => format!("slit {}: {} long", cutout.name, say(cutout.length)),
        CutoutKind::Window => {
            format!("window {}: {} × {}", cutout.name, say(cutout.length), say(cutout.width))
        }
        CutoutKind::Hole => format!("hole {}: {} across", cutout.name, say(cutout.width)),
    };
    let mut places: Vec<String> = cutout.readings.iter().map(|r| ruler.reading(r)).collect();
    if places.is_empty() {
        places.push(format!(
            "centre at {}",
            ruler.point(cutout.centre.x - box_of.min.x, cutout.centre.y - box_of.min.y)
        ));
    }
    format!("{what}; {}", places.join(", "))
}

impl Ruler<'_> {
    fn say(&self, mm: f64, rounding: Rounding) -> String {
        let steps = mm / self.step;
        let steps = match rounding {
            Rounding::Down => (steps + 1e-6).floor(),
            Rounding::Up => (steps - 1e-6).ceil(),
            Rounding::Nearest => steps.round(),
        };
        let on_grid = steps * self.step;
        crate::quantity::say_length(on_grid, self.units)
    }

    fn reading(&self, reading: &Reading) -> String {
        format!(
            "{} from {}",
            self.say((reading.at - reading.base).abs(), Rounding::Nearest),
            reading.from.word()
        )
    }

    fn point(&self, x: f64, y: f64) -> String {
        format!("{} from left, {} from top", self.say(x, Rounding::Nearest), self.say(y, Rounding::Nearest))
    }
}

fn step(ruler: &Ruler) -> String {
    crate::quantity::say_length(ruler.step, ruler.units)
}

/// What the second check of a rounded list found.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Note {
    Works(String),
    /// The list is not to be used.
    Warning(String),
    /// A reason why not.
    Fault(String),
}

impl Note {
    /// Names stand in quotation marks here, as in a text for people.
    pub(super) fn text(&self) -> String {
        let (Self::Works(text) | Self::Warning(text) | Self::Fault(text)) = self;
        let mut opens = false;
        let quoted = |c: char| match c {
            '`' => {
                opens = !opens;
                if opens { '“' } else { '”' }
            }
            other => other,
        };
        text.chars().map(quoted).collect()
    }

    fn markdown(&self) -> String {
        match self {
            Self::Works(text) => plain(text),
            Self::Warning(text) => format!("**{}**", plain(text)),
            Self::Fault(text) => format!("- {}", plain(text)),
        }
    }
}

fn verdict(ruler: &Ruler) -> Vec<Note> {
    let column = if ruler.units == Units::Inch { "inches" } else { "millimetres" };
    if ruler.faults.is_empty() {
        return vec![Note::Works(format!("The list in {column} was checked again as rounded: it works."))];
    }
    let warning = format!("Do not use the list in {column}: rounded like this the card no longer works.");
    let faults = ruler.faults.iter().map(|fault| Note::Fault(fault.clone()));
    [Note::Warning(warning)].into_iter().chain(faults).collect()
}

/// Text that Markdown leaves alone. A `_` within a word marks nothing (CommonMark 0.31, 6.2) and stays readable.
pub(super) fn plain(text: &str) -> String {
    let letters: Vec<char> = text.chars().filter(|c| !c.is_control()).collect();
    let is_word =
        |index: Option<usize>| index.and_then(|i| letters.get(i)).is_some_and(|c| c.is_alphanumeric());
    let mut out = String::with_capacity(text.len());
    for (index, letter) in letters.iter().enumerate() {
        let within = is_word(index.checked_sub(1)) && is_word(Some(index + 1));
        let marks = match letter {
            '_' => !within,
            '|' | '*' | '`' | '<' | '[' | ']' | '\\' | '#' => true,
            _ => false,
        };
        if marks {
            out.push('\\');
        }
        out.push(*letter);
    }
    out
}

/// A field of a CSV file (RFC 4180). A leading sign that a spreadsheet would run as a formula is set off by a quote.
fn quoted(field: &str) -> String {
    let field: String = field.chars().filter(|c| !c.is_control()).collect();
    let field = if field.starts_with(['=', '+', '-', '@']) { format!("'{field}") } else { field };
    if field.contains([',', '"', ';', ' ']) { format!("\"{}\"", field.replace('"', "\"\"")) } else { field }
}
