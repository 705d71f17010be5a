//! The sheet planner against published cutting and packing instances.
//!
//! `PLICA_PACKING=DIR cargo test --test sheet_cases -- --nocapture` takes any folder of the same JSON schema; the
//! default is `tests/data/packing`, whose README names the authors and the origin of every family.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use plica::stock::plan::{
    Effort, Fault, Item, Margin, Placement, Plan, Rect, Refusal, Stock, Turn, Violation, nanometres, plan,
    replay, verify,
};
use proptest::prelude::*;
use rayon::prelude::*;
use serde_json::Value;

/// One instance in one variant, solved.
struct Solved {
    name: String,
    sheets: usize,
    best: usize,
    cuts: usize,
    settings: usize,
    proven: bool,
    faults: Vec<String>,
}

/// Effort for every instance. An unoptimised build searches the default folder with a small share of it, to keep the
/// suite quick, and polishes little, which has no say in the number of sheets.
fn effort(is_default: bool) -> Effort {
    match (cfg!(debug_assertions), is_default) {
        (true, true) => Effort { sheets: 300_000, polish: 20_000 },
        (true, false) => Effort { polish: 20_000, ..Effort::default() },
        (false, _) => Effort::default(),
    }
}

/// Most instances above the best known value, per family and variant, as measured on the files of the default folder
/// with the small effort and with the default effort.
const ABOVE_AT_MOST: &[(&str, &str, [usize; 2])] = &[
    ("bpp_beng", "oriented_guillotine", [0, 0]),
    ("bpp_beng", "rotated_guillotine", [0, 0]),
    ("bpp_bwmv_n020", "oriented_guillotine", [0, 0]),
    ("bpp_bwmv_n020", "rotated_guillotine", [0, 0]),
    ("bpp_bwmv_n040", "oriented_guillotine", [4, 1]),
    ("bpp_bwmv_n040", "rotated_guillotine", [6, 2]),
    ("bpp_cutting_sets", "oriented_guillotine", [4, 1]),
    ("bpp_cutting_sets", "rotated_guillotine", [6, 4]),
    ("gen_cardcut", "rotated_guillotine", [5, 2]),
    ("gen_cardparts", "rotated_guillotine", [3, 0]),
];

fn default_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/packing")
}

fn read_families(folder: &Path) -> Vec<Value> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.expect("a folder entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .collect();
    files.sort();
    let read = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).expect("a readable file");
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    };
    files.iter().map(read).collect()
}

/// A length of the instance: whole numbers as they are, others in millionths.
fn lengths(instance: &Value) -> impl Fn(&Value) -> i64 {
    let whole = |value: &Value| value.as_f64().is_none_or(|number| number.fract() == 0.0);
    let items = instance["items"].as_array().cloned().unwrap_or_default();
    let all_whole = whole(&instance["bin"]["w"])
        && whole(&instance["bin"]["h"])
        && items.iter().all(|item| whole(&item["w"]) && whole(&item["h"]));
    move |value| {
        let number = value.as_f64().expect("a length");
        if all_whole { number as i64 } else { nanometres(number) }
    }
}

fn order(instance: &Value, variant: &str) -> (Stock, Vec<Item>) {
    let length = lengths(instance);
    let stock = Stock::new(length(&instance["bin"]["w"]), length(&instance["bin"]["h"]));
    let item = |item: &Value| {
        let may_turn = variant.starts_with("rotated") && item["rotate"] != Value::Bool(false);
        Item {
            w: length(&item["w"]),
            h: length(&item["h"]),
            qty: item["qty"].as_u64().unwrap_or(1) as u32,
            turn: if may_turn { Turn::Either } else { Turn::AsGiven },
        }
    };
    (stock, instance["items"].as_array().expect("items").iter().map(item).collect())
}

fn placements(plan: &Plan) -> Vec<Vec<Placement>> {
    plan.sheets.iter().map(|sheet| sheet.placements.clone()).collect()
}

