//! The tables of sizes against the rules they were made by.
//!
//! ISO 216 and ISO 269 sizes against the construction of the series; US sizes against a list typed from published
//! charts; basis weights against published g/m² tables; postal limits against the posts' pages. Each check names its
//! source; "from memory" and "common practice, no source" are said where they hold.

use plica::quantity::standard::{OutsideRatio, envelope, envelopes, post, sheet};
use plica::quantity::{Exact, Grade};

const SQRT2: f64 = std::f64::consts::SQRT_2;

fn paper(name: &str) -> (f64, f64) {
    let words: Vec<&str> = name.split(' ').collect();
    let s = sheet(&words).unwrap_or_else(|| panic!("no sheet {name}"));
    (s.short.to_f64(), s.long.to_f64())
}

fn pocket(name: &str) -> (f64, f64) {
    let words: Vec<&str> = name.split(' ').collect();
    let e = envelope(&words).unwrap_or_else(|| panic!("no envelope {name}"));
    (e.short.to_f64(), e.long.to_f64())
}

/// Quarters, eighths, …: `inches("4 3/8")` as exact mm.
fn inches(text: &str) -> Exact {
    Exact::parse(text).and_then(|v| v.times(Exact::ratio(127, 5)?)).unwrap()
}

/// ISO 216: the sides are in the ratio 1 to √2; each size is the one before it halved, rounded down to whole mm.
#[test]
fn iso_216_halves() {
    for series in ["A", "B"] {
        for n in 0..10 {
            let (short, long) = paper(&format!("{series}{n}"));
            let next = paper(&format!("{series}{}", n + 1));
            assert_eq!(next, ((long / 2.0).floor(), short), "{series}{n} halved");
        }
    }
}

/// ISO 216: ratio √2; rounding to whole mm moves it by less than 1 mm over the short side.
#[test]
fn iso_216_ratio() {
    for series in ["A", "B"] {
        for n in 0..=10 {
            let (short, long) = paper(&format!("{series}{n}"));
            assert!((long - short * SQRT2).abs() <= 1.0 + SQRT2, "{series}{n} {long}/{short}");
        }
    }
}

/// ISO 216: A0 has an area of 1 m², B0 a short side of 1 m.
#[test]
fn iso_216_begins() {
    let (short, long) = paper("A0");
    assert!((short * long / 1e6 - 1.0).abs() < 1e-4);
    assert_eq!(paper("B0").0, 1000.0);
}

/// B(n) is the geometric mean of A(n) and A(n-1), to the rounding of the series (ISO 216 annex).
#[test]
fn iso_b_lies_between() {
    for n in 1..=10 {
        let (a, larger, b) =
            (paper(&format!("A{n}")), paper(&format!("A{}", n - 1)), paper(&format!("B{n}")));
        assert!((b.0 - (a.0 * larger.0).sqrt()).abs() <= 1.0, "B{n} short");
        assert!((b.1 - (a.1 * larger.1).sqrt()).abs() <= 1.0, "B{n} long");
    }
}

/// ISO 269: C(n) is the geometric mean of A(n) and B(n), to the rounding of the series (from memory), and an
/// envelope C(n) is larger than the sheet A(n) both ways.
#[test]
fn iso_269_c_lies_between() {
    for n in 0..=10 {
        let (a, b, c) = (paper(&format!("A{n}")), paper(&format!("B{n}")), pocket(&format!("C{n}")));
        assert!((c.0 - (a.0 * b.0).sqrt()).abs() <= 1.1, "C{n} short {}", c.0);
        assert!((c.1 - (a.1 * b.1).sqrt()).abs() <= 1.1, "C{n} long {}", c.1);
        assert!(c.0 > a.0 && c.1 > a.1);
    }
}

/// ISO 269:1985 (withdrawn) and DIN 678: values as printed in a published table of the standard.
#[test]
fn iso_269_values() {
    let table = [
        ("C3", 324.0, 458.0),
        ("C4", 229.0, 324.0),
        ("C5", 162.0, 229.0),
        ("C6", 114.0, 162.0),
        ("C7", 81.0, 114.0),
        ("DL", 110.0, 220.0),
        ("C6/C5", 114.0, 229.0),
        ("C7/C6", 81.0, 162.0),
        ("B4", 250.0, 353.0),
        ("B5", 176.0, 250.0),
        ("B6", 125.0, 176.0),
        ("B6/C4", 125.0, 324.0),
        ("E4", 280.0, 400.0),
    ];
    for (name, short, long) in table {
        assert_eq!(pocket(name), (short, long), "{name}");
    }
}

