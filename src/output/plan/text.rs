//! The sheet plan in words.

use std::fmt::Write as _;

use super::{Outcome, PaperPlan, Planned, cost_per_card, sheet_file};
use crate::assembly::Assembly;
use crate::making::Phrase;
use crate::making::words::counted;
use crate::output::cut_list::plain;
use crate::quantity::{Units, say_length};
use crate::stock::plan::{Axis, Fate, Fault, Made, PartId, Rect, Step};

/// Names of the parts of one sheet that are cut further, in the order in which they come about.
#[derive(Debug, Default)]
pub struct Names {
    strips: Vec<PartId>,
}

impl Names {
    fn name(&mut self, part: PartId) -> String {
        if part == 0 {
            return "the sheet".into();
        }
        let at = self.strips.iter().position(|p| *p == part).unwrap_or_else(|| {
            self.strips.push(part);
            self.strips.len() - 1
        });
        format!("part {}", at + 1)
    }
}

fn mm(length: i64) -> f64 {
    length as f64 / 1e6
}

/// One cut: what to take, what to set, what comes of it.
pub fn said_step(assembly: &Assembly, paper: &PaperPlan, step: &Step, names: &mut Names) -> Phrase {
    let hand = names.name(step.hand);
    let (edge, near, far) = match step.axis {
        Axis::X => ("left", "left", "right"),
        Axis::Y => ("top", "upper", "lower"),
    };
    let mut phrase = Phrase::text(&format!("Take {hand}. Set "))
        .length(mm(step.setting))
        .then(&format!(" from its {edge} edge and cut. The {near} side is "))
        .join(said(assembly, paper, &step.measured, names));
    if let Some(rest) = &step.rest {
        phrase = phrase.then(&format!("; the {far} side is ")).join(said(assembly, paper, rest, names));
    }
    phrase.then(".")
}

fn said(assembly: &Assembly, paper: &PaperPlan, made: &Made, names: &mut Names) -> Phrase {
    match made.fate {
        Fate::Piece { item, turned } => {
            let piece = paper.pieces.get(item).and_then(|p| assembly.pieces.get(*p));
            let name = piece.map_or_else(String::new, |p| format!("{} {}", p.letter, p.name));
            let turned = if turned { ", lying on its side" } else { "" };
            Phrase::text(&format!("{name}{turned}"))
        }
        Fate::CutFurther => size(Phrase::text(&names.name(made.part)).then(" ("), &made.rect).then(")"),
        Fate::Offcut { useful: true } => size(Phrase::text("an offcut to keep ("), &made.rect).then(")"),
        Fate::Offcut { useful: false } => Phrase::text("waste"),
    }
}

fn size(phrase: Phrase, rect: &Rect) -> Phrase {
    phrase.length(mm(rect.w)).then(" × ").length(mm(rect.h))
}

/// How many sheets of what, and whether fewer would do.
pub fn summary(paper: &PaperPlan, planned: &Planned) -> Phrase {
    let count = planned.plan.sheets.len();
    let cards = if planned.copies == 1 { String::new() } else { format!(" for {} cards", planned.copies) };
    let mut phrase = Phrase::text(&format!(
        "{} of {}, {} (",
        counted(count, "sheet", "sheets"),
        paper.name,
        planned.sheet.name
    ))
    .length(planned.sheet.width)
    .then(" × ")
    .length(planned.sheet.height)
    .then(&format!("){cards}: "));
    phrase = if planned.plan.proven {
        phrase.then("the fewest possible.")
    } else {
        phrase.then(&format!(
            "at least {} would be needed in any plan.",
            counted(planned.plan.lower_bound, "sheet", "sheets")
        ))
    };
    let cuts = planned.plan.cuts();
    phrase = phrase.then(&format!(
        " {}, {}.",
        counted(cuts, "cut", "cuts"),
        counted(planned.plan.settings.len(), "setting", "settings")
    ));
    if let Some((sheet, rect)) = &planned.plan.largest_offcut {
        phrase = size(phrase.then(" The largest offcut to keep is "), rect);
        phrase =
            if count > 1 { phrase.then(&format!(", of sheet {}.", sheet + 1)) } else { phrase.then(".") };
    }
    phrase
}

