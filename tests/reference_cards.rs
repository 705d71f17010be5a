//! Dimensional facts of common cards, each through a whole design: the cut and the scores go in, the claims are what
//! the trade says comes out. Every number here is common practice, no source.

use plica::compile::compile_text;
use plica::findings::Severity;
use plica::meaning::Request;
use plica::source::Memory;

/// Names of the errors and cautions of a design, with their messages.
fn findings(text: &str) -> Vec<(&'static str, String)> {
    let compiled = compile_text(text, &Memory::default(), &Request::default()).expect("the text is at hand");
    let list = compiled.findings.list();
    let told = list.iter().filter(|f| f.severity() != Severity::Note);
    told.map(|f| (f.name(), f.telling.message.clone())).collect()
}

/// A piece of light card folded flat at its scores, with what is claimed of it.
fn folded(size: &str, scores: &str, more: &str) -> String {
    format!(
        "card \"Fact\"\npaper stock: 80lb cover, 0.010in thick\n\
         piece page of stock {{\n  size {size}\n{scores}\n}}\n\
         pose shut {{ page folded flat }}\n{more}\n"
    )
}

fn holds(number: u32, text: &str) {
    let found = findings(text);
    assert!(found.is_empty(), "fact {number}: {found:?}\n{text}");
}

fn shows(number: u32, text: &str, name: &str, words: &str) {
    let found = findings(text);
    let told = found.iter().any(|(n, message)| *n == name && message.contains(words));
    assert!(told, "fact {number}: {name} with \"{words}\" expected, found {found:?}\n{text}");
    assert!(found.iter().all(|(n, _)| *n == name), "fact {number}: nothing else expected, found {found:?}");
}

/// One fold in the middle: cut size, score, folded size, envelope.
#[test]
fn one_fold() {
    let side = |number, size, score, width, height, envelope| {
        let claims = format!(
            "envelope {envelope}\nexpect width(shut) = {width}\nexpect height(shut) = {height}\n\
             expect fits(shut, envelope)\nexpect folds_flat(shut)"
        );
        holds(number, &folded(size, &format!("  valley {score} from left"), &claims));
    };
    side(1, "8 1/2in by 5 1/2in", "4 1/4in", "4 1/4in", "5 1/2in", "us A2");
    side(4, "10in by 7in", "5in", "5in", "7in", "5 1/4in by 7 1/4in");
    side(5, "9in by 6 1/4in", "4 1/2in", "4 1/2in", "6 1/4in", "us A6");
    side(6, "12in by 6in", "6in", "6in", "6in", "6 1/4in by 6 1/4in");
    side(7, "7in by 4 7/8in", "3 1/2in", "3 1/2in", "4 7/8in", "3 5/8in by 5 1/8in");
    side(8, "7 3/4in by 9 1/4in", "3 7/8in", "3 7/8in", "9 1/4in", "us 10");
    side(9, "210mm by 148mm", "105mm", "105mm", "148mm", "C6");
    side(10, "297mm by 210mm", "148.5mm", "148.5mm", "210mm", "C5");
    side(11, "7in by 8 1/2in", "3 1/2in", "3 1/2in", "8 1/2in", "us slimline");
    side(12, "8 1/2in by 5 1/2in", "4 1/4in", "4 1/4in", "5 1/2in", "4 3/8in by 5 5/8in");
    side(12, "8 1/2in by 5 1/2in", "4 1/4in", "4 1/4in", "5 1/2in", "4 1/2in by 5 3/4in");
    side(59, "21cm by 14.85cm", "10.5cm", "10.5cm", "14.85cm", "C6");
}

/// ISO 269 (withdrawn): a sheet A(n) goes into an envelope C(n); and the cards that published tables of US envelopes name
/// go into theirs. With one thin fold nothing is to be said of any pair.
#[test]
fn every_usual_pair_passes() {
    let fits = |short: f64, long: f64, envelope: &str| {
        let size = format!("{}mm by {}mm", 2.0 * short, long);
        let text = folded(&size, &format!("  valley {short}mm from left"), &format!("envelope {envelope}"));
        let found = findings(&text);
        assert!(found.is_empty(), "{short} by {long} in {envelope}: {found:?}");
    };
    for n in 2..=7 {
        let sheet = plica::quantity::standard::sheet(&[&format!("A{n}")]).expect("an ISO sheet");
        fits(sheet.short.to_f64(), sheet.long.to_f64(), &format!("C{n}"));
    }
    let mut pairs = 0;
    for envelope in plica::quantity::standard::envelopes() {
        if let Some((short, long)) = envelope.card {
            fits(short.to_f64(), long.to_f64(), &format!("\"{}\"", envelope.name()));
            pairs += 1;
        }
    }
    assert!(pairs > 30, "the table of US envelopes is gone");
}