/// A plain name is ISO; US names carry their qualifier, and `A6` alone is a sheet, not an envelope.
#[test]
fn us_names_carry_their_qualifier() {
    assert!(envelope(&["A2"]).is_none());
    assert!(envelope(&["A6"]).is_none());
    assert_eq!(paper("A6"), (105.0, 148.0));
    assert_eq!(envelope(&["us", "A6"]).map(|e| e.short), Some(inches("4 3/4")));
    assert_eq!(envelope(&["us A6"]).map(|e| e.long), Some(inches("6 1/2")));
    assert!(envelope(&[]).is_none());
}

/// US announcement and commercial sizes as printed in published charts; exact in inches.
#[test]
fn us_envelopes() {
    let table = [
        ("us A1", "3 5/8", "5 1/8"),
        ("us A2", "4 3/8", "5 3/4"),
        ("us A6", "4 3/4", "6 1/2"),
        ("us A7", "5 1/4", "7 1/4"),
        ("us A8", "5 1/2", "8 1/8"),
        ("us A9", "5 3/4", "8 3/4"),
        ("us A10", "6", "9 1/2"),
        ("us slimline", "3 7/8", "8 7/8"),
        ("us 4 bar", "3 5/8", "5 1/8"),
        ("us 6 3/4", "3 5/8", "6 1/2"),
        ("us monarch", "3 7/8", "7 1/2"),
        ("us 9", "3 7/8", "8 7/8"),
        ("us 10", "4 1/8", "9 1/2"),
        ("us 14", "5", "11 1/2"),
    ];
    for (name, short, long) in table {
        let words: Vec<&str> = name.split(' ').collect();
        let found = envelope(&words).map(|e| (e.short, e.long));
        assert_eq!(found, Some((inches(short), inches(long))), "{name}");
    }
}

/// US sheets: letter, legal and tabloid of ANSI/ASME Y14.1 and the trade; each of A to E doubles the one before.
#[test]
fn us_sheets() {
    assert_eq!(sheet(&["letter"]).map(|s| (s.short, s.long)), Some((inches("8 1/2"), inches("11"))));
    assert_eq!(sheet(&["legal"]).map(|s| (s.short, s.long)), Some((inches("8 1/2"), inches("14"))));
    assert_eq!(sheet(&["craft", "12"]).map(|s| (s.short, s.long)), Some((inches("12"), inches("12"))));
    for (small, large) in [("A", "B"), ("B", "C"), ("C", "D"), ("D", "E")] {
        let (a, b) = (sheet(&["ansi", small]).unwrap(), sheet(&["ansi", large]).unwrap());
        assert_eq!(Some(b.long), a.short.plus(a.short), "ansi {large}");
        assert_eq!(b.short, a.long, "ansi {large}");
    }
}

/// Every envelope of the table takes the card that its chart names with a gap of at most half an inch in total.
#[test]
fn trade_cards_fit_their_envelopes() {
    for e in envelopes() {
        let Some((short, long)) = e.card else { continue };
        let gaps = [e.short.minus(short).unwrap().to_f64(), e.long.minus(long).unwrap().to_f64()];
        assert!(gaps.iter().all(|g| (3.17..=13.0).contains(g)), "{}: {gaps:?}", e.name());
    }
}

/// Basis weight: 1 lb of a grade is 1406.139 / A g/m² for a basic size of A square inches (500 sheets, 453.59237 g,
/// 25.4 mm); published factors: bond 3.760, text 1.480, cover 2.704, index 1.81, tag 1.627. The basic sizes are the
/// parent sheets of the sheet table.
#[test]
fn basis_weights() {
    let grades = [
        (Grade::Bond, "bond", 3.760),
        (Grade::Text, "text", 1.480),
        (Grade::Cover, "cover", 2.704),
        (Grade::Bristol, "bristol", 2.193),
        (Grade::Index, "index", 1.808),
        (Grade::Tag, "tag", 1.6275),
    ];
    for (grade, name, published) in grades {
        let (short, long) = paper(&format!("parent {name}"));
        let square_inches = short * long / (25.4 * 25.4);
        let found = grade.gsm_per_pound().to_f64();
        assert!((found - 1_406.139 / square_inches).abs() < 1e-5, "{name}");
        assert!((found - published).abs() < 5.1e-4, "{name} {found}");
    }
}

