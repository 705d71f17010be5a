//! Time to plan sheets: one order of every size, to the default effort.

use plica::stock::plan::{Effort, Item, Plan, Refusal, Stock, Turn, plan};

fn main() {
    divan::main();
}

/// An order of `pieces` cards, mats and strips in sixteenths of an inch for 12 in sheets, by a fixed rule.
fn order(pieces: i64) -> Vec<Item> {
    let item = |i: i64| Item {
        w: 20 + 37 * i % 90,
        h: 12 + 53 * i % 120,
        qty: 1,
        turn: if i % 5 == 0 { Turn::AsGiven } else { Turn::Either },
    };
    (0..pieces).map(item).collect()
}

#[divan::bench(args = [10, 20, 40], sample_count = 5)]
fn plan_to_default_effort(pieces: i64) -> Result<Plan, Refusal> {
    plan(&Stock::new(192, 192), divan::black_box(&order(pieces)), &Effort::default())
}

#[divan::bench(args = [10, 20, 40], sample_count = 5)]
fn fewest_sheets_only(pieces: i64) -> Result<Plan, Refusal> {
    let effort = Effort { polish: 0, ..Effort::default() };
    plan(&Stock::new(192, 192), divan::black_box(&order(pieces)), &effort)
}
