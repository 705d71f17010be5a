//! What lowering keeps, whatever the measurements: area, the panels of a piece, the place of a part.

mod assembly_support;

use assembly_support::{lower, piece};
use plica::assembly::{JointKind, PieceKind};
use plica::geometry::{pt, region_area};
use proptest::prelude::*;

fn tenths(range: std::ops::Range<i32>) -> impl Strategy<Value = f64> {
    range.prop_map(|tenths| f64::from(tenths) / 10.0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Panels share out the paper: outline and tabs less the openings.
    #[test]
    fn panels_add_up_to_the_paper(
        width in tenths(600..2500),
        height in tenths(600..2500),
        across in proptest::collection::vec(1u32..100, 0..4),
        down in proptest::collection::vec(1u32..100, 0..3),
        slot in (tenths(10..30), 5u32..90),
        tab in tenths(30..120),
        hole in (10u32..90, 10u32..90),
    ) {
        let mut body = format!("  size {width}mm by {height}mm\n");
        let mut distinct = |percents: &[u32], length: f64, side: &str| {
            let mut percents = percents.to_vec();
            percents.sort_unstable();
            percents.dedup();
            for percent in &percents {
                body += &format!("  valley {:.1}mm from {side}\n", length * f64::from(*percent) / 100.0);
            }
            percents.len()
        };
        let columns = distinct(&across, width, "left") + 1;
        let rows = distinct(&down, height, "top") + 1;
        let (slot_wide, slot_at) = slot;
        let from = height * 0.25;
        body += &format!(
            "  slit cut: {:.1}mm from left, {:.1}mm to {:.1}mm from top\n",
            width * f64::from(slot_at) / 100.0 + 0.05, from, from + height * 0.5
        );
        body += &format!("  window pane: rectangle {slot_wide}mm by 7mm, centre {:.2}mm from left, centre {:.2}mm from top\n",
            width * f64::from(hole.0) / 100.0 + 0.05, height * f64::from(hole.1) / 100.0 + 0.05);
        body += &format!("  tab foot {tab}mm off bottom: 10mm to 40mm from left, square ends\n");
        let lowered = lower(&format!("card \"Test\"\npaper board: 200gsm, 0.30mm thick\npiece kite of board {{\n{body}}}\n"));
        prop_assert_eq!(lowered.messages(), Vec::<String>::new(), "{}", body);
        let kite = piece(&lowered.assembly, "kite");
        let panels: f64 = kite.panels.iter().map(|&id| lowered.assembly.panels[id].polygon.area()).sum();
        let wanted = width * height + 30.0 * tab - slot_wide * 7.0;
        prop_assert!((panels - wanted).abs() < 1e-3, "{} and {}", panels, wanted);
        prop_assert!((kite.polygon.area() - wanted).abs() < 1e-3);
        // A window that swallows no crossing and a slit that parts nothing leave one panel for every cell; the tab is one more.
        prop_assert!(kite.panels.len() >= columns * rows, "{} panels", kite.panels.len());
        // Every hinge has a different panel on each side, and all panels hang together.
        for joint in &lowered.assembly.joints {
            prop_assert!(joint.a != joint.b);
        }
    }

    /// A part lies as far from the edges as the clauses say, whichever face is stuck and however it is turned.
    #[test]
    fn readings_hold_whichever_way_a_part_is_stuck(
        left in tenths(0..300),
        top in tenths(0..300),
        degrees in 0i32..360,
        part_back in any::<bool>(),
        page_back in any::<bool>(),
    ) {
        let word = |back: bool| if back { "back" } else { "front" };
        let text = format!(
            "card \"Test\"\npaper board: 200gsm\npiece page of board {{ size 100mm by 100mm }}\n\
             piece tail of board {{ shape polygon (0mm, 0mm) (40mm, 10mm) (25mm, 30mm) (5mm, 20mm) }}\n\
             glue {} of tail to {} of page: {left}mm from left, {top}mm from top, turned {degrees}deg\n",
            word(part_back), word(page_back)
        );
        let lowered = lower(&text);
        prop_assert_eq!(lowered.messages(), Vec::<String>::new());
        let JointKind::Fixed { placement, area, .. } = &lowered.assembly.joints[0].kind else {
            return Err(TestCaseError::fail("not stuck"));
        };
        let motion = placement.isometry();
        let tail = &piece(&lowered.assembly, "tail").polygon;
        let corners: Vec<_> = tail.outer.iter().map(|&p| motion.apply(p)).collect();
        let least = |of: fn(&plica::geometry::Point) -> f64| corners.iter().map(of).fold(f64::INFINITY, f64::min);
        prop_assert!((least(|p| p.x) - left).abs() < 1e-9);
        prop_assert!((least(|p| p.y) - top).abs() < 1e-9);
        prop_assert!((region_area(area) - tail.area()).abs() < 0.2);
        prop_assert_eq!(placement.flipped, part_back == page_back);
        // The turn is seen from the page's front.
        let own = if placement.flipped { pt(-1.0, 0.0) } else { pt(1.0, 0.0) };
        let turned = motion.apply_vector(own);
        let wanted = pt(f64::from(degrees).to_radians().cos(), f64::from(degrees).to_radians().sin());
        prop_assert!(turned.distance(wanted) < 1e-9);
    }

    /// The strap's travel and its own length follow from rails anywhere on the panel, slanted ones too.
    #[test]
    fn straps_slide_along_slanted_rails(
        degrees in -40i32..40,
        bar in tenths(150..400),
        wide in tenths(30..120),
    ) {
        let turn = f64::from(degrees).to_radians();
        let (along, across) = ((turn.sin(), -turn.cos()), (turn.cos(), turn.sin()));
        let point = |u: f64, v: f64| {
            (75.0 + across.0 * u + along.0 * v, 75.0 + across.1 * u + along.1 * v)
        };
        let rail = |name: &str, u: f64| {
            let ((x, y), (z, w)) = (point(u, -25.0), point(u, 25.0));
            format!("  slot {name}: 2mm wide, from ({x:.9}mm, {y:.9}mm) to ({z:.9}mm, {w:.9}mm)\n")
        };
        let text = format!(
            "card \"Test\"\npaper board: 200gsm, 0.30mm thick\npiece page of board {{\n  size 150mm by 150mm\n{}{}}}\n\
             strap band of board around page between a, b: {wide}mm wide, 8mm overlap\n",
            rail("a", bar / 2.0), rail("b", -bar / 2.0)
        );
        let lowered = lower(&text);
        prop_assert_eq!(lowered.messages(), Vec::<String>::new(), "{}", text);
        let band = piece(&lowered.assembly, "band");
        prop_assert_eq!(band.kind, PieceKind::Strap);
        let length = 2.0 * bar + 8.0 + 0.6 + std::f64::consts::PI * 0.3;
        prop_assert!((band.bounds.width() - length).abs() < 1e-6);
        let slide = lowered.assembly.joints.iter().find_map(|joint| match &joint.kind {
            JointKind::Slide { placement, direction, range, .. } => Some((*placement, *direction, *range)),
            _ => None,
        });
        let Some((placement, direction, range)) = slide else { return Err(TestCaseError::fail("no slide")) };
        prop_assert!((range.1 - (50.0 - wide)).abs() < 1e-6 && range.0 == 0.0);
        prop_assert!(direction.distance(pt(along.0, along.1)) < 1e-6);
        // At its lower stop the band's lower left corner lies at the lower end of the left rail.
        let corner = placement.isometry().apply(pt(band.body.min.x, band.body.max.y));
        let (x, y) = point(-bar / 2.0, -25.0);
        prop_assert!(corner.distance(pt(x, y)) < 1e-6, "{:?}", corner);
    }
}
