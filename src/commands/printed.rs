//! `plica check --printed-as`: the scale at which a printer must be told to print.

use super::Outcome;
use super::args::Bar;
use super::console::Console;
use crate::quantity::{Units, say_length, say_number};

/// The bars on every page, mm.
const BAR_MM: f64 = 100.0;
const BAR_INCH_MM: f64 = 4.0 * 25.4;
/// A bar further off than this was not printed by mistake of scale; something else was measured.
const LARGEST_FACTOR: f64 = 2.0;
/// What a ruler tells apart, as a share of the bar.
const READ: f64 = 0.002;

pub fn run(bar: Bar, console: &mut Console) -> Outcome {
    let (true_mm, units) = if bar.inches { (BAR_INCH_MM, Units::Inch) } else { (BAR_MM, Units::Mm) };
    let factor = true_mm / bar.measured;
    let say = |mm: f64| say_length(mm, units);
    if !(1.0 / LARGEST_FACTOR..=LARGEST_FACTOR).contains(&factor) {
        console.complain(&format!(
            "{} is too far from the {} of a test bar; measure the bar between the ticks at its ends",
            say(bar.measured),
            say(true_mm)
        ));
        return Outcome::CouldNotRun;
    }
    if (factor - 1.0).abs() <= READ {
        console.print(&format!(
            "the bar is {} long, as it should be: the print is true to scale\n",
            say(true_mm)
        ));
        return Outcome::Sound;
    }
    let percent = (factor * 100.0).round();
    console.print(&format!(
        "the bar of {} measures {}: print again at {} % (exactly {} %)\n\
         that holds when it was printed at 100 %; if it was not, print at 100 % first and measure again\n",
        say(true_mm),
        say(bar.measured),
        percent,
        say_number((factor * 1e4).round() / 100.0),
    ));
    let left = bar.measured * percent / 100.0;
    if (left / true_mm - 1.0).abs() > READ {
        console.print(&format!("at {percent} % the bar will measure {}\n", say(left)));
    }
    Outcome::Sound
}
