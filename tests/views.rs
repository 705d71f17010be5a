//! Hidden-surface removal against independent means: areas by the union of projections, and rays through random points.

mod made;

use plica::compile::compile;
use plica::drawing::{Ink, LineKind, Operation};
use plica::geometry::{Point, Polygon, Rect, Region, Segment, intersection, pt, region_area, union_all};
use plica::layers;
use plica::layers::hidden::{Camera, Leaf, seen, seen_segment};
use plica::meaning::Request;
use plica::motion::{Iso, Vec3};
use plica::output::kit::{self, View};
use plica::output::{font, png};
use plica::source::Memory;
use proptest::prelude::*;

/// A convex leaf about its frame's origin: corners on an ellipse at random angles.
fn polygon() -> impl Strategy<Value = Polygon> {
    (prop::collection::vec(0.0..std::f64::consts::TAU, 3..8), 5.0..40.0_f64, 5.0..40.0_f64).prop_filter_map(
        "three corners that are apart",
        |(mut angles, a, b)| {
            angles.sort_by(f64::total_cmp);
            angles.dedup_by(|x, y| (*x - *y).abs() < 0.2);
            let ring: Vec<Point> = angles.iter().map(|t| pt(a * t.cos(), b * t.sin())).collect();
            let polygon = Polygon::simple(ring);
            (polygon.outer.len() >= 3 && polygon.area() > 20.0).then_some(polygon)
        },
    )
}

/// A leaf turned about its middle and moved; `reach` bounds how far the middle lies from the world's origin.
fn leaf(reach: f64) -> impl Strategy<Value = Leaf> {
    let axis = prop::array::uniform3(-1.0..1.0_f64)
        .prop_filter_map("a direction", |a| Vec3::from(a).try_normalize(0.1));
    let shift = prop::array::uniform3(-reach..reach);
    (polygon(), axis, 0.0..3.1_f64, shift).prop_map(|(polygon, axis, angle, shift)| Leaf {
        frame: Iso::translation(Vec3::from(shift)) * Iso::turn(Vec3::zeros(), axis, angle),
        polygon,
    })
}

fn camera() -> impl Strategy<Value = Camera> {
    prop_oneof![
        Just(Camera::front()),
        Just(Camera::back()),
        (-170.0..170.0_f64, -80.0..80.0_f64).prop_map(|(yaw, pitch)| Camera::turned(yaw, pitch)),
    ]
}

/// A leaf's corners as a line of sight sees them, worked out here: x right, y down, depth towards the viewer.
fn corners(leaf: &Leaf, camera: &Camera) -> Vec<[f64; 3]> {
    let place = |p: &Point| {
        let (at, depth) = camera.project(leaf.frame.rotation * Vec3::new(p.x, -p.y, 0.0) + leaf.frame.shift);
        [at.x, at.y, depth]
    };
    leaf.polygon.outer.iter().map(place).collect()
}

/// Depth at which the line of sight through `at` meets a convex leaf: the triangle of its fan that holds the point.
/// `None` where it misses; the second value is how near the point lies to an edge of the fan's rim.
fn meets(corners: &[[f64; 3]], at: Point) -> (Option<f64>, f64) {
    let flat = |c: &[f64; 3]| pt(c[0], c[1]);
    let rim = (0..corners.len())
        .map(|i| Segment::new(flat(&corners[i]), flat(&corners[(i + 1) % corners.len()])).distance(at))
        .fold(f64::INFINITY, f64::min);
    for i in 1..corners.len() - 1 {
        let (a, b, c) = (&corners[0], &corners[i], &corners[i + 1]);
        let area = (flat(b) - flat(a)).cross(flat(c) - flat(a));
        if area.abs() < 1e-9 {
            continue;
        }
        let u = (flat(b) - at).cross(flat(c) - at) / area;
        let v = (flat(c) - at).cross(flat(a) - at) / area;
        let w = 1.0 - u - v;
        if u >= 0.0 && v >= 0.0 && w >= 0.0 {
            return (Some(u * a[2] + v * b[2] + w * c[2]), rim);
        }
    }
    (None, rim)
}

