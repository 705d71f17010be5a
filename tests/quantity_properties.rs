//! Exact arithmetic and the reading and writing of values, as properties.

use plica::quantity::{Exact, Rounding, Unit, Units, source_length};
use proptest::prelude::*;

fn fraction() -> impl Strategy<Value = Exact> {
    (-1_000_000i128..1_000_000, 1i128..5_000).prop_map(|(n, d)| Exact::ratio(n, d).expect("no zero below"))
}

proptest! {
    /// The field laws (associativity, commutativity, distributivity, inverses), exactly.
    #[test]
    fn fractions_are_a_field(a in fraction(), b in fraction(), c in fraction()) {
        let sum = |x: Exact, y: Exact| x.plus(y).expect("small");
        let product = |x: Exact, y: Exact| x.times(y).expect("small");
        prop_assert_eq!(sum(a, b), sum(b, a));
        prop_assert_eq!(sum(sum(a, b), c), sum(a, sum(b, c)));
        prop_assert_eq!(product(product(a, b), c), product(a, product(b, c)));
        prop_assert_eq!(product(a, sum(b, c)), sum(product(a, b), product(a, c)));
        prop_assert_eq!(sum(a, a.negated()), Exact::ZERO);
        if !a.is_zero() {
            prop_assert_eq!(product(Exact::ONE.over(a).expect("not zero"), a), Exact::ONE);
        }
    }

    /// Rounding to a grid lands on the grid, on the asked side, within one step.
    #[test]
    fn rounding_stays_within_a_step(value in fraction(), step in (1i128..100, 1i128..64)) {
        let step = Exact::ratio(step.0, step.1).expect("no zero below");
        let down = value.round_to(step, Rounding::Down).expect("small");
        let up = value.round_to(step, Rounding::Up).expect("small");
        prop_assert!(down <= value && value <= up);
        prop_assert!(down.over(step).expect("positive").is_whole());
        prop_assert!(up == down || up == down.plus(step).expect("small"));
    }

    /// `n/64in` is written as a mixed fraction that is read back as the same length.
    #[test]
    fn inches_survive_writing_and_reading(steps in 1i64..64_000) {
        let inch = Unit::Inch.scale();
        let exact = Exact::ratio(i128::from(steps), 64).and_then(|v| v.times(inch)).expect("small");
        let written = source_length(exact.to_f64(), Units::Inch, Rounding::Nearest);
        let digits = written.strip_suffix("in").expect("the unit is glued on");
        prop_assert_eq!(Exact::parse(digits).and_then(|v| v.times(inch)), Some(exact));
    }

    /// Tenths of a millimetre likewise.
    #[test]
    fn millimetres_survive_writing_and_reading(tenths in 1i64..100_000) {
        let exact = Exact::ratio(i128::from(tenths), 10).expect("no zero below");
        let written = source_length(exact.to_f64(), Units::Mm, Rounding::Nearest);
        prop_assert_eq!(Exact::parse(written.strip_suffix("mm").expect("the unit is glued on")), Some(exact));
    }
}

/// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959); 1 pt = 1/72 in.
#[test]
fn units_are_exact() {
    let mm = |text: &str, unit: Unit| Exact::parse(text).and_then(|v| v.times(unit.scale()));
    assert_eq!(mm("1", Unit::Inch), mm("25.4", Unit::Millimetre));
    assert_eq!(mm("72", Unit::Point), mm("1", Unit::Inch));
    let nine_and_a_half =
        mm("4 1/2", Unit::Inch).and_then(|l| l.times(Exact::whole(2))?.plus(mm("1/2", Unit::Inch)?));
    assert_eq!(nine_and_a_half, mm("9 1/2", Unit::Inch));
}