fn solve(instance: &Value, variant: &str, effort: &Effort) -> Solved {
    let name = instance["name"].as_str().unwrap_or("?").to_owned();
    let (stock, items) = order(instance, variant);
    let known = &instance["best"][variant];
    let number = |key: &str| known[key].as_u64().unwrap_or(0) as usize;
    let best = number("bins");
    let mut solved =
        Solved { name, sheets: 0, best, cuts: 0, settings: 0, proven: false, faults: Vec::new() };
    let plan = match plan(&stock, &items, effort) {
        Ok(plan) => plan,
        Err(refusal) => {
            solved.faults.push(format!("{refusal:?}"));
            return solved;
        }
    };
    if let Err(violation) = verify(&stock, &items, &placements(&plan)) {
        solved.faults.push(format!("{violation:?}"));
    }
    if let Err(violation) = replay(&stock, &items, plan.sheets.len(), &plan.steps) {
        solved.faults.push(format!("{violation:?}"));
    }
    solved.sheets = plan.sheets.len();
    if solved.sheets < number("lower_bound").max(plan.lower_bound) {
        solved.faults.push(format!("{} sheets are below the lower bound", solved.sheets));
    }
    if plan.lower_bound > best {
        solved.faults.push(format!("lower bound {} is above a known plan of {best}", plan.lower_bound));
    }
    (solved.cuts, solved.settings, solved.proven) = (plan.cuts(), plan.settings.len(), plan.proven);
    solved
}

