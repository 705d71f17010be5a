//! Tabs: flaps beyond an edge of a panel, joined to it by a crease of the same name.

use super::built::{Built, BuiltPanel, Located, edge_on_side, side};
use super::model::{Crease, Cutout, CutoutKind, Fold};
use super::panels::Named;
use crate::findings::{Findings, catalogue as found};
use crate::geometry::{Contour, Curve, Point, Polygon, Segment};
use crate::meaning::design::{FeatureKind, Tab};
use crate::quantity::tolerance::COINCIDENT_MM;

/// What tabs add to a piece.
#[derive(Default)]
pub(super) struct Tabs {
    pub flaps: Vec<Named>,
    pub creases: Vec<Crease>,
    /// The ends of every flap: neighbours that share one are still cut apart there.
    pub ends: Vec<Segment>,
    /// Cuts between neighbouring flaps, which the outline does not run along.
    pub slits: Vec<Cutout>,
}

/// Adds every tab to the outline of `built`. Panels must be known.
pub(super) fn add(tabs: &[Tab], built: &mut Built, sink: &mut Findings) -> Option<Tabs> {
    let mut all = Tabs::default();
    let mut sound = true;
    // Edges are those of the outline and of tabs before tabs broke them up.
    let mut outlines = vec![built.contour.clone()];
    for tab in tabs {
        match flap(tab, built, &outlines, sink) {
            Some(flap) => {
                sound &= attach(tab, &flap, built, &mut all, sink);
                // A further tab may hang on this one.
                if let Some(named) = all.flaps.last().filter(|named| named.name == tab.name) {
                    let (name, span) = (named.name.clone(), named.span);
                    outlines.push(Contour::polygon(&named.region.outer));
                    built.panels.push(BuiltPanel { name, polygon: named.region.clone(), span });
                }
            }
            None => sound = false,
        }
    }
    for (spike, end) in remove_spikes(&mut built.contour) {
        let name = format!("cut between tabs {}", all.slits.len() + 1);
        let span = tabs.first().map_or(built.span, |tab| tab.span);
        all.slits.push(Cutout {
            name,
            kind: CutoutKind::Slit,
            panel: 0,
            contour: None,
            notch: false,
            centre: spike.midpoint(end),
            from: spike,
            to: end,
            length: spike.distance(end),
            width: 0.0,
            readings: Vec::new(),
            span,
        });
    }
    sound.then_some(all)
}

/// The four corners of a flap: along the edge, then out and back.
struct Flap {
    corners: [Point; 4],
}

fn flap(tab: &Tab, built: &Built, outlines: &[Contour], sink: &mut Findings) -> Option<Flap> {
    let FeatureKind::Edge(panel, word) = &tab.off.what else {
        sink.report(found::TabOffNoEdge { tab: tab.name.clone(), place: tab.off.span, over: None });
        return None;
    };
    let polygon = match panel {
        Some(name) => &built.panels.get(built.panel(name)?)?.polygon,
        None => &built.polygon,
    };
    let outer = |edge: &Segment| outlines.iter().any(|contour| lies_on(contour, edge).is_some());
    let edge = edge_on_side(polygon, side(*word)).filter(outer);
    let Some(edge) = edge else {
        sink.report(found::TabOffNoEdge { tab: tab.name.clone(), place: tab.off.span, over: None });
        return None;
    };
    let edge = stretch(tab, edge, built, sink)?;
    let unit = edge.vector().unit()?;
    // Outward: the side of the edge where there is no paper.
    let middle = edge.midpoint();
    let step = 10.0 * COINCIDENT_MM;
    let outward = if polygon.contains_strictly(middle + unit.turned_left() * step) {
        unit.turned_right()
    } else {
        unit.turned_left()
    };
    let depth = tab.depth.value();
    let lean = tab.taper.map_or(0.0, |angle| depth * libm::tan(angle.value().to_radians()));
    if !lean.is_finite() || lean * 2.0 > edge.length() - COINCIDENT_MM {
        let slope = (lean / depth).abs().max(f64::MIN_POSITIVE);
        sink.report(found::TabTooDeep {
            tab: tab.name.clone(),
            depth: tab.depth.stated(),
            edge: tab.off.span,
            length: edge.length(),
            taper: tab.taper.map_or(0.0, |angle| angle.value()),
            deepest: edge.length() / 2.0 / slope,
        });
        return None;
    }
    let out = outward * depth;
    Some(Flap {
        corners: [edge.start, edge.start + out + unit * lean, edge.end + out - unit * lean, edge.end],
    })
}