/// Published g/m² of common US weights, to ±1: 65 lb cover 176, 80 lb cover 216, 110 lb cover 297, 110 lb index 199,
/// 67 lb bristol 147, 80 lb text 118, 20 lb bond 75.
#[test]
fn common_weights() {
    let table = [
        (Grade::Cover, 65.0, 176.0),
        (Grade::Cover, 80.0, 216.0),
        (Grade::Cover, 100.0, 270.0),
        (Grade::Cover, 110.0, 297.0),
        (Grade::Index, 110.0, 199.0),
        (Grade::Bristol, 67.0, 147.0),
        (Grade::Text, 80.0, 118.0),
        (Grade::Bond, 20.0, 75.0),
    ];
    for (grade, pounds, gsm) in table {
        assert!((grade.gsm_per_pound().to_f64() * pounds - gsm).abs() < 1.0, "{pounds} {grade:?}");
    }
}

/// USPS Domestic Mail Manual 101.1: a letter is 5 × 3 1/2 × 0.007 to 11 1/2 × 6 1/8 × 1/4 in and its ratio 1.3 to
/// 2.5; above 6 in or 4 1/4 in it must be 0.009 in thick.
#[test]
fn usps_letter() {
    let p = post("usps", "letter").unwrap();
    assert_eq!((p.min_long, p.min_short), (Some(inches("5")), Some(inches("3 1/2"))));
    assert_eq!((p.max_long, p.max_short), (Some(inches("11 1/2")), Some(inches("6 1/8"))));
    assert_eq!((p.min_thick, p.max_thick), (Some(inches("0.007")), Some(inches("1/4"))));
    assert_eq!((p.min_ratio, p.max_ratio), (Exact::parse("1.3"), Exact::parse("2.5")));
    assert_eq!(p.outside_ratio, OutsideRatio::Surcharge);
    assert_eq!(p.large, Some((inches("6"), inches("4 1/4"), inches("0.009"))));
}

/// The regulator's table for Royal Mail: letter 240 × 165 × 5 mm and 100 g, large letter 353 × 250 × 25 mm and 750 g.
#[test]
fn royal_mail() {
    let whole = |n| Some(Exact::whole(n));
    let p = post("royal_mail", "letter").unwrap();
    assert_eq!(
        (p.max_long, p.max_short, p.max_thick, p.max_mass),
        (whole(240), whole(165), whole(5), whole(100))
    );
    let p = post("royal_mail", "large_letter").unwrap();
    assert_eq!(
        (p.max_long, p.max_short, p.max_thick, p.max_mass),
        (whole(353), whole(250), whole(25), whole(750))
    );
}

/// Canada Post's advice on enclosures: a letter may be 2 mm thicker at one place than at another.
#[test]
fn canada_post_asks_for_an_even_letter() {
    assert_eq!(post("canada_post", "letter").unwrap().max_uneven, Some(Exact::whole(2)));
    assert!(post("canada_post", "other").unwrap().max_uneven.is_none());
}

/// UPU Letter-post Regulations Art. 203 as cited by posts: standardized letters to 235 × 120 × 5 mm, 20 g, long side
/// at least 1.4 times the short one; a C6 envelope is one, a us A7 is too wide.
#[test]
fn upu_standard() {
    let p = post("upu", "standard").unwrap();
    let room = p.max_short.unwrap().to_f64() + p.tolerance.to_f64();
    assert_eq!(p.min_ratio, Exact::parse("1.4"));
    assert!(pocket("C6").0 <= room && pocket("C6").1 / pocket("C6").0 >= 1.4);
    assert!(pocket("us A7").0 > room);
    assert!(pocket("us A6").0 <= room, "passes on the tolerance alone");
    assert!(pocket("us A6").0 > room - 2.0);
}

/// Ratios of common envelopes against the letter ratio 1.3 to 2.5 of USPS DMM 101.1: all common ones are in, every
/// square is out.
#[test]
fn ratios_of_common_envelopes() {
    for name in ["us A2", "us A6", "us A7", "us A8", "us A9", "us A10", "us 10", "DL", "C6", "us slimline"] {
        let (short, long) = pocket(name);
        assert!((1.3..=2.5).contains(&(long / short)), "{name}");
    }
    for e in envelopes().iter().filter(|e| e.name().contains("square")) {
        assert_eq!(e.short, e.long, "{}", e.name());
    }
}

/// Deutsche Post: Standardbrief and Kompaktbrief must be at least 1.4 times as long as wide; C6 is, and B6 just is.
#[test]
fn deutsche_post_ratio() {
    for class in ["standard", "kompakt"] {
        let p = post("deutsche_post", class).unwrap();
        assert_eq!((p.min_ratio, p.outside_ratio), (Exact::parse("1.4"), OutsideRatio::Refuse));
    }
    assert!(pocket("B6").1 / pocket("B6").0 >= 1.4);
    assert!(post("deutsche_post", "maxi").is_some() && post("deutsche_post", "gross").is_some());
}
