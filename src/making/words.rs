//! Every word of the making order, in one place. Another language is another [`Words`].

use super::Phrase;
use super::ScoreSide;
use super::pinned::Sheet;
use super::rules::Why;
use super::works::{Work, brads_of_ring, piece_of};
use crate::assembly::{
    Assembly, CutoutKind, Face, Fold, Joint, JointId, JointKind, PanelId, PieceId, PieceKind, PrintContent,
    SlideHow,
};
use crate::quantity::{say_angle, say_number};

/// How the steps of a making order are said.
pub trait Words {
    /// What to do, in full sentences.
    fn step(&self, assembly: &Assembly, work: &Work) -> Phrase;
    /// Why one work comes before another, as a clause; `None` when nobody needs telling.
    fn because(&self, assembly: &Assembly, why: &Why) -> Option<Phrase>;
    /// The clause as a sentence that names the later step.
    fn reason(&self, assembly: &Assembly, why: &Why, before: usize) -> Option<Phrase>;
    /// A short heading for a step of this kind.
    fn heading(&self, work: &Work) -> &'static str;
    /// A piece by its letter and name.
    fn piece(&self, assembly: &Assembly, piece: PieceId) -> String;
    /// A word on a drawing.
    fn label(&self, label: Label) -> &'static str;
}

/// What the drawing of a step says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Label {
    FrontUp,
    BackUp,
    NoGlue,
    Valley,
    Mountain,
}

/// Plain trade English.
pub struct English;

impl Words for English {
    fn piece(&self, assembly: &Assembly, piece: PieceId) -> String {
        assembly.pieces.get(piece).map_or_else(String::new, |p| format!("{} {}", p.letter, p.name))
    }