/// Closer to an edge, or to another leaf in depth, a ray decides nothing (mm).
const UNDECIDED_MM: f64 = 0.1;

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Leaves that do not meet in space hide one another without gain or loss: what is seen of them has, together, the
    /// area of the union of their projections.
    #[test]
    fn seen_areas_add_up_to_the_union(leaves in prop::collection::vec(leaf(20.0), 1..8), camera in camera()) {
        // Moved apart along the line of sight, farther than any leaf is long.
        let towards = camera.direction(Vec3::x()).z;
        let sight = Vec3::new(towards, camera.direction(Vec3::y()).z, camera.direction(Vec3::z()).z);
        let leaves: Vec<Leaf> = leaves.into_iter().enumerate().map(|(i, leaf)| Leaf {
            frame: Iso::translation(sight * (i as f64 * 200.0)) * leaf.frame,
            ..leaf
        }).collect();
        let seen = seen(&leaves, &camera, |_, _| false);
        let total: f64 = seen.iter().map(|(_, region)| region_area(region)).sum();
        let shadows: Vec<Polygon> = seen.iter().filter(|(p, _)| !p.is_edge_on()).map(|(p, _)| p.polygon.clone()).collect();
        let union = region_area(&union_all(&shadows));
        prop_assert!((total - union).abs() < 1e-3 * union.max(1.0), "{total} {union}");
    }

    /// Leaves may cut through each other: a ray through any point meets first the leaf whose seen area holds the point.
    #[test]
    fn rays_meet_what_is_seen(
        leaves in prop::collection::vec(leaf(15.0), 2..7),
        camera in camera(),
        points in prop::collection::vec((-50.0..50.0_f64, -50.0..50.0_f64), 40),
    ) {
        let seen = seen(&leaves, &camera, |_, _| false);
        let all: Vec<Vec<[f64; 3]>> = leaves.iter().map(|leaf| corners(leaf, &camera)).collect();
        for at in points.into_iter().map(|(x, y)| pt(x, y)) {
            let met: Vec<(Option<f64>, f64)> = all.iter().map(|c| meets(c, at)).collect();
            let mut depths: Vec<(f64, usize)> =
                met.iter().enumerate().filter_map(|(i, (depth, _))| Some(((*depth)?, i))).collect();
            depths.sort_by(|a, b| b.0.total_cmp(&a.0));
            let close = depths.windows(2).any(|pair| pair[0].0 - pair[1].0 < UNDECIDED_MM);
            if close || met.iter().any(|(_, rim)| *rim < UNDECIDED_MM) {
                continue;
            }
            let expected = depths.first().map(|(_, leaf)| *leaf);
            // Where two planes cross, the border between them runs; a point beside it is undecided too.
            let holders: Vec<usize> = (0..seen.len())
                .filter(|i| seen[*i].1.iter().any(|polygon| polygon.contains_strictly(at)))
                .collect();
            prop_assert_eq!(holders, expected.into_iter().collect::<Vec<usize>>(), "at {:?}", at);
        }
    }

    /// Along an edge, a point is drawn exactly where no leaf lies before it.
    #[test]
    fn edges_are_drawn_where_nothing_hides_them(
        leaves in prop::collection::vec(leaf(15.0), 2..6),
        camera in camera(),
        shares in prop::collection::vec(0.01..0.99_f64, 12),
    ) {
        let nearer = |_: usize, _: usize| false;
        let all = seen(&leaves, &camera, nearer);
        let others: Vec<Vec<[f64; 3]>> = leaves.iter().map(|leaf| corners(leaf, &camera)).collect();
        for (i, leaf) in leaves.iter().enumerate() {
            let ends = &others[i];
            for (k, edge) in leaf.polygon.edges().enumerate() {
                let drawn = seen_segment(&all, i, &leaves, &camera, edge, &nearer);
                let (a, b) = (ends[k], ends[(k + 1) % ends.len()]);
                for share in &shares {
                    let mix = |axis: usize| a[axis] + (b[axis] - a[axis]) * share;
                    let (at, depth) = (pt(mix(0), mix(1)), mix(2));
                    let before = others.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, c)| meets(c, at));
                    let mut hidden = false;
                    let mut undecided = false;
                    for (met, rim) in before {
                        undecided |= rim < UNDECIDED_MM
                            || met.is_some_and(|other| (other - depth).abs() < UNDECIDED_MM);
                        hidden |= met.is_some_and(|other| other > depth);
                    }
                    // On the drawing an end of a stretch may lie a little off.
                    let gap = drawn.iter().flat_map(|s| [s.start, s.end]).map(|end| end.distance(at));
                    if undecided || gap.fold(f64::INFINITY, f64::min) < UNDECIDED_MM {
                        continue;
                    }
                    let shown = drawn.iter().any(|s| s.distance(at) < 1e-3);
                    prop_assert_eq!(shown, !hidden, "leaf {} edge {} at {}", i, k, share);
                }
            }
        }
    }
}