pub fn refusal(assembly: &Assembly, paper: &PaperPlan, fault: &Fault) -> String {
    let name = |item: &usize| {
        paper
            .pieces
            .get(*item)
            .and_then(|p| assembly.pieces.get(*p))
            .map_or_else(String::new, |p| format!("{} {}", p.letter, p.name))
    };
    match fault {
        Fault::TooLarge { item } => format!("{} does not fit on a sheet.", name(item)),
        Fault::TooNarrow { item } | Fault::Trimmer { item } => {
            format!("{} cannot be held in a trimmer.", name(item))
        }
        Fault::Size { item } => format!("{} has no size that can be cut.", name(item)),
        Fault::TooMany { pieces } => format!("{pieces} pieces are too many for one plan."),
        Fault::Sheet => "The sheet cannot be planned.".into(),
    }
}

pub fn markdown(assembly: &Assembly, plans: &[PaperPlan]) -> String {
    let units = assembly.units;
    let mut out = String::new();
    let _ = writeln!(out, "# Sheet plan: {}\n", plain(&assembly.title));
    let _ = writeln!(
        out,
        "Cuts go from edge to edge of the part in hand. A setting is read from its left or its upper edge, as the part \
         lies on the drawing. Shaped pieces are cut as the box round them; straps a little longer than they need to be.\n"
    );
    for paper in plans {
        let _ = writeln!(out, "## {}\n", plain(&paper.name));
        match &paper.outcome {
            Outcome::Planned(planned) => planned_markdown(&mut out, assembly, paper, planned, units),
            Outcome::NoSheet => {
                let _ = writeln!(out, "The design gives no sheet size for this paper. Pieces to cut:\n");
                for piece in paper.pieces.iter().filter_map(|p| assembly.pieces.get(*p)) {
                    let _ = writeln!(
                        out,
                        "- {} {}: {} × {}",
                        piece.letter,
                        plain(&piece.name),
                        say_length(piece.bounds.width(), units),
                        say_length(piece.bounds.height(), units)
                    );
                }
                let _ = writeln!(out);
            }
            Outcome::Refused(fault) => {
                let _ = writeln!(out, "{}\n", plain(&refusal(assembly, paper, fault)));
            }
        }
    }
    if let Some(cost) = cost_per_card(plans) {
        let _ = writeln!(out, "Paper for one card costs {cost:.2}.");
    }
    out
}

fn planned_markdown(
    out: &mut String,
    assembly: &Assembly,
    paper: &PaperPlan,
    planned: &Planned,
    units: Units,
) {
    let _ = writeln!(out, "{}\n", plain(&summary(paper, planned).say(units)));
    for note in notes(assembly, planned) {
        let _ = writeln!(out, "{}\n", plain(&note));
    }
    for sheet in 0..planned.plan.sheets.len() {
        let file = sheet_file(paper, sheet);
        let _ = writeln!(
            out,
            "### Sheet {}\n\n![Sheet {} of {}]({file}.svg)\n",
            sheet + 1,
            sheet + 1,
            plain(&paper.name)
        );
        for (number, phrase) in paper.steps(assembly, sheet) {
            let _ = writeln!(out, "{number}. {}", plain(&phrase.say(units)));
        }
        let _ = writeln!(out);
    }
}

/// What else to know of a plan.
pub fn notes(assembly: &Assembly, planned: &Planned) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(up) = planned.grain {
        let way = if up { "up and down" } else { "from side to side" };
        notes.push(format!(
            "The grain runs {way} on the drawing; pieces that fold lie with their folds along it."
        ));
    }
    for piece in planned.across_grain.iter().filter_map(|p| assembly.pieces.get(*p)) {
        notes.push(format!(
            "{} {} fits only with its folds across the grain: score them well.",
            piece.letter, piece.name
        ));
    }
    if let Some(cost) = planned.cost {
        let cards = if planned.copies == 1 { "card".into() } else { format!("{} cards", planned.copies) };
        notes.push(format!("Paper for the {cards}: {cost:.2}."));
    }
    notes
}