#[test]
fn a_top_fold() {
    let claims = "envelope us A2\nexpect width(shut) = 4 1/4in\nexpect height(shut) = 5 1/2in\n\
                  expect fits(shut, envelope)";
    holds(2, &folded("4 1/4in by 11in", "  valley 5 1/2in from top", claims));
}

/// A mat is smaller than its panel by its border on every side.
#[test]
fn mats() {
    let mat = |number, border, width, height| {
        let more = format!(
            "mat sky of stock on front of page.cover: {border} border\n\
             expect sky.width = {width}\nexpect sky.height = {height}"
        );
        let scores = "  valley 4 1/4in from left\n  panels inside, cover from left";
        holds(number, &folded("8 1/2in by 5 1/2in", scores, &more));
    };
    mat(13, "1/8in", "4in", "5 1/4in");
    mat(14, "1/16in", "4 1/8in", "5 3/8in");
}

#[test]
fn gates_and_more_panels() {
    let gate = "  valley 2 1/8in, 6 3/8in from left\n  panels left, middle, right from left";
    holds(
        15,
        &folded("8 1/2in by 5 1/2in", gate, "expect page.left.width = 2 1/8in\nexpect width(shut) = 4 1/4in"),
    );
    let four = "  valley 1 3/4in, 5 1/2in, 9 3/4in from left\n  panels a, b, c, d from left";
    let claims = "envelope us A2\nexpect page.a.width = 1 3/4in\nexpect page.b.width = 3 3/4in\n\
                  expect page.c.width = 4 1/4in\nexpect page.d.width = 1 1/4in\nexpect fits(shut, envelope)";
    holds(16, &folded("11in by 5 1/2in", four, claims));
}

/// 11 in folded to thirds: the inner panel 1/16 in shorter folds, equal thirds do not.
#[test]
fn letter_folds() {
    let thirds = "  valley 3 11/16in, 7 3/8in from left\n  panels cover, middle, inside from left";
    let claims = "expect page.cover.width = 3 11/16in\nexpect page.middle.width = 3 11/16in\n\
                  expect page.inside.width = 3 5/8in";
    holds(17, &folded("11in by 8 1/2in", thirds, claims));
    let equal = "  valley 3 2/3in, 7 1/3in from left\n  panels cover, middle, inside from left";
    shows(19, &folded("11in by 8 1/2in", equal, ""), "inner-panel-too-long", "folds inside");
}

#[test]
fn zigzags_and_shutters() {
    let zigzag = "  valley 3 3/4in from left\n  mountain 7 1/2in from left\n  panels a, b, c from left";
    holds(
        20,
        &folded("11 1/4in by 5 3/4in", zigzag, "expect width(shut) = 3 3/4in\nexpect page.c.width = 3 3/4in"),
    );
    let strip = "  valley 1 1/4in, 3 3/4in from left\n  mountain 2 1/2in from left";
    holds(20, &folded("5in by 1 1/4in", strip, "expect width(shut) = 1 1/4in"));
    let shutter = |number, size, [a, b, c, d]: [&str; 4], width, height| {
        let scores = format!("  mountain {a}, {d} from left\n  valley {b}, {c} from left");
        let claims = format!("expect width(shut) = {width}\nexpect height(shut) = {height}");
        holds(number, &folded(size, &scores, &claims));
    };
    shutter(21, "12in by 6in", ["2in", "4in", "8in", "10in"], "4in", "6in");
    shutter(22, "10 1/2in by 5 1/2in", ["1 3/4in", "3 1/2in", "7in", "8 3/4in"], "3 1/2in", "5 1/2in");
    shutter(23, "12in by 7in", ["2in", "4in", "8in", "10in"], "4in", "7in");
    let eight = "  valley 1in, 3in, 5in, 7in from top\n  mountain 2in, 4in, 6in from top";
    holds(39, &folded("6in by 8in", eight, "expect height(shut) = 1in\nexpect width(shut) = 6in"));
    let inner = "  valley 3 3/4in from left\n  mountain 7 1/2in from left\n  panels a, b, c from left";
    holds(
        30,
        &folded("11 1/4in by 3 3/4in", inner, "expect page.b.width = 3 3/4in\nexpect page.c.width = 3 3/4in"),
    );
}

/// A base of 12 in scored at 3 and 6 in with a front of 6 in square, stuck to the 3 in panel.
#[test]
fn easels() {
    let easel = "  mountain 3in from left\n  valley 6in from left\n  panels lip, leg, base from left";
    let more = "piece front of stock { size 6in by 6in }\n\
                glue back of front to front of page.lip: left to left, centred down\n\
                expect width(shut) = 6in\nexpect height(shut) = 6in\nexpect folds_flat(shut)";
    holds(26, &folded("12in by 6in", easel, more));
    let tall = "envelope us 10\nexpect fits(shut, envelope)";
    holds(28, &folded("7 3/4in by 9 1/8in", "  valley 3 7/8in from left", tall));
}