    fn label(&self, label: Label) -> &'static str {
        match label {
            Label::FrontUp => "front up",
            Label::BackUp => "back up: the piece turned over",
            Label::NoGlue => "no glue",
            Label::Valley => "valley",
            Label::Mountain => "mountain",
        }
    }

    fn heading(&self, work: &Work) -> &'static str {
        match work {
            Work::Cut { .. } => "Cut",
            Work::Open { .. } => "Cut the openings",
            Work::Score { .. } => "Score",
            Work::Print { .. } => "Letter",
            Work::Fold { .. } => "Fold",
            Work::Mat { .. } => "Mat",
            Work::Strap { .. } | Work::Band { .. } => "Strap",
            Work::Thread { .. } => "Thread",
            Work::Lay { .. } => "Lay in",
            Work::Pin { .. } => "Pin",
            Work::Stick { .. } => "Stick",
            Work::Close { .. } => "Close",
            Work::Tuck { .. } => "Tuck",
            Work::Try { .. } => "Dry run",
            Work::Finish => "Finish",
            Work::Own { .. } => "Note",
        }
    }

    fn step(&self, assembly: &Assembly, work: &Work) -> Phrase {
        let joint = |id: &JointId| assembly.joints.get(*id);
        let said = match work {
            Work::Cut { paper, pieces } => Some(self.cut(assembly, *paper, pieces)),
            Work::Open { piece } => Some(self.open(assembly, *piece)),
            Work::Score { pieces } => Some(self.score(assembly, pieces)),
            Work::Print { print } => self.print(assembly, *print),
            Work::Fold { piece } => Some(self.fold(assembly, *piece)),
            Work::Mat { joint: id } => joint(id).map(|j| {
                Phrase::text(&format!(
                    "Stick {} to the {}, with the same border on every side.",
                    self.part(assembly, j.b),
                    self.target(assembly, j)
                ))
            }),
            Work::Strap { slide, closed_by } => joint(slide).map(|j| self.strap(assembly, j, *closed_by)),
            Work::Band { closed_by } => joint(closed_by).map(|j| {
                Phrase::text(&format!(
                    "Lead {} round its place and stick its ends to each other.",
                    self.part(assembly, j.b)
                ))
            }),
            Work::Thread { slide } => joint(slide).map(|j| self.thread(assembly, j)),
            Work::Lay { slide } => joint(slide).map(|j| {
                Phrase::text(&format!(
                    "Lay {} on the {}, without glue.",
                    self.part(assembly, j.b),
                    self.target(assembly, j)
                ))
            }),
            Work::Pin { pin } => joint(pin).map(|j| self.pin(assembly, *pin, j)),
            Work::Stick { joint: id } => joint(id).map(|j| self.stick(assembly, *id, j)),
            Work::Close { joint: id } => joint(id).map(|j| self.close(assembly, j)),
            Work::Tuck { joint: id } => joint(id).map(|j| self.tuck(assembly, j)),
            Work::Try { motion, joints } => Some(self.dry_run(assembly, *motion, joints)),
            Work::Finish => Some(self.finish(assembly)),
            Work::Own { step } => assembly.steps.get(*step).map(|s| Phrase::text(&s.text)),
        };
        said.unwrap_or_default()
    }

    fn because(&self, assembly: &Assembly, why: &Why) -> Option<Phrase> {
        let part = |panel: &PanelId| self.part(assembly, *panel);
        let moved = |joint: &JointId| {
            assembly.joints.get(*joint).map_or_else(String::new, |j| self.part(assembly, j.b))
        };
        let text = match why {
            Why::Plain => return None,
            Why::Flat => "it is easiest while the piece lies flat".into(),
            Why::Covers { by, joint } => {
                let pin = matches!(assembly.joints.get(*joint).map(|j| &j.kind), Some(JointKind::Pin { .. }));
                if pin {
                    format!("{} then covers the pin", part(by))
                } else {
                    format!("{} then covers the slots that {} runs in", part(by), moved(joint))
                }
            }
            Why::OverWay { by, slide } => format!("{} lies over the way of {}", part(by), moved(slide)),
            Why::RunsUnder { bridge, slide } => {
                format!("{} runs under {}", moved(slide), self.piece(assembly, *bridge))
            }
            Why::Carries { part: carried, joint } => {
                format!("{} carries {}", moved(joint), part(carried))
            }
            Why::Inside { closing } => {
                let closed = assembly.joints.get(*closing).and_then(|j| piece_of(assembly, j.b));
                let name = closed.map_or_else(String::new, |p| self.piece(assembly, p));
                format!("it lies inside {name} and cannot be reached once that is closed")
            }
            Why::Pinned { sheet, pin } => {
                format!("the brad of {} goes through {} too", moved(pin), part(sheet))
            }
            Why::Beneath { lower, upper } => {
                format!("{} lies over {}", part(upper), part(lower))
            }
            Why::Tested { by, joint } => {
                format!("{} shuts {} in, and a fault can no longer be mended", part(by), moved(joint))
            }
        };
        Some(Phrase::text(&text))
    }

    fn reason(&self, assembly: &Assembly, why: &Why, before: usize) -> Option<Phrase> {
        if matches!(why, Why::Flat) {
            return None;
        }
        let clause = self.because(assembly, why)?;
        Some(Phrase::text(&format!("Before step {before}: ")).join(clause).then("."))
    }
}

impl English {
    /// A part as a step names it: `C lamp`, or `track of A shell` where a piece has several panels.
    fn part(&self, assembly: &Assembly, panel: PanelId) -> String {
        let Some(piece) = piece_of(assembly, panel) else { return String::new() };
        let whole = self.piece(assembly, piece);
        let is_plain =
            assembly.pieces.get(piece).is_none_or(|p| p.panels.len() < 2 || p.kind == PieceKind::Strap);
        match assembly.panels.get(panel) {
            Some(panel) if !is_plain => format!("{} of {whole}", panel.name),
            _ => whole,
        }
    }

    /// "front of track of A shell".
    fn target(&self, assembly: &Assembly, joint: &Joint) -> String {
        let face = match &joint.kind {
            JointKind::Fixed { faces, .. } => faces.1,
            JointKind::Slide { placement, .. } | JointKind::Pin { placement, .. } => placement.side,
            _ => Face::Front,
        };
        format!("{} of {}", face.word(), self.part(assembly, joint.a))
    }

