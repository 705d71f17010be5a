//! Words and pictures on faces: the box that each fills.

use super::built::Located;
use super::glue::part_name;
use super::lowering::Lowering;
use super::model::{Face, PanelId, Print, PrintContent, Spread};
use super::moving::box_at;
use super::place::{Ground, Subject, place};
use super::svg_outline;
use crate::findings::{Findings, Named, catalogue as found};
use crate::geometry::{Point, Segment};
use crate::meaning::design::{self, FaceOf, FaceWord, Feature, PartOf, PrintGround};
use crate::source::Span;

/// Height of words when the design does not say, mm: about 18 point.
const TEXT_HIGH_MM: f64 = 6.0;
/// Width of a letter as a share of the height of its line: the mean of a common sans-serif face.
const LETTER_WIDTH: f64 = 0.55;
/// Part of the panel that a picture fills when the design does not say.
const PICTURE_SHARE: f64 = 0.5;

impl Lowering<'_> {
    pub fn prints(&mut self) {
        let design = self.design;
        for print in &design.prints {
            if let design::PrintContent::Picture { file, .. } = &print.content
                && aspect(&print.content).is_none()
            {
                self.sink.report(found::PictureNotRead {
                    print: Named { name: print.name.clone(), span: print.span },
                    file: file.clone(),
                });
                self.prints.push(None);
                self.assembly.missing.push(print.name.clone());
                continue;
            }
            let lowered = match &print.on {
                PrintGround::Face(on) => self.print(print, on).into_iter().collect(),
                PrintGround::Spread { parts, pose, pose_span } => {
                    self.spread(print, parts, pose, *pose_span).unwrap_or_default()
                }
            };
            self.prints.push((!lowered.is_empty()).then_some(self.assembly.prints.len()));
            if lowered.is_empty() {
                self.assembly.missing.push(print.name.clone());
            }
            self.assembly.prints.extend(lowered);
        }
    }

    /// One print for every panel that a picture runs over; where it lies on them is told once the pose is known.
    fn spread(
        &mut self,
        print: &design::Print,
        parts: &[PartOf],
        pose: &str,
        pose_span: Span,
    ) -> Option<Vec<Print>> {
        let pose = self.design.poses.iter().position(|p| p.name == pose)?;
        let mut panels: Vec<PanelId> = Vec::new();
        for part in parts {
            let piece = self.id(part.piece)?;
            match &part.panel {
                Some(name) => panels.push(self.panel_id(piece, self.built.get(piece)?.panel(name)?)?),
                None => {
                    let of_piece = self.assembly.panels.iter().enumerate().filter(|(_, p)| p.piece == piece);
                    panels.extend(of_piece.map(|(id, _)| id));
                }
            }
        }
        panels.sort_unstable();
        panels.dedup();
        let one = |panel: PanelId| {
            Some(Print {
                name: print.name.clone(),
                panel,
                face: Face::Front,
                content: content(print),
                area: self.assembly.panels.get(panel)?.polygon.bounds(),
                spread: Some(Spread {
                    pose,
                    pose_span,
                    wide: print.wide.map(|w| w.value()),
                    high: print.high.map(|h| h.value()),
                    aspect: aspect(&print.content)?,
                    laid: None,
                }),
                span: print.span,
            })
        };
        panels.into_iter().map(one).collect()
    }

    fn print(&mut self, print: &design::Print, on: &FaceOf) -> Option<Print> {
        let plane = self.plane(on)?;
        let bounds = plane.bounds;
        let (wide, high) = size(print, bounds.width(), bounds.height());
        let corners = box_at(Point::ORIGIN, wide, high).corners().to_vec();
        let mut heard = Findings::speaking(self.sink.say);
        let placed = {
            let nothing = |_: &Feature| -> Option<Located> { None };
            let no_edge = |_: &Feature| -> Option<Segment> { None };
            let there = |f: &Feature| self.locate(f, plane.piece, Some(plane.local));
            let end = print.place.last().map_or(on.span, |clause| clause.span).after();
            let subject = Subject {
                points: corners,
                by_centre: false,
                locate: &nothing,
                edge: &no_edge,
                name: print.name.clone(),
                span: print.span,
                write_at: (end, if print.place.is_empty() { ": " } else { ", " }),
            };
            let ground = Ground { bounds, locate: &there, name: part_name(self, &plane) };
            place(&print.place, &subject, &ground, &[], &mut heard)
        };
        self.sink.extend(heard);
        let motion = placed?.isometry().then(&plane.own);
        let centre = motion.apply(Point::ORIGIN);
        Some(Print {
            name: print.name.clone(),
            panel: plane.panel,
            face: if plane.own.mirrors() { plane.face } else { face(on.side) },
            content: content(print),
            area: box_at(centre, wide, high),
            spread: None,
            span: print.span,
        })
    }
}

fn content(print: &design::Print) -> PrintContent {
    match &print.content {
        design::PrintContent::Text(text) => PrintContent::Text(text.clone()),
        design::PrintContent::Picture { file, bytes } => {
            PrintContent::Picture { file: file.clone(), bytes: bytes.clone() }
        }
    }
}

/// Width over height of what is printed; `None` when it is no picture.
fn aspect(content: &design::PrintContent) -> Option<f64> {
    match content {
        design::PrintContent::Text(text) => Some(LETTER_WIDTH * text.chars().count().max(1) as f64),
        design::PrintContent::Picture { bytes, .. } => {
            png_aspect(bytes).or_else(|| svg_outline::aspect(bytes))
        }
    }
}

fn face(word: FaceWord) -> Face {
    match word {
        FaceWord::Front => Face::Front,
        FaceWord::Back => Face::Back,
    }
}

/// Width and height of a print in mm, from what is said of it and from what it holds.
fn size(print: &design::Print, panel_width: f64, panel_height: f64) -> (f64, f64) {
    let (wide, high) = (print.wide.map(|w| w.value()), print.high.map(|h| h.value()));
    let aspect = aspect(&print.content).unwrap_or(1.0);
    match (wide, high) {
        (Some(wide), Some(high)) => (wide, high),
        (Some(wide), None) => (wide, wide / aspect),
        (None, Some(high)) => (high * aspect, high),
        (None, None) if matches!(print.content, design::PrintContent::Text(_)) => {
            (TEXT_HIGH_MM * aspect, TEXT_HIGH_MM)
        }
        (None, None) => {
            let wide = (panel_width * PICTURE_SHARE).min(panel_height * PICTURE_SHARE * aspect);
            (wide, wide / aspect)
        }
    }
}

/// Width over height from the header of a PNG file (ISO/IEC 15948, 11.2.2).
fn png_aspect(bytes: &[u8]) -> Option<f64> {
    let number = |at: usize| -> Option<f64> {
        let word: [u8; 4] = bytes.get(at..at + 4)?.try_into().ok()?;
        Some(f64::from(u32::from_be_bytes(word)))
    };
    let is_png = bytes.starts_with(&[0x89, b'P', b'N', b'G']);
    let (width, height) = (number(16)?, number(20)?);
    (is_png && width > 0.0 && height > 0.0).then_some(width / height)
}
