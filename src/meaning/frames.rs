//! Exact extents of pieces and panels, where they can be told without geometry: plain sizes, and panels between
//! full scores square to the edges.

use std::collections::BTreeMap;

use super::design::SideWord;
use super::resolve::{Entity, side_word};
use super::world::{Pending, PendingKey, PieceDecl, Value, World};
use crate::findings::catalogue::NoPlainExtent;
use crate::quantity::Exact;
use crate::source::Span;
use crate::syntax::tree::{Clause, ClauseKind, Direction, Face, ItemKind, MeasureWord, Name, Path, Shape};

/// Left, top, right, bottom in the piece's own frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExactBox {
    pub left: Exact,
    pub top: Exact,
    pub right: Exact,
    pub bottom: Exact,
}

impl ExactBox {
    fn of_size(width: Exact, height: Exact) -> Self {
        Self { left: Exact::ZERO, top: Exact::ZERO, right: width, bottom: height }
    }

    pub fn side(&self, side: SideWord) -> Exact {
        match side {
            SideWord::Left => self.left,
            SideWord::Right => self.right,
            SideWord::Top => self.top,
            SideWord::Bottom => self.bottom,
        }
    }
}

#[derive(Debug, Clone)]
pub struct Frame {
    pub whole: ExactBox,
    /// Panels whose extent is plain.
    pub panels: BTreeMap<String, ExactBox>,
}

impl<'t> World<'t> {
    /// Width, height or an edge's reading of a piece or panel.
    pub fn property(
        &mut self,
        piece: PieceDecl,
        panel: Option<&str>,
        word: &str,
        span: Span,
    ) -> Option<Value> {
        let frame = self.frame(piece, span)?;
        let extent = match panel {
            None => Some(frame.whole),
            Some(panel) => frame.panels.get(panel).copied(),
        };
        let Some(extent) = extent else {
            let name = panel.unwrap_or_default().to_string();
            self.report(NoPlainExtent { place: span, name, word: word.to_string() });
            return None;
        };
        let exact = match word {
            "width" => extent.right.minus(extent.left)?,
            "height" => extent.bottom.minus(extent.top)?,
            _ => extent.side(side_word(word)?),
        };
        Some(Self::derived(exact, span))
    }

    /// The frame of a piece; `None` when it waits for a blank, had a finding, or has no plain extent.
    pub fn frame(&mut self, piece: PieceDecl, asked: Span) -> Option<Frame> {
        if let Some(frame) = self.frames.get(&piece) {
            return frame.clone();
        }
        let name = self.pieces.get(piece)?.name.clone();
        let span = self.pieces.get(piece)?.span;
        let entry = Pending { key: PendingKey::Frame(piece), name: name.clone(), span };
        let frame = self.guarded(entry, |world| world.work_out_frame(piece, asked, &name));
        self.frames.insert(piece, frame.clone());
        frame
    }

    fn work_out_frame(&mut self, piece: PieceDecl, asked: Span, name: &str) -> Option<Frame> {
        let item = self.pieces.get(piece)?.item;
        let scope = self.pieces.get(piece)?.scope;
        match &item.kind {
            ItemKind::Mat { on, clauses, .. } => {
                let border = clauses.iter().find_map(|c| match &c.kind {
                    ClauseKind::Measure { value, word } if word.value == MeasureWord::Border => Some(value),
                    _ => None,
                })?;
                let border = self.length(scope, border)?.exact;
                let under = self.face_extent(scope, on, asked)?;
                let twice = border.plus(border)?;
                let width = under.right.minus(under.left)?.minus(twice)?;
                let height = under.bottom.minus(under.top)?.minus(twice)?;
                Some(Frame { whole: ExactBox::of_size(width, height), panels: BTreeMap::new() })
            }
            ItemKind::Piece { .. } => self.cut_frame(piece, asked, name),
            _ => {
                self.report(NoPlainExtent { place: asked, name: name.to_string(), word: "width".into() });
                None
            }
        }
    }

    fn face_extent(&mut self, scope: usize, on: &'t Face, asked: Span) -> Option<ExactBox> {
        match self.resolve(scope, &on.path, &[])? {
            Entity::Piece(under) => Some(self.frame(under, asked)?.whole),
            Entity::Member { piece, name, .. } => self.frame(piece, asked)?.panels.get(&name).copied(),
            _ => None,
        }
    }