    fn cut(&self, assembly: &Assembly, paper: usize, pieces: &[PieceId]) -> Phrase {
        let of = |kind: PieceKind| -> Vec<String> {
            let is = |p: &&PieceId| assembly.pieces.get(**p).is_some_and(|p| p.kind == kind);
            pieces.iter().filter(is).map(|p| self.piece(assembly, *p)).collect()
        };
        let all: Vec<String> = pieces.iter().map(|p| self.piece(assembly, *p)).collect();
        let name = assembly.papers.get(paper).map(|p| p.name.as_str()).unwrap_or_default();
        let mut phrase = Phrase::text(&format!("From {name}, cut {}.", list(&all)));
        let straps = of(PieceKind::Strap);
        if !straps.is_empty() {
            let (verb, it) = if straps.len() == 1 { ("is", "it") } else { ("are", "them") };
            phrase = phrase.then(&format!(
                " {} {verb} better too long than too short: trim {it} when stuck.",
                list(&straps)
            ));
        }
        phrase
    }

    fn open(&self, assembly: &Assembly, piece: PieceId) -> Phrase {
        let cutouts = assembly.pieces.get(piece).map(|p| p.cutouts.as_slice()).unwrap_or_default();
        let mut groups = Vec::new();
        for (kind, one, many) in [
            (CutoutKind::Slot, "slot", "slots"),
            (CutoutKind::Slit, "slit", "slits"),
            (CutoutKind::Window, "window", "windows"),
            (CutoutKind::Hole, "hole", "holes"),
        ] {
            let names: Vec<String> =
                cutouts.iter().filter(|c| c.kind == kind).map(|c| c.name.clone()).collect();
            if !names.is_empty() {
                groups.push(format!("{} {}", if names.len() == 1 { one } else { many }, list(&names)));
            }
        }
        let mut text = format!("In {}, cut the {}.", self.piece(assembly, piece), list(&groups));
        if cutouts.iter().any(|c| c.kind == CutoutKind::Hole) {
            text.push_str(" Punch round holes; a knife leaves corners that tear.");
        }
        if cutouts.iter().any(|c| c.kind == CutoutKind::Slot) {
            text.push_str(" Cut each slot from both ends to its middle, so that no corner is overcut.");
        }
        Phrase::text(&text)
    }

    fn score(&self, assembly: &Assembly, pieces: &[PieceId]) -> Phrase {
        let names: Vec<String> = pieces.iter().map(|p| self.piece(assembly, *p)).collect();
        let sides: Vec<ScoreSide> = pieces.iter().flat_map(|p| super::score_sides(assembly, *p)).collect();
        let says = |fold: Fold| -> Option<String> {
            let side = sides.iter().find(|s| s.fold == fold)?;
            let word = if fold == Fold::Valley { "valley folds" } else { "mountain folds" };
            Some(format!("the {word} on the {}", side.score_on.word()))
        };
        let both: Vec<String> = [Fold::Valley, Fold::Mountain].into_iter().filter_map(says).collect();
        Phrase::text(&format!(
            "Score {}: {}. The ridge then rises on the other side and lies inside the fold.",
            list(&names),
            list(&both)
        ))
    }

    fn print(&self, assembly: &Assembly, print: usize) -> Option<Phrase> {
        let print = assembly.prints.get(print)?;
        let what = match &print.content {
            PrintContent::Text(text) => format!("Letter “{}” on", text.replace('\n', " ")),
            PrintContent::Picture { file, .. } if print.spread.is_some() => {
                format!("Put its part of the picture {file} on")
            }
            PrintContent::Picture { file, .. } => format!("Put the picture {file} on"),
        };
        let text = format!("{what} the {} of {}.", print.face.word(), self.part(assembly, print.panel));
        Some(Phrase::text(&text))
    }

    fn fold(&self, assembly: &Assembly, piece: PieceId) -> Phrase {
        let count = assembly.pieces.get(piece).map_or(0, |p| p.creases.len());
        let which = if count == 1 { "its score" } else { "each score in turn" };
        Phrase::text(&format!(
            "Fold {} along {which}, press the fold, and lay it open again.",
            self.piece(assembly, piece)
        ))
    }

