//! What a guide says, in blocks.

use super::Material;
use super::block::{Block, Guide, Line, Picture, Section, Table};
use super::moving::straight;
use super::words::{Catalogue, fill};
use crate::assembly::claims::Predicate;
use crate::assembly::{Assembly, Face, JointKind, PanelId, PieceKind, PrintContent};
use crate::checks::{Subject, closed, envelope, post};
use crate::drawing::step;
use crate::drawing::view::Stage;
use crate::geometry::Polygon;
use crate::layers::Kept;
use crate::making::words::{English, Words as _, counted};
use crate::making::{Step, Work};
use crate::motion::{PoseState, lower};
use crate::output::cut_list::{CutList, Row};
use crate::output::kit::{self, Source, View, file_word, staging};
use crate::output::{font, plan};
use crate::quantity::{say_mass, say_number, standard};
use crate::stock;

/// Above this share all of a thing is seen, below the other nothing of it: slivers at edges do not count.
const WHOLLY: f64 = 0.995;
const NOTHING: f64 = 0.005;
const MM_PER_INCH: f64 = 25.4;

pub fn guide(material: &Material, words: &Catalogue) -> Guide {
    let writer = Writer { material, source: material.source, assembly: material.source.assembly, words };
    let sections = [
        writer.card(),
        writer.need(),
        writer.cautions(),
        writer.moves(),
        writer.cut_list(),
        writer.sheet_plan(),
        writer.steps(),
        writer.seen(),
        writer.post(),
        writer.variants(),
    ];
    let title = if writer.assembly.title.is_empty() { "Card" } else { writer.assembly.title.as_str() };
    Guide {
        title: title.into(),
        heading: fill(words.how_to_make, &[title]),
        units: writer.assembly.units,
        sections: sections.into_iter().flatten().collect(),
    }
}

struct Writer<'a> {
    material: &'a Material<'a>,
    source: &'a Source<'a>,
    assembly: &'a Assembly,
    words: &'a Catalogue,
}