/// A box card lies flat at the width of two walls.
#[test]
fn box_cards() {
    let boxed = |size: &str, scores: [&str; 4], envelope: &str| {
        let [a, b, c, d] = scores;
        format!(
            "card \"Fact\"\nenvelope {envelope}\npaper stock: 80lb cover, 0.010in thick\n\
             piece page of stock {{\n  size {size}\n  mountain a: {a} from left\n  mountain b: {b} from left\n\
             \x20 mountain c: {c} from left\n  mountain d: {d} from left\n  panels one, two, three, four, hem from left\n}}\n\
             pose flat {{ page.b 180deg  page.d 180deg }}\n\
             expect fits(flat, envelope)\n"
        )
    };
    let small = boxed("9in by 5in", ["2 1/8in", "4 1/4in", "6 3/8in", "8 1/2in"], "us A2");
    holds(34, &format!("{small}expect width(flat) = 4 1/4in\nexpect height(flat) = 5in\n"));
    let scores = ["2 3/4in", "5 1/2in", "8 1/4in", "11in"];
    for envelope in ["us A2", "us A7"] {
        let large = boxed("11 1/2in by 5 1/2in", scores, envelope);
        let large = format!("{large}expect width(flat) = 5 1/2in\nexpect height(flat) = 5 1/2in\n");
        shows(35, &large, "envelope-too-small", "5 1/2 in by 5 1/2 in");
    }
}

/// US letters are 1.3 to 2.5 times as long as wide: an A2 envelope is, a square one is charged extra.
#[test]
fn letters() {
    let card = |size, score, envelope, post| {
        let more = format!("envelope {envelope}\npost {post}\nexpect fits(shut, post)");
        folded(size, &format!("  valley {score} from left"), &more)
    };
    holds(54, &card("8 1/2in by 5 1/2in", "4 1/4in", "us A2", "usps letter"));
    let square = card("11in by 5 1/2in", "5 1/2in", "5 3/4in by 5 3/4in", "usps letter");
    shows(54, &square, "post-surcharge", "is square");
    let square = card("12in by 6in", "6in", "6 1/4in by 6 1/4in", "usps letter");
    let limit = findings(&square).into_iter().find(|(name, _)| *name == "post-too-large");
    assert!(limit.is_some_and(|(_, message)| message.contains("at most 6 1/8 in: 1/8 in too much")));
    holds(55, &card("210mm by 148mm", "105mm", "C6", "royal_mail letter"));
    holds(55, &card("297mm by 210mm", "148.5mm", "C5", "royal_mail letter"));
    let large = card("420mm by 297mm", "210mm", "C4", "royal_mail letter");
    assert!(findings(&large).iter().any(|(name, _)| *name == "post-too-large"));
    holds(55, &card("420mm by 297mm", "210mm", "C4", "royal_mail large_letter"));
}

/// Foam of 1/8 in and two discs of 1.5 mm in a card come to about 7 mm: over both letter limits.
#[test]
fn a_spinner_is_too_thick_for_a_letter() {
    for post in ["usps letter", "royal_mail letter"] {
        let text = format!(
            "card \"Fact\"\npost {post}\npaper stock: 80lb cover, 0.010in thick\npaper coin: 1000gsm, 1.5mm thick\n\
             piece page of stock {{\n  size 10in by 7in\n  valley 5in from left\n  panels inside, cover from left\n}}\n\
             piece frame of stock {{ size 4in by 4in }}\npiece low of coin {{ shape circle 1in }}\n\
             piece high of coin {{ shape circle 1in }}\n\
             foam 1/8in back of frame to front of page.inside: centred\n\
             glue back of low to front of frame: centred\nglue back of high to front of low: centred\n\
             pose shut {{ page folded flat }}\nexpect thickness(shut) >= 6.5mm\nexpect thickness(shut) <= 7.5mm\n"
        );
        shows(62, &text, "post-thickness", "too thick");
    }
}

/// Errors found in print: the compiler tells each with what it really comes to.
#[test]
fn published_errors() {
    let claim = |size, score, claimed| {
        let more = format!("expect width(shut) = {claimed}");
        folded(size, &format!("  valley {score} from left"), &more)
    };
    shows(
        1,
        &claim("8 1/2in by 5 1/2in", "4 1/2in", "4 1/4in"),
        "claim-not-met",
        "`width(shut)` is 4 1/2 in",
    );
    shows(4, &claim("10 1/2in by 7in", "5in", "5 1/4in"), "claim-not-met", "`width(shut)` is 5 1/2 in");
    // A pocket of the size of its own insert.
    let long = "envelope 99mm by 210mm";
    shows(11, &folded("198mm by 210mm", "  valley 99mm from left", long), "envelope-too-small", "too wide");
    let a5 = "envelope 105mm by 148mm";
    shows(9, &folded("420mm by 148mm", "  valley 210mm from left", a5), "envelope-too-small", "too long");
}