/// The part of the edge that the tab takes.
fn stretch(tab: &Tab, edge: Segment, built: &Built, sink: &mut Findings) -> Option<Segment> {
    let Some(extent) = &tab.extent else { return Some(edge) };
    // A bare side is a side of the panel that the tab hangs on.
    let from = match (&extent.from.what, &tab.off.what) {
        (FeatureKind::Edge(None, word), FeatureKind::Edge(panel, _)) => {
            FeatureKind::Edge(panel.clone(), *word)
        }
        (other, _) => other.clone(),
    };
    let Located::Edge { line, inward } = built.locate(&from, None)? else { return None };
    let unit = edge.vector().unit()?;
    let along = unit.dot(inward);
    if along.abs() < 1e-6 {
        sink.report(found::TabOffNoEdge { tab: tab.name.clone(), place: extent.from.span, over: None });
        return None;
    }
    let stand = |value: f64| (value - inward.dot(edge.start - line.start)) / along;
    let (a, b) = (stand(extent.start.value()), stand(extent.end.value()));
    let (from, to) = (a.min(b), a.max(b));
    let over = (-from).max(to - edge.length());
    if over > COINCIDENT_MM {
        let place = extent.start.span.to(extent.end.span);
        sink.report(found::TabOffNoEdge { tab: tab.name.clone(), place, over: Some(over) });
        return None;
    }
    Some(Segment::new(edge.start + unit * from, edge.start + unit * to))
}

/// The contour's line that holds a segment.
fn lies_on(contour: &Contour, segment: &Segment) -> Option<usize> {
    contour.curves().position(|(from, curve)| {
        curve.as_segment(from).is_some_and(|line| {
            line.distance(segment.start) <= COINCIDENT_MM && line.distance(segment.end) <= COINCIDENT_MM
        })
    })
}

fn attach(tab: &Tab, flap: &Flap, built: &mut Built, all: &mut Tabs, sink: &mut Findings) -> bool {
    let [a, b, c, d] = flap.corners;
    let region = Polygon::simple(flap.corners.to_vec());
    if let Some(other) =
        all.flaps.iter().find(|f| crate::geometry::interiors_intersect(&f.region, &region, COINCIDENT_MM))
    {
        sink.report(found::TabsOverlap {
            first: other.name.clone(),
            second: tab.name.clone(),
            before: other.span,
            place: tab.span,
        });
        return false;
    }
    let detour = [Curve::line(b), Curve::line(c), Curve::line(d)];
    if !splice(&mut built.contour, Segment::new(a, d), &detour) {
        sink.report(found::TabOffNoEdge { tab: tab.name.clone(), place: tab.off.span, over: None });
        return false;
    }
    all.ends.push(Segment::new(a, b));
    all.ends.push(Segment::new(d, c));
    all.flaps.push(Named { name: tab.name.clone(), region, span: tab.span });
    all.creases.push(Crease {
        name: tab.name.clone(),
        named: true,
        fold: if tab.valley { Fold::Valley } else { Fold::Mountain },
        from: a,
        to: d,
        hinges: Vec::new(),
        rest: tab.rest.map(|rest| rest.value()),
        reading: None,
        span: tab.span,
    });
    true
}

/// Leads the contour round `detour` instead of straight along `gap`, which must lie on one of its lines. The detour
/// starts at the gap's start and ends at its end. False when no line holds the gap.
pub(super) fn splice(contour: &mut Contour, gap: Segment, detour: &[Curve]) -> bool {
    let Some(index) = lies_on(contour, &gap) else { return false };
    let Some(line) = contour.curves().nth(index).and_then(|(from, curve)| curve.as_segment(from)) else {
        return false;
    };
    let forward = line.vector().dot(gap.vector()) >= 0.0;
    let way = if forward {
        Contour::new(gap.start, detour.to_vec())
    } else {
        Contour::new(gap.start, detour.to_vec()).reversed()
    };
    let mut between = Vec::new();
    if !way.start.is_near(line.start, COINCIDENT_MM) {
        between.push(Curve::line(way.start));
    }
    let end = way.end();
    between.extend(way.segments);
    if !end.is_near(line.end, COINCIDENT_MM) {
        between.push(Curve::line(line.end));
    }
    contour.segments.splice(index..=index, between);
    true
}

/// Takes out places where the contour goes out along a line and straight back; gives those lines.
fn remove_spikes(contour: &mut Contour) -> Vec<(Point, Point)> {
    let mut spikes = Vec::new();
    loop {
        let lines: Vec<Option<Segment>> = contour.curves().map(|(from, c)| c.as_segment(from)).collect();
        let spike = lines.windows(2).position(|pair| match pair {
            [Some(out), Some(back)] => {
                out.length() > COINCIDENT_MM
                    && back.length() > COINCIDENT_MM
                    && out.vector().dot(back.vector()) < 0.0
                    && out.offset_of(back.end).abs() <= COINCIDENT_MM
            }
            _ => false,
        });
        let Some((index, out, back)) = spike.and_then(|i| Some((i, lines[i]?, lines[i + 1]?))) else {
            return spikes;
        };
        let shorter = if out.length() <= back.length() { out.start } else { back.end };
        spikes.push((out.end, shorter));
        // Straight on from where the spike left the outline.
        let rest = Curve::line(back.end);
        contour.segments.splice(index..=index + 1, [rest]);
        if out.start.is_near(back.end, COINCIDENT_MM) {
            contour.segments.remove(index);
        }
    }
}