/// Two leaves in one plane: the stated order decides, and only one of them is seen where both lie.
#[test]
fn the_stated_order_decides_in_one_plane() {
    let square =
        |x: f64| Leaf { frame: Iso::identity(), polygon: Polygon::rectangle(Rect::new(x, 0.0, 10.0, 10.0)) };
    let leaves = [square(0.0), square(5.0)];
    for top in [0, 1] {
        let seen = seen(&leaves, &Camera::front(), |_, j| j == top);
        let areas: Vec<f64> = seen.iter().map(|(_, region)| region_area(region)).collect();
        assert!((areas[top] - 100.0).abs() < 1e-6 && (areas[1 - top] - 50.0).abs() < 1e-6, "{areas:?}");
    }
}

/// A leaf through another one at right angles: of the square seen face on, the half behind the other stays hidden only
/// where the other one stands before it.
#[test]
fn leaves_that_cut_each_other_show_their_nearer_halves() {
    let square = Polygon::rectangle(Rect::new(-10.0, -10.0, 20.0, 20.0));
    let tilted = Iso::turn(Vec3::zeros(), Vec3::y(), std::f64::consts::FRAC_PI_4);
    let leaves =
        [Leaf { frame: Iso::identity(), polygon: square.clone() }, Leaf { frame: tilted, polygon: square }];
    let seen = seen(&leaves, &Camera::front(), |_, _| false);
    let shown: Vec<f64> = seen.iter().map(|(_, region)| region_area(region)).collect();
    // The tilted one is 20·cos 45° wide; half of it lies before the other.
    let half = 10.0 * std::f64::consts::FRAC_1_SQRT_2 * 20.0;
    assert!((shown[1] - half).abs() < 0.01 && (shown[0] - (400.0 - half)).abs() < 0.01, "{shown:?}");
}

/// A picture of four colours, printed on the front and on the back of a leaf of 80 × 60 mm: every quarter is where it
/// belongs, the back as one reads it from behind.
#[test]
fn printed_pictures_are_shown_the_right_way_round() {
    let quarters = [[230, 30, 30, 255], [30, 200, 60, 255], [40, 60, 220, 255], [240, 220, 40, 255_u8]];
    let pixels = (0..20 * 20).flat_map(|i| quarters[(i / 20 / 10 * 2 + i % 20 / 10) as usize]).collect();
    let as_png = png::encode(&png::Raster { width: 20, height: 20, pixels }).unwrap();
    let [a, b, c, d] = quarters.map(|[r, g, b, _]| format!("#{r:02x}{g:02x}{b:02x}"));
    let as_svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='20' height='20'><rect width='10' height='10' fill='{a}'/>\
         <rect x='10' width='10' height='10' fill='{b}'/><rect y='10' width='10' height='10' fill='{c}'/>\
         <rect x='10' y='10' width='10' height='10' fill='{d}'/></svg>"
    );
    let text = "card \"Flag\"\npaper board: 200gsm, 0.25mm thick, colour \"white\"\n\
                piece leaf of board { size 80mm by 60mm }\n\
                print face picture \"flag.png\" on leaf: 40mm wide, centred, 10mm from top\n\
                print rear picture \"flag.svg\" on back of leaf: 40mm wide, centred, 10mm from top\n\
                pose flat { }\n";
    let library =
        Memory::default().with("flag.plica", text).with("flag.png", as_png).with("flag.svg", as_svg);
    let request = Request { path: "flag.plica".into(), ..Request::default() };
    let compiled = compile(&library, &request).unwrap();
    let told: Vec<String> = compiled.findings.list().iter().map(|f| f.name().to_owned()).collect();
    assert!(!compiled.findings.has_errors(), "{told:?}");
    let state = &compiled.states[0];
    for view in [View::Front, View::Back] {
        let card = layers::card(&compiled.assembly, state, &compiled.kept);
        let figure = kit::pose_figure(&compiled.assembly, state, &card, view);
        let raster = png::render(&figure.alone(), 4.0).unwrap();
        // The root's frame is the world; seen from behind, x runs the other way.
        let at = |x: f64, y: f64| {
            let x = if view == View::Front { x } else { x - 80.0 };
            let pixel = |mm: f64, from: f64| ((mm - from) * 4.0) as usize;
            let index = (pixel(y, figure.bounds.y0) * raster.width as usize + pixel(x, figure.bounds.x0)) * 4;
            [raster.pixels[index], raster.pixels[index + 1], raster.pixels[index + 2]]
        };
        for (quarter, (x, y)) in quarters.iter().zip([(30.0, 20.0), (50.0, 20.0), (30.0, 40.0), (50.0, 40.0)])
        {
            let found = at(x, y);
            let off = found.iter().zip(quarter).map(|(a, b)| a.abs_diff(*b)).max().unwrap();
            // Colours are rounded to steps of 12.
            assert!(off <= 12, "{view:?} at {x} {y}: {found:?} for {quarter:?}");
        }
    }
}