    fn cut_frame(&mut self, piece: PieceDecl, asked: Span, name: &str) -> Option<Frame> {
        let inside = self.pieces.get(piece)?.inside.clone();
        let mut whole = None;
        for (scope, item) in &inside {
            match &item.kind {
                ItemKind::Size { width, height } => {
                    let (w, h) = (self.length(*scope, width), self.length(*scope, height));
                    whole = Some(ExactBox::of_size(w?.exact, h?.exact));
                }
                ItemKind::Shape { shape, .. } => whole = self.shape_box(*scope, shape, asked, name),
                _ => {}
            }
        }
        let whole = whole?;
        // Full scores square to the edges, across and down; anything else makes panels that are no plain boxes.
        let mut lines: [Vec<Exact>; 2] = [Vec::new(), Vec::new()];
        let mut plain = true;
        let mut named = BTreeMap::new();
        let mut waiting: Vec<_> =
            inside.iter().filter(|(_, item)| matches!(item.kind, ItemKind::Crease { .. })).collect();
        // A score may be read from another one, whichever comes first.
        while !waiting.is_empty() {
            let before = waiting.len();
            let mut later = Vec::new();
            for entry in waiting {
                let (scope, item) = entry;
                let ItemKind::Crease { names, clauses, .. } = &item.kind else { continue };
                match self.crease_lines(*scope, names, clauses, &whole, &mut named)? {
                    Scores::At { axis, places } => lines[axis].extend(places),
                    Scores::NotPlain => plain = false,
                    Scores::Waits => later.push(entry),
                }
            }
            if later.len() == before {
                plain = false;
                break;
            }
            waiting = later;
        }
        let mut panels = BTreeMap::new();
        if plain {
            for (_, item) in &inside {
                let ItemKind::Panels { names, from } = &item.kind else { continue };
                let Some(side) = side_word(&from.value) else { continue };
                let across = matches!(side, SideWord::Left | SideWord::Right);
                let (along, other) = if across { (&lines[0], &lines[1]) } else { (&lines[1], &lines[0]) };
                if !other.is_empty() || along.len() + 1 != names.len() {
                    continue;
                }
                let mut stops = along.clone();
                stops.push(whole.side(if across { SideWord::Left } else { SideWord::Top }));
                stops.push(whole.side(if across { SideWord::Right } else { SideWord::Bottom }));
                stops.sort();
                let mut cells: Vec<(Exact, Exact)> =
                    stops.iter().copied().zip(stops.iter().copied().skip(1)).collect();
                if matches!(side, SideWord::Right | SideWord::Bottom) {
                    cells.reverse();
                }
                for (name, (start, end)) in names.iter().zip(cells) {
                    let cell = if across {
                        ExactBox { left: start, right: end, ..whole }
                    } else {
                        ExactBox { top: start, bottom: end, ..whole }
                    };
                    panels.insert(name.text.clone(), cell);
                }
            }
        }
        Some(Frame { whole, panels })
    }

    /// The readings of one score statement; adds the scores that it names to `named`.
    fn crease_lines(
        &mut self,
        scope: usize,
        names: &'t [Name],
        clauses: &'t [Clause],
        whole: &ExactBox,
        named: &mut BTreeMap<&'t str, (usize, Exact)>,
    ) -> Option<Scores> {
        let mut base = None;
        let mut values = Vec::new();
        for clause in clauses {
            match &clause.kind {
                ClauseKind::Bare(value) => values.push(value),
                ClauseKind::Reading { value, from, centre: false } => {
                    values.push(value);
                    let Some(side) = single(from).and_then(side_word) else { return Some(Scores::NotPlain) };
                    let inward = matches!(side, SideWord::Left | SideWord::Top);
                    base = Some((axis_of(side), whole.side(side), inward));
                }
                ClauseKind::Beside { subject: None, value, direction, of } => {
                    values.push(value);
                    let Some(of) = single(of) else { return Some(Scores::NotPlain) };
                    let (axis, at) = match side_word(of) {
                        Some(side) => (axis_of(side), whole.side(side)),
                        None => match named.get(of) {
                            Some(known) => *known,
                            None => return Some(Scores::Waits),
                        },
                    };
                    let (across, onward) = match direction.value {
                        Direction::LeftOf => (0, false),
                        Direction::RightOf => (0, true),
                        Direction::Above => (1, false),
                        Direction::Below => (1, true),
                    };
                    if across != axis {
                        return Some(Scores::NotPlain);
                    }
                    base = Some((axis, at, onward));
                }
                ClauseKind::Folded(_) => {}
                _ => return Some(Scores::NotPlain),
            }
        }
        let Some((axis, base, onward)) = base else { return Some(Scores::NotPlain) };
        let mut places = Vec::new();
        for value in values {
            let reading = self.length(scope, value)?.exact;
            places.push(if onward { base.plus(reading)? } else { base.minus(reading)? });
        }
        if names.len() == places.len() {
            let plain = names.iter().zip(&places).filter(|(name, _)| name.index.is_none());
            named.extend(plain.map(|(name, at)| (name.text.as_str(), (axis, *at))));
        }
        Some(Scores::At { axis, places })
    }

    fn shape_box(&mut self, scope: usize, shape: &'t Shape, asked: Span, name: &str) -> Option<ExactBox> {
        match shape {
            Shape::Circle(diameter) => {
                let d = self.length(scope, diameter)?.exact;
                Some(ExactBox::of_size(d, d))
            }
            Shape::Rectangle { width, height } | Shape::Rounded { width, height, .. } => {
                let (w, h) = (self.length(scope, width), self.length(scope, height));
                Some(ExactBox::of_size(w?.exact, h?.exact))
            }
            Shape::Polygon(points) => {
                let mut xs = Vec::new();
                let mut ys = Vec::new();
                for point in points {
                    xs.push(self.length(scope, &point.x)?.exact);
                    ys.push(self.length(scope, &point.y)?.exact);
                }
                Some(ExactBox {
                    left: xs.iter().copied().min()?,
                    top: ys.iter().copied().min()?,
                    right: xs.iter().copied().max()?,
                    bottom: ys.iter().copied().max()?,
                })
            }
            Shape::Path { .. } | Shape::File(_) => {
                self.report(NoPlainExtent { place: asked, name: name.to_string(), word: "width".into() });
                None
            }
        }
    }
}

/// What comes of one score statement.
enum Scores {
    /// Full scores across (0: read from the left) or down (1: read from the top).
    At { axis: usize, places: Vec<Exact> },
    /// Not square to the piece's edges, or not all the way.
    NotPlain,
    /// Read from a score that is not known yet.
    Waits,
}

fn axis_of(side: SideWord) -> usize {
    usize::from(matches!(side, SideWord::Top | SideWord::Bottom))
}

/// A path of one plain word.
fn single(path: &Path) -> Option<&str> {
    match path.segments.as_slice() {
        [Name { text, index: None, .. }] => Some(text),
        _ => None,
    }
}