#[test]
fn packing_instances() {
    let folder = std::env::var_os("PLICA_PACKING").map_or_else(default_folder, PathBuf::from);
    let is_default = folder == default_folder();
    let mut skipped: BTreeMap<String, usize> = BTreeMap::new();
    let (mut at_best, mut above) = (0, 0);
    let mut wrong = Vec::new();
    for family in read_families(&folder) {
        let title = family["family"].as_str().unwrap_or("?").to_owned();
        let instances = family["instances"].as_array().cloned().unwrap_or_default();
        for instance in instances.iter().filter(|instance| instance["problem"] != "bin_packing") {
            *skipped.entry(instance["problem"].as_str().unwrap_or("?").to_owned()).or_default() += 1;
        }
        for variant in ["oriented_guillotine", "rotated_guillotine"] {
            let wanted: Vec<&Value> = instances
                .iter()
                .filter(|instance| {
                    instance["problem"] == "bin_packing" && instance["best"][variant]["bins"].is_u64()
                })
                .collect();
            if wanted.is_empty() {
                continue;
            }
            let solved: Vec<Solved> =
                wanted.par_iter().map(|instance| solve(instance, variant, &effort(is_default))).collect();
            let missed = report(&title, variant, &solved);
            at_best += solved.len() - missed;
            above += missed;
            wrong.extend(
                solved
                    .iter()
                    .flat_map(|one| one.faults.iter().map(|f| format!("{} {variant}: {f}", one.name))),
            );
            let limit = ABOVE_AT_MOST
                .iter()
                .find(|(f, v, _)| *f == title && *v == variant)
                .map(|limit| limit.2[usize::from(!cfg!(debug_assertions))]);
            if is_default && limit.is_none_or(|limit| missed > limit) {
                wrong.push(format!("{title} {variant}: {missed} above best known, at most {limit:?} before"));
            }
        }
    }
    for (problem, count) in &skipped {
        println!("skipped {count} instances of kind {problem}");
    }
    println!("{at_best} best known, {above} above");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Prints a line for a family; returns how many are above the best known value.
fn report(title: &str, variant: &str, solved: &[Solved]) -> usize {
    let sum = |of: fn(&Solved) -> usize| solved.iter().map(of).sum::<usize>();
    let missed: Vec<String> = solved
        .iter()
        .filter(|one| one.sheets > one.best)
        .map(|one| format!("{} {}>{}", one.name, one.sheets, one.best))
        .collect();
    let better: Vec<String> = solved
        .iter()
        .filter(|one| one.sheets < one.best && one.faults.is_empty())
        .map(|one| format!("{} {}<{}", one.name, one.sheets, one.best))
        .collect();
    println!(
        "{title} {variant}: {} sheets (best known {}), {} of {} at best known, {} proven, {} cuts, {} settings",
        sum(|one| one.sheets),
        sum(|one| one.best),
        solved.len() - missed.len(),
        solved.len(),
        solved.iter().filter(|one| one.proven).count(),
        sum(|one| one.cuts),
        sum(|one| one.settings),
    );
    for (word, list) in [("above", &missed), ("below", &better)] {
        if !list.is_empty() {
            println!("  {word}: {}", list.join(", "));
        }
    }
    missed.len()
}

/// Effort for tests that only ask for a valid plan.
const SHORT: Effort = Effort { sheets: 200_000, polish: 50_000 };

fn item(w: i64, h: i64, qty: u32, turn: Turn) -> Item {
    Item { w, h, qty, turn }
}

fn at(item: usize, x: i64, y: i64, w: i64, h: i64) -> Placement {
    Placement { item, turned: false, rect: Rect { x, y, w, h } }
}

/// Cuts a rectangle edge to edge as the numbers say; returns the pieces where they lie.
fn cut_at_random(rect: Rect, choices: &mut impl Iterator<Item = (bool, u8)>, pieces: &mut Vec<Rect>) {
    let choice = choices.next();
    let (upright, at) = choice.unwrap_or_default();
    let side = if upright { rect.w } else { rect.h };
    let setting = side * i64::from(at) / 256;
    if choice.is_none() || setting < 8 || side - setting < 8 {
        pieces.push(rect);
        return;
    }
    let (first, second) = if upright {
        (Rect { w: setting, ..rect }, Rect { x: rect.x + setting, w: rect.w - setting, ..rect })
    } else {
        (Rect { h: setting, ..rect }, Rect { y: rect.y + setting, h: rect.h - setting, ..rect })
    };
    cut_at_random(first, choices, pieces);
    cut_at_random(second, choices, pieces);
}

fn trimmer() -> impl Strategy<Value = Stock> {
    let margin = (0..3i64, 0..3i64, 0..3i64, 0..3i64);
    (0..4i64, margin, 0..7i64, prop::option::of(150..220i64), 0..3i64).prop_map(
        |(kerf, m, min_trim, blade, step)| {
            let wide = |side: i64| side * 5;
            Stock {
                kerf,
                margin: Margin { left: wide(m.0), top: wide(m.1), right: wide(m.2), bottom: wide(m.3) },
                min_strip: 8,
                min_trim,
                blade,
                useful_offcut: 20,
                scale_step: step * 4,
                ..Stock::new(200, 260)
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// A sheet cut to pieces without waste: the pieces where they were cut pass the checker, and plan anew to a
    /// checked plan whose bound is not above the one sheet they came from.
    #[test]
    fn perfect_sheets_plan_again(choices in prop::collection::vec((any::<bool>(), any::<u8>()), 1..40)) {
        let stock = Stock::new(200, 260);
        let mut rects = Vec::new();
        cut_at_random(Rect { x: 0, y: 0, w: 200, h: 260 }, &mut choices.into_iter(), &mut rects);
        let items: Vec<Item> = rects.iter().map(|rect| item(rect.w, rect.h, 1, Turn::AsGiven)).collect();
        let original = rects.iter().enumerate().map(|(i, &rect)| Placement { item: i, turned: false, rect }).collect();
        prop_assert_eq!(verify(&stock, &items, &[original]), Ok(()));
        let plan = plan(&stock, &items, &SHORT).expect("a plan");
        prop_assert_eq!(plan.lower_bound, 1);
        prop_assert_eq!(verify(&stock, &items, &placements(&plan)), Ok(()));
        prop_assert_eq!(replay(&stock, &items, plan.sheets.len(), &plan.steps), Ok(()));
        prop_assert!(plan.cuts() >= items.len() - plan.sheets.len());
    }

    /// Whatever the trimmer, a plan obeys it or the order is refused with a reason.
    #[test]
    fn every_trimmer_is_obeyed(
        stock in trimmer(),
        sizes in prop::collection::vec((8..120i64, 8..120i64, 1..3u32, 0..3u8), 1..14),
    ) {
        let turn = |way| [Turn::AsGiven, Turn::Turned, Turn::Either][usize::from(way)];
        let items: Vec<Item> = sizes.into_iter().map(|(w, h, qty, way)| item(w, h, qty, turn(way))).collect();
        match plan(&stock, &items, &SHORT) {
            Ok(plan) => {
                prop_assert_eq!(verify(&stock, &items, &placements(&plan)), Ok(()));
                prop_assert_eq!(replay(&stock, &items, plan.sheets.len(), &plan.steps), Ok(()));
            }
            Err(Refusal::Order(faults)) => prop_assert!(!faults.is_empty()),
            Err(Refusal::Internal(violation)) => prop_assert!(false, "{:?}", violation),
        }
    }

    /// Moving one piece of a valid plan onto another is seen.
    #[test]
    fn planted_overlaps_are_seen(
        sizes in prop::collection::vec((20..90i64, 20..90i64), 2..10),
        pick in any::<prop::sample::Index>(),
        shift in 0..19i64,
    ) {
        let stock = Stock::new(400, 400);
        let items: Vec<Item> = sizes.into_iter().map(|(w, h)| item(w, h, 1, Turn::AsGiven)).collect();
        let plan = plan(&stock, &items, &SHORT).expect("a plan");
        let mut sheets = placements(&plan);
        prop_assume!(sheets[0].len() > 1);
        let from = pick.index(sheets[0].len());
        let onto = (from + 1) % sheets[0].len();
        let target = sheets[0][onto].rect;
        sheets[0][from].rect.x = (target.x + shift).min(400 - sheets[0][from].rect.w);
        sheets[0][from].rect.y = target.y.min(400 - sheets[0][from].rect.h);
        let found = verify(&stock, &items, &sheets);
        prop_assert!(matches!(found, Err(Violation::Overlap { .. })), "{:?}", found);
    }
}

/// The pinwheel: five rectangles in a square that no edge-to-edge cut parts (the standard example of a pattern that is
/// not guillotineable, e.g. in J.E. Beasley, JORS 36 (1985); from memory).
#[test]
fn the_pinwheel_cannot_be_cut() {
    let stock = Stock::new(30, 30);
    let items = [
        item(20, 10, 1, Turn::AsGiven),
        item(10, 20, 1, Turn::AsGiven),
        item(20, 10, 1, Turn::AsGiven),
        item(10, 20, 1, Turn::AsGiven),
        item(10, 10, 1, Turn::AsGiven),
    ];
    let pinwheel = vec![
        at(0, 0, 0, 20, 10),
        at(1, 20, 0, 10, 20),
        at(2, 10, 20, 20, 10),
        at(3, 0, 10, 10, 20),
        at(4, 10, 10, 10, 10),
    ];
    let found = verify(&stock, &items, &[pinwheel]);
    assert_eq!(found, Err(Violation::NotGuillotine { sheet: 0, placements: vec![0, 1, 2, 3, 4] }));
    let plan = plan(&stock, &items, &SHORT).expect("a plan");
    assert_eq!(plan.sheets.len(), 2, "what cannot be cut from one sheet takes two");
}

#[test]
fn the_checker_names_what_is_wrong() {
    let stock = Stock { margin: Margin { left: 5, ..Margin::default() }, kerf: 2, ..Stock::new(100, 50) };
    let items = [item(30, 40, 2, Turn::AsGiven)];
    let check = |sheet: Vec<Placement>| verify(&stock, &items, &[sheet]);
    assert_eq!(check(vec![at(0, 5, 0, 30, 40), at(0, 37, 10, 30, 40)]), Ok(()));
    let margin = Err(Violation::Outside { sheet: 0, placement: 0 });
    assert_eq!(check(vec![at(0, 4, 0, 30, 40), at(0, 37, 0, 30, 40)]), margin);
    let kerf = Err(Violation::Overlap { sheet: 0, first: 0, second: 1 });
    assert_eq!(check(vec![at(0, 5, 0, 30, 40), at(0, 36, 0, 30, 40)]), kerf);
    let missing = Err(Violation::Quantity { item: 0, wanted: 2, placed: 1 });
    assert_eq!(check(vec![at(0, 5, 0, 30, 40)]), missing);
    let turned = Placement { turned: true, ..at(0, 5, 0, 40, 30) };
    assert_eq!(check(vec![turned]), Err(Violation::WrongPiece { sheet: 0, placement: 0 }));
    assert_eq!(check(vec![at(7, 5, 0, 30, 40)]), Err(Violation::WrongPiece { sheet: 0, placement: 0 }));
}

#[test]
fn orders_that_cannot_be_cut_are_refused() {
    let stock = Stock { min_strip: 10, min_trim: 4, ..Stock::new(100, 50) };
    let refused = |items: &[Item]| match plan(&stock, items, &SHORT) {
        Err(Refusal::Order(faults)) => faults,
        other => panic!("{other:?}"),
    };
    let upright = item(40, 60, 1, Turn::AsGiven);
    assert_eq!(
        refused(&[upright, item(0, 5, 1, Turn::Either)]),
        [Fault::TooLarge { item: 0 }, Fault::Size { item: 1 },]
    );
    assert_eq!(refused(&[item(60, 9, 1, Turn::Either)]), [Fault::TooNarrow { item: 0 }]);
    // 2 units of waste beside it, where the trimmer needs 4.
    assert_eq!(refused(&[item(98, 30, 1, Turn::AsGiven)]), [Fault::Trimmer { item: 0 }]);
    assert_eq!(
        refused(&[item(20, 20, u32::MAX, Turn::Either)]),
        [Fault::TooMany { pieces: u64::from(u32::MAX) }]
    );
    let bad = Stock { kerf: -1, ..stock };
    assert_eq!(plan(&bad, &[], &SHORT), Err(Refusal::Order(vec![Fault::Sheet])));
}

#[test]
fn nothing_wanted_needs_no_sheet() {
    let plan = plan(&Stock::new(100, 100), &[item(10, 10, 0, Turn::Either)], &SHORT).expect("a plan");
    assert!(plan.sheets.is_empty() && plan.steps.is_empty() && plan.proven);
}

/// Eight cards of a quarter of a letter sheet: two sheets, and by symmetry of the halves two settings (4.25 in and
/// 5.5 in), three cuts a sheet.
#[test]
fn quarters_of_a_letter_sheet() {
    let inch = |inches: f64| nanometres(inches * 25.4);
    let stock = Stock::new(inch(8.5), inch(11.0));
    let cards = [item(inch(4.25), inch(5.5), 8, Turn::Either)];
    let plan = plan(&stock, &cards, &SHORT).expect("a plan");
    assert_eq!((plan.sheets.len(), plan.proven, plan.cuts()), (2, true, 6));
    assert_eq!(plan.settings, [inch(4.25), inch(5.5)]);
}

/// Pieces in sixteenths of an inch fill a 12 in sheet exactly after conversion to whole lengths.
#[test]
fn sixteenths_fill_a_sheet() {
    let sixteenths = |n: i64| nanometres(n as f64 / 16.0 * 25.4);
    let stock = Stock::new(sixteenths(192), sixteenths(192));
    let items = [
        item(sixteenths(61), sixteenths(192), 1, Turn::AsGiven),
        item(sixteenths(131), sixteenths(192), 1, Turn::AsGiven),
    ];
    assert_eq!(plan(&stock, &items, &SHORT).expect("a plan").sheets.len(), 1);
}

#[test]
fn a_kerf_takes_room() {
    let halves = [item(50, 100, 2, Turn::AsGiven)];
    let sheets =
        |kerf| plan(&Stock { kerf, ..Stock::new(100, 100) }, &halves, &SHORT).map(|plan| plan.sheets.len());
    assert_eq!((sheets(0), sheets(1)), (Ok(1), Ok(2)));
}

#[test]
fn grain_decides_the_turn() {
    let along = Some(true);
    assert_eq!(Turn::for_grain(along, along), Turn::AsGiven);
    assert_eq!(Turn::for_grain(along, Some(false)), Turn::Turned);
    assert_eq!(Turn::for_grain(None, along), Turn::Either);
    let stock = Stock::new(100, 40);
    let upright = [item(40, 100, 1, Turn::AsGiven)];
    assert!(matches!(plan(&stock, &upright, &SHORT), Err(Refusal::Order(_))));
    let turned = plan(&stock, &[item(40, 100, 1, Turn::Turned)], &SHORT).expect("a plan");
    assert!(turned.sheets[0].placements[0].turned);
}

/// The same order planned on one thread and on many at once gives the same plan.
#[test]
fn plans_repeat() {
    let stock = Stock::new(192, 192);
    let items: Vec<Item> =
        (0..18).map(|i| item(31 + 7 * i % 50, 40 + 11 * i % 60, 1, Turn::Either)).collect();
    let once = plan(&stock, &items, &SHORT);
    let many: Vec<_> = (0..4).into_par_iter().map(|_| plan(&stock, &items, &SHORT)).collect();
    assert!(many.iter().all(|plan| *plan == once));
}