impl Writer<'_> {
    /// A section, when there is something in it.
    fn section(&self, id: &'static str, title: &str, blocks: Vec<Block>) -> Option<Section> {
        (!blocks.is_empty()).then(|| Section { id, title: title.into(), blocks })
    }

    fn card(&self) -> Option<Section> {
        let words = self.words;
        let reached = || self.source.states.iter().zip(self.source.cards).filter(|(s, _)| s.fault.is_none());
        let pictures = reached().map(|(state, card)| Picture {
            file: format!("pose-{}-view.png", file_word(&state.name)),
            title: fill(words.picture_of_pose, &[&state.name]),
            description: fill(words.what_pose_shows, &[&self.assembly.title, &state.name]),
            drawing: kit::pose_figure(self.assembly, state, card, View::ThreeQuarter).alone(),
        });
        let rows = reached().map(|(state, card)| {
            let extent = state.extent(self.assembly);
            let thick = match &card.thickest {
                Some(thickest) if card.flat => Line::default().length(thickest.mm),
                _ => Line::text(words.not_flat),
            };
            vec![
                Line::text(&state.name),
                Line::default().length(extent.width).then(" × ").length(extent.height),
                if card.flat { Line::text("–") } else { Line::default().length(extent.depth) },
                thick,
            ]
        });
        let mut blocks = vec![
            Block::Pictures(pictures.collect()),
            Block::Table(Table {
                caption: words.sizes.into(),
                head: [words.pose, words.width_and_height, words.depth, words.thickness]
                    .map(String::from)
                    .into(),
                rows: rows.collect(),
            }),
        ];
        if let Ok(mass) = stock::mass(self.assembly) {
            blocks.push(Block::Text(Line::text(&fill(words.weighs, &[&say_mass(mass)]))));
        }
        self.section("card", words.card, blocks)
    }

    fn need(&self) -> Option<Section> {
        let words = self.words;
        let rows = self.material.plans.iter().filter_map(|p| {
            let paper = self.assembly.papers.get(p.paper)?;
            let weight = match paper.grammage {
                Some(gsm) => format!("{} g/m²", say_number(gsm.round())),
                None => words.unknown.into(),
            };
            let thick = Line::default()
                .both(&format!("{:.3} in", paper.caliper / MM_PER_INCH), &format!("{:.2} mm", paper.caliper));
            let thick = if paper.caliper_stated { thick } else { thick.then(words.estimated) };
            let sheets = match p.planned() {
                Some(planned) => {
                    Line::text(&format!("{} × {} (", planned.plan.sheets.len(), planned.sheet.name))
                        .length(planned.sheet.width)
                        .then(" × ")
                        .length(planned.sheet.height)
                        .then(")")
                }
                None => Line::text(words.unknown),
            };
            Some(vec![Line::text(&paper.name), Line::text(&weight), thick, sheets])
        });
        let mut blocks = vec![Block::Table(Table {
            caption: words.papers.into(),
            head: [words.paper, words.weight, words.caliper, words.sheets].map(String::from).into(),
            rows: rows.collect(),
        })];
        if let Some(cost) = plan::cost_per_card(self.material.plans) {
            blocks.push(Block::Text(Line::text(&fill(words.cost, &[&format!("{cost:.2}")]))));
        }
        blocks.push(Block::Subheading(words.tools.into()));
        blocks.push(Block::List(self.tools()));
        blocks.push(Block::Text(
            Line::text(&fill(words.nets_in, &["net.pdf", "print.pdf", "trace.pdf"]))
                .then(" ")
                .then(words.check_scale),
        ));
        self.section("need", words.need, blocks)
    }

    fn tools(&self) -> Vec<Line> {
        let words = self.words;
        let mut tools: Vec<Line> = [words.knife, words.ruler].map(Line::text).into();
        if self.assembly.pieces.iter().any(|p| !p.creases.is_empty()) {
            tools.push(Line::text(words.scoring));
        }
        tools.push(Line::text(words.pencil));
        let fixed = |wanted: bool| {
            self.assembly.joints.iter().filter_map(move |j| match &j.kind {
                JointKind::Fixed { placement, foam, .. } if *foam == wanted => Some(placement.raise),
                _ => None,
            })
        };
        if fixed(false).next().is_some() {
            tools.push(Line::text(words.glue));
        }
        let mut heights: Vec<f64> = fixed(true).collect();
        heights.sort_by(f64::total_cmp);
        heights.dedup();
        tools.extend(heights.into_iter().map(|mm| Line::text(words.foam).length(mm)));
        let brads = self.assembly.joints.iter().filter(|j| matches!(j.kind, JointKind::Pin { .. })).count();
        if brads > 0 {
            tools.push(Line::text(&fill(words.brads, &[&counted(brads, "brad", "brads")])));
            tools.push(Line::text(words.punch));
        }
        tools
    }

    fn cautions(&self) -> Option<Section> {
        let words = self.words;
        let has = |wanted: fn(&JointKind) -> bool| self.assembly.joints.iter().any(|j| wanted(&j.kind));
        let mut lines = vec![words.caution_blade];
        if has(|k| matches!(k, JointKind::Fixed { .. })) {
            lines.push(words.caution_glue);
        }
        if has(|k| matches!(k, JointKind::Pin { .. })) {
            lines.push(words.caution_pins);
        }
        lines.push(words.caution_rules);
        let lines = lines.into_iter().map(Line::text).collect();
        self.section("cautions", words.cautions, vec![Block::List(lines)])
    }

    fn moves(&self) -> Option<Section> {
        let words = self.words;
        let mut blocks: Vec<Block> = self
            .material
            .motions
            .iter()
            .filter(|m| m.drawings.len() > 1)
            .map(|motion| Block::Motion {
                title: fill(words.motion, &[&motion.name]),
                description: fill(words.motion_text, &[&motion.name, &motion.drawings.len().to_string()]),
                slider: fill(words.motion_slider, &[&motion.name]),
                file: format!("motion-{}.png", file_word(&motion.name)),
                frames: motion.drawings.clone(),
            })
            .collect();
        if !blocks.is_empty() {
            blocks.insert(0, Block::Text(Line::text(words.moves_intro)));
        }
        self.section("motion", words.moves, blocks)
    }

    fn cut_list(&self) -> Option<Section> {
        let words = self.words;
        let list = CutList::new(&self.source.inch, &self.source.metric);
        let row = |row: &Row| {
            let size = Line::default().both(&row.inch.size, &row.metric.size);
            let size = if row.shaped { size.then(", ").then(words.shaped) } else { size };
            vec![
                Line::text(&row.letter),
                Line::text(&row.names.join(", ")),
                Line::text(&row.paper),
                Line::text(&row.quantity.to_string()),
                size,
            ]
        };
        let mut blocks = vec![
            Block::Text(Line::text(words.cut_list_intro)),
            Block::Table(Table {
                caption: words.cut_list.into(),
                head: [words.letter, words.piece, words.paper, words.count, words.cut_size]
                    .map(String::from)
                    .into(),
                rows: list.rows.iter().map(row).collect(),
            }),
        ];
        let measured = |r: &Row| {
            let inch = r.inch.scores.iter().chain(&r.inch.openings);
            let metric = r.metric.scores.iter().chain(&r.metric.openings);
            let name = format!("{} {}", r.letter, r.names.join(", "));
            inch.zip(metric)
                .map(|(a, b)| vec![Line::text(&name), Line::default().both(a, b)])
                .collect::<Vec<Vec<Line>>>()
        };
        let rows: Vec<Vec<Line>> = list.rows.iter().flat_map(measured).collect();
        if !rows.is_empty() {
            blocks.push(Block::Table(Table {
                caption: words.scores_and_openings.into(),
                head: [words.piece, words.to_measure].map(String::from).into(),
                rows,
            }));
        }
        blocks.push(Block::List(list.notes.iter().map(|n| Line::text(&n.text())).collect()));
        self.section("cut-list", words.cut_list, blocks)
    }

    fn sheet_plan(&self) -> Option<Section> {
        let words = self.words;
        let mut blocks = vec![Block::Text(Line::text(words.sheet_plan_intro))];
        for paper in self.material.plans {
            blocks.push(Block::Subheading(paper.name.clone()));
            let Some(planned) = paper.planned() else {
                let why = match &paper.outcome {
                    plan::Outcome::Refused(fault) => plan::refusal(self.assembly, paper, fault),
                    _ => words.no_sheet.into(),
                };
                blocks.push(Block::Text(Line::text(&why)));
                continue;
            };
            blocks.push(Block::Text(Line::from(&plan::summary(paper, planned))));
            blocks.extend(plan::notes(self.assembly, planned).iter().map(|n| Block::Text(Line::text(n))));
            for (sheet, (file, figure)) in plan::sheets(self.assembly, paper).into_iter().enumerate() {
                let number = (sheet + 1).to_string();
                blocks.push(Block::Pictures(vec![Picture {
                    file: format!("{file}.png"),
                    title: fill(words.sheet, &[&number, &paper.name]),
                    description: fill(words.sheet_text, &[&number, &paper.name]),
                    drawing: figure.alone(),
                }]));
                let steps = paper.steps(self.assembly, sheet);
                blocks.push(Block::Numbered(steps.iter().map(|(n, p)| (*n, Line::from(p))).collect()));
            }
        }
        self.section("sheet-plan", words.sheet_plan, blocks)
    }

    fn steps(&self) -> Option<Section> {
        let words = self.words;
        let mut blocks = Vec::new();
        if let Some(figure) = super::exploded(self.source, words.exploded) {
            blocks.push(Block::Pictures(vec![Picture {
                file: super::EXPLODED.into(),
                title: words.exploded.into(),
                description: words.exploded_text.into(),
                drawing: figure.alone(),
            }]));
        }
        blocks.push(Block::Text(Line::text(words.steps_intro)));
        blocks.extend(self.material.making.steps.iter().map(|step| {
            let number = step.number.to_string();
            let mut lines = vec![Line::from(&step.words)];
            lines.extend(step.reason.as_ref().map(Line::from));
            Block::Step {
                title: fill(words.step, &[&number, English.heading(&step.work)]),
                lines,
                picture: self.step_picture(step),
            }
        }));
        self.section("steps", words.steps, blocks)
    }

    fn step_picture(&self, step: &Step) -> Option<Picture> {
        let words = self.words;
        if step.work == Work::Finish {
            let (state, card) =
                self.source.states.iter().zip(self.source.cards).rfind(|(s, _)| s.fault.is_none())?;
            return Some(Picture {
                file: format!("pose-{}-view.png", file_word(&state.name)),
                title: words.ready.into(),
                description: fill(words.what_pose_shows, &[&self.assembly.title, &state.name]),
                drawing: kit::pose_figure(self.assembly, state, card, View::ThreeQuarter).alone(),
            });
        }
        let figure =
            step::step(self.assembly, self.material.making, step.number, &English, font::typeface())?;
        Some(Picture {
            file: format!("{}step-{:02}.png", super::STEPS, step.number),
            title: fill(words.step_picture, &[&step.number.to_string()]),
            description: step.words.say(self.assembly.units),
            drawing: figure.alone(),
        })
    }

    /// Prints and mats, and how much of each is seen in each pose.
    fn seen(&self) -> Option<Section> {
        let words = self.words;
        let mut areas: Vec<(PanelId, Face, Polygon)> = Vec::new();
        let mut names: Vec<String> = Vec::new();
        for print in &self.assembly.prints {
            let covered = print.region(self.assembly);
            let Some(area) = covered.into_iter().max_by(|a, b| a.area().total_cmp(&b.area())) else {
                continue;
            };
            areas.push((print.panel, print.face, area));
            let panel = self.assembly.panels.get(print.panel).map_or("", |p| &p.name);
            names.push(match &print.content {
                PrintContent::Text(text) => fill(words.lettering, &[&text.replace('\n', " / ")]),
                PrintContent::Picture { .. } if print.spread.is_some() => {
                    fill(words.picture_part, &[&print.name, panel])
                }
                PrintContent::Picture { .. } => print.name.clone(),
            });
        }
        for piece in self.assembly.pieces.iter().filter(|p| p.kind == PieceKind::Mat) {
            for panel in &piece.panels {
                let Some(polygon) = self.assembly.panels.get(*panel).map(|p| p.polygon.clone()) else {
                    continue;
                };
                areas.push((*panel, Face::Front, polygon));
                names.push(format!("{} {}", piece.letter, piece.name));
            }
        }
        let mut rows: Vec<Vec<Line>> = names.iter().map(|n| vec![Line::text(n)]).collect();
        let mut head = vec![words.part.to_string()];
        for (state, card) in
            self.source.states.iter().zip(self.source.cards).filter(|(s, _)| s.fault.is_none())
        {
            head.push(fill(words.in_pose, &[&state.name]));
            let shares = Stage::new(self.assembly, staging(state, card)).shares(&straight(), &areas);
            for (row, (share, up)) in rows.iter_mut().zip(shares) {
                row.push(Line::text(&self.share(share, up)));
            }
        }
        if rows.is_empty() || head.len() < 2 {
            return None;
        }
        let table = Table { caption: words.seen.into(), head, rows };
        self.section("seen", words.seen, vec![Block::Text(Line::text(words.seen_intro)), Block::Table(table)])
    }

    fn share(&self, share: f64, up: bool) -> String {
        let words = self.words;
        let text = if share < NOTHING {
            return words.hidden.into();
        } else if share > WHOLLY {
            words.wholly.into()
        } else {
            fill(words.partly, &[&say_number((share * 100.0).round())])
        };
        if up { text } else { format!("{text}{}", words.upside_down) }
    }

    /// What the card measures with the values of its variants; one that does not work is named so.
    fn variants(&self) -> Option<Section> {
        let words = self.words;
        let mut poses: Vec<&str> = Vec::new();
        for state in self.source.states.iter().filter(|s| s.fault.is_none()) {
            poses.push(&state.name);
        }
        let row = |name: &str, assembly: &Assembly, states: &[PoseState], sound: bool| {
            let size = |pose: &&str| match states.iter().find(|s| s.name == *pose && s.fault.is_none()) {
                Some(state) if sound => {
                    let extent = state.extent(assembly);
                    Line::default().length(extent.width).then(" × ").length(extent.height)
                }
                _ => Line::text("–"),
            };
            let envelope = match &assembly.envelope {
                _ if !sound => Line::text(words.variant_unsound),
                Some(e) if !e.name.is_empty() => {
                    Line::text(&e.name).then(", ").length(e.width).then(" × ").length(e.height)
                }
                Some(e) => Line::default().length(e.width).then(" × ").length(e.height),
                None => Line::text("–"),
            };
            let sizes = poses.iter().map(size);
            [Line::text(name)].into_iter().chain(sizes).chain([envelope]).collect::<Vec<Line>>()
        };
        let here = row(words.variant_here, self.assembly, self.source.states, true);
        let others = self.source.variants.iter();
        let rows: Vec<Vec<Line>> = others.map(|v| row(&v.name, v.assembly, v.states, v.sound)).collect();
        if rows.is_empty() {
            return None;
        }
        let mut head = vec![words.variant.to_string()];
        head.extend(poses.iter().map(|pose| fill(words.in_pose, &[pose])));
        head.push(words.variant_envelope.into());
        let rows = [here].into_iter().chain(rows).collect();
        let table = Table { caption: words.variants.into(), head, rows };
        let blocks = vec![Block::Text(Line::text(words.variants_intro)), Block::Table(table)];
        self.section("variants", words.variants, blocks)
    }

    fn post(&self) -> Option<Section> {
        let words = self.words;
        let (states, cards, kept) = (self.source.states, self.source.cards, &Kept::default());
        let subject =
            Subject { assembly: self.assembly, lowered: &lower(self.assembly), states, cards, kept };
        let asks = |predicate: &Predicate| match predicate {
            Predicate::Fits { pose } | Predicate::Posts { pose } => Some(*pose),
            _ => None,
        };
        let packet = closed::packets(&subject, asks).into_iter().next()?;
        let mut blocks = vec![Block::Text(
            Line::text(words.closed)
                .length(packet.long)
                .then(" × ")
                .length(packet.short)
                .then(words.closed_thickness)
                .length(packet.thick)
                .then("."),
        )];
        if let Some(pocket) = &self.assembly.envelope {
            let lying = envelope::lying_in(&packet, pocket);
            blocks.push(Block::Text(
                Line::text(words.envelope)
                    .length(pocket.width.max(pocket.height))
                    .then(" × ")
                    .length(pocket.width.min(pocket.height))
                    .then(words.envelope_room)
                    .length(lying.long.max(0.0))
                    .then(" × ")
                    .length(lying.short.max(0.0))
                    .then("."),
            ));
        }
        if let Some(limits) = self.assembly.post.as_ref().and_then(|p| standard::post(&p.post, &p.class)) {
            let letter = post::letter(self.assembly, &packet);
            let mut line = Line::text(&fill(words.postage, &[limits.title]))
                .length(letter.long)
                .then(" × ")
                .length(letter.short)
                .then(" × ")
                .length(letter.thick);
            if let Some(mass) = letter.mass {
                line = line.then(&fill(words.postage_mass, &[&say_mass(mass)]));
            }
            line = line.then(".");
            if post::breaches(limits, &letter).is_empty() {
                line = line.then(words.postage_kept);
            }
            blocks.push(Block::Text(line.then(" ").then(&fill(words.postage_date, &[limits.as_of]))));
        }
        self.section("post", words.post, blocks)
    }
}