/// Sizes in a turned view: as long as the card is, foreshortened as the paper is, and clear of everything drawn.
#[test]
fn sizes_in_a_turned_view_are_true_and_stand_free() {
    let camera = View::ThreeQuarter.camera();
    let mut seen = 0;
    for (name, path) in made::sources() {
        let compiled = made::read(&path);
        for (state, card) in compiled.states.iter().zip(&compiled.cards).filter(|(s, _)| s.fault.is_none()) {
            let figure = kit::sized_figure(&compiled.assembly, state, card, View::ThreeQuarter);
            let extent = state.extent(&compiled.assembly);
            let region = |path: &kurbo::BezPath| -> Region {
                let mut rings: Vec<Vec<Point>> = Vec::new();
                kurbo::flatten(path.elements().iter().copied(), 0.01, |element| match element {
                    kurbo::PathEl::MoveTo(p) => rings.push(vec![pt(p.x, p.y)]),
                    kurbo::PathEl::LineTo(p) => rings.last_mut().unwrap().push(pt(p.x, p.y)),
                    _ => {}
                });
                rings.into_iter().filter(|r| r.len() > 2).map(Polygon::simple).collect()
            };
            let fills: Region = figure
                .marks
                .iter()
                .filter(|m| m.operation == Operation::Artwork)
                .filter_map(|m| match &m.ink {
                    Ink::Fill { path, .. } => Some(region(path)),
                    _ => None,
                })
                .flatten()
                .collect();
            let (mut words, mut lines) = (Vec::new(), Vec::new());
            for mark in figure.marks.iter().filter(|m| m.operation == Operation::Dimensions) {
                match &mark.ink {
                    Ink::Text(text) => {
                        let corners = text.corners(font::typeface());
                        words.push(Polygon::simple(corners.iter().map(|p| pt(p.x, p.y)).collect()));
                    }
                    Ink::Line { path, kind: LineKind::Dimension } => {
                        let ends = region_ends(path);
                        lines.push(ends);
                    }
                    _ => {}
                }
            }
            assert!(words.len() == lines.len() && words.len() >= 2, "{name}/{}", state.name);
            for (n, word) in words.iter().enumerate() {
                let word = std::slice::from_ref(word);
                assert!(
                    region_area(&intersection(word, &fills)) < 0.01,
                    "{name}/{}: on the card",
                    state.name
                );
                for other in &words[n + 1..] {
                    let both = intersection(word, std::slice::from_ref(other));
                    assert!(region_area(&both) < 0.01, "{name}/{}: on each other", state.name);
                }
            }
            for (line, along) in lines.iter().zip([
                Vec3::new(extent.width, 0.0, 0.0),
                Vec3::new(0.0, extent.height, 0.0),
                Vec3::new(0.0, 0.0, extent.depth),
            ]) {
                let wanted = camera.project(along).0.length();
                assert!((line - wanted).abs() < 0.2, "{name}/{}: {line} {wanted}", state.name);
                seen += 1;
            }
        }
    }
    assert!(seen > 80, "{seen}");
}

/// From the first to the last point of a path, mm.
fn region_ends(path: &kurbo::BezPath) -> f64 {
    let points: Vec<kurbo::Point> = path.elements().iter().filter_map(|e| e.end_point()).collect();
    (*points.last().unwrap() - points[0]).hypot()
}