    fn strap(&self, assembly: &Assembly, joint: &Joint, closed_by: Option<JointId>) -> Phrase {
        let strap = self.part(assembly, joint.b);
        let JointKind::Slide { how: SlideHow::Strap { piece, rails, .. }, placement, .. } = &joint.kind
        else {
            return Phrase::default();
        };
        let behind = placement.side.opposite().word();
        let slots = self.openings(assembly, *piece, &[rails.0, rails.1]);
        let target = self.part(assembly, joint.a);
        let mut phrase = Phrase::text(&format!(
            "Lead the ends of {strap} through {slots} of {target} from the {}",
            placement.side.word()
        ));
        phrase =
            phrase.then(&format!(", fold them round the bar so that they meet on the {behind}, lap them "));
        if let Some(overlap) = closed_by.and_then(|id| overlap(assembly, id)) {
            phrase = phrase.length(overlap).then(" ");
        }
        phrase.then(&format!(
            "and stick them to each other only. No glue on {target}: slide the strap to and fro before it dries."
        ))
    }

    fn openings(&self, assembly: &Assembly, piece: PieceId, cutouts: &[usize]) -> String {
        let all = assembly.pieces.get(piece).map(|p| p.cutouts.as_slice()).unwrap_or_default();
        let found: Vec<_> = cutouts.iter().filter_map(|c| all.get(*c)).collect();
        let names: Vec<String> = found.iter().map(|c| c.name.clone()).collect();
        let word = match found.first().map(|c| c.kind) {
            Some(CutoutKind::Slit) => "slit",
            Some(CutoutKind::Window) => "window",
            Some(CutoutKind::Hole) => "hole",
            _ => "slot",
        };
        format!("the {word}{} {}", if names.len() == 1 { "" } else { "s" }, list(&names))
    }

    fn thread(&self, assembly: &Assembly, joint: &Joint) -> Phrase {
        let JointKind::Slide { how: SlideHow::Through { piece, cutouts }, placement, .. } = &joint.kind
        else {
            return Phrase::default();
        };
        Phrase::text(&format!(
            "Thread {} through {} of {}, beginning on the {}. No glue: it must slide.",
            self.part(assembly, joint.b),
            self.openings(assembly, *piece, cutouts),
            self.part(assembly, joint.a),
            placement.side.word()
        ))
    }

    fn pin(&self, assembly: &Assembly, id: JointId, joint: &Joint) -> Phrase {
        let sheets = super::pinned::sheets(assembly, id);
        let named = |of: &dyn Fn(&Sheet) -> bool| -> Vec<String> {
            sheets.iter().filter(|s| of(s)).map(|s| self.part(assembly, s.panel)).collect()
        };
        let mut laid = named(&|s| s.loose || s.panel == joint.b);
        // What lies nearest the holding sheet is laid first.
        if matches!(&joint.kind, JointKind::Pin { placement, .. } if placement.side == Face::Front) {
            laid.reverse();
        }
        let (laid, target) = (list(&laid), self.target(assembly, joint));
        let all = named(&|_| true);
        let through = match all.as_slice() {
            [_, _, .., last] => format!(
                "push the brad from front to back through {}, and open its legs behind {last}",
                list(&all)
            ),
            _ => "push the brad through both holes and open its legs on the other side".into(),
        };
        Phrase::text(&format!("Lay {laid} on the {target}, {through}. Leave it loose enough to turn."))
    }

    fn stick(&self, assembly: &Assembly, id: JointId, joint: &Joint) -> Phrase {
        let JointKind::Fixed { placement, faces, foam, .. } = &joint.kind else { return Phrase::default() };
        let (part, target) = (self.part(assembly, joint.b), self.target(assembly, joint));
        let phrase = if *foam {
            Phrase::text(&format!("Stick the {} of {part} to the {target} on foam ", faces.0.word()))
                .length(placement.raise)
                .then(" high.")
        } else {
            Phrase::text(&format!("Stick the {} of {part} to the {target}.", faces.0.word()))
        };
        if super::reach::keep_clear(assembly, id).is_empty() {
            phrase
        } else {
            phrase.then(" Glue only the marked area: something runs beside it and must stay free.")
        }
    }

    fn close(&self, assembly: &Assembly, joint: &Joint) -> Phrase {
        let JointKind::Fixed { faces, .. } = &joint.kind else { return Phrase::default() };
        let part = self.part(assembly, joint.b);
        let target = self.target(assembly, joint);
        let piece = assembly.panels.get(joint.b).and_then(|panel| assembly.pieces.get(panel.piece));
        if piece.is_some_and(|piece| piece.creases.is_empty()) {
            return Phrase::text(&format!("Stick the {} of {part} to the {target} too.", faces.0.word()));
        }
        Phrase::text(&format!(
            "Fold {part} over without glue first and see that its edges lie true; then stick its {} to the {target}.",
            faces.0.word()
        ))
    }

    fn tuck(&self, assembly: &Assembly, joint: &Joint) -> Phrase {
        let JointKind::Tuck { cutout, piece } = &joint.kind else { return Phrase::default() };
        let into = self.openings(assembly, *piece, &[*cutout]);
        let home = self.part(assembly, joint.a);
        let tongue = self.part(assembly, joint.b);
        Phrase::text(&format!("Tuck {tongue} into {into} of {home}. It is not stuck."))
    }

    fn dry_run(&self, assembly: &Assembly, motion: Option<usize>, joints: &[JointId]) -> Phrase {
        let mut phrase = match motion.and_then(|m| assembly.motions.get(m)) {
            Some(motion) => Phrase::text(&format!("Try “{}” now: ", motion.name)),
            None => Phrase::text("Try it now: "),
        };
        // None of a ring of brads turns alone.
        if motion.is_none() && joints.iter().any(|j| !brads_of_ring(assembly, *j).is_empty()) {
            let mut parts: Vec<String> = Vec::new();
            for part in
                joints.iter().filter_map(|j| assembly.joints.get(*j)).map(|j| self.part(assembly, j.b))
            {
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
            return phrase.then(&format!(
                "swing {} to and fro, which are pinned in a ring. They must turn together without catching.",
                list(&parts)
            ));
        }
        for (n, joint) in joints.iter().filter_map(|j| assembly.joints.get(*j)).enumerate() {
            if n > 0 {
                phrase = phrase.then(", then ");
            }
            let part = self.part(assembly, joint.b);
            phrase = match &joint.kind {
                JointKind::Slide { range, ends, .. } if range.0.is_finite() && range.1.is_finite() => phrase
                    .then(&format!("run {part} from {} to {}, ", ends.0.word(), ends.1.word()))
                    .length(range.1 - range.0),
                JointKind::Pin { range: Some((low, high)), .. } => phrase.then(&format!(
                    "turn {part} through {} ({} to {})",
                    say_angle(high - low),
                    say_angle(*low),
                    say_angle(*high)
                )),
                JointKind::Pin { .. } => phrase.then(&format!("turn {part} once round")),
                _ => phrase.then(&format!("move {part} all the way")),
            };
        }
        phrase.then(". It must run without catching.")
    }

    fn finish(&self, assembly: &Assembly) -> Phrase {
        let poses: Vec<String> = assembly.poses.iter().map(|p| p.name.clone()).collect();
        let mut phrase = if poses.is_empty() {
            Phrase::text("Let the glue dry under a weight.")
        } else {
            Phrase::text(&format!(
                "Let the glue dry under a weight, then compare the card with the pictures: {}.",
                list(&poses)
            ))
        };
        if let Some(envelope) = &assembly.envelope {
            phrase = phrase.then(&format!(" Slip it into its envelope, {}.", envelope.name));
        }
        phrase
    }
}

/// The longer way of a lap along the strap: the side of its box that is not the strap's width.
fn overlap(assembly: &Assembly, closing: JointId) -> Option<f64> {
    let JointKind::Fixed { area, .. } = &assembly.joints.get(closing)?.kind else { return None };
    let piece = assembly.pieces.get(piece_of(assembly, assembly.joints.get(closing)?.b)?)?;
    let wide = piece.bounds.width().min(piece.bounds.height());
    let bounds = area.first()?.bounds();
    let sides = [bounds.width(), bounds.height()];
    sides.into_iter().max_by(|a, b| (a - wide).abs().total_cmp(&(b - wide).abs()))
}

/// "a", "a and b", "a, b and c".
pub fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// A whole number of things: "1 brad", "2 brads".
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{} {}", say_number(count as f64), if count == 1 { one } else { many })
}
